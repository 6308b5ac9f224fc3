//! The methods that lime to a base or an aluminium saturation: published values, units, refusals.

use super::*;
use crate::findings::{Finding, Refusal};
use crate::units::{DepthInterval, Length, PhMedium, SoilValue, bound};

const MEASURED: &str = "base-saturation-brazil";
const PARAIBA: &str = "base-saturation-brazil-paraiba";
const PERNAMBUCO: &str = "base-saturation-brazil-pernambuco";
const CAIUA: &str = "base-saturation-brazil-caiua";
const ALUMINIUM: &str = "aluminium-saturation";
const ALL: [&str; 5] = [MEASURED, PARAIBA, PERNAMBUCO, CAIUA, ALUMINIUM];

/// What a job gives of a soil: `buffer_ph=6.0;calcium=1.0 cmol/dm3;bulk_density=1.2 g/cm3`.
fn given(id: &str, inputs: &str) -> (Given, Option<f64>, SoilValues) {
    let card = method(id).unwrap().card();
    let mut given = Given {
        sampled_depth: DepthInterval::down_to(twenty()).unwrap(),
        ph_medium: PhMedium::Water1To2Point5,
        buffer: card.buffer,
        al_extract: card.al_extract,
        bulk_density: None,
        units: ValueUnits::default(),
        capacity_read: None,
    };
    let (mut buffer_ph, mut values) = (None, SoilValues::default());
    for (key, text) in inputs.split(';').filter_map(|pair| pair.split_once('=')) {
        match key {
            "buffer_ph" => buffer_ph = Some(text.parse().unwrap()),
            "bulk_density" => {
                given.bulk_density = Some(bound::SOIL_DENSITY.read(text).unwrap() / 1_000.0);
            }
            key => {
                let value = SoilValue::of_key(key).unwrap();
                values = values.with(value, value.bounded().read(text).unwrap());
                let unit = text.split_once(' ').unwrap().1;
                given.units.set(value, value.unit_written(unit).unwrap());
            }
        }
    }
    (given, buffer_ph, values)
}

fn twenty() -> Length {
    Length::from_centimetres(20.0)
}

fn ask(target: Target) -> Ask {
    Ask { target, treat_below: None, limed_depth: twenty(), part: None }
}

fn prepare(id: &str, percent: f64, given: &Given) -> (Prepared, Vec<Finding>) {
    let method = method(id).unwrap();
    method.prepare(&ask(method.card().aim.target(percent)), given).unwrap()
}

/// The need of a soil of pH 5, t/ha.
fn need(id: &str, percent: f64, inputs: &str) -> f64 {
    let (given, buffer_ph, values) = given(id, inputs);
    let (prepared, _) = prepare(id, percent, &given);
    let layer = given.layer(Some(5.0), buffer_ph).with_values(values);
    prepared.need(&layer).unwrap().need.to_tonnes_per_hectare()
}

fn refused(id: &str, target: Target, given: &Given) -> Refusal {
    method(id).unwrap().prepare(&ask(target), given).expect_err("refused")
}

fn near(found: f64, expected: f64) -> bool {
    (found - expected).abs() < 1e-9
}

/// Rows: method, inputs, target in percent, depth, expected, unit, tolerance.
#[test]
fn every_check_value_of_the_saturations_comes_out() {
    let text = include_str!("../../tests/data/check_values/saturation.csv");
    let mut seen = [0; ALL.len()];
    for row in text.lines().skip(1) {
        let row: Vec<&str> = row.splitn(9, ',').collect();
        let number = |column: usize| row[column].parse::<f64>().unwrap();
        assert_eq!((row[3], row[5]), ("20 cm", "t/ha"));
        let found = need(row[0], number(2), row[1]);
        assert!((found - number(4)).abs() <= number(6), "{row:?}: {found}");
        seen[ALL.iter().position(|id| *id == row[0]).unwrap()] += 1;
    }
    assert_eq!(seen, [5, 4, 4, 5, 5]);
}

const SOIL: &str = "calcium=0.9 cmol/dm3;magnesium=0.4 cmol/dm3;potassium=0.2 cmol/dm3";

