//! What an order costs: the material, its haul and its spreading, each where it is known.

use super::Haul;
use crate::material::{Price, PriceAt};
use crate::units::{Area, Money, ProductMass, SpreadingCharge};

/// What an order is, and what is asked for it.
#[derive(Clone, Copy, Debug)]
pub struct CostsAsked<'a> {
    /// What is ordered.
    pub to_order: ProductMass,
    /// What goes through the spreader.
    pub to_load: ProductMass,
    /// The ground that it is spread on.
    pub spread_over: Area,
    /// The price of the material.
    pub price: Option<&'a Price>,
    /// The haul of that order.
    pub haul: Option<&'a Haul>,
    /// What spreading costs.
    pub spreading: Option<SpreadingCharge>,
}

/// What is paid for, each where it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Costs {
    /// The material.
    pub product: Option<Money>,
    /// The haul; `None` also where the price already holds at the field.
    pub haul: Option<Money>,
    /// The spreading; `None` also where the price holds for material that is spread.
    pub spreading: Option<Money>,
}

impl Costs {
    /// All of them with their names, and nothing of what is not known.
    pub fn known(&self) -> Vec<(&'static str, Money)> {
        [("product", self.product), ("haul", self.haul), ("spreading", self.spreading)]
            .into_iter()
            .filter_map(|(name, money)| Some((name, money?)))
            .collect()
    }

    /// All that is known together; `None` where nothing is.
    pub fn total(&self) -> Option<Money> {
        let known = self.known();
        (!known.is_empty()).then(|| known.iter().map(|(_, money)| *money).sum())
    }

    /// What the order costs at each of the places that a price can hold at, from the plant to the
    /// spread field; `None` where a part of it is not known or the price holds farther on.
    pub fn at(&self, price_at: PriceAt) -> AtEach {
        let plant = self.product.filter(|_| price_at == PriceAt::Plant);
        let delivered = match price_at {
            PriceAt::Plant => add(self.product, self.haul),
            PriceAt::Delivered => self.product,
            PriceAt::Spread => None,
        };
        let spread = match price_at {
            PriceAt::Spread => self.product,
            PriceAt::Plant | PriceAt::Delivered => add(delivered, self.spreading),
        };
        AtEach { plant, delivered, spread }
    }
}

/// What an order costs at each of the places that a price can hold at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtEach {
    /// Loaded at the plant.
    pub plant: Option<Money>,
    /// Delivered to the field.
    pub delivered: Option<Money>,
    /// Spread on it.
    pub spread: Option<Money>,
}

impl AtEach {
    /// The one at `place`.
    pub fn at(&self, place: PriceAt) -> Option<Money> {
        match place {
            PriceAt::Plant => self.plant,
            PriceAt::Delivered => self.delivered,
            PriceAt::Spread => self.spread,
        }
    }
}

fn add(a: Option<Money>, b: Option<Money>) -> Option<Money> {
    Some(a? + b?)
}

