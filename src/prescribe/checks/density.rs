//! How densely the field was sampled, and what the data are in one sentence each.

use super::super::by_zone::in_words;
use super::super::layers::Stratum;
use super::super::notes::shown;
use super::{Data, LayerData, age, words_of};
use crate::findings::Finding;
use crate::units::{Area, counted};

/// An area a sample beyond which variable rates rest on little: grids of 1 to 5 acres are in use,
/// and up to 2.5 acres are recommended (University of Georgia Extension, Circular 1297).
fn sparse_from() -> Area {
    Area::from_acres(5.0)
}

/// What the data are: samples and density, the range of each attribute, the error of leaving one
/// sample out, and how much of the field lies beyond the samples.
pub(in crate::prescribe) fn about(data: &Data<'_>) -> Vec<String> {
    let mut sentences: Vec<String> = age::about(&data.job.dates).into_iter().collect();
    for layer in data.layers() {
        let name = layer.layer.stratum.as_ref();
        sentences.extend(of_layer(&layer).into_iter().map(|text| Stratum::tell_of(name, text)));
    }
    let (beyond, farthest) = super::super::beyond(data.cells, |at| data.soils.standing(at));
    let samples = &data.job.samples;
    let of = match samples.given_by_zone() {
        None if samples.stand_for_zones() => "sample zones",
        None => "outline of the samples",
        Some(_) => "outline of the samples or beside the sample zones",
    };
    let field: Area = data.cells.list.iter().map(|cell| cell.area).sum();
    sentences.push(format!(
        "{:.1} % of the field lies beyond the {of}, at most {} from it.",
        100.0 * (beyond / field),
        shown(data.job.units.length(farthest), 0)
    ));
    sentences
}

fn of_layer(layer: &LayerData<'_>) -> Vec<String> {
    let mut sentences = vec![density(layer)];
    if let Some((zones, gives)) =
        layer.layer.by_zone.as_ref().zip(layer.job.samples.given_by_zone())
    {
        sentences.push(format!(
            "{} with one value each of {}.",
            counted(zones.results.ids.len() as u64, "sample zone", "sample zones"),
            in_words(&gives.attributes)
        ));
    }
    for spread in &layer.soils.spreads {
        let readings = &spread.readings;
        let least = readings.iter().copied().fold(f64::INFINITY, f64::min);
        let most = readings.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mean = readings.iter().sum::<f64>() / readings.len() as f64;
        sentences.push(format!(
            "{} of {} ({}): {least} to {most}, mean {mean:.2}.",
            counted(readings.len() as u64, "reading", "readings"),
            words_of(spread.key),
            spread.measured_in,
        ));
    }
    for spread in &layer.soils.spreads {
        if let Some(check) = spread.cross_check {
            let so = if check.rmse < check.mean_rmse {
                "the map tells more than one value for the whole field would"
            } else {
                "one rate for the whole field may serve as well"
            };
            sentences.push(format!(
                "Leaving one sample out, the map misses its {} by {:.2}, the mean of the others \
                 by {:.2}: {so}.",
                words_of(spread.key),
                check.rmse,
                check.mean_rmse
            ));
        }
    }
    sentences
}

/// A finding where the samples are few for the area; of several layers for each that has fewer than
/// those above it.
pub(super) fn told(data: &Data<'_>) -> Vec<Finding> {
    let (mut fewest, mut findings) = (usize::MAX, Vec::new());
    for layer in data.layers() {
        let count = layer.samples.ids.len();
        if count >= fewest {
            continue;
        }
        fewest = count;
        let stratum = layer.layer.stratum.as_ref();
        findings.extend(sparse(&layer).map(|finding| Stratum::tell(stratum, finding)));
    }
    findings
}

fn sparse(data: &LayerData<'_>) -> Option<Finding> {
    let each = field_area(data) * (1.0 / data.samples.ids.len() as f64);
    // A zone is drawn where its soil is thought to be alike, of whatever size.
    (each > sparse_from() && data.samples.of_zone.is_none()).then(|| {
        Finding::new(
            "sparse_samples",
            format!(
                "{} Grids of more than {} a sample show little of what varies within a field.",
                density(data),
                shown(data.job.units.area(sparse_from()), 1)
            ),
        )
    })
}

fn density(data: &LayerData<'_>) -> String {
    let units = data.job.units;
    let count = data.samples.ids.len();
    let area = field_area(data);
    let on = shown(units.area(area), 2);
    let each = shown(units.area(area * (1.0 / count as f64)), 2);
    match data.soils.farthest {
        Some(farthest) => format!(
            "{} on {on}, one for {each}; no cell of the map is farther than {} from a sample.",
            counted(count as u64, "sample", "samples"),
            shown(units.length(farthest), 0)
        ),
        None => format!(
            "{} with one composite each on {on}, one for {each}.",
            counted(count as u64, "sample zone", "sample zones")
        ),
    }
}

fn field_area(data: &LayerData<'_>) -> Area {
    data.cells.list.iter().map(|cell| cell.area).sum()
}
