//! What a haul costs, and the time it takes.

use super::Loads;
use crate::units::{HaulCharge, Length, Money, ProductMass, TimeTaken};

/// What is known of the haul.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HaulAsked {
    /// From plant to field, one way, where that is known.
    pub one_way_distance: Option<Length>,
    /// What a truck takes there and back, loading and unloading, where that is known.
    pub round_trip: Option<TimeTaken>,
    /// What is charged.
    pub charge: Option<HaulCharge>,
    /// The least that is charged for a load.
    pub minimum_charge: Option<Money>,
}

/// What hauling to one field costs, the distance counted, before any minimum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Charges {
    /// So much for each so much of material.
    ByMass {
        /// The money.
        amount: Money,
        /// For this much.
        per: ProductMass,
    },
    /// So much for each truck.
    ByLoad(Money),
}

/// The haul of an order.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Haul {
    /// From plant to field, one way, where that is known.
    pub one_way_distance: Option<Length>,
    /// Mass times distance, in kilogram-metres, one way and loaded, where the distance is known.
    pub kilogram_metres: Option<f64>,
    /// The time of all trips, where loads and round trip are known.
    pub truck_time: Option<TimeTaken>,
    /// What is charged at this field, where that is known.
    pub charges: Option<Charges>,
    /// What it costs, where that is known.
    pub cost: Option<Money>,
    /// How many loads cost the minimum, where there is one.
    pub loads_at_minimum: Option<u64>,
}

impl Haul {
    /// Several hauls over the same road together; what is not known of one is not known of all.
    pub fn sum(hauls: &[Self]) -> Self {
        fn all<T: std::iter::Sum>(hauls: &[Haul], part: fn(&Haul) -> Option<T>) -> Option<T> {
            hauls.iter().map(part).sum()
        }
        Self {
            one_way_distance: hauls.first().and_then(|haul| haul.one_way_distance),
            kilogram_metres: all(hauls, |haul| haul.kilogram_metres),
            truck_time: all(hauls, |haul| haul.truck_time),
            charges: hauls.first().and_then(|haul| haul.charges),
            cost: all(hauls, |haul| haul.cost),
            loads_at_minimum: all(hauls, |haul| haul.loads_at_minimum),
        }
    }
}

/// Works out the haul of `ordered`, which `loads` of the trucks carry.
///
/// The cost stays unknown where the charge or the minimum counts loads and there are none to
/// count, or the charge is by time or distance and that is not known.
pub fn haul_of(ordered: ProductMass, loads: Option<Loads>, asked: &HaulAsked) -> Haul {
    let truck_time = loads.zip(asked.round_trip).map(|(loads, trip)| trip * loads.count as f64);
    let priced = asked.charge.and_then(|charge| priced(ordered, loads, charge, asked));
    Haul {
        one_way_distance: asked.one_way_distance,
        kilogram_metres: asked
            .one_way_distance
            .map(|distance| ordered.to_kilograms() * distance.to_metres()),
        truck_time,
        charges: asked.charge.and_then(|charge| charges_at(charge, asked)),
        cost: priced.map(|(cost, _)| cost),
        loads_at_minimum: priced.and_then(|(_, at_minimum)| at_minimum),
    }
}

/// A load that misses the minimum by less than this part of it misses it by a rounding error.
const SAME_MONEY: f64 = 1e-9;

fn priced(
    ordered: ProductMass,
    loads: Option<Loads>,
    charge: HaulCharge,
    asked: &HaulAsked,
) -> Option<(Money, Option<u64>)> {
    if asked.minimum_charge.is_none() && !charge.counts_loads() {
        return Some((load_cost(ordered, charge, asked)?, None));
    }
    let loads = loads?;
    if loads.count == 0 {
        return Some((Money::ZERO, asked.minimum_charge.map(|_| 0)));
    }
    let (full, last) =
        (load_cost(loads.full.mass, charge, asked)?, load_cost(loads.last, charge, asked)?);
    let full_loads = loads.count - 1;
    let Some(minimum) = asked.minimum_charge else {
        return Some((full * full_loads as f64 + last, None));
    };
    let cost = full.max(minimum) * full_loads as f64 + last.max(minimum);
    let below = |load: Money| minimum - load > minimum * SAME_MONEY;
    let at_minimum = if below(full) { full_loads } else { 0 } + u64::from(below(last));
    Some((cost, Some(at_minimum)))
}

