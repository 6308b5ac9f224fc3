//! The order sheet of many fields for the terminal.

use std::fmt::Write as _;

use super::number::{grouped, money};
use super::order_text::ordered;
use super::summary_text::{amount, percent, wrap};
use crate::findings::clean;
use crate::material::PriceAt;
use crate::roster::{OrderCalendar, OrderDrop, OrderLine, OrderSheet, OrderVisit};
use crate::summary::Quantity;
use crate::units::counted;

/// The order sheet as people read it.
pub fn order_sheet_text(sheet: &OrderSheet) -> String {
    let mut text = String::new();
    // Writing to a String cannot fail.
    let _ = write_sheet(&mut text, sheet);
    text
}

fn write_sheet(out: &mut String, sheet: &OrderSheet) -> std::fmt::Result {
    writeln!(out, "Order sheet, masses as spread (wet)")?;
    for words in &sheet.holds {
        wrap(out, "", words)?;
    }
    if sheet.visits.is_empty() {
        writeln!(out, "\nNo field needs material.")?;
    }
    for (at, line) in sheet.lines.iter().enumerate().filter(|(_, line)| line.fields > 0) {
        write_line(out, at + 1, line)?;
    }
    if let Some(total) = &sheet.cost_total {
        writeln!(out, "\nMaterial and haul of all lines: {}", money(total))?;
    }
    if !sheet.visits.is_empty() {
        writeln!(out, "\nDrops")?;
        for drop in &sheet.drops {
            wrap(out, &format!("{:>4}  ", drop.number), &drop_in_words(drop))?;
        }
        writeln!(out, "\nOrder of work")?;
        write_visits(out, &sheet.visits)?;
        wrap(out, "  ", &sheet.sequence_by)?;
    }
    if let Some(calendar) = &sheet.calendar {
        writeln!(out, "\nCalendar")?;
        for words in calendar_in_words(calendar) {
            wrap(out, "  - ", &words)?;
        }
    }
    for (head, list) in [
        ("What this rests on", &sheet.rests_on),
        ("Not known", &sheet.not_known),
        ("Mind", &sheet.cautions),
    ] {
        if !list.is_empty() {
            writeln!(out, "\n{head}")?;
        }
        for words in list {
            wrap(out, "  - ", words)?;
        }
    }
    Ok(())
}

/// A line's material and whose it is.
pub(super) fn of_whom(line: &OrderLine) -> String {
    let lot = line.lot.as_ref().map_or_else(String::new, |lot| format!(", lot {}", clean(lot)));
    let supplier =
        line.supplier.as_ref().map_or_else(|| "supplier not stated".to_owned(), |name| clean(name));
    format!("{}{lot}, {supplier}", clean(&line.material))
}

/// The moisture, and the dry matter of the order where it is known.
pub(super) fn moisture_in_words(line: &OrderLine) -> String {
    match (line.moisture, &line.dry_matter) {
        (Some(moisture), Some(dry)) => {
            format!("{} moisture, {} of dry matter", percent(moisture), ordered(dry))
        }
        _ => "moisture not stated".to_owned(),
    }
}

/// How the trucks of a line or a drop compare with those of its fields, each by itself.
pub(super) fn trucks_in_words(trucks: Option<u64>, alone: Option<u64>) -> Option<String> {
    let words = counted(trucks?, "truck", "trucks");
    Some(match alone {
        Some(alone) if alone != trucks? => format!("{words} ({alone} field by field)"),
        _ => words,
    })
}

fn write_line(out: &mut String, number: usize, line: &OrderLine) -> std::fmt::Result {
    wrap(out, &format!("\n{number}. "), &of_whom(line))?;
    let mut rows = vec![("To order", ordered(&line.to_order))];
    rows.push(("As delivered", moisture_in_words(line)));
    rows.push(("Effective", format!("{} as spread", percent(line.effective_as_spread))));
    rows.push((
        "For",
        format!(
            "{}, {} needed",
            counted(line.fields as u64, "field", "fields"),
            mass(&line.needed)
        ),
    ));
    if let Some(trucks) = trucks_in_words(line.trucks, line.trucks_alone) {
        let used = line.truck_use.map_or_else(String::new, |used| {
            format!(", {} of what they carry is needed", percent(used))
        });
        rows.push(("Trucks", trucks + &used));
    }
    let saved = line.ordered_alone.value - line.to_order.value;
    if saved.abs() >= 0.005 {
        let words = if saved > 0.0 { "less" } else { "more" };
        let difference = grouped(saved.abs(), 2);
        rows.push((
            "Sharing",
            format!("{difference} {} {words} than field by field", line.to_order.unit),
        ));
    }
    if let Some(limit) = &line.limit {
        rows.push(("Supplier has", mass(limit)));
    }
    rows.push(("At the end", end_in_words(line)));
    if let (Some(price), Some(at)) = (&line.price, &line.price_at) {
        rows.push(("Price", format!("{} at: {at}", money(price))));
    }
    rows.extend(costs_in_words(line));
    for (head, value) in rows {
        wrap(out, &format!("     {head:<15}"), &value)?;
    }
    Ok(())
}

