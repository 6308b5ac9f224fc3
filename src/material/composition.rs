//! The calcium carbonate equivalent of a material from what it is made of.

use super::compound::{Acts, Base, Compound, all_compounds, compound};
use super::{Basis, Kind};
use crate::agronomy::Step;
use crate::findings::{Finding, Place, Problem};
use crate::sources::source;
use crate::units::{EffectiveFraction, Share, bound, plain};

/// What a `CaO` or `MgO` of an analysis means. Laboratories report all calcium of a rock as `CaO`,
/// whatever it is bound to, and burnt lime holds `CaO` as such.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Oxides {
    /// The oxide is there as such.
    Free,
    /// Calcium and magnesium are counted as oxides, whatever they are bound to.
    Expressed,
}

impl Oxides {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Free, Self::Expressed];

    /// As job files write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Free => "free",
            Self::Expressed => "expressed",
        }
    }
}

/// What a material is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Composition {
    /// Its compounds, each with its part.
    pub parts: Vec<CompoundPart>,
    /// Of what they are parts.
    pub basis: Basis,
    /// What it neutralises, of what pure calcium carbonate does, on that basis.
    pub cce: EffectiveFraction,
    /// How that was found.
    pub step: Step,
    /// What it tells beyond the number.
    pub findings: Vec<Finding>,
}

/// A compound in a material.
#[derive(Clone, Debug, PartialEq)]
pub struct CompoundPart {
    /// Its formula.
    pub formula: &'static str,
    /// Its part of the material.
    pub part: Share,
    /// What that part neutralises, of what the whole mass as pure calcium carbonate would; below 0
    /// for sulfur that binds calcium.
    pub cce: f64,
}

/// How far the sum of parts may pass the whole: laboratories round each part.
const ROUNDING: f64 = 0.005;

/// The most of a liming material that may be salts which neutralise nothing (ours: a material that
/// is mostly gypsum is sold as gypsum).
const MOST_SALT: f64 = 0.5;

/// The calcium carbonate equivalent of what is made of `parts`, each a name and its part.
///
/// # Errors
/// Returns every [`Problem`] at `place`: unknown compounds, parts that add up to more than the
/// whole, oxides that may mean two things, what makes acid, and a material of which nothing
/// neutralises, with its chemistry.
pub fn composition_of(
    parts: &[(String, Share)],
    oxides: Option<Oxides>,
    kind: &Kind,
    basis: Basis,
    place: &Place,
) -> Result<Composition, Vec<Problem>> {
    let asked = Asked { oxides, kind, basis, place };
    let found = asked.found(parts)?;
    asked.sound(&found)?;
    asked.composition(&found)
}

type Found = Vec<(&'static Compound, Share)>;

struct Asked<'a> {
    oxides: Option<Oxides>,
    kind: &'a Kind,
    basis: Basis,
    place: &'a Place,
}

