//! Why a method does not run, one sentence for each reason.

use crate::error::Error;
use crate::findings::Problem;
use crate::summary::ReasonPart;

/// The problems as reasons, each once, with the samples that it holds for.
pub(super) fn reasons(problems: &[Problem]) -> Vec<ReasonPart> {
    let mut reasons: Vec<ReasonPart> = Vec::new();
    for Problem { place, what, hint, .. } in problems {
        let known = reasons.iter().position(|reason| reason.text == *what);
        let at = known.unwrap_or_else(|| {
            let (text, hint) = (what.clone(), hint.clone());
            reasons.push(ReasonPart { text, samples: Vec::new(), hint });
            reasons.len() - 1
        });
        reasons[at].samples.extend(place.sample.clone());
    }
    reasons
}

/// The same of what stopped a run.
pub(super) fn why_not_run(error: Error) -> Vec<ReasonPart> {
    match error {
        Error::Refused(refusal) => reasons(refusal.problems()),
        other => {
            vec![ReasonPart { text: other.to_string(), samples: Vec::new(), hint: String::new() }]
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::Place;

    #[test]
    fn a_reason_is_told_once_with_the_samples_that_it_holds_for() {
        let of = |sample: &str, what: &str| {
            let place = Place { sample: Some(sample.to_owned()), ..Place::default() };
            Problem::at(place, what).hint("ask")
        };
        let all = [
            of("S1", "no needs for sand"),
            Problem::at(Place::in_file("job.toml"), "another buffer"),
            of("S4", "no needs for sand"),
        ];
        let told = reasons(&all);
        let texts: Vec<&str> = told.iter().map(|reason| reason.text.as_str()).collect();
        assert_eq!(texts, ["no needs for sand", "another buffer"]);
        assert_eq!(told[0].samples, ["S1", "S4"]);
        assert!(told[1].samples.is_empty() && told[0].hint == "ask");
    }

    #[test]
    fn a_fault_is_told_as_it_is() {
        let told = why_not_run(Error::Fault("a cell has no pH".to_owned()));
        assert!(told[0].text.contains("a cell has no pH"), "{told:?}");
        let refused = Problem::at(Place::default(), "blank").into();
        assert_eq!(why_not_run(Error::Refused(refused))[0].text, "blank");
    }
}
