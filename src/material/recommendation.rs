//! The basis of a recommendation: of which material it speaks, and how much pure calcium carbonate
//! that is.

use super::compound::calcite_as_oxide;
use super::rating::{POUNDS_PER_TON, Rating, all_ratings};
use crate::findings::{Place, Problem};
use crate::units::{EffectiveFraction, LimeNeed, ProductRate, bound, plain};

/// What a recommended amount is an amount of.
#[derive(Clone, Debug, PartialEq)]
pub struct RecommendationBasis {
    words: String,
    part: EffectiveFraction,
    how: Option<String>,
    /// The unit of mass that it names, where pounds or kilograms of a figure are recommended.
    mass: Option<&'static str>,
}

/// What is allowed for a basis.
const FORMS: &str = "`100 % CCE`, `ECCE 80 %` (or ENV, RNV, ECC, PRNT), `NV 90 % CaCO3`, \
                     `NV 54 % CaO`, `index 75`, `lb CaCO3`, `lb ECCE`, `lb ENP`, `lb ENM`, or \
                     material of `ENP 1600 lb/ton`, `ENM 400 lb/ton`";

/// The most that a described material neutralises of what pure calcium carbonate does: pure calcium
/// oxide, which [`calcite_as_oxide`] makes 1.785.
const MOST_OF_MATERIAL: f64 = 1.79;

/// Reads the basis of a recommendation.
///
/// A figure with a number speaks of tons of a material that has it: `ECCE 80 %`, `100 % CCE`,
/// `NV 54 % CaO`, `index 75` (the agricultural index of Ontario, in percent of pure, fine calcium
/// carbonate), `ENP 1600 lb/ton`. A figure behind `lb` or `kg`, or ENP and ENM alone, speaks of
/// that figure itself: `lb ENP`, `lb CaCO3`.
///
/// # Errors
/// Returns a [`Problem`] at `place` with the forms that are known.
pub fn recommendation_basis(words: &str, place: Place) -> Result<RecommendationBasis, Problem> {
    let read = Read::from_words(words);
    if read.as_ref().is_some_and(Read::is_bare_value) {
        return Err(Problem::at(
            place,
            format!("`{words}` does not say what the NV is counted as"),
        )
        .allowed(FORMS)
        .hint(
            "write `CaCO3` or `CaO` behind the number, as the laboratory's report counts it: \
                 the one is 1.78 times the other",
        ));
    }
    read.and_then(|read| read.basis(words)).ok_or_else(|| {
        Problem::at(place, format!("`{words}` is not a basis of a recommendation known here"))
            .allowed(FORMS)
            .hint("write what the laboratory's report says that its rate is for")
    })
}

/// The words of a basis, sorted.
#[derive(Default)]
struct Read {
    /// The figure's letters, small.
    figure: String,
    number: Option<f64>,
    unit: Option<Unit>,
    /// What a neutralising value is counted as.
    counted: Option<Counted>,
    /// The unit of mass, where that is all that is said of the unit.
    mass: Option<&'static str>,
}

/// What a neutralising value is counted as.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Counted {
    Carbonate,
    Oxide,
}

/// What the number of a basis is in, or that there is none.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Unit {
    Percent,
    /// Pounds to the short ton.
    PoundsPerTon,
    /// No number: pounds or kilograms of the figure itself are recommended.
    OfItself,
}

impl Read {
    fn from_words(words: &str) -> Option<Self> {
        let spaced = words.to_lowercase().replace('%', " % ");
        let mut read = Self::default();
        for word in spaced.split_whitespace() {
            let unit = match word {
                "%" => Unit::Percent,
                "lb" | "kg" => {
                    read.mass = Some(if word == "lb" { "lb" } else { "kg" });
                    Unit::OfItself
                }
                "lb/ton" => Unit::PoundsPerTon,
                _ => {
                    read.take(word)?;
                    continue;
                }
            };
            if read.unit.replace(unit).is_some() {
                return None;
            }
        }
        Some(read)
    }

    /// Takes a word that is no unit; `None` where it has no place.
    fn take(&mut self, word: &str) -> Option<()> {
        match word {
            "of" | "effective" | "basis" => {}
            "cao" if self.figure == "nv" => self.counted = Some(Counted::Oxide),
            "caco3" if self.figure == "nv" => self.counted = Some(Counted::Carbonate),
            _ => match word.replace(',', "").parse::<f64>() {
                Ok(number) if self.number.is_none() => self.number = Some(number),
                Err(_) if self.figure.is_empty() => word.clone_into(&mut self.figure),
                _ => return None,
            },
        }
        Some(())
    }

