//! What a laboratory reads of a soil beside its pH and buffer pH, each with its words, units and
//! limits.

use serde::{Deserialize, Serialize};

use super::text::UnitKind;
use super::{
    Bounded, KG_PER_POUND, KG_PER_SHORT_TON, KG_PER_TONNE, M2_PER_ACRE, M2_PER_HECTARE, bound,
};

/// A number that is read of a soil, beside its pH and buffer pH.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum SoilValue {
    /// Exchangeable acidity.
    Acidity,
    /// Cation exchange capacity.
    Cec,
    /// Aluminium, by the extract that the job states.
    Aluminium,
    /// Exchangeable calcium.
    Calcium,
    /// Exchangeable magnesium.
    Magnesium,
    /// Exchangeable potassium.
    Potassium,
    /// Exchangeable sodium.
    Sodium,
    /// Potential acidity: exchangeable hydrogen and aluminium, H + Al.
    PotentialAcidity,
    /// Organic carbon.
    OrganicCarbon,
    /// Organic matter.
    OrganicMatter,
    /// Clay.
    Clay,
    /// Lime buffer capacity: the calcium carbonate that a mass of soil takes for one unit of pH.
    BufferCapacity,
    /// The lime that the laboratory recommends.
    LabRecommendation,
}

impl SoilValue {
    /// How many there are.
    pub const COUNT: usize = 13;

    /// All of them, in the order in which they stand in maps and reports.
    pub const ALL: [Self; Self::COUNT] = [
        Self::Acidity,
        Self::Cec,
        Self::Aluminium,
        Self::Calcium,
        Self::Magnesium,
        Self::Potassium,
        Self::Sodium,
        Self::PotentialAcidity,
        Self::OrganicCarbon,
        Self::OrganicMatter,
        Self::Clay,
        Self::BufferCapacity,
        Self::LabRecommendation,
    ];

    /// Its key in job files and results.
    pub fn key(self) -> &'static str {
        match self {
            Self::Acidity => "acidity",
            Self::Cec => "cec",
            Self::Aluminium => "aluminium",
            Self::Calcium => "calcium",
            Self::Magnesium => "magnesium",
            Self::Potassium => "potassium",
            Self::Sodium => "sodium",
            Self::PotentialAcidity => "potential_acidity",
            Self::OrganicCarbon => "organic_carbon",
            Self::OrganicMatter => "organic_matter",
            Self::Clay => "clay",
            Self::BufferCapacity => "buffer_capacity",
            Self::LabRecommendation => "lab_recommendation",
        }
    }

    /// The value of a key.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|value| value.key() == key)
    }

    /// What it is called in a sentence.
    pub fn words(self) -> &'static str {
        self.bounded().words
    }

    /// Its units and limits. The unit of the limits is the one in which methods take it.
    pub fn bounded(self) -> &'static Bounded {
        match self {
            Self::Acidity => &bound::ACIDITY,
            Self::Cec => &bound::CEC,
            Self::Aluminium => &ALUMINIUM,
            Self::Calcium => &CALCIUM,
            Self::Magnesium => &MAGNESIUM,
            Self::Potassium => &POTASSIUM,
            Self::Sodium => &SODIUM,
            Self::PotentialAcidity => &POTENTIAL_ACIDITY,
            Self::OrganicCarbon => &ORGANIC_CARBON,
            Self::OrganicMatter => &ORGANIC_MATTER,
            Self::Clay => &CLAY,
            Self::BufferCapacity => &BUFFER_CAPACITY,
            Self::LabRecommendation => &LAB_RECOMMENDATION,
        }
    }

    /// The unit as jobs write it, where it is one of this value's.
    pub fn unit_written(self, unit: &str) -> Option<&'static str> {
        self.bounded().kind.unit_written(unit)
    }

    /// A number in `unit`, in the unit of the limits: charge in cmol per kg or dm3, parts in
    /// percent, a recommendation in t/ha.
    ///
    /// `None` where the unit is not one of this value's.
    pub fn canonical(self, number: f64, unit: &str) -> Option<f64> {
        self.bounded().kind.factor(unit).map(|factor| number * factor)
    }
}

/// Whether a unit is one of a volume of soil; the others are of a mass.
pub fn is_by_volume(unit: &str) -> bool {
    unit.contains("dm3") || unit.contains("cm3")
}

/// Declares the units of an element by its mass in milligrams for one centimole of charge.
macro_rules! cation {
    ($kind:ident, $bounded:ident, $words:literal, $mg_per_cmol:expr, $most:expr) => {
        static $kind: UnitKind = UnitKind {
            units: &[
                ("ppm", 1.0 / $mg_per_cmol),
                ("mg/kg", 1.0 / $mg_per_cmol),
                ("meq/100 g", 1.0),
                ("cmol/kg", 1.0),
                ("mmol/kg", 0.1),
                ("cmol/dm3", 1.0),
                ("meq/100 cm3", 1.0),
                ("mmol/dm3", 0.1),
                ("mg/dm3", 1.0 / $mg_per_cmol),
            ],
            example: "25 ppm",
        };
        static $bounded: Bounded = Bounded::new($words, &$kind, "cmol/kg", 0.0, $most);
    };
}

