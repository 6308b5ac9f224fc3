//! The methods on one job, as people and programs read them.

use std::fmt::Write as _;

use super::number::{grouped, money};
use super::order_text::ordered;
use super::summary_text::{amount, attribute, percent, wrap};
use crate::findings::{clean, first_of, harmless};
use crate::summary::{
    AdvisedMethodPart, MethodAdvice, MethodResultPart, MethodSpreadPart, MethodStanding, Quantity,
    ReasonPart,
};
use crate::units::counted;

/// Samples named with a reason before the rest is only counted.
const NAMED: usize = 8;
/// Reasons told of one method before the rest is only counted.
const REASONS: usize = 6;

/// The advice as people read it.
pub fn advice_text(advice: &MethodAdvice) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write_advice(&mut out, advice);
    out
}

/// The same as JSON, indented, with a line feed at its end.
///
/// # Errors
/// Returns the serialiser's error; there is none for this shape, so it is a fault of the program.
pub fn advice_json(advice: &MethodAdvice) -> Result<String, serde_json::Error> {
    Ok(serde_json::to_string_pretty(advice)? + "\n")
}

fn write_advice(out: &mut String, advice: &MethodAdvice) -> std::fmt::Result {
    writeln!(out, "{}: lime-need methods", clean(&advice.field.name))?;
    write_data(out, advice)?;
    if let Some(spread) = &advice.spread {
        write_spread(out, advice, spread)?;
    }
    for (standing, head) in [
        (MethodStanding::CanRun, "Can run"),
        (MethodStanding::NotComparable, "Can run, but is not compared: the target differs"),
        (MethodStanding::Failed, "Failed while it ran"),
        (MethodStanding::CannotRun, "Cannot run"),
    ] {
        let mut some =
            advice.methods.iter().filter(|method| method.standing == standing).peekable();
        if some.peek().is_some() {
            writeln!(out, "\n{head}")?;
        }
        for method in some {
            write_method(out, method)?;
        }
    }
    if advice.methods.iter().all(|method| method.standing == MethodStanding::CannotRun) {
        out.push_str("\nNo method can run on these samples as the job states them.\n");
    }
    out.push_str("\nMind\n");
    wrap(
        out,
        "  - ",
        "Methods disagree, and this program does not say which is right: each holds for the soils \
         it was made on, and `limewright methods ID` tells which they are. Take the one of your \
         own advisers and laboratory.",
    )?;
    for caution in &advice.cautions {
        wrap(out, "  - ", caution)?;
    }
    Ok(())
}

/// The data that the methods are held against.
fn write_data(out: &mut String, advice: &MethodAdvice) -> std::fmt::Result {
    let read: Vec<String> = advice
        .at_hand
        .iter()
        .map(|part| {
            let measured = part.measured_in.as_ref();
            let measured = measured.map_or_else(String::new, |words| format!(" ({words})"));
            format!("{}{measured}", attribute(&part.key))
        })
        .collect();
    let samples = counted(advice.samples as u64, "sample", "samples");
    wrap(out, "", &format!("{samples} from {}: {}", advice.sampled_depth, read.join(", ")))?;
    let medium = advice.target_medium.as_ref();
    let medium = medium.map_or_else(String::new, |medium| format!(" ({medium})"));
    let named = advice.job_method.as_ref().map_or_else(
        || "the job names no method".to_owned(),
        |id| format!("the job names {}", clean(id)),
    );
    let depth = amount(&advice.limed_depth, 1);
    wrap(out, "", &format!("To {}{medium} over {depth}; {named}", advice.target))
}

/// The methods that were run, one a line, and how far they lie apart.
fn write_spread(
    out: &mut String,
    advice: &MethodAdvice,
    spread: &MethodSpreadPart,
) -> std::fmt::Result {
    let unit = &spread.need_total.lowest.unit;
    if let (Some(area), Some(material)) = (&advice.area, &advice.material) {
        let area = amount(area, 2);
        writeln!(out, "\nSide by side on {area}; {} as spread (wet)", clean(material))?;
    }
    let costs = spread.cost_total.is_some();
    let head = if costs { format!("{:>15}", "cost") } else { String::new() };
    let order_unit = if unit == "ton" { "short ton" } else { unit };
    let (need, order) = (format!("need, {unit}"), format!("to order, {order_unit}"));
    writeln!(out, "{need:>12}{order:>21}{head}  method")?;
    for method in &advice.methods {
        let Some(result) = &method.result else { continue };
        let (need, order) = (&result.need_total, &result.to_order);
        let cost = result.cost_total.as_ref().map_or_else(|| "-".to_owned(), money);
        let cost = if costs { format!("{cost:>15}") } else { String::new() };
        let (need, order) = (grouped(need.value, 2), grouped(order.value, 2));
        writeln!(out, "{need:>12}{order:>21}{cost}  {}", named(method))?;
    }
    out.push('\n');
    for sentence in spread_in_words(advice, spread) {
        wrap(out, "", &sentence)?;
    }
    Ok(())
}