    /// Whether it is a neutralising value that may be counted in two ways.
    fn is_bare_value(&self) -> bool {
        self.figure == "nv" && self.number.is_some() && self.counted.is_none()
    }

    fn basis(&self, words: &str) -> Option<RecommendationBasis> {
        let (part, how) = self.part()?;
        // The floor is that of any effective part that is stated.
        let of_material = bound::EFFECTIVE.least / 100.0..=MOST_OF_MATERIAL;
        if self.number.is_some() && !of_material.contains(&part) {
            return None;
        }
        let part = EffectiveFraction::from_number(part)?;
        let mass = self.mass;
        Some(RecommendationBasis { words: words.trim().to_owned(), part, how, mass })
    }

    /// The calcium carbonate in one part of what is recommended, and how it comes about.
    fn part(&self) -> Option<(f64, Option<String>)> {
        let figure = self.figure.as_str();
        let rating = all_ratings().iter().find(|rating| rating.key == figure);
        match (self.number, self.unit, rating) {
            // Pounds of the figure itself; for a figure by mass nothing else has sense.
            (None, Some(Unit::OfItself), None) if ["cce", "caco3"].contains(&figure) => {
                Some((1.0, None))
            }
            (None, Some(Unit::OfItself), Some(rating)) => {
                Some((1.0 / rating.pure(), pure_of(rating)))
            }
            (None, None, Some(rating)) if rating.is_by_mass() => {
                Some((1.0 / rating.pure(), pure_of(rating)))
            }
            (Some(number), Some(Unit::PoundsPerTon), Some(rating)) if rating.is_by_mass() => {
                Some((number / POUNDS_PER_TON / rating.pure(), pure_of(rating)))
            }
            (Some(number), None | Some(Unit::Percent), Some(rating)) if !rating.is_by_mass() => {
                Some((number / 100.0, None))
            }
            (Some(number), None | Some(Unit::Percent), None) => {
                self.part_of_material(number / 100.0)
            }
            _ => None,
        }
    }

    /// The same for a figure that is no rating: a material's equivalent, value or index.
    fn part_of_material(&self, share: f64) -> Option<(f64, Option<String>)> {
        match self.figure.as_str() {
            "nv" if self.counted == Some(Counted::Oxide) => Some((
                share / calcite_as_oxide(),
                Some(format!(
                    "pure CaCO3 has a neutralising value of {} % as CaO",
                    plain(100.0 * calcite_as_oxide(), 0, 2)
                )),
            )),
            "cce" | "nv" | "index" => Some((share, None)),
            _ => None,
        }
    }
}

/// What pure calcium carbonate has of a figure by mass, where that is not its own mass.
fn pure_of(rating: &Rating) -> Option<String> {
    (rating.pure() < 1.0).then(|| {
        format!(
            "pure CaCO3 has {} lb {}/ton",
            plain(rating.pure() * POUNDS_PER_TON, 0, 1),
            rating.letters
        )
    })
}

impl RecommendationBasis {
    /// As it was written.
    pub fn words(&self) -> &str {
        &self.words
    }

    /// Why amounts in `unit`, such as `ton/ac`, cannot be of it: it names another unit of mass.
    pub fn contradicts(&self, unit: &str) -> Option<String> {
        let mass = self.mass?;
        let other = unit.split('/').next() != Some(mass);
        other.then(|| format!("need.lab.basis is `{}`, and the column is in {unit}", self.words))
    }

    /// How much pure, fine calcium carbonate one part of what is recommended is.
    pub fn part(&self) -> EffectiveFraction {
        self.part
    }

    /// The pure calcium carbonate that `recommended` is: a rate of the material that the basis
    /// describes, or pounds of the figure that it names, as mass on an area.
    pub fn need(&self, recommended: ProductRate) -> LimeNeed {
        recommended * self.part
    }