#[test]
fn the_regional_equations_differ_and_none_comes_below_nothing() {
    let at = |id: &str, buffer: f64| need(id, 100.0, &format!("buffer_ph={buffer};{SOIL}"));
    // To 100 % the need is all the potential acidity.
    assert!(at(PARAIBA, 5.0) > at(PERNAMBUCO, 5.0) && at(PERNAMBUCO, 5.0) > at(CAIUA, 5.0));
    for (id, zero) in [(PARAIBA, Some(7.5166)), (PERNAMBUCO, None), (CAIUA, Some(7.6244))] {
        let (given, ..) = given(id, "");
        let (prepared, _) = prepare(id, 60.0, &given);
        let found = prepared.zero_need_reading();
        assert!(found.zip(zero).is_none_or(|(found, zero)| (found - zero).abs() < 1e-3), "{id}");
        assert_eq!(found.is_some(), zero.is_some(), "{id}");
        // The parabolas turn beyond all readings that are taken.
        assert_eq!(prepared.range(), (bound::BUFFER_PH.least, bound::BUFFER_PH.most), "{id}");
        let mut last = f64::INFINITY;
        for reading in (30..=85).map(|tenths| f64::from(tenths) / 10.0) {
            let now = at(id, reading);
            assert!(now >= 0.0 && now <= last, "{id} {reading}: {now} after {last}");
            last = now;
        }
    }
    assert_eq!((at(PARAIBA, 7.6), at(CAIUA, 7.7)), (0.0, 0.0));
    // 38.448 - 8.4855 x 8.5 + 0.4837 x 8.5^2.
    assert!(near(at(PERNAMBUCO, 8.5), 1.268_575));
}

#[test]
fn charge_by_mass_takes_the_density_of_the_soil_openly_and_is_refused_without_it() {
    let by_volume = format!("{SOIL};potential_acidity=4.5 cmol/dm3");
    let by_mass = by_volume.replace("dm3", "kg");
    let volume = need(MEASURED, 60.0, &by_volume);
    assert!(near(volume, 0.6 * 6.0 - 1.5));
    let dense = format!("{by_mass};bulk_density=1.3 g/cm3");
    assert!(near(need(MEASURED, 60.0, &dense), 1.3 * volume));
    // A density changes nothing of what is by volume, and one value may be of another kind.
    assert_eq!(need(MEASURED, 60.0, &format!("{by_volume};bulk_density=1.3 g/cm3")), volume);
    let mixed = dense.replace("potential_acidity=4.5 cmol/kg", "potential_acidity=4.5 cmol/dm3");
    assert!(near(need(MEASURED, 60.0, &mixed), 0.6 * (1.5 * 1.3 + 4.5) - 1.5 * 1.3));
    let (with, ..) = given(MEASURED, &dense);
    let (prepared, findings) = prepare(MEASURED, 60.0, &with);
    assert!(prepared.takes_density());
    let told = &findings.iter().find(|found| found.key == "charges_by_density").unwrap().text;
    for part in ["1.3 kg/dm3", "exchangeable calcium (cmol/kg)", "potential acidity"] {
        assert!(told.contains(part), "{part}: {told}");
    }
    let (of_volume, ..) = given(MEASURED, &by_volume);
    let (prepared, findings) = prepare(MEASURED, 60.0, &of_volume);
    assert!(!prepared.takes_density() && findings.is_empty(), "{findings:?}");
    let (without, ..) = given(MEASURED, &by_mass);
    let refusal = refused(MEASURED, Target::BaseSaturation(0.6), &without);
    let [problem] = refusal.problems() else { panic!("{refusal}") };
    assert!(problem.what.contains("exchangeable magnesium (cmol/kg)"), "{problem}");
    assert!(problem.allowed.contains("samples.bulk_density"), "{problem}");
}

