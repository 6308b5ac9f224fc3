//! The worth of a material as it lies in the pile: moisture is taken off once, and only once.

use super::Kind;
use crate::units::{BulkDensity, Currency, EffectiveFraction, Money, ProductMass, Share};

/// Whether an analysis speaks of the dried material or of the material as it was received.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Of the oven-dry material: the water in the pile is still to be taken off.
    Dry,
    /// Of the material as received: the water is already taken off.
    AsReceived,
}

impl Basis {
    /// As job files and reports write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Dry => "dry",
            Self::AsReceived => "as received",
        }
    }
}

/// The effective part as the analysis states it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stated {
    /// The effective part, on its basis.
    pub fraction: EffectiveFraction,
    /// What it is a part of.
    pub basis: Basis,
}

/// The effective part of a material as spread, from what the analysis states.
///
/// On the dry basis it is the stated part times what is not water; as received, it is the stated
/// part itself, and a moisture given beside it changes nothing. `None` where a dry figure comes
/// without a moisture, or where nothing is left.
pub fn effective_as_spread(stated: Stated, moisture: Option<Share>) -> Option<EffectiveFraction> {
    match stated.basis {
        Basis::AsReceived => Some(stated.fraction),
        Basis::Dry => {
            let dry_matter = 1.0 - moisture?.to_number();
            EffectiveFraction::from_number(stated.fraction.to_number() * dry_matter)
        }
    }
}

/// Where a price holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PriceAt {
    /// Loaded at the plant: haul and spreading come on top.
    Plant,
    /// Delivered to the field: spreading comes on top.
    Delivered,
    /// Spread on the field.
    Spread,
}

impl PriceAt {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Plant, Self::Delivered, Self::Spread];

    /// As job files and reports write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Plant => "plant",
            Self::Delivered => "delivered",
            Self::Spread => "spread",
        }
    }
}

/// A price of material as spread.
#[derive(Clone, Debug, PartialEq)]
pub struct Price {
    /// Money for one kilogram as spread, held exactly as money for `per`.
    pub amount: Money,
    /// The mass that `amount` buys.
    pub per: ProductMass,
    /// The currency.
    pub currency: Currency,
    /// Where it holds.
    pub at: PriceAt,
}

impl Price {
    /// What `mass` costs.
    pub fn of(&self, mass: ProductMass) -> Money {
        self.amount * (mass / self.per)
    }
}

/// A liming material as it lies in the pile.
#[derive(Clone, Debug)]
pub struct Material {
    /// What the job calls it.
    pub name: String,
    /// Its kind; always one that limes.
    pub kind: &'static Kind,
    /// What the analysis states.
    pub stated: Stated,
    /// Water in it, of the wet mass, where it is known.
    pub moisture: Option<Share>,
    /// The part of it, as spread, that counts as pure CaCO3.
    pub effective: EffectiveFraction,
    /// Its density in the pile, where it is known.
    pub bulk_density: Option<BulkDensity>,
    /// Its price, where it is known.
    pub price: Option<Price>,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stated(number: f64, basis: Basis) -> Stated {
        Stated { fraction: EffectiveFraction::from_number(number).expect("in range"), basis }
    }

    #[test]
    fn moisture_counts_once_on_the_dry_basis_and_never_on_the_other() {
        let six = Share::from_number(0.06);
        let dry = effective_as_spread(stated(0.70, Basis::Dry), six).expect("has moisture");
        assert!((dry.to_number() - 0.658).abs() < 1e-12);
        let wet = effective_as_spread(stated(0.70, Basis::AsReceived), six).expect("needs none");
        assert!((wet.to_number() - 0.70).abs() < 1e-15);
    }

    #[test]
    fn a_dry_figure_without_a_moisture_is_worth_nothing_yet() {
        assert_eq!(effective_as_spread(stated(0.70, Basis::Dry), None), None);
    }

    #[test]
    fn the_fourteen_dollar_ton_costs_fourteen_dollars() {
        let price = Price {
            amount: Money::from_units(14.0),
            per: ProductMass::from_short_tons(1.0),
            currency: Currency::from_words("$").expect("a sign"),
            at: PriceAt::Plant,
        };
        let cost = price.of(ProductMass::from_pounds(2_000.0)).to_units();
        assert!((cost - 14.0).abs() < 1e-12);
    }
}
