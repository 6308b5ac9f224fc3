//! From samples to the soil of every cell.

use super::reading::{PlacedSamples, ReadLayer};
use super::zones::weigh_zones;

use crate::error::Error;
use crate::field::{Cells, Partition, Point};
use crate::findings::Finding;
use crate::prescription::{
    BlankRule, CellSoil, SiteReadings, SoilLayer, ValueColumns, most_frequent, soil_of_cells,
    whole_needs,
};
use crate::summary::Spread;
use crate::surfaces::{
    CrossCheck, Interpolator, Sites, Standing, Weights, leave_one_out, merge_coincident,
};
use crate::units::{Area, CarbonateMass, Length, LimeNeed, SoilValue};

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

    /// Where a cell lies to the samples: beyond them where it is so in any layer, by the farthest.
    pub(super) fn standing(&self, cell: usize) -> Standing {
        let standings = self.layers.iter().map(|layer| layer.weights.standing(cell));
        standings.fold(Standing::Inside, |farthest, standing| match (farthest, standing) {
            (Standing::Beyond { distance: a }, Standing::Beyond { distance: b }) => {
                Standing::Beyond { distance: a.max(b) }
            }
            (Standing::Inside, other) | (other, Standing::Inside) => other,
        })
    }
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

/// One attribute at the places where it was read, each beside what the map of the others says.
#[derive(Debug)]
pub(super) struct LeftOut {
    /// The attribute, keyed as in `[samples.columns]`.
    pub(super) key: &'static str,
    /// The numbers of the places in `LayerSoils::places`.
    pub(super) numbers: Vec<usize>,
    /// The places themselves.
    pub(super) places: Sites,
    /// What they read.
    pub(super) values: Vec<f64>,
    /// What the others say.
    pub(super) estimates: Vec<f64>,
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
    cells: &Cells,
    partition: &Partition,
    layers: &[ReadLayer],
) -> Result<Soils, Error> {
    let mapped = layers.iter().map(|layer| map_layer(cells, partition, layer));
    let mut soils = Soils { layers: mapped.collect::<Result<_, Error>>()?, needs: Vec::new() };
    soils.needs = whole_needs(&soils.with(layers));
    Ok(soils)
}

