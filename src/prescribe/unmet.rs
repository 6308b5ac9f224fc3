//! The part of the need that is left unmet, and what would meet it.

use super::notes::shown;
use crate::findings::Finding;
use crate::inputs::Job;
use crate::machine::Limit;
use crate::prescription::Prescription;
use crate::summary::{UnmetParts, rate_as_written};
use crate::units::{CarbonateMass, EffectiveFraction, LimeNeed, plain};

/// The most that pure calcium oxide is worth, from molar masses (100.09 / 56.08, from memory): a
/// material that would have to be stronger is not named.
const STRONGEST_NAMED: f64 = 1.78;

/// What is said where more of the need is left unmet than the job lets pass.
pub(super) fn unmet_of(job: &Job, prescription: &Prescription) -> Option<UnmetParts> {
    let ledger = &prescription.ledger;
    let unmet = ledger.unmet();
    if ledger.need <= CarbonateMass::ZERO {
        return None;
    }
    let share = unmet / ledger.need;
    if share <= job.unmet_told_from.to_number() {
        return None;
    }
    let (applications, effective_at_least) = cures(job, prescription);
    let text = text(job, prescription, share, applications, effective_at_least);
    Some(UnmetParts { share, applications, effective_at_least, text })
}

/// The same as a finding.
pub(super) fn finding(unmet: &UnmetParts) -> Finding {
    Finding::new("need_left_unmet", unmet.text.clone())
}

/// Where rates are held to the greatest: in how many applications of at most that rate the need
/// would be met, and how effective a material would meet it in one.
fn cures(job: &Job, prescription: &Prescription) -> (Option<u32>, Option<EffectiveFraction>) {
    let capped = prescription.cells.iter().filter(|cell| cell.own.limit == Limit::Capped);
    let Some(most) = capped.map(|cell| cell.need).max_by(LimeNeed::total_cmp) else {
        return (None, None);
    };
    let single = job.machine.single();
    let applications = most / job.material.effective / single.rate(single.greatest());
    let applications = (applications - 1e-9).ceil();
    let greatest = job.machine.setting.rate(job.machine.setting.greatest());
    let effective = most / (greatest * EffectiveFraction::ONE);
    let named = Some(effective).filter(|effective| *effective <= STRONGEST_NAMED);
    (Some(applications as u32), named.and_then(EffectiveFraction::from_number))
}

fn text(
    job: &Job,
    prescription: &Prescription,
    share: f64,
    applications: Option<u32>,
    effective_at_least: Option<EffectiveFraction>,
) -> String {
    let (system, ledger) = (job.units, &prescription.ledger);
    let held_back = if ledger.held_back > CarbonateMass::ZERO {
        format!(", {} of it held back this time", shown(system.carbonate(ledger.held_back), 2))
    } else {
        String::new()
    };
    let whole = format!(
        "{} % of the need stays unmet, {} of {} CaCO3{held_back}",
        plain(100.0 * share, 0, 0),
        shown(system.carbonate(ledger.unmet()), 2),
        shown(system.carbonate(ledger.need), 2)
    );
    let setting = job.machine.single();
    let greatest = rate_as_written(system, setting.written(setting.greatest()));
    let greatest = format!("{} {}", plain(greatest.value, 0, 4), greatest.unit);
    let Some(applications) = applications else {
        let areas =
            if job.rate_areas.is_some() { ", or lowered to those of rate areas" } else { "" };
        return format!(
            "{whole}: rates below the least are dropped, rounded down or overridden{areas}; none \
             is held to the greatest of {greatest}."
        );
    };
    let held_by = if job.single_rate.is_some() && *setting != job.spreader.setting {
        "the job's most in one application"
    } else {
        "the spreader's greatest"
    };
    let stronger = effective_at_least.map_or_else(String::new, |effective| {
        let oxide =
            if effective.to_number() > 1.0 { ", which only an oxide or hydroxide is" } else { "" };
        format!(
            ", or one of a material at least {} % effective as spread{oxide},",
            tenth_up(effective)
        )
    });
    let over = match job.machine.application_count() {
        1 => String::new(),
        count => format!(" in each of {count} applications"),
    };
    format!(
        "{whole}, {} of it where rates are held to {held_by} of {greatest}{over}: {applications} \
         applications of at most that{stronger} would meet the need there.",
        shown(system.carbonate(ledger.capped), 2)
    )
}

/// In percent, to the next tenth above: a tenth below would not do.
fn tenth_up(effective: EffectiveFraction) -> String {
    plain((effective.to_percent() * 10.0 - 1e-9).ceil() / 10.0, 0, 1)
}
