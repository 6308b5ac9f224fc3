//! In which order the fields are spread.

use std::collections::BTreeMap;

use super::calendar::WorkingDays;
use super::clock::{Clock, SAME_HOUR, Task};
use super::drops::Drop;
use super::parcels::Parcel;
use super::tour::{short_way, straight_m};
use crate::haul::{Load, count_loads};
use crate::inputs::CalendarPart;
use crate::units::{Day, Length};

/// The order of work, and how it was found.
#[derive(Debug)]
pub(super) struct Sequence {
    /// Places of the parcels in their list.
    pub(super) order: Vec<usize>,
    /// In a sentence.
    pub(super) by: String,
    /// Names of the stated sequence that no field has which gets anything.
    pub(super) unknown: Vec<String>,
}

/// What is spread together before anything else is: by the stated sequence; else by day, days that
/// are not stated last; then by application and by material.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Block {
    application_first: u32,
    stated: usize,
    undated: bool,
    day: Option<Day>,
    application: u32,
    line: usize,
}

/// Puts the parcels in order. Those that a stated sequence names come in that order, application by
/// application, and all others behind them by their stated days. Without one, fields of a stated day
/// are spread on it, and those without a day fill the time before and between, where the calendar
/// tells the hours. What these leave open is decided by a short way.
pub(super) fn sequence(
    parcels: &[Parcel<'_>],
    drops: &[Drop],
    calendar: &CalendarPart,
) -> Sequence {
    let stated = &calendar.sequence;
    let mut blocks: BTreeMap<Block, Vec<usize>> = BTreeMap::new();
    for (at, parcel) in parcels.iter().enumerate() {
        blocks.entry(block_of(parcel, stated)).or_default().push(at);
    }
    let is_known = |id: &&String| parcels.iter().any(|parcel| parcel.row.id == **id);
    let unknown = stated.iter().filter(|id| !is_known(id)).cloned().collect();
    let filled = if stated.is_empty() { Filling::of(parcels, drops, calendar) } else { None };
    let fills = filled.is_some();
    let order = match filled {
        Some(filling) => {
            let (undated, dated) = blocks.into_iter().partition(|(block, _)| block.undated);
            filling.order(dated, undated)
        }
        None => chain(parcels, blocks, None),
    };
    Sequence { by: in_words(parcels, stated, fills), unknown, order }
}

/// Block behind block, each by a short way from where the one before it ends.
fn chain(
    parcels: &[Parcel<'_>],
    blocks: BTreeMap<Block, Vec<usize>>,
    mut from: Option<[f64; 2]>,
) -> Vec<usize> {
    let mut order: Vec<usize> = Vec::new();
    for block in blocks.into_values() {
        let places: Vec<[f64; 2]> = block.iter().map(|&at| parcels[at].row.place_deg).collect();
        order.extend(short_way(&places, from).into_iter().map(|at| block[at]));
        from = order.last().map(|&last| parcels[last].row.place_deg).or(from);
    }
    order
}

/// Fields of stated days, and fields without a day in the time before and between.
struct Filling<'a> {
    parcels: &'a [Parcel<'a>],
    calendar: &'a CalendarPart,
    clock: Clock,
    /// For each parcel: what it takes, moving and hauling aside.
    tasks: Vec<Task>,
    /// For each parcel the place of its drop, and for each drop the hours of one truck.
    drop_of: Vec<usize>,
    hauling: Vec<f64>,
}

