//! What the order tells beyond its numbers: findings in full sentences.

use crate::findings::Finding;
use crate::inputs::Job;
use crate::prescription::{FlatRates, Prescription};

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

/// The least difference of products that is told, in short tons or tonnes: what is shown as more
/// than nothing.
const LEAST_TOLD: f64 = 0.005;
