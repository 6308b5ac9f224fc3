//! The spreader's hours in a summary, and where the material is dropped.

use super::build::Builder;
use super::{ApplicationWorkPart, DeliveryPart, Quantity, WorkPart};
use crate::haul::{Work, WorkAsked, work_of};
use crate::units::{Length, TimeTaken};

impl Builder<'_> {
    /// Left out where nothing of it is known.
    pub(super) fn work(&self) -> Option<WorkPart> {
        let runs = self.runs();
        let works: Vec<Work> =
            runs.iter().enumerate().map(|(at, run)| self.work_on(at, *run)).collect();
        // What is known hangs on the job alone, so it is the same for each application.
        let (known, unknown): (Vec<_>, Vec<_>) =
            works.first()?.parts().into_iter().partition(|(_, time)| time.is_some());
        let names = |parts: Vec<(&str, Option<TimeTaken>)>| -> Vec<String> {
            parts.into_iter().map(|(name, _)| name.to_owned()).collect()
        };
        let totals: Option<Vec<TimeTaken>> = works.iter().map(Work::total).collect();
        let times = &self.parts.job.machine.times;
        let each = works.iter().zip(&runs).zip(totals.as_ref()?).enumerate();
        let applications = each.map(|(at, ((work, run), total))| ApplicationWorkPart {
            number: at as u32 + 1,
            hours: hours(*total),
            driving: work.driving.map(hours),
            turning: work.turning.map(hours),
            loading: work.loading.map(hours),
            running: work.running.map(hours),
            run: work.running.and(*run).map(|run| self.system.length(run).into()),
        });
        Some(WorkPart {
            applications: applications.collect(),
            hours: hours(totals.as_ref()?.iter().copied().sum()),
            run_factor: works.first()?.running.and(times.run_factor),
            covers: names(known),
            missing: self.missing(&unknown),
            leaves_out: names(unknown),
        })
    }

    /// The keys that would bring the parts that are not known.
    fn missing(&self, unknown: &[(&str, Option<TimeTaken>)]) -> Vec<String> {
        let job = self.parts.job;
        let is_stated = |key: &str| match key {
            "field.pile" => job.field.site.pile_deg.is_some(),
            "spreader.run_factor" => job.machine.times.run_factor.is_some(),
            "spreader.running_speed" => job.machine.times.running_speed.is_some(),
            // Of the other parts each has one key.
            _ => false,
        };
        let keys = unknown.iter().flat_map(|(part, _)| keys_of(part));
        keys.filter(|key| !is_stated(key)).map(|&key| key.to_owned()).collect()
    }

    /// The way from the pile to the ground of each application, as it is driven.
    fn runs(&self) -> Vec<Option<Length>> {
        let factor = self.parts.job.machine.times.run_factor;
        let straight = self.parts.machine.runs.iter();
        straight.map(|line| line.zip(factor).map(|(line, factor)| line * factor)).collect()
    }

    fn work_on(&self, application: usize, run: Option<Length>) -> Work {
        let machine = &self.parts.job.machine;
        work_of(&WorkAsked {
            spread_over: self.parts.applications[application].treated_area,
            pass_spacing: machine.pass_spacing,
            speed: machine.speed,
            turns: self.parts.machine.passes.saturating_sub(1),
            turn: machine.times.turn,
            loads: self.parts.ordered.spreader_loads[application].count,
            load: machine.times.load,
            run,
            running_speed: machine.times.running_speed,
        })
    }

    /// Left out where the job says nothing of it.
    pub(super) fn delivery(&self) -> Option<DeliveryPart> {
        let job = self.parts.job;
        let pile_deg = job.field.site.pile_deg;
        let drop_site = job.haul.as_ref().and_then(|haul| haul.drop_site.clone());
        let known = pile_deg.is_some() || drop_site.is_some();
        known.then_some(DeliveryPart { pile_deg, drop_site })
    }
}

/// The keys of a job that a part of the hours hangs on.
fn keys_of(part: &str) -> &'static [&'static str] {
    match part {
        "driving" => &["spreader.speed"],
        "turning" => &["spreader.turn_time"],
        "loading" => &["spreader.load_time"],
        _ => &["field.pile", "spreader.run_factor", "spreader.running_speed"],
    }
}

impl WorkPart {
    /// The keys that are missing for a part that is left out; all that it hangs on where a result
    /// does not name them.
    pub fn lacks(&self, part: &str) -> Vec<&'static str> {
        let is_missing = |key: &str| self.missing.iter().any(|missing| missing == key);
        let keys = keys_of(part).iter().copied();
        keys.filter(|key| self.missing.is_empty() || is_missing(key)).collect()
    }
}

fn hours(time: TimeTaken) -> Quantity {
    Quantity { value: time.to_hours(), unit: "h".into() }
}
