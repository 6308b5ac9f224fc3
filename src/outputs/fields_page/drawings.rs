//! The fields drawn side by side at one scale.

use maud::{Markup, PreEscaped, html};

use crate::findings::clean;
use crate::outputs::fields_cells::{names_with_folders, shown};
use crate::outputs::map_svg::{Drawing, draw_side_by_side};
use crate::roster::{Column, ComparedField, FieldsResult, SortBy};
use crate::units::UnitSystem;

/// More fields than these are not drawn: of more, those with the largest orders are.
const MOST_DRAWN: usize = 200;

/// The drawings, with one legend and one scale bar.
pub(super) fn drawings(result: &FieldsResult, system: UnitSystem) -> Markup {
    let by_order = SortBy { column: Column::ToOrder, turned: false };
    let ordered = by_order.sorted(&result.comparison);
    let drawing = |field: &&ComparedField| {
        // Rows stand by their ids.
        let at = result.fields.binary_search_by(|row| row.id.cmp(&field.id)).ok()?;
        let row = &result.fields[at];
        Drawing::of(row.sketch.as_ref()?, &row.mean_rate.unit, system)
    };
    let (shown_ones, left) = ordered.split_at(ordered.len().min(MOST_DRAWN));
    let drawn: Vec<(&ComparedField, Drawing)> = shown_ones
        .iter()
        .filter_map(|field| drawing(field).map(|drawing| (*field, drawing)))
        .collect();
    let without = shown_ones.len() - drawn.len();
    let fields: Vec<&ComparedField> = drawn.iter().map(|(field, _)| *field).collect();
    let shapes: Vec<&Drawing> = drawn.iter().map(|(_, drawing)| drawing).collect();
    let names = names_with_folders(&fields);
    let picture = draw_side_by_side(&shapes, system);
    let rate_unit = crate::roster::ColumnUnit::Rate.ending(system).replace('_', "/");
    let mass_unit = crate::roster::ColumnUnit::Mass.ending(system);
    html! {
        @if !drawn.is_empty() {
            section.drawings {
                h2 { "The fields at one scale" }
                p.note {
                    "North is up. Each square shows the commonest rate in it; one that is mostly kept \
                     out or beyond the line is white. The squares are coarse at the edge. The \
                     largest orders come first."
                    @if !left.is_empty() {
                        " " strong { (left.len()) " with smaller orders are not drawn" }
                        "; all numbers hold them."
                    }
                    @if without > 0 { " " (without) " have no sketch in their results." }
                }
                div.key {
                    (PreEscaped(&picture.scale))
                    p {
                        "Rate, " (rate_unit) ", as spread (wet)"
                        @if result.comparison.totals.by_material.len() > 1 {
                            ", each field of its own material"
                        }
                        ": "
                        @for (fill, words) in &picture.legend {
                            span.shade {
                                @match fill {
                                    Some(colour) => { i.swatch style={ "background:" (colour) } {} }
                                    None => { i.swatch.nothing {} }
                                }
                                (words)
                            }
                        }
                    }
                }
                div.side-by-side {
                    @for ((field, svg), name) in fields.iter().zip(&picture.svgs).zip(&names) {
                        figure {
                            (PreEscaped(svg))
                            figcaption {
                                strong { (name) }
                                @if let Some(customer) = &field.field.customer {
                                    br; (clean(customer))
                                }
                                br; (shown(Column::ToOrder, field)) " " (mass_unit) " to order"
                                br; (rates(field))
                            }
                        }
                    }
                }
            }
        }
    }
}

fn rates(field: &ComparedField) -> String {
    match (&field.least_rate, &field.greatest_rate) {
        (Some(least), Some(_)) => {
            format!(
                "{} to {} {}",
                shown(Column::LeastRate, field),
                shown(Column::GreatestRate, field),
                least.unit
            ) + &match field.applications {
                0 | 1 => String::new(),
                several => format!(" in {several} applications"),
            }
        }
        _ => "nothing is spread".to_owned(),
    }
}
