//! Areas of one rate in place of the cells, where the job asks for them, and what they tell.

use super::notes::shown;
use crate::error::Error;
use crate::field::{Cells, Partition};
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::{Job, RateAreasPart};
use crate::machine::Machine;
use crate::prescription::{AreasFault, Prescription, RateAreas, hold_areas_back, rate_areas};
use crate::units::{Area, EffectiveFraction, counted};

/// The prescription with the rates of areas, and the areas; `None` where the job asks for none. The
/// machine and the material need not be the job's.
pub(super) fn in_areas(
    job: &Job,
    cells: &Cells,
    partition: &Partition,
    own: &Prescription,
    with: (&Machine, EffectiveFraction),
) -> Result<Option<(Prescription, RateAreas)>, Error> {
    let Some(asked) = &job.rate_areas else { return Ok(None) };
    if asked.least_area > partition.net {
        let what = format!(
            "`rate_areas.least_area` is {}, more than the {} that are mapped",
            shown(job.units.area(asked.least_area), 2),
            shown(job.units.area(partition.net), 2)
        );
        return Err(Refusal::from(
            Problem::at(Place::in_file(job.file.clone()), what)
                .allowed("an area that patches of one rate can have on this field")
                .hint("an acre or half a hectare is usual; check the unit"),
        )
        .into());
    }
    let made = rate_areas(cells, partition, own, with, asked);
    made.map(Some).map_err(|fault| match fault {
        AreasFault::Unbalanced(imbalance) => Error::from(imbalance),
        AreasFault::Outline(fault) => Error::Fault(fault.to_string()),
    })
}

/// The same with nothing on the areas that are not among `only`.
///
/// # Errors
/// Refuses numbers that no area has.
pub(super) fn held_back(
    job: &Job,
    (whole, areas): (Prescription, RateAreas),
    only: &[u32],
) -> Result<(Prescription, RateAreas), Error> {
    let count = areas.list.len();
    let unknown: Vec<String> =
        only.iter().filter(|&&area| area as usize > count).map(u32::to_string).collect();
    if !unknown.is_empty() {
        let what = format!(
            "`rate_areas.only` names areas that there are not: {}; there {}",
            unknown.join(", "),
            if count == 1 { "is 1".to_owned() } else { format!("are {count}") }
        );
        return Err(Refusal::from(
            Problem::at(Place::in_file(job.file.clone()), what)
                .allowed(format!("numbers from 1 to {count}"))
                .hint(
                    "the numbers hold for the job as it was when the plan was made: plan anew \
                     after a change",
                ),
        )
        .into());
    }
    let with = (&job.machine, job.material.effective);
    Ok(hold_areas_back(&whole, &areas, only, with)?)
}

/// What the areas of a prescription tell.
pub(super) fn notes(job: &Job, areas: Option<&RateAreas>, spread: &Prescription) -> Vec<Finding> {
    let (Some(asked), Some(areas)) = (&job.rate_areas, areas) else { return Vec::new() };
    let mut findings = Vec::new();
    findings.extend(small(job, asked, areas));
    findings.extend(raised(job, asked, areas, spread));
    findings.extend(left_out(job, asked, areas, spread));
    findings
}

/// What gets nothing this time.
fn left_out(
    job: &Job,
    asked: &RateAreasPart,
    areas: &RateAreas,
    spread: &Prescription,
) -> Option<Finding> {
    let only = asked.only.as_ref().filter(|_| spread.limits.held_back.area > Area::ZERO)?;
    let text = format!(
        "Only {} of {} {} limed this time (rate_areas.only): {} of ground to lime get nothing, {} of \
         product is held back, and {} CaCO3 of the need stays unmet for it.",
        only.len(),
        counted(areas.list.len() as u64, "rate area", "rate areas"),
        if only.len() == 1 { "is" } else { "are" },
        shown(job.units.area(spread.limits.held_back.area), 2),
        shown(job.units.product(spread.ledger.held_back_product), 2),
        shown(job.units.carbonate(spread.ledger.held_back), 2)
    );
    Some(Finding::new("rate_areas_held_back", text))
}

fn small(job: &Job, asked: &RateAreasPart, areas: &RateAreas) -> Option<Finding> {
    let small = || areas.list.iter().filter(|area| area.is_small);
    let count = small().count();
    if count == 0 {
        return None;
    }
    let ground: Area = small().map(|area| area.area).sum();
    let text = format!(
        "{}, {} together, stay smaller than {} or nowhere as wide as {}: the edges of sample zones, \
         keep-out, overrides or end rows leave no ground to merge with.",
        counted(count as u64, "rate area", "rate areas"),
        shown(job.units.area(ground), 2),
        shown(job.units.area(asked.least_area), 2),
        shown(job.units.length(asked.least_width), 1)
    );
    let text = if count == 1 {
        text.replacen(" together, stay smaller", " in all, stays smaller", 1)
    } else {
        text
    };
    Some(Finding::new("rate_areas_below_the_least", text))
}

/// What was done for the sake of fewer polygons or vertices.
fn raised(
    job: &Job,
    asked: &RateAreasPart,
    areas: &RateAreas,
    spread: &Prescription,
) -> Option<Finding> {
    let caps = [
        (asked.polygons_at_most, "polygon", "polygons"),
        (asked.vertices_at_most, "vertex", "vertices"),
    ];
    let wanted: Vec<String> = caps
        .into_iter()
        .filter_map(|(most, one, many)| Some(counted(u64::from(most?), one, many)))
        .collect();
    let wanted = wanted.join(" and ");
    let merged = areas.raised_to.map(|area| shown(job.units.area(area), 2));
    let in_words = |[polygons, vertices]: [usize; 2]| {
        format!(
            "{} with {}",
            counted(polygons as u64, "polygon", "polygons"),
            counted(vertices as u64, "vertex", "vertices")
        )
    };
    let counts = in_words([areas.polygons, areas.vertices]);
    if let Some(fewest) = areas.fewest {
        let text = format!(
            "The rate areas have {counts}, and the job asks for {wanted} at most. With all merged \
             that can there would still be {}, so nothing merged beyond the least area. Fewer need \
             fewer sample zones, overrides or end rows, or a plainer boundary.",
            in_words(fewest)
        );
        return Some(Finding::new("rate_area_caps_not_met", text));
    }
    let text = format!(
        "To come to {wanted} at most, patches of up to {} merged too, beyond the least area of {}; \
         there are {counts}. With all merges the map adds {} to what the cells would get by \
         themselves, and leaves out {}.",
        merged?,
        shown(job.units.area(asked.least_area), 2),
        shown(job.units.product(spread.ledger.areas_added), 2),
        shown(job.units.product(spread.ledger.areas_left_out), 2)
    );
    Some(Finding::new("least_area_raised", text))
}
