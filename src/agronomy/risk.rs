//! What an acid soil, or one limed too far, does to crops: aluminium, manganese, overliming.

use super::door::Door;
use super::{AlExtract, Citation, Given, MethodMedium, SoilValues};
use crate::findings::{Finding, Problem};
use crate::units::{SoilValue, is_by_volume};

/// The limits beyond which a soil is told to be at risk.
#[derive(Clone, Debug, PartialEq)]
pub struct RiskLimits {
    /// Water pH below which aluminium may harm roots.
    pub aluminium_ph: f64,
    /// Exchangeable aluminium (`KCl` 1 M), cmol/kg, above which it is likely to, below that pH.
    pub aluminium_kcl: f64,
    /// The same for aluminium extracted with CaCl2 0.01 M, cmol/kg.
    pub aluminium_cacl2: f64,
    /// Aluminium saturation, 0 to 1, above which it is likely to, below that pH.
    pub aluminium_saturation: f64,
    /// Water pH below which manganese may harm crops.
    pub manganese_ph: f64,
    /// Water pH above which the soil is limed too far.
    pub overliming_ph: f64,
    /// Where the job has them from, where it sets any.
    pub own_source: Option<String>,
}

/// pH above which herbicides act longer and micronutrients are tied up: No-Till Farmer, Large levels
/// of lime cause risks (undated).
pub const HERBICIDES_PH: f64 = 7.0;
/// How far above its target a soil may lie before it is told to be limed too far (common practice).
const TARGET_BAND: f64 = 0.5;

impl RiskLimits {
    /// The limits that the program takes where the job sets none, for crops limed to `target_ph`
    /// (in water).
    ///
    /// Aluminium: pH below 5.5 with more than 25 ppm by `KCl` (Kansas State University, Liming soils
    /// for optimum wheat production, Agronomy eUpdate 559), more than 5 ppm by CaCl2 (Western
    /// Australia, Effects of soil acidity: toxic to tolerant plants), or a saturation above 15 %
    /// (common practice; pots of maize suffered from 5.6 to 15.2 %, Journal of Soils and Sediments
    /// 18, 1490, 2018). Manganese below pH 5.0 is common practice.
    pub fn for_target(target_ph: Option<f64>) -> Self {
        let ppm = |ppm: f64| SoilValue::Aluminium.canonical(ppm, "ppm").unwrap_or_default();
        let above_target = target_ph.map_or(HERBICIDES_PH, |target| target + TARGET_BAND);
        Self {
            aluminium_ph: 5.5,
            aluminium_kcl: ppm(25.0),
            aluminium_cacl2: ppm(5.0),
            aluminium_saturation: 0.15,
            manganese_ph: 5.0,
            // A target above the limit for herbicides is not itself too high.
            overliming_ph: above_target.min(HERBICIDES_PH.max(target_ph.unwrap_or_default())),
            own_source: None,
        }
    }

    /// The publications that the program's own limits rest on.
    pub fn sources() -> [Citation; 4] {
        let of = |key: &str, locator: &str| Citation {
            key: key.to_owned(),
            locator: locator.to_owned(),
        };
        [
            of("kansas_liming_wheat", "pH below 5.5 and KCl-extractable aluminium above 25 ppm"),
            of("western_australia_effects", "aluminium in 0.01 M CaCl2: above 5 ppm"),
            of(
                "maize_critical_aluminium_2018",
                "critical aluminium saturation of maize in four soils",
            ),
            of("no_till_farmer_lime_risks", "herbicides above pH 7"),
        ]
    }
}

/// How likely aluminium harms roots.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum AluminiumRisk {
    /// The pH is not low enough.
    None,
    /// The pH is low enough; aluminium was not measured, or is below its limit.
    Possible,
    /// The pH is low enough and the aluminium above its limit.
    Likely,
}

/// What was found of one soil.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SoilRisk {
    /// Aluminium.
    pub aluminium: AluminiumRisk,
    /// Manganese.
    pub manganese: bool,
    /// Limed too far.
    pub overliming: bool,
}

