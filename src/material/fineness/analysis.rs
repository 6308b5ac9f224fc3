//! A sieve analysis as a laboratory writes it: what passes, what lies between, what is held back.
//!
//! The key that it stands under says which, so one can never be read as the other; figures that
//! look like another kind than their key says are refused with the kind that they look like.

use std::collections::BTreeMap;

use super::sieve::{Sieve, class_from_words, class_name, known_meshes};
use super::table::FinenessScheme;
use crate::findings::{Finding, Place, Problem};
use crate::units::{Share, plain};

/// A sieve analysis, each part under its sieve or class as it was written.
#[derive(Clone, Debug, PartialEq)]
pub enum SieveAnalysis {
    /// All that passes a sieve, the finer part included.
    Passing(BTreeMap<String, Share>),
    /// What lies between two sieves: `over 8`, `8-20`, `through 60`.
    Between(BTreeMap<String, Share>),
    /// What each sieve of the stack holds back, from the coarsest down, and the `pan` below it.
    Retained(BTreeMap<String, Share>),
    /// No sieve at all, for a scheme that does not count fineness.
    None,
}

/// How far parts may miss the whole: each is rounded by itself.
const ROUNDING: f64 = 0.005;

/// The part below the finest sieve of a stack.
const PAN: &str = "pan";

impl SieveAnalysis {
    /// How it is written, in words.
    pub fn words(&self) -> &'static str {
        match self {
            Self::Passing(_) => "cumulative passing",
            Self::Between(_) => "parts between two sieves",
            Self::Retained(_) => "parts retained on each sieve",
            Self::None => "no sieve analysis",
        }
    }

    /// Figures under `passing` that might as well be parts between two sieves: they add up to the
    /// whole, and a good part does not pass the coarsest sieve.
    pub fn doubt(&self) -> Option<Finding> {
        let Self::Passing(parts) = self else { return None };
        let parts: Vec<f64> = parts.values().map(|share| share.to_number()).collect();
        let sum: f64 = parts.iter().sum();
        let most = parts.iter().copied().fold(0.0, f64::max);
        let doubtful = parts.len() > 1 && (sum - 1.0).abs() <= ROUNDING && most < 1.0 - ROUNDING;
        doubtful.then(|| {
            Finding::new(
                "sieve_figures_may_be_parts",
                "The figures under `passing` add up to 100 %, as parts between two sieves do. They \
                 were taken as all that passes each sieve; if they are parts, write them under \
                 `between` or `retained`, where they are worth more.",
            )
        })
    }

    /// The part that passes each sieve of `scheme`, from the coarsest to the finest.
    ///
    /// # Errors
    /// Returns every [`Problem`] at `place` for which it cannot be told.
    pub fn passing(
        &self,
        scheme: &FinenessScheme,
        place: &Place,
    ) -> Result<Vec<Share>, Vec<Problem>> {
        let says = Says { scheme, place };
        match self {
            Self::Passing(parts) => says.passing(parts),
            Self::Between(parts) => says.classes(parts, &|text| says.class_of(text)),
            Self::Retained(parts) => says.classes(parts, &|text| says.class_held_by(text)),
            Self::None if scheme.sieve_list().is_empty() => Ok(Vec::new()),
            Self::None => Err(vec![says.problem(
                "the sieve analysis is missing".to_owned(),
                says.allowed_passing(),
                "ask the supplier for the whole sieve analysis",
            )]),
        }
    }

    /// The place among the classes of `scheme` of each class that it writes, from the coarsest.
    ///
    /// # Errors
    /// Returns a [`Problem`] at `place` for a class that the scheme does not have, and for an
    /// analysis that is not written in classes.
    pub fn class_index(
        scheme: &FinenessScheme,
        class: &str,
        place: &Place,
    ) -> Result<usize, Problem> {
        Says { scheme, place }.class_of(class)
    }
}

/// A part in percent without the rounding error of having been divided by 100.
fn percent(part: f64) -> String {
    format!("{} %", plain(part * 100.0, 0, 6))
}

