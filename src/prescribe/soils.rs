//! From samples to the soil of every cell.

use super::by_zone::in_words;
use super::drawn::{
    Drawn, cell_has, draw, no_sample, readings_at, readings_of_zones, surface_through,
    weigh_by_zone,
};
use super::reading::{PlacedSamples, ReadLayer};
use super::spreads::{LeftOut, spreads_of};
use super::zones::weigh_zones;

use crate::error::Error;
use crate::field::{Cells, Partition, Point};
use crate::findings::Finding;
use crate::inputs::Job;
use crate::prescription::{
    BlankRule, CellReadings, CellSoil, SiteReadings, SoilLayer, ValueColumns, soil_of_cells,
    whole_needs,
};
use crate::summary::Spread;
use crate::surfaces::{Sites, Standing, Weights, merge_coincident};
use crate::units::{Area, CarbonateMass, Length, LimeNeed};

/// The soil of every cell, layer by layer, and its whole need.
#[derive(Debug)]
pub(super) struct Soils {
    /// The layers, from the top down; a job without layers has one.
    pub(super) layers: Vec<LayerSoils>,
    /// The need of each cell: the sum over the layers.
    pub(super) needs: Vec<LimeNeed>,
}

impl Soils {
    /// The layers as the room of rates has them.
    pub(super) fn with<'a>(&'a self, layers: &'a [ReadLayer]) -> Vec<SoilLayer<'a>> {
        let pairs = self.layers.iter().zip(layers);
        pairs
            .map(|(soils, ReadLayer { given, prepared, .. })| SoilLayer {
                cells: &soils.cells,
                values: &soils.values,
                given,
                prepared,
            })
            .collect()
    }

    /// Where a cell lies to the samples, and to zones beside them: beyond them where it is so in any
    /// layer, by the farthest.
    pub(super) fn standing(&self, cell: usize) -> Standing {
        farthest(self.layers.iter().map(|layer| layer.standing(cell)))
    }
}

/// Beyond where one of them is, by the farthest.
fn farthest(standings: impl Iterator<Item = Standing>) -> Standing {
    standings.fold(Standing::Inside, |farthest, standing| match (farthest, standing) {
        (Standing::Beyond { distance: a }, Standing::Beyond { distance: b }) => {
            Standing::Beyond { distance: a.max(b) }
        }
        (Standing::Inside, other) | (other, Standing::Inside) => other,
    })
}

/// One layer of the soil of every cell, and how it was found.
#[derive(Debug)]
pub(super) struct LayerSoils {
    /// One for each cell.
    pub(super) cells: Vec<CellSoil>,
    /// What else is known of each cell, as reported.
    pub(super) values: ValueColumns,
    /// The weights of the sampled places at each cell.
    pub(super) weights: Weights,
    /// The readings at the sampled places.
    pub(super) sites: SiteReadings,
    /// What zones give beside them.
    pub(super) by_zone: Option<ZoneReadings>,
    /// What the samples read, and how well the map tells it.
    pub(super) spreads: Vec<Spread>,
    /// How the map was drawn, in words.
    pub(super) way: String,
    /// What was found on the way.
    pub(super) findings: Vec<Finding>,
    /// The effect of the blanks, where there are any.
    pub(super) blanks: Option<BlankEffect>,
    /// The places that were sampled.
    pub(super) places: Sites,
    /// What each place reads and what the others say there, for each attribute.
    pub(super) left_out: Vec<LeftOut>,
    /// The pairs of sampled places that are neighbours.
    pub(super) neighbours: Vec<(usize, usize)>,
    /// The largest distance from a cell's value point to the nearest sample; `None` where a sample
    /// stands for a zone.
    pub(super) farthest: Option<Length>,
}

/// What zones give of one layer of the soil of every cell.
#[derive(Debug)]
pub(super) struct ZoneReadings {
    /// Their results, one for each zone that has ground in the field.
    pub(super) sites: SiteReadings,
    /// Which of them holds at each cell.
    pub(super) weights: Weights,
}

impl LayerSoils {
    /// Where a cell lies to the samples, and to zones beside them.
    pub(super) fn standing(&self, cell: usize) -> Standing {
        let zones = self.by_zone.iter().map(|zones| zones.weights.standing(cell));
        farthest(std::iter::once(self.weights.standing(cell)).chain(zones))
    }

    /// The readings of the samples, and those of zones beside them.
    pub(super) fn readings(&self) -> Vec<&SiteReadings> {
        let zones = self.by_zone.as_ref().map(|zones| &zones.sites);
        std::iter::once(&self.sites).chain(zones).collect()
    }
}

/// What blank buffer readings do to the tons.
#[derive(Debug)]
pub(super) struct BlankEffect {
    pub(super) count: usize,
    pub(super) rule: BlankRule,
    /// The need over the field with the blanks as answers.
    pub(super) need: CarbonateMass,
    /// The need had they been taken as missing; `None` where nothing else was measured.
    pub(super) need_if_missing: Option<CarbonateMass>,
}

pub(super) fn map_soils(
    job: &Job,
    cells: &Cells,
    partition: &Partition,
    layers: &[ReadLayer],
) -> Result<Soils, Error> {
    let mapped = layers.iter().map(|layer| map_layer(job, cells, partition, layer));
    let mut soils = Soils { layers: mapped.collect::<Result<_, Error>>()?, needs: Vec::new() };
    soils.needs = whole_needs(&soils.with(layers));
    Ok(soils)
}