#[test]
fn a_target_of_another_kind_is_refused_with_the_methods_that_take_it() {
    let said = |id: &str, target: Target| {
        let (given, ..) = given(id, "");
        let refusal = refused(id, target, &given);
        let [problem] = refusal.problems() else { panic!("{refusal}") };
        problem.to_string()
    };
    let ph = said(MEASURED, Target::Ph(6.0));
    for part in [
        "limes to a base saturation, and the job's target is a pH, pH 6.0",
        "target.base_saturation: 10 to 100 % base saturation",
        "a method that limes to a pH: ",
        "sikora-oregon",
    ] {
        assert!(ph.contains(part), "{part}: {ph}");
    }
    assert!(!ph.contains("smp-brazil-south"), "from memory: {ph}");
    let bases = said(ALUMINIUM, Target::BaseSaturation(0.6));
    assert!(bases.contains("limes to an aluminium saturation"), "{bases}");
    assert!(bases.contains(&[MEASURED, PARAIBA, PERNAMBUCO, CAIUA].join(", ")), "{bases}");
    let (iowa, ..) = given("smp-iowa", "");
    let iowa = refused("smp-iowa", Target::AluminiumSaturation(0.2), &iowa).to_string();
    assert!(iowa.contains("`smp-iowa` limes to a pH"), "{iowa}");
    assert!(iowa.contains("a method that limes to an aluminium saturation: aluminium-saturation"));
}

#[test]
fn a_target_of_the_right_kind_outside_the_range_is_refused() {
    for (id, share) in [(MEASURED, 0.05), (ALUMINIUM, 0.95)] {
        let card = method(id).unwrap().card();
        let target = card.aim.target(share * 100.0);
        let (given, ..) = given(id, "");
        let refusal = refused(id, target, &given);
        let problem = &refusal.problems()[0];
        assert!(problem.what.contains(&target.words()), "{problem}");
        assert_eq!(problem.allowed, card.targets_in_words());
        assert!(!card.serves(Target::Ph(share)) && !card.serves(target));
    }
    let card = method(ALUMINIUM).unwrap().card();
    assert!(card.serves(Target::AluminiumSaturation(0.0)));
    assert!(card.serves(Target::AluminiumSaturation(0.9)));
    assert!(!card.serves(Target::BaseSaturation(0.6)));
}

#[test]
fn no_ph_decides_unless_the_job_says_so_and_it_is_taken_as_read() {
    let inputs = format!("{SOIL};potential_acidity=4.5 cmol/dm3");
    let (mut given, _, values) = given(MEASURED, &inputs);
    // No equation leads from this medium to water.
    given.ph_medium = PhMedium::PotassiumChloride;
    let of = |treat_below: Option<f64>, ph: f64| {
        let ask = Ask { treat_below, ..ask(Target::BaseSaturation(0.6)) };
        let (prepared, findings) = method(MEASURED).unwrap().prepare(&ask, &given).unwrap();
        assert!(findings.is_empty(), "{findings:?}");
        assert_eq!(prepared.trigger(), treat_below);
        prepared.need(&given.layer(Some(ph), None).with_values(values)).unwrap().why
    };
    assert_eq!((of(None, 9.0), of(Some(5.0), 4.9)), (Why::Table, Why::Table));
    assert_eq!(of(Some(5.0), 5.0), Why::AtTrigger);
    let odd = Ask { treat_below: Some(60.0), ..ask(Target::BaseSaturation(0.6)) };
    assert!(method(MEASURED).unwrap().prepare(&odd, &given).is_err());
}

#[test]
fn aluminium_by_another_extract_and_another_buffer_are_refused() {
    let (good, ..) = given(ALUMINIUM, "");
    for extract in [Some(AlExtract::CalciumChloride), Some(AlExtract::Mehlich3), None] {
        let with = Given { al_extract: extract, ..good };
        let refusal = refused(ALUMINIUM, Target::AluminiumSaturation(0.2), &with);
        assert_eq!(refusal.problems()[0].allowed, "samples.al_extract = \"KCl 1 M\"");
    }
    let (good, ..) = given(CAIUA, "");
    let with = Given { buffer: Some(Buffer::Sikora), ..good };
    let refusal = refused(CAIUA, Target::BaseSaturation(0.6), &with).to_string();
    assert!(refusal.contains("was made for the smp buffer"), "{refusal}");
}

