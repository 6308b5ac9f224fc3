//! What a job says of its own practice: the most that it puts on the ground at once, and how much
//! of the need may stay unmet without a word at the head of the results.

use super::Job;
use super::check::Checker;
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
        let based = [AS_SPREAD, EFFECTIVE]
            .into_iter()
            .find_map(|basis| Some((text.strip_suffix(basis)?.trim().to_owned(), basis)));
        let Some((rate, basis)) = based else {
            let what =
                format!("the most in one application is `{text}`, which does not say of what");
            let problem = Problem::at(self.text.place(&written.span), what)
                .allowed(format!("a rate followed by `{AS_SPREAD}` or by `{EFFECTIVE}`"))
                .hint("write \"2 ton/ac as spread\", or \"1 ton/ac effective\"");
            self.problems.push(problem);
            return None;
        };
        let rate = At { value: Written(rate), span: written.span.clone() };
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

    /// The spreader, held to the most in one application.
    pub(super) fn held(
        &mut self,
        spreader: &Machine,
        most: Option<SingleRate>,
        effective: EffectiveFraction,
        file: &JobFile,
    ) -> Option<Machine> {
        let held = held_to(spreader, most, effective);
        if held.is_none()
            && let Some(written) = stated(file)
        {
            self.problems.push(below_the_least(self.text.place(&written.span)));
        }
        held
    }
}

impl Job {
    /// The spreader with a material so effective, held to the most that the job puts on the ground
    /// at once.
    ///
    /// # Errors
    /// Returns a [`Problem`] where that is less than the least that the spreader holds.
    pub fn machine_for(&self, effective: EffectiveFraction) -> Result<Machine, Problem> {
        held_to(&self.spreader, self.single_rate, effective)
            .ok_or_else(|| below_the_least(Place::in_file(self.file.clone())))
    }
}

fn stated(file: &JobFile) -> Option<&At<Written>> {
    let need: Option<&NeedTable> = file.need.as_ref().map(|table| &table.value);
    need?.single_rate_at_most.as_ref()
}

fn held_to(
    spreader: &Machine,
    most: Option<SingleRate>,
    effective: EffectiveFraction,
) -> Option<Machine> {
    let Some(most) = most else { return Some(spreader.clone()) };
    let setting = spreader.setting.at_most(most.of(effective))?;
    Some(Machine { setting, ..spreader.clone() })
}

fn below_the_least(place: Place) -> Problem {
    let what = "the most in one application lies below the least rate that the spreader holds";
    Problem::at(place, what).allowed("a rate from the spreader's least upward").hint(
        "raise `need.single_rate_at_most`, or take a weaker material where it is of what acts",
    )
}
