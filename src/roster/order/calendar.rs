//! When the work is done: hours of spreading and of hauling laid on working days.

use std::collections::BTreeSet;

use super::balance::{Balance, Step};
use super::clock::{Clock, SAME_HOUR, Task};
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
    /// From the first day to the last.
    pub(super) working_days: u64,
    /// Of these, the days on which no field is worked on.
    pub(super) idle_days: u64,
    pub(super) binds: Binds,
    /// Fields that begin after the day that their job states, with that day and the one they get.
    pub(super) late: Vec<(String, Day, Day)>,
}

/// What sets the last day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Binds {
    Spreading,
    Trucks,
    /// Without the days that jobs state all would be done on an earlier day.
    StatedDays,
}

impl Binds {
    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Spreading => "spreading",
            Self::Trucks => "trucks",
            Self::StatedDays => "stated days",
        }
    }
}

/// The days of one step.
#[derive(Clone, Copy, Debug)]
pub(super) struct LaidStep {
    pub(super) begins: Day,
    pub(super) ends: Day,
    /// Whether its trucks took longer than the spreaders.
    pub(super) waits_for_trucks: bool,
}

impl LaidStep {
    pub(super) fn waits_for(self) -> &'static str {
        let binds = if self.waits_for_trucks { Binds::Trucks } else { Binds::Spreading };
        binds.words()
    }
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

/// Lays the work on days. No field begins before its stated day. `Err` says what is missing, a
/// sentence each.
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
    let Some(days) = WorkingDays::of(calendar).filter(|_| missing.is_empty()) else {
        return Err(missing);
    };
    if steps.is_empty() {
        return Err(missing);
    }
    let work = Work { parcels, drops, balance, moves, calendar, days: &days };
    work.laid().map_err(|why| vec![why])
}

/// What is laid on days.
struct Work<'a> {
    parcels: &'a [Parcel<'a>],
    drops: &'a [Drop],
    balance: &'a Balance,
    moves: &'a [Option<Length>],
    calendar: &'a CalendarPart,
    days: &'a WorkingDays,
}

impl Work<'_> {
    fn laid(&self) -> Result<Laid, String> {
        let trucks = trucks_haul(self.drops, self.balance, self.calendar);
        let tasks = self.tasks()?;
        let beyond = || self.days.beyond();
        let mut clock = Clock::of(self.calendar.spreaders, trucks);
        // The same work without the stated days.
        let mut at_once = clock;
        let (mut laid, mut late) = (Vec::new(), Vec::new());
        let mut at_work = BTreeSet::new();
        for (step, task) in self.balance.steps.iter().zip(&tasks) {
            let parcel = &self.parcels[step.parcel];
            let done = clock.work(task);
            at_once.work(&Task { not_before: 0.0, ..*task });
            let (from, to) =
                (self.days.index(done.begins, false), self.days.index(clock.now, true));
            let begins = self.days.day(from).ok_or_else(beyond)?;
            if let Some(stated) = parcel.day.filter(|&stated| stated < begins) {
                late.push((parcel.row.id.clone(), stated, begins));
            }
            laid.push(LaidStep {
                begins,
                ends: self.days.day(to).ok_or_else(beyond)?,
                waits_for_trucks: done.waits_for_trucks,
            });
            at_work.extend(from..=to);
        }
        let sum = |of: fn(&Task) -> f64| tasks.iter().map(of).sum::<f64>();
        let (spreading, moving, hauling) =
            (sum(|task| task.spreading), sum(|task| task.moving), sum(|task| task.hauling));
        let last = self.days.index(clock.now, true);
        let spreaders = f64::from(self.calendar.spreaders);
        let binds = if last > self.days.index(at_once.now, true) {
            Binds::StatedDays
        } else if trucks
            .is_some_and(|trucks| hauling / f64::from(trucks) > spreading / spreaders + moving)
        {
            Binds::Trucks
        } else {
            Binds::Spreading
        };
        let knows_moves =
            self.calendar.moving_speed.is_some() && self.moves.iter().skip(1).all(Option::is_some);
        let working_days = last as u64 + 1;
        Ok(Laid {
            last: self.days.day(last).ok_or_else(beyond)?,
            days: laid,
            spreading: TimeTaken::from_hours(spreading),
            moving: knows_moves.then(|| TimeTaken::from_hours(moving)),
            hauling: trucks.map(|_| TimeTaken::from_hours(hauling)),
            working_days,
            idle_days: working_days - at_work.len() as u64,
            binds,
            late,
        })
    }

    /// What each step takes. `Err` says which stated day lies beyond all that are laid.
    fn tasks(&self) -> Result<Vec<Task>, String> {
        let speed = self.calendar.moving_speed;
        let each = self.balance.steps.iter().zip(self.moves);
        each.map(|(step, way)| {
            let (parcel, drop) = (&self.parcels[step.parcel], &self.drops[step.drop]);
            let trip = drop.round_trip.map_or(0.0, TimeTaken::to_hours);
            let not_before = match parcel.day {
                None => 0.0,
                Some(day) => self.days.hour_of(day).ok_or_else(|| {
                    format!(
                        "`{}` states {day}, and the calendar ends before it: it holds {} working \
                         days from `calendar.first_day` on.",
                        parcel.row.id,
                        self.days.list.len()
                    )
                })?,
            };
            Ok(Task {
                moving: way.zip(speed).map_or(0.0, |(way, speed)| way.time_at(speed).to_hours()),
                not_before,
                spreading: parcel.hours.map_or(0.0, TimeTaken::to_hours),
                hauling: trip * step.trucks.unwrap_or(0) as f64,
            })
        })
        .collect()
    }
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

