//! One lot of a material as a supplier offers it, and what it brings beside lime.

use crate::units::{Currency, Money, ProductMass, ProductRate, Share};

/// Where a material comes from, how much of it there is, and what it brings beside lime.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lot {
    /// Who sells it.
    pub supplier: Option<String>,
    /// The supplier's name for the lot.
    pub lot: Option<String>,
    /// The day of its analysis, `YYYY-MM-DD`.
    pub analysed: Option<String>,
    /// As much of it as there is, as spread.
    pub supply_limit: Option<ProductMass>,
    /// Magnesium, as Mg, in it as spread.
    pub magnesium: Option<Share>,
    /// The nutrients in it as spread.
    pub nutrients: Vec<NutrientContent>,
}

/// A nutrient that a material may bring, as the trade reckons it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Nutrient {
    /// Phosphorus, as P2O5.
    Phosphate,
    /// Potassium, as K2O.
    Potash,
    /// Calcium, as Ca.
    Calcium,
    /// Sulfur, as S.
    Sulfur,
}

impl Nutrient {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Phosphate, Self::Potash, Self::Calcium, Self::Sulfur];

    /// As job files and reports write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Phosphate => "P2O5",
            Self::Potash => "K2O",
            Self::Calcium => "Ca",
            Self::Sulfur => "S",
        }
    }
}

/// How much of a nutrient there is, and what it is worth to the user.
#[derive(Clone, Debug, PartialEq)]
pub struct NutrientContent {
    /// The nutrient.
    pub nutrient: Nutrient,
    /// The part of the material as spread.
    pub content: Share,
    /// What a kilogram of it is worth, where the user says so.
    pub worth: Option<Worth>,
}

/// What a nutrient is worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Worth {
    /// The money for `per` of the nutrient.
    pub amount: Money,
    /// The mass of nutrient that it pays for.
    pub per: ProductMass,
    /// The currency.
    pub currency: Currency,
}

impl NutrientContent {
    /// The nutrient in `product`.
    pub fn in_product(&self, product: ProductMass) -> ProductMass {
        product * self.content.to_number()
    }

    /// What that is worth. It stands beside the cost and never lowers it: whether the field can use
    /// the nutrient is not known here.
    pub fn credit(&self, product: ProductMass) -> Option<Money> {
        let worth = self.worth.as_ref()?;
        Some(worth.amount * (self.in_product(product) / worth.per))
    }
}

impl Lot {
    /// Whether there is as much of it as `ordered`; true where no limit is known.
    pub fn suffices_for(&self, ordered: ProductMass) -> bool {
        // An order of exactly what there is may miss it by a rounding error.
        self.supply_limit.is_none_or(|limit| ordered <= limit * (1.0 + 1e-9))
    }

    /// The magnesium that a rate of it brings.
    pub fn magnesium_of(&self, rate: ProductRate) -> Option<ProductRate> {
        Some(rate * self.magnesium?.to_number())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_supply_suffices_up_to_all_of_it() {
        let limit = ProductMass::from_short_tons(400.0);
        let lot = Lot { supply_limit: Some(limit), ..Lot::default() };
        assert!(lot.suffices_for(limit) && lot.suffices_for(limit * (1.0 + 1e-12)));
        assert!(!lot.suffices_for(limit * 1.000_001));
        assert!(Lot::default().suffices_for(limit));
    }

    #[test]
    fn magnesium_is_a_part_of_what_is_spread() {
        let lot = Lot { magnesium: Share::from_number(0.11), ..Lot::default() };
        let rate = ProductRate::from_short_tons_per_acre(2.0);
        let pounds = lot.magnesium_of(rate).expect("known").to_pounds_per_acre();
        assert!((pounds - 440.0).abs() < 1e-9, "{pounds}");
        assert_eq!(Lot::default().magnesium_of(rate), None);
    }

    #[test]
    fn twenty_pounds_of_phosphate_a_ton_are_worth_what_the_user_says() {
        // AGVISE Laboratories, Adjusting low soil pH with sugar beet processing spent lime: one lot
        // held about 20 lb P2O5 a ton.
        let mut phosphate = NutrientContent {
            nutrient: Nutrient::Phosphate,
            content: Share::from_number(20.0 / 2_000.0).expect("a share"),
            worth: None,
        };
        let product = ProductMass::from_short_tons(3.0);
        assert!((phosphate.in_product(product).to_pounds() - 60.0).abs() < 1e-9);
        assert_eq!(phosphate.credit(product), None);
        phosphate.worth = Some(Worth {
            amount: Money::from_units(0.5),
            per: ProductMass::from_pounds(1.0),
            currency: Currency::from_words("$").expect("a sign"),
        });
        assert!((phosphate.credit(product).expect("priced").to_units() - 30.0).abs() < 1e-9);
    }
}
