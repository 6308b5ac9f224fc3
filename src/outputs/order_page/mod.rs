//! The order sheet of many fields as a page for print: HTML that asks for nothing from outside
//! itself and runs nothing. It is the manager's, and carries prices.

use std::collections::{BTreeMap, BTreeSet};

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::number::{grouped, money};
use super::order_sheet_text::{
    calendar_in_words, costs_in_words, end_in_words, haul_is_in_price, mass, moisture_in_words,
    of_whom, trucks_in_words,
};
use super::order_text::ordered;
use super::summary_text::percent;
use crate::findings::{clean, clean_long};
use crate::roster::{OrderDrop, OrderLine, OrderSheet, OrderVisit};
use crate::units::counted;

/// How the page looks on a screen and on paper: black on white, tables that run over pages.
const STYLE: &str = include_str!("style.css");

/// The page.
pub fn order_page(sheet: &OrderSheet) -> String {
    let page: Markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy"
                    content="default-src 'none'; style-src 'unsafe-inline'";
                title { "Order sheet" }
                style { (PreEscaped(STYLE)) }
            }
            body {
                main {
                    h1 { "Order sheet" }
                    @for words in &sheet.holds { p { strong { (clean_long(words)) } } }
                    p { "Masses as spread (wet)." }
                    @if sheet.visits.is_empty() { p { "No field needs material." } }
                    @for (at, line) in sheet.lines.iter().enumerate() {
                        @if line.fields > 0 { (order_line(at + 1, line)) }
                    }
                    @if let Some(total) = &sheet.cost_total {
                        p { strong { "Material and haul of all lines: " (money(total)) } }
                    }
                    @if !sheet.visits.is_empty() {
                        (drops(sheet))
                        (visits(&sheet.visits))
                        section.small { p { (sheet.sequence_by) } }
                    }
                    @if let Some(calendar) = &sheet.calendar {
                        (list("Calendar", &calendar_in_words(calendar)))
                    }
                    (list("What this rests on", &sheet.rests_on))
                    (list("Not known", &sheet.not_known))
                    (list("Mind", &sheet.cautions))
                }
            }
        }
    };
    page.into_string()
}

fn order_line(number: usize, line: &OrderLine) -> Markup {
    html! {
        section.line {
            h3 { (number) ". " (of_whom(line)) }
            dl {
                dt { "To order" } dd.strong { (ordered(&line.to_order)) }
                dt { "As delivered" } dd { (moisture_in_words(line)) }
                dt { "Effective" } dd { (percent(line.effective_as_spread)) " as spread" }
                dt { "For" }
                dd {
                    (counted(line.fields as u64, "field", "fields")) ", "
                    (mass(&line.needed)) " needed"
                }
                @if let Some(trucks) = trucks_in_words(line.trucks, line.trucks_alone) {
                    dt { "Trucks" }
                    dd {
                        (trucks)
                        @if let Some(used) = line.truck_use {
                            ", " (percent(used)) " of what they carry is needed"
                        }
                    }
                }
                @if let Some(limit) = &line.limit {
                    dt { "Supplier has" } dd { (mass(limit)) }
                }
                dt { "At the end" } dd { (end_in_words(line)) }
                @if let (Some(price), Some(at)) = (&line.price, &line.price_at) {
                    dt { "Price" } dd { (money(price)) " at: " (at) }
                }
                @for (head, cost) in costs_in_words(line) { dt { (head) } dd { (cost) } }
            }
        }
    }
}