/// What a line costs, with its head.
pub(super) fn costs_in_words(line: &OrderLine) -> Vec<(&'static str, String)> {
    let haul = line.haul_cost.as_ref().map(|cost| {
        let apart = if haul_is_in_price(line) { "; in the price, not added" } else { "" };
        money(cost) + apart
    });
    let costs = [
        ("Product cost", line.product_cost.as_ref().map(money)),
        ("Haul cost", haul),
        ("Cost", line.cost.as_ref().map(money)),
    ];
    costs.into_iter().filter_map(|(head, cost)| Some((head, cost?))).collect()
}

/// Whether the price holds delivered or spread, so that hauling is paid with it.
pub(super) fn haul_is_in_price(line: &OrderLine) -> bool {
    line.price_at.as_ref().is_some_and(|at| at != PriceAt::Plant.words())
}

/// A mass of many fields: `1,346.13 ton`.
pub(super) fn mass(quantity: &Quantity) -> String {
    format!("{} {}", grouped(quantity.value, 2), quantity.unit)
}

/// What is left or short at the end, and the ground that it is for.
pub(super) fn end_in_words(line: &OrderLine) -> String {
    let ground = |area: &Option<Quantity>| {
        let rate = line.last_rate.as_ref().map_or_else(String::new, |rate| amount(rate, 2));
        area.as_ref().map_or_else(String::new, |area| {
            format!(" ({} at the last rate, {rate})", amount(area, 1))
        })
    };
    if line.short.value > 0.0 {
        return format!("{} short{}", mass(&line.short), ground(&line.short_area));
    }
    if line.left.value > 0.0 {
        let places = counted(line.left_places as u64, "place", "places");
        return format!("{} left in {places}{}", mass(&line.left), ground(&line.left_area));
    }
    "nothing left".to_owned()
}

fn drop_in_words(drop: &OrderDrop) -> String {
    let fields: Vec<String> = drop.fields.iter().map(|id| clean(id)).collect();
    let mut words = format!("line {}, {}", drop.line, clean(&drop.place));
    if drop.application > 1 {
        let _ = write!(words, ", application {}", drop.application);
    }
    let _ = write!(words, ": {}", mass(&drop.ordered));
    if let Some(trucks) = trucks_in_words(drop.trucks, drop.trucks_alone) {
        let full = drop.truck.as_ref().map_or_else(String::new, |truck| amount(truck, 1));
        let _ = write!(words, " in {trucks} of {full}");
    }
    if let Some(carried) = &drop.carried_in {
        let _ = write!(words, ", beside {} carried in", mass(carried));
    }
    let _ = write!(words, "; needed {} for {}", mass(&drop.needed), fields.join(", "));
    words
}

fn write_visits(out: &mut String, visits: &[OrderVisit]) -> std::fmt::Result {
    let unit = visits.first().map_or("", |visit| visit.spread.unit.as_ref());
    writeln!(
        out,
        "{:>4}  {:<20}{:>5}{:>12}{:>12}{:>12}  Days",
        "",
        "Field",
        "Line",
        format!("In, {unit}"),
        "Spread",
        "Left in all",
    )?;
    for visit in visits {
        let days = match (&visit.begins, &visit.ends) {
            (Some(begins), Some(ends)) if begins == ends => begins.clone(),
            (Some(begins), Some(ends)) => format!("{begins} to {ends}"),
            _ => visit.stated_day.as_ref().map_or_else(String::new, |day| format!("{day} stated")),
        };
        let id: String = clean(&visit.id).chars().take(18).collect();
        let part =
            if visit.application > 1 { format!(" #{}", visit.application) } else { String::new() };
        let line = format!(
            "{:>4}  {:<20}{:>5}{:>12}{:>12}{:>12}  {days}",
            visit.number,
            id + &part,
            visit.line,
            grouped(visit.arrives.value, 2),
            grouped(visit.spread.value, 2),
            grouped(visit.balance.value, 2),
        );
        writeln!(out, "{}", line.trim_end())?;
        if let Some(short) = &visit.short {
            writeln!(out, "{:>6}{} short", "", mass(short))?;
        }
    }
    Ok(())
}

/// The calendar in a few sentences.
pub(super) fn calendar_in_words(calendar: &OrderCalendar) -> Vec<String> {
    let idle = match calendar.idle_days {
        0 => String::new(),
        days => format!(", {days} of them without work"),
    };
    let mut told = vec![format!(
        "{} to {}: {} of {}{idle}, with {}.",
        calendar.first_day,
        calendar.last_day,
        counted(calendar.working_days, "working day", "working days"),
        amount(&calendar.hours_a_day, 1),
        counted(u64::from(calendar.spreaders), "spreader", "spreaders"),
    )];
    let mut hours = format!("{} of spreading", amount(&calendar.spreading, 1));
    if let Some(moving) = &calendar.moving {
        let _ = write!(hours, ", {} on the road between fields", amount(moving, 1));
    }
    if let (Some(hauling), Some(trucks)) = (&calendar.hauling, calendar.trucks) {
        let trucks = counted(u64::from(trucks), "truck", "trucks");
        let _ = write!(hours, ", {} of hauling by {trucks}", amount(hauling, 1));
    }
    told.push(hours + ".");
    if calendar.binds == "stated days" {
        told.push(
            "The days that jobs state set the last day: without them the work would be done on an \
             earlier one."
                .to_owned(),
        );
    } else if calendar.hauling.is_some() {
        told.push(format!("What takes longer: {}.", calendar.binds));
    }
    told
}
