//! The driver's page: one application on one printed page, as HTML that asks for nothing from
//! outside itself, runs nothing, and carries no prices.

mod parts;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::map_svg::{Picture, driver_map};
use crate::findings::clean;
use crate::prescription::Prescription;
use crate::summary::Sheet;
use parts::{Words, factors, hazards, held_back, loading, rates, spots};

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
    /// The revision that this one supersedes.
    pub supersedes: Option<u32>,
}

/// The page of one application, whose cells get what `spread` says.
pub fn driver_page(
    picture: &Picture<'_>,
    sheet: &Sheet,
    spread: &Prescription,
    notes: &DriverNotes<'_>,
) -> String {
    let summary = picture.summary;
    let words = Words::of(sheet);
    let map = driver_map(picture, sheet, spread, &words.rates);
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
                    (head(picture, sheet, notes))
                    section.first {
                        div.map {
                            figure { (PreEscaped(&map.svg)) }
                            (loading(sheet, summary, notes))
                        }
                        div.beside {
                            (rates(sheet, &words, &map.fills, notes))
                            (held_back(summary))
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

/// Letters of a field's name above which it is set smaller.
const LONG_FIELD: usize = 30;
/// Letters of a name that have room in the head of the page: about two lines of the field's, one of
/// the others. The title has them uncut.
const LONGEST_FIELD: usize = 76;
const LONGEST_NAME: usize = 60;

/// The name, or its beginning where it is too long.
fn cut(name: &str, most: usize) -> String {
    let name = clean(name);
    if name.chars().count() <= most {
        return name;
    }
    let begin: String = name.chars().take(most - 1).collect();
    format!("{}\u{2026}", begin.trim_end())
}

/// Whose field, which material, when.
fn head(picture: &Picture<'_>, sheet: &Sheet, notes: &DriverNotes<'_>) -> Markup {
    let summary = picture.summary;
    let names = [&summary.field.customer, &summary.field.farm];
    let of: Vec<String> =
        names.into_iter().flatten().map(|name| cut(name, LONGEST_NAME / 2)).collect();
    let (number, count) = sheet.application;
    html! {
        header {
            h1.long[summary.field.name.chars().count() > LONG_FIELD] {
                (cut(&summary.field.name, LONGEST_FIELD))
                @if !of.is_empty() { " " small { (of.join(", ")) } }
            }
            p {
                strong { (cut(&summary.material.name, LONGEST_NAME)) }
                ", rates as spread (wet)"
                @if let Some(day) = &sheet.date { " \u{b7} " (day) }
                @if let Some(revision) = summary.dates.revision {
                    " \u{b7} revision " (revision)
                    @if let Some(earlier) = notes.supersedes {
                        ", supersedes revision " (earlier)
                    }
                }
                @if count > 1 { " \u{b7} " strong { "application " (number) " of " (count) } }
                @if let Some(caveat) = &summary.method.caveat { " \u{b7} " (clean(caveat)) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_names_are_cut_and_short_ones_stay() {
        assert_eq!(cut("North", 5), "North");
        assert_eq!(cut("North of the road", 7), "North\u{2026}");
        assert_eq!(cut(&"\u{fc}".repeat(300), 76).chars().count(), 76);
    }
}