fn drops(sheet: &OrderSheet) -> Markup {
    let drops: &[OrderDrop] = &sheet.drops;
    let in_price = |drop: &OrderDrop| sheet.lines.get(drop.line - 1).is_some_and(haul_is_in_price);
    let unit = drops.first().map_or("", |drop| drop.ordered.unit.as_ref());
    html! {
        h2 { "Drops" }
        table.long {
            thead {
                tr {
                    th { "No." } th { "Line" } th.words { "Place" } th.words { "Fields" }
                    th { "Needed, " (unit) } th { "Carried in" } th { "Delivered" } th { "Trucks" }
                    th { "Haul" }
                }
            }
            tbody {
                @for drop in drops {
                    tr {
                        td { (drop.number) }
                        td { (drop.line) }
                        td.words {
                            (clean(&drop.place))
                            @if drop.application > 1 { ", application " (drop.application) }
                        }
                        td.words { (names(&drop.fields)) }
                        td { (grouped(drop.needed.value, 2)) }
                        td {
                            @if let Some(carried) = &drop.carried_in { (grouped(carried.value, 2)) }
                        }
                        td.strong { (grouped(drop.ordered.value, 2)) }
                        td {
                            @if let Some(trucks) = drop.trucks { (trucks) }
                        }
                        td {
                            @if let Some(cost) = &drop.haul_cost {
                                (money(cost))
                                @if in_price(drop) { " in the price" }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn names(ids: &[String]) -> String {
    ids.iter().map(|id| clean(id)).collect::<Vec<String>>().join(", ")
}

fn visits(visits: &[OrderVisit]) -> Markup {
    let unit = visits.first().map_or("", |visit| visit.spread.unit.as_ref());
    let unclear = unclear_names(visits);
    html! {
        h2 { "Order of work" }
        table.long {
            thead {
                tr {
                    th { "No." } th.words { "Field" } th { "Line" } th { "Drop" }
                    th { "In, " (unit) } th { "Spread" } th { "Short" } th { "Left here" }
                    th { "Left in all" } th { "Hours" } th.words { "Days" }
                }
            }
            tbody {
                @for visit in visits {
                    tr {
                        td { (visit.number) }
                        td.words {
                            (called(visit, &unclear))
                            @if visit.application > 1 { ", application " (visit.application) }
                        }
                        td { (visit.line) }
                        td { (visit.drop) }
                        td { (grouped(visit.arrives.value, 2)) }
                        td.strong { (grouped(visit.spread.value, 2)) }
                        td {
                            @if let Some(short) = &visit.short { (grouped(short.value, 2)) }
                        }
                        td { (grouped(visit.left_here.value, 2)) }
                        td { (grouped(visit.balance.value, 2)) }
                        td { @if let Some(hours) = &visit.hours { (grouped(hours.value, 1)) } }
                        td.words { (days(visit)) }
                    }
                }
            }
        }
    }
}

/// Names that a field gets from its boundary file where nobody gave it one.
const OF_FILES: [&str; 2] = ["boundary", "field"];

/// The names that tell no field from another: those that several fields have, and those of files.
fn unclear_names(visits: &[OrderVisit]) -> BTreeSet<&str> {
    let mut of_name: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for visit in visits {
        of_name.entry(&visit.field).or_default().insert(&visit.id);
    }
    let unclear = of_name.into_iter().filter(|(name, ids)| {
        ids.len() > 1 || OF_FILES.iter().any(|of_file| name.eq_ignore_ascii_case(of_file))
    });
    unclear.map(|(name, _)| name).collect()
}

/// A field's name with its id; the id alone where the name says no more.
fn called(visit: &OrderVisit, unclear: &BTreeSet<&str>) -> String {
    let id = clean(&visit.id);
    if visit.field == visit.id || unclear.contains(visit.field.as_str()) {
        return id;
    }
    format!("{} ({id})", clean(&visit.field))
}

fn days(visit: &OrderVisit) -> String {
    match (&visit.begins, &visit.ends) {
        (Some(begins), Some(ends)) if begins == ends => begins.clone(),
        (Some(begins), Some(ends)) => format!("{begins} to {ends}"),
        _ => visit.stated_day.as_ref().map_or_else(String::new, |day| format!("{day} stated")),
    }
}

fn list(head: &str, entries: &[String]) -> Markup {
    html! {
        @if !entries.is_empty() {
            section.small {
                h2 { (head) }
                ul { @for entry in entries { li { (clean_long(entry)) } } }
            }
        }
    }
}
