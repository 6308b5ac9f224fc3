//! The worth of a material as it lies in the pile: moisture is taken off once, and only once.

use super::{Composition, Fineness, FinenessScheme, Kind, Rating};
use crate::agronomy::Step;
use crate::findings::Finding;
use crate::units::{BulkDensity, Currency, EffectiveFraction, Money, ProductMass, Share};

/// Whether an analysis speaks of the dried material or of the material as it was received.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Of the oven-dry material: the water in the pile is still to be taken off.
    Dry,
    /// Of the material as received: the water is already taken off.
    AsReceived,
}

impl Basis {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Dry, Self::AsReceived];

    /// As job files and reports write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Dry => "dry",
            Self::AsReceived => "as received",
        }
    }
}

/// The effective part as the analysis states it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stated {
    /// The effective part, on its basis.
    pub fraction: EffectiveFraction,
    /// What it is a part of.
    pub basis: Basis,
}

/// The effective part of a material as spread, from what the analysis states.
///
/// On the dry basis it is the stated part times what is not water; as received, it is the stated
/// part itself, and a moisture given beside it changes nothing. `None` where a dry figure comes
/// without a moisture, or where nothing is left.
pub fn effective_as_spread(stated: Stated, moisture: Option<Share>) -> Option<EffectiveFraction> {
    match stated.basis {
        Basis::AsReceived => Some(stated.fraction),
        Basis::Dry => {
            let dry_matter = 1.0 - moisture?.to_number();
            EffectiveFraction::from_number(stated.fraction.to_number() * dry_matter)
        }
    }
}

/// The effective part of the dried material, from what the analysis states: the other way round.
///
/// `None` where a figure as received comes without a moisture, or with one that would make the
/// dry matter stronger than any liming material.
pub fn effective_dry(stated: Stated, moisture: Option<Share>) -> Option<EffectiveFraction> {
    match stated.basis {
        Basis::Dry => Some(stated.fraction),
        Basis::AsReceived => {
            let dry_matter = 1.0 - moisture?.to_number();
            EffectiveFraction::from_number(stated.fraction.to_number() / dry_matter)
        }
    }
}

/// What the laboratory found: how much a part of it neutralises, and how fine it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Analysis {
    /// The calcium carbonate equivalent on its basis, whatever the fineness.
    pub cce: Stated,
    /// How that was found, where it is not simply stated.
    pub cce_steps: Vec<Step>,
    /// What the material is made of, where the analysis says so.
    pub composition: Option<Composition>,
    /// The sieve analysis.
    pub fineness: Fineness,
    /// How each size class counts, where each has a calcium carbonate equivalent of its own; then
    /// the efficiency of `fineness` is that of the whole, weighted by these.
    pub by_class: Option<Step>,
}

impl Analysis {
    /// A calcium carbonate equivalent that is stated, and a sieve analysis.
    pub fn stated(cce: Stated, fineness: Fineness) -> Self {
        Self { cce, cce_steps: Vec::new(), composition: None, fineness, by_class: None }
    }

    /// The effective part: calcium carbonate equivalent times fineness, on the basis of the
    /// former. `None` where nothing is fine enough to count.
    pub fn effective(&self) -> Option<Stated> {
        let part = self.cce.fraction.to_number() * self.fineness.efficiency.to_number();
        let fraction = EffectiveFraction::from_number(part)?;
        Some(Stated { fraction, basis: self.cce.basis })
    }
}

/// Where a price holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PriceAt {
    /// Loaded at the plant: haul and spreading come on top.
    Plant,
    /// Delivered to the field: spreading comes on top.
    Delivered,
    /// Spread on the field.
    Spread,
}

impl PriceAt {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Plant, Self::Delivered, Self::Spread];

    /// As job files and reports write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Plant => "plant",
            Self::Delivered => "delivered",
            Self::Spread => "spread",
        }
    }
}

/// A price of material as spread.
#[derive(Clone, Debug, PartialEq)]
pub struct Price {
    /// Money for one kilogram as spread, held exactly as money for `per`.
    pub amount: Money,
    /// The mass that `amount` buys.
    pub per: ProductMass,
    /// The currency.
    pub currency: Currency,
    /// Where it holds.
    pub at: PriceAt,
}