/// How far the methods lie apart, in sentences to be repeated.
fn spread_in_words(advice: &MethodAdvice, spread: &MethodSpreadPart) -> Vec<String> {
    let order = &spread.to_order;
    let tons = |quantity: &Quantity| {
        let places =
            if order.highest.value < 10.0 { 2 } else { usize::from(order.highest.value < 100.0) };
        grouped(quantity.value, places)
    };
    let unit = if order.highest.unit == "ton" { "short tons" } else { &order.highest.unit };
    let of_job = advice.methods.iter().find(|method| method.is_of_job).map(|method| {
        method.result.as_ref().map_or_else(
            || "; the one in the job is not among them".to_owned(),
            |result| format!("; the one in the job asks for {}", tons(&result.to_order)),
        )
    });
    let of_job = of_job.unwrap_or_default();
    let (low, high) = (tons(&order.lowest), tons(&order.highest));
    if spread.methods < 2 {
        let only = clean(&order.highest_method);
        return vec![format!(
            "Only `{only}` runs on these samples and asks for {high} {unit} to order, so nothing \
             can be said of how far methods disagree here."
        )];
    }
    if order.difference.value <= 0.0 {
        let all = spread.methods;
        return vec![format!("On this field all {all} methods ask for {high} {unit} to order.")];
    }
    let (lowest, highest) = (clean(&order.lowest_method), clean(&order.highest_method));
    let mut words = vec![
        format!("On this field the methods ask for {low} to {high} {unit} to order{of_job}."),
        match order.ratio {
            Some(ratio) => format!("`{highest}` asks for {ratio:.1} times as much as `{lowest}`."),
            None => format!("`{lowest}` asks for nothing, `{highest}` for the most."),
        },
    ];
    if let Some(cost) = spread.cost_total.as_ref().filter(|cost| cost.difference.value > 0.0) {
        let covers =
            advice.methods.iter().find_map(|method| Some(&method.result.as_ref()?.cost_covers));
        let covers = covers.map_or_else(String::new, |covers| format!(" ({})", covers.join(" + ")));
        words.push(format!("The difference costs {}{covers}.", money(&cost.difference)));
    }
    words
}

/// A method's name, with what sets it apart.
fn named(method: &AdvisedMethodPart) -> String {
    let mut marks = Vec::new();
    if method.is_of_job {
        marks.push("in the job");
    }
    if method.from_memory {
        marks.push("from memory");
    }
    let marks = if marks.is_empty() { String::new() } else { format!(" ({})", marks.join(", ")) };
    format!("{}{marks}", clean(&method.id))
}

fn write_method(out: &mut String, method: &AdvisedMethodPart) -> std::fmt::Result {
    writeln!(out, "  {}", named(method))?;
    let mut tell = |text: &str| wrap(out, "    - ", text);
    for reason in method.reasons.iter().take(REASONS) {
        tell(&sentence(reason))?;
    }
    if let Some(more) = method.reasons.len().checked_sub(REASONS).filter(|&more| more > 0) {
        tell(&format!("And {}.", counted(more as u64, "more reason", "more reasons")))?;
    }
    if matches!(method.standing, MethodStanding::CannotRun | MethodStanding::Failed) {
        return Ok(());
    }
    let depth = method.table_depth.as_ref().map_or_else(
        || "its source states no depth".to_owned(),
        |depth| format!("its needs are for {}", clean(depth)),
    );
    tell(&format!("{}; made for {}; {depth}.", clean(&method.title), clean(&method.region)))?;
    if let Some(result) = &method.result {
        tell(&result_in_words(result))?;
    }
    if let Some(beyond) = method.beyond_rows.as_ref().filter(|it| it.below + it.above > 0) {
        tell(&format!(
            "{} of the samples read beyond its rows ({} below, {} above), where its end value is \
             taken.",
            percent(beyond.share),
            beyond.below,
            beyond.above
        ))?;
    }
    for note in &method.notes {
        tell(&whole(note))?;
    }
    Ok(())
}

fn result_in_words(result: &MethodResultPart) -> String {
    let unmet = if result.unmet_total.value > 0.0 {
        format!("; the spreader's limits leave {} of CaCO3 unmet", amount(&result.unmet_total, 2))
    } else {
        String::new()
    };
    let end = if result.table_limit_share > 0.0 {
        format!("; its end value holds on {} of the area", percent(result.table_limit_share))
    } else {
        String::new()
    };
    format!(
        "Needs {} of CaCO3, {} on average; {} to spread on {}, {} on average, and {} to \
         order{unmet}{end}.",
        amount(&result.need_total, 2),
        amount(&result.need_mean, 3),
        amount(&result.product_total, 2),
        amount(&result.treated_area, 2),
        amount(&result.mean_rate, 3),
        ordered(&result.to_order)
    )
}

/// A reason as a sentence, with the samples that it holds for.
fn sentence(reason: &ReasonPart) -> String {
    let mut letters = reason.text.chars();
    let text = letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect());
    let samples = if reason.samples.is_empty() {
        String::new()
    } else {
        format!(" ({})", first_of(&reason.samples, NAMED))
    };
    format!("{}{samples}.", whole(&text))
}

/// The whole of a text without control characters, which could steer the terminal.
fn whole(text: &str) -> String {
    text.chars().map(harmless).collect()
}
