//! Which supplier serves which field, for the terminal.

use std::fmt::Write as _;

use super::number::money;
use super::order_text::ordered;
use super::summary_text::{amount, decimals, percent, wrap};
use crate::findings::{clean, clean_long};
use crate::roster::{SuppliedField, SupplierPlan, SupplierUse};
use crate::units::counted;

/// The choice of suppliers as people read it.
pub fn suppliers_text(plan: &SupplierPlan) -> String {
    let mut text = String::new();
    // Writing to a String cannot fail.
    let _ = write_plan(&mut text, plan);
    text
}

fn write_plan(out: &mut String, plan: &SupplierPlan) -> std::fmt::Result {
    writeln!(out, "Suppliers, masses as spread (wet), costs delivered")?;
    if !plan.lacks.is_empty() {
        writeln!(out, "\nNot enough: at the least there would have to be")?;
        for lack in &plan.lacks {
            writeln!(out, "  - {} more of {}", ordered(&lack.more), clean(&lack.supplier))?;
        }
    }
    if !plan.fields.is_empty() {
        out.push('\n');
    }
    for field in &plan.fields {
        write_field(out, field)?;
    }
    if let Some(total) = &plan.cost_total {
        writeln!(out, "\nAll of it: {} ({})", money(total), proven(plan))?;
    }
    writeln!(out, "\nUse of each supplier")?;
    for supplier in &plan.suppliers {
        wrap(out, "  - ", &use_in_words(supplier))?;
    }
    for (head, list) in [("What this rests on", &plan.rests_on), ("Not known", &plan.not_known)] {
        if !list.is_empty() {
            writeln!(out, "\n{head}")?;
        }
        for words in list {
            wrap(out, "  - ", words)?;
        }
    }
    write_tables(out, plan)
}

/// Whether there may be a cheaper choice.
pub(super) fn proven(plan: &SupplierPlan) -> String {
    match plan.gap {
        _ if plan.proven => "for these tons no other choice costs less".to_owned(),
        Some(gap) => format!(
            "not proven the cheapest: another may cost up to {} % less",
            decimals(gap * 100.0, 2)
        ),
        None => "not proven the cheapest".to_owned(),
    }
}

fn write_field(out: &mut String, field: &SuppliedField) -> std::fmt::Result {
    let shares: Vec<String> = field
        .from
        .iter()
        .map(|share| {
            let trucks = share.trucks.map_or_else(String::new, |trucks| {
                format!(" in {}", counted(trucks, "truck", "trucks"))
            });
            let way = share
                .distance
                .as_ref()
                .map_or_else(String::new, |way| format!(" over {}", amount(way, 1)));
            let least = share
                .at_least
                .as_ref()
                .map_or_else(String::new, |least| format!(" (at the least {})", amount(least, 2)));
            format!(
                "{}{least}{trucks} from {}{way}, {}",
                amount(&share.to_order, 2),
                clean(&share.supplier),
                money(&share.cost)
            )
        })
        .collect();
    let again = if (field.rate_factor - 1.0).abs() > 1e-9 {
        format!(
            "; rates times {} before limits and rounding: run it again",
            decimals(field.rate_factor, 3)
        )
    } else {
        String::new()
    };
    wrap(out, "  ", &format!("{}: {}{again}", clean(&field.id), shares.join("; ")))
}

pub(super) fn use_in_words(supplier: &SupplierUse) -> String {
    let limit = supplier.limit.as_ref().map_or_else(
        || " (no limit stated)".to_owned(),
        |limit| format!(" of {}", amount(limit, 2)),
    );
    let mut words = format!(
        "{} ({}, {} effective): {}{limit} for {}",
        clean(&supplier.supplier),
        clean(&supplier.material),
        percent(supplier.effective_as_spread),
        amount(&supplier.used, 2),
        counted(supplier.fields as u64, "field", "fields"),
    );
    if let Some(cost) = &supplier.cost {
        let _ = write!(words, ", {}", money(cost));
    }
    if let (Some(more), Some(saves)) = (&supplier.one_more, &supplier.one_more_saves) {
        let _ = write!(words, "; {} more of it would save {}", amount(more, 2), money(saves));
    }
    words
}

/// The `[material]` of each supplier that a field has to be run again with.
fn write_tables(out: &mut String, plan: &SupplierPlan) -> std::fmt::Result {
    let again = |supplier: &&SupplierUse| {
        plan.fields.iter().any(|field| {
            (field.rate_factor - 1.0).abs() > 1e-9
                && field.from.iter().any(|share| share.supplier == supplier.supplier)
        })
    };
    for supplier in plan.suppliers.iter().filter(again) {
        let name = clean(&supplier.supplier);
        writeln!(out, "\nFor fields of {name}, in place of the job's own (paths from the list):")?;
        for line in supplier.material_toml.lines() {
            writeln!(out, "    {}", clean_long(line))?;
        }
    }
    Ok(())
}