/// What is said of one analysis.
struct Says<'a> {
    scheme: &'a FinenessScheme,
    place: &'a Place,
}

impl Says<'_> {
    fn problem(&self, what: String, allowed: String, hint: &str) -> Problem {
        Problem::at(self.place.clone(), what).allowed(allowed).hint(hint)
    }

    fn allowed_passing(&self) -> String {
        let sieves: Vec<&str> = self.scheme.sieves().collect();
        if sieves.is_empty() {
            return format!("no sieve: the scheme `{}` does not count fineness", self.scheme.id());
        }
        format!(
            "the part passing each of the sieves {} of the scheme `{}`, as cumulative passing",
            sieves.join(", "),
            self.scheme.id()
        )
    }

    fn allowed_classes(&self) -> String {
        format!(
            "parts of the classes {} of the scheme `{}`, which add up to 100 %",
            self.scheme.classes().join(", "),
            self.scheme.id()
        )
    }

    fn passing(&self, parts: &BTreeMap<String, Share>) -> Result<Vec<Share>, Vec<Problem>> {
        let mut problems = Vec::new();
        let mut of_sieve: Vec<Option<Share>> = vec![None; self.scheme.sieve_list().len()];
        for (name, &share) in parts {
            match self.index_of(name) {
                Err(problem) => problems.push(problem),
                Ok(at) if of_sieve[at].is_some() => problems.push(self.problem(
                    format!("the sieve `{name}` stands there twice"),
                    self.allowed_passing(),
                    "leave one of the two out",
                )),
                Ok(at) => of_sieve[at] = Some(share),
            }
        }
        let mut found: Vec<Share> = Vec::new();
        for (sieve, share) in self.scheme.sieve_list().iter().zip(of_sieve) {
            let Some(share) = share else {
                problems.push(self.problem(
                    format!("the part passing the sieve `{}` is missing", sieve.name()),
                    self.allowed_passing(),
                    "ask the supplier for the whole sieve analysis",
                ));
                continue;
            };
            if found.last().is_some_and(|coarser| share > *coarser) {
                let what = format!(
                    "more passes the sieve `{}` than a coarser one: {}",
                    sieve.name(),
                    percent(share.to_number())
                );
                problems.push(self.problem(what, self.allowed_passing(), hint_for_rising(parts)));
            }
            found.push(share);
        }
        if problems.is_empty() { Ok(found) } else { Err(problems) }
    }

    /// The place of the sieve `name` in the scheme.
    fn index_of(&self, name: &str) -> Result<usize, Problem> {
        let Some(sieve) = Sieve::from_words(name) else {
            return Err(self.no_sieve(name, "write a mesh, such as `8`, or an opening, `0.25 mm`"));
        };
        self.scheme.sieve_list().iter().position(|own| own.is(&sieve)).ok_or_else(|| {
            self.no_sieve(name, "leave it out, or take the scheme that the analysis was made for")
        })
    }

    fn no_sieve(&self, name: &str, hint: &str) -> Problem {
        let what = format!("the scheme `{}` has no sieve `{name}`", self.scheme.id());
        let known = format!("{}; meshes known: {}", self.allowed_passing(), known_meshes());
        self.problem(what, known, hint)
    }

    /// The place of the class `text` among those of the scheme, from the coarsest.
    fn class_of(&self, text: &str) -> Result<usize, Problem> {
        let unknown = |what: String| {
            self.problem(
                what,
                self.allowed_classes(),
                "write `over 8`, `8-20` or `through 60`; in millimetres with the unit",
            )
        };
        let Some((coarse, fine)) = class_from_words(text) else {
            return Err(unknown(format!("`{text}` names no class between two sieves")));
        };
        let index = |sieve: &Sieve| self.scheme.sieve_list().iter().position(|own| own.is(sieve));
        let last = self.scheme.sieve_list().len();
        let at = match (&coarse, &fine) {
            (None, Some(fine)) => index(fine).filter(|&at| at == 0),
            (Some(coarse), None) => index(coarse).map(|at| at + 1).filter(|&at| at == last),
            (Some(coarse), Some(fine)) => {
                let next = index(coarse).map(|at| at + 1);
                next.filter(|&at| index(fine) == Some(at))
            }
            (None, None) => None,
        };
        at.ok_or_else(|| {
            let name = class_name(coarse.as_ref(), fine.as_ref());
            unknown(format!("the scheme `{}` has no class `{name}`", self.scheme.id()))
        })
    }

    /// The place of the class that a sieve of the stack holds back.
    fn class_held_by(&self, text: &str) -> Result<usize, Problem> {
        if text.trim().eq_ignore_ascii_case(PAN) {
            return Ok(self.scheme.sieve_list().len());
        }
        self.index_of(text)
    }

    fn classes(
        &self,
        parts: &BTreeMap<String, Share>,
        class_of: &dyn Fn(&str) -> Result<usize, Problem>,
    ) -> Result<Vec<Share>, Vec<Problem>> {
        let mut problems = Vec::new();
        let mut of_class: Vec<Option<f64>> = vec![None; self.scheme.classes().len()];
        for (text, share) in parts {
            match class_of(text) {
                Err(problem) => problems.push(problem),
                Ok(at) if of_class[at].is_some() => problems.push(self.problem(
                    format!("the class `{text}` stands there twice"),
                    self.allowed_classes(),
                    "leave one of the two out",
                )),
                Ok(at) => of_class[at] = Some(share.to_number()),
            }
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        let written: Vec<f64> = of_class.iter().flatten().copied().collect();
        let whole: f64 = written.iter().sum();
        if (whole - 1.0).abs() > ROUNDING {
            let what = format!("the parts add up to {}, not to 100 %", percent(whole));
            return Err(vec![self.problem(what, self.allowed_classes(), hint_for_sum(&written))]);
        }
        // A class that is not written holds nothing, since the others make up the whole. What
        // rounding leaves over counts as coarse: nothing is made of what is not there.
        let classes: Vec<f64> = of_class.into_iter().map(Option::unwrap_or_default).collect();
        let sieves = classes.len() - 1;
        Ok((0..sieves)
            .map(|at| {
                let finer: f64 = classes[at + 1..].iter().sum();
                let coarser: f64 = classes[..=at].iter().sum();
                Share::from_number(finer.min(1.0 - coarser).clamp(0.0, 1.0)).unwrap_or(Share::NONE)
            })
            .collect())
    }
}

