//! Compounds that stand in analyses of liming materials: what each neutralises, from molar masses.

/// A chemical element, by its standard atomic weight.
#[derive(Debug)]
struct Element {
    grams_per_mole: f64,
}

const fn element(grams_per_mole: f64) -> Element {
    Element { grams_per_mole }
}

// Standard atomic weights, abridged to five figures: IUPAC Commission on Isotopic Abundances and
// Atomic Weights, Standard atomic weights of the elements 2021, Pure and Applied Chemistry 94(5),
// 573-600, 2022 (`ciaaw_2021_atomic_weights`).
static H: Element = element(1.008);
static C: Element = element(12.011);
static O: Element = element(15.999);
static MG: Element = element(24.305);
static SI: Element = element(28.085);
static S: Element = element(32.06);
static CA: Element = element(40.078);

/// A compound, or what an analysis reports as one.
#[derive(Debug)]
pub struct Compound {
    /// Its formula.
    pub formula: &'static str,
    /// Other names that it goes by.
    also: &'static [&'static str],
    /// The atoms of which its molar mass is the sum; empty where none is needed.
    atoms: &'static [(&'static Element, u8)],
    /// What it does to acid.
    pub acts: Acts,
}

/// What a compound does to acid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Acts {
    /// One mole of it neutralises as much as so many moles of calcium carbonate.
    Neutralises {
        /// Moles of calcium carbonate.
        moles: u8,
        /// The base in it.
        base: Base,
    },
    /// It leaves acid as it is; why, in one clause.
    Nothing(&'static str),
    /// It makes acid; how, in one clause.
    Acidifies(&'static str),
    /// Sulfur as an analysis by oxides reports it: it binds calcium that then neutralises nothing.
    BindsCalcium,
}

/// The base that neutralises.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Base {
    /// A carbonate.
    Carbonate,
    /// An oxide; free, it is caustic.
    Oxide,
    /// A hydroxide; it is caustic.
    Hydroxide,
    /// A silicate.
    Silicate,
}

impl Base {
    /// Its name.
    pub fn words(self) -> &'static str {
        match self {
            Self::Carbonate => "carbonate",
            Self::Oxide => "oxide",
            Self::Hydroxide => "hydroxide",
            Self::Silicate => "silicate",
        }
    }
}

/// Why sulfates, chlorides and nitrates neutralise nothing; general chemistry.
pub(super) const SULFATE: &str =
    "sulfate is not a base: gypsum supplies calcium and sulfur and leaves the pH where it was";
pub(super) const CHLORIDE: &str = "chloride is not a base: the calcium alone neutralises nothing";
pub(super) const NITRATE: &str = "nitrate is not a base: the calcium alone neutralises nothing";
pub(super) const SULFUR: &str = "sulfur turns into sulfuric acid in the soil and lowers the pH";
pub(super) const ALUMINIUM: &str = "its aluminium frees acid in the soil and lowers the pH";
const SAND: &str = "it does not dissolve in the soil's acid";

