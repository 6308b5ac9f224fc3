//! What a finished map tells beyond its numbers: findings in full sentences.

use super::layers::Stratum;
use super::reading::ReadLayer;
use super::soils::{BlankEffect, LayerSoils, Soils, area_where};
use crate::agronomy::{Placement, Why, same_depth_within};
use crate::field::Cells;
use crate::findings::Finding;
use crate::inputs::Job;
use crate::prescription::{BlankRule, Prescription};
use crate::summary::rate_as_written;
use crate::units::{Amount, Area, Length, SoilValue, ph_words, plain};

/// What the soils of the cells tell.
pub(super) fn of_soils(
    job: &Job,
    cells: &Cells,
    soils: &Soils,
    layers: &[ReadLayer],
) -> Vec<Finding> {
    let of_layers = soils.layers.iter().zip(layers);
    let mut findings: Vec<Finding> = of_layers
        .flat_map(|(soils, layer)| {
            let found = of_layer(job, cells, soils, layer).into_iter();
            found.map(|finding| Stratum::tell(layer.stratum.as_ref(), finding))
        })
        .collect();
    findings.extend(samples_told(job, cells, soils));
    findings.extend(depths(job));
    findings
}

fn of_layer(job: &Job, cells: &Cells, soils: &LayerSoils, layer: &ReadLayer) -> Vec<Finding> {
    let mut findings = Vec::new();
    if let Some(blanks) = &soils.blanks {
        findings.push(blanks_told(job, blanks, layer));
    }
    // The rates hang on the readings that the method takes, not on what is only carried along.
    let decides =
        |key| SoilValue::of_key(key).is_none_or(|value| layer.prepared.reads_value(value));
    for spread in soils.spreads.iter().filter(|spread| decides(spread.key)) {
        if let Some(check) = spread.cross_check
            && check.rmse >= check.mean_rmse
        {
            findings.push(Finding::new(
                "map_no_better_than_mean",
                format!(
                    "Leaving one sample out, the map misses {} by {:.3} and the mean of the other \
                     samples by {:.3}: the map does not beat the mean, and one rate for the whole \
                     field may serve as well.",
                    spread.key, check.rmse, check.mean_rmse
                ),
            ));
        }
    }
    let too_little = area_where(cells, &soils.cells, |soil| soil.why == Why::BelowLeast);
    if too_little > Area::ZERO {
        findings.push(Finding::new(
            "below_the_least_of_the_method",
            format!(
                "On {} the method comes to less than the least amount that its source spreads: \
                 there nothing is needed.",
                shown(job.units.area(too_little), 2)
            ),
        ));
    }
    for (why, words) in
        [(Why::BelowTable, "below the lowest"), (Why::AboveTable, "above the highest")]
    {
        let area = area_where(cells, &soils.cells, |soil| soil.why == why);
        if area.to_square_metres() > 0.0 {
            let (least, most) = layer.prepared.range();
            findings.push(Finding::new(
                "beyond_the_method_rows",
                format!(
                    "On {} the reading lies {words} row of the method ({least} to {most}); the \
                     need of that row was taken there.",
                    shown(job.units.area(area), 2)
                ),
            ));
        }
    }
    findings
}

/// The part of the field beyond the samples from which on it is worth a finding (ours).
const BEYOND_SHARE_TOLD: f64 = 0.33;

fn samples_told(job: &Job, cells: &Cells, soils: &Soils) -> Vec<Finding> {
    let mut findings = Vec::new();
    let (beyond, farthest) = super::beyond(cells, |at| soils.standing(at));
    let all: Area = cells.list.iter().map(|cell| cell.area).sum();
    if !job.samples.stand_for_zones() && beyond / all > BEYOND_SHARE_TOLD {
        findings.push(Finding::new(
            "field_beyond_samples",
            format!(
                "{:.0} % of the field lies beyond the outline of the samples, at most {} from it; \
                 there the value at the nearest point of that outline was taken ({}).",
                100.0 * (beyond / all),
                shown(job.units.length(farthest), 0),
                soils.layers[0].way
            ),
        ));
    }
    if soils.needs.iter().all(|need| *need == crate::units::LimeNeed::ZERO) {
        findings.push(Finding::new("nothing_needed", "By this method the field needs no lime."));
    }
    if let (Some(sampled), Some(spread)) = (&job.dates.sampled, &job.dates.spread)
        && spread < sampled
    {
        findings.push(Finding::new(
            "spread_before_sampled",
            format!("The job spreads on {spread}, before the samples were taken on {sampled}."),
        ));
    }
    findings
}