fn map_layer(
    job: &Job,
    cells: &Cells,
    partition: &Partition,
    layer: &ReadLayer,
) -> Result<LayerSoils, Error> {
    let samples = &layer.samples;
    let sites = merge_coincident(&samples.points);
    let interpolator = surface_through(&sites)?;
    let at: Vec<Point> = cells.list.iter().map(|cell| cell.value_point).collect();
    let readings = readings_at(&sites, samples);
    // These three do not wait for one another.
    let ((weights, farthest), (tested, (spreads, left_out))) = rayon::join(
        || {
            if let Some(of_zone) = &samples.of_zone {
                return (weigh_zones(partition, cells, of_zone).ok_or_else(no_sample), None);
            }
            let weights = interpolator.weigh(&at);
            let farthest = interpolator.farthest_from_sites(&at, &weights);
            (Ok(weights), Some(farthest))
        },
        || {
            rayon::join(
                || tested_alone(layer, &at),
                || spreads_of(samples, &readings, &sites, layer),
            )
        },
    );
    let weights = weights?;
    let zone_weights = weigh_by_zone(partition, cells, layer)?;
    let by_zone = layer.by_zone.as_ref().zip(zone_weights);
    let by_zone = by_zone
        .map(|(zones, weights)| ZoneReadings { sites: readings_of_zones(&zones.results), weights });
    let Drawn { of_cells, soil, mut findings } =
        draw(job, cells, layer, (&readings, &weights), by_zone.as_ref())?;
    if sites.points().len() < samples.points.len() {
        findings.push(merged(samples, &sites));
    }
    if weights.guarded() > 0 {
        findings.push(Finding::new(
            "weights_replaced",
            format!(
                "At {} cells the natural-neighbour weights did not pass their check, and the rule \
                 for the edge of the samples was taken instead.",
                weights.guarded()
            ),
        ));
    }
    let blanks = tested?.map(|tested| blank_effect(tested, cells, layer, &of_cells, &soil));
    let blanks = blanks.transpose()?;
    let in_zones = samples.of_zone.is_some();
    let way = if in_zones {
        "one value for each sample zone".to_owned()
    } else {
        let beside = by_zone.as_ref().and(job.samples.given_by_zone());
        let beside = beside.map_or_else(String::new, |gives| {
            format!("; one value for each sample zone of {}", in_words(&gives.attributes))
        });
        format!("{}{beside}", interpolator.way())
    };
    // Where each zone has one value, its neighbours say nothing of it.
    let neighbours = if in_zones { Vec::new() } else { interpolator.neighbours() };
    Ok(LayerSoils {
        cells: soil,
        values: of_cells.values,
        weights,
        sites: readings,
        by_zone,
        spreads,
        way,
        findings,
        blanks,
        places: sites,
        left_out,
        neighbours,
        farthest,
    })
}

/// What blanks do, beside what the field needs with them.
fn blank_effect(
    (count, rule, alone): TestedAlone,
    cells: &Cells,
    ReadLayer { given, prepared, .. }: &ReadLayer,
    of_cells: &CellReadings,
    soil: &[CellSoil],
) -> Result<BlankEffect, Error> {
    let need_of = |soil: &[CellSoil]| -> CarbonateMass {
        cells.list.iter().zip(soil).map(|(cell, soil)| soil.need * cell.area).sum()
    };
    let need_if_missing = alone.map(|(weights, values)| {
        let tested = of_cells.clone().with_buffer_of(&weights, &values);
        let soil = soil_of_cells(&tested, given, prepared);
        soil.map(|soil| need_of(&soil)).map_err(cell_has)
    });
    let need_if_missing = need_if_missing.transpose()?;
    Ok(BlankEffect { count, rule, need: need_of(soil), need_if_missing })
}

fn merged(samples: &PlacedSamples, sites: &Sites) -> Finding {
    let names: Vec<String> = sites
        .merged()
        .map(|group| {
            let ids: Vec<&str> = group.iter().map(|&sample| samples.ids[sample].as_str()).collect();
            ids.join(" and ")
        })
        .collect();
    Finding::new(
        "samples_merged",
        format!(
            "Samples taken at the same place count as one, with the mean of their readings: {}.",
            names.join("; ")
        ),
    )
}

/// How many samples are blank, how they enter, and the buffer surface drawn from the tested samples
/// alone, as if the blanks were missing: its weights at each cell, and its values.
type TestedAlone = (usize, BlankRule, Option<(Weights, Vec<f64>)>);

fn tested_alone(layer: &ReadLayer, at: &[Point]) -> Result<Option<TestedAlone>, Error> {
    let ReadLayer { samples, by_zone, .. } = layer;
    let of_zones = || by_zone.as_ref()?.results.buffer.as_ref();
    let Some(buffer) = samples.buffer.as_ref().or_else(of_zones) else { return Ok(None) };
    let Some(rule) = buffer.rule else { return Ok(None) };
    let tested: Vec<usize> =
        (0..buffer.blank.len()).filter(|&sample| !buffer.blank[sample]).collect();
    let count = buffer.blank.len() - tested.len();
    // A zone without a reading would have no other sample to go by.
    if tested.is_empty() || layer.has_buffer_of_zones() {
        return Ok(Some((count, rule, None)));
    }
    let points: Vec<Point> = tested.iter().map(|&sample| samples.points[sample]).collect();
    let values: Vec<f64> = tested.iter().filter_map(|&sample| buffer.readings[sample]).collect();
    let sites = merge_coincident(&points);
    let weights = surface_through(&sites)?.weigh(at);
    Ok(Some((count, rule, Some((weights, sites.mean_values(&values))))))
}

/// The area of all cells for which `is` holds.
pub(super) fn area_where(
    cells: &Cells,
    soils: &[CellSoil],
    is: impl Fn(&CellSoil) -> bool,
) -> Area {
    cells.list.iter().zip(soils).filter(|(_, soil)| is(soil)).map(|(cell, _)| cell.area).sum()
}