// Milligrams for one centimole of charge: 10 x atomic mass / charge. Abridged standard atomic
// weights: Commission on Isotopic Abundances and Atomic Weights (IUPAC), Standard Atomic Weights,
// 2021. Millimoles and centimoles are of charge, as laboratories state them.
cation!(ALUMINIUM_UNITS, ALUMINIUM, "aluminium", 10.0 * 26.982 / 3.0, 60.0);
cation!(CALCIUM_UNITS, CALCIUM, "exchangeable calcium", 10.0 * 40.078 / 2.0, 150.0);
cation!(MAGNESIUM_UNITS, MAGNESIUM, "exchangeable magnesium", 10.0 * 24.305 / 2.0, 100.0);
cation!(POTASSIUM_UNITS, POTASSIUM, "exchangeable potassium", 10.0 * 39.098, 50.0);
cation!(SODIUM_UNITS, SODIUM, "exchangeable sodium", 10.0 * 22.990, 100.0);

static CHARGES: UnitKind = UnitKind {
    units: &[
        ("meq/100 g", 1.0),
        ("cmol/kg", 1.0),
        ("mmol/kg", 0.1),
        ("cmol/dm3", 1.0),
        ("meq/100 cm3", 1.0),
        ("mmol/dm3", 0.1),
    ],
    example: "cmol/dm3",
};
static PARTS: UnitKind = UnitKind { units: &[("%", 1.0), ("g/kg", 0.1)], example: "%" };
static CARBONATE_PER_PH: UnitKind =
    UnitKind { units: &[("mg/kg per pH", 1.0), ("ppm per pH", 1.0)], example: "mg/kg per pH" };

static POTENTIAL_ACIDITY: Bounded =
    Bounded::new("potential acidity (H + Al)", &CHARGES, "cmol/kg", 0.0, 80.0);
static ORGANIC_CARBON: Bounded = Bounded::new("organic carbon", &PARTS, "%", 0.0, 60.0);
static ORGANIC_MATTER: Bounded = Bounded::new("organic matter", &PARTS, "%", 0.0, 100.0);
static CLAY: Bounded = Bounded::new("clay", &PARTS, "%", 0.0, 100.0);
static BUFFER_CAPACITY: Bounded =
    Bounded::new("lime buffer capacity", &CARBONATE_PER_PH, "mg/kg per pH", 10.0, 20_000.0);
static LAB_RECOMMENDATION: Bounded =
    Bounded::new("recommended lime", &RECOMMENDED, "t/ha", 0.0, 60.0);
/// One short ton an acre, in tonnes a hectare.
const SHORT_TON_PER_ACRE: f64 = KG_PER_SHORT_TON / M2_PER_ACRE * (M2_PER_HECTARE / KG_PER_TONNE);
static RECOMMENDED: UnitKind = UnitKind {
    units: &[
        ("ton/ac", SHORT_TON_PER_ACRE),
        ("lb/ac", SHORT_TON_PER_ACRE * (KG_PER_POUND / KG_PER_SHORT_TON)),
        ("t/ha", 1.0),
        ("kg/ha", 1.0 / KG_PER_TONNE),
    ],
    example: "2 ton/ac",
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_units_and_limits_belong_together() {
        for value in SoilValue::ALL {
            assert_eq!(SoilValue::of_key(value.key()), Some(value));
            assert_eq!(serde_json::to_value(value).unwrap(), value.key());
            let bounded = value.bounded();
            assert!(bounded.least < bounded.most);
            assert!(bounded.kind.factor(bounded.limit_unit).is_some(), "{}", value.key());
            assert!(value.canonical(1.0, "parsec").is_none());
        }
        assert_eq!(SoilValue::of_key("ph"), None);
    }

    #[test]
    fn a_mass_of_an_element_is_its_charge() {
        // Kansas State's 25 ppm of aluminium; and the equivalent masses of the elements in mg for
        // 1 cmol of charge, from the atomic weights that are cited above.
        for (value, ppm, charge) in [
            (SoilValue::Aluminium, 89.94, 1.0),
            (SoilValue::Aluminium, 25.0, 0.277_963),
            (SoilValue::Calcium, 200.39, 1.0),
            (SoilValue::Magnesium, 121.525, 1.0),
            (SoilValue::Potassium, 390.98, 1.0),
            (SoilValue::Sodium, 229.9, 1.0),
        ] {
            let found = value.canonical(ppm, "ppm").unwrap();
            assert!((found - charge).abs() < 1e-6, "{}: {found}", value.key());
            let by_volume = value.canonical(ppm, "mg/dm3").unwrap();
            assert!((by_volume - found).abs() < f64::EPSILON);
            assert_eq!(value.canonical(3.0, "mmol/dm3"), Some(0.300_000_000_000_000_04));
        }
        assert_eq!(SoilValue::OrganicCarbon.canonical(12.0, "g/kg"), Some(1.200_000_000_000_000_2));
    }

    #[test]
    fn a_volume_of_soil_is_told_from_a_mass() {
        for (unit, by_volume) in
            [("cmol/dm3", true), ("meq/100 cm3", true), ("cmol/kg", false), ("ppm", false)]
        {
            assert_eq!(is_by_volume(unit), by_volume, "{unit}");
        }
    }
}