#[test]
fn the_need_follows_the_depth_and_its_layers() {
    let inputs = format!("{SOIL};potential_acidity=4.5 cmol/dm3");
    let (given, _, values) = given(MEASURED, &inputs);
    let of = |limed: f64, part: Option<[f64; 2]>| {
        let limed_depth = Length::from_centimetres(limed);
        let ends = part.map(|ends| ends.map(Length::from_centimetres));
        let part = ends.and_then(|[top, bottom]| DepthInterval::new(top, bottom));
        let ask = Ask { limed_depth, part, ..ask(Target::BaseSaturation(0.6)) };
        let (prepared, _) = method(MEASURED).unwrap().prepare(&ask, &given).unwrap();
        let layer = given.layer(Some(5.0), None).with_values(values);
        prepared.need(&layer).unwrap().need.to_tonnes_per_hectare()
    };
    assert!(near(of(20.0, None), 2.1) && near(of(30.0, None), 3.15));
    assert!(near(of(30.0, Some([20.0, 30.0])), 1.05));
    // One centimole of charge over 20 cm is 1 t/ha of carbonate: 20,000 moles of 50.04 g.
    let grams: f64 = (40.078 + 12.011 + 3.0 * 15.999) / 2.0;
    assert!((20_000.0 * grams / 1e6 - 1.0).abs() < 1e-3);
}

#[test]
fn every_publication_of_a_regional_equation_is_in_the_bibliography() {
    let mut seen = 0;
    for (_, text) in registry::TABLES {
        let table = MethodTable::from_json(text).unwrap();
        for curve in table.base_saturation.iter().filter_map(|rule| rule.acidity.as_ref()) {
            assert!(crate::sources::source(&curve.source).is_some(), "{}", curve.source);
            assert!(!curve.locator.is_empty());
            seen += 1;
        }
    }
    assert_eq!(seen, 3);
}

#[test]
fn the_steps_tell_the_density_the_acidity_and_the_jump() {
    let steps = |id: &str, percent: f64, inputs: &str| -> Vec<Step> {
        let (given, buffer_ph, values) = given(id, inputs);
        let (prepared, _) = prepare(id, percent, &given);
        let layer = given.layer(Some(5.0), buffer_ph).with_values(values);
        let trace = prepared.trace(&layer, crate::units::UnitSystem::Metric).unwrap();
        let need = prepared.need(&layer).unwrap().need;
        assert!((trace.need - need).abs() <= need * 1e-12);
        trace.steps
    };
    let words = |steps: &[Step], key: &str| {
        let found = steps.iter().filter(|step| step.key == key);
        found.map(|step| step.words.clone()).collect::<Vec<_>>().join(" | ")
    };
    let caiua = steps(CAIUA, 60.0, &format!("buffer_ph=6.0;{SOIL}"));
    let acidity = caiua.iter().find(|step| step.key == "acidity_by_buffer").unwrap();
    assert!(acidity.words.contains("20.1925 - 2.6484 x 6.0 = 4.3021"), "{}", acidity.words);
    assert!(acidity.source.as_ref().unwrap().contains("Caiuá"), "{:?}", acidity.source);
    let said = words(&caiua, "base_saturation");
    assert!(said.contains("Ca + Mg + K + (H + Al) = 0.9 + 0.4 + 0.2 + 4.3021 = 5.8021"), "{said}");
    let said = words(&caiua, "need_of_bases");
    assert!(said.contains("(60 - 25.852709) x 5.8021 / 100 x 1 = 1.9813 t/ha"), "{said}");
    let none = steps(PARAIBA, 60.0, &format!("buffer_ph=7.8;{SOIL}"));
    assert!(words(&none, "acidity_by_buffer").contains("none less than nothing"));
    assert!(words(&none, "need_of_bases").contains("is reached"));
    let soil = "aluminium=3 cmol/kg;calcium=1 cmol/kg;magnesium=0.5 cmol/kg;bulk_density=1.2 g/cm3";
    let jump = steps(ALUMINIUM, 20.0, soil);
    assert_eq!(jump.iter().filter(|step| step.key == "charge_by_volume").count(), 3);
    assert!(words(&jump, "charge_by_volume").contains("3 cmol/kg x 1.2 kg/dm3 = 3.6 cmol/dm3"));
    let said = words(&jump, "need_of_aluminium");
    assert!(said.contains("is more than the aluminium, 3.6, so 2 stands in for 1.5"), "{said}");
    assert!(said.contains("2 x 2.52 x 1 = 5.04 t/ha"), "{said}");
    let calm = "aluminium=2 cmol/dm3;calcium=1.5 cmol/dm3;magnesium=0.5 cmol/dm3";
    let calm = steps(ALUMINIUM, 40.0, calm);
    assert!(calm.iter().all(|step| step.key != "charge_by_volume"));
    assert!(!words(&calm, "need_of_aluminium").contains("stands in"));
}
