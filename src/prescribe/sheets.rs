//! What the driver of the spreader needs to know, for each application.

use super::Work;
use super::loads::load_label;
use crate::field::LonLat;
use crate::haul::Load;
use crate::machine::MachineRate;
use crate::prescription::{PatchMiddle, Prescription, patch_middles};
use crate::summary::{Factor, Pile, Quantity, Sheet, SheetRate, Spot, Summary, rate_as_written};
use crate::units::{BulkDensity, UnitSystem};

/// Places at which a driver checks the rate.
const SPOTS: usize = 3;
/// Moistures around the tested one, in percent of the wet mass.
const MOISTURES: [f64; 7] = [-6.0, -4.0, -2.0, 0.0, 2.0, 4.0, 6.0];
/// A pile is no drier, and no spreader takes a wetter one (ours).
const MOISTURE_PERCENT: std::ops::Range<f64> = 0.0..60.0;
/// Densities around the stated one, as shares of it.
const DENSITIES: [f64; 7] = [-0.15, -0.10, -0.05, 0.0, 0.05, 0.10, 0.15];

/// The sheet of each application, in their order.
pub(super) fn sheets(work: &Work, summary: &Summary) -> Vec<Sheet> {
    let each = work.applications.iter().enumerate();
    each.map(|(at, spread)| sheet(work, summary, at, spread)).collect()
}

fn sheet(work: &Work, summary: &Summary, at: usize, spread: &Prescription) -> Sheet {
    let Work { job, cells, field, .. } = work;
    let (machine, system) = (&job.machine, job.units);
    let single = machine.single();
    let part = summary.applications.get(at);
    let (label, unit) = (load_label(work, at), job.controller_unit());
    let rates: Vec<SheetRate> = spread
        .rates
        .iter()
        .map(|total| {
            let rate = single.rate(total.rate);
            let flow = machine.speed.map(|speed| machine.flow(rate, speed));
            SheetRate {
                number: unit.number(rate),
                rate: rate_as_written(system, single.written(total.rate)).into(),
                area: system.area(total.total.area).into(),
                product: system.product(total.total.product).into(),
                flow: flow.filter(|_| total.rate.spreads()).map(|flow| system.flow(flow).into()),
            }
        })
        .collect();
    let of_cells: Vec<MachineRate> = spread.cells.iter().map(|cell| cell.rate).collect();
    let patches = patch_middles(cells, &of_cells);
    let place = |rate: MachineRate| spread.rates.partition_point(|total| total.rate < rate);
    let spots = spots_of(&patches)
        .into_iter()
        .zip('A'..)
        .map(|(patch, name)| {
            let LonLat { lon_deg, lat_deg } =
                field.frame().inverse(cells.list[patch.cell].value_point);
            Spot { name, cell: patch.cell, lon_deg, lat_deg, rate: place(patch.rate) }
        })
        .collect();
    let density = job.material.bulk_density;
    let full = Load::full(machine.payload, machine.box_volume, density);
    let buckets =
        machine.bucket_volume.zip(density).map(|(bucket, density)| full.mass / (density * bucket));
    Sheet {
        application: (label.application, label.applications),
        date: label.date,
        unit,
        treated_area: system.area(spread.treated_area).into(),
        product: part.map_or(&summary.product_total, |part| &part.product_total).clone(),
        to_load: part.map_or(&summary.to_load, |part| &part.to_load).clone(),
        loads: part.map_or(&summary.loads.spreader, |part| &part.loads.spreader).clone(),
        buckets,
        bucket: machine.bucket_volume.map(|bucket| volume(system, bucket)),
        rates,
        spots,
        patches,
        by_moisture: by_moisture(work),
        by_density: density.map_or_else(Vec::new, |density| by_density(system, density)),
        pile: job.field.site.pile_deg.map(|[lon_deg, lat_deg]| {
            let at = field.frame().forward(LonLat { lon_deg, lat_deg });
            Pile { lon_deg, lat_deg, x_m: at.x_m, y_m: at.y_m }
        }),
    }
}

