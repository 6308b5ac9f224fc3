//! What fields come to together, in words: every number says what it is of.

use super::fields_cells::less_or_more;
use super::number::{grouped, money};
use super::summary_text::{decimals, percent, wrap};
use crate::findings::clean;
use crate::roster::{
    ApplicationTotal, CostTotal, GroupTotal, KnownTotal, ProductTotal, TotalsPart,
};
use crate::summary::Quantity;
use crate::units::counted;

/// Writes the totals of all fields, and of each group where there are several.
pub(super) fn write_totals(out: &mut String, totals: &TotalsPart) -> std::fmt::Result {
    let all = &totals.all;
    if all.fields == 0 {
        return Ok(());
    }
    out.push_str("\nAll fields together\n");
    for line in group_lines(all, true) {
        wrap(out, "  ", &line)?;
    }
    let applications = &totals.by_application;
    if applications.len() > 1 {
        out.push_str("\nBy application\n");
        for part in applications {
            wrap(out, "  ", &application_line(part))?;
        }
    }
    // A group of one material is called as the material is.
    for (title, unnamed, groups, named) in [
        ("By material", "", &totals.by_material, false),
        ("By supplier", "No supplier named", &totals.by_supplier, true),
        ("By customer", "No customer named", &totals.by_customer, true),
    ] {
        if groups.len() < 2 {
            continue;
        }
        out.push('\n');
        out.push_str(title);
        out.push('\n');
        for group in groups {
            wrap(out, "  ", &group_name(group, unnamed))?;
            for line in group_lines(group, named) {
                wrap(out, "    ", &line)?;
            }
        }
    }
    Ok(())
}

/// What a group is called.
pub(super) fn group_name(group: &GroupTotal, unnamed: &str) -> String {
    group.name.as_deref().map_or_else(|| unnamed.to_owned(), clean)
}

/// An amount with its unit, digits in threes.
pub(super) fn with_unit(quantity: &Quantity) -> String {
    format!("{} {}", grouped(quantity.value, 2), quantity.unit)
}

/// A group in sentences; its materials are `named` unless they are what the group is called.
pub(super) fn group_lines(group: &GroupTotal, named: bool) -> Vec<String> {
    let mut lines = vec![area_line(group), need_line(group)];
    lines.extend(group.products.iter().map(|product| product_line(product, named)));
    lines.push(loads_line(group));
    lines.extend(group.costs.iter().map(|cost| cost_line(cost, group.fields)));
    if let Some(risk) = &group.aluminium_risk_area {
        let of = of_fields(risk, group.fields);
        lines.push(format!("Aluminium may harm roots on {}{of}", with_unit(&risk.total)));
    }
    lines
}

fn area_line(group: &GroupTotal) -> String {
    let ph = group.ph.as_ref().map_or_else(String::new, |ph| {
        let weighted = if group.fields > 1 { ", each field by its mapped area" } else { "" };
        format!(
            "; mean pH of samples {} ({}){weighted}",
            decimals(ph.mean, 2),
            clean(&ph.measured_in)
        )
    });
    let mapped = if group.mapped_area == group.area {
        String::new()
    } else {
        format!(", {} less what is kept out", with_unit(&group.mapped_area))
    };
    format!(
        "{}: {}{mapped}, {} treated{ph}",
        counted(group.fields as u64, "field", "fields"),
        with_unit(&group.area),
        with_unit(&group.treated_area)
    )
}

fn need_line(group: &GroupTotal) -> String {
    let share =
        group.unmet_share.map_or_else(String::new, |share| format!(" ({})", percent(share)));
    format!(
        "CaCO3: {} needed, {} supplied, {} of it beyond the need, {} unmet{share}",
        with_unit(&group.need_total),
        with_unit(&group.supplied_total),
        with_unit(&group.excess_total),
        with_unit(&group.unmet_total)
    )
}

fn product_line(product: &ProductTotal, named: bool) -> String {
    let of = if named {
        let fields = counted(product.fields as u64, "field", "fields");
        format!("{}, {fields}, as spread (wet)", clean(&product.material))
    } else {
        "As spread (wet)".to_owned()
    };
    let together = match product.most_applications {
        0 | 1 => String::new(),
        most => format!(" of up to {most} applications together"),
    };
    let rates = match (&product.least_rate, &product.greatest_rate) {
        (Some(least), Some(greatest)) => format!(
            "; rates{together} {} to {} {}, mean {}",
            decimals(least.value, 3),
            decimals(greatest.value, 3),
            greatest.unit,
            decimals(product.mean_rate.value, 3)
        ),
        _ => String::new(),
    };
    format!(
        "{of}: {} prescribed, {} to load, {} to order{rates}; to order against one rate a field: {}",
        with_unit(&product.product_total),
        with_unit(&product.to_load),
        with_unit(&product.to_order),
        less_or_more(&product.saving_to_order, with_unit)
    )
}

fn loads_line(group: &GroupTotal) -> String {
    let trucks = group.truck_loads.as_ref().map_or_else(String::new, |trucks| {
        let of = of_some(trucks.fields, group.fields);
        format!(", {} of trucks{of}", trucks.count)
    });
    let hauled = group.ton_miles.as_ref().map_or_else(String::new, |hauled| {
        let of = of_fields(hauled, group.fields);
        format!("; haul of {} {}{of}", grouped(hauled.total.value, 0), hauled.total.unit)
    });
    format!("Loads: {} of spreaders{trucks}{hauled}", group.spreader_loads)
}

fn cost_line(cost: &CostTotal, fields: usize) -> String {
    let covers = |words: &[String]| words.join(" + ");
    let what = match cost.covers.as_slice() {
        [one] => format!(" ({})", covers(&one.covers)),
        several => {
            let each: Vec<String> = several
                .iter()
                .map(|part| {
                    format!(
                        "{} of {} for {}",
                        money(&part.total),
                        counted(part.fields as u64, "field", "fields"),
                        covers(&part.covers)
                    )
                })
                .collect();
            format!(", of that {}", each.join(", "))
        }
    };
    let haul = cost.haul.as_ref().map_or_else(String::new, |haul| {
        format!("; haul {}{}", money(&haul.total), of_fields(haul, cost.fields))
    });
    let saving = cost.saving.as_ref().map_or_else(String::new, |saving| {
        let of = of_fields(saving, cost.fields);
        format!("; against one rate a field: {}{of}", less_or_more(&saving.total, money))
    });
    format!(
        "Cost of {} of {}: {}, {}{what}{haul}{saving}",
        cost.fields,
        counted(fields as u64, "field", "fields"),
        money(&cost.total),
        money(&cost.per_area)
    )
}

/// What one application takes, in a sentence.
pub(super) fn application_line(part: &ApplicationTotal) -> String {
    let each: Vec<String> = part
        .products
        .iter()
        .map(|product| {
            format!(
                "{}, {}: {} prescribed, {} to load, {} to order",
                clean(&product.material),
                counted(product.fields as u64, "field", "fields"),
                with_unit(&product.product_total),
                with_unit(&product.to_load),
                with_unit(&product.to_order)
            )
        })
        .collect();
    format!(
        "Application {}, {}, {}: {}",
        part.number,
        counted(part.fields as u64, "field", "fields"),
        counted(part.spreader_loads, "spreader load", "spreader loads"),
        each.join("; ")
    )
}

fn of_fields(known: &KnownTotal, all: usize) -> String {
    of_some(known.fields, all)
}

fn of_some(known: usize, all: usize) -> String {
    if known == all { String::new() } else { format!(" ({known} of {all} fields)") }
}