static COMPOUNDS: &[Compound] = &[
    limes("CaCO3", &["calcium carbonate"], &[(&CA, 1), (&C, 1), (&O, 3)], 1, Base::Carbonate),
    limes("MgCO3", &["magnesium carbonate"], &[(&MG, 1), (&C, 1), (&O, 3)], 1, Base::Carbonate),
    limes(
        "CaMg(CO3)2",
        &["calcium magnesium carbonate", "dolomite", "MgCa(CO3)2"],
        &[(&CA, 1), (&MG, 1), (&C, 2), (&O, 6)],
        2,
        Base::Carbonate,
    ),
    limes("CaO", &["calcium oxide"], &[(&CA, 1), (&O, 1)], 1, Base::Oxide),
    limes("MgO", &["magnesium oxide"], &[(&MG, 1), (&O, 1)], 1, Base::Oxide),
    limes("Ca(OH)2", &["calcium hydroxide"], &[(&CA, 1), (&O, 2), (&H, 2)], 1, Base::Hydroxide),
    limes("Mg(OH)2", &["magnesium hydroxide"], &[(&MG, 1), (&O, 2), (&H, 2)], 1, Base::Hydroxide),
    limes("CaSiO3", &["calcium silicate"], &[(&CA, 1), (&SI, 1), (&O, 3)], 1, Base::Silicate),
    limes("MgSiO3", &["magnesium silicate"], &[(&MG, 1), (&SI, 1), (&O, 3)], 1, Base::Silicate),
    other("CaSO4·2H2O", &["gypsum"], Acts::Nothing(SULFATE)),
    other("CaSO4", &["calcium sulfate", "calcium sulphate", "anhydrite"], Acts::Nothing(SULFATE)),
    other("CaCl2", &["calcium chloride"], Acts::Nothing(CHLORIDE)),
    other("Ca(NO3)2", &["calcium nitrate"], Acts::Nothing(NITRATE)),
    other("SiO2", &["silica", "sand", "quartz"], Acts::Nothing(SAND)),
    other("insoluble", &["insoluble residue", "acid insoluble"], Acts::Nothing(SAND)),
    other("S", &["sulfur", "sulphur", "elemental sulfur"], Acts::Acidifies(SULFUR)),
    other(
        "Al2(SO4)3",
        &["aluminium sulfate", "aluminum sulfate", "aluminium sulphate"],
        Acts::Acidifies(ALUMINIUM),
    ),
    Compound {
        formula: "SO3",
        also: &["sulfur trioxide"],
        atoms: &[(&S, 1), (&O, 3)],
        acts: Acts::BindsCalcium,
    },
];

const fn limes(
    formula: &'static str,
    also: &'static [&'static str],
    atoms: &'static [(&'static Element, u8)],
    moles: u8,
    base: Base,
) -> Compound {
    Compound { formula, also, atoms, acts: Acts::Neutralises { moles, base } }
}

const fn other(formula: &'static str, also: &'static [&'static str], acts: Acts) -> Compound {
    Compound { formula, also, atoms: &[], acts }
}

impl Compound {
    /// Its molar mass in grams; 0 where it has no atoms here.
    fn grams_per_mole(&self) -> f64 {
        self.atoms.iter().map(|(element, count)| element.grams_per_mole * f64::from(*count)).sum()
    }

    /// What one part of it neutralises, of what one part of pure calcium carbonate does: 1.78 for
    /// calcium oxide. 0 for what neutralises nothing, below 0 for what binds calcium that an
    /// analysis counts as oxide.
    pub fn cce(&self) -> f64 {
        let of_moles = |moles: f64| moles * calcite().grams_per_mole() / self.grams_per_mole();
        match self.acts {
            Acts::Neutralises { moles, .. } => of_moles(f64::from(moles)),
            Acts::BindsCalcium => -of_moles(1.0),
            Acts::Nothing(_) | Acts::Acidifies(_) => 0.0,
        }
    }

    /// The base in it, where it is one.
    pub fn base(&self) -> Option<Base> {
        match self.acts {
            Acts::Neutralises { base, .. } => Some(base),
            _ => None,
        }
    }

    /// Whether it holds calcium that neutralises nothing, which people take for lime.
    pub(super) fn is_taken_for_lime(&self) -> bool {
        matches!(self.acts, Acts::Nothing(_)) && self.formula.starts_with("Ca")
    }

    /// How much salt that neutralises nothing one part of it is: all of it, the sulfate of calcium
    /// that the sulfur of an analysis by oxides stands for, or none.
    pub(super) fn as_salt(&self) -> f64 {
        let grams = |formula| compound(formula).map_or(0.0, Self::grams_per_mole);
        match self.acts {
            Acts::BindsCalcium => 1.0 + grams("CaO") / grams("SO3"),
            _ if self.is_taken_for_lime() => 1.0,
            _ => 0.0,
        }
    }

    /// Whether it is an oxide, which an analysis may mean as such or as a way to count calcium.
    pub fn is_oxide(&self) -> bool {
        self.base() == Some(Base::Oxide)
    }

    /// How much of a carbonate rock one part of what an analysis by oxides counts stands for: the
    /// oxides for their carbonates, sulfur for the part by which sulfate outweighs the carbonate in
    /// whose place it stands. 1 for anything else.
    pub(super) fn of_carbonate_rock(&self) -> f64 {
        let grams = |formula| compound(formula).map_or(0.0, Self::grams_per_mole);
        match self.formula {
            "CaO" => grams("CaCO3") / grams("CaO"),
            "MgO" => grams("MgCO3") / grams("MgO"),
            "SO3" => 1.0 - (grams("CaCO3") - grams("CaO")) / grams("SO3"),
            _ => 1.0,
        }
    }
}

/// All compounds, those that neutralise first.
pub fn all_compounds() -> &'static [Compound] {
    COMPOUNDS
}