/// What parts look like that pass a fine sieve and not the coarse ones.
fn hint_for_rising(parts: &BTreeMap<String, Share>) -> &'static str {
    let sum: f64 = parts.values().map(|share| share.to_number()).sum();
    if (sum - 1.0).abs() <= ROUNDING {
        "these add up to 100 % and look like parts between two sieves: write them under `between` \
         or `retained`"
    } else {
        "a part that passes a fine sieve has passed the coarse ones: these may be parts between \
         two sieves (write them under `between` or `retained`), or what the sieves hold back"
    }
}

/// What parts look like that do not add up to the whole.
fn hint_for_sum(written: &[f64]) -> &'static str {
    let is_whole = |part: Option<&f64>| part.is_some_and(|part| (part - 1.0).abs() <= ROUNDING);
    let sum: f64 = written.iter().sum();
    if sum > 1.0 && written.windows(2).all(|pair| pair[0] >= pair[1]) {
        "they fall from the coarse sieves to the fine ones and look like cumulative passing: write \
         them under `passing`"
    } else if is_whole(written.last()) && written.windows(2).all(|pair| pair[0] <= pair[1]) {
        "they rise to 100 % and look like what all sieves down to each have held back: take each \
         from the next, or write what passes under `passing`"
    } else {
        "check the figures; the part below the finest sieve counts, too"
    }
}