    /// The conversion as a sentence: `recommended` and `need` as they are shown, with their units.
    pub fn sentence(&self, recommended: &str, need: &str) -> String {
        let how = self.how.as_ref().map_or_else(String::new, |how| format!("; {how}"));
        format!(
            "The recommendation of {recommended} is stated on the basis \"{}\": x {} = {need} of \
             pure CaCO3{how}.",
            self.words,
            plain(self.part.to_number(), 0, 4)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(words: &str) -> f64 {
        recommendation_basis(words, Place::default()).expect(words).part().to_number()
    }

    #[test]
    fn every_form_says_how_much_calcium_carbonate_it_is() {
        for (words, expected) in [
            ("100 % CCE", 1.0),
            ("CCE 90%", 0.9),
            ("ECCE 80 %", 0.8),
            ("80% ECCE", 0.8),
            ("ENV 70 %", 0.7),
            ("PRNT 100 %", 1.0),
            ("NV 90 % CaCO3", 0.9),
            ("NV 54 % CaO", 0.963_78),
            ("index 75", 0.75),
            ("lb CaCO3", 1.0),
            ("lb CCE", 1.0),
            ("lb ECCE", 1.0),
            ("lb ENP", 1.0),
            ("ENP", 1.0),
            ("lb ENM", 2.5),
            ("ENM", 2.5),
            ("ENP 1,600 lb/ton", 0.8),
            ("ENM 400 lb/ton", 0.5),
        ] {
            assert!((part(words) - expected).abs() < 1e-5, "{words}: {}", part(words));
        }
    }

    #[test]
    fn what_is_no_basis_is_refused_with_the_forms() {
        for words in [
            "",
            "lime",
            "ECCE",
            "80",
            "80 %",
            "CCE 900",
            "lb ECCE 80 %",
            "ENP 80 %",
            "NV 0",
            "NV 54",
            "NV 54 %",
            "CCE 180 %",
            "ECCE 0.5 %",
            "NV 0.5 % CaO",
            "ECCE 80 90",
        ] {
            let problem = recommendation_basis(words, Place::default()).expect_err(words);
            assert!(problem.allowed.contains("`lb ENM`"), "{problem}");
        }
    }

    #[test]
    fn pounds_of_a_figure_are_no_tons_of_it() {
        let basis = |words| recommendation_basis(words, Place::default()).expect("known");
        assert_eq!(basis("lb CCE").contradicts("lb/ac"), None);
        let said = basis("lb CCE").contradicts("ton/ac").expect("another unit");
        assert!(said.contains("`lb CCE`") && said.contains("ton/ac"), "{said}");
        assert!(basis("kg CaCO3").contradicts("lb/ac").is_some());
        assert_eq!(basis("ECCE 80 %").contradicts("lb/ac"), None);
        let bare = recommendation_basis("NV 54", Place::default()).expect_err("bare");
        assert!(bare.what.contains("counted as"), "{bare}");
    }

    #[test]
    fn two_tons_at_eighty_are_two_and_a_half_of_sixty_five() {
        // A practice question for crop advisers prints the quotient 80/65 = 1.23.
        let basis = recommendation_basis("ECCE 80 %", Place::default()).expect("known");
        let need = basis.need(ProductRate::from_short_tons_per_acre(2.0));
        let material = EffectiveFraction::from_number(0.65).expect("in range");
        let rate = (need / material).to_short_tons_per_acre();
        assert!((rate - 2.461_5).abs() < 5e-5, "{rate}");
        let sentence = basis.sentence("2 ton/ac", "1.6 ton/ac");
        assert!(
            sentence.contains("\"ECCE 80 %\": x 0.8 = 1.6 ton/ac of pure CaCO3."),
            "{sentence}"
        );
    }

    #[test]
    fn four_thousand_pounds_of_cce_are_not_two_tons_of_lime() {
        // 4000 / 2000 / 0.65 = 3.0769 short ton/ac, and 121.66 short tons on 39.5403 ac.
        let basis = recommendation_basis("lb CCE", Place::default()).expect("known");
        let need = basis.need(ProductRate::from_pounds_per_acre(4_000.0));
        let rate = need / EffectiveFraction::from_number(0.65).expect("in range");
        assert!((rate.to_short_tons_per_acre() - 3.076_9).abs() < 5e-5);
        let tons = (rate * crate::units::Area::from_acres(39.540_3)).to_short_tons();
        assert!((tons - 121.66).abs() < 5e-3, "{tons}");
        let enm = recommendation_basis("lb ENM", Place::default()).expect("known");
        assert!(enm.sentence("1200 lb/ac", "3000 lb/ac").contains("800 lb ENM/ton"));
    }
}