fn volume(system: UnitSystem, volume: crate::units::Volume) -> Quantity {
    match system {
        UnitSystem::Us => Quantity { value: volume.to_cubic_yards(), unit: "yd3".into() },
        UnitSystem::Metric => Quantity { value: volume.to_cubic_metres(), unit: "m3".into() },
    }
}

/// The deepest patch of the greatest rate, of the rate on most ground and of the least, and others
/// where these are the same; from the greatest rate down.
fn spots_of(patches: &[PatchMiddle]) -> Vec<PatchMiddle> {
    let mut of_rates: std::collections::BTreeMap<MachineRate, PatchMiddle> =
        std::collections::BTreeMap::new();
    let mut area_of = std::collections::BTreeMap::new();
    for patch in patches {
        let deepest = of_rates.entry(patch.rate).or_insert(*patch);
        if (patch.depth, patch.area) > (deepest.depth, deepest.area) {
            *deepest = *patch;
        }
        *area_of.entry(patch.rate).or_insert(crate::units::Area::ZERO) += patch.area;
    }
    let mut by_area: Vec<MachineRate> = area_of.keys().copied().collect();
    by_area.sort_by(|a, b| area_of[b].total_cmp(&area_of[a]));
    let ends = [of_rates.keys().next_back(), by_area.first(), of_rates.keys().next()];
    let mut chosen: Vec<MachineRate> = Vec::new();
    for &rate in ends.into_iter().flatten().chain(&by_area) {
        if chosen.len() < SPOTS && !chosen.contains(&rate) {
            chosen.push(rate);
        }
    }
    chosen.sort_unstable();
    chosen.iter().rev().map(|rate| of_rates[rate]).collect()
}

/// What is effective in a wet ton falls as the water in it rises: rates are multiplied by the dry
/// matter that was tested over the dry matter that is there.
fn by_moisture(work: &Work) -> Vec<Factor> {
    let Some(tested) = work.job.material.moisture else { return Vec::new() };
    let percent = tested.to_percent();
    let around = MOISTURES.iter().map(|off| percent + off);
    around
        .filter(|percent| MOISTURE_PERCENT.contains(percent))
        .map(|moisture| Factor {
            measured: Quantity { value: moisture, unit: "%".into() },
            times: (100.0 - percent) / (100.0 - moisture),
        })
        .collect()
}

/// A spreader that meters by volume spreads in proportion to the density: rates are multiplied by
/// the density that is set over the one that is there.
fn by_density(system: UnitSystem, set: BulkDensity) -> Vec<Factor> {
    let around = DENSITIES.iter().map(|off| 1.0 + off);
    around
        .map(|share| Factor { measured: system.density(set * share).into(), times: 1.0 / share })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::{Setting, WrittenRate};
    use crate::units::Area;

    fn patch(rate: u32, hectares: f64, depth: u32) -> PatchMiddle {
        let tons = |number| WrittenRate { number, unit: "t/ha" };
        let setting = Setting::steps(tons(1.0).rate(), tons(9.0).rate(), tons(1.0)).unwrap();
        let rate = setting.held(tons(f64::from(rate)).rate()).unwrap();
        PatchMiddle { rate, area: Area::from_hectares(hectares), cell: 0, depth }
    }

    #[test]
    fn spots_are_of_the_greatest_the_commonest_and_the_least_rate() {
        let patches = [
            patch(0, 1.0, 1),
            patch(2, 2.0, 2),
            patch(3, 9.0, 3),
            patch(5, 1.0, 1),
            patch(5, 0.5, 4),
            patch(4, 3.0, 2),
        ];
        let spots = spots_of(&patches);
        assert_eq!(spots, [patches[4], patches[2], patches[0]]);
        // Where the commonest is an end, the next commonest stands in.
        let spots =
            spots_of(&[patch(0, 9.0, 1), patch(2, 2.0, 2), patch(3, 1.0, 3), patch(4, 1.5, 1)]);
        assert_eq!(spots, [patch(4, 1.5, 1), patch(2, 2.0, 2), patch(0, 9.0, 1)]);
        assert_eq!(spots_of(&patches[1..2]), [patches[1]]);
        assert!(spots_of(&[]).is_empty());
    }
}
