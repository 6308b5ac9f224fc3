//! The map drawn again without one of the sampled places.

use super::Data;
use crate::agronomy::{Given, Prepared};
use crate::error::Error;
use crate::field::Point;
use crate::prescription::{CellSoil, SiteReadings, soil_of_cells};
use crate::surfaces::{Interpolator, Way, merge_coincident};

/// The soil of every cell as the map without `place` has it; `None` where no other is left.
///
/// # Errors
/// Returns a fault of the program where a cell cannot be decided.
pub(super) fn soils_without(
    data: &Data<'_>,
    place: usize,
    given: &Given,
    prepared: &Prepared,
) -> Result<Option<Vec<CellSoil>>, Error> {
    let soils = data.soils;
    let points: Vec<Point> = without(soils.places.points(), place);
    let Some(surface) = Interpolator::new(&merge_coincident(&points)) else { return Ok(None) };
    let readings = SiteReadings {
        ph: without(&soils.sites.ph, place),
        buffer_ph: soils.sites.buffer_ph.as_ref().map(|values| without(values, place)),
        acidity: soils.sites.acidity.as_ref().map(|values| without(values, place)),
    };
    // Natural neighbours are local: where the place has no weight, the map stays as it is.
    let is_local = surface.way() == Way::NaturalNeighbour;
    let changed: Vec<usize> = (0..data.cells.list.len())
        .filter(|&cell| !is_local || soils.weights.entries(cell).any(|entry| entry.0 == place))
        .collect();
    let at: Vec<Point> = changed.iter().map(|&cell| data.cells.list[cell].value_point).collect();
    let drawn = soil_of_cells(&surface.weigh(&at), &readings, None, given, prepared)
        .map_err(|missing| Error::Fault(format!("a cell has {missing}")))?;
    let mut all = soils.cells.clone();
    for (&cell, soil) in changed.iter().zip(drawn) {
        all[cell] = soil;
    }
    Ok(Some(all))
}

fn without<T: Copy>(values: &[T], place: usize) -> Vec<T> {
    values.iter().enumerate().filter(|&(at, _)| at != place).map(|(_, value)| *value).collect()
}