impl<'a> Filling<'a> {
    /// `None` where the hours of a field or the days are not known, or where all or none state a
    /// day, so that there is nothing to fill.
    fn of(parcels: &'a [Parcel<'a>], drops: &[Drop], calendar: &'a CalendarPart) -> Option<Self> {
        let dated = parcels.iter().filter(|parcel| parcel.day.is_some()).count();
        let days = WorkingDays::of(calendar).filter(|_| dated > 0 && dated < parcels.len())?;
        let tasks = parcels.iter().map(|parcel| {
            Some(Task {
                moving: 0.0,
                // A day beyond all that are laid has no hour, and what is laid says so.
                not_before: parcel.day.map_or(Some(0.0), |day| days.hour_of(day))?,
                spreading: parcel.hours?.to_hours(),
                hauling: 0.0,
            })
        });
        let tasks = tasks.collect::<Option<Vec<Task>>>()?;
        let mut drop_of = vec![0; parcels.len()];
        for (at, drop) in drops.iter().enumerate() {
            for &parcel in &drop.parcels {
                drop_of[parcel] = at;
            }
        }
        // All that a drop needs, as if nothing were carried over and no supplier ran out: no truck
        // more can come, so what fits here fits then too.
        let hours = drops.iter().map(|drop| {
            let load = Load { mass: drop.truck?, binds: None };
            Some(drop.round_trip?.to_hours() * count_loads(drop.needed, load).count as f64)
        });
        let hauling: Option<Vec<f64>> = hours.collect();
        let trucks = calendar.trucks.filter(|_| hauling.is_some());
        Some(Self {
            parcels,
            calendar,
            clock: Clock::of(calendar.spreaders, trucks),
            tasks,
            drop_of,
            hauling: hauling.unwrap_or_else(|| vec![0.0; drops.len()]),
        })
    }

    /// Dated fields come in the order of their days. Before each, of those without a day, the first
    /// along their way that is done before that day begins; when no dated field is left, the rest.
    fn order(
        mut self,
        dated: BTreeMap<Block, Vec<usize>>,
        undated: BTreeMap<Block, Vec<usize>>,
    ) -> Vec<usize> {
        let dated = chain(self.parcels, dated, None);
        let mut undated = Some(undated);
        let mut free: Vec<usize> = Vec::new();
        let mut order: Vec<usize> = Vec::with_capacity(self.parcels.len());
        let mut is_done = vec![false; self.parcels.len()];
        let mut dated = dated.into_iter().peekable();
        loop {
            let until = dated.peek().map(|&next| self.tasks[next].not_before);
            let here = order.last().map(|&last| self.parcels[last].row.place_deg);
            let has_time = until.is_none_or(|until| self.clock.now + SAME_HOUR < until);
            if has_time && let Some(blocks) = undated.take() {
                free = chain(self.parcels, blocks, here);
            }
            let fitting = has_time.then(|| {
                free.iter()
                    .position(|&at| self.is_next(at, &is_done) && self.ends_before(at, here, until))
            });
            let next = match fitting.flatten() {
                Some(place) => Some(free.remove(place)),
                None => dated.next(),
            };
            let Some(next) = next else { break };
            let task = self.task(next, here);
            self.clock.work(&task);
            self.hauling[self.drop_of[next]] = 0.0;
            is_done[next] = true;
            order.push(next);
        }
        order
    }

    /// Whether the earlier applications of the field are done.
    fn is_next(&self, at: usize, is_done: &[bool]) -> bool {
        let own = &self.parcels[at];
        let earlier = self.parcels[..at].iter().zip(is_done).rev();
        earlier.take_while(|(other, _)| other.row.id == own.row.id).all(|(_, done)| *done)
    }

    fn ends_before(&self, at: usize, here: Option<[f64; 2]>, until: Option<f64>) -> bool {
        let mut clock = self.clock;
        clock.work(&self.task(at, here));
        until.is_none_or(|until| clock.now <= until + SAME_HOUR)
    }

    /// With the way from `here`, and with the trucks where it is the first at its drop.
    fn task(&self, at: usize, here: Option<[f64; 2]>) -> Task {
        let way = here.zip(self.calendar.road_factor).map(|(here, factor)| {
            Length::from_metres(straight_m(here, self.parcels[at].row.place_deg) * factor)
        });
        let moving = way.zip(self.calendar.moving_speed);
        Task {
            moving: moving.map_or(0.0, |(way, speed)| way.time_at(speed).to_hours()),
            hauling: self.hauling[self.drop_of[at]],
            ..self.tasks[at]
        }
    }
}

fn block_of(parcel: &Parcel<'_>, stated: &[String]) -> Block {
    let place = stated.iter().position(|id| *id == parcel.row.id).unwrap_or(stated.len());
    let is_stated = place < stated.len();
    Block {
        application_first: if stated.is_empty() { 0 } else { parcel.application },
        stated: place,
        undated: parcel.day.is_none() && !is_stated,
        day: parcel.day.filter(|_| !is_stated),
        application: parcel.application,
        line: parcel.line,
    }
}

fn in_words(parcels: &[Parcel<'_>], stated: &[String], fills: bool) -> String {
    let dated = parcels.iter().filter(|parcel| parcel.day.is_some()).count();
    let way = "a short way through the fields, in straight lines from the middle of one to that of \
               the next (the nearest next, then shortened by turning and moving parts; not proven \
               the shortest; where nothing comes before, it begins at the end whose id comes first)";
    if !stated.is_empty() {
        return format!(
            "By the sequence that the list states, application by application; fields that it does \
             not name come behind them, by their stated days and then by {way}."
        );
    }
    match dated {
        0 => format!(
            "No job states a day: application by application and material by material, by {way}."
        ),
        all if all == parcels.len() => {
            format!("By the days that the jobs state; on one day by material and then by {way}.")
        }
        _ if fills => format!(
            "Fields of a stated day come by their days. Before each, as long as the spreaders are \
             free, come fields without a day: application by application and material by material, \
             by {way}; of these, the next that is done before the stated day begins. What is left \
             comes behind."
        ),
        _ => format!(
            "By the days that the jobs state; what has none comes behind, application by \
             application and material by material, by {way}. With `calendar.first_day`, \
             `calendar.hours_a_day` and the hours of every field, what has no day fills the time \
             before and between."
        ),
    }
}
