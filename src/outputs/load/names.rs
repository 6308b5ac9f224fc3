//! The names of columns in files for controllers; each ends in its unit.

use crate::units::{Area, ControllerUnit, LimeNeed, ProductMass};

/// Characters of a name in the table of a shapefile.
pub(super) const LONGEST_DBF_NAME: usize = 10;

/// What stands in the columns of a file whose rates are in one unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct ColumnNames {
    pub(super) rate: &'static str,
    pub(super) area: &'static str,
    pub(super) ph: &'static str,
    pub(super) need: &'static str,
    pub(super) product: &'static str,
}

impl ColumnNames {
    /// The names in full.
    pub(super) fn of(unit: ControllerUnit) -> Self {
        let rate = match unit {
            ControllerUnit::PoundsPerAcre => "rate_lb_ac",
            ControllerUnit::ShortTonsPerAcre => "rate_ton_ac",
            ControllerUnit::KilogramsPerHectare => "rate_kg_ha",
            ControllerUnit::TonnesPerHectare => "rate_t_ha",
        };
        if by_acre(unit) {
            let (area, need) = ("area_ac", "need_ton_ac");
            Self { rate, area, ph: "ph", need, product: "product_ton" }
        } else {
            Self { rate, area: "area_ha", ph: "ph", need: "need_t_ha", product: "product_t" }
        }
    }

    /// The names in at most ten characters, each another, the unit whole in all of them.
    pub(super) fn short(unit: ControllerUnit) -> Self {
        let full = Self::of(unit);
        let rate = if unit == ControllerUnit::ShortTonsPerAcre { "rate_tonac" } else { full.rate };
        if by_acre(unit) {
            Self { rate, need: "need_tonac", product: "prod_ton", ..full }
        } else {
            Self { rate, product: "prod_t", ..full }
        }
    }
}

/// Whether areas beside rates in this unit are in acres and masses in short tons.
fn by_acre(unit: ControllerUnit) -> bool {
    matches!(unit, ControllerUnit::PoundsPerAcre | ControllerUnit::ShortTonsPerAcre)
}

/// An area beside rates in this unit: acres, or hectares.
pub(super) fn area_number(unit: ControllerUnit, area: Area) -> f64 {
    if by_acre(unit) { area.to_acres() } else { area.to_hectares() }
}

/// A need beside rates in this unit: short tons an acre, or tonnes a hectare.
pub(super) fn need_number(unit: ControllerUnit, need: LimeNeed) -> f64 {
    if by_acre(unit) { need.to_short_tons_per_acre() } else { need.to_tonnes_per_hectare() }
}

/// A mass beside rates in this unit: short tons, or tonnes.
pub(super) fn product_number(unit: ControllerUnit, product: ProductMass) -> f64 {
    if by_acre(unit) { product.to_short_tons() } else { product.to_tonnes() }
}

/// Decimals of a rate at the most: a ten-thousandth of the least rate that spreaders hold.
pub(super) fn rate_decimals(unit: ControllerUnit) -> usize {
    match unit {
        ControllerUnit::PoundsPerAcre | ControllerUnit::KilogramsPerHectare => 2,
        ControllerUnit::ShortTonsPerAcre | ControllerUnit::TonnesPerHectare => 5,
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    /// Ten characters are all that the table of a shapefile keeps: `lime_rate_short_ton_ac` and
    /// `lime_rate_t_ha` would both become `lime_rate_` (AtlasOfLivingAustralia/biocache-service,
    /// issue 189; mbloch/mapshaper, issue 139).
    #[test]
    fn short_names_fit_are_unique_and_carry_the_unit() {
        for unit in ControllerUnit::ALL {
            let ColumnNames { rate, area, ph, need, product } = ColumnNames::short(unit);
            let names = [rate, area, ph, need, product];
            let different: BTreeSet<&str> = names.into_iter().collect();
            assert_eq!(different.len(), names.len());
            for name in names {
                assert!(name.is_ascii() && name.len() <= LONGEST_DBF_NAME, "{name}");
            }
            let end = unit.key().replace("ton_ac", "tonac");
            assert!(rate.ends_with(&end), "{rate}");
        }
    }
}
