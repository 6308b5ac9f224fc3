//! The page of many fields: a document from top to bottom, as HTML that asks for nothing from
//! outside itself. Its one script sorts the table; without it the table stands as it was asked for.

mod drawings;
mod groups;
mod suppliers;
mod table;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::fields_totals_text::group_lines;
use super::plan_page::plan_page;
use crate::findings::{Place, clean, clean_long};
use crate::material::kind_named;
use crate::roster::{FieldsResult, SortBy};
use crate::summary::cautions;
use crate::units::{UnitSystem, counted};

/// How the page looks on a screen and on paper.
const STYLE: &str = include_str!("style.css");
/// What sorts the table.
const SCRIPT: &str = include_str!("sort.js");
/// What may run and be loaded: the style and the one script, which is named by its SHA-256.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; \
                      script-src 'sha256-uycNt7m6iEWLJ9BCQjcA7CNI5w5Pb4/TJ1HqqJ4OloQ='";

/// What the page says beyond the numbers of its result.
#[derive(Clone, Copy, Debug)]
pub struct FieldsNotes<'a> {
    /// What was asked, a sentence each.
    pub asked: &'a [String],
    /// The order of the fields in the table.
    pub order: SortBy,
}

/// The page of many fields.
pub fn fields_page(result: &FieldsResult, notes: &FieldsNotes<'_>) -> String {
    let system = result.system();
    let comparison = &result.comparison;
    let count = counted(comparison.fields.len() as u64, "field", "fields");
    let totals = &comparison.totals;
    let page: Markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                title { "Lime: " (count) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                main {
                    header {
                        h1 { "Lime prescriptions of " (count) }
                        (asked(result, notes))
                    }
                    @if totals.all.fields > 0 {
                        section {
                            h2 { "All fields together" }
                            ul { @for line in group_lines(&totals.all, true) { li { (line) } } }
                        }
                        (groups::groups(totals))
                        section.table {
                            h2 { "Field by field" }
                            (table::table(comparison, system, notes.order))
                        }
                        (drawings::drawings(result, system))
                    }
                    (refused(&result.plan_refused))
                    @if let Some(plan) = &result.plan { (plan_page(plan)) }
                    @if let Some(plan) = &result.suppliers { (suppliers::suppliers(plan)) }
                    @if let Some(order) = &result.order {
                        p { "What to order, and when it is spread: " a href="order.html" { "order.html" } "." }
                        @for words in &order.holds { p { strong { (clean_long(words)) } } }
                    }
                    (failures(result))
                    @if !comparison.findings.is_empty() {
                        section {
                            h2 { "To know when comparing" }
                            ul { @for told in &comparison.findings { li { (clean_long(&told.text)) } } }
                        }
                    }
                    section.mind {
                        h2 { "Mind" }
                        ul { @for caution in cautions_of(result) { li { (caution) } } }
                    }
                }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    page.into_string()
}

/// What was asked, and by what it was worked out.
fn asked(result: &FieldsResult, notes: &FieldsNotes<'_>) -> Markup {
    let units = match result.system() {
        UnitSystem::Us => "acres and short tons of 2,000 lb",
        UnitSystem::Metric => "hectares and tonnes",
    };
    html! {
        @for sentence in notes.asked { p { (clean_long(sentence)) } }
        p {
            "In " (units) "; product as spread (wet), need as pure CaCO3. "
            (clean(&result.program.name)) " " (clean(&result.program.version)) "."
        }
        @if !result.failed.is_empty() {
            p {
                strong { (counted(result.failed.len() as u64, "field", "fields")) " failed" }
                ". The reasons stand below; no number here holds what failed."
            }
        }
    }
}

/// Why there is no plan, where one was asked for.
fn refused(why: &[String]) -> Markup {
    html! {
        @if !why.is_empty() {
            section.failed {
                h2 { "There is no plan" }
                ul { @for words in why { li { (clean_long(words)) } } }
            }
        }
    }
}

fn failures(result: &FieldsResult) -> Markup {
    html! {
        @if !result.failed.is_empty() {
            section.failed {
                h2 { "Failed: " (counted(result.failed.len() as u64, "field", "fields")) }
                ul {
                    @for failed in &result.failed {
                        li {
                            strong { (clean(&failed.id)) } " (" (clean(&failed.job)) ")"
                            ul { @for why in &failed.reasons { li { (clean_long(why)) } } }
                        }
                    }
                }
            }
        }
    }
}

/// The cautions of all materials, each once.
fn cautions_of(result: &FieldsResult) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for row in &result.fields {
        let Ok(kind) = kind_named(&row.material.kind, Place::default()) else { continue };
        for line in cautions(kind) {
            if !lines.contains(&line) {
                lines.push(line);
            }
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Base64 of RFC 4648.
    fn base64(bytes: &[u8]) -> String {
        const LETTERS: &[u8; 64] =
            b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
        let mut text = String::new();
        for three in bytes.chunks(3) {
            let all = three.iter().fold(0_u32, |all, &byte| (all << 8) | u32::from(byte))
                << (8 * (3 - three.len()));
            for at in 0..4 {
                let letter = LETTERS[(all >> (18 - 6 * at)) as usize & 63];
                text.push(if at <= three.len() { char::from(letter) } else { '=' });
            }
        }
        text
    }

    #[test]
    fn the_policy_names_the_script_that_the_page_has() {
        let hex = crate::hash::sha256(SCRIPT.as_bytes());
        let bytes: Vec<u8> = (0..hex.len() / 2)
            .map(|at| u8::from_str_radix(&hex[2 * at..2 * at + 2], 16).unwrap())
            .collect();
        let named = format!("'sha256-{}'", base64(&bytes));
        assert!(POLICY.contains(&named), "{POLICY} has not {named}");
    }
}
