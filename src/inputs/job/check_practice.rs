//! What a job says of its own practice: the most that it puts on the ground at once, and how much
//! of the need may stay unmet without a word at the head of the results.

use super::Job;
use super::check::Checker;
use super::check_applications::GoingOver;
use super::file::{JobFile, NeedTable};
use super::written::{At, Written};
use crate::agronomy::SingleRate;
use crate::findings::{Place, Problem};
use crate::machine::Machine;
use crate::units::{EffectiveFraction, LimeNeed, Share, bound};

/// The part of the need left unmet from which on it is told first, unless the job says otherwise
/// (ours).
pub(super) const UNMET_TOLD_FROM: &str = "5 %";

const AS_SPREAD: &str = "as spread";
const EFFECTIVE: &str = "effective";

impl Checker<'_> {
    /// `Some(None)` where the job states none, `None` where it cannot be read.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn single_rate(&mut self, file: &JobFile) -> Option<Option<SingleRate>> {
        let Some(written) = stated(file) else { return Some(None) };
        let text = written.value.0.trim();
        // A rate is one of material as spread unless it says otherwise, here as everywhere.
        let (rate, basis) = [AS_SPREAD, EFFECTIVE]
            .into_iter()
            .find_map(|basis| Some((text.strip_suffix(basis)?.trim(), basis)))
            .unwrap_or((text, AS_SPREAD));
        let rate = At { value: Written(rate.to_owned()), span: written.span.clone() };
        let rate = self.rate(&rate)?.rate();
        Some(Some(if basis == AS_SPREAD {
            SingleRate::Material(rate)
        } else {
            let kilograms_per_hectare = rate.to_kilograms_per_hectare();
            SingleRate::Effective(LimeNeed::from_kilograms_per_hectare(kilograms_per_hectare))
        }))
    }

    pub(super) fn unmet_told_from(&mut self, file: &JobFile) -> Option<Share> {
        let default = At::nowhere(Written(UNMET_TOLD_FROM.to_owned()));
        let need = file.need.as_ref().map(|table| &table.value);
        let written = need.and_then(|need| need.unmet_told_from.as_ref()).unwrap_or(&default);
        self.quantity(written, &bound::UNMET_TOLD).and_then(Share::from_number)
    }

    /// The spreader, held to the most in one application, going over the ground as often as the job
    /// says.
    pub(super) fn held(
        &mut self,
        spreader: &Machine,
        most: Option<SingleRate>,
        effective: EffectiveFraction,
        over: GoingOver,
        file: &JobFile,
    ) -> Option<Machine> {
        match held_to(spreader, most, effective, over) {
            Ok(machine) => Some(machine),
            Err(NotHeld::BelowTheLeast) => {
                let place = stated(file).map(|written| self.text.place(&written.span));
                self.problems.push(below_the_least(place.unwrap_or_default()));
                None
            }
            Err(NotHeld::TooManySums) => {
                let table = file.spreader.as_ref().map(|table| &table.value);
                let rates = table.and_then(|table| table.rates.as_ref());
                let place = rates.map(|rates| self.text.place(&rates.span));
                self.problems.push(too_many_sums(place.unwrap_or_default()));
                None
            }
        }
    }
}

impl Job {
    /// The spreader with a material so effective, held to the most that the job puts on the ground
    /// at once.
    ///
    /// # Errors
    /// Returns a [`Problem`] where that is less than the least that the spreader holds.
    pub fn machine_for(&self, effective: EffectiveFraction) -> Result<Machine, Problem> {
        let place = || Place::in_file(self.file.clone());
        held_to(&self.spreader, self.single_rate, effective, self.going_over).map_err(|not_held| {
            match not_held {
                NotHeld::BelowTheLeast => below_the_least(place()),
                NotHeld::TooManySums => too_many_sums(place()),
            }
        })
    }
}

fn stated(file: &JobFile) -> Option<&At<Written>> {
    let need: Option<&NeedTable> = file.need.as_ref().map(|table| &table.value);
    need?.single_application_max.as_ref()
}

enum NotHeld {
    BelowTheLeast,
    TooManySums,
}

fn held_to(
    spreader: &Machine,
    most: Option<SingleRate>,
    effective: EffectiveFraction,
    over: GoingOver,
) -> Result<Machine, NotHeld> {
    let setting = match most {
        None => spreader.setting.clone(),
        Some(most) => spreader.setting.at_most(most.of(effective)).ok_or(NotHeld::BelowTheLeast)?,
    };
    let machine = Machine { setting, ..spreader.clone() };
    machine.going_over(over.count, over.split).ok_or(NotHeld::TooManySums)
}

fn below_the_least(place: Place) -> Problem {
    let what = "the most in one application lies below the least rate that the spreader holds";
    Problem::at(place, what).allowed("a rate from the spreader's least upward").hint(
        "raise `need.single_application_max`, or take a weaker material where it is of what acts",
    )
}

fn too_many_sums(place: Place) -> Problem {
    Problem::at(place, "the spreader's list of rates has too many sums over that many applications")
        .allowed("a list of fewer rates, fewer applications, or rates by `step`")
        .hint("give `min_rate`, `max_rate` and `step` in place of `rates`")
}
