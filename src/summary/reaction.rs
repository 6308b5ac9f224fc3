//! How fast the material acts, in the summary.

use super::build::Builder;
use super::{ReactionPart, ReactionSizePart, ReactionYearPart};

impl Builder<'_> {
    /// Left out where the material is no ground limestone with a sieve analysis.
    pub(super) fn reaction(&self) -> Option<ReactionPart> {
        let job = self.parts.job;
        let reaction = job.material.reaction()?;
        let (least, most) = reaction.within_a_year;
        let size =
            |said: &crate::material::ReactionSaid, (least, most): (f64, f64)| ReactionSizePart {
                size: said.size_words(),
                least,
                most,
                says: said.says.clone(),
                source: said.source_words(),
            };
        let months = job.dates.months_to_seeding;
        let acted = months.and_then(|months| reaction.acted_after(months));
        Some(ReactionPart {
            within_a_year: ReactionYearPart { least, most, source: reaction.year_source.clone() },
            by_size: reaction.by_size.iter().map(|&(said, share)| size(said, share)).collect(),
            months_to_seeding: months,
            acted_by_seeding: acted.map(|(said, share)| size(said, share)),
        })
    }
}