impl SoilRisk {
    /// Every combination that there is, in words.
    pub const WORDS: [&'static str; 7] = [
        "none",
        "aluminium possible",
        "aluminium likely",
        "manganese",
        "aluminium possible, manganese",
        "aluminium likely, manganese",
        "overliming",
    ];

    /// In words, one of [`WORDS`](Self::WORDS).
    pub fn words(self) -> &'static str {
        match (self.aluminium, self.manganese) {
            (AluminiumRisk::Likely, true) => "aluminium likely, manganese",
            (AluminiumRisk::Possible, true) => "aluminium possible, manganese",
            (AluminiumRisk::None, true) => "manganese",
            (AluminiumRisk::Likely, false) => "aluminium likely",
            (AluminiumRisk::Possible, false) => "aluminium possible",
            (AluminiumRisk::None, false) if self.overliming => "overliming",
            (AluminiumRisk::None, false) => "none",
        }
    }

    /// The worse of two layers of one soil.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        Self {
            aluminium: self.aluminium.max(other.aluminium),
            manganese: self.manganese || other.manganese,
            overliming: self.overliming || other.overliming,
        }
    }
}

/// What the aluminium is judged by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AluminiumEvidence {
    /// pH alone.
    PhAlone,
    /// pH and the aluminium of an extract that has a limit.
    Extract(AlExtract),
    /// The same and the aluminium saturation.
    ExtractAndSaturation,
    /// pH and the aluminium saturation, where the aluminium of a mass of soil is not known.
    Saturation,
}

impl AluminiumEvidence {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::PhAlone => "pH alone, which stands in for the aluminium",
            Self::Extract(AlExtract::CalciumChloride) => "pH and aluminium by CaCl2 0.01 M",
            Self::Extract(_) => "pH and aluminium by KCl 1 M",
            Self::ExtractAndSaturation => "pH, aluminium by KCl 1 M and aluminium saturation",
            Self::Saturation => "pH and aluminium saturation",
        }
    }

    /// Whether the aluminium itself is held against a limit of its extract.
    pub fn has_extract(self) -> bool {
        matches!(self, Self::Extract(_) | Self::ExtractAndSaturation)
    }

    /// Whether the saturation is.
    pub fn has_saturation(self) -> bool {
        matches!(self, Self::Saturation | Self::ExtractAndSaturation)
    }
}

/// Judges soils of one set of readings.
#[derive(Clone, Debug)]
pub struct RiskJudge {
    door: Door,
    limits: RiskLimits,
    evidence: AluminiumEvidence,
    /// From the reported unit to cmol/kg, where the aluminium was reported by volume.
    by_mass: f64,
}

impl RiskJudge {
    /// A judge of soils whose pH was read in `given`'s medium, with what else was reported. The
    /// findings say what is converted, and what cannot be used.
    ///
    /// # Errors
    /// Where no published equation leads from the medium of the pH to water.
    pub fn new(given: &Given, limits: RiskLimits) -> Result<(Self, Vec<Finding>), Problem> {
        let mut converted = Vec::new();
        let door = Door::open(given.ph_medium, MethodMedium::AnyWater, &mut converted)?;
        let mut findings = Vec::new();
        if !given.ph_medium.is_water() {
            findings.extend(
                converted.into_iter().map(|found| Finding {
                    text: format!("For the risks: {}", found.text),
                    ..found
                }),
            );
        }
        let unit = given.units.get(SoilValue::Aluminium);
        let by_mass = match unit.map(is_by_volume) {
            Some(true) => given.bulk_density.map(|density| 1.0 / density),
            _ => Some(1.0),
        };
        let has =
            |value: SoilValue| given.units.get(value).map(is_by_volume) == unit.map(is_by_volume);
        let saturation = SATURATED.into_iter().all(has);
        let evidence = match (unit, given.al_extract, by_mass) {
            (None, _, _) => AluminiumEvidence::PhAlone,
            (Some(_), Some(AlExtract::PotassiumChloride), Some(_)) if saturation => {
                AluminiumEvidence::ExtractAndSaturation
            }
            // A ratio of amounts in one volume is that in one mass.
            (Some(_), Some(AlExtract::PotassiumChloride), None) if saturation => {
                findings.push(by_saturation_alone());
                AluminiumEvidence::Saturation
            }
            (
                Some(_),
                Some(extract @ (AlExtract::PotassiumChloride | AlExtract::CalciumChloride)),
                Some(_),
            ) => AluminiumEvidence::Extract(extract),
            (Some(_), extract, by_mass) => {
                findings.push(not_judged(extract, by_mass));
                AluminiumEvidence::PhAlone
            }
        };
        let judge = Self { door, limits, evidence, by_mass: by_mass.unwrap_or(1.0) };
        Ok((judge, findings))
    }

