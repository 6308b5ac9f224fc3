//! Numbers of a map that can be no rates, whatever its unit.

use super::open::FoundExport;
use super::{ReadGround, ReadMap};
use crate::findings::{Finding, Place};

/// What no rate of a map reaches in any unit (ours): the greatest rate of a machine, 100 t/ha, is
/// 1e7 mg/m2, the smallest unit; a mistake of a factor of 2,000 stays far below.
const NO_RATE_FROM: f64 = 1e12;

/// Takes away the numbers that can be no rates, and tells how many there were; what is left is
/// finite, also when it is added up.
pub(super) fn without_unbelievable(mut found: FoundExport) -> FoundExport {
    let place = Place::in_file(&found.file);
    for map in &mut found.export.maps {
        let taken = take_away(map);
        if taken > 0 {
            let place = Place { column: Some(map.name.clone()), ..place.clone() };
            let text = format!(
                "{taken} of its numbers are infinite, or {NO_RATE_FROM:e} or more, which no rate \
                 is in any unit; they were read as no rate."
            );
            found.export.faults.push(Finding::at("unbelievable_rates", place, text));
        }
    }
    found
}

fn take_away(map: &mut ReadMap) -> usize {
    let mut taken = 0;
    let mut check = |rate: &mut Option<f64>| {
        if rate.is_some_and(|rate| !rate.is_finite() || rate.abs() >= NO_RATE_FROM) {
            *rate = None;
            taken += 1;
        }
    };
    match &mut map.ground {
        ReadGround::Areas(areas) => areas.iter_mut().for_each(|area| check(&mut area.rate)),
        ReadGround::Grid(grid) => grid.rates.iter_mut().for_each(check),
        ReadGround::Rows(rows) => rows.iter_mut().for_each(|row| check(&mut row.rate)),
    }
    taken
}
