//! The map drawn again without one of the sampled places.

use super::Data;
use crate::agronomy::{Given, Prepared};
use crate::error::Error;
use crate::field::Point;
use crate::prescription::{CellSoil, SiteReadings, soil_of_cells};
use crate::surfaces::{Interpolator, Way, merge_coincident};
use crate::units::{CarbonateMass, ProductMass};

/// What the whole field needs and gets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Totals {
    pub(super) need: CarbonateMass,
    pub(super) product: ProductMass,
}

/// How the map without a place is worked out.
pub(super) struct Redraw<'a, F> {
    pub(super) data: &'a Data<'a>,
    pub(super) given: &'a Given,
    pub(super) prepared: &'a Prepared,
    /// The product on some cells, by their numbers, with these soils.
    pub(super) product_on: F,
}

impl<F: Fn(&[usize], &[CellSoil]) -> Result<ProductMass, Error>> Redraw<'_, F> {
    /// The totals of the field for each of `places`, as the map without that place has them; `with`
    /// are those with it. `None` where no other place is left.
    ///
    /// # Errors
    /// Returns a fault of the program where a cell cannot be decided or prescribed.
    pub(super) fn totals_without(
        &self,
        places: &[usize],
        with: Totals,
    ) -> Result<Vec<Option<Totals>>, Error> {
        let weighed = self.cells_weighed(places);
        places.iter().zip(weighed).map(|(&place, near)| self.one(place, near, with)).collect()
    }

    fn one(&self, place: usize, near: Vec<usize>, with: Totals) -> Result<Option<Totals>, Error> {
        let Data { cells, soils, .. } = self.data;
        let points: Vec<Point> = without(soils.places.points(), place);
        let Some(surface) = Interpolator::new(&merge_coincident(&points)) else { return Ok(None) };
        let readings = SiteReadings {
            ph: without(&soils.sites.ph, place),
            buffer_ph: soils.sites.buffer_ph.as_ref().map(|values| without(values, place)),
            acidity: soils.sites.acidity.as_ref().map(|values| without(values, place)),
        };
        // Natural neighbours are local: where the place has no weight, the map stays as it is.
        let is_local = surface.way() == Way::NaturalNeighbour;
        let changed = if is_local { near } else { (0..cells.list.len()).collect() };
        let at: Vec<Point> = changed.iter().map(|&cell| cells.list[cell].value_point).collect();
        let drawn = soil_of_cells(&surface.weigh(&at), &readings, None, self.given, self.prepared)
            .map_err(|missing| Error::Fault(format!("a cell has {missing}")))?;
        let before: Vec<CellSoil> = changed.iter().map(|&cell| soils.cells[cell]).collect();
        let need_of = |soils: &[CellSoil]| -> CarbonateMass {
            changed.iter().zip(soils).map(|(&at, soil)| soil.need * cells.list[at].area).sum()
        };
        let more = (self.product_on)(&changed, &drawn)? - (self.product_on)(&changed, &before)?;
        Ok(Some(Totals {
            need: with.need + (need_of(&drawn) - need_of(&before)),
            product: with.product + more,
        }))
    }

    /// For each place the cells in which it has weight, ascending.
    fn cells_weighed(&self, places: &[usize]) -> Vec<Vec<usize>> {
        let mut of_place = vec![Vec::new(); places.len()];
        if places.is_empty() {
            return of_place;
        }
        let soils = self.data.soils;
        let mut number = vec![None; soils.places.len()];
        for (at, &place) in places.iter().enumerate() {
            number[place] = Some(at);
        }
        for cell in 0..soils.weights.len() {
            for (site, _) in soils.weights.entries(cell) {
                if let Some(at) = number[site] {
                    of_place[at].push(cell);
                }
            }
        }
        of_place
    }
}

fn without<T: Copy>(values: &[T], place: usize) -> Vec<T> {
    values.iter().enumerate().filter(|&(at, _)| at != place).map(|(_, value)| *value).collect()
}
