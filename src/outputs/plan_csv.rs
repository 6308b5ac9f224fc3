//! A plan where there is not enough, as a table for programs and spreadsheets.

use super::csv_text::{LINE_END, write_text};
use super::number::write_value;
use crate::roster::{Plan, PlannedField};
use crate::units::UnitSystem;

/// One row for each field, by its id. A cell of what is not known is empty.
pub fn plan_csv(plan: &Plan, system: UnitSystem) -> Vec<u8> {
    let (mass, area) = match system {
        UnitSystem::Us => ("ton", "ac"),
        UnitSystem::Metric => ("t", "ha"),
    };
    let heads = [
        "id".to_owned(),
        "field".to_owned(),
        "material".to_owned(),
        "decision".to_owned(),
        "year".to_owned(),
        "only_rate_areas".to_owned(),
        format!("order_{mass}"),
        format!("order_all_{mass}"),
        format!("product_{mass}"),
        "cost".to_owned(),
        "currency".to_owned(),
        format!("aluminium_risk_{area}"),
        format!("aluminium_risk_all_{area}"),
        format!("ph_gain_ph_{area}"),
        format!("ph_gain_all_ph_{area}"),
        format!("need_caco3_{mass}"),
        format!("supplied_caco3_{mass}"),
        format!("unmet_caco3_{mass}"),
        format!("held_back_caco3_{mass}"),
        format!("not_this_year_caco3_{mass}"),
        format!("excess_caco3_{mass}"),
        "why".to_owned(),
    ];
    let mut out = heads.join(",").into_bytes();
    out.extend(LINE_END);
    for field in &plan.fields {
        write_field(&mut out, field);
    }
    out
}

fn write_field(out: &mut Vec<u8>, field: &PlannedField) {
    let only: Vec<String> = field.only.iter().map(u32::to_string).collect();
    let year = field.year.map_or_else(String::new, |year| year.to_string());
    for text in [&field.id, &field.name, &field.material, &field.decision, &year, &only.join(" ")] {
        write_text(out, text);
        out.push(b',');
    }
    for quantity in [&field.order, &field.order_all, &field.product] {
        write_value(out, quantity.value);
        out.push(b',');
    }
    if let Some(cost) = &field.cost {
        write_value(out, cost.value);
    }
    out.push(b',');
    write_text(out, field.cost.as_ref().map_or("", |cost| cost.unit.as_ref()));
    out.push(b',');
    let ledger = &field.ledger;
    let not_this_year = ledger.not_this_year.as_ref().map_or(0.0, |left| left.value);
    for value in [
        field.aluminium_area.value,
        field.aluminium_area_all.value,
        field.ph_gain.value,
        field.ph_gain_all.value,
        ledger.need.value,
        ledger.supplied.value,
        ledger.unmet.value,
        ledger.held_back.value,
        not_this_year,
        ledger.excess.value,
    ] {
        write_value(out, value);
        out.push(b',');
    }
    write_text(out, &field.why);
    out.extend(LINE_END);
}
