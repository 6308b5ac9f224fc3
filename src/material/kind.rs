//! Kinds of material: those that lime, and those that people take for lime and that do not.

use super::byproduct;
use super::compound::{ALUMINIUM, CHLORIDE, NITRATE, SULFATE, SULFUR};
use crate::findings::{Place, Problem};
use crate::units::EffectiveFraction;

/// One kind of material, as a job file names it.
#[derive(Debug)]
pub struct Kind {
    /// Its name in job files and reports.
    pub name: &'static str,
    /// Other names that it goes by.
    pub also: &'static [&'static str],
    /// What in it neutralises acid, or why nothing does.
    pub chemistry: Chemistry,
    /// Whether it burns skin and eyes: oxides and hydroxides do.
    pub caustic: bool,
    /// What to mind with it beyond the usual, each a sentence; for by-products.
    pub by_product: &'static [&'static str],
}

/// What a material does to acid.
#[derive(Debug)]
pub enum Chemistry {
    /// It neutralises; the text names the base.
    Limes(&'static str),
    /// It does not; the text says why in one clause.
    DoesNotLime(&'static str),
}

/// The kinds that the program knows. That carbonates, oxides, hydroxides and silicates neutralise
/// acid while sulfates, chlorides, nitrates and sulfur do not is general chemistry (common
/// practice, no single source).
static KINDS: &[Kind] = &[
    limes(
        "calcitic limestone",
        &["aglime", "ag lime", "limestone", "calcite", "chalk"],
        "calcium carbonate",
    ),
    limes(
        "dolomitic limestone",
        &["dolomite", "dolomitic lime"],
        "calcium and magnesium carbonate",
    ),
    limes(
        "pelletised lime",
        &["pelletized lime", "pelletized limestone", "prilled lime"],
        "calcium carbonate",
    ),
    caustic("hydrated lime", &["slaked lime", "calcium hydroxide"], "calcium hydroxide"),
    caustic("burnt lime", &["quicklime", "burned lime", "calcium oxide"], "calcium oxide"),
    limes("marl", &[], "calcium carbonate"),
    caustic("wood ash", &["ash"], "oxides, hydroxides and carbonates of calcium and potassium")
        .by_product(&[byproduct::METALS, byproduct::ASH]),
    limes(
        "sugar-beet factory lime",
        &["beet lime", "sugar beet lime", "spent lime"],
        "calcium carbonate",
    )
    .by_product(&[byproduct::METALS, byproduct::BANDS, byproduct::PHOSPHORUS]),
    caustic("water-treatment lime", &["water treatment lime"], "calcium carbonate and hydroxide")
        .by_product(&[byproduct::METALS, byproduct::BANDS]),
    caustic("cement kiln dust", &["kiln dust"], "calcium oxide and carbonate")
        .by_product(&[byproduct::METALS]),
    limes("slag", &["basic slag", "steel slag"], "calcium silicate")
        .by_product(&[byproduct::METALS]),
    does_not("gypsum", &["calcium sulfate", "calcium sulphate", "land plaster"], SULFATE),
    does_not("calcium chloride", &["liquid calcium"], CHLORIDE),
    does_not("calcium nitrate", &[], NITRATE),
    does_not("elemental sulfur", &["sulfur", "sulphur", "elemental sulphur"], SULFUR),
    does_not("aluminium sulfate", &["aluminum sulfate", "aluminium sulphate", "alum"], ALUMINIUM),
];

const fn limes(name: &'static str, also: &'static [&'static str], base: &'static str) -> Kind {
    Kind { name, also, chemistry: Chemistry::Limes(base), caustic: false, by_product: &[] }
}

const fn caustic(name: &'static str, also: &'static [&'static str], base: &'static str) -> Kind {
    Kind { name, also, chemistry: Chemistry::Limes(base), caustic: true, by_product: &[] }
}

const fn does_not(name: &'static str, also: &'static [&'static str], why: &'static str) -> Kind {
    Kind { name, also, chemistry: Chemistry::DoesNotLime(why), caustic: false, by_product: &[] }
}

/// The most that a carbonate neutralises, of pure CaCO3: dolomite, CaMg(CO3)2, from molar masses
/// (2 x 100.09 / 184.40 = 1.0855), rounded up for the error of an analysis. Oxides and hydroxides
/// reach more.
const MOST_OF_A_CARBONATE: f64 = 1.09;

impl Kind {
    const fn by_product(mut self, notes: &'static [&'static str]) -> Self {
        self.by_product = notes;
        self
    }

    /// The most of pure CaCO3 that one part of it can be worth.
    pub fn ceiling(&self) -> f64 {
        if self.is_carbonate() { MOST_OF_A_CARBONATE } else { EffectiveFraction::MOST }
    }

    /// Whether nothing but carbonate neutralises in it.
    pub fn is_carbonate(&self) -> bool {
        let base = self.base().unwrap_or_default();
        base.contains("carbonate") && !base.contains("oxide") && !base.contains("silicate")
    }

    /// Whether all its calcium and magnesium is bound to one base: carbonate, oxide or hydroxide.
    pub fn is_one_base(&self) -> bool {
        self.is_carbonate() || matches!(self.base(), Some("calcium oxide" | "calcium hydroxide"))
    }

    /// The base in it that neutralises; `None` for a kind that does not lime.
    pub fn base(&self) -> Option<&'static str> {
        match self.chemistry {
            Chemistry::Limes(base) => Some(base),
            Chemistry::DoesNotLime(_) => None,
        }
    }
}

/// All kinds, those that lime first.
pub fn all_kinds() -> &'static [Kind] {
    KINDS
}

/// The kind that goes by `name`, whether it limes or not.
pub fn find_kind(name: &str) -> Option<&'static Kind> {
    let fold = |text: &str| text.trim().to_lowercase().replace(['-', '_'], " ");
    let wanted = fold(name);
    KINDS.iter().find(|kind| {
        fold(kind.name) == wanted || kind.also.iter().any(|other| fold(other) == wanted)
    })
}

/// The liming kind that goes by `name`.
///
/// # Errors
/// Returns a [`Problem`] where no kind goes by that name, and where the kind is one that does not
/// lime: then the problem gives the chemistry in one sentence.
pub fn kind_named(name: &str, place: Place) -> Result<&'static Kind, Problem> {
    let liming = || {
        let names: Vec<String> = KINDS
            .iter()
            .filter(|kind| kind.base().is_some())
            .map(|kind| format!("`{}`", kind.name))
            .collect();
        names.join(", ")
    };
    match find_kind(name) {
        None => {
            Err(Problem::at(place, format!("`{name}` is not a kind of liming material known here"))
                .allowed(liming())
                .hint("name the kind that the supplier's analysis states"))
        }
        Some(Kind { name, chemistry: Chemistry::DoesNotLime(why), .. }) => {
            Err(Problem::at(place, format!("{name} is not a liming material: {why}"))
                .allowed(liming())
                .hint(
                    "choose a material whose carbonate, oxide, hydroxide or silicate neutralises \
                     the acid; calcium as such does not",
                ))
        }
        Some(kind) => Ok(kind),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::compound;

    #[test]
    fn what_does_not_lime_is_refused_with_its_chemistry() {
        for name in ["gypsum", "Gypsum ", "calcium chloride", "land plaster", "sulphur", "alum"] {
            let problem = kind_named(name, Place::default()).expect_err(name);
            assert!(problem.what.contains("is not a liming material"), "{problem}");
            assert!(problem.allowed.contains("calcitic limestone"), "{problem}");
        }
    }

    #[test]
    fn a_kind_is_found_by_any_of_its_names() {
        for (name, kind) in
            [("aglime", "calcitic limestone"), ("Beet-lime", "sugar-beet factory lime")]
        {
            assert_eq!(kind_named(name, Place::default()).expect(name).name, kind);
        }
        assert!(kind_named("chocolate", Place::default()).is_err());
    }

    #[test]
    fn no_carbonate_is_worth_more_than_dolomite() {
        let ceiling = |name| kind_named(name, Place::default()).expect("limes").ceiling();
        assert!(ceiling("calcitic limestone") < 1.1 && ceiling("marl") < 1.1);
        assert!(ceiling("hydrated lime") > 1.35 && ceiling("burnt lime") > 1.78);
        assert!(ceiling("water-treatment lime") > 1.1, "it holds hydroxide");
    }

    #[test]
    fn every_name_leads_to_one_kind_only() {
        let mut names: Vec<&str> = Vec::new();
        for kind in all_kinds() {
            names.push(kind.name);
            names.extend(kind.also);
        }
        let count = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), count);
    }

    #[test]
    fn the_most_of_a_carbonate_is_dolomite_to_the_next_percent() {
        let cce = |formula| compound(formula).expect("known").cce();
        let percent: f64 = 100.0 * cce("CaMg(CO3)2");
        let to_next_percent = percent.ceil() / 100.0;
        for kind in all_kinds() {
            let carbonate = [
                "calcitic limestone",
                "dolomitic limestone",
                "pelletised lime",
                "marl",
                "sugar-beet factory lime",
            ]
            .contains(&kind.name);
            let most = if carbonate { to_next_percent } else { EffectiveFraction::MOST };
            assert!((kind.ceiling() - most).abs() < 1e-12, "{}: {}", kind.name, kind.ceiling());
        }
        // Magnesium oxide neutralises more than any other base here.
        assert!(EffectiveFraction::MOST >= cce("MgO"));
    }

    #[test]
    fn what_holds_oxide_or_hydroxide_is_caustic() {
        let of = |caustic: bool| -> Vec<&str> {
            all_kinds()
                .iter()
                .filter(|kind| kind.caustic == caustic)
                .map(|kind| kind.name)
                .collect()
        };
        assert_eq!(
            of(true),
            ["hydrated lime", "burnt lime", "wood ash", "water-treatment lime", "cement kiln dust"]
        );
        assert_eq!(of(false).len() + of(true).len(), all_kinds().len());
    }
}
