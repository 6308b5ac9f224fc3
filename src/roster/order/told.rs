//! What the sheet rests on, and what it does not know.

use std::collections::{BTreeMap, BTreeSet};

use super::calendar::knows_trips;
use super::{Hauls, OrderLine, Sheet};
use crate::findings::first_of;
use crate::units::counted;

/// Ids in one sentence before the rest is counted.
const MOST_NAMES: usize = 8;

impl Sheet<'_> {
    /// What the numbers rest on, and what is not worked out.
    pub(super) fn told(
        &self,
        lines: &[OrderLine],
        not_shared: Vec<String>,
        hauls: &Hauls,
    ) -> (Vec<String>, Vec<String>) {
        let mut rests_on = self.rests_on(lines);
        rests_on.extend(not_shared);
        rests_on.extend(self.alike());
        let mut unknown: Vec<String> = self
            .found
            .unreadable
            .iter()
            .map(|id| format!("`{id}` is left out: its summary has a unit that is not known."))
            .collect();
        for (at, haul) in hauls.iter().enumerate() {
            if let Err(why) = haul {
                unknown.push(format!("What hauling drop {} costs is not known: {why}.", at + 1));
            }
        }
        for (at, line) in lines.iter().enumerate() {
            if line.to_order.value > 0.0 && line.trucks.is_none() {
                unknown.push(format!(
                    "The trucks of line {} are not known: a job of it lacks `haul.truck_payload`.",
                    at + 1
                ));
            }
        }
        unknown.extend(self.not_timed());
        (rests_on, unknown)
    }

    fn rests_on(&self, lines: &[OrderLine]) -> Vec<String> {
        let mut told = vec![
            "Fields share trucks where they share the place of the drop (`haul.drop_site`, else \
             the very same `field.pile`), material and supplier with all their figures, \
             application, stated day and payload; each application is ordered by itself. A drop \
             arrives whole before the first of its fields; where a supplier runs out, the later \
             fields go short."
                .to_owned(),
        ];
        let trucks = |balance: &super::Balance| -> Option<u64> {
            balance.deliveries.iter().map(|delivery| delivery.trucks).sum()
        };
        let (carry, own, other) =
            (self.asked.calendar.carry_over, trucks(self.balance), trucks(self.other));
        let changes = match own.zip(other) {
            Some((own, other)) if own != other => {
                format!(" ({} in place of {own})", counted(other, "truck", "trucks"))
            }
            _ => String::new(),
        };
        told.push(if carry {
            format!(
                "What is left at a drop goes on to the next of the same material \
                 (`calendar.carry_over`), whose order is less by it; moving it is in no hours and \
                 no cost. Without that, the order is as it is for each drop{changes}."
            )
        } else {
            format!(
                "What is left stays where it was dropped, and no later order is less by it: the \
                 balance adds up what lies in all places. With \
                 `calendar.carry_over = true` it goes on to the next drop of the same \
                 material{changes}."
            )
        });
        if lines.iter().any(|line| line.last_rate.is_some()) {
            told.push(
                "The last rate is what the last field of a line takes, delivered, over its treated \
                 area."
                    .to_owned(),
            );
        }
        if let Some(factor) = self.asked.calendar.road_factor {
            told.push(format!(
                "Distances from field to field are straight lines between the middles of the \
                 fields times the stated road factor of {factor}."
            ));
        }
        if let Some(laid) = self.laid {
            told.push(
                "Spreaders share each field and go on together; trucks haul from the first hour \
                 on, in the same order, and no field is done before its last truck. Hours of rain, \
                 repair and waiting are in no number."
                    .to_owned(),
            );
            for (id, stated, begins) in &laid.late {
                told.push(format!("`{id}` begins on {begins}; its job states {stated}."));
            }
            told.extend(self.parts_of_hours());
        }
        told
    }

    /// Which parts of the work the hours leave out, of how many fields, and what lacks for them.
    fn parts_of_hours(&self) -> Vec<String> {
        let mut of_part: BTreeMap<(&str, Vec<&str>), BTreeSet<&str>> = BTreeMap::new();
        let mut all: BTreeSet<&str> = BTreeSet::new();
        let mut turns = false;
        for row in self.found.list.iter().map(|parcel| parcel.row) {
            all.insert(&row.id);
            let Some(work) = &row.work else { continue };
            turns |= work.covers.iter().any(|part| part == "turning");
            for part in &work.leaves_out {
                of_part.entry((part, work.lacks(part))).or_default().insert(&row.id);
            }
        }
        let each = of_part.into_iter().map(|((part, keys), ids)| {
            let keys: Vec<String> = keys.into_iter().map(|key| format!("`{key}`")).collect();
            let why = if keys.is_empty() {
                String::new()
            } else {
                format!(": their jobs do not state {}", keys.join(", "))
            };
            let whose = if ids.len() == all.len() {
                "all fields".to_owned()
            } else {
                let names: Vec<&str> = ids.iter().copied().collect();
                format!("{} of {} fields ({})", ids.len(), all.len(), first_of(&names, MOST_NAMES))
            };
            format!("The hours of {whose} leave out {part}{why}; so the work takes longer.")
        });
        let mut told: Vec<String> = each.collect();
        if turns {
            told.push(
                "Turns are counted at all passes over a field, driving on the treated ground alone."
                    .to_owned(),
            );
        }
        told
    }

    /// Materials that go by one name and differ in their figures.
    fn alike(&self) -> Vec<String> {
        let lines = &self.found.lines;
        let mut told = Vec::new();
        for (at, (key, material)) in lines.iter().enumerate() {
            if let Some(other) = lines[..at].iter().position(|(other, _)| other.sounds_like(key)) {
                told.push(format!(
                    "`{}` stands in lines {} and {}: its figures (effective part, moisture, price) \
                     differ between jobs, so they are ordered apart.",
                    material.name,
                    other + 1,
                    at + 1
                ));
            }
        }
        told
    }

    /// What lacks for distances, moves and truck hours.
    fn not_timed(&self) -> Vec<String> {
        let calendar = &self.asked.calendar;
        let mut unknown = Vec::new();
        if self.balance.steps.len() > 1 && calendar.road_factor.is_none() {
            unknown.push(
                "Distances from field to field are not told: a straight line is no road without \
                 `calendar.road_factor`."
                    .to_owned(),
            );
        } else if self.laid.is_some_and(|laid| laid.moving.is_none())
            && self.balance.steps.len() > 1
        {
            unknown.push(
                "Moving from field to field is in no hours: `calendar.moving_speed` is missing."
                    .to_owned(),
            );
        }
        if calendar.trucks.is_some() && !knows_trips(self.drops, self.balance) {
            unknown.push(
                "The trucks do not count in the calendar: a job lacks `haul.truck_payload`, or \
                 `haul.round_trip` (or `road_speed` and `load_time`)."
                    .to_owned(),
            );
        }
        unknown
    }
}
