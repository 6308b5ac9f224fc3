//! How much hangs on a reading: the need per tenth of it, and the tons on ground near the trigger.

use super::needs::{CellSoil, Shift, soil_shifted};
use super::rates::{CellRate, Orders};
use crate::agronomy::{Given, Missing, Prepared, Reads};
use crate::machine::Machine;
use crate::units::{Area, CarbonateMass, EffectiveFraction, LimeNeed, ProductMass, ProductRate};

/// The step of a reading that everything is told for: pH is read to a tenth (common practice).
pub const TENTH: f64 = 0.1;

/// Readings closer than this are the same; the rest is rounding.
const SAME: f64 = 1e-9;

/// What hangs on a tenth of a reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sensitivity {
    /// How much the need rises, on average over the ground that needs lime, when the reading that
    /// decides it is a tenth on the acid side.
    pub need_per_tenth: LimeNeed,
    /// The ground that needs lime, which that is the average over.
    pub needing_area: Area,
    /// Ground whose pH lies below the trigger, by a tenth at the most.
    pub below_area: Area,
    /// The part of it that is limed for its pH.
    pub below_limed_area: Area,
    /// The product that it gets and would not get with pH a tenth higher.
    pub below_product: ProductMass,
    /// Ground whose pH lies at the trigger or above it, by less than a tenth.
    pub above_area: Area,
    /// The part of it that would be limed with pH a tenth lower.
    pub above_limed_area: Area,
    /// The product that it would get with pH a tenth lower, and does not get.
    pub above_product: ProductMass,
}

/// Works out what hangs on a tenth of the readings; what is ordered for a cell is ordered at any
/// reading.
///
/// # Errors
/// Returns what is missing where the method cannot decide a cell.
pub fn sensitivity(
    soils: &[CellSoil],
    rates: &[CellRate],
    orders: &Orders<'_>,
    given: &Given,
    prepared: &Prepared,
    effective: EffectiveFraction,
    machine: &Machine,
) -> Result<Sensitivity, Missing> {
    let mut rise = CarbonateMass::ZERO;
    let mut limed = Area::ZERO;
    let mut hanging = Sensitivity {
        need_per_tenth: LimeNeed::ZERO,
        needing_area: Area::ZERO,
        below_area: Area::ZERO,
        below_limed_area: Area::ZERO,
        below_product: ProductMass::ZERO,
        above_area: Area::ZERO,
        above_limed_area: Area::ZERO,
        above_product: ProductMass::ZERO,
    };
    // The acid side: a lower pH, and a greater acidity.
    let acid = match prepared.reads() {
        Reads::Ph => Shift { ph: -TENTH, ..Shift::NONE },
        Reads::BufferPh => Shift { buffer_ph: -TENTH, ..Shift::NONE },
        Reads::Acidity => Shift { acidity: TENTH, ..Shift::NONE },
    };
    for (at, (soil, cell)) in soils.iter().zip(rates).enumerate() {
        let above_trigger = prepared.to_method_medium(soil.ph) - prepared.trigger();
        if soil.need > LimeNeed::ZERO {
            let more = soil_shifted(soil, &acid, given, prepared)?;
            rise += (more - soil.need) * cell.area;
            limed += cell.area;
        }
        if (-TENTH - SAME..-SAME).contains(&above_trigger) {
            hanging.below_area += cell.area;
            let higher = orders.carried_out(machine, at, machine.fit(ProductRate::ZERO));
            if cell.rate > higher {
                hanging.below_limed_area += cell.area;
                hanging.below_product += cell.product - machine.setting.rate(higher) * cell.area;
            }
        } else if (-SAME..TENTH - SAME).contains(&above_trigger) {
            let lower = Shift { ph: -TENTH, ..Shift::NONE };
            let need = soil_shifted(soil, &lower, given, prepared)?;
            let lower = orders.carried_out(machine, at, machine.fit(need / effective));
            hanging.above_area += cell.area;
            if lower > cell.rate {
                hanging.above_limed_area += cell.area;
                hanging.above_product += machine.setting.rate(lower) * cell.area - cell.product;
            }
        }
    }
    hanging.needing_area = limed;
    if limed > Area::ZERO {
        hanging.need_per_tenth = rise / limed;
    }
    Ok(hanging)
}
