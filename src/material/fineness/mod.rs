//! How much of a material is fine enough to act: schemes that turn a sieve analysis into one
//! efficiency.

mod table;

use std::collections::BTreeMap;
use std::sync::LazyLock;

pub use table::{FinenessScheme, SchemeTable};

use crate::findings::{Place, Problem, nearest_of};
use crate::units::Share;

/// A sieve analysis and what a scheme makes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Fineness {
    /// The scheme.
    pub scheme: &'static FinenessScheme,
    /// The part that passes each sieve of the scheme, from the coarsest to the finest.
    pub passing: Vec<Share>,
    /// The part of the material that counts, by the scheme.
    pub efficiency: Share,
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

/// What `scheme` makes of a sieve analysis: the part that passes each sieve, by its mesh.
///
/// # Errors
/// Returns every [`Problem`] at `place`: a sieve that the scheme does not use, one that is
/// missing, and a part that rises from a coarser to a finer sieve.
pub fn fineness_of(
    scheme: &'static FinenessScheme,
    passing: &BTreeMap<String, Share>,
    place: &Place,
) -> Result<Fineness, Vec<Problem>> {
    let sieves: Vec<&str> = scheme.sieves().collect();
    let allowed = format!(
        "the part passing each of the sieves {} of the scheme `{}`, as cumulative passing",
        sieves.join(", "),
        scheme.id()
    );
    let problem = |what: String, hint: &str| {
        Problem::at(place.clone(), what).allowed(allowed.clone()).hint(hint)
    };
    let mut problems: Vec<Problem> = passing
        .keys()
        .filter(|mesh| !sieves.contains(&mesh.as_str()))
        .map(|mesh| {
            let what = format!("the scheme `{}` has no sieve `{mesh}`", scheme.id());
            problem(what, "leave it out, or take the scheme that the analysis was made for")
        })
        .collect();
    let mut found: Vec<Share> = Vec::new();
    for mesh in &sieves {
        let Some(&share) = passing.get(*mesh) else {
            let what = format!("the part passing the sieve `{mesh}` is missing");
            problems.push(problem(what, "ask the supplier for the whole sieve analysis"));
            continue;
        };
        if found.last().is_some_and(|coarser| share > *coarser) {
            let what = format!(
                "more passes the sieve `{mesh}` than a coarser one: {} %",
                tidy_percent(share)
            );
            problems.push(problem(
                what,
                "a part that passes a fine sieve has passed the coarse ones: these may be parts \
                 between two sieves; add them up from the finest",
            ));
        }
        found.push(share);
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let efficiency = scheme.efficiency(&found);
    Ok(Fineness { scheme, passing: found, efficiency })
}

/// A share in percent without the rounding error of having been divided by 100.
fn tidy_percent(share: Share) -> f64 {
    (share.to_percent() * 1e9).round() / 1e9
}

/// The schemes as they lie in the source tree.
const TABLES: [&str; 1] = [include_str!("../schemes/iowa2002_fineness.json")];

/// The tables are part of the program, so a fault in one is a fault of the program, which the
/// tests find before a user can.
static SCHEMES: LazyLock<Vec<FinenessScheme>> = LazyLock::new(|| {
    let read = |text| FinenessScheme::from_json(text).expect("the program's schemes are sound");
    TABLES.into_iter().map(read).collect()
});

#[cfg(test)]
mod tests;