impl Price {
    /// What `mass` costs.
    pub fn of(&self, mass: ProductMass) -> Money {
        self.amount * (mass / self.per)
    }
}

/// A liming material as it lies in the pile.
#[derive(Clone, Debug)]
pub struct Material {
    /// What the job calls it.
    pub name: String,
    /// Its kind; always one that limes.
    pub kind: &'static Kind,
    /// The effective part as the analysis states it, or as it follows from `analysis`.
    pub stated: Stated,
    /// The figure under which it is stated, where that is not a plain effective part.
    pub rating: Option<&'static Rating>,
    /// The analysis, where the job gives it in place of one figure.
    pub analysis: Option<Analysis>,
    /// Water in it, of the wet mass, where it is known.
    pub moisture: Option<Share>,
    /// The part of it, as spread, that counts as pure CaCO3.
    pub effective: EffectiveFraction,
    /// Its density in the pile, where it is known.
    pub bulk_density: Option<BulkDensity>,
    /// How that density was found, where it was weighed with a pail.
    pub density_rule: Option<String>,
    /// Its price, where it is known.
    pub price: Option<Price>,
    /// What its analysis tells beyond its numbers.
    pub findings: Vec<Finding>,
}

impl Material {
    /// The fineness scheme whose numbers were written from memory, where its worth rests on one.
    pub fn unverified_scheme(&self) -> Option<&'static FinenessScheme> {
        let scheme = self.analysis.as_ref()?.fineness.scheme;
        scheme.from_memory().then_some(scheme)
    }

    /// Its worth as spread under the figure that its scheme or its supplier states it in:
    /// `ENM 451.8 lb/ton`. `None` where there is no such figure.
    pub fn figure_as_spread(&self) -> Option<String> {
        let of_scheme = || self.analysis.as_ref()?.fineness.scheme.figure();
        self.rating.or_else(of_scheme).map(|rating| rating.shown(self.effective))
    }
}

