//! One field among many, from its finished summary.

use std::path::Path;

use super::row::{
    FieldRow, RowApplication, RowCheck, RowComposite, RowHaul, RowLimits, RowLoads, RowMachine,
    RowMaterial, RowPh,
};
use crate::summary::{FieldNames, LoadPart, OneApplicationPart, RatePart, Summary};

impl FieldRow {
    /// The row of the field whose folder is called `id`.
    pub fn of(summary: &Summary, id: &str) -> Self {
        let rates = || summary.rates.iter().filter(|part| part.rate.value > 0.0);
        let by_rate =
            |one: &&RatePart, other: &&RatePart| one.rate.value.total_cmp(&other.rate.value);
        let flat = &summary.flat_rate.composite;
        let risk = summary.risk.as_ref();
        Self {
            id: id.to_owned(),
            field: names(summary, id),
            units: summary.units.clone(),
            dates: summary.dates.clone(),
            place_deg: summary.place_deg,
            area: summary.area.clone(),
            keep_out_area: summary.keep_out_area.clone(),
            treated_area: summary.treated_area.clone(),
            ph: ph(summary),
            need_total: summary.need_total.clone(),
            supplied_total: summary.supplied_total.clone(),
            excess_total: summary.excess_total.clone(),
            unmet_total: summary.unmet_total.clone(),
            held_back_total: summary.ledger.held_back.clone(),
            product_total: summary.product_total.clone(),
            to_load: summary.to_load.clone(),
            pile_loss: summary.order.pile_loss.clone(),
            truck_fill: summary.order.truck_fill.clone(),
            to_order: summary.to_order.clone(),
            mean_rate: summary.mean_rate.clone(),
            least_rate: rates().min_by(by_rate).map(|part| part.rate.clone()),
            greatest_rate: rates().max_by(by_rate).map(|part| part.rate.clone()),
            limits: limits(summary),
            spreader_loads: loads(&summary.loads.spreader),
            truck_loads: summary.loads.truck.as_ref().map(loads),
            haul: haul(summary),
            aluminium_risk_area: risk.map(|risk| {
                let mut area = risk.aluminium_possible_area.clone();
                area.value += risk.aluminium_likely_area.value;
                area
            }),
            benefit: summary.benefit.clone(),
            rate_areas: summary.rate_areas.iter().flat_map(|part| &part.each).cloned().collect(),
            composite: RowComposite {
                rate: flat.rate.clone(),
                product: flat.product.clone(),
                to_order: flat.to_order.clone(),
                cost: flat.cost.clone(),
            },
            cross_check: cross_check(summary),
            leading_reading: summary.sensitivity.reading.clone(),
            method: summary.method.id.clone(),
            target: summary.method.target.clone(),
            target_medium: summary.method.ph_medium.clone(),
            material: material(summary),
            applications: summary.applications.iter().map(application).collect(),
            work: summary.work.clone(),
            delivery: summary.delivery.clone(),
            machine: RowMachine {
                pass_spacing: summary.machine.pass_spacing.clone(),
                speed: summary.machine.speed.clone(),
                passes: summary.machine.heading.passes,
                turns: summary.machine.heading.turns,
            },
            findings: summary.findings.len(),
            job_effective_sha256: summary.job_effective_sha256.clone(),
            sketch: summary.sketch.clone(),
        }
    }
}

fn limits(summary: &Summary) -> Option<RowLimits> {
    let limits = &summary.limits;
    Some(RowLimits {
        rates: limits.rates.clone()?,
        raised: limits.raised.clone(),
        dropped: limits.dropped.clone(),
        capped: limits.capped.clone(),
    })
}

/// A field that is called as its boundary's file is, or not at all, is called as its folder is.
fn names(summary: &Summary, id: &str) -> FieldNames {
    let stated = |name: &String| !name.trim().is_empty();
    let name = &summary.field.name;
    let boundary = summary.inputs.iter().find(|input| input.role == "boundary");
    let stem = boundary.and_then(|input| Path::new(&input.path).file_stem());
    let of_file = stem.is_some_and(|stem| stem.to_string_lossy() == name.as_str());
    FieldNames {
        name: if of_file || !stated(name) { id } else { name }.to_owned(),
        customer: summary.field.customer.clone().filter(stated),
        farm: summary.field.farm.clone().filter(stated),
    }
}

fn ph(summary: &Summary) -> Option<RowPh> {
    let part = summary.soil.get("ph")?;
    Some(RowPh {
        measured_in: part.measured_in.clone(),
        samples: part.samples,
        min: part.min,
        mean: part.mean,
        max: part.max,
    })
}

fn loads(part: &LoadPart) -> RowLoads {
    RowLoads { count: part.count, full: part.full.clone() }
}

fn haul(summary: &Summary) -> Option<RowHaul> {
    let haul = summary.haul.as_ref()?;
    Some(RowHaul {
        one_way_distance: haul.one_way_distance.clone(),
        ton_miles: haul.ton_miles.clone(),
        truck_time: haul.truck_time.clone(),
        charge_per_mass: haul.charge_per_mass.clone(),
        charge_per_load: haul.charge_per_load.clone(),
        minimum_charge: haul.minimum_charge.clone(),
        haul_cost: haul.cost.clone(),
        product_cost: haul.product_cost.clone(),
        spreading_cost: haul.spreading_cost.clone(),
        cost_total: haul.cost_total.clone(),
        cost_covers: haul.cost_covers.clone(),
        cost_per_area: haul.cost_per_area.clone(),
    })
}

fn cross_check(summary: &Summary) -> Vec<RowCheck> {
    let checks = summary.interpolation.cross_check.iter();
    checks
        .map(|(reading, check)| RowCheck {
            reading: reading.clone(),
            samples: check.samples,
            rmse: check.rmse,
            mean_rmse: check.mean_rmse,
        })
        .collect()
}

fn material(summary: &Summary) -> RowMaterial {
    let material = &summary.material;
    RowMaterial {
        name: material.name.clone(),
        kind: material.kind.clone(),
        lot: material.lot.clone(),
        supplier: material.supplier.clone(),
        effective_as_spread: material.effective_as_spread,
        moisture: material.moisture,
        price: material.price.clone(),
        price_at: summary.haul.as_ref().and_then(|haul| haul.price_at.clone()),
    }
}

fn application(part: &OneApplicationPart) -> RowApplication {
    RowApplication {
        number: part.number,
        date: part.date.clone(),
        product_total: part.product_total.clone(),
        to_load: part.to_load.clone(),
        to_order: part.to_order.clone(),
        order: part.order.clone(),
        treated_area: part.treated_area.clone(),
        spreader_loads: part.loads.spreader.count,
        truck_loads: part.loads.truck.as_ref().map(|trucks| trucks.count),
    }
}
