//! The parts of the driver's page.

use maud::{Markup, html};

use super::DriverNotes;
use crate::findings::clean;
use crate::outputs::map_svg::Picture;
use crate::outputs::number::grouped;
use crate::outputs::order_text::loads_in_words;
use crate::outputs::summary_text::{amount, decimals};
use crate::summary::{Factor, Quantity, Sheet, SheetRate, Summary};
use crate::units::{ControllerUnit, plain};

/// The rates in words, each the same wherever it stands on the page.
pub(super) struct Words {
    /// In the controller's unit.
    pub(super) rates: Vec<String>,
}

impl Words {
    pub(super) fn of(sheet: &Sheet) -> Self {
        let number = |rate: &SheetRate| match sheet.unit {
            ControllerUnit::PoundsPerAcre | ControllerUnit::KilogramsPerHectare => {
                grouped(rate.number, 0)
            }
            ControllerUnit::ShortTonsPerAcre | ControllerUnit::TonnesPerHectare => {
                plain(rate.number, 0, 3)
            }
        };
        Self { rates: sheet.rates.iter().map(number).collect() }
    }
}

/// Rates above which their rows are set closer, and above which they may run over to a second page.
const MANY: usize = 9;
const MOST: usize = 16;

/// Whether the application spreads anything.
fn spreads(sheet: &Sheet) -> bool {
    sheet.product.value > 0.0
}

/// Every rate with what it takes and what must flow for it.
pub(super) fn rates(
    sheet: &Sheet,
    words: &Words,
    fills: &[Option<String>],
    notes: &DriverNotes<'_>,
) -> Markup {
    let Some(first) = sheet.rates.first() else { return html! {} };
    let flow = sheet.rates.iter().find_map(|rate| rate.flow.as_ref());
    let own_unit = first.rate.unit == sheet.unit.words();
    let (count, speed) = (sheet.rates.len(), notes.speed.filter(|_| spreads(sheet)));
    html! {
        table.rates.many[count > MANY].most[count > MOST] {
            caption { "Rates" @if let Some(speed) = speed { ", flow at " (speed) } }
            thead {
                tr {
                    th {}
                    th { (sheet.unit.words()) }
                    @if !own_unit { th { (first.rate.unit) } }
                    th { (first.area.unit) }
                    th { (first.product.unit) }
                    @if let Some(flow) = flow { th { (flow.unit) } }
                }
            }
            tbody {
                @for ((rate, words), fill) in sheet.rates.iter().zip(&words.rates).zip(fills) {
                    tr {
                        td {
                            @match fill {
                                Some(colour) => { i.swatch style={ "background:" (colour) } {} }
                                None => { i.swatch.nothing {} }
                            }
                        }
                        td.big { (words) }
                        @if !own_unit { td.own { (plain(rate.rate.value, 0, 3)) } }
                        td { (decimals(rate.area.value, 1)) }
                        td { (decimals(rate.product.value, 1)) }
                        @if flow.is_some() {
                            td { @if let Some(flow) = &rate.flow { (grouped(flow.value, 0)) } }
                        }
                    }
                }
                // Not a foot of the table, which would stand on every page that it runs over.
                tr.total {
                    th {}
                    th { "spread" }
                    @if !own_unit { th {} }
                    th { (decimals(sheet.treated_area.value, 1)) }
                    th { (decimals(sheet.product.value, 1)) }
                    @if flow.is_some() { th {} }
                }
            }
        }
        @if count > MOST {
            p.note {
                (count) " rates: areas of one rate (" code { "[rate_areas]" } ") make fewer."
            }
        }
    }
}

/// The ground that gets nothing because it is held back this time: on the map it looks as if it needed
/// none.
pub(super) fn held_back(summary: &Summary) -> Markup {
    let held = summary.rate_areas.as_ref().and_then(|areas| areas.held_back.as_ref());
    html! {
        @if let Some(held) = held.filter(|held| held.area.value > 0.0) {
            p.note {
                strong { "Held back this time: " (amount(&held.area, 1)) }
                ", at rate 0 on the map. That ground waits for its lime: spread none there now."
            }
        }
    }
}

/// With as few decimals as it has, one at the most.
fn short(quantity: &Quantity) -> String {
    format!("{} {}", plain(quantity.value, 0, 1), quantity.unit)
}

