//! What the data say about themselves: findings that ask for a second look before the map is used.

mod age;
mod buffers;
mod density;
mod neighbours;
mod outliers;
mod without;

use super::layers::Stratum;
use super::reading::{PlacedSamples, ReadLayer};
use super::soils::{LayerSoils, Soils};
use crate::error::Error;
use crate::field::Cells;
use crate::findings::Finding;
use crate::inputs::Job;
use crate::units::{LimeNeed, ProductMass, SoilValue};

pub(super) use density::about;
use without::{Redraw, Totals};

/// How many of a kind a finding names before it only counts.
const NAMED: usize = 10;

/// What was read and mapped.
pub(super) struct Data<'a> {
    pub(super) job: &'a Job,
    pub(super) cells: &'a Cells,
    pub(super) soils: &'a Soils,
    pub(super) layers: &'a [ReadLayer],
}

impl<'a> Data<'a> {
    /// The layers, from the top down.
    fn layers(&self) -> impl Iterator<Item = LayerData<'a>> {
        let &Data { job, cells, soils: Soils { layers: soils, needs }, layers } = self;
        soils.iter().zip(layers).map(move |(soils, layer)| LayerData {
            job,
            cells,
            needs,
            samples: &layer.samples,
            soils,
            layer,
        })
    }
}

/// What was read and mapped of one layer.
struct LayerData<'a> {
    job: &'a Job,
    cells: &'a Cells,
    /// The need of each cell over all layers.
    needs: &'a [LimeNeed],
    samples: &'a PlacedSamples,
    soils: &'a LayerSoils,
    layer: &'a ReadLayer,
}

impl LayerData<'_> {
    /// The names of the samples that were taken at a place.
    fn name_of(&self, place: usize) -> String {
        let group = &self.soils.places.groups()[place];
        let ids: Vec<String> =
            group.iter().map(|&sample| crate::findings::clean(&self.samples.ids[sample])).collect();
        ids.join(" and ")
    }
}

/// What the data tell. `product` is prescribed, and `product_on` prescribes on some of the cells,
/// by their numbers, with other needs.
///
/// # Errors
/// Returns a fault of the program where the map without a sample cannot be prescribed.
pub(super) fn of_data(
    data: &Data<'_>,
    product: ProductMass,
    product_on: impl Fn(&[usize], &[LimeNeed]) -> Result<ProductMass, Error>,
) -> Result<Vec<Finding>, Error> {
    let mut findings: Vec<Finding> = density::told(data);
    findings.extend(age::told(&data.job.dates));
    let cells = data.cells.list.iter().zip(&data.soils.needs);
    let with = Totals { need: cells.map(|(cell, &need)| need * cell.area).sum(), product };
    for layer in data.layers() {
        let mut found = buffers::told(&layer);
        found.extend(neighbours::told(&layer));
        let redraw = Redraw { data: &layer, product_on: &product_on };
        found.extend(outliers::told(&layer, with, |at| redraw.totals_without(at, with))?);
        let stratum = layer.layer.stratum.as_ref();
        findings.extend(found.into_iter().map(|finding| Stratum::tell(stratum, finding)));
    }
    Ok(findings)
}

/// The attribute of a key, as a sentence names it.
fn words_of(key: &str) -> &'static str {
    match key {
        "buffer_ph" => "buffer pH",
        key => SoilValue::of_key(key).map_or("pH", SoilValue::words),
    }
}
