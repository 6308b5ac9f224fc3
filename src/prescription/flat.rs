//! The two flat rates that a manager holds the map against.

use super::rates::{CellRate, Prescription};
use crate::machine::{Limit, Machine, MachineRate, WrittenRate};
use crate::units::{Area, CarbonateMass, EffectiveFraction, LimeNeed, ProductMass, ProductRate};

/// One rate over the whole field, and what it would do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlatRate {
    /// The rate.
    pub rate: ProductRate,
    /// The rate that the soil asks for, before the machine's limits and steps; `None` where the
    /// rate is of no soil.
    pub asked: Option<ProductRate>,
    /// The rate as the machine's setting writes it, where it is one that the machine holds.
    pub written: Option<WrittenRate>,
    /// What a limit of the machine did to it.
    pub limit: Limit,
    /// The product that it takes.
    pub product: ProductMass,
    /// Where it gives more than is needed.
    pub over_limed: Area,
    /// Where it gives less.
    pub under_limed: Area,
    /// CaCO3 beyond the need, where it gives more.
    pub excess: CarbonateMass,
    /// CaCO3 short of the need, where it gives less.
    pub shortfall: CarbonateMass,
}

/// Both flat rates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlatRates {
    /// The same tons as the map, spread evenly; not rounded to the machine.
    pub same_tons: FlatRate,
    /// What one composite sample of the whole field would have asked for, rounded and limited as
    /// the map is.
    pub composite: FlatRate,
    /// Its rate, as one of the machine's.
    pub composite_rate: MachineRate,
    /// The need that the composite shows.
    pub composite_need: LimeNeed,
}

/// Works out both flat rates for a prescribed field.
pub fn flat_rates(
    prescription: &Prescription,
    composite_need: LimeNeed,
    effective: EffectiveFraction,
    machine: &Machine,
) -> FlatRates {
    let cells = &prescription.cells;
    let even = prescription.product / prescription.area;
    let asked = composite_need / effective;
    let fitted = machine.fit(asked);
    let composite = flat(machine.setting.rate(fitted.rate), cells, prescription.area, effective);
    FlatRates {
        same_tons: flat(even, cells, prescription.area, effective),
        composite: FlatRate {
            asked: Some(asked),
            written: Some(machine.setting.written(fitted.rate)),
            limit: fitted.limit,
            ..composite
        },
        composite_rate: fitted.rate,
        composite_need,
    }
}

/// A rate that no machine holds and no soil asks for.
fn flat(
    rate: ProductRate,
    cells: &[CellRate],
    area: Area,
    effective: EffectiveFraction,
) -> FlatRate {
    let supplied = rate * effective;
    // A rounding error is neither over nor under.
    let slack = supplied.abs() * 1e-9;
    let (mut over_limed, mut under_limed) = (Area::ZERO, Area::ZERO);
    let (mut excess, mut shortfall) = (CarbonateMass::ZERO, CarbonateMass::ZERO);
    for cell in cells {
        if supplied > cell.need + slack {
            over_limed += cell.area;
            excess += (supplied - cell.need) * cell.area;
        } else if supplied + slack < cell.need {
            under_limed += cell.area;
            shortfall += (cell.need - supplied) * cell.area;
        }
    }
    let product = rate * area;
    FlatRate {
        rate,
        asked: None,
        written: None,
        limit: Limit::None,
        product,
        over_limed,
        under_limed,
        excess,
        shortfall,
    }
}