#[cfg(test)]
impl Material {
    /// A material of a kind of which little more than its analysis, as received, is known.
    pub(super) fn analysed(kind: &str, analysis: Analysis) -> Self {
        let stated = analysis.effective().expect("worth something");
        Self {
            name: "Pit 4".to_owned(),
            kind: super::kind_named(kind, crate::findings::Place::default()).expect("limes"),
            stated,
            rating: None,
            analysis: Some(analysis),
            moisture: None,
            effective: effective_as_spread(stated, None).expect("as received"),
            bulk_density: None,
            density_rule: None,
            price: None,
            findings: Vec::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::findings::Place;
    use crate::material::{fineness_of, fineness_scheme};

    fn stated(number: f64, basis: Basis) -> Stated {
        Stated { fraction: EffectiveFraction::from_number(number).expect("in range"), basis }
    }

    #[test]
    fn moisture_counts_once_on_the_dry_basis_and_never_on_the_other() {
        let six = Share::from_number(0.06);
        let dry = effective_as_spread(stated(0.70, Basis::Dry), six).expect("has moisture");
        assert!((dry.to_number() - 0.658).abs() < 1e-12);
        let wet = effective_as_spread(stated(0.70, Basis::AsReceived), six).expect("needs none");
        assert!((wet.to_number() - 0.70).abs() < 1e-15);
    }

    #[test]
    fn a_dry_figure_without_a_moisture_is_worth_nothing_yet() {
        assert_eq!(effective_as_spread(stated(0.70, Basis::Dry), None), None);
    }

    fn iowa_example(basis: Basis) -> Analysis {
        let scheme = fineness_scheme("iowa", Place::default()).expect("known");
        let passing = [("4", 1.0), ("8", 0.9), ("60", 0.55)]
            .map(|(mesh, part)| (mesh.to_owned(), Share::from_number(part).expect("a share")));
        let passing = BTreeMap::from(passing);
        let fineness = fineness_of(scheme, &passing, &Place::default()).expect("sound");
        Analysis::stated(stated(0.92, basis), fineness)
    }

    #[test]
    fn the_analysis_of_iowas_example_is_worth_what_its_source_prints() {
        // University of Wisconsin, Liming terminology, Iowa's example: 100, 90 and 55 % through 4,
        // 8 and 60 mesh, CCE 92, moisture 2 %: fineness 70 %, 1,260 lb a ton, 63 %. Unrounded,
        // 0.7 x 0.92 x 0.98 x 2,000 = 1,262.24.
        let dry = iowa_example(Basis::Dry).effective().expect("worth something");
        assert!((dry.fraction.to_percent() - 64.4).abs() < 1e-9);
        let wet = effective_as_spread(dry, Share::from_number(0.02)).expect("has moisture");
        let pounds = wet.to_number() * 2_000.0;
        assert!((pounds - 1_262.24).abs() < 1e-9, "{pounds}");
        assert!((pounds - 1_260.0).abs() <= 5.0, "to the ten pounds that are printed: {pounds}");
        assert!((wet.to_percent() - 63.0).abs() <= 0.5, "{}", wet.to_percent());
    }

    #[test]
    fn an_analysis_as_received_has_its_water_taken_off_already() {
        let two = Share::from_number(0.02);
        let received = iowa_example(Basis::AsReceived).effective().expect("worth something");
        let wet = effective_as_spread(received, two).expect("needs no moisture");
        assert!((wet.to_percent() - 64.4).abs() < 1e-9);
        let dry = effective_dry(received, two).expect("has moisture");
        assert!((dry.to_percent() - 64.4 / 0.98).abs() < 1e-9);
        assert_eq!(effective_dry(received, None), None);
        // 90 % with 90 % water would be dry matter of 900 %.
        assert_eq!(effective_dry(stated(0.9, Basis::AsReceived), Share::from_number(0.9)), None);
    }

    #[test]
    fn the_fourteen_dollar_ton_costs_fourteen_dollars() {
        let price = Price {
            amount: Money::from_units(14.0),
            per: ProductMass::from_short_tons(1.0),
            currency: Currency::from_words("$").expect("a sign"),
            at: PriceAt::Plant,
        };
        let cost = price.of(ProductMass::from_pounds(2_000.0)).to_units();
        assert!((cost - 14.0).abs() < 1e-12);
        let half = price.of(ProductMass::from_pounds(1_000.0)).to_units();
        assert!((half - 7.0).abs() < 1e-12);
    }

    #[test]
    fn the_steps_of_a_worth_can_be_redone_by_hand() {
        let analysis = iowa_example(Basis::Dry);
        let stated = analysis.effective().expect("worth something");
        let moisture = Share::from_number(0.02);
        let mut material = Material {
            name: "Pit 4".to_owned(),
            kind: crate::material::all_kinds()
                .iter()
                .find(|kind| kind.name == "calcitic limestone")
                .expect("known"),
            stated,
            rating: None,
            analysis: Some(analysis),
            moisture,
            effective: effective_as_spread(stated, moisture).expect("has moisture"),
            bulk_density: None,
            density_rule: None,
            price: None,
            findings: Vec::new(),
        };
        assert_eq!(material.figure_as_spread().as_deref(), Some("ECCE 63.11 %"));
        let steps = material.steps();
        let words: Vec<&str> = steps.iter().map(|step| step.words.as_str()).collect();
        assert!(
            words[0].contains(
                "0.1 x 100 % through 4 mesh + 0.3 x 90 % through 8 mesh + 0.6 x 55 % through 60 mesh = 70 %"
            ),
            "{words:?}"
        );
        assert!(words[1].contains("CCE 92 % (dry) x fineness 70 % = 64.4 % effective, dry"));
        assert!(words[2].contains("64.4 % x (1 - 2 % moisture) = 63.112 %"), "{words:?}");
        assert!(steps[0].source.is_some());
        assert!((steps[2].number("effective_as_spread").expect("told") - 0.631_12).abs() < 1e-12);
        material.analysis = None;
        let words = &material.steps()[0].words;
        assert!(words.contains("Stated: 64.4 % effective, dry"), "{words}");
    }
}