/// Works out what an order costs.
pub fn costs_of(asked: &CostsAsked<'_>) -> Costs {
    let at = asked.price.map(|price| price.at);
    let haul_counts = at.is_none_or(|at| at == PriceAt::Plant);
    let spreading_counts = at.is_none_or(|at| at != PriceAt::Spread);
    Costs {
        product: asked.price.map(|price| price.of(asked.to_order)),
        haul: asked.haul.and_then(|haul| haul.cost).filter(|_| haul_counts),
        spreading: asked
            .spreading
            .filter(|_| spreading_counts)
            .map(|charge| charge.of(asked.to_load, asked.spread_over)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::haul::{HaulAsked, haul_of};
    use crate::material::cost_per_effective;
    use crate::units::{Currency, EffectiveFraction, HaulCharge, Length};

    fn tonnes(number: f64) -> ProductMass {
        ProductMass::from_tonnes(number)
    }

    fn price(number: f64, at: PriceAt) -> Price {
        let currency = Currency::from_words("AUD").expect("a code");
        Price { amount: Money::from_units(number), per: tonnes(1.0), currency, at }
    }

    fn haul_over_250_km(ordered: ProductMass) -> Haul {
        let amount = Money::from_units(0.10);
        let (per, over) = (tonnes(1.0), Length::from_kilometres(1.0));
        let asked = HaulAsked {
            one_way_distance: Some(Length::from_kilometres(250.0)),
            round_trip: None,
            charge: Some(HaulCharge::ByMassAndDistance { amount, per, over }),
            minimum_charge: None,
        };
        haul_of(ordered, None, &asked)
    }

    fn costs(at: PriceAt, with_haul: bool, with_spreading: bool) -> Costs {
        let ordered = tonnes(100.0);
        let (price, haul) = (price(10.0, at), haul_over_250_km(ordered));
        let spreading =
            SpreadingCharge::ByMass { amount: Money::from_units(8.0), per: tonnes(1.0) };
        costs_of(&CostsAsked {
            to_order: ordered,
            to_load: ordered,
            spread_over: Area::from_hectares(50.0),
            price: Some(&price),
            haul: Some(&haul).filter(|_| with_haul),
            spreading: Some(spreading).filter(|_| with_spreading),
        })
    }

    #[test]
    fn the_worked_example_of_western_australia_comes_to_what_it_prints() {
        // Government of Western Australia, Comparing limes: 10 $/t at the pit, 0.10 $/t/km over
        // 250 km and 8 $/t for spreading are 43 $/t; with 86.9 % effective, 49.48 $/t.
        let spread = costs(PriceAt::Plant, true, true).at(PriceAt::Plant).spread.expect("known");
        assert!((spread.to_units() - 4_300.0).abs() < 1e-9, "{spread:?}");
        let effective = EffectiveFraction::from_number(0.869).expect("in range");
        let each = cost_per_effective(spread, tonnes(100.0), effective).expect("above nothing");
        let of_a_tonne = (each * 1_000.0).to_units();
        assert!((of_a_tonne - 49.48).abs() < 0.005, "{of_a_tonne}");
    }

    #[test]
    fn a_cost_is_told_where_all_of_it_is_known() {
        let units = |money: Option<Money>| money.map(|money| money.to_units().round());
        for (at, haul, spreading, plant, delivered, spread) in [
            (PriceAt::Plant, true, true, Some(1_000.0), Some(3_500.0), Some(4_300.0)),
            (PriceAt::Plant, false, true, Some(1_000.0), None, None),
            (PriceAt::Plant, true, false, Some(1_000.0), Some(3_500.0), None),
            (PriceAt::Delivered, true, true, None, Some(1_000.0), Some(1_800.0)),
            (PriceAt::Spread, true, true, None, None, Some(1_000.0)),
        ] {
            let each = costs(at, haul, spreading).at(at);
            assert_eq!(units(each.plant), plant, "{at:?}");
            assert_eq!(units(each.delivered), delivered, "{at:?}");
            assert_eq!(units(each.spread), spread, "{at:?}");
            assert_eq!(each.at(PriceAt::Spread), each.spread);
        }
    }

    #[test]
    fn what_the_price_holds_already_is_not_added_again() {
        let total = |at| costs(at, true, true).total().expect("known").to_units();
        assert!((total(PriceAt::Plant) - 4_300.0).abs() < 1e-9);
        assert!((total(PriceAt::Delivered) - 1_800.0).abs() < 1e-9);
        assert!((total(PriceAt::Spread) - 1_000.0).abs() < 1e-9);
        let names = |at| -> Vec<&str> {
            costs(at, true, true).known().iter().map(|(name, _)| *name).collect()
        };
        assert_eq!(names(PriceAt::Delivered), ["product", "spreading"]);
    }

    #[test]
    fn spreading_by_area_counts_ground_and_by_mass_what_is_spread() {
        let amount = Money::from_units(8.0);
        let by_area = SpreadingCharge::ByArea { amount, per: Area::from_hectares(1.0) };
        let area = Area::from_hectares(50.0);
        assert!((by_area.of(tonnes(10.0), area).to_units() - 400.0).abs() < 1e-9);
        let by_mass = SpreadingCharge::ByMass { amount, per: tonnes(1.0) };
        assert!((by_mass.of(tonnes(10.0), area).to_units() - 80.0).abs() < 1e-9);
    }
}