fn map_layer(cells: &Cells, partition: &Partition, layer: &ReadLayer) -> Result<LayerSoils, Error> {
    let ReadLayer { samples, given, prepared, .. } = layer;
    let sites = merge_coincident(&samples.points);
    let interpolator = surface_through(&sites)?;
    let at: Vec<Point> = cells.list.iter().map(|cell| cell.value_point).collect();
    let ph = sites.mean_values(&samples.ph);
    let buffer_ph = samples.buffer.as_ref().map(|buffer| mean_of_tested(&sites, &buffer.readings));
    let values = samples.values.map(
        |all| sites.mean_values(all),
        |all| {
            let of_site = |group: &Vec<usize>| most_frequent(group.iter().map(|&at| all[at]));
            sites.groups().iter().map(of_site).collect()
        },
    );
    let readings = SiteReadings { ph, buffer_ph, values };
    // These three do not wait for one another.
    let ((weights, farthest), (tested, (spreads, left_out))) = rayon::join(
        || {
            if let Some(of_zone) = &samples.of_zone {
                return (weigh_zones(partition, cells, of_zone), None);
            }
            let weights = interpolator.weigh(&at);
            let farthest = interpolator.farthest_from_sites(&at, &weights);
            (Some(weights), Some(farthest))
        },
        || {
            rayon::join(
                || tested_alone(samples, &at),
                || spreads_of(samples, &readings, &sites, layer),
            )
        },
    );
    let fault = |missing| Error::Fault(format!("a cell has {missing}"));
    let weights = weights.ok_or_else(|| Error::Fault("a zone has no sample".to_owned()))?;
    let values = readings.values.weighed(&weights);
    let soil = soil_of_cells(&weights, &readings, &values, None, given, prepared).map_err(fault)?;
    let mut findings = Vec::new();
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
    let blanks = match tested? {
        None => None,
        Some((count, rule, alone)) => {
            let alone = alone.as_ref().map(|(weights, values)| (weights, values.as_slice()));
            let need_of = |soil: &[CellSoil]| -> CarbonateMass {
                cells.list.iter().zip(soil).map(|(cell, soil)| soil.need * cell.area).sum()
            };
            let need_if_missing = match alone {
                None => None,
                Some(_) => Some(need_of(
                    &soil_of_cells(&weights, &readings, &values, alone, given, prepared)
                        .map_err(fault)?,
                )),
            };
            Some(BlankEffect { count, rule, need: need_of(&soil), need_if_missing })
        }
    };
    let in_zones = samples.of_zone.is_some();
    let way = if in_zones {
        "one value for each sample zone".to_owned()
    } else {
        interpolator.way().to_string()
    };
    // Where each zone has one value, its neighbours say nothing of it.
    let neighbours = if in_zones { Vec::new() } else { interpolator.neighbours() };
    Ok(LayerSoils {
        cells: soil,
        values,
        weights,
        sites: readings,
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

fn surface_through(sites: &Sites) -> Result<Interpolator, Error> {
    Interpolator::new(sites).ok_or_else(|| Error::Fault("there is no sample to map".to_owned()))
}

/// The mean reading of each place among its samples that have one.
fn mean_of_tested(sites: &Sites, readings: &[Option<f64>]) -> Vec<Option<f64>> {
    sites
        .groups()
        .iter()
        .map(|group| {
            let tested: Vec<f64> = group.iter().filter_map(|&sample| readings[sample]).collect();
            (!tested.is_empty()).then(|| tested.iter().sum::<f64>() / tested.len() as f64)
        })
        .collect()
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

fn tested_alone(samples: &PlacedSamples, at: &[Point]) -> Result<Option<TestedAlone>, Error> {
    let Some(buffer) = &samples.buffer else { return Ok(None) };
    let Some(rule) = buffer.rule else { return Ok(None) };
    let tested: Vec<usize> =
        (0..samples.points.len()).filter(|&sample| !buffer.blank[sample]).collect();
    let count = samples.points.len() - tested.len();
    // A zone without a reading would have no other sample to go by.
    if tested.is_empty() || samples.of_zone.is_some() {
        return Ok(Some((count, rule, None)));
    }
    let points: Vec<Point> = tested.iter().map(|&sample| samples.points[sample]).collect();
    let values: Vec<f64> = tested.iter().filter_map(|&sample| buffer.readings[sample]).collect();
    let sites = merge_coincident(&points);
    let weights = surface_through(&sites)?.weigh(at);
    Ok(Some((count, rule, Some((weights, sites.mean_values(&values))))))
}

/// What the samples read, as measured, and the error of leaving one out; and what the others say
/// at each place, where there are others enough.
fn spreads_of(
    samples: &PlacedSamples,
    readings: &SiteReadings,
    sites: &Sites,
    ReadLayer { given, prepared, .. }: &ReadLayer,
) -> (Vec<Spread>, Vec<LeftOut>) {
    let decides =
        |key: &str| SoilValue::of_key(key).is_none_or(|value| prepared.reads_value(value));
    let (mut spreads, mut left_out) = (Vec::new(), Vec::new());
    let mut add = |key, measured_in: &str, measured: Vec<f64>, values: Vec<Option<f64>>| {
        let (numbers, values): (Vec<usize>, Vec<f64>) =
            values.iter().enumerate().filter_map(|(at, value)| Some((at, (*value)?))).unzip();
        // Where every place has a value, these are the places themselves.
        let points: Vec<Point> = numbers.iter().map(|&at| sites.points()[at]).collect();
        let places = merge_coincident(&points);
        // What one zone reads says nothing of another.
        let estimates =
            samples.of_zone.is_none().then(|| leave_one_out(&places, &values)).flatten();
        spreads.push(Spread {
            key,
            measured_in: measured_in.to_owned(),
            readings: measured,
            cross_check: estimates.as_ref().map(|found| CrossCheck::of(&values, found)),
        });
        // What decides nothing needs no second look at its odd readings.
        let estimates = estimates.filter(|_| decides(key));
        left_out.extend(estimates.map(|estimates| LeftOut {
            key,
            numbers,
            places,
            values,
            estimates,
        }));
    };
    let all = |values: &[f64]| values.iter().copied().map(Some).collect();
    add("ph", given.ph_medium.words(), samples.ph.clone(), all(&readings.ph));
    if let (Some(buffer), Some(values)) = (&samples.buffer, &readings.buffer_ph) {
        let measured: Vec<f64> = buffer
            .readings
            .iter()
            .zip(&buffer.blank)
            .filter_map(|(reading, &blank)| reading.filter(|_| !blank))
            .collect();
        if !measured.is_empty() {
            let words = given.buffer.map_or("not stated", |buffer| buffer.words());
            add("buffer_ph", words, measured, values.clone());
        }
    }
    let pairs = samples.values.numbers.iter().zip(&readings.values.numbers);
    for ((value, measured), (_, at_sites)) in pairs {
        let unit = given.units.get(*value).unwrap_or_default();
        add(value.key(), unit, measured.clone(), all(at_sites));
    }
    (spreads, left_out)
}

/// The area of all cells for which `is` holds.
pub(super) fn area_where(
    cells: &Cells,
    soils: &[CellSoil],
    is: impl Fn(&CellSoil) -> bool,
) -> Area {
    cells.list.iter().zip(soils).filter(|(_, soil)| is(soil)).map(|(cell, _)| cell.area).sum()
}
