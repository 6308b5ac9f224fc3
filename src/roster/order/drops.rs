//! Which fields share a drop: one place, one material of one supplier, one application, one day,
//! trucks of one payload.

use std::collections::BTreeMap;

use super::parcels::Parcel;
use crate::haul::{Haul, HaulAsked, Load, count_loads, haul_of};
use crate::summary::Quantity;
use crate::units::{Day, HaulCharge, Length, Money, ProductMass, TimeTaken, UnitSystem};

/// What the trucks bring to one place for one application.
#[derive(Clone, Debug)]
pub(super) struct Drop {
    pub(super) line: usize,
    pub(super) application: u32,
    pub(super) place: String,
    /// The places of its parcels in their list.
    pub(super) parcels: Vec<usize>,
    pub(super) truck: Option<ProductMass>,
    pub(super) whole: bool,
    pub(super) needed: ProductMass,
    pub(super) ordered_alone: ProductMass,
    pub(super) trucks_alone: Option<u64>,
    /// What a truck takes there and back.
    pub(super) round_trip: Option<TimeTaken>,
}

/// Where the material of a field is dropped.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Place {
    Site(String),
    /// In steps of 1e-7 degree.
    Pile([i64; 2]),
    Field(String),
}

/// What fields must have in common to share trucks.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Key {
    line: usize,
    application: u32,
    place: Place,
    day: Option<Day>,
    truck_bits: Option<u64>,
    whole: bool,
}

