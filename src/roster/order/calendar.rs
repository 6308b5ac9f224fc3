//! When the work is done: hours of spreading and of hauling laid on working days.

use super::balance::{Balance, Step};
use super::drops::Drop;
use super::parcels::Parcel;
use super::tour::straight_m;
use crate::inputs::CalendarPart;
use crate::units::{Day, Length, TimeTaken};

/// The work of each step laid on days, and all of it together.
#[derive(Debug)]
pub(super) struct Laid {
    /// For each step.
    pub(super) days: Vec<LaidStep>,
    pub(super) spreading: TimeTaken,
    pub(super) moving: Option<TimeTaken>,
    /// Hours of one truck; `None` where trucks do not count.
    pub(super) hauling: Option<TimeTaken>,
    pub(super) last: Day,
    pub(super) working_days: u64,
    pub(super) trucks_bind: bool,
    /// Fields that begin after the day that their job states, with that day and the one they get.
    pub(super) late: Vec<(String, Day, Day)>,
}

/// The days of one step.
#[derive(Clone, Copy, Debug)]
pub(super) struct LaidStep {
    pub(super) begins: Day,
    pub(super) ends: Day,
    /// Whether its trucks took longer than the spreaders.
    pub(super) waits_for_trucks: bool,
}

/// From each step's field to the one before it by road, where the road factor is known.
pub(super) fn moves(
    parcels: &[Parcel<'_>],
    steps: &[Step],
    road_factor: Option<f64>,
) -> Vec<Option<Length>> {
    let place = |step: &Step| parcels[step.parcel].row.place_deg;
    let before = std::iter::once(None).chain(steps.iter().map(Some));
    steps
        .iter()
        .zip(before)
        .map(|(step, before)| {
            let (factor, before) = (road_factor?, before?);
            Some(Length::from_metres(straight_m(place(before), place(step)) * factor))
        })
        .collect()
}

/// Days that a calendar may run to before it is a slip (ours).
const MOST_DAYS: usize = 3_660;

/// Lays the work on days. Spreaders share each field, and begin the next where they end one; trucks
/// haul from the first hour on, in the same order, and a field is not done before the last of its
/// trucks. No field begins before its stated day. `Err` says what is missing, a sentence each.
pub(super) fn lay(
    parcels: &[Parcel<'_>],
    drops: &[Drop],
    balance: &Balance,
    moves: &[Option<Length>],
    calendar: &CalendarPart,
) -> Result<Laid, Vec<String>> {
    let steps = &balance.steps;
    let mut missing = Vec::new();
    if calendar.hours_a_day.is_none() {
        missing.push("The calendar needs `calendar.hours_a_day`.".to_owned());
    }
    if calendar.first_day.is_none() {
        missing.push("The calendar needs `calendar.first_day`.".to_owned());
    }
    let without: Vec<&str> = steps
        .iter()
        .map(|step| &parcels[step.parcel])
        .filter(|parcel| parcel.hours.is_none())
        .map(|parcel| parcel.row.id.as_str())
        .collect();
    if !without.is_empty() {
        missing.push(format!(
            "The calendar needs the spreading time of every field: {} without it, first `{}`; \
             `spreader.speed` of their jobs brings the greatest part.",
            without.len(),
            without[0]
        ));
    }
    let (Some(day), Some(first)) = (calendar.hours_a_day, calendar.first_day) else {
        return Err(missing);
    };
    if !missing.is_empty() || steps.is_empty() {
        return Err(missing);
    }
    let days = WorkingDays::from(first, calendar);
    lay_on(parcels, drops, balance, moves, calendar, day, &days).ok_or_else(|| {
        vec![format!(
            "The work takes more than {MOST_DAYS} days, which no calendar is laid out for: check \
             the hours of a day and the spreaders."
        )]
    })
}

fn lay_on(
    parcels: &[Parcel<'_>],
    drops: &[Drop],
    balance: &Balance,
    moves: &[Option<Length>],
    calendar: &CalendarPart,
    day: TimeTaken,
    days: &WorkingDays,
) -> Option<Laid> {
    let hours = day.to_hours();
    let trucks_haul = trucks_haul(drops, balance, calendar);
    let (mut clock, mut truck_clock) = (0.0_f64, 0.0_f64);
    let (mut spreading, mut moving, mut hauling) = (0.0, 0.0, 0.0);
    let mut knows_moves = calendar.moving_speed.is_some();
    let (mut laid, mut late) = (Vec::new(), Vec::new());
    for (step, way) in balance.steps.iter().zip(moves) {
        let parcel = &parcels[step.parcel];
        if let (Some(speed), Some(way)) = (calendar.moving_speed, way) {
            let time = way.time_at(speed).to_hours();
            (clock, moving) = (clock + time, moving + time);
        } else if !laid.is_empty() {
            knows_moves = false;
        }
        if let Some(stated) = parcel.day {
            clock = clock.max(days.index_of(stated)? as f64 * hours);
        }
        let begins = days.at(clock, hours, false)?;
        if let Some(stated) = parcel.day.filter(|&stated| stated < begins) {
            late.push((parcel.row.id.clone(), stated, begins));
        }
        let own = parcel.hours?.to_hours();
        spreading += own;
        clock += own / f64::from(calendar.spreaders);
        let mut waits_for_trucks = false;
        if let Some(trucks) = trucks_haul {
            let trip = drops[step.drop].round_trip.map_or(0.0, TimeTaken::to_hours);
            let time = trip * step.trucks.unwrap_or(0) as f64;
            hauling += time;
            truck_clock += time / f64::from(trucks);
            waits_for_trucks = truck_clock > clock + 1e-9;
            clock = clock.max(truck_clock);
        }
        laid.push(LaidStep { begins, ends: days.at(clock, hours, true)?, waits_for_trucks });
    }
    let trucks_bind = trucks_haul.is_some_and(|trucks| {
        hauling / f64::from(trucks) > spreading / f64::from(calendar.spreaders) + moving
    });
    Some(Laid {
        last: laid.iter().map(|step| step.ends).max()?,
        days: laid,
        spreading: TimeTaken::from_hours(spreading),
        moving: knows_moves.then(|| TimeTaken::from_hours(moving)),
        hauling: trucks_haul.map(|_| TimeTaken::from_hours(hauling)),
        working_days: index_at(clock, hours, true) as u64 + 1,
        trucks_bind,
        late,
    })
}

/// How many trucks there are, where that and the round trip of every drop with trucks is known.
fn trucks_haul(drops: &[Drop], balance: &Balance, calendar: &CalendarPart) -> Option<u32> {
    let trucks = calendar.trucks?;
    knows_trips(drops, balance).then_some(trucks)
}

/// Whether the trucks and the round trip of every drop are known.
pub(super) fn knows_trips(drops: &[Drop], balance: &Balance) -> bool {
    drops.iter().zip(&balance.deliveries).all(|(drop, delivery)| match delivery.trucks {
        Some(0) => true,
        Some(_) => drop.round_trip.is_some(),
        None => false,
    })
}

/// The days on which is worked, from the first.
struct WorkingDays {
    list: Vec<Day>,
}

impl WorkingDays {
    fn from(first: Day, calendar: &CalendarPart) -> Self {
        let works = |day: &Day| {
            !calendar.days_off.contains(&day.weekday()) && !calendar.closed.contains(day)
        };
        let all = (0..).map_while(|days| first.after(days));
        Self { list: all.filter(works).take(MOST_DAYS).collect() }
    }

    fn at(&self, clock: f64, hours: f64, is_end: bool) -> Option<Day> {
        self.list.get(index_at(clock, hours, is_end)).copied()
    }

    /// The place of the first working day on or after `day`.
    fn index_of(&self, day: Day) -> Option<usize> {
        let index = self.list.partition_point(|&other| other < day);
        (index < self.list.len()).then_some(index)
    }
}

/// Which working day the clock stands in, from 0.
fn index_at(clock: f64, hours: f64, is_end: bool) -> usize {
    let days = clock / hours;
    let whole = days.round();
    // Work that ends with a day ends on it; work that begins then begins on the next.
    let snapped = if (days - whole).abs() <= 1e-9 { whole } else { days };
    if is_end { (snapped.ceil() - 1.0).max(0.0) as usize } else { snapped.floor() as usize }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Weekday;

    fn day(words: &str) -> Day {
        Day::from_words(words).unwrap()
    }

    #[test]
    fn work_is_laid_on_days_on_which_is_worked() {
        let calendar = CalendarPart {
            days_off: vec![Weekday::Sunday],
            closed: vec![day("2026-10-26")],
            ..CalendarPart::default()
        };
        // 2026-10-24 is a Saturday.
        let days = WorkingDays::from(day("2026-10-24"), &calendar);
        assert_eq!(days.at(0.0, 10.0, false), Some(day("2026-10-24")));
        assert_eq!(days.at(10.0, 10.0, true), Some(day("2026-10-24")));
        assert_eq!(days.at(10.0, 10.0, false), Some(day("2026-10-27")));
        assert_eq!(days.at(10.5, 10.0, true), Some(day("2026-10-27")));
        assert_eq!(days.index_of(day("2026-10-25")), Some(1));
        assert_eq!(days.index_of(day("2026-10-28")), Some(2));
    }
}