/// What is loaded, in how many loads of how many buckets, and what is set.
pub(super) fn loading(sheet: &Sheet, summary: &Summary, notes: &DriverNotes<'_>) -> Markup {
    let loads = &sheet.loads;
    html! {
        dl {
            @if spreads(sheet) {
                dt { "Load" } dd { strong { (amount(&sheet.to_load, 1)) } " in all" }
                dt { "Loads" } dd { (loads_in_words(loads)) }
                @if let (Some(buckets), Some(bucket)) = (sheet.buckets, &sheet.bucket) {
                    dt { "Buckets" }
                    dd { strong { (decimals(buckets, 1)) } " a full load, of " (amount(bucket, 2)) }
                }
                dt { "Density" }
                dd {
                    @match &summary.material.bulk_density {
                        Some(density) => {
                            strong { (short(density)) } " to set; weigh a pail first"
                        }
                        None => { "not stated: weigh a pail, and set what you find" }
                    }
                }
            } @else {
                dt { "Load" } dd { strong { "Nothing to spread" } }
            }
            dt { "Passes" }
            dd {
                (notes.pass_spacing) " apart, heading " (notes.heading)
                @if let Some(speed) = notes.speed { ", " (speed) }
            }
        }
    }
}

/// The rate at a few places, to be held against what the controller shows there.
pub(super) fn spots(sheet: &Sheet, words: &Words) -> Markup {
    let Some(first) = sheet.rates.first() else { return html! {} };
    let own_unit = first.rate.unit == sheet.unit.words();
    html! {
        table.spots {
            caption { "Check the controller here" }
            thead {
                tr {
                    th { "Spot" } th { "Latitude, longitude" } th { (sheet.unit.words()) }
                    @if !own_unit { th { (first.rate.unit) } }
                }
            }
            tbody {
                @for spot in &sheet.spots {
                    tr {
                        td { strong { (spot.name) } }
                        td { (format!("{:.5}, {:.5}", spot.lat_deg, spot.lon_deg)) }
                        td.big { (words.rates[spot.rate]) }
                        @if !own_unit {
                            td.own { (plain(sheet.rates[spot.rate].rate.value, 0, 3)) }
                        }
                    }
                }
            }
        }
    }
}

/// What to multiply rates by where the pile is not as it was tested.
pub(super) fn factors(sheet: &Sheet, summary: &Summary) -> Markup {
    if !spreads(sheet) {
        return html! {};
    }
    let tested = summary.material.moisture.map(|share| plain(share * 100.0, 0, 1));
    let not_stated = tested.is_none();
    html! {
        section.factors {
            @if let Some(tested) = tested {
                (factor_table("Moisture differs", &sheet.by_moisture,
                    &format!("tested at {tested} %")))
            }
            @if let Some(set) = &summary.material.bulk_density {
                (factor_table("Density differs, cannot be set", &sheet.by_density,
                    &format!("set at {}", short(set))))
            }
            @if not_stated {
                p.note {
                    "The moisture of the tested material is not stated, so no factor for a wetter or \
                     drier pile can be told."
                }
            }
            @if !sheet.by_moisture.is_empty() && !sheet.by_density.is_empty() {
                p.note {
                    "One cause, one factor: never multiply a rate by both. A controller that is told \
                     the new density needs none."
                }
            }
        }
    }
}

fn factor_table(caption: &str, factors: &[Factor], note: &str) -> Markup {
    let Some(first) = factors.first() else { return html! {} };
    html! {
        table.factors {
            caption { (caption) " (" (note) ")" }
            tbody {
                tr {
                    th { (first.measured.unit) }
                    @for factor in factors { td { (plain(factor.measured.value, 0, 1)) } }
                }
                tr {
                    th { "rates x" }
                    @for factor in factors { td.big { (decimals(factor.times, 2)) } }
                }
            }
        }
    }
}

/// Letters of all hazards above which they are set smaller.
const MANY_LETTERS: usize = 300;

/// What a driver must mind: of this field first, then with this material.
pub(super) fn hazards(picture: &Picture<'_>, sheet: &Sheet, notes: &DriverNotes<'_>) -> Markup {
    let summary = picture.summary;
    let kept_out = summary.keep_out_area.value > 0.0;
    let letters: usize = notes.hazards.iter().map(|hazard| hazard.chars().count()).sum();
    html! {
        section.mind.full[letters > MANY_LETTERS] {
            h2 { "Mind" }
            ul {
                @for hazard in notes.hazards { li { strong { (clean(hazard)) } } }
                @if kept_out {
                    li {
                        strong { "Keep out of the cross-hatched ground" }
                        " (" (amount(&summary.keep_out_area, 1)) "), and keep the throw out of it too."
                    }
                }
                @if let Some(pile) = sheet.pile {
                    li { "Pile: " (format!("{:.5}, {:.5}", pile.lat_deg, pile.lon_deg)) }
                }
                @for caution in &summary.cautions { li { (caution) } }
            }
            footer {
                (summary.program.name) " " (summary.program.version)
                " \u{b7} all rates add up to " (amount(&sheet.product, 2))
            }
        }
    }
}
