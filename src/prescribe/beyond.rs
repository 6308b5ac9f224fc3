//! Samples whose pH lies beyond the range of an equation that it is converted by.

use super::by_zone::Together;
use crate::agronomy::{BeyondRange, Prepared};
use crate::findings::{Finding, Place, first_of};
use crate::units::{counted, ph_words};

/// Samples named in the finding before the rest is only counted.
const NAMED: usize = 20;

/// Samples whose pH lies beyond what an equation is taken for that it is converted by.
pub(super) fn beyond_conversion(read: &Together<'_>, prepared: &Prepared) -> Option<Finding> {
    let samples = read.samples;
    let found = |sample: usize| {
        let ph = read.ph(sample)?;
        let beyond = prepared.beyond_conversion(ph)?;
        Some((format!("{} ({})", samples.ids[sample], ph_words(ph)), beyond))
    };
    let found: Vec<_> = (0..samples.ids.len()).filter_map(found).collect();
    let (_, BeyondRange { medium, range: [low, high], basis }) = *found.first()?;
    let named: Vec<&str> = found.iter().map(|(name, _)| name.as_str()).collect();
    let text = format!(
        "{} beyond the range that the conversion is taken for, pH {} to {} in {} ({basis}), and \
         the equation is carried on: {}.",
        counted(named.len() as u64, "sample reads", "samples read"),
        ph_words(low),
        ph_words(high),
        medium.words(),
        first_of(&named, NAMED)
    );
    Some(Finding::at("ph_beyond_conversion", Place::in_file(&samples.file), text))
}