/// The drops, and in sentences which fields of one place do not share one.
pub(super) fn drops(parcels: &[Parcel<'_>], system: UnitSystem) -> (Vec<Drop>, Vec<String>) {
    let mut by_key: BTreeMap<Key, Vec<usize>> = BTreeMap::new();
    for (at, parcel) in parcels.iter().enumerate() {
        by_key.entry(key_of(parcel)).or_default().push(at);
    }
    let told = not_shared(&by_key, parcels, system);
    let drops = by_key.into_iter().map(|(key, list)| drop_of(&key, list, parcels)).collect();
    (drops, told)
}

fn key_of(parcel: &Parcel<'_>) -> Key {
    let delivery = parcel.row.delivery.as_ref();
    let site = delivery.and_then(|delivery| delivery.drop_site.as_ref());
    let pile = delivery.and_then(|delivery| delivery.pile_deg);
    let place = match (site, pile) {
        (Some(site), _) => Place::Site(site.trim().to_lowercase()),
        (None, Some(pile)) => Place::Pile(pile.map(|degrees| (degrees * 1e7).round() as i64)),
        (None, None) => Place::Field(parcel.row.id.clone()),
    };
    Key {
        line: parcel.line,
        application: parcel.application,
        place,
        day: parcel.day,
        truck_bits: parcel.truck.map(|truck| truck.to_kilograms().round().to_bits()),
        whole: parcel.whole,
    }
}

fn drop_of(key: &Key, list: Vec<usize>, parcels: &[Parcel<'_>]) -> Drop {
    let own = || list.iter().map(|&at| &parcels[at]);
    let first = own().next();
    let delivery = first.and_then(|parcel| parcel.row.delivery.as_ref());
    let place = match &key.place {
        Place::Site(site) => delivery.and_then(|it| it.drop_site.clone()).unwrap_or(site.clone()),
        Place::Pile([lon, lat]) => {
            format!("pile at {:.5}, {:.5}", *lon as f64 / 1e7, *lat as f64 / 1e7)
        }
        Place::Field(id) => id.clone(),
    };
    Drop {
        line: key.line,
        application: key.application,
        place,
        truck: first.and_then(|parcel| parcel.truck),
        whole: key.whole,
        needed: own().map(|parcel| parcel.needed).sum(),
        ordered_alone: own().map(|parcel| parcel.alone).sum(),
        trucks_alone: own().map(|parcel| parcel.trucks_alone).sum(),
        round_trip: round_trip(own()),
        parcels: list,
    }
}

/// The mean of the fields' own, weighted by their trucks.
fn round_trip<'p>(parcels: impl Iterator<Item = &'p Parcel<'p>>) -> Option<TimeTaken> {
    let (mut trucks, mut hours) = (0.0, 0.0);
    for parcel in parcels {
        let loads = parcel.row.truck_loads.as_ref()?.count;
        let time = parcel.row.haul.as_ref()?.truck_time.as_ref()?;
        let own = parcel.trucks_alone? as f64;
        trucks += own;
        hours += own * time.value / (loads.max(1) as f64);
    }
    (trucks > 0.0).then(|| TimeTaken::from_hours(hours / trucks))
}

/// Fields of one place, line and application that stand in several drops.
fn not_shared(
    by_key: &BTreeMap<Key, Vec<usize>>,
    parcels: &[Parcel<'_>],
    system: UnitSystem,
) -> Vec<String> {
    let mut told = Vec::new();
    let keys: Vec<(&Key, &Vec<usize>)> = by_key.iter().collect();
    for (at, (key, list)) in keys.iter().enumerate() {
        let Some((other, of_other)) = keys[..at]
            .iter()
            .rev()
            .find(|(other, _)| other.place == key.place && !matches!(key.place, Place::Field(_)))
        else {
            continue;
        };
        let (own, theirs) = (&parcels[list[0]], &parcels[of_other[0]]);
        let why = if other.line != key.line {
            "their materials or suppliers differ".to_owned()
        } else if other.application != key.application {
            // Spread at other times: each is an order of its own.
            continue;
        } else if other.day != key.day {
            "the days stated for them differ".to_owned()
        } else if other.truck_bits != key.truck_bits {
            let carries = |parcel: &Parcel<'_>| {
                parcel.truck.map_or_else(
                    || "an unknown payload".to_owned(),
                    |truck| {
                        let amount = system.product(truck);
                        format!("{:.2} {}", amount.value, amount.unit)
                    },
                )
            };
            format!("their trucks carry {} and {}", carries(theirs), carries(own))
        } else {
            "one of them is not ordered in whole trucks".to_owned()
        };
        told.push(format!(
            "`{}` and `{}` share a place to drop material and are ordered apart: {why}.",
            theirs.row.id, own.row.id
        ));
    }
    told
}

/// What hauling `ordered` to a drop costs, and the currency. `Err` says why it is not known, where
/// its fields state a charge.
pub(super) fn haul_cost(
    drop: &Drop,
    parcels: &[Parcel<'_>],
    ordered: ProductMass,
) -> Result<Option<(Money, String)>, String> {
    let rows = || drop.parcels.iter().map(|&at| parcels[at].row);
    let charges: Vec<Option<Charge>> = rows().map(|row| charge_of(row.haul.as_ref()?)).collect();
    if charges.iter().all(Option::is_none) {
        return Ok(None);
    }
    let Some(charges) = charges.into_iter().collect::<Option<Vec<Charge>>>() else {
        return Err("not all of its fields say what hauling costs".to_owned());
    };
    let first = &charges[0];
    if charges.iter().any(|other| !other.is_same_as(first)) {
        return Err("its fields state different charges or distances".to_owned());
    }
    let loads = drop.truck.map(|mass| count_loads(ordered, Load { mass, binds: None }));
    let metre = Length::from_metres(1.0);
    let amount = Money::from_units(first.amount);
    let asked = HaulAsked {
        one_way_distance: Some(metre),
        round_trip: None,
        charge: Some(if first.by_load {
            HaulCharge::ByLoadedDistance { amount, over: metre }
        } else {
            HaulCharge::ByMass { amount, per: ProductMass::from_kilograms(1.0) }
        }),
        minimum_charge: first.minimum.map(Money::from_units),
    };
    let Haul { cost, .. } = haul_of(ordered, loads, &asked);
    cost.map(|cost| Some((cost, first.currency.clone())))
        .ok_or_else(|| "its trucks are not known".to_owned())
}

/// What is charged at one field.
struct Charge {
    /// For a kilogram, or for a load.
    amount: f64,
    by_load: bool,
    minimum: Option<f64>,
    currency: String,
}

impl Charge {
    fn is_same_as(&self, other: &Self) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * a.abs().max(b.abs());
        let minimum = match (self.minimum, other.minimum) {
            (Some(a), Some(b)) => near(a, b),
            (None, None) => true,
            _ => false,
        };
        let same = self.by_load == other.by_load && self.currency == other.currency;
        same && minimum && near(self.amount, other.amount)
    }
}

fn charge_of(haul: &crate::roster::RowHaul) -> Option<Charge> {
    let (amount, by_load, currency) = if let Some(per_mass) = &haul.charge_per_mass {
        let (amount, currency) = super::parcels::per_kilogram(per_mass)?;
        (amount, false, currency)
    } else {
        let per_load: &Quantity = haul.charge_per_load.as_ref()?;
        (per_load.value, true, per_load.unit.strip_suffix("/load")?)
    };
    let minimum = haul.minimum_charge.as_ref().map(|minimum| minimum.value);
    Some(Charge { amount, by_load, minimum, currency: currency.to_owned() })
}
