//! A plan where there is not enough, for the terminal.

use std::fmt::Write as _;

use super::number::{grouped, money};
use super::summary_text::wrap;
use crate::findings::{clean, clean_long};
use crate::roster::{Plan, PlanGap, PlanLedger, PlannedField, PoolPart};
use crate::summary::Quantity;
use crate::units::{Currency, counted};

/// Letters of a field's id that have room in the table.
const ID: usize = 22;

/// The plan: what there is, which fields get lime and why, the ledger, the rule, what to mind.
pub fn plan_text(plan: &Plan) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write_plan(&mut out, plan);
    out
}

fn write_plan(out: &mut String, plan: &Plan) -> std::fmt::Result {
    writeln!(out, "When there is not enough (masses as spread, wet)")?;
    for pool in &plan.pools {
        write_pool(out, pool)?;
    }
    write_fields(out, plan)?;
    write_sets(out, plan)?;
    writeln!(out, "\nLedger of all fields, {} of effective CaCO3", plan.ledger.need.unit)?;
    for (words, quantity) in ledger_lines(&plan.ledger) {
        writeln!(out, "  {words:<42}{}", right(&grouped(quantity.value, 2), 10))?;
    }
    if let Some(response) = &plan.response {
        let worth = format!(
            "By your own figures ({}) the gain of pH is worth {}.",
            clean(&response.source),
            money(&response.worth)
        );
        out.push('\n');
        wrap(out, "", &worth)?;
    }
    writeln!(out, "\nThe rule, the first that differs deciding")?;
    for (step, number) in plan.rule.iter().zip(1..) {
        wrap(out, &format!("  {number}. "), &format!("{} [{}]", step.step, step.source))?;
    }
    for (head, lines) in [("Notes", &plan.notes), ("Mind", &plan.cautions)] {
        if !lines.is_empty() {
            writeln!(out, "\n{head}")?;
            for line in lines {
                wrap(out, "  - ", line)?;
            }
        }
    }
    Ok(())
}

fn write_pool(out: &mut String, pool: &PoolPart) -> std::fmt::Result {
    out.push('\n');
    let material = pool.material.as_deref().map_or_else(|| "All fields".to_owned(), clean);
    wrap(out, "", &format!("{material}: {} asked for by all together", in_full(&pool.asked)))?;
    let several = pool.years.len() > 1;
    for year in &pool.years {
        let limit = year.limit.as_ref().map_or_else(
            || "no limit".to_owned(),
            |limit| format!("{} of {}", in_full(&year.used), in_full(limit)),
        );
        let head = if several { format!("Year {}", year.year) } else { "Taken".to_owned() };
        let does = format!(
            "{limit}: {}, {} to order, {} with aluminium risk limed, {} gained",
            counted(year.fields as u64, "field", "fields"),
            in_full(&year.order),
            in_full(&year.aluminium_area),
            in_full(&year.ph_gain)
        );
        wrap(out, &told(&head), &does)?;
    }
    if limes_nothing(pool) {
        wrap(out, &told("Nothing"), NOTHING)?;
    }
    if !pool.covers.is_empty() {
        wrap(out, &told("Pays for"), &pool.covers.join(", "))?;
    }
    wrap(out, &told("Proven"), &proven_in_words(pool))
}

/// What is said of a pool of which nothing is used.
pub(super) const NOTHING: &str = "no field, and no part that may be taken, fits what there is";

/// Whether lime is asked for and no field gets any.
pub(super) fn limes_nothing(pool: &PoolPart) -> bool {
    pool.asked.value > 0.0 && pool.years.iter().all(|year| year.fields == 0)
}

/// The lines of the ledger, each with its words.
pub(super) fn ledger_lines(ledger: &PlanLedger) -> Vec<(&'static str, &Quantity)> {
    let mut lines = vec![
        ("Needed", &ledger.need),
        ("Supplied", &ledger.supplied),
        ("Unmet: held back, not enough", &ledger.held_back),
    ];
    if let Some(left) = &ledger.not_this_year {
        lines.push(("Unmet: not this year, as the list asks", left));
    }
    lines.push(("Unmet: by the spreaders' limits", &ledger.unmet));
    lines.push(("Excess", &ledger.excess));
    lines
}

/// What a line tells of, before it.
fn told(head: &str) -> String {
    format!("  {head:<10}")
}

/// Whether no other choice does more, in words.
pub(super) fn proven_in_words(pool: &PoolPart) -> String {
    if pool.proven {
        return "no other choice does more by the rule".to_owned();
    }
    match &pool.gap {
        None => "not for fields with too many rate areas; see the notes".to_owned(),
        Some(PlanGap { aluminium_area, aluminium_area_here, ph_gain, ph_gain_here }) => {
            let more = ph_gain.as_ref().map_or_else(String::new, |gain| {
                format!(
                    ", and gains {} at most, this plan {}",
                    in_full(gain),
                    in_full(ph_gain_here)
                )
            });
            format!(
                "no choice limes more than {} with aluminium risk, each of several years counted; this \
                 plan limes {}{more}",
                in_full(aluminium_area),
                in_full(aluminium_area_here)
            )
        }
    }
}

fn write_fields(out: &mut String, plan: &Plan) -> std::fmt::Result {
    let Some(first) = plan.fields.first() else { return Ok(()) };
    writeln!(
        out,
        "\n{:<ID$}  {:<13}{:>12}{:>12}{:>12}{:>12}",
        "Field",
        "Decision",
        format!("Order, {}", first.order.unit),
        format!("of, {}", first.order_all.unit),
        format!("Risk, {}", first.aluminium_area.unit),
        first.ph_gain.unit
    )?;
    for field in &plan.fields {
        let id: String = clean(&field.id).chars().take(ID).collect();
        writeln!(
            out,
            "{id:<ID$}  {:<13}{}{}{}{}",
            decision(field, plan.years),
            right(&grouped(field.order.value, 2), 12),
            right(&grouped(field.order_all.value, 2), 12),
            right(&grouped(field.aluminium_area.value, 2), 12),
            right(&grouped(field.ph_gain.value, 2), 12)
        )?;
        wrap(out, "    ", &clean_long(&field.why))?;
    }
    Ok(())
}

/// An amount of a plan, its digits in threes: money as it is written elsewhere.
pub(super) fn in_full(quantity: &Quantity) -> String {
    let unit = quantity.unit.as_ref();
    if Currency::from_words(unit).is_some() {
        money(quantity)
    } else {
        format!("{} {unit}", grouped(quantity.value, 2))
    }
}

/// What becomes of a field, with its year where there are several.
pub(super) fn decision(field: &PlannedField, years: usize) -> String {
    match field.year.filter(|_| years > 1) {
        Some(year) => format!("year {year}"),
        None => field.decision.clone(),
    }
}

/// The lines that make maps those of the plan.
fn write_sets(out: &mut String, plan: &Plan) -> std::fmt::Result {
    let sets: Vec<(&str, &str)> = plan
        .fields
        .iter()
        .filter_map(|field| Some((field.id.as_str(), field.set.as_deref()?)))
        .collect();
    if sets.is_empty() {
        return Ok(());
    }
    writeln!(
        out,
        "\nTo set in the jobs of fields that get a part, so that their maps are the plan's"
    )?;
    for (id, set) in sets {
        wrap(out, "  ", &format!("{}: {set}", clean(id)))?;
    }
    Ok(())
}

fn right(text: &str, width: usize) -> String {
    format!("{text:>width$}")
}