/// The compound that goes by `name`: its formula, with small figures and dots in any form, or a
/// name in words.
pub fn compound(name: &str) -> Option<&'static Compound> {
    let wanted = folded(name);
    COMPOUNDS.iter().find(|compound| {
        folded(compound.formula) == wanted
            || compound.also.iter().any(|also| folded(also) == wanted)
    })
}

fn folded(name: &str) -> String {
    let figure = |c: char| match c {
        '₀'..='₉' => char::from_digit(c as u32 - '₀' as u32, 10).unwrap_or(c),
        other => other,
    };
    name.chars()
        .filter(|c| !matches!(c, ' ' | '-' | '_' | '.' | '·' | '•' | '*' | '⋅'))
        .map(figure)
        .flat_map(char::to_lowercase)
        .collect()
}

fn calcite() -> &'static Compound {
    &COMPOUNDS[0]
}

/// How much calcium oxide holds the calcium of one part of calcium carbonate: the neutralising
/// value of pure calcium carbonate where that is stated as `CaO`, 0.5603.
pub fn calcite_as_oxide() -> f64 {
    compound("CaO").map_or(1.0, |oxide| 1.0 / oxide.cce())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_compound_is_found_by_formula_in_any_print_and_by_name() {
        for (name, formula) in [
            ("CaCO3", "CaCO3"),
            ("CaCO₃", "CaCO3"),
            ("calcium carbonate", "CaCO3"),
            ("CaSO4.2H2O", "CaSO4·2H2O"),
            ("CaSO4 * 2 H2O", "CaSO4·2H2O"),
            ("Gypsum", "CaSO4·2H2O"),
            ("ca(oh)2", "Ca(OH)2"),
            ("insoluble residue", "insoluble"),
        ] {
            assert_eq!(compound(name).expect(name).formula, formula);
        }
        assert!(compound("H2O").is_none());
    }

    #[test]
    fn every_name_leads_to_one_compound_only() {
        let mut names: Vec<String> = Vec::new();
        for compound in all_compounds() {
            names.push(folded(compound.formula));
            names.extend(compound.also.iter().map(|also| folded(also)));
        }
        let count = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), count);
    }

    #[test]
    fn what_neutralises_has_a_molar_mass_and_the_rest_counts_for_nothing() {
        for compound in all_compounds() {
            match compound.acts {
                Acts::Neutralises { .. } => assert!(compound.cce() > 0.5, "{}", compound.formula),
                Acts::BindsCalcium => assert!(compound.cce() < -1.0, "{}", compound.formula),
                _ => assert!(compound.cce().abs() < 1e-15, "{}", compound.formula),
            }
        }
        assert!((calcite().cce() - 1.0).abs() < 1e-15);
        assert!((calcite_as_oxide() - 0.5603).abs() < 5e-5, "{}", calcite_as_oxide());
    }

    #[test]
    fn an_oxide_and_its_carbonate_hold_the_same_calcium() {
        for (oxide, carbonate) in [("CaO", "CaCO3"), ("MgO", "MgCO3")] {
            let (oxide, carbonate) =
                (compound(oxide).expect("known"), compound(carbonate).expect("known"));
            assert!((oxide.cce() - oxide.of_carbonate_rock() * carbonate.cce()).abs() < 1e-12);
        }
    }
}
