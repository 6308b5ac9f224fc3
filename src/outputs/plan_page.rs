//! The part of a page that shows a plan where there is not enough.

use maud::{Markup, html};

use super::number::{grouped, money};
use super::plan_text::{NOTHING, decision, in_full, ledger_lines, limes_nothing, proven_in_words};
use crate::findings::{clean, clean_long};
use crate::roster::{Plan, PlannedField, PoolPart};
use crate::units::counted;

/// The part, as a section with a heading of the second order.
pub fn plan_page(plan: &Plan) -> Markup {
    html! {
        section.plan {
            h2 { "When there is not enough" }
            @for pool in &plan.pools { (pool_part(pool)) }
            (fields_table(plan))
            (sets(plan))
            (ledger(plan))
            @if let Some(response) = &plan.response {
                p {
                    "By your own figures (" (clean(&response.source))
                    ") the gain of pH is worth " (money(&response.worth)) "."
                }
            }
            h3 { "The rule, the first that differs deciding" }
            ol { @for step in &plan.rule { li { (step.step) " " small { "[" (step.source) "]" } } } }
            (list("Notes", &plan.notes))
            (list("Mind", &plan.cautions))
        }
    }
}

fn pool_part(pool: &PoolPart) -> Markup {
    let material = pool.material.as_deref().map_or_else(|| "All fields".to_owned(), clean);
    html! {
        p {
            strong { (material) } ": " (in_full(&pool.asked)) " asked for by all together. "
            @if !pool.covers.is_empty() { "The money pays for " (pool.covers.join(", ")) ". " }
            @if limes_nothing(pool) { strong { "Nothing is limed: " (NOTHING) "." } " " }
            "Proven: " (proven_in_words(pool)) "."
        }
        table {
            thead { tr {
                th { "Year" } th { "Limit" } th { "Taken" } th { "Fields" } th { "To order" }
                th { "Aluminium risk limed" } th { "pH gained" }
            } }
            tbody { @for year in &pool.years { tr {
                td { (year.year) }
                td { @match &year.limit { Some(limit) => (in_full(limit)), None => "none" } }
                td { (in_full(&year.used)) }
                td { (year.fields) }
                td { (in_full(&year.order)) }
                td { (in_full(&year.aluminium_area)) }
                td { (in_full(&year.ph_gain)) }
            } } }
        }
    }
}

fn fields_table(plan: &Plan) -> Markup {
    let Some(first) = plan.fields.first() else { return html! {} };
    html! {
        h3 { (counted(plan.fields.len() as u64, "field", "fields")) }
        table.long {
            thead { tr {
                th.words { "Field" } th.words { "Decision" }
                th { "Order, " (first.order.unit) } th { "of, " (first.order_all.unit) }
                th { "Risk limed, " (first.aluminium_area.unit) } th { "Gained, " (first.ph_gain.unit) }
                th { "Held back, " (first.ledger.held_back.unit) " CaCO3" }
                th.words { "Why" }
            } }
            tbody { @for field in &plan.fields { (field_row(field, plan.years)) } }
        }
    }
}

fn field_row(field: &PlannedField, years: usize) -> Markup {
    html! {
        tr {
            td.words { (clean(&field.id)) }
            td.words { (decision(field, years)) }
            td { (grouped(field.order.value, 2)) }
            td { (grouped(field.order_all.value, 2)) }
            td { (grouped(field.aluminium_area.value, 2)) }
            td { (grouped(field.ph_gain.value, 2)) }
            td { (grouped(field.ledger.held_back.value, 2)) }
            td.words { (clean_long(&field.why)) }
        }
    }
}

/// The lines that make maps those of the plan.
fn sets(plan: &Plan) -> Markup {
    let fields: Vec<&PlannedField> =
        plan.fields.iter().filter(|field| field.set.is_some()).collect();
    html! {
        @if !fields.is_empty() {
            h3 { "To set in the jobs of fields that get a part, so that their maps are the plan's" }
            ul { @for field in fields {
                li { (clean(&field.id)) ": " code { (field.set.as_deref().unwrap_or_default()) } }
            } }
        }
    }
}

fn ledger(plan: &Plan) -> Markup {
    html! {
        h3 { "Ledger of all fields, effective CaCO3" }
        dl {
            @for (words, quantity) in ledger_lines(&plan.ledger) {
                dt { (words) }
                dd { (in_full(quantity)) }
            }
        }
    }
}

fn list(head: &str, lines: &[String]) -> Markup {
    html! {
        @if !lines.is_empty() {
            h3 { (head) }
            ul { @for line in lines { li { (clean_long(line)) } } }
        }
    }
}
