//! What is wrong with the files: each fault once, with its count.

use std::collections::BTreeMap;

use crate::findings::{Finding, Place, clean};
use crate::units::LIMITS;

/// The faults in the order in which they were found.
#[derive(Default)]
pub(super) struct Faults {
    found: Vec<(Finding, u64)>,
    places: BTreeMap<(&'static str, String), usize>,
    /// Beyond those that are told.
    more: u64,
}

impl Faults {
    /// Notes a fault; of several with the same words the first place is told, and the count.
    pub(super) fn tell(&mut self, key: &'static str, place: Place, text: impl Into<String>) {
        let text = text.into();
        // Files of a set are told apart; places in one file are not.
        let file = place.file.clone().unwrap_or_default();
        let same = (key, format!("{file}\n{text}"));
        if let Some(&at) = self.places.get(&same) {
            self.found[at].1 += 1;
        } else if self.found.len() < LIMITS.problems_shown {
            self.places.insert(same, self.found.len());
            self.found.push((Finding::at(key, place, text), 1));
        } else {
            self.more += 1;
        }
    }

    /// Notes a name in the wrong letter case.
    pub(super) fn tell_case(&mut self, found: &str, wanted: &str) {
        let text = format!(
            "{} should be named {}: a controller that tells capitals from small letters does not \
             find it.",
            clean(found),
            clean(wanted)
        );
        self.tell("iso_letter_case", Place::default(), text);
    }

    pub(super) fn into_findings(self) -> Vec<Finding> {
        let counted = |(mut finding, count): (Finding, u64)| {
            // Who reads the text alone sees the line as well.
            let text = &finding.text;
            finding.text = match (count, finding.place.line) {
                (1, Some(line)) => format!("{text} Line {line}."),
                (1, None) => return finding,
                (_, Some(line)) => format!("{text} So {count} times, first in line {line}."),
                (_, None) => format!("{text} So {count} times."),
            };
            finding
        };
        let mut all: Vec<Finding> = self.found.into_iter().map(counted).collect();
        if self.more > 0 {
            let text = format!("There are {} more faults of these kinds.", self.more);
            all.push(Finding::new("iso_more_faults", text));
        }
        all
    }
}
