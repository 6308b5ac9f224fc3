//! The `[[override]]` tables of a job.

use super::OverrideOrder;
use super::check::Checker;
use super::file::{JobFile, OverrideTable};
use super::written::{At, Written};
use crate::findings::Problem;
use crate::machine::{Machine, Override, WrittenRate};
use crate::units::{bound, tidy};

/// What an override may do, as a sentence lists it.
const ONE_OF: &str = "one of `rate`, `cap`, `factor` and `no_product = true`";

impl Checker<'_> {
    /// `None` where something in it is wrong, or the machine is not known.
    pub(super) fn overrides(
        &mut self,
        file: &JobFile,
        machine: Option<&Machine>,
    ) -> Option<Vec<OverrideOrder>> {
        let entries = file.overrides.as_ref().map_or(&[][..], |entries| &entries.value);
        let read: Vec<Option<OverrideOrder>> =
            entries.iter().map(|entry| self.override_order(entry, machine)).collect();
        read.into_iter().collect()
    }

    fn override_order(
        &mut self,
        entry: &At<OverrideTable>,
        machine: Option<&Machine>,
    ) -> Option<OverrideOrder> {
        let table = &entry.value;
        if table.area.is_none() {
            self.of_entry(entry, "has no `area`", "the file with the area that it is for");
        }
        let reason = table.reason.as_ref().map(|reason| reason.value.trim().to_owned());
        let reason = reason.filter(|reason| !reason.is_empty());
        if reason.is_none() {
            self.of_entry(entry, "has no `reason`", "a reason, for those who read the map later");
        }
        let given = usize::from(table.rate.is_some())
            + usize::from(table.cap.is_some())
            + usize::from(table.factor.is_some())
            + usize::from(table.no_product.is_some());
        if given != 1 {
            self.of_entry(entry, &format!("says {given} things to do"), ONE_OF);
            return None;
        }
        let does = self.what_it_does(entry, machine);
        Some(OverrideOrder {
            area: self.area_file(table.area.as_ref()?, "override.area")?,
            does: does?,
            words: in_words(table),
            reason: reason?,
        })
    }

    fn what_it_does(
        &mut self,
        entry: &At<OverrideTable>,
        machine: Option<&Machine>,
    ) -> Option<Override> {
        let table = &entry.value;
        if let Some(rate) = &table.rate {
            return self.held_rate("rate", rate, machine).map(Override::Rate);
        }
        if let Some(cap) = &table.cap {
            return self.held_rate("cap", cap, machine).map(Override::Cap);
        }
        if let Some(factor) = &table.factor {
            return self.ph(factor, &bound::RATE_FACTOR).map(Override::Factor);
        }
        if table.no_product.as_ref().is_some_and(|no_product| no_product.value) {
            return Some(Override::NoProduct);
        }
        self.of_entry(entry, "says `no_product = false`", ONE_OF);
        None
    }

    /// A rate that the machine holds; where it does not hold it, the nearest are named.
    fn held_rate(
        &mut self,
        key: &str,
        written: &At<Written>,
        machine: Option<&Machine>,
    ) -> Option<WrittenRate> {
        let rate = self.rate(written)?;
        let setting = &machine?.setting;
        match setting.held(rate.rate()) {
            Ok(held) => Some(setting.written(held)),
            Err(near) => {
                let quoted: Vec<String> = near
                    .iter()
                    .map(|rate| format!("`{} {}`", tidy(rate.number), rate.unit))
                    .collect();
                let what = format!("the `{key}` of this override is `{}`", written.value.0);
                let problem = Problem::at(self.text.place(&written.span), what)
                    .allowed("a rate that the spreader holds, or 0")
                    .hint(format!("the nearest: {}", quoted.join(" and ")));
                self.problems.push(problem);
                None
            }
        }
    }

    fn of_entry(&mut self, entry: &At<OverrideTable>, what: &str, allowed: &str) {
        let problem =
            Problem::at(self.text.place(&entry.span), format!("this `[[override]]` {what}"))
                .allowed(allowed)
                .hint("an override needs `area`, `reason` and one thing to do");
        self.problems.push(problem);
    }
}

fn in_words(table: &OverrideTable) -> String {
    let written = |key: &str, value: &At<Written>| format!("{key} {}", value.value.0.trim());
    let rate = table.rate.as_ref().map(|rate| written("rate", rate));
    let cap = || table.cap.as_ref().map(|cap| written("at most", cap));
    let factor = || table.factor.as_ref().map(|factor| format!("rate x {}", factor.value));
    rate.or_else(cap).or_else(factor).unwrap_or_else(|| "no product".to_owned())
}
