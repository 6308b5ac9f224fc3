//! Mass on an area: what the soil needs, and what the spreader puts down.

use super::area::{Area, M2_PER_ACRE, M2_PER_HECTARE};
use super::fraction::EffectiveFraction;
use super::mass::{CarbonateMass, KG_PER_POUND, KG_PER_SHORT_TON, KG_PER_TONNE, ProductMass};
use super::quantity::{product_of, quantity};

quantity! {
    /// Pure calcium carbonate equivalent, 100 % effective, per area, over the limed depth;
    /// held in kilograms of CaCO3 per square metre.
    LimeNeed {
        /// So many kilograms of CaCO3 per hectare.
        from_kilograms_per_hectare,
        /// In kilograms of CaCO3 per hectare.
        to_kilograms_per_hectare = 1.0 / M2_PER_HECTARE;
        /// So many tonnes of CaCO3 per hectare.
        from_tonnes_per_hectare,
        /// In tonnes of CaCO3 per hectare.
        to_tonnes_per_hectare = KG_PER_TONNE / M2_PER_HECTARE;
        /// So many pounds of CaCO3 per acre.
        from_pounds_per_acre,
        /// In pounds of CaCO3 per acre.
        to_pounds_per_acre = KG_PER_POUND / M2_PER_ACRE;
        /// So many short tons of CaCO3 per acre.
        from_short_tons_per_acre,
        /// In short tons of CaCO3 per acre.
        to_short_tons_per_acre = KG_PER_SHORT_TON / M2_PER_ACRE;
    }
}

quantity! {
    /// Material as spread, moisture and all, per area; held in kilograms per square metre.
    ProductRate {
        /// So many kilograms as spread per hectare.
        from_kilograms_per_hectare,
        /// In kilograms as spread per hectare.
        to_kilograms_per_hectare = 1.0 / M2_PER_HECTARE;
        /// So many tonnes as spread per hectare.
        from_tonnes_per_hectare,
        /// In tonnes as spread per hectare.
        to_tonnes_per_hectare = KG_PER_TONNE / M2_PER_HECTARE;
        /// So many pounds as spread per acre.
        from_pounds_per_acre,
        /// In pounds as spread per acre.
        to_pounds_per_acre = KG_PER_POUND / M2_PER_ACRE;
        /// So many short tons as spread per acre.
        from_short_tons_per_acre,
        /// In short tons as spread per acre.
        to_short_tons_per_acre = KG_PER_SHORT_TON / M2_PER_ACRE;
    }
}

product_of!(LimeNeed * Area = CarbonateMass);
product_of!(ProductRate * Area = ProductMass);

impl std::ops::Div<EffectiveFraction> for LimeNeed {
    type Output = ProductRate;
    fn div(self, fraction: EffectiveFraction) -> ProductRate {
        ProductRate::from_si(self.0 / fraction.to_number())
    }
}

impl std::ops::Mul<EffectiveFraction> for ProductRate {
    type Output = LimeNeed;
    fn mul(self, fraction: EffectiveFraction) -> LimeNeed {
        LimeNeed::from_si(self.0 * fraction.to_number())
    }
}

impl std::ops::Div<Area> for ProductMass {
    type Output = ProductRate;
    fn div(self, area: Area) -> ProductRate {
        ProductRate::from_si(self.to_kilograms() / area.to_square_metres())
    }
}

impl std::ops::Div<Area> for CarbonateMass {
    type Output = LimeNeed;
    fn div(self, area: Area) -> LimeNeed {
        LimeNeed::from_si(self.to_kilograms() / area.to_square_metres())
    }
}

impl std::ops::Mul<EffectiveFraction> for ProductMass {
    type Output = CarbonateMass;
    fn mul(self, fraction: EffectiveFraction) -> CarbonateMass {
        CarbonateMass::from_kilograms(self.to_kilograms() * fraction.to_number())
    }
}

impl std::ops::Div<EffectiveFraction> for CarbonateMass {
    type Output = ProductMass;
    fn div(self, fraction: EffectiveFraction) -> ProductMass {
        ProductMass::from_kilograms(self.to_kilograms() / fraction.to_number())
    }
}
