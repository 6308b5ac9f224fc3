//! How much hangs on a reading: the need per tenth of it, and the tons on ground near the trigger.

use std::ops::Range;

use super::needs::{Shift, SoilLayer, soil_shifted};
use super::rates::{CellRate, Orders};
use crate::agronomy::{Given, Missing, Prepared, Reads};
use crate::machine::Machine;
use crate::units::{Area, CarbonateMass, EffectiveFraction, LimeNeed, ProductMass};

/// The step of a pH that everything is told for: pH is read to a tenth (common practice).
pub const TENTH: f64 = 0.1;

/// Readings closer than this are the same; the rest is rounding.
const SAME: f64 = 1e-9;

/// What hangs on a tenth of a reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sensitivity {
    /// How much the need rises, on average over the ground that needs lime, when the reading that
    /// leads it is its [step](Reads::acid_step) on the acid side: a tenth of a pH.
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

/// Works out what hangs on a tenth of the readings of all layers; what is ordered for a cell is
/// ordered at any reading.
///
/// A layer lies near the trigger by its own pH, and ground does where one of its layers does.
///
/// # Errors
/// Returns what is missing where the method cannot decide a cell.
pub fn sensitivity(
    layers: &[SoilLayer<'_>],
    rates: &[CellRate],
    orders: &Orders<'_>,
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
    for (at, cell) in rates.iter().enumerate() {
        let tenth = a_tenth(layers, at)?;
        if tenth.needs {
            rise += tenth.more * cell.area;
            limed += cell.area;
        }
        // Whatever area the cell lies in, its own rate hangs on its own readings.
        let own = machine.setting.rate(cell.own.rate) * cell.area;
        let rate_of =
            |need: LimeNeed| orders.carried_out(machine, at, machine.fit(need / effective));
        // What gets nothing this time does so whatever it reads.
        let is_spread = cell.held_from.is_none();
        if let Some(need) = tenth.higher {
            hanging.below_area += cell.area;
            let higher = rate_of(need);
            if is_spread && cell.own.rate > higher {
                hanging.below_limed_area += cell.area;
                hanging.below_product += own - machine.setting.rate(higher) * cell.area;
            }
        }
        if let Some(need) = tenth.lower {
            hanging.above_area += cell.area;
            let lower = rate_of(need);
            if is_spread && lower > cell.own.rate {
                hanging.above_limed_area += cell.area;
                hanging.above_product += machine.setting.rate(lower) * cell.area - own;
            }
        }
    }
    hanging.needing_area = limed;
    if limed > Area::ZERO {
        hanging.need_per_tenth = rise / limed;
    }
    Ok(hanging)
}

/// What a tenth of the readings does to one cell.
struct Tenth {
    /// Whether it needs lime.
    needs: bool,
    /// The need beyond its own when the readings of the layers that need lime are a tenth on the
    /// acid side.
    more: LimeNeed,
    /// The need with pH a tenth higher in the layers just below the trigger, where there are any:
    /// those then need nothing.
    higher: Option<LimeNeed>,
    /// The need with pH a tenth lower in the layers just above it, where there are any.
    lower: Option<LimeNeed>,
}

fn a_tenth(layers: &[SoilLayer<'_>], cell: usize) -> Result<Tenth, Missing> {
    let (mut more, mut needs) = (LimeNeed::ZERO, false);
    let (mut higher, mut lower) = (LimeNeed::ZERO, LimeNeed::ZERO);
    let (mut is_below, mut is_above) = (false, false);
    for SoilLayer { cells, values, given, prepared } in layers {
        let (soil, others) = (&cells[cell], values.known_at(cell));
        let others = others.as_ref();
        if soil.need > LimeNeed::ZERO {
            needs = true;
            let shift = acid_side(prepared, given);
            more += soil_shifted(soil, others, &shift, given, prepared)? - soil.need;
        }
        let above_trigger =
            prepared.trigger().map(|trigger| prepared.to_method_medium(soil.ph) - trigger);
        let lies = |range: Range<f64>| above_trigger.is_some_and(|above| range.contains(&above));
        let below = lies(-TENTH - SAME..-SAME);
        let above = lies(-SAME..TENTH - SAME);
        higher += if below { LimeNeed::ZERO } else { soil.need };
        lower += if above {
            let shift = Shift { ph: -TENTH, ..Shift::NONE };
            soil_shifted(soil, others, &shift, given, prepared)?
        } else {
            soil.need
        };
        is_below |= below;
        is_above |= above;
    }
    Ok(Tenth { needs, more, higher: is_below.then_some(higher), lower: is_above.then_some(lower) })
}

/// The acid side of the reading that leads: a lower pH, and more of what has to be neutralised. A
/// value is shifted in the unit that it was reported in.
fn acid_side(prepared: &Prepared, given: &Given) -> Shift {
    let lead = prepared.reads().lead();
    let step = lead.acid_step();
    match lead {
        Reads::Ph | Reads::Texture => Shift { ph: step, ..Shift::NONE },
        Reads::BufferPh => Shift { buffer_ph: step, ..Shift::NONE },
        Reads::Value(value) => {
            let unit = given.units.get(value).and_then(|unit| value.canonical(1.0, unit));
            Shift { value: unit.map(|of_one| (value, step / of_one)), ..Shift::NONE }
        }
    }
}