    /// What the aluminium is judged by.
    pub fn evidence(&self) -> AluminiumEvidence {
        self.evidence
    }

    /// The limits that it judges by.
    pub fn limits(&self) -> &RiskLimits {
        &self.limits
    }

    /// What this pH, as measured, and these values, in the units in which methods take them, say.
    pub fn judge(&self, measured_ph: f64, values: &SoilValues) -> SoilRisk {
        let ph = self.door.convert(measured_ph);
        let limits = &self.limits;
        let aluminium = if ph >= limits.aluminium_ph {
            AluminiumRisk::None
        } else if self.is_above_limit(values) {
            AluminiumRisk::Likely
        } else {
            AluminiumRisk::Possible
        };
        SoilRisk {
            aluminium,
            manganese: ph < limits.manganese_ph,
            overliming: ph > limits.overliming_ph,
        }
    }

    fn is_above_limit(&self, values: &SoilValues) -> bool {
        let Some(aluminium) = values.get(SoilValue::Aluminium) else { return false };
        let by_mass = aluminium * self.by_mass;
        let saturated = || {
            let saturation = aluminium_saturation(values).unwrap_or_default();
            saturation > self.limits.aluminium_saturation
        };
        match self.evidence {
            AluminiumEvidence::PhAlone => false,
            AluminiumEvidence::Extract(AlExtract::CalciumChloride) => {
                by_mass > self.limits.aluminium_cacl2
            }
            AluminiumEvidence::Extract(_) => by_mass > self.limits.aluminium_kcl,
            AluminiumEvidence::ExtractAndSaturation => {
                by_mass > self.limits.aluminium_kcl || saturated()
            }
            AluminiumEvidence::Saturation => saturated(),
        }
    }
}

/// What the saturation cannot be without. Potassium and sodium are a few hundredths of the exchange
/// of an acid soil, and count where they are known.
const SATURATED: [SoilValue; 2] = [SoilValue::Calcium, SoilValue::Magnesium];

/// Aluminium over the effective exchange capacity: aluminium, calcium and magnesium, and potassium
/// and sodium where they are known. `None` where one of the first three is not.
pub fn aluminium_saturation(values: &SoilValues) -> Option<f64> {
    let aluminium = values.get(SoilValue::Aluminium)?;
    let known = |value| values.get(value).unwrap_or_default();
    let mut sum = aluminium + known(SoilValue::Potassium) + known(SoilValue::Sodium);
    for cation in SATURATED {
        sum += values.get(cation)?;
    }
    (sum > 0.0).then(|| aluminium / sum)
}

/// The amount is of a volume of soil, and its limit of a mass.
fn by_saturation_alone() -> Finding {
    let text = "The amount of aluminium is not held against its limit for the risks, as it was \
                reported by volume of soil and samples.bulk_density is not stated; its saturation, \
                which needs none, is judged instead.";
    Finding::new("aluminium_judged_by_saturation", text)
}

/// What one extract takes out says nothing of another.
fn not_judged(extract: Option<AlExtract>, by_mass: Option<f64>) -> Finding {
    let why = match (extract, by_mass) {
        (None, _) => "samples.al_extract does not say by which extract it was read".to_owned(),
        (Some(_), None) => {
            "it was reported by volume of soil, and samples.bulk_density is not stated".to_owned()
        }
        (Some(extract), Some(_)) => {
            format!("no limit for aluminium by {} is at hand", extract.words())
        }
    };
    let text = format!(
        "The aluminium is not used for the risks: {why}; pH alone stands in for it. Limits of one \
         extract say nothing of another."
    );
    Finding::new("aluminium_not_judged", text)
}

#[cfg(test)]
mod tests;
