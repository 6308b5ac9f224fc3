//! How much of a material is fine enough to act: schemes that turn a sieve analysis into one
//! efficiency.

mod analysis;
mod sieve;
mod table;

use std::collections::BTreeMap;
use std::sync::LazyLock;

pub use analysis::SieveAnalysis;
pub use sieve::Sieve;
pub use table::{FinenessScheme, Horizon, SchemeTable, Term};

use crate::findings::{Finding, Place, Problem, nearest_of};
use crate::units::Share;

/// A sieve analysis and what a scheme makes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Fineness {
    /// The scheme.
    pub scheme: &'static FinenessScheme,
    /// Its factors, with the years over which they count.
    pub horizon: &'static Horizon,
    /// The part that passes each sieve of the scheme, from the coarsest to the finest.
    pub passing: Vec<Share>,
    /// The part of the material that counts, by the scheme.
    pub efficiency: Share,
    /// How the analysis was written, in words.
    pub given_as: &'static str,
}

impl Fineness {
    /// The part in each class of the scheme, from the coarsest: one more than there are sieves.
    pub fn class_parts(&self) -> Vec<f64> {
        let passing = || self.passing.iter().map(|share| share.to_number());
        let coarser = std::iter::once(1.0).chain(passing());
        let finer = passing().chain(std::iter::once(0.0));
        coarser.zip(finer).map(|(coarser, finer)| coarser - finer).collect()
    }

    /// What to mind with it, where `analysis` is what it was made from.
    pub fn findings(&self, analysis: &SieveAnalysis) -> Vec<Finding> {
        let mut findings: Vec<Finding> = analysis.doubt().into_iter().collect();
        if self.passing.is_empty() {
            findings.push(Finding::new(
                "fineness_not_counted",
                format!(
                    "The scheme `{}` counts the neutralising value alone, not the fineness: coarse \
                     material acts less and later than the tons say.",
                    self.scheme.id()
                ),
            ));
        }
        findings
    }
}

/// All fineness schemes that come with the program.
pub fn all_fineness_schemes() -> &'static [FinenessScheme] {
    &SCHEMES
}

/// The fineness scheme called `id`.
///
/// # Errors
/// Returns a [`Problem`] at `place` where there is none, with all of them.
pub fn fineness_scheme(id: &str, place: Place) -> Result<&'static FinenessScheme, Problem> {
    let wanted = id.trim().to_lowercase();
    if let Some(scheme) = all_fineness_schemes().iter().find(|scheme| scheme.id() == wanted) {
        return Ok(scheme);
    }
    let ids: Vec<&str> = all_fineness_schemes().iter().map(FinenessScheme::id).collect();
    let hint = nearest_of(&wanted, &ids).map_or_else(
        || "where the supplier states one figure for all, give it as `effective`".to_owned(),
        |near| format!("did you mean `{near}`?"),
    );
    Err(Problem::at(place, format!("there is no fineness scheme `{id}`"))
        .allowed(ids.join(", "))
        .hint(hint))
}

/// What `scheme` makes of the part that passes each sieve, by its mesh or opening, where the
/// scheme counts over one number of years.
///
/// # Errors
/// Returns every [`Problem`] at `place`: a sieve that the scheme does not use, one that is
/// missing, and a part that rises from a coarser to a finer sieve.
pub fn fineness_of(
    scheme: &'static FinenessScheme,
    passing: &BTreeMap<String, Share>,
    place: &Place,
) -> Result<Fineness, Vec<Problem>> {
    let horizon = scheme.horizon(None, place).map_err(|problem| vec![problem])?;
    fineness_from(scheme, horizon, &SieveAnalysis::Passing(passing.clone()), place)
}

/// What `scheme` makes of a sieve analysis, whichever way it is written, over `horizon`.
///
/// # Errors
/// Returns every [`Problem`] at `place`: sieves and classes that the scheme does not have, what is
/// missing, and figures that cannot be what they are written as.
pub fn fineness_from(
    scheme: &'static FinenessScheme,
    horizon: &'static Horizon,
    analysis: &SieveAnalysis,
    place: &Place,
) -> Result<Fineness, Vec<Problem>> {
    let passing = analysis.passing(scheme, place)?;
    let efficiency = scheme.efficiency(horizon, &passing);
    Ok(Fineness { scheme, horizon, passing, efficiency, given_as: analysis.words() })
}

/// The schemes as they lie in the source tree.
pub(super) const TABLES: [&str; 11] = [
    include_str!("../schemes/iowa2002_fineness.json"),
    include_str!("../schemes/cornell_env.json"),
    include_str!("../schemes/mississippi_rnv.json"),
    include_str!("../schemes/michigan_fineness.json"),
    include_str!("../schemes/nebraska_ecc.json"),
    include_str!("../schemes/missouri_enm.json"),
    include_str!("../schemes/ohio_enp.json"),
    include_str!("../schemes/illinois_env.json"),
    include_str!("../schemes/brazil_prnt.json"),
    include_str!("../schemes/western_australia.json"),
    include_str!("../schemes/cce_only.json"),
];

/// The tables are part of the program, so a fault in one is a fault of the program, which the
/// tests find before a user can.
static SCHEMES: LazyLock<Vec<FinenessScheme>> = LazyLock::new(|| {
    let read = |text| FinenessScheme::from_json(text).expect("the program's schemes are sound");
    TABLES.into_iter().map(read).collect()
});

#[cfg(test)]
mod tests;
