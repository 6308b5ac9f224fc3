//! Samples that are old when the lime is spread.

use crate::agronomy::{RETEST_FROM_MONTHS, RETEST_TOLD_FROM_MONTHS};
use crate::findings::Finding;
use crate::inputs::DatesPart;
use crate::units::counted;

/// How old the samples are at spreading, where the job states both days. No clock is read.
pub(super) fn told(dates: &DatesPart) -> Option<Finding> {
    let months = dates.months_from_sampling.filter(|&months| months >= RETEST_TOLD_FROM_MONTHS)?;
    let (sampled, spread) = (dates.sampled.as_ref()?, dates.spread.as_ref()?);
    let advice = if months >= RETEST_FROM_MONTHS {
        "Such old samples may no longer show the soil: take new ones before lime is bought."
    } else {
        "If the field was limed, or much nitrogen was given since, take new ones."
    };
    Some(Finding::new(
        "old_samples",
        format!(
            "The samples were taken on {sampled}, {} before the lime is spread on {spread}; \
             common practice is a new test every 3 to 4 years. {advice}",
            years_and_months(months)
        ),
    ))
}

/// How old the samples are in one sentence, or that the job does not tell; `None` where its days
/// contradict each other, which is a finding of its own.
pub(super) fn about(dates: &DatesPart) -> Option<String> {
    let missing = match (&dates.sampled, &dates.spread) {
        (Some(sampled), Some(_)) => {
            let months = dates.months_from_sampling?;
            return Some(format!(
                "Sampled on {sampled}, {} before the lime is spread.",
                years_and_months(months)
            ));
        }
        (None, None) => "dates.sampled and dates.spread",
        (None, Some(_)) => "dates.sampled",
        (Some(_), None) => "dates.spread",
    };
    Some(format!("How old the samples are is not known: the job does not state {missing}."))
}

fn years_and_months(months: u32) -> String {
    let years = counted((months / 12).into(), "year", "years");
    match months % 12 {
        more if months < 12 => counted(more.into(), "month", "months"),
        0 => years,
        more => format!("{years} and {}", counted(more.into(), "month", "months")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn age_told(months: Option<u32>) -> Option<String> {
        let dates = DatesPart {
            sampled: Some("2022-09-18".to_owned()),
            spread: Some("2026-10-20".to_owned()),
            months_from_sampling: months,
            ..DatesPart::default()
        };
        told(&dates).map(|finding| finding.text)
    }

    #[test]
    fn the_age_is_said_as_far_as_the_job_tells_it() {
        let day = |day: &str| Some(day.to_owned());
        let about = |sampled: Option<String>, spread: Option<String>, months: Option<u32>| {
            let dates =
                DatesPart { sampled, spread, months_from_sampling: months, ..DatesPart::default() };
            about(&dates)
        };
        let (sampled, spread) = (day("2026-09-18"), day("2026-10-20"));
        let both = about(sampled.clone(), spread.clone(), Some(1)).unwrap();
        assert_eq!(both, "Sampled on 2026-09-18, 1 month before the lime is spread.");
        assert!(about(sampled.clone(), None, None).unwrap().contains("state dates.spread."));
        assert!(about(None, spread.clone(), None).unwrap().contains("state dates.sampled."));
        assert!(about(None, None, None).unwrap().contains("dates.sampled and dates.spread."));
        assert_eq!(about(spread, sampled, None), None, "a finding of its own");
    }

    #[test]
    fn from_three_years_on_the_age_is_told_and_from_four_on_new_samples_are_advised() {
        assert_eq!(age_told(None), None);
        assert_eq!(age_told(Some(35)), None);
        let three = age_told(Some(36)).unwrap();
        assert!(three.contains(", 3 years before") && three.contains("If the field"), "{three}");
        assert!(age_told(Some(47)).unwrap().contains("3 years and 11 months"));
        let four = age_told(Some(49)).unwrap();
        assert!(four.contains("4 years and 1 month before"), "{four}");
        assert!(four.contains("no longer show"), "{four}");
    }
}
