//! The map drawn again without one of the sampled places.

use super::LayerData;
use crate::error::Error;
use crate::field::Point;
use crate::prescription::{SiteReadings, soil_of_cells};
use crate::surfaces::{Interpolator, Way, merge_coincident};
use crate::units::{CarbonateMass, LimeNeed, ProductMass};

/// What the whole field needs and gets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Totals {
    pub(super) need: CarbonateMass,
    pub(super) product: ProductMass,
}

/// How the map without a place is worked out.
pub(super) struct Redraw<'a, F> {
    /// The layer that the places were sampled in; the others stay as they are.
    pub(super) data: &'a LayerData<'a>,
    /// The product on some cells, by their numbers, with these needs.
    pub(super) product_on: F,
}

impl<F: Fn(&[usize], &[LimeNeed]) -> Result<ProductMass, Error>> Redraw<'_, F> {
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
        let LayerData { cells, soils, needs, layer, .. } = self.data;
        let points: Vec<Point> = without(soils.places.points(), place);
        let Some(surface) = Interpolator::new(&merge_coincident(&points)) else { return Ok(None) };
        let readings = SiteReadings {
            ph: without(&soils.sites.ph, place),
            buffer_ph: soils.sites.buffer_ph.as_ref().map(|values| without(values, place)),
            values: soils.sites.values.map(|all| without(all, place), |all| without(all, place)),
        };
        // Natural neighbours are local: where the place has no weight, the map stays as it is.
        let is_local = surface.way() == Way::NaturalNeighbour;
        let changed = if is_local { near } else { (0..cells.list.len()).collect() };
        let at: Vec<Point> = changed.iter().map(|&cell| cells.list[cell].value_point).collect();
        let weights = surface.weigh(&at);
        let values = readings.values.weighed(&weights);
        let drawn =
            soil_of_cells(&weights, &readings, &values, None, &layer.given, &layer.prepared)
                .map_err(|missing| Error::Fault(format!("a cell has {missing}")))?;
        let before: Vec<LimeNeed> = changed.iter().map(|&cell| needs[cell]).collect();
        let others = changed.iter().map(|&cell| needs[cell] - soils.cells[cell].need);
        let after: Vec<LimeNeed> =
            others.zip(&drawn).map(|(need, soil)| need + soil.need).collect();
        let need_of = |needs: &[LimeNeed]| -> CarbonateMass {
            changed.iter().zip(needs).map(|(&at, &need)| need * cells.list[at].area).sum()
        };
        let more = (self.product_on)(&changed, &after)? - (self.product_on)(&changed, &before)?;
        Ok(Some(Totals {
            need: with.need + (need_of(&after) - need_of(&before)),
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
