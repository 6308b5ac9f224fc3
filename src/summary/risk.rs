//! The risks of a field in its summary, and what a grower may see of them.

use super::build::Builder;
use super::{FieldSignPart, Quantity, RiskLimitsPart, RiskPart};
use crate::agronomy::{AlExtract, AluminiumEvidence, Citation, HERBICIDES_PH, RiskLimits};
use crate::units::{Area, SoilValue};

/// The areas at risk.
#[derive(Clone, Debug)]
pub struct RiskAreas {
    /// Aluminium may harm roots.
    pub aluminium_possible: Area,
    /// Aluminium is likely to.
    pub aluminium_likely: Area,
    /// What it is judged by.
    pub evidence: AluminiumEvidence,
    /// Manganese may harm crops.
    pub manganese: Area,
    /// Limed too far already.
    pub overliming: Area,
    /// The limits.
    pub limits: RiskLimits,
}

/// What may be seen in the field; common practice.
const ALUMINIUM_SIGNS: [&str; 3] = [
    "stunted, thickened roots with brown tips that stay in the topsoil",
    "few and pale nodules on legumes",
    "purple leaves on young plants: the phosphorus is tied up",
];
const MANGANESE_SIGNS: [&str; 1] =
    ["brown specks, and leaves that cup or blister at their margins"];
const OVERLIMING_SIGNS: [&str; 2] = [
    "yellowing between the veins of young leaves: manganese, zinc, iron or copper runs short",
    "injury by herbicides that act longer at high pH, such as atrazine and metribuzin: read their \
     labels before the next crop",
];
/// The same where less than the pH at which herbicides act longer counts as limed too far.
const OVERLIMING_SIGNS_BELOW: [&str; 2] = [
    OVERLIMING_SIGNS[0],
    "only where the water pH is above 7: injury by herbicides that act longer there, such as \
     atrazine and metribuzin",
];

impl Builder<'_> {
    pub(super) fn risk(&self) -> Option<RiskPart> {
        let areas = self.parts.risk?;
        let limits = &areas.limits;
        let aluminium = areas.aluminium_possible + areas.aluminium_likely;
        let by_extract = areas.evidence.has_extract();
        let by_saturation = areas.evidence.has_saturation();
        let in_ppm = SoilValue::Aluminium.canonical(1.0, "ppm").unwrap_or(1.0);
        let by_cacl2 = areas.evidence == AluminiumEvidence::Extract(AlExtract::CalciumChloride);
        let limit = if by_cacl2 { limits.aluminium_cacl2 } else { limits.aluminium_kcl };
        let too_far = if limits.overliming_ph < HERBICIDES_PH {
            OVERLIMING_SIGNS_BELOW
        } else {
            OVERLIMING_SIGNS
        };
        let mut look_for = Vec::new();
        for (risk, area, signs) in [
            ("aluminium", aluminium, &ALUMINIUM_SIGNS[..]),
            ("manganese", areas.manganese, &MANGANESE_SIGNS[..]),
            ("overliming", areas.overliming, &too_far[..]),
        ] {
            if area > Area::ZERO {
                look_for.extend(
                    signs.iter().map(|sign| FieldSignPart {
                        risk: risk.to_owned(),
                        sign: (*sign).to_owned(),
                    }),
                );
            }
        }
        let published = RiskLimits::sources();
        let mut sources: Vec<String> = limits.own_source.iter().cloned().collect();
        sources.extend(published.iter().map(Citation::words));
        Some(RiskPart {
            aluminium_possible_area: self.area(areas.aluminium_possible),
            aluminium_likely_area: self.area(areas.aluminium_likely),
            aluminium_judged_by: areas.evidence.words().to_owned(),
            manganese_area: self.area(areas.manganese),
            overliming_area: self.area(areas.overliming),
            limits: RiskLimitsPart {
                aluminium_ph: limits.aluminium_ph,
                aluminium: by_extract.then(|| Quantity {
                    value: crate::units::tidy(limit / in_ppm),
                    unit: "ppm".into(),
                }),
                aluminium_saturation: by_saturation.then_some(limits.aluminium_saturation),
                manganese_ph: limits.manganese_ph,
                overliming_ph: limits.overliming_ph,
            },
            sources,
            look_for,
        })
    }
}
