//! What is shared out among which fields.

use super::candidate::Candidate;
use super::counted::Counted;
use crate::findings::{Problem, Refusal, nearest_of};
use crate::inputs::{AllotmentPart, Limits, PlanAmounts, YearLimits};

/// Fields that share one limit.
pub(super) struct Sharing<'a> {
    /// The material, where each has a limit of its own.
    pub(super) material: Option<&'a str>,
    /// The limits; `None` where there is none.
    pub(super) limits: Option<&'a YearLimits>,
    /// The numbers of the fields.
    pub(super) fields: Vec<usize>,
}

impl Sharing<'_> {
    /// What is counted: tons where there is no limit.
    pub(super) fn counted(&self) -> Counted {
        self.limits.map_or(Counted::Product, |limits| Counted::of(&limits.amounts))
    }
}

/// Parts the fields by what they share.
///
/// # Errors
/// Refuses one limit of tons for several materials, which are not one pile, and limits of materials
/// that no field gets.
pub(super) fn sharings<'a>(
    candidates: &'a [Candidate<'a>],
    asked: &'a AllotmentPart,
) -> Result<Vec<Sharing<'a>>, Refusal> {
    let mut materials: Vec<&str> = candidates
        .iter()
        .filter(|candidate| candidate.gets_lime())
        .map(|candidate| candidate.row.material.name.as_str())
        .collect();
    materials.sort_unstable();
    materials.dedup();
    let of = |material: &str| -> Vec<usize> {
        let numbers = 0..candidates.len();
        numbers.filter(|&at| candidates[at].row.material.name == material).collect()
    };
    match &asked.limits {
        Limits::ForAll(limits) => {
            if materials.len() > 1 && matches!(limits.amounts, PlanAmounts::Product(_)) {
                let what = format!(
                    "the limit is in tons, and the fields get {} materials: {}",
                    materials.len(),
                    materials.join(", ")
                );
                return Err(Problem::at(limits.place.clone(), what)
                    .allowed("a limit in tons for one material; tons of two are not added")
                    .hint("state one `[[allotment.material]]` for each, or a limit in money")
                    .into());
            }
            let fields = (0..candidates.len()).collect();
            Ok(vec![Sharing { material: None, limits: Some(limits), fields }])
        }
        Limits::OfMaterials(each) => {
            let mut problems = Vec::new();
            let mut list: Vec<Sharing<'a>> = Vec::new();
            for one in each {
                let name = one.material.name.as_str();
                if list.iter().any(|sharing| sharing.material == Some(name)) {
                    let what = format!("the material `{name}` has two limits");
                    let problem = Problem::at(one.material.place.clone(), what);
                    problems.push(problem.allowed("one for each material").hint("leave one out"));
                    continue;
                }
                let fields = of(name);
                if fields.is_empty() {
                    let hint = nearest_of(name, &materials).map_or_else(
                        || "name it as the jobs do".to_owned(),
                        |near| format!("did you mean `{near}`?"),
                    );
                    let what = format!("no field gets the material `{name}`");
                    let problem = Problem::at(one.material.place.clone(), what);
                    problems.push(problem.allowed(materials.join(", ")).hint(hint));
                }
                list.push(Sharing { material: Some(name), limits: Some(&one.limits), fields });
            }
            let named: Vec<&str> = list.iter().filter_map(|sharing| sharing.material).collect();
            let mut others: Vec<&str> =
                candidates.iter().map(|candidate| candidate.row.material.name.as_str()).collect();
            others.retain(|material| !named.contains(material));
            others.sort_unstable();
            others.dedup();
            for material in others {
                let fields = of(material);
                list.push(Sharing { material: Some(material), limits: None, fields });
            }
            Refusal::unless_clean(problems, list)
        }
    }
}
