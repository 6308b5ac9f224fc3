//! What the data say about themselves: findings that ask for a second look before the map is used.

mod age;
mod buffers;
mod density;
mod neighbours;
mod outliers;
mod without;

use super::reading::PlacedSamples;
use super::soils::Soils;
use crate::agronomy::{Given, Prepared};
use crate::error::Error;
use crate::field::Cells;
use crate::findings::Finding;
use crate::inputs::Job;
use crate::prescription::CellSoil;
use crate::units::ProductMass;

pub(super) use density::about;
use without::{Redraw, Totals};

/// How many of a kind a finding names before it only counts.
const NAMED: usize = 10;

/// What was read and mapped.
pub(super) struct Data<'a> {
    pub(super) job: &'a Job,
    pub(super) samples: &'a PlacedSamples,
    pub(super) cells: &'a Cells,
    pub(super) soils: &'a Soils,
}

impl Data<'_> {
    /// The names of the samples that were taken at a place.
    fn name_of(&self, place: usize) -> String {
        let group = &self.soils.places.groups()[place];
        let ids: Vec<String> =
            group.iter().map(|&sample| crate::findings::clean(&self.samples.ids[sample])).collect();
        ids.join(" and ")
    }
}

/// What the data tell. `product` is prescribed, and `product_on` prescribes on some of the cells,
/// by their numbers, with other soils.
///
/// # Errors
/// Returns a fault of the program where the map without a sample cannot be prescribed.
pub(super) fn of_data(
    data: &Data<'_>,
    given: &Given,
    prepared: &Prepared,
    product: ProductMass,
    product_on: impl Fn(&[usize], &[CellSoil]) -> Result<ProductMass, Error>,
) -> Result<Vec<Finding>, Error> {
    let mut findings: Vec<Finding> = density::told(data).into_iter().collect();
    findings.extend(age::told(&data.job.dates));
    findings.extend(buffers::told(data));
    findings.extend(neighbours::told(data));
    let cells = data.cells.list.iter().zip(&data.soils.cells);
    let with = Totals { need: cells.map(|(cell, soil)| soil.need * cell.area).sum(), product };
    let redraw = Redraw { data, given, prepared, product_on };
    findings.extend(outliers::told(data, with, |places| redraw.totals_without(places, with))?);
    Ok(findings)
}

/// The attribute of a key, as a sentence names it.
fn words_of(key: &str) -> &'static str {
    match key {
        "buffer_ph" => "buffer pH",
        "acidity" => "exchangeable acidity",
        _ => "pH",
    }
}
