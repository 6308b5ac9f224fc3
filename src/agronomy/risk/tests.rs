use super::*;
use crate::agronomy::ValueUnits;
use crate::units::PhMedium;
use crate::units::{DepthInterval, Length};

fn given(
    ph_medium: PhMedium,
    al_extract: Option<AlExtract>,
    units: &[(SoilValue, &'static str)],
) -> Given {
    let mut reported = ValueUnits::default();
    for &(value, unit) in units {
        reported.set(value, unit);
    }
    Given {
        sampled_depth: DepthInterval::down_to(Length::from_inches(6.0)).unwrap(),
        ph_medium,
        buffer: None,
        al_extract,
        bulk_density: None,
        units: reported,
        capacity_read: None,
    }
}

const PPM: [(SoilValue, &str); 1] = [(SoilValue::Aluminium, "ppm")];

fn judged(given: &Given, ph: f64, reported: SoilValues) -> SoilRisk {
    let (judge, _) = RiskJudge::new(given, RiskLimits::for_target(Some(6.5))).unwrap();
    judge.judge(ph, &given.units.canonical(&reported))
}

fn aluminium(ppm: f64) -> SoilValues {
    SoilValues::default().with(SoilValue::Aluminium, ppm)
}

/// Kansas State University, Liming soils for optimum wheat production, Agronomy eUpdate 559: toxic
/// below pH 5.5 with more than 25 ppm of KCl-extractable aluminium.
#[test]
fn aluminium_needs_a_low_ph_and_is_likely_above_its_limit() {
    use AluminiumRisk::{Likely, None as Nothing, Possible};
    let kcl = given(PhMedium::Water1To1, Some(AlExtract::PotassiumChloride), &PPM);
    for (ph, ppm, expected) in [
        (5.5, 80.0, Nothing),
        (5.49, 25.0, Possible),
        (5.49, 25.1, Likely),
        (4.8, 0.0, Possible),
        (6.5, 0.0, Nothing),
    ] {
        assert_eq!(judged(&kcl, ph, aluminium(ppm)).aluminium, expected, "{ph} {ppm}");
    }
    let alone = given(PhMedium::Water1To1, None, &[]);
    assert_eq!(judged(&alone, 4.8, SoilValues::default()).aluminium, Possible);
    // 5 ppm by CaCl2 are toxic to tolerant plants already (Western Australia).
    let cacl2 = given(PhMedium::Water1To1, Some(AlExtract::CalciumChloride), &PPM);
    assert_eq!(judged(&cacl2, 5.0, aluminium(5.0)).aluminium, Possible);
    assert_eq!(judged(&cacl2, 5.0, aluminium(5.1)).aluminium, Likely);
}

#[test]
fn an_extract_without_a_limit_is_told_and_not_taken_for_another() {
    for (extract, unit, part) in [
        (Some(AlExtract::ModifiedMorgan), "ppm", "no limit for aluminium by modified Morgan"),
        (Some(AlExtract::Mehlich3), "ppm", "no limit for aluminium by Mehlich 3"),
        (None, "ppm", "does not say by which extract"),
        (Some(AlExtract::PotassiumChloride), "cmol/dm3", "samples.bulk_density"),
    ] {
        let given = given(PhMedium::Water1To1, extract, &[(SoilValue::Aluminium, unit)]);
        let (judge, found) = RiskJudge::new(&given, RiskLimits::for_target(None)).unwrap();
        assert_eq!(judge.evidence(), AluminiumEvidence::PhAlone);
        assert!(found[0].text.contains(part), "{found:?}");
    }
    let dense = Given {
        bulk_density: Some(1.25),
        ..given(
            PhMedium::Water1To1,
            Some(AlExtract::PotassiumChloride),
            &[(SoilValue::Aluminium, "cmol/dm3")],
        )
    };
    // 25 ppm are 0.27796 cmol/kg, 0.34745 cmol/dm3 at 1.25 kg/dm3.
    assert_eq!(judged(&dense, 5.0, aluminium(0.347)).aluminium, AluminiumRisk::Possible);
    assert_eq!(judged(&dense, 5.0, aluminium(0.348)).aluminium, AluminiumRisk::Likely);
}

#[test]
fn a_high_saturation_makes_little_aluminium_likely() {
    let units = [
        (SoilValue::Aluminium, "cmol/kg"),
        (SoilValue::Calcium, "cmol/kg"),
        (SoilValue::Magnesium, "cmol/kg"),
        (SoilValue::Potassium, "cmol/kg"),
    ];
    let kcl = given(PhMedium::Water1To1, Some(AlExtract::PotassiumChloride), &units);
    let soil = |calcium: f64| {
        SoilValues::default()
            .with(SoilValue::Aluminium, 0.2)
            .with(SoilValue::Calcium, calcium)
            .with(SoilValue::Magnesium, 0.1)
            .with(SoilValue::Potassium, 0.1)
    };
    assert!((aluminium_saturation(&soil(0.4)).unwrap() - 0.25).abs() < 1e-12);
    assert_eq!(judged(&kcl, 5.0, soil(0.4)).aluminium, AluminiumRisk::Likely);
    assert_eq!(judged(&kcl, 5.0, soil(4.0)).aluminium, AluminiumRisk::Possible);
    assert_eq!(aluminium_saturation(&aluminium(1.0)), None);
}

#[test]
fn a_saturation_of_amounts_in_a_volume_needs_no_density() {
    let volume = |units: &[SoilValue]| {
        let units: Vec<_> = units.iter().map(|&value| (value, "cmol/dm3")).collect();
        given(PhMedium::Water1To1, Some(AlExtract::PotassiumChloride), &units)
    };
    let known = volume(&[SoilValue::Aluminium, SoilValue::Calcium, SoilValue::Magnesium]);
    let soil = |aluminium: f64| {
        SoilValues::default()
            .with(SoilValue::Aluminium, aluminium)
            .with(SoilValue::Calcium, 1.5)
            .with(SoilValue::Magnesium, 0.5)
    };
    // 2 of 4 are 50 %, 0.35 of 2.35 are 14.9 %.
    assert_eq!(judged(&known, 5.0, soil(2.0)).aluminium, AluminiumRisk::Likely);
    assert_eq!(judged(&known, 5.0, soil(0.35)).aluminium, AluminiumRisk::Possible);
    let (judge, found) = RiskJudge::new(&known, RiskLimits::for_target(None)).unwrap();
    assert_eq!(judge.evidence(), AluminiumEvidence::Saturation);
    assert_eq!(found[0].key, "aluminium_judged_by_saturation");
}

#[test]
fn manganese_and_overliming_go_by_water_ph() {
    let water = given(PhMedium::Water1To1, None, &[]);
    assert!(judged(&water, 4.99, SoilValues::default()).manganese);
    assert!(!judged(&water, 5.0, SoilValues::default()).manganese);
    // Limed to 6.5: the band ends at 7.0.
    assert!(judged(&water, 7.01, SoilValues::default()).overliming);
    assert!(!judged(&water, 7.0, SoilValues::default()).overliming);
    for (target, limit) in [(Some(5.5), 6.0), (Some(6.9), 7.0), (Some(7.2), 7.2), (None, 7.0)] {
        assert_eq!(RiskLimits::for_target(target).overliming_ph, limit, "{target:?}");
    }
    // pHCa = 1.05 pHw - 0.9 (Soil Science 145, 29, 1988): 4.35 in CaCl2 is 5.0 in water.
    let salt = given(PhMedium::CalciumChloride, None, &[]);
    assert!(judged(&salt, 4.34, SoilValues::default()).manganese);
    assert!(!judged(&salt, 4.36, SoilValues::default()).manganese);
    let kcl = given(PhMedium::PotassiumChloride, None, &[]);
    assert!(RiskJudge::new(&kcl, RiskLimits::for_target(None)).is_err());
}

#[test]
fn every_combination_has_its_words_and_the_worse_of_two_layers_counts() {
    let mut seen = std::collections::BTreeSet::new();
    for aluminium in [AluminiumRisk::None, AluminiumRisk::Possible, AluminiumRisk::Likely] {
        for (manganese, overliming) in [(false, false), (true, false), (false, true)] {
            seen.insert(SoilRisk { aluminium, manganese, overliming }.words());
        }
    }
    assert!(seen.iter().all(|words| SoilRisk::WORDS.contains(words)));
    assert_eq!(seen.len(), SoilRisk::WORDS.len());
    let low = SoilRisk { aluminium: AluminiumRisk::Likely, manganese: false, overliming: false };
    let high = SoilRisk { aluminium: AluminiumRisk::None, manganese: true, overliming: false };
    assert_eq!(low.or(high).words(), "aluminium likely, manganese");
}

#[test]
fn every_source_is_in_the_bibliography() {
    assert!(RiskLimits::sources().iter().all(|citation| citation.source().is_some()));
}
