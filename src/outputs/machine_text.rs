//! The spreader on the field, in the summary for the terminal.

use std::fmt::Write as _;

use super::number::grouped;
use super::summary_text::{amount, decimals, wrap};
use crate::summary::{MachinePart, Quantity, RateFlowPart, ThrowPart};
use crate::units::counted;

/// What flows, how fast it may be driven, what rate changes and the throw reach; nothing where the
/// job says nothing of the spreader but its rates.
pub(super) fn write_machine(out: &mut String, machine: &MachinePart) -> std::fmt::Result {
    let is_known = machine.speed.is_some()
        || machine.top_speed.is_some()
        || machine.min_flow.is_some()
        || machine.max_flow.is_some()
        || machine.throw.is_some();
    if !is_known {
        return Ok(());
    }
    writeln!(out, "\nThe spreader")?;
    write_flows(out, machine)?;
    if let Some(change) = &machine.rate_change {
        let range = |least: &Quantity, most: &Quantity, places| {
            if least == most {
                amount(most, places)
            } else {
                format!("{} to {}", decimals(least.value, places), amount(most, places))
            }
        };
        let shortest = change
            .shortest_run
            .as_ref()
            .map_or_else(String::new, |run| format!(", the shortest {}", amount(run, 0)));
        let told = format!(
            "A rate change takes {}, {} ({}). In patches shorter than that along the travel: {}{shortest}",
            range(&change.least_time, &change.most_time, 0),
            range(&change.least_distance, &change.most_distance, 0),
            change.source,
            range(&change.short_of_least_area, &change.short_of_most_area, 2),
        );
        wrap(out, "  ", &told)?;
    }
    if let Some(throw) = &machine.throw {
        wrap(out, "  ", &thrown(throw))?;
    }
    let heading = &machine.heading;
    let passes = |count: usize| counted(count as u64, "pass", "passes");
    let turns = |count: usize| counted(count as u64, "turn", "turns");
    let mut told = format!(
        "{} and {} at a heading of {}",
        passes(heading.passes),
        turns(heading.turns),
        angle(&heading.heading)
    );
    if let Some(fewest) = &heading.fewest {
        let (passes, turns) = (passes(fewest.passes), turns(fewest.turns));
        let at = angle(&fewest.heading);
        let _ = write!(told, "; {passes} and {turns} at {at}, along {}", fewest.along);
    }
    wrap(out, "  ", &told)
}

fn angle(heading: &Quantity) -> String {
    format!("{} {}", crate::units::plain(heading.value, 0, 1), heading.unit)
}

fn thrown(throw: &ThrowPart) -> String {
    if throw.beyond_edge.value <= 0.0 {
        return format!(
            "It throws {}: nothing flies beyond the edge of what is spread, with the outermost line {} \
             inside",
            amount(&throw.width, 1),
            amount(&throw.outermost_line, 1)
        );
    }
    format!(
        "It throws {}: {} beyond the edge of what is spread, onto {} outside the boundary and {} \
         that is kept out",
        amount(&throw.width, 1),
        amount(&throw.beyond_edge, 1),
        amount(&throw.off_field_area, 2),
        amount(&throw.kept_out_area, 2)
    )
}

/// One column of the table of rates.
struct Column {
    head: String,
    of: fn(&RateFlowPart) -> Option<String>,
}

fn write_flows(out: &mut String, machine: &MachinePart) -> std::fmt::Result {
    let mut at = match &machine.speed {
        Some(speed) => {
            format!("At {}, passes {} apart", amount(speed, 1), amount(&machine.pass_spacing, 1))
        }
        None => format!("Passes {} apart", amount(&machine.pass_spacing, 1)),
    };
    for (words, flow, rate) in [
        ("at least", &machine.min_flow, &machine.least_rate),
        ("at most", &machine.max_flow, &machine.greatest_rate),
    ] {
        if let Some(flow) = flow {
            let _ = write!(at, "; it lets {words} {} {} flow", grouped(flow.value, 0), flow.unit);
            if let Some(rate) = rate {
                let _ = write!(at, ", which is {}", amount(rate, 2));
            }
        }
    }
    wrap(out, "  ", &at)?;
    let Some(first) = machine.rates.first() else { return Ok(()) };
    let unit = |name: &str, of: &dyn Fn(&RateFlowPart) -> Option<&Quantity>| {
        let unit = machine.rates.iter().find_map(|rate| Some(of(rate)?.unit.clone()));
        unit.map(|unit| format!("{name}, {unit}"))
    };
    let columns: Vec<Column> = [
        (
            unit("Flow", &|rate| rate.flow.as_ref()),
            (|rate| Some(grouped(rate.flow.as_ref()?.value, 0))) as fn(&RateFlowPart) -> _,
        ),
        (unit("Slowest", &|rate| rate.slowest_speed.as_ref()), |rate| {
            Some(decimals(tenth(rate.slowest_speed.as_ref()?.value, f64::ceil), 1))
        }),
        (unit("Fastest", &|rate| rate.fastest_speed.as_ref()), |rate| {
            Some(decimals(tenth(rate.fastest_speed.as_ref()?.value, f64::floor), 1))
        }),
        (
            machine.rates.iter().any(|rate| rate.at_speed.is_some()).then(|| "At speed".to_owned()),
            |rate| rate.at_speed.clone(),
        ),
    ]
    .into_iter()
    .filter_map(|(head, of)| Some(Column { head: head?, of }))
    .collect();
    if columns.is_empty() {
        return Ok(());
    }
    write!(out, "{:>16}", format!("Rate, {}", first.rate.unit))?;
    for column in &columns {
        write!(out, "{:>16}", column.head)?;
    }
    for rate in &machine.rates {
        write!(out, "\n{:>16}", decimals(rate.rate.value, 3))?;
        for column in &columns {
            write!(out, "{:>16}", (column.of)(rate).unwrap_or_default())?;
        }
    }
    out.push('\n');
    Ok(())
}

/// To a tenth, on the safe side; a whole tenth but for a rounding error stays that.
fn tenth(value: f64, round: fn(f64) -> f64) -> f64 {
    let tenths = value * 10.0;
    let whole = (tenths - tenths.round()).abs() < 1e-6;
    (if whole { tenths.round() } else { round(tenths) }) / 10.0
}
