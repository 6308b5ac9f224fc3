//! The order sheet of many fields: what to order of whom, in which trucks to which place, in which
//! order the fields are spread, and when.

mod balance;
mod calendar;
mod clock;
mod drops;
mod findings;
mod lines;
mod parcels;
mod sequence;
mod shape;
mod told;
mod tour;

#[cfg(test)]
mod tests;

pub use findings::check_named;
pub use shape::{OrderCalendar, OrderDrop, OrderLine, OrderSheet, OrderVisit};

pub(super) use findings::calendar_findings;
pub(super) use parcels::{Parcel as OrderParcel, parcels as order_parcels};
pub(super) use tour::straight_m;

use balance::{Balance, balance};
use calendar::{Laid, lay, moves};
use drops::{Drop, drops, haul_cost};
use lines::cost_total;
use parcels::{Parcel, Parcels, parcels};
use sequence::sequence;

use super::fields::Fields;
use crate::inputs::{CalendarPart, SupplyPart};
use crate::summary::Quantity;
use crate::units::{Length, Money, ProductMass, TimeTaken, UnitSystem, tidy};

/// What is asked of an order sheet.
#[derive(Clone, Debug)]
pub struct OrderAsk {
    /// The units that it is written in.
    pub units: UnitSystem,
    /// When and with what the fields are spread.
    pub calendar: CalendarPart,
    /// The most that suppliers have.
    pub limits: Vec<SupplyLimit>,
}

/// The most that one supplier has.
#[derive(Clone, Debug, PartialEq)]
pub struct SupplyLimit {
    /// Who it is, as jobs name it in `material.supplier`.
    pub supplier: String,
    /// How much.
    pub limit: ProductMass,
}

impl OrderAsk {
    /// What a list of jobs asks.
    pub fn of(units: UnitSystem, calendar: &CalendarPart, supply: &SupplyPart) -> Self {
        let limits = supply.suppliers.iter().filter_map(|supplier| {
            Some(SupplyLimit { supplier: supplier.name.clone(), limit: supplier.limit? })
        });
        Self { units, calendar: calendar.clone(), limits: limits.collect() }
    }
}

/// Works out the order sheet of the finished fields.
///
/// Every application of every field that needs material is one visit. Trucks come to drops: fields
/// of one place, material, supplier, application, day and payload share them. What cannot be worked
/// out is named with what is missing for it.
pub fn order_sheet(fields: &Fields, asked: &OrderAsk) -> OrderSheet {
    let found = parcels(fields.rows());
    let (drops, not_shared) = drops(&found.list, asked.units);
    let sequence = sequence(&found.list, &drops, &asked.calendar);
    let limits = limits_of(&found, &asked.limits);
    let carry_over = asked.calendar.carry_over;
    let run = |carry| balance(&found.list, &drops, &sequence.order, carry, &limits);
    let balance = run(carry_over);
    let moves = moves(&found.list, &balance.steps, asked.calendar.road_factor);
    let laid = lay(&found.list, &drops, &balance, &moves, &asked.calendar);
    let sheet = Sheet {
        asked,
        found: &found,
        drops: &drops,
        balance: &balance,
        other: &run(!carry_over),
        moves: &moves,
        laid: laid.as_ref().ok(),
        limits: &limits,
    };
    let hauls = sheet.hauls();
    let lines = sheet.lines(&hauls);
    let (rests_on, mut not_known) = sheet.told(&lines, not_shared, &hauls);
    not_known.extend(sequence.unknown.iter().map(|id| {
        format!("`calendar.sequence` names `{id}`, which is no finished field that gets material.")
    }));
    if let Err(missing) = &laid {
        not_known.extend(missing.iter().cloned());
    }
    OrderSheet {
        holds: Vec::new(),
        cost_total: cost_total(&lines),
        lines,
        drops: sheet.drops(&hauls),
        visits: sheet.visits(),
        sequence_by: sequence.by,
        calendar: sheet.calendar(),
        rests_on,
        not_known,
        cautions: sheet.cautions(),
    }
}

/// What hauling each drop costs: known with its currency, not asked for, or why it is not known.
type Hauls = Vec<Result<Option<(Money, String)>, String>>;

/// All that the sheet is put together from.
struct Sheet<'a> {
    asked: &'a OrderAsk,
    found: &'a Parcels<'a>,
    drops: &'a [Drop],
    balance: &'a Balance,
    /// The same with what is left carried on where it stays, or the other way round.
    other: &'a Balance,
    moves: &'a [Option<Length>],
    laid: Option<&'a Laid>,
    limits: &'a [Option<(usize, ProductMass)>],
}