/// The charge with the distance or the time of this field counted.
fn charges_at(charge: HaulCharge, asked: &HaulAsked) -> Option<Charges> {
    let any_load = load_cost(ProductMass::ZERO, charge, asked)?;
    Some(match charge {
        HaulCharge::ByMass { per, .. } | HaulCharge::ByMassAndDistance { per, .. } => {
            Charges::ByMass { amount: load_cost(per, charge, asked)?, per }
        }
        HaulCharge::ByLoadedDistance { .. } | HaulCharge::ByTime { .. } => {
            Charges::ByLoad(any_load)
        }
    })
}

/// What one load of `mass` costs before any minimum.
fn load_cost(mass: ProductMass, charge: HaulCharge, asked: &HaulAsked) -> Option<Money> {
    let distance = asked.one_way_distance;
    Some(match charge {
        HaulCharge::ByMass { amount, per } => amount * (mass / per),
        HaulCharge::ByMassAndDistance { amount, per, over } => {
            amount * ((mass / per) * (distance? / over))
        }
        HaulCharge::ByLoadedDistance { amount, over } => amount * (distance? / over),
        HaulCharge::ByTime { amount, per } => amount * (asked.round_trip? / per),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::haul::{Load, count_loads};

    fn ton() -> ProductMass {
        ProductMass::from_short_tons(1.0)
    }

    fn mile() -> Length {
        Length::from_miles(1.0)
    }

    fn money(units: f64) -> Money {
        Money::from_units(units)
    }

    /// 210 short tons over 42 miles in trucks of 25: eight full loads and one of ten tons.
    fn haul(charge: HaulCharge, minimum: Option<f64>, trip_hours: Option<f64>) -> Haul {
        let ordered = ton() * 210.0;
        let loads = count_loads(ordered, Load { mass: ton() * 25.0, binds: None });
        let asked = HaulAsked {
            one_way_distance: Some(mile() * 42.0),
            round_trip: trip_hours.map(TimeTaken::from_hours),
            charge: Some(charge),
            minimum_charge: minimum.map(Money::from_units),
        };
        haul_of(ordered, Some(loads), &asked)
    }

    fn assert_cost(haul: &Haul, units: f64) {
        let cost = haul.cost.expect("a cost").to_units();
        assert!((cost - units).abs() < 1e-9, "{cost} is not {units}");
    }

    #[test]
    fn each_charge_counts_what_it_says() {
        let by_mass = HaulCharge::ByMass { amount: money(12.0), per: ton() };
        assert_cost(&haul(by_mass, None, None), 12.0 * 210.0);
        let amount = money(0.25);
        let by_ton_mile = HaulCharge::ByMassAndDistance { amount, per: ton(), over: mile() };
        let hauled = haul(by_ton_mile, None, None);
        assert_cost(&hauled, 0.25 * 210.0 * 42.0);
        let kilogram_metres = 210.0 * 42.0 * ton().to_kilograms() * mile().to_metres();
        let told = hauled.kilogram_metres.expect("the distance is known");
        assert!((told / kilogram_metres - 1.0).abs() < 1e-12);
        let loaded_mile = HaulCharge::ByLoadedDistance { amount: money(4.0), over: mile() };
        assert_cost(&haul(loaded_mile, None, None), 4.0 * 42.0 * 9.0);
        let by_hour = HaulCharge::ByTime { amount: money(95.0), per: TimeTaken::from_hours(1.0) };
        let timed = haul(by_hour, None, Some(2.5));
        assert_cost(&timed, 95.0 * 2.5 * 9.0);
        assert!((timed.truck_time.expect("a time").to_hours() - 22.5).abs() < 1e-9);
        assert_eq!(haul(by_hour, None, None).cost, None, "an hour without a round trip");
    }

    #[test]
    fn a_minimum_holds_for_each_load_that_would_cost_less() {
        let by_mass = HaulCharge::ByMass { amount: money(12.0), per: ton() };
        // A full load costs 300, the last of ten tons 120 and so the minimum.
        let some = haul(by_mass, Some(250.0), None);
        assert_cost(&some, 8.0 * 300.0 + 250.0);
        assert_eq!(some.loads_at_minimum, Some(1));
        let all = haul(by_mass, Some(320.0), None);
        assert_cost(&all, 9.0 * 320.0);
        assert_eq!(all.loads_at_minimum, Some(9));
        let none = haul(by_mass, Some(120.0), None);
        assert_cost(&none, 12.0 * 210.0);
        assert_eq!(none.loads_at_minimum, Some(0));
    }

    #[test]
    fn what_counts_loads_needs_loads_to_count() {
        let asked = |charge, minimum_charge| HaulAsked {
            one_way_distance: Some(mile()),
            round_trip: None,
            charge: Some(charge),
            minimum_charge,
        };
        let by_mass = HaulCharge::ByMass { amount: money(12.0), per: ton() };
        let loaded = HaulCharge::ByLoadedDistance { amount: money(4.0), over: mile() };
        let ordered = ton() * 10.0;
        assert_eq!(haul_of(ordered, None, &asked(loaded, None)).cost, None);
        assert_eq!(haul_of(ordered, None, &asked(by_mass, Some(money(250.0)))).cost, None);
        assert!(haul_of(ordered, None, &asked(by_mass, None)).cost.is_some());
    }

    #[test]
    fn only_a_charge_by_distance_needs_the_distance() {
        let ordered = ton() * 10.0;
        let loads = count_loads(ordered, Load { mass: ton() * 25.0, binds: None });
        let cost = |charge| {
            let asked = HaulAsked {
                one_way_distance: None,
                round_trip: Some(TimeTaken::from_hours(2.0)),
                charge: Some(charge),
                minimum_charge: None,
            };
            let haul = haul_of(ordered, Some(loads), &asked);
            assert_eq!(haul.kilogram_metres, None);
            haul.cost.map(Money::to_units)
        };
        let amount = money(3.0);
        assert_eq!(cost(HaulCharge::ByMass { amount, per: ton() }), Some(30.0));
        let hour = TimeTaken::from_hours(1.0);
        assert_eq!(cost(HaulCharge::ByTime { amount, per: hour }), Some(6.0));
        assert_eq!(cost(HaulCharge::ByLoadedDistance { amount, over: mile() }), None);
        let by_both = HaulCharge::ByMassAndDistance { amount, per: ton(), over: mile() };
        assert_eq!(cost(by_both), None);
    }

    #[test]
    fn nothing_ordered_costs_nothing_whatever_the_minimum() {
        let none = count_loads(ProductMass::ZERO, Load { mass: ton() * 25.0, binds: None });
        let asked = HaulAsked {
            one_way_distance: Some(mile()),
            round_trip: Some(TimeTaken::from_hours(1.0)),
            charge: Some(HaulCharge::ByLoadedDistance { amount: money(4.0), over: mile() }),
            minimum_charge: Some(money(250.0)),
        };
        let haul = haul_of(ProductMass::ZERO, Some(none), &asked);
        assert_eq!(haul.cost, Some(Money::ZERO));
        assert_eq!(haul.loads_at_minimum, Some(0));
    }

    #[test]
    fn a_load_that_misses_the_minimum_by_rounding_only_does_not_cost_it() {
        let by_mass = HaulCharge::ByMass { amount: money(12.0), per: ton() };
        // The last load costs 120.
        for (part, at_minimum) in [(1e-10, 0), (1e-8, 1)] {
            let some = haul(by_mass, Some(120.0 * (1.0 + part)), None);
            assert_eq!(some.loads_at_minimum, Some(at_minimum), "{part}");
        }
    }

    #[test]
    fn the_last_load_costs_a_whole_trip_where_trips_are_charged_and_its_mass_where_mass_is() {
        let loaded_mile = HaulCharge::ByLoadedDistance { amount: money(4.0), over: mile() };
        let by_mass = HaulCharge::ByMass { amount: money(12.0), per: ton() };
        for minimum in [None, Some(1.0)] {
            assert_cost(&haul(loaded_mile, minimum, None), 4.0 * 42.0 * 8.0 + 4.0 * 42.0);
            assert_cost(&haul(by_mass, minimum, None), 8.0 * 300.0 + 120.0);
        }
    }
}
