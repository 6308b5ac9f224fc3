//! Which supplier serves which field, for the terminal.

use std::fmt::Write as _;

use super::number::money;
use super::order_text::ordered;
use super::summary_text::{amount, decimals, percent, wrap};
use crate::findings::{clean, clean_long, first_of};
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
        writeln!(out, "\n{}: {} ({})", whole(plan), money(total), proven(plan))?;
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

/// What the whole cost is of.
pub(super) fn whole(plan: &SupplierPlan) -> String {
    if plan.unserved.is_empty() {
        return "All of it".to_owned();
    }
    let served = plan.fields.len();
    format!("The {served} of {} fields that are served", served + plan.unserved.len())
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
    if let (Some(more), Some(saves)) = (&supplier.one_more, &supplier.one_more_saves)
        && saves.value > 0.0
    {
        let part = supplier.limit.as_ref().map(|limit| more.value / limit.value);
        let hundredth = part.is_some_and(|part| (part - 0.01).abs() < 1e-9);
        let of = if hundredth { "a hundredth" } else { "a truck" };
        let more = amount(more, 2);
        let _ = write!(words, "; {of} more of it ({more}) would save {}", money(saves));
    }
    words
}

/// The tables with which the fields of each supplier are run again.
fn write_tables(out: &mut String, plan: &SupplierPlan) -> std::fmt::Result {
    for again in runs_again(plan) {
        out.push('\n');
        wrap(out, "", &again.head)?;
        for line in &again.lines {
            writeln!(out, "    {}", clean_long(line))?;
        }
        for words in &again.beside {
            wrap(out, "  - ", words)?;
        }
    }
    Ok(())
}

/// Fields that are named before the rest is only counted.
const NAMED: usize = 10;

/// How the fields of one supplier are run with its material.
pub(super) struct RunAgain {
    /// For which fields, and in place of what.
    pub(super) head: String,
    /// The lines of the job.
    pub(super) lines: Vec<String>,
    /// The distance of each field, and what else has to be seen to.
    pub(super) beside: Vec<String>,
}

/// How the fields are run again, for each supplier that is taken.
pub(super) fn runs_again(plan: &SupplierPlan) -> Vec<RunAgain> {
    let taken = plan.suppliers.iter().filter(|supplier| supplier.fields > 0);
    taken.map(|supplier| run_again(plan, supplier)).collect()
}

fn run_again(plan: &SupplierPlan, supplier: &SupplierUse) -> RunAgain {
    let of_it = |field: &SuppliedField| -> Option<(String, Option<String>)> {
        let share = field.from.iter().find(|share| share.supplier == supplier.supplier)?;
        let way = share.distance.as_ref();
        // As a job writes it: a number and its unit, without marks between thousands.
        let way = way.map(|way| format!("one_way_distance = \"{:.2} {}\"", way.value, way.unit));
        Some((clean(&field.id), way))
    };
    let fields: Vec<(String, Option<String>)> = plan.fields.iter().filter_map(of_it).collect();
    let ids: Vec<&str> = fields.iter().map(|(id, _)| id.as_str()).collect();
    let name = clean(&supplier.supplier);
    let mut lines: Vec<String> = supplier.material_toml.lines().map(str::to_owned).collect();
    let hauls = !supplier.haul_toml.is_empty();
    if hauls {
        lines.push(String::new());
        lines.extend(supplier.haul_toml.lines().map(str::to_owned));
    }
    let mut beside: Vec<String> = Vec::new();
    if hauls {
        let ways = fields.iter().filter_map(|(id, way)| Some(format!("{id}: {}", way.as_ref()?)));
        let ways: Vec<String> = ways.collect();
        if !ways.is_empty() {
            beside.push(format!("In `[haul]` of each field: {}.", ways.join("; ")));
        }
    }
    if supplier.material_toml.lines().any(|line| line.starts_with("from = ")) {
        beside.push(format!(
            "Its entry in that list says whose it is: give it `supplier = \"{name}\"`, so that the \
             order sheet names it."
        ));
    }
    if !supplier.shared_beside.is_empty() {
        beside.push(format!(
            "The list shares {}, which are laid under each job key by key and would hold beside \
             these lines: take them out of the list, and write them into the jobs that they are \
             for.",
            clean_long(&supplier.shared_beside.join(", "))
        ));
    }
    RunAgain {
        head: format!(
            "For the fields of {name} ({}), take `[material]` and the keys of `[haul]`, but \
             `drop_site` and `spreading_cost`, out of the job, and put these in (paths from the \
             list):",
            first_of(&ids, NAMED)
        ),
        lines,
        beside,
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn plan() -> SupplierPlan {
        let of = |value: f64, unit: &str| json!({ "value": value, "unit": unit });
        let supplier = json!({
            "supplier": "Quarry 4",
            "material": "Q4",
            "effective_as_spread": 0.63,
            "limit": of(800.0, "ton"),
            "used": of(140.0, "ton"),
            "fields": 1,
            "one_more": of(8.0, "ton"),
            "one_more_saves": of(0.0, "$"),
            "material_toml": "[material]\nsupplier = \"Quarry 4\"\n",
            "haul_toml": "[haul]\ncost = \"0.25 $/ton-mile\"\n",
            "shared_beside": ["material.moisture"],
        });
        let share = json!({
            "supplier": "Quarry 4",
            "to_order": of(140.0, "ton"),
            "at_least": of(120.0, "ton"),
            "distance": of(12.346, "mi"),
            "cost": of(2_400.0, "$"),
        });
        let field = json!({
            "id": "f06", "field": "North", "from": [share], "cost": of(2_400.0, "$"),
            "rate_factor": 0.8,
        });
        serde_json::from_value(json!({
            "fields": [field],
            "suppliers": [supplier],
            "unserved": ["f07"],
            "cost_total": of(2_400.0, "$"),
            "proven": true,
            "rests_on": [],
            "not_known": [],
        }))
        .unwrap()
    }

    fn in_one_line(plan: &SupplierPlan) -> String {
        suppliers_text(plan).split_whitespace().collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn the_jobs_are_told_whole_and_the_cost_is_of_what_it_covers() {
        let text = in_one_line(&plan());
        for part in [
            "The 1 of 2 fields that are served: $2,400.00 (for these tons no other choice costs",
            "140.00 ton (at the least 120.00 ton)",
            "supplier = \"Quarry 4\"",
            "cost = \"0.25 $/ton-mile\"",
            "f06: one_way_distance = \"12.35 mi\"",
            "The list shares material.moisture",
        ] {
            assert!(text.contains(part), "{part}: {text}");
        }
        assert!(!text.contains("would save"), "what is not short saves nothing: {text}");
        let mut short = plan();
        short.suppliers[0].one_more_saves.as_mut().unwrap().value = 14.0;
        let text = in_one_line(&short);
        assert!(text.contains("a hundredth more of it (8.00 ton)"), "{text}");
    }
}
