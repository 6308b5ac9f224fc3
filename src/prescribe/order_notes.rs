//! What the order tells beyond its numbers: findings in full sentences.

use crate::findings::Finding;
use crate::inputs::Job;
use crate::material::{BEET_LIME_SOURCE, P2O5_PER_P, beet_lime_phosphorus_kg_per_ha};
use crate::prescription::{FlatRates, Prescription};
use crate::sources::source;
use crate::units::{LimeNeed, UnitSystem};

/// What stands between prescribed and ordered, and how the map compares with one rate.
pub(super) fn of_order(job: &Job, prescription: &Prescription, flat: &FlatRates) -> Vec<Finding> {
    let mut findings = Vec::new();
    let allowed = job.order.overlap_allowance.to_number() + job.order.pile_loss.to_number();
    if allowed == 0.0 {
        findings.push(Finding::new(
            "no_allowances",
            "Nothing is added to the order for passes that overlap or for what stays on the \
             ground where the pile lay. Where either is known, state `order.overlap_allowance` \
             or `order.pile_loss`.",
        ));
    }
    findings.extend(beet_lime_phosphorus(job, prescription));
    let more = prescription.product - flat.composite.product;
    if job.units.product(more).value >= LEAST_TOLD {
        let shown = job.units.product(more);
        let (map, flat_product) =
            (job.units.product(prescription.product), job.units.product(flat.composite.product));
        findings.push(Finding::new(
            "map_uses_more_than_composite",
            format!(
                "The map uses {:.2} {unit} more than one rate from a composite sample of the \
                 whole field would ({:.2} against {:.2} {unit}): it does not save lime here, it \
                 puts it where the need is.",
                shown.value,
                map.value,
                flat_product.value,
                unit = shown.unit
            ),
        ));
    }
    findings
}

/// The phosphorus that comes with sugar-beet factory lime, at the mean rate where it is spread.
fn beet_lime_phosphorus(job: &Job, prescription: &Prescription) -> Option<Finding> {
    let (material, treated) = (&job.material, prescription.treated_area);
    if material.kind.name != "sugar-beet factory lime" || treated.to_square_metres() <= 0.0 {
        return None;
    }
    let rate = prescription.product / treated;
    let loads = beet_lime_phosphorus_kg_per_ha(rate, material.moisture);
    let (per_unit, unit) = match job.units {
        UnitSystem::Us => (LimeNeed::from_kilograms_per_hectare(1.0).to_pounds_per_acre(), "lb/ac"),
        UnitSystem::Metric => (1.0, "kg/ha"),
    };
    let range = |times: f64| {
        let [least, most] = loads.map(|load| load * per_unit * times);
        format!("{least:.0} to {most:.0} {unit}")
    };
    let dry = match material.moisture {
        Some(_) => "",
        None => " (its moisture is not stated: all of it was taken for dry matter)",
    };
    let publication =
        source(BEET_LIME_SOURCE).map_or_else(|| BEET_LIME_SOURCE.to_owned(), ToString::to_string);
    let text = format!(
        "Sugar-beet factory lime brings phosphorus: at the mean rate where it is spread, {} P, \
         which is {} P2O5{dry}, by the lime of seven factories ({publication}). Count it in the \
         fertiliser plan.",
        range(1.0),
        range(P2O5_PER_P)
    );
    Some(Finding::new("beet_lime_phosphorus", text))
}

/// The least difference of products that is told, in short tons or tonnes: what is shown as more
/// than nothing.
const LEAST_TOLD: f64 = 0.005;
