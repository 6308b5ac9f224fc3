//! What published practice says of a map: how much goes on the ground at once, and how long before
//! the crop. All of it is told and nothing imposed.

use super::notes::shown;
use crate::agronomy::{application_limits, reaction_time};
use crate::findings::Finding;
use crate::inputs::{DatesPart, Job};
use crate::machine::MachineRate;
use crate::material::Material;
use crate::prescription::Prescription;
use crate::summary::{ApplicationParts, rate_as_written};
use crate::units::{ProductRate, counted, plain};

/// What practice tells of the map.
pub(super) fn of_practice(job: &Job, applied: &ApplicationParts) -> Vec<Finding> {
    single_rates(job, applied).into_iter().chain(reaction(&job.dates, &job.material)).collect()
}

/// The greatest rate of the map, held against the published limits for its placement.
pub(super) fn single_application(job: &Job, prescription: &Prescription) -> ApplicationParts {
    let (machine, effective) = (&job.machine, job.material.effective);
    let most = prescription.rates.last().map_or(MachineRate::NOTHING, |total| total.rate);
    let at_once = prescription.rates.iter().flat_map(|total| machine.parts(total.rate));
    let greatest = at_once.max().unwrap_or(MachineRate::NOTHING);
    let (rate, most) = (machine.single().rate(greatest), machine.setting.rate(most));
    let limits = application_limits(job.placement)
        .map(|limit| {
            let exceeded = limit.is_exceeded_by(rate, effective);
            (limit, exceeded, limit.applications(most, effective))
        })
        .collect();
    ApplicationParts { greatest, limits }
}

fn single_rates(job: &Job, applied: &ApplicationParts) -> Option<Finding> {
    let exceeded: Vec<String> = applied
        .limits
        .iter()
        .filter(|(_, is_exceeded, _)| *is_exceeded)
        .map(|(limit, _, _)| format!("{} [{}]", limit.words(), limit.source_words()))
        .collect();
    if exceeded.is_empty() {
        return None;
    }
    let single = job.machine.single();
    let rate: ProductRate = single.rate(applied.greatest);
    let written = rate_as_written(job.units, single.written(applied.greatest));
    let enough = applied.limits.iter().map(|(_, _, applications)| *applications).max();
    let text = format!(
        "The map puts up to {} {} of material ({} effective) on the ground at once, {}. \
         Publications that go no higher there: {}. They are told and not imposed: {} would keep to \
         all of them (`spreader.applications`), and `need.single_application_max` holds the map to a \
         rate.",
        plain(written.value, 0, 4),
        written.unit,
        shown(job.units.need(rate * job.material.effective), 2),
        job.placement.words(),
        exceeded.join("; "),
        counted(enough.unwrap_or(1).into(), "application", "applications")
    );
    Some(Finding::new("more_than_published_single_rates", text))
}

/// Lime that is spread later before the crop than publications ask.
fn reaction(dates: &DatesPart, material: &Material) -> Option<Finding> {
    let (spread, seeding) = (dates.spread.as_ref()?, dates.seeding.as_ref()?);
    let time = reaction_time();
    let Some(months) = dates.months_to_seeding else {
        let text = format!(
            "The job spreads on {spread}, after the crop is sown on {seeding}: the lime comes too \
             late for it."
        );
        return Some(Finding::new("lime_after_seeding", text));
    };
    let asked = if dates.legume { time.legume_months } else { time.most_months };
    if months >= asked {
        return None;
    }
    let said = if dates.legume {
        format!("before a legume publications ask for {asked} months or more")
    } else if months < time.least_months {
        format!("publications ask for {} to {} months", time.least_months, time.most_months)
    } else {
        format!(
            "publications ask for {} to {} months, so some would have it earlier",
            time.least_months, time.most_months
        )
    };
    let text = format!(
        "The lime is spread on {spread}, {} before the crop is sown on {seeding}; {said} ({}). {}",
        whole(months),
        time.source_words(),
        acted(material, months)
    );
    Some(Finding::new("lime_late_for_the_crop", text))
}

/// What acts of the material in that time, as far as publications say.
fn acted(material: &Material, months: u32) -> String {
    let by_size = material.reaction().and_then(|reaction| reaction.acted_after(months));
    let Some((said, (least, most))) = by_size else {
        return "Only its finest part acts by then.".to_owned();
    };
    let percent = |share: f64| format!("{} %", plain(100.0 * share, 0, 1));
    let share = if most - least < 1e-9 {
        percent(least)
    } else {
        format!("{} to {}", percent(least), percent(most))
    };
    format!(
        "Of the material {share} is {}, which is said to have acted by then ({}); the rest acts \
         later.",
        said.size_words(),
        said.source_words()
    )
}

fn whole(months: u32) -> String {
    match months {
        0 => "less than a month".to_owned(),
        months => counted(months.into(), "month", "months"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::Place;
    use crate::material::{Basis, Stated, kind_named};
    use crate::units::EffectiveFraction;

    /// A material without a sieve analysis.
    fn stated() -> Material {
        let effective = EffectiveFraction::from_number(0.5).unwrap();
        Material {
            name: "Pit 4".to_owned(),
            kind: kind_named("aglime", Place::default()).unwrap(),
            stated: Stated { fraction: effective, basis: Basis::AsReceived },
            rating: None,
            analysis: None,
            moisture: None,
            effective,
            bulk_density: None,
            density_rule: None,
            price: None,
            findings: Vec::new(),
        }
    }

    fn told(months: Option<u32>, legume: bool) -> Option<(&'static str, String)> {
        let dates = DatesPart {
            spread: Some("2026-10-20".to_owned()),
            seeding: Some("2027-04-20".to_owned()),
            months_to_seeding: months,
            legume,
            ..DatesPart::default()
        };
        reaction(&dates, &stated()).map(|finding| (finding.key, finding.text))
    }

    #[test]
    fn the_time_before_the_crop_is_held_against_what_publications_ask() {
        assert_eq!(told(Some(6), false), None);
        assert_eq!(told(Some(6), true), None);
        let (key, text) = told(Some(5), false).unwrap();
        assert_eq!(key, "lime_late_for_the_crop");
        assert!(text.contains("5 months before") && text.contains("some would have it earlier"));
        let (_, text) = told(Some(2), false).unwrap();
        assert!(text.contains("publications ask for 3 to 6 months ("), "{text}");
        let (_, text) = told(Some(5), true).unwrap();
        assert!(text.contains("before a legume publications ask for 6 months or more"), "{text}");
        assert!(told(Some(0), true).unwrap().1.contains("less than a month"));
        assert_eq!(told(None, true).unwrap().0, "lime_after_seeding");
    }

    #[test]
    fn without_both_days_nothing_is_said() {
        let dates = DatesPart { seeding: Some("2027-04-20".to_owned()), ..DatesPart::default() };
        assert_eq!(reaction(&dates, &stated()), None);
    }
}
