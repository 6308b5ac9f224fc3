//! From quantities as they stand in results to the types of their meaning.

use crate::summary::Quantity;
use crate::units::{
    Area, CarbonateMass, Currency, KG_PER_SHORT_TON, KG_PER_TONNE, Length, M_PER_MILE, M2_PER_ACRE,
    M2_PER_HECTARE, Money, ProductMass, ProductRate,
};

/// The area that a quantity in `ac` or `ha` is; `None` for another unit, and for a number that
/// is not finite or beyond any sense.
pub fn area_of(quantity: &Quantity) -> Option<Area> {
    let value = finite(quantity)?;
    match quantity.unit.as_ref() {
        "ac" => Some(Area::from_acres(value)),
        "ha" => Some(Area::from_hectares(value)),
        _ => None,
    }
}

/// The mass as spread that a quantity in `ton` (short) or `t` is; `None` as for [`area_of`].
pub fn product_of(quantity: &Quantity) -> Option<ProductMass> {
    let value = finite(quantity)?;
    match quantity.unit.as_ref() {
        "ton" => Some(ProductMass::from_short_tons(value)),
        "t" => Some(ProductMass::from_tonnes(value)),
        _ => None,
    }
}

/// The mass of CaCO3 that a quantity in `ton` (short) or `t` is; `None` as for [`area_of`].
pub fn carbonate_of(quantity: &Quantity) -> Option<CarbonateMass> {
    let value = finite(quantity)?;
    match quantity.unit.as_ref() {
        "ton" => Some(CarbonateMass::from_short_tons(value)),
        "t" => Some(CarbonateMass::from_tonnes(value)),
        _ => None,
    }
}

/// The rate as spread that a quantity in `ton/ac` or `t/ha` is; `None` as for [`area_of`].
pub fn rate_of(quantity: &Quantity) -> Option<ProductRate> {
    let value = finite(quantity)?;
    match quantity.unit.as_ref() {
        "ton/ac" => Some(ProductRate::from_short_tons_per_acre(value)),
        "t/ha" => Some(ProductRate::from_tonnes_per_hectare(value)),
        _ => None,
    }
}

/// The distance on the road that a quantity in `mi` or `km` is; `None` as for [`area_of`].
pub fn road_of(quantity: &Quantity) -> Option<Length> {
    let value = finite(quantity)?;
    match quantity.unit.as_ref() {
        "mi" => Some(Length::from_miles(value)),
        "km" => Some(Length::from_kilometres(value)),
        _ => None,
    }
}

/// The pH times area that a quantity in `pH ac` or `pH ha` is, in pH times square metres; `None` as for
/// [`area_of`].
pub fn ph_m2_of(quantity: &Quantity) -> Option<f64> {
    let value = finite(quantity)?;
    match quantity.unit.as_ref() {
        "pH ac" => Some(value * M2_PER_ACRE),
        "pH ha" => Some(value * M2_PER_HECTARE),
        _ => None,
    }
}

/// The mass times distance, in kilogram metres, that a quantity in `ton-mile` or `t-km` is; `None`
/// as for [`area_of`].
pub fn kilogram_metres_of(quantity: &Quantity) -> Option<f64> {
    let value = finite(quantity)?;
    match quantity.unit.as_ref() {
        "ton-mile" => Some(value * KG_PER_SHORT_TON * M_PER_MILE),
        "t-km" => Some(value * KG_PER_TONNE * 1_000.0),
        _ => None,
    }
}

/// The amount of money that a quantity is, and its currency; `None` as for [`area_of`].
pub fn money_of(quantity: &Quantity) -> Option<(Money, Currency)> {
    let currency = Currency::from_words(&quantity.unit)?;
    Some((Money::from_units(finite(quantity)?), currency))
}

/// No result of any farm is larger; sums of such numbers stay finite in every unit.
const GREATEST: f64 = 1e15;

fn finite(quantity: &Quantity) -> Option<f64> {
    Some(quantity.value).filter(|value| value.is_finite() && value.abs() <= GREATEST)
}
