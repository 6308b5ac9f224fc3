//! The applications of the fields as orders: what each needs, of which material, where.

use std::collections::BTreeMap;

use crate::roster::amounts::{area_of, product_of};
use crate::roster::row::{FieldRow, RowMaterial};
use crate::summary::Quantity;
use crate::units::{Area, Day, ProductMass, TimeTaken};

/// One application on one field.
#[derive(Clone, Debug)]
pub(in crate::roster) struct Parcel<'r> {
    pub(in crate::roster) row: &'r FieldRow,
    /// Which application, from 1.
    pub(in crate::roster) application: u32,
    /// The day that the job states.
    pub(in crate::roster) day: Option<Day>,
    /// What has to be delivered: to load, and what stays where the pile lay.
    pub(in crate::roster) needed: ProductMass,
    pub(in crate::roster) to_load: ProductMass,
    /// What the field orders by itself.
    pub(in crate::roster) alone: ProductMass,
    pub(in crate::roster) trucks_alone: Option<u64>,
    pub(in crate::roster) truck: Option<ProductMass>,
    /// Whether it is ordered in whole trucks.
    pub(in crate::roster) whole: bool,
    pub(in crate::roster) treated: Area,
    /// The hours of one spreader.
    pub(in crate::roster) hours: Option<TimeTaken>,
    /// The place of its material among the lines.
    pub(in crate::roster) line: usize,
}

/// One material of one supplier, by all that makes it the same.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::roster) struct LineKey {
    supplier: Option<String>,
    name: String,
    lot: Option<String>,
    kind: String,
    effective: u64,
    moisture: Option<u64>,
    /// Millionths of the currency for a tonne, its name, and where it holds.
    price: Option<(i64, String, Option<String>)>,
}

impl LineKey {
    fn of(material: &RowMaterial) -> Self {
        let price = material.price.as_ref().and_then(|price| {
            let (per_kilogram, currency) = per_kilogram(price)?;
            let micros = (per_kilogram * 1e9).round() as i64;
            Some((micros, currency.to_owned(), material.price_at.clone()))
        });
        Self {
            supplier: material.supplier.clone(),
            name: material.name.clone(),
            lot: material.lot.clone(),
            kind: material.kind.clone(),
            effective: material.effective_as_spread.to_bits(),
            moisture: material.moisture.map(f64::to_bits),
            price,
        }
    }

    /// Whether both go by one name, whatever their figures.
    pub(in crate::roster) fn sounds_like(&self, other: &Self) -> bool {
        (&self.supplier, &self.name, &self.lot) == (&other.supplier, &other.name, &other.lot)
    }
}

/// The orders of the fields.
#[derive(Debug, Default)]
pub(in crate::roster) struct Parcels<'r> {
    /// Every application that needs material, by field and application.
    pub(in crate::roster) list: Vec<Parcel<'r>>,
    /// The materials, each with one of its rows.
    pub(in crate::roster) lines: Vec<(LineKey, &'r RowMaterial)>,
    /// Fields whose quantities are in units that cannot be read.
    pub(in crate::roster) unreadable: Vec<&'r str>,
}

/// The orders of `rows`, which are sorted by their ids.
pub(in crate::roster) fn parcels<'r>(rows: impl Iterator<Item = &'r FieldRow>) -> Parcels<'r> {
    let mut lines: BTreeMap<LineKey, &RowMaterial> = BTreeMap::new();
    let rows: Vec<&FieldRow> = rows.collect();
    for row in &rows {
        lines.entry(LineKey::of(&row.material)).or_insert(&row.material);
    }
    let place = |row: &FieldRow| {
        let key = LineKey::of(&row.material);
        lines.keys().position(|other| *other == key).unwrap_or_default()
    };
    let mut found = Parcels::default();
    for row in rows {
        match of_row(row, place(row)) {
            Some(parcels) => {
                found.list.extend(parcels.into_iter().filter(|it| it.needed > ProductMass::ZERO));
            }
            None => found.unreadable.push(&row.id),
        }
    }
    found.lines = lines.into_iter().collect();
    found
}

/// `None` where a quantity is in a unit that cannot be read.
fn of_row(row: &FieldRow, line: usize) -> Option<Vec<Parcel<'_>>> {
    let truck = match &row.truck_loads {
        Some(loads) => Some(product_of(&loads.full)?),
        None => None,
    };
    let day = |words: Option<&String>| words.and_then(|words| Day::from_words(words));
    let hours = |at: usize| {
        let hours = &row.work.as_ref()?.applications.get(at)?.hours;
        (hours.unit == "h").then(|| TimeTaken::from_hours(hours.value))
    };
    let parcel = |at: usize, own: &Own<'_>| -> Option<Parcel<'_>> {
        let alone = product_of(own.to_order)?;
        let needed = alone - product_of(own.truck_fill)?;
        Some(Parcel {
            row,
            application: own.number,
            day: own.day,
            needed,
            to_load: product_of(own.to_load)?,
            alone,
            trucks_alone: own.trucks,
            truck,
            whole: truck.is_some_and(|truck| is_whole(alone, truck)),
            treated: area_of(own.treated)?,
            hours: hours(at),
            line,
        })
    };
    if row.applications.is_empty() {
        let own = Own {
            number: 1,
            day: day(row.dates.spread.as_ref()),
            to_load: &row.to_load,
            to_order: &row.to_order,
            truck_fill: &row.truck_fill,
            treated: &row.treated_area,
            trucks: row.truck_loads.as_ref().map(|loads| loads.count),
        };
        return Some(vec![parcel(0, &own)?]);
    }
    let first_day = row.dates.spread.as_ref();
    let each = row.applications.iter().enumerate();
    each.map(|(at, one)| {
        let own = Own {
            number: one.number,
            // A job that states one day alone states that of the first.
            day: day(one.date.as_ref().or(first_day.filter(|_| one.number == 1))),
            to_load: &one.to_load,
            to_order: &one.to_order,
            truck_fill: &one.order.truck_fill,
            treated: &one.treated_area,
            trucks: one.truck_loads,
        };
        parcel(at, &own)
    })
    .collect()
}

/// What a row says of one application.
struct Own<'r> {
    number: u32,
    day: Option<Day>,
    to_load: &'r Quantity,
    to_order: &'r Quantity,
    truck_fill: &'r Quantity,
    treated: &'r Quantity,
    trucks: Option<u64>,
}

/// A remainder below this part of a truck is a rounding error.
const SAME_LOAD: f64 = 1e-9;

fn is_whole(ordered: ProductMass, truck: ProductMass) -> bool {
    let trucks = ordered / truck;
    (trucks - trucks.round()).abs() <= SAME_LOAD * trucks.max(1.0)
}

/// Money for a kilogram, and the currency, of a price such as 14 `$/ton`.
pub(super) fn per_kilogram(price: &Quantity) -> Option<(f64, &str)> {
    let (currency, unit) = price.unit.split_once('/')?;
    let one = product_of(&Quantity { value: 1.0, unit: unit.to_owned().into() })?;
    Some((price.value / one.to_kilograms(), currency))
}
