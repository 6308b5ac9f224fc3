//! The driver's page: one application on one printed page, as HTML that asks for nothing from
//! outside itself, runs nothing, and carries no prices.

mod parts;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::map_svg::{Picture, driver_map};
use crate::findings::clean;
use crate::prescription::Prescription;
use crate::summary::Sheet;
use parts::{Words, factors, hazards, loading, rates, spots};

/// How the page looks on a screen and on paper: black on white, whole pages, large numbers.
const STYLE: &str = include_str!("style.css");

/// What the page says beyond the numbers of its sheet.
#[derive(Clone, Copy, Debug)]
pub struct DriverNotes<'a> {
    /// What stands on and beside the field.
    pub hazards: &'a [String],
    /// Its speed while spreading, in words, where it is stated.
    pub speed: Option<&'a str>,
    /// The distance between driving lines, in words.
    pub pass_spacing: &'a str,
    /// The direction of travel in words.
    pub heading: &'a str,
}

/// The page of one application, whose cells get what `spread` says.
pub fn driver_page(
    picture: &Picture<'_>,
    sheet: &Sheet,
    spread: &Prescription,
    notes: &DriverNotes<'_>,
) -> String {
    let summary = picture.summary;
    let map = driver_map(picture, sheet, spread);
    let words = Words::of(sheet);
    let field = clean(&summary.field.name);
    let title = format!("{field}: spread {}", clean(&summary.material.name));
    let page: Markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy"
                    content="default-src 'none'; style-src 'unsafe-inline'";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                main {
                    (head(picture, sheet, &field))
                    section.first {
                        div.map {
                            figure { (PreEscaped(&map.svg)) }
                            (loading(sheet, summary, notes))
                        }
                        div.beside {
                            (rates(sheet, &words, &map.fills, notes))
                            (spots(sheet, &words))
                        }
                    }
                    (factors(sheet, summary))
                    (hazards(picture, sheet, notes))
                }
            }
        }
    };
    page.into_string()
}

/// Whose field, which material, when.
fn head(picture: &Picture<'_>, sheet: &Sheet, field: &str) -> Markup {
    let summary = picture.summary;
    let names = [&summary.field.customer, &summary.field.farm];
    let of: Vec<String> = names.into_iter().flatten().map(|name| clean(name)).collect();
    let (number, count) = sheet.application;
    html! {
        header {
            h1 { (field) @if !of.is_empty() { " " small { (of.join(", ")) } } }
            p {
                strong { (clean(&summary.material.name)) }
                ", rates as spread (wet)"
                @if let Some(day) = &sheet.date { " \u{b7} " (day) }
                @if let Some(revision) = summary.dates.revision { " \u{b7} revision " (revision) }
                @if count > 1 { " \u{b7} " strong { "application " (number) " of " (count) } }
                @if let Some(caveat) = &summary.method.caveat { " \u{b7} " (clean(caveat)) }
            }
        }
    }
}