impl Asked<'_> {
    fn problem(&self, what: impl Into<String>) -> Problem {
        Problem::at(self.place.clone(), what)
    }

    fn found(&self, parts: &[(String, Share)]) -> Result<Found, Vec<Problem>> {
        let mut found: Found = Vec::new();
        let mut problems = Vec::new();
        for (name, part) in parts {
            match compound(name) {
                None => {
                    let known: Vec<&str> = all_compounds().iter().map(|one| one.formula).collect();
                    problems.push(
                        self.problem(format!("`{name}` is not a compound known here"))
                            .allowed(known.join(", "))
                            .hint("leave out what neutralises nothing, or give the measured `cce`"),
                    );
                }
                Some(one) if found.iter().any(|(other, _)| other.formula == one.formula) => {
                    problems.push(
                        self.problem(format!("{} stands in the composition twice", one.formula))
                            .allowed("each compound once")
                            .hint("add the two up, or leave one out"),
                    );
                }
                Some(one) => found.push((one, *part)),
            }
        }
        if problems.is_empty() { Ok(found) } else { Err(problems) }
    }

    fn sound(&self, found: &Found) -> Result<(), Vec<Problem>> {
        let mut problems: Vec<Problem> = Vec::new();
        problems.extend(self.oxides_are_clear(found));
        problems.extend(self.adds_up(found));
        let there = found.iter().filter(|(_, part)| part.to_number() > 0.0);
        for (one, _) in there.clone() {
            if let Acts::Acidifies(how) = one.acts {
                problems.push(
                    self.problem(format!("{} in a liming material: {how}", one.formula))
                        .allowed("a material without it")
                        .hint("have the CCE measured and give it as `cce`, or leave the part out"),
                );
            }
        }
        let sum: f64 = there.clone().map(|(one, part)| one.cce() * part.to_number()).sum();
        let salts: f64 = there.clone().map(|(one, part)| one.as_salt() * part.to_number()).sum();
        let too_little = sum < bound::CCE.least / 100.0;
        if (too_little || salts > MOST_SALT) && problems.is_empty() {
            problems.push(self.is_no_lime(found, sum));
        }
        if problems.is_empty() { Ok(()) } else { Err(problems) }
    }

    /// A composition of which nothing neutralises, or too little, with its chemistry.
    fn is_no_lime(&self, found: &Found, sum: f64) -> Problem {
        let mut named: Vec<&str> = Vec::new();
        let mut why: Vec<&str> = Vec::new();
        for (one, part) in found {
            if part.to_number() <= 0.0 {
                continue;
            }
            named.push(one.formula);
            match one.acts {
                Acts::Nothing(clause) if !why.contains(&clause) => why.push(clause),
                Acts::BindsCalcium if sum > 0.0 => {
                    why.push("the sulfur binds most of the calcium as sulfate, which is no base");
                }
                Acts::BindsCalcium => why.push("the sulfur binds all the calcium as sulfate"),
                _ => {}
            }
        }
        let least = bound::CCE.allowed();
        let little = format!("its CCE is {} (allowed: {least})", percent(sum.max(0.0)));
        match why.as_slice() {
            [] if named.is_empty() => why.push("no compound has a part above 0"),
            [] => why.push(&little),
            _ => {}
        }
        let of = if named.is_empty() { "nothing".to_owned() } else { named.join(", ") };
        self.problem(format!("a material of {of} is not a liming material: {}", why.join("; ")))
            .allowed(format!(
                "a composition with a carbonate, an oxide, a hydroxide or a silicate, and not more \
                 than {} of salts that neutralise nothing",
                percent(MOST_SALT)
            ))
            .hint(
                "choose a material whose carbonate, oxide, hydroxide or silicate neutralises the \
                 acid; calcium as such does not",
            )
    }

    /// That the `CaO` and `MgO` of an analysis are not taken for what they may not be.
    fn oxides_are_clear(&self, found: &Found) -> Option<Problem> {
        let oxide = found.iter().find(|(one, _)| one.is_oxide());
        let sulfur = found.iter().any(|(one, _)| one.acts == Acts::BindsCalcium);
        if sulfur && (self.oxides != Some(Oxides::Expressed) || oxide.is_none()) {
            return Some(
                self.problem("SO3 is a way of counting sulfur in an analysis by oxides")
                    .allowed("SO3 beside CaO or MgO, together with oxides = \"expressed\"")
                    .hint(
                        "give the sulfate itself, such as CaSO4·2H2O, or say how oxides are meant",
                    ),
            );
        }
        let Some((oxide, _)) = oxide else {
            return self.oxides.map(|oxides| {
                self.problem(format!(
                    "`oxides` is `{}`, and the composition has neither CaO nor MgO",
                    oxides.words()
                ))
                .allowed("`oxides` beside CaO or MgO")
                .hint("leave `oxides` out")
            });
        };
        let is_counted =
            |one: &Compound| (one.base().is_some() && !one.is_oxide()) || one.is_taken_for_lime();
        let counted_twice =
            found.iter().find(|(one, part)| is_counted(one) && part.to_number() > 0.0);
        if let (Some(Oxides::Expressed), Some((other, _))) = (self.oxides, counted_twice) {
            return Some(
                self.problem(format!(
                    "an analysis by oxides counts all calcium and magnesium as oxides, so {} \
                     beside {} would count twice",
                    other.formula, oxide.formula
                ))
                .allowed("CaO, MgO, SO3 and sand alone, where oxides are `expressed`")
                .hint("give either the oxides, sulfate as SO3, or the compounds as they are"),
            );
        }
        match self.oxides {
            None => Some(
                self.problem(format!(
                    "{} in the composition may be the oxide itself, or all calcium and magnesium \
                     counted as oxides whatever they are bound to",
                    oxide.formula
                ))
                .allowed("`oxides` as `free` or `expressed` beside the composition")
                .hint(
                    "an analysis of a limestone by oxides is `expressed`; burnt lime holds `free` \
                     oxide; an analysis by oxides does not see whether the calcium is gypsum",
                ),
            ),
            Some(Oxides::Expressed) if !self.kind.is_one_base() => Some(
                self.problem(format!(
                    "an analysis by oxides does not tell what the calcium of {} is bound to",
                    self.kind.name
                ))
                .allowed("`oxides` as `expressed` for limestones, marl, beet lime, hydrated and burnt lime")
                .hint("have the CCE measured and give it as `cce`"),
            ),
            Some(Oxides::Free) if self.kind.is_carbonate() => Some(
                self.problem(format!("{} holds no free {}", self.kind.name, oxide.formula))
                    .allowed("carbonates, or oxides that are `expressed`")
                    .hint("write oxides = \"expressed\" for an analysis by oxides"),
            ),
            Some(_) => None,
        }
    }

    fn adds_up(&self, found: &Found) -> Option<Problem> {
        let written: f64 = found.iter().map(|(_, part)| part.to_number()).sum();
        if written > 1.0 + 1e-9 {
            return Some(
                self.problem(format!("the composition adds up to {}", percent(written)))
                    .allowed("at most 100 %")
                    .hint("check the figures and that all are on one basis"),
            );
        }
        if self.oxides != Some(Oxides::Expressed) || !self.kind.is_carbonate() {
            return None;
        }
        let as_rock: f64 =
            found.iter().map(|(one, part)| one.of_carbonate_rock() * part.to_number()).sum();
        (as_rock > 1.0 + ROUNDING).then(|| {
            self.problem(format!(
                "with its oxides taken as carbonates the composition adds up to {}",
                percent(as_rock)
            ))
            .allowed("at most 100 %, and half a percent for rounding")
            .hint("check the figures, and whether the material is a carbonate at all")
        })
    }

    fn composition(&self, found: &Found) -> Result<Composition, Vec<Problem>> {
        let parts: Vec<CompoundPart> = found
            .iter()
            .map(|(one, part)| CompoundPart {
                formula: one.formula,
                part: *part,
                cce: one.cce() * part.to_number(),
            })
            .collect();
        let sum: f64 = parts.iter().map(|part| part.cce).sum();
        let cce =
            EffectiveFraction::from_number(sum).ok_or_else(|| vec![self.is_no_lime(found, sum)])?;
        Ok(Composition {
            step: self.step(found, &parts, sum),
            parts,
            basis: self.basis,
            cce,
            findings: self.findings(found, sum),
        })
    }

    fn step(&self, found: &Found, parts: &[CompoundPart], sum: f64) -> Step {
        let counted: Vec<String> = found
            .iter()
            .filter(|(one, part)| part.to_number() > 0.0 && one.cce() != 0.0)
            .map(|(one, part)| {
                let (part, factor) = (percent(part.to_number()), plain(one.cce().abs(), 0, 4));
                let sign = if one.cce() < 0.0 { "less " } else { "" };
                format!("{sign}{part} {} x {factor}", one.formula)
            })
            .collect();
        let expressed = if self.oxides == Some(Oxides::Expressed) {
            ", calcium and magnesium counted as oxides"
        } else {
            ""
        };
        let words = format!(
            "CCE from the composition ({}{expressed}), molar masses: {} = {}",
            self.basis.words(),
            counted.join(" + ").replace("+ less", "less"),
            percent(sum)
        );
        let mut step = Step::new("composition", words);
        for part in parts {
            step = step.with("part", part.part.to_number(), "").with("neutralises", part.cce, "");
        }
        let step = step.with("cce", sum, "");
        match source(WEIGHTS) {
            Some(publication) => step.resting_on(publication.to_string()),
            None => step,
        }
    }

    fn findings(&self, found: &Found, sum: f64) -> Vec<Finding> {
        let mut findings = Vec::new();
        let idle = found.iter().filter_map(|(one, part)| match one.acts {
            Acts::Nothing(why) if part.to_number() > 0.0 && one.is_taken_for_lime() => {
                Some((one.formula, part.to_number(), why))
            }
            _ => None,
        });
        for (formula, part, why) in idle {
            findings.push(Finding::new(
                "part_of_material_does_not_lime",
                format!(
                    "{} of the material is {formula}, which neutralises nothing: {why}. The CCE \
                     of {} is that of the rest alone.",
                    percent(part),
                    percent(sum)
                ),
            ));
        }
        let tells_sulfur = found.iter().any(|(one, _)| one.acts == Acts::BindsCalcium);
        if self.oxides == Some(Oxides::Expressed) && !tells_sulfur {
            findings.push(Finding::new(
                "oxides_may_hide_gypsum",
                "An analysis by oxides does not tell the calcium of carbonate from that of gypsum, \
                 and no SO3 is listed: all of it was counted as lime. Have the CCE measured, or \
                 add SO3.",
            ));
        }
        let burns = |one: &Compound| match one.base() {
            Some(Base::Oxide) => self.oxides == Some(Oxides::Free),
            Some(Base::Hydroxide) => true,
            _ => false,
        };
        let caustic: Vec<&str> = found
            .iter()
            .filter(|(one, part)| part.to_number() > 0.0 && burns(one))
            .map(|(one, _)| one.formula)
            .collect();
        if !caustic.is_empty() && !self.kind.caustic {
            findings.push(Finding::new(
                "material_holds_caustic_parts",
                format!(
                    "The material holds {}, which burns moist skin and eyes: wear gloves and \
                     goggles, brush off dry dust before rinsing.",
                    caustic.join(" and ")
                ),
            ));
        }
        findings
    }
}

/// The key of the atomic weights.
const WEIGHTS: &str = "ciaaw_2021_atomic_weights";

fn percent(share: f64) -> String {
    format!("{} %", plain(share * 100.0, 0, 2))
}

#[cfg(test)]
#[path = "composition_tests.rs"]
mod tests;
