//! What was read, held against what was meant.

use super::totals::MapTotals;
use crate::inputs::exports::{ReadGround, ReadMap};
use crate::units::{ControllerUnit, ProductMass};

/// How far the product of a map of polygons or rows may be from what was meant, as a share of it.
pub const VECTOR_TOLERANCE: f64 = 0.001;
/// The same of a grid, whose cells do not follow the edges of areas.
pub const GRID_TOLERANCE: f64 = 0.01;

/// How far the product of a map may be from what was meant, as a share of it.
pub fn tolerance_of(ground: &ReadGround) -> f64 {
    match ground {
        ReadGround::Grid(_) => GRID_TOLERANCE,
        ReadGround::Areas(_) | ReadGround::Rows(_) => VECTOR_TOLERANCE,
    }
}

/// The product that was meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// It, as spread.
    pub product: ProductMass,
    /// How far off a map may be, as a share of it.
    pub tolerance: f64,
}

impl Expected {
    /// How far `read` is off, as a share of what was meant: above 0 where more was read. Where
    /// nothing was meant any product is off by the whole.
    pub fn difference(&self, read: ProductMass) -> f64 {
        if self.product > ProductMass::ZERO {
            read / self.product - 1.0
        } else if read > ProductMass::ZERO {
            1.0
        } else {
            0.0
        }
    }

    /// Whether `read` is as near as it must be.
    pub fn is_met_by(&self, read: ProductMass) -> bool {
        self.difference(read).abs() <= self.tolerance
    }

    /// The unit in which the numbers of a map would come to what was meant, where that is not the
    /// one that they are in.
    pub fn unit_that_fits(&self, totals: &MapTotals) -> Option<ControllerUnit> {
        ControllerUnit::ALL.into_iter().find(|&unit| self.is_met_by(totals.product_in(unit)))
    }
}

/// Whether the rates of a map are those that were meant, each within `tolerance` in its unit:
/// `meant` is in the order of polygons or rows, and holds any that a grid may have.
///
/// # Errors
/// Returns the first that is not, in words.
pub fn rates_as_meant(map: &ReadMap, meant: &[f64], tolerance: f64) -> Result<(), String> {
    let in_order = |read: Vec<Option<f64>>| {
        if read.len() != meant.len() {
            return Err(format!("{} rates were read and {} meant", read.len(), meant.len()));
        }
        let wrong =
            read.iter().zip(meant).enumerate().find(|(_, (read, meant))| {
                read.is_none_or(|read| (read - **meant).abs() > tolerance)
            });
        wrong.map_or(Ok(()), |(at, (read, meant))| {
            let read = read.map_or_else(|| "nothing".to_owned(), |read| read.to_string());
            Err(format!("rate {} was read as {read} and meant as {meant}", at + 1))
        })
    };
    match &map.ground {
        ReadGround::Areas(areas) => in_order(areas.iter().map(|area| area.rate).collect()),
        ReadGround::Rows(rows) => in_order(rows.iter().map(|row| row.rate).collect()),
        ReadGround::Grid(grid) => {
            let mut known = meant.to_vec();
            known.sort_by(f64::total_cmp);
            let stranger = grid.rates.iter().flatten().find(|&&rate| {
                let at = known.partition_point(|&meant| meant < rate - tolerance);
                known.get(at).is_none_or(|&meant| meant > rate + tolerance)
            });
            stranger.map_or(Ok(()), |rate| Err(format!("the rate {rate} was read and never meant")))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inputs::exports::{ReadGrid, ReadRow};

    fn rows(rates: &[Option<f64>]) -> ReadMap {
        let row = |&rate: &Option<f64>| ReadRow { area_m2: 1.0, rate };
        let ground = ReadGround::Rows(rates.iter().map(row).collect());
        ReadMap { name: "rate_lb_ac".into(), unit: Some("lb/ac"), ground }
    }

    #[test]
    fn a_total_is_held_to_its_tolerance_and_nothing_to_nothing() {
        let expected =
            Expected { product: ProductMass::from_short_tons(100.0), tolerance: VECTOR_TOLERANCE };
        let read = |tons: f64| ProductMass::from_short_tons(tons);
        assert!(expected.is_met_by(read(100.09)) && expected.is_met_by(read(99.91)));
        assert!(!expected.is_met_by(read(100.11)) && !expected.is_met_by(read(99.89)));
        assert!((expected.difference(read(99.0)) + 0.01).abs() < 1e-12);
        let nothing = Expected { product: ProductMass::ZERO, tolerance: GRID_TOLERANCE };
        assert!(nothing.is_met_by(ProductMass::ZERO) && !nothing.is_met_by(read(0.001)));
    }

    #[test]
    fn every_rate_is_held_against_its_own() {
        let meant = [0.0, 4_500.0, 12_345.67];
        let all = |rates: &[Option<f64>]| rates_as_meant(&rows(rates), &meant, 0.005);
        assert!(all(&[Some(0.0), Some(4_500.004), Some(12_345.67)]).is_ok());
        let cut = all(&[Some(0.0), Some(4_500.0), Some(12_345.0)]).unwrap_err();
        assert!(cut.contains("12345.67") && cut.contains("rate 3"), "{cut}");
        assert!(all(&[None, Some(4_500.0), Some(12_345.67)]).unwrap_err().contains("nothing"));
        assert!(all(&[Some(0.0)]).unwrap_err().contains("1 rates"));
    }

    #[test]
    fn a_grid_may_hold_any_rate_that_was_meant_and_no_other() {
        let grid = |rates: Vec<Option<f64>>| ReadMap {
            name: "rate_t_ha".into(),
            unit: Some("t/ha"),
            ground: ReadGround::Grid(ReadGrid {
                west_deg: 0.0,
                south_deg: 0.0,
                cell_lon_deg: 1e-5,
                cell_lat_deg: 1e-5,
                columns: rates.len(),
                rows: 1,
                rates,
            }),
        };
        let held = |rates| rates_as_meant(&grid(rates), &[2.5, 0.0], 1e-6);
        assert!(held(vec![Some(2.5), None, Some(0.0), Some(2.5)]).is_ok());
        assert!(held(vec![Some(2.5), Some(1.25)]).unwrap_err().contains("1.25"));
        assert!(held(vec![Some(-9999.0)]).is_err());
    }
}
