//! How much hangs on a reading: the need per tenth of it, and the tons on ground near the trigger.

use super::needs::{CellSoil, Shift, soil_shifted};
use super::rates::CellRate;
use crate::agronomy::{Given, Missing, Prepared, Reads};
use crate::machine::{Limit, Machine};
use crate::units::{Area, CarbonateMass, EffectiveFraction, LimeNeed, ProductMass};

/// The step of a reading that everything is told for: pH is read to a tenth (common practice).
pub const TENTH: f64 = 0.1;

/// What hangs on a tenth of a reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sensitivity {
    /// How much the need rises, on average over the ground that needs lime, when the reading that
    /// decides it is a tenth on the acid side.
    pub need_per_tenth: LimeNeed,
    /// Ground that is limed and whose pH lies less than a tenth below the trigger.
    pub below_area: Area,
    /// The product that it gets: with pH a tenth higher it would get none.
    pub below_product: ProductMass,
    /// Ground that is left alone, and not by an override, and whose pH lies less than a tenth above the trigger.
    pub above_area: Area,
    /// The product that it would get with pH a tenth lower.
    pub above_product: ProductMass,
}

/// Works out what hangs on a tenth of the readings.
///
/// # Errors
/// Returns what is missing where the method cannot decide a cell.
pub fn sensitivity(
    soils: &[CellSoil],
    rates: &[CellRate],
    given: &Given,
    prepared: &Prepared,
    effective: EffectiveFraction,
    machine: &Machine,
) -> Result<Sensitivity, Missing> {
    let mut rise = CarbonateMass::ZERO;
    let mut limed = Area::ZERO;
    let mut hanging = Sensitivity {
        need_per_tenth: LimeNeed::ZERO,
        below_area: Area::ZERO,
        below_product: ProductMass::ZERO,
        above_area: Area::ZERO,
        above_product: ProductMass::ZERO,
    };
    // The acid side: a lower pH, and a greater acidity.
    let acid = match prepared.reads() {
        Reads::Ph => Shift { ph: -TENTH, ..Shift::NONE },
        Reads::BufferPh => Shift { buffer_ph: -TENTH, ..Shift::NONE },
        Reads::Acidity => Shift { acidity: TENTH, ..Shift::NONE },
    };
    for (soil, cell) in soils.iter().zip(rates) {
        let above_trigger = prepared.to_method_medium(soil.ph) - prepared.trigger();
        if soil.need > LimeNeed::ZERO {
            let more = soil_shifted(soil, &acid, given, prepared)?;
            rise += (more - soil.need) * cell.area;
            limed += cell.area;
        }
        if (-TENTH..0.0).contains(&above_trigger) && cell.rate.spreads() {
            hanging.below_area += cell.area;
            hanging.below_product += cell.product;
        } else if (0.0..TENTH).contains(&above_trigger) && cell.limit != Limit::Overridden {
            let lower = Shift { ph: -TENTH, ..Shift::NONE };
            let need = soil_shifted(soil, &lower, given, prepared)?;
            let rate = machine.setting.rate(machine.fit(need / effective).rate);
            hanging.above_area += cell.area;
            hanging.above_product += rate * cell.area;
        }
    }
    if limed > Area::ZERO {
        hanging.need_per_tenth = rise / limed;
    }
    Ok(hanging)
}