fn depths(job: &Job) -> Vec<Finding> {
    let mut findings = Vec::new();
    let (sampled, limed) = (job.samples.sampled_depth.bottom(), job.limed_depth);
    let system = job.units;
    let layered = job.samples.layers.is_some();
    if !layered && (sampled - limed).abs() > same_depth_within() {
        findings.push(Finding::new(
            "sampled_and_limed_depth_differ",
            format!(
                "The samples reach {} and the lime is to act on {}: the readings stand for the \
                 whole limed depth.",
                shown(system.depth(sampled), 1),
                shown(system.depth(limed), 1)
            ),
        ));
    }
    if let Some(reach) = job.placement.reach()
        && limed > reach + Length::from_metres(1e-6)
    {
        let share = plain(100.0 * (reach / limed), 0, 0);
        let (reach, limed) = (shown(system.depth(reach), 0), shown(system.depth(limed), 1));
        let then = if layered {
            format!("of the limed depth of {limed} the layers count down to there.")
        } else {
            format!(
                "the job limes {limed} deep, as if the lime were mixed in, which over-limes the \
                 top. With need.limed_depth = \"{reach}\" a need that is scaled by depth is {share} \
                 % of this; lime so much, and again after a new soil test."
            )
        };
        findings.push(Finding::new(
            "surface_lime_reaches_less",
            format!(
                "On ground that is not tilled, lime acts on about the upper {reach} ({}); {then}",
                Placement::reach_source()
            ),
        ));
    }
    findings
}

fn blanks_told(job: &Job, blanks: &BlankEffect, layer: &ReadLayer) -> Finding {
    let system = job.units;
    let how = match blanks.rule {
        BlankRule::AtZeroNeedReading(zero) => format!(
            "Such a sample enters the map at {}, the reading at which the method needs nothing.",
            ph_words(zero.reading())
        ),
        BlankRule::AsZeroNeed => {
            "Such a sample enters the map as a need of nothing, because the method \
            prints no reading that needs nothing at this target."
                .to_owned()
        }
    };
    let need = shown(system.carbonate(blanks.need), 2);
    let effect = blanks.need_if_missing.map_or_else(
        || {
            let none = if layer.has_buffer_of_zones() {
                "Its zone has no other sample."
            } else {
                "No other sample has a buffer reading."
            };
            none.to_owned()
        },
        |missing| {
            format!(
                "So the {} needs {need} of CaCO3; taken as missing it would have been {}.",
                if layer.stratum.is_some() { "layer" } else { "field" },
                shown(system.carbonate(missing), 2)
            )
        },
    );
    Finding::new(
        "blank_buffers_need_nothing",
        format!(
            "{} no buffer reading and, as the job states, no need of lime. {how} {effect}",
            if blanks.count == 1 {
                "1 sample has".to_owned()
            } else {
                format!("{} samples have", blanks.count)
            }
        ),
    )
}

/// What the rates tell.
pub(super) fn of_rates(job: &Job, prescription: &Prescription) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(below_the_least(job, prescription));
    for (order, total) in job.overrides.iter().zip(&prescription.overrides) {
        if total.changed.to_square_metres() <= 0.0 {
            findings.push(Finding::new(
                "override_changes_nothing",
                format!(
                    "The override `{}` ({}) changes no rate.",
                    crate::findings::clean(&order.reason),
                    order.words
                ),
            ));
        }
    }
    // Areas of one rate are as wide as is asked, whatever their cells are.
    if job.rate_areas.is_none() && job.cell + Length::from_metres(1e-6) < job.machine.pass_spacing {
        findings.push(Finding::new(
            "cells_narrower_than_a_pass",
            format!(
                "Cells of {} are narrower than the pass spacing of {}: the spreader cannot give \
                 two rates side by side within one pass.",
                shown(job.units.length(job.cell), 1),
                shown(job.units.length(job.machine.pass_spacing), 1)
            ),
        ));
    }
    findings
}

/// Needs that are too small for the spreader, and what it does there.
fn below_the_least(job: &Job, prescription: &Prescription) -> Option<Finding> {
    let (limits, ledger) = (&prescription.limits, &prescription.ledger);
    let least =
        rate_as_written(job.units, job.machine.setting.written(job.machine.setting.least()));
    let mut told = Vec::new();
    for (area, mass, words, effect) in [
        (limits.dropped.area, ledger.dropped, "nothing is spread", "stay unmet"),
        (limits.raised.area, ledger.raised, "the least is spread", "go beyond the need"),
    ] {
        if area > Area::ZERO {
            let (area, mass) = (job.units.area(area), job.units.carbonate(mass));
            told.push(format!(
                "on {} {words}, and {} of CaCO3 {effect}",
                shown(area, 2),
                shown(mass, 2)
            ));
        }
    }
    if told.is_empty() {
        return None;
    }
    let by_itself = if job.rate_areas.is_some() { ", each cell by itself" } else { "" };
    let text = format!(
        "Where the soil asks for less than the spreader's least rate of {} {}, {}{by_itself} \
         (spreader.below_min = \"{}\").",
        plain(least.value, 0, 4),
        least.unit,
        told.join("; "),
        job.machine.below_min.words()
    );
    Some(Finding::new("need_below_the_least", text))
}

pub(super) fn shown(amount: Amount, places: usize) -> String {
    format!("{:.places$} {}", amount.value, amount.unit)
}
