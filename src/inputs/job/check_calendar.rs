//! The `[calendar]` of a list of jobs, checked.

use super::calendar_file::CalendarTable;
use super::check::Checker;
use super::written::At;
use crate::findings::{Place, Problem};
use crate::units::{Day, Speed, TimeTaken, Weekday, bound};

/// When and with what fields are spread; what is not stated is `None` or empty.
#[derive(Clone, Debug, PartialEq)]
pub struct CalendarPart {
    /// What straight lines are multiplied by to stand for roads.
    pub road_factor: Option<f64>,
    /// How long is worked in a day.
    pub hours_a_day: Option<TimeTaken>,
    /// How many spreaders work at once.
    pub spreaders: u32,
    /// How many trucks haul.
    pub trucks: Option<u32>,
    /// The speed of the spreaders on the road.
    pub moving_speed: Option<Speed>,
    /// The first day of spreading.
    pub first_day: Option<Day>,
    /// Days of the week on which nobody works; never all of them.
    pub days_off: Vec<Weekday>,
    /// Single days on which nobody works.
    pub closed: Vec<Day>,
    /// The fields in the order in which they are spread, as far as that is stated.
    pub sequence: Vec<String>,
    /// Where each of these is stated.
    pub sequence_at: Vec<Place>,
    /// Whether what is left at one field goes on to the next.
    pub carry_over: bool,
}

impl Default for CalendarPart {
    /// One spreader, and nothing else known.
    fn default() -> Self {
        Self {
            road_factor: None,
            hours_a_day: None,
            spreaders: 1,
            trucks: None,
            moving_speed: None,
            first_day: None,
            days_off: Vec::new(),
            closed: Vec::new(),
            sequence: Vec::new(),
            sequence_at: Vec::new(),
            carry_over: false,
        }
    }
}

/// Machines that one list may have at once (ours); a greater number is a slip.
const MOST_MACHINES: u32 = 1_000;

impl Checker<'_> {
    /// What is wrong in it is among the problems.
    pub(super) fn calendar(&mut self, table: Option<&At<CalendarTable>>) -> CalendarPart {
        let Some(table) = table.map(|table| &table.value) else { return CalendarPart::default() };
        let road_factor =
            table.road_factor.as_ref().and_then(|factor| self.ph(factor, &bound::ROAD_FACTOR));
        let hours = table.hours_a_day.as_ref();
        let moving = table.moving_speed.as_ref();
        let (sequence, sequence_at) = self.sequence(table.sequence.as_ref());
        CalendarPart {
            road_factor,
            hours_a_day: hours
                .and_then(|hours| self.quantity(hours, &bound::HOURS_A_DAY))
                .map(TimeTaken::from_seconds),
            spreaders: self.machines("spreaders", table.spreaders.as_ref()).unwrap_or(1),
            trucks: self.machines("trucks", table.trucks.as_ref()),
            moving_speed: moving
                .and_then(|speed| self.quantity(speed, &bound::RUNNING_SPEED))
                .map(Speed::from_metres_per_second),
            first_day: self.calendar_day("calendar.first_day", table.first_day.as_ref()),
            days_off: self.days_off(table.days_off.as_ref()),
            closed: table
                .closed
                .iter()
                .flat_map(|list| &list.value)
                .filter_map(|day| self.calendar_day("calendar.closed", Some(day)))
                .collect(),
            sequence,
            sequence_at,
            carry_over: table.carry_over.as_ref().is_some_and(|carry| carry.value),
        }
    }

    fn machines(&mut self, key: &str, written: Option<&At<u32>>) -> Option<u32> {
        let At { value, span } = written?;
        if (1..=MOST_MACHINES).contains(value) {
            return Some(*value);
        }
        let problem = Problem::at(self.text.place(span), format!("`calendar.{key}` is `{value}`"))
            .allowed(format!("a whole number from 1 to {MOST_MACHINES}"))
            .hint(format!("leave it out where the number of {key} is not known"));
        self.problems.push(problem);
        None
    }

    fn calendar_day(
        &mut self,
        key: &str,
        written: Option<&At<super::written::Day>>,
    ) -> Option<Day> {
        let words = self.day(key, written)?;
        Day::from_words(&words)
    }

    fn days_off(&mut self, written: Option<&At<Vec<At<String>>>>) -> Vec<Weekday> {
        let Some(list) = written else { return Vec::new() };
        let words = Weekday::ALL.map(Weekday::words);
        let mut days: Vec<Weekday> = list
            .value
            .iter()
            .filter_map(|day| {
                let word = self.one_of("calendar.days_off", Some(day), &words)?;
                Weekday::ALL.into_iter().find(|day| day.words() == word)
            })
            .collect();
        days.sort_unstable();
        days.dedup();
        if days.len() == Weekday::ALL.len() {
            let what = "`calendar.days_off` leaves no day to work on";
            let problem = Problem::at(self.text.place(&list.span), what)
                .allowed("at most six days of the week")
                .hint("leave out the days on which is worked");
            self.problems.push(problem);
            return Vec::new();
        }
        days
    }

    /// The fields, and where each is named.
    fn sequence(&mut self, written: Option<&At<Vec<At<String>>>>) -> (Vec<String>, Vec<Place>) {
        let (mut ids, mut places) = (Vec::new(), Vec::new());
        for At { value, span } in written.iter().flat_map(|list| &list.value) {
            if !ids.contains(value) {
                ids.push(value.clone());
                places.push(self.text.place(span));
                continue;
            }
            let what = format!("`calendar.sequence` names `{value}` twice");
            let problem = Problem::at(self.text.place(span), what)
                .allowed("each field once")
                .hint("leave one of the two out; several applications follow the same sequence");
            self.problems.push(problem);
        }
        (ids, places)
    }
}