/// For each line, the supplier's limit that it counts against.
fn limits_of(found: &Parcels<'_>, limits: &[SupplyLimit]) -> Vec<Option<(usize, ProductMass)>> {
    let of_line = found.lines.iter().map(|(_, material)| {
        let supplier = material.supplier.as_ref()?.trim().to_lowercase();
        let at = limits.iter().position(|it| it.supplier.trim().to_lowercase() == supplier)?;
        Some((at, limits[at].limit))
    });
    of_line.collect()
}

impl Sheet<'_> {
    fn hauls(&self) -> Hauls {
        let each = self.drops.iter().zip(&self.balance.deliveries);
        each.map(|(drop, delivery)| haul_cost(drop, &self.found.list, delivery.ordered)).collect()
    }

    fn product(&self, mass: ProductMass) -> Quantity {
        let amount = self.asked.units.product(mass);
        Quantity { value: tidy(amount.value), unit: amount.unit.into() }
    }

    fn drops(&self, hauls: &Hauls) -> Vec<OrderDrop> {
        let each = self.drops.iter().zip(&self.balance.deliveries).zip(hauls).enumerate();
        each.map(|(at, ((drop, delivery), haul))| OrderDrop {
            number: at + 1,
            line: drop.line + 1,
            place: drop.place.clone(),
            application: drop.application,
            fields: drop.parcels.iter().map(|&at| self.found.list[at].row.id.clone()).collect(),
            needed: self.product(drop.needed),
            carried_in: Some(delivery.carried_in)
                .filter(|mass| *mass > ProductMass::ZERO)
                .map(|mass| self.product(mass)),
            ordered: self.product(delivery.ordered),
            ordered_alone: self.product(drop.ordered_alone),
            truck: drop.truck.map(|truck| self.product(truck)),
            trucks: delivery.trucks,
            trucks_alone: drop.trucks_alone,
            haul_cost: haul.as_ref().ok().and_then(Option::as_ref).map(|(cost, currency)| {
                Quantity { value: cost.to_units(), unit: currency.clone().into() }
            }),
        })
        .collect()
    }

    fn visits(&self) -> Vec<OrderVisit> {
        let each = self.balance.steps.iter().zip(self.moves).enumerate();
        each.map(|(at, (step, way))| {
            let parcel: &Parcel<'_> = &self.found.list[step.parcel];
            let day = self.laid.map(|laid| laid.days[at]);
            OrderVisit {
                number: at + 1,
                id: parcel.row.id.clone(),
                field: parcel.row.field.name.clone(),
                application: parcel.application,
                line: parcel.line + 1,
                drop: step.drop + 1,
                stated_day: parcel.day.map(|day| day.to_string()),
                arrives: self.product(step.arrives),
                trucks: step.trucks,
                spread: self.product(step.spread),
                lost: self.product(step.lost),
                short: Some(step.short)
                    .filter(|mass| *mass > ProductMass::ZERO)
                    .map(|mass| self.product(mass)),
                left_here: self.product(step.left_here),
                balance: self.product(step.balance),
                move_distance: way.map(|way| self.asked.units.road(way).into()),
                hours: parcel.hours.map(hours),
                begins: day.map(|day| day.begins.to_string()),
                ends: day.map(|day| day.ends.to_string()),
                waits_for: day.map(|day| day.waits_for().to_owned()),
            }
        })
        .collect()
    }

    fn calendar(&self) -> Option<OrderCalendar> {
        let (laid, calendar) = (self.laid?, &self.asked.calendar);
        Some(OrderCalendar {
            hours_a_day: hours(calendar.hours_a_day?),
            spreaders: calendar.spreaders,
            trucks: calendar.trucks.filter(|_| laid.hauling.is_some()),
            spreading: hours(laid.spreading),
            moving: laid.moving.map(hours),
            hauling: laid.hauling.map(hours),
            first_day: calendar.first_day?.to_string(),
            last_day: laid.last.to_string(),
            working_days: laid.working_days,
            idle_days: laid.idle_days,
            binds: laid.binds.words().to_owned(),
        })
    }
}

fn hours(time: TimeTaken) -> Quantity {
    Quantity { value: tidy(time.to_hours()), unit: "h".into() }
}
