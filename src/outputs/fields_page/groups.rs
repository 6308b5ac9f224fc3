//! Totals of groups of fields, a table each.

use maud::{Markup, html};

use crate::findings::clean;
use crate::outputs::fields_totals_text::{application_line, group_name};
use crate::outputs::number::{grouped, money};
use crate::outputs::summary_text::percent;
use crate::roster::{GroupTotal, ProductTotal, TotalsPart};

/// The groups of which there are several.
pub(super) fn groups(totals: &TotalsPart) -> Markup {
    html! {
        // A group of one material is called as the material is.
        @for (title, unnamed, groups, named) in [
            ("By material", "", &totals.by_material, false),
            ("By supplier", "No supplier named", &totals.by_supplier, true),
            ("By customer", "No customer named", &totals.by_customer, true),
        ] {
            @if groups.len() > 1 {
                section {
                    h2 { (title) }
                    (group_table(groups, unnamed, named))
                }
            }
        }
        @if totals.by_application.len() > 1 {
            section {
                h2 { "By application" }
                ul { @for part in &totals.by_application { li { (application_line(part)) } } }
            }
        }
    }
}

fn group_table(groups: &[GroupTotal], unnamed: &str, named: bool) -> Markup {
    let Some(first) = groups.first() else { return html! {} };
    let (area, mass) = (&first.area.unit, &first.need_total.unit);
    let costs = groups.iter().any(|group| !group.costs.is_empty());
    html! {
        table.groups {
            thead {
                tr {
                    th {}
                    th { "Fields" }
                    th { "Area" br; small { (area) } }
                    th { "Treated" br; small { (area) } }
                    th { "Need" br; small { (mass) " CaCO3" } }
                    th { "Unmet" br; small { (mass) " CaCO3" } }
                    th { "Unmet" br; small { "of need" } }
                    th { "Loads" }
                    @if costs { th { "Cost" br; small { "fields it is of" } } }
                    @if named { th.words { "Material" } }
                    th { "Prescribed" br; small { (mass) } }
                    th { "To load" br; small { (mass) } }
                    th { "To order" br; small { (mass) } }
                }
            }
            @for group in groups {
                tbody {
                    @for (at, product) in group.products.iter().enumerate() {
                        tr {
                            @if at == 0 { (group_cells(group, unnamed, costs)) }
                            @if named { td.words { (clean(&product.material)) } }
                            (product_cells(product))
                        }
                    }
                }
            }
        }
    }
}

/// The cells that stand beside all products of a group.
fn group_cells(group: &GroupTotal, unnamed: &str, costs: bool) -> Markup {
    let rows = group.products.len();
    let two = |value: f64| grouped(value, 2);
    html! {
        th rowspan=(rows) { (group_name(group, unnamed)) }
        td rowspan=(rows) { (group.fields) }
        td rowspan=(rows) { (two(group.area.value)) }
        td rowspan=(rows) { (two(group.treated_area.value)) }
        td rowspan=(rows) { (two(group.need_total.value)) }
        td rowspan=(rows) { (two(group.unmet_total.value)) }
        td rowspan=(rows) { @if let Some(share) = group.unmet_share { (percent(share)) } }
        td rowspan=(rows) { (group.spreader_loads) }
        @if costs {
            td rowspan=(rows) {
                @for (at, cost) in group.costs.iter().enumerate() {
                    @if at > 0 { br; }
                    (money(&cost.total)) " " small { "(" (cost.fields) ")" }
                }
            }
        }
    }
}

fn product_cells(product: &ProductTotal) -> Markup {
    html! {
        td { (grouped(product.product_total.value, 2)) }
        td { (grouped(product.to_load.value, 2)) }
        td { (grouped(product.to_order.value, 2)) }
    }
}
