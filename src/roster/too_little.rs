//! What is told where there is not enough lime to begin with.

use super::plan::Plan;
use super::supply::SupplierPlan;
use crate::findings::first_of;
use crate::summary::{FindingPart, Quantity};
use crate::units::plain;

/// What suppliers lack is told under this key.
const SUPPLIERS: &str = "suppliers_have_too_little";
/// A plan that limes nothing is told under this key.
const PLAN: &str = "plan_limes_nothing";

/// Suppliers that are named before the rest is counted.
const NAMED: usize = 6;

/// What is told of a plan that limes nothing and of suppliers that have too little.
pub(super) fn too_little(
    plan: Option<&Plan>,
    suppliers: Option<&SupplierPlan>,
) -> Vec<FindingPart> {
    let mut told = Vec::new();
    let mut tell = |key: &str, text: String| {
        told.push(FindingPart { key: key.to_owned(), place: String::new(), text });
    };
    for pool in plan.into_iter().flat_map(|plan| &plan.pools) {
        if pool.asked.value > 0.0 && pool.years.iter().all(|year| year.fields == 0) {
            let of = pool.material.as_ref().map_or_else(String::new, |name| format!(" of {name}"));
            let text = format!(
                "The plan limes nothing: {}{of} are asked for, and no field, or part of one that it \
                 may take, fits the limit.",
                shown(&pool.asked)
            );
            tell(PLAN, text);
        }
    }
    let lacks: Vec<String> = suppliers
        .into_iter()
        .flat_map(|suppliers| &suppliers.lacks)
        .map(|lack| format!("{} more of {}", shown(&lack.more), lack.supplier))
        .collect();
    if !lacks.is_empty() {
        let text = format!(
            "The suppliers have too little for all fields: at the least there would have to be {}.",
            first_of(&lacks, NAMED)
        );
        tell(SUPPLIERS, text);
    }
    told
}

/// Whether any of these findings tells that there is too little.
pub(super) fn tells_too_little(findings: &[FindingPart]) -> bool {
    findings.iter().any(|told| [SUPPLIERS, PLAN].contains(&told.key.as_str()))
}

fn shown(quantity: &Quantity) -> String {
    format!("{} {}", plain(quantity.value, 2, 2), quantity.unit)
}