/// The days on which is worked, from the first, each of so many hours.
pub(super) struct WorkingDays {
    list: Vec<Day>,
    hours: f64,
}

impl WorkingDays {
    /// `None` where the first day or the hours are not stated.
    pub(super) fn of(calendar: &CalendarPart) -> Option<Self> {
        let (first, hours) = (calendar.first_day?, calendar.hours_a_day?.to_hours());
        let works = |day: &Day| {
            !calendar.days_off.contains(&day.weekday()) && !calendar.closed.contains(day)
        };
        let all = (0..).map_while(|days| first.after(days));
        Some(Self { list: all.filter(works).take(MOST_DAYS).collect(), hours })
    }

    fn day(&self, index: usize) -> Option<Day> {
        self.list.get(index).copied()
    }

    /// Which working day an hour stands in, from 0. Work that ends with a day ends on it; work that
    /// begins then begins on the next.
    fn index(&self, hour: f64, is_end: bool) -> usize {
        let days = hour / self.hours;
        let whole = days.round();
        let snapped = if (days - whole).abs() <= SAME_HOUR { whole } else { days };
        if is_end { (snapped.ceil() - 1.0).max(0.0) as usize } else { snapped.floor() as usize }
    }

    /// The hour at which the first working day on or after `day` begins.
    pub(super) fn hour_of(&self, day: Day) -> Option<f64> {
        let index = self.list.partition_point(|&other| other < day);
        (index < self.list.len()).then_some(index as f64 * self.hours)
    }

    /// Why work that does not end on these days is laid on none.
    fn beyond(&self) -> String {
        if self.list.len() < MOST_DAYS {
            return format!(
                "The work does not end before the year 9999 does: from `calendar.first_day` on \
                 there are {} working days. Check `calendar.first_day`.",
                self.list.len()
            );
        }
        format!(
            "The work takes more than {MOST_DAYS} working days, which no calendar is laid out for: \
             check the hours of a day and the spreaders."
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Weekday;

    fn day(words: &str) -> Day {
        Day::from_words(words).unwrap()
    }

    fn days(first: &str) -> WorkingDays {
        let calendar = CalendarPart {
            first_day: Some(day(first)),
            hours_a_day: Some(TimeTaken::from_hours(10.0)),
            days_off: vec![Weekday::Sunday],
            closed: vec![day("2026-10-26")],
            ..CalendarPart::default()
        };
        WorkingDays::of(&calendar).unwrap()
    }

    #[test]
    fn work_is_laid_on_days_on_which_is_worked() {
        // 2026-10-24 is a Saturday.
        let days = days("2026-10-24");
        let at = |hour, is_end| days.day(days.index(hour, is_end));
        assert_eq!(at(0.0, false), Some(day("2026-10-24")));
        assert_eq!(at(10.0, true), Some(day("2026-10-24")));
        assert_eq!(at(10.0, false), Some(day("2026-10-27")));
        assert_eq!(at(10.5, true), Some(day("2026-10-27")));
        assert_eq!(days.hour_of(day("2026-10-25")), Some(10.0));
        assert_eq!(days.hour_of(day("2026-10-28")), Some(20.0));
    }

    #[test]
    fn what_no_calendar_holds_is_told_with_its_own_reason() {
        assert!(days("2026-10-24").beyond().contains("more than 3660 working days"));
        let last = days("9999-12-30");
        assert_eq!(last.hour_of(day("2026-10-24")), Some(0.0));
        assert_eq!(last.day(2), None);
        assert!(last.beyond().contains("there are 2 working days"), "{}", last.beyond());
    }
}
