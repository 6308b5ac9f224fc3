//! Who supplies which field, as a part of the page of many fields.

use maud::{Markup, html};

use crate::findings::{clean, clean_long};
use crate::outputs::number::money;
use crate::outputs::summary_text::amount;
use crate::outputs::suppliers_text::{RunAgain, proven, runs_again, use_in_words, whole};
use crate::roster::{SuppliedField, SupplierPlan};

/// The section.
pub(super) fn suppliers(plan: &SupplierPlan) -> Markup {
    html! {
        section {
            h2 { "Suppliers" }
            @if !plan.lacks.is_empty() {
                p { strong { "There is not enough. " } "At the least there would have to be:" }
                ul {
                    @for lack in &plan.lacks {
                        li { (amount(&lack.more, 2)) " more of " (clean(&lack.supplier)) }
                    }
                }
            }
            @if let Some(total) = &plan.cost_total {
                p { (whole(plan)) ": " strong { (money(total)) } " (" (proven(plan)) ")." }
            }
            @if !plan.fields.is_empty() {
                table {
                    thead { tr {
                        th { "Field" } th { "From" } th { "To order" } th { "Trucks" }
                        th { "One way" } th { "Delivered" } th { "Rates times" }
                    } }
                    tbody { @for field in &plan.fields { (rows(field)) } }
                }
            }
            ul { @for one in &plan.suppliers { li { (use_in_words(one)) } } }
            @for (head, list) in [("What this rests on", &plan.rests_on), ("Not known", &plan.not_known)] {
                @if !list.is_empty() {
                    h3 { (head) }
                    ul { @for words in list { li { (clean_long(words)) } } }
                }
            }
            p {
                "A field whose rates change has to be run again with the material of its supplier."
            }
            @for again in runs_again(plan) { (tables(&again)) }
        }
    }
}

/// The lines of the jobs that are run again for one supplier.
fn tables(again: &RunAgain) -> Markup {
    html! {
        p { (clean_long(&again.head)) }
        pre {
            @for line in &again.lines { (clean_long(line)) "\n" }
        }
        @if !again.beside.is_empty() {
            ul { @for words in &again.beside { li { (words) } } }
        }
    }
}

fn rows(field: &SuppliedField) -> Markup {
    html! {
        @for share in &field.from {
            tr {
                td { (clean(&field.id)) }
                td { (clean(&share.supplier)) }
                td {
                    (amount(&share.to_order, 2))
                    @if let Some(least) = &share.at_least { " (at the least " (amount(least, 2)) ")" }
                }
                td { @if let Some(trucks) = share.trucks { (trucks) } }
                td { @if let Some(way) = &share.distance { (amount(way, 1)) } }
                td { (money(&share.cost)) }
                td { (format!("{:.3}", field.rate_factor)) }
            }
        }
    }
}
