//! The methods that go by what a soil is made of, and those from memory: published cells, limits,
//! refusals.

use super::*;
use crate::findings::Refusal;
use crate::units::{DepthInterval, Length, SoilValue, TextureClass, bound};

const VERMONT: &str = "ph-aluminium-vermont";
const VICTORIA: &str = "texture-victoria";

/// What a job for `id` gives, in the method's own medium, buffer and extract, sampled to `depth`.
fn given_for(id: &str, depth: Length) -> Given {
    let card = method(id).unwrap().card();
    let ph_medium = card.ph_medium.example();
    Given {
        sampled_depth: DepthInterval::down_to(depth).unwrap(),
        ph_medium,
        buffer: card.buffer,
        al_extract: card.al_extract,
        units: ValueUnits::default(),
        bulk_density: None,
        capacity_read: Some(CapacityReading::Equilibrium),
    }
}

fn ask(target_ph: f64, limed_depth: Length) -> Ask {
    Ask { target: Target::Ph(target_ph), treat_below: None, limed_depth, part: None }
}

fn prepare(id: &str, target_ph: f64, depth: Length) -> (Prepared, Given) {
    let given = given_for(id, depth);
    (method(id).unwrap().prepare(&ask(target_ph, depth), &given).unwrap().0, given)
}

fn refused(id: &str, target_ph: f64, given: &Given) -> Refusal {
    let asked = ask(target_ph, given.sampled_depth.bottom());
    method(id).unwrap().prepare(&asked, given).expect_err("refused")
}

/// A layer that reads what `inputs` says: `ph=5.2;texture=loam;cec=6 meq/100 g`.
fn layer(given: &Given, inputs: &str) -> Layer {
    let (mut ph, mut buffer_ph, mut texture) = (None, None, None);
    let mut values = SoilValues::default();
    for (key, text) in inputs.split(';').filter_map(|pair| pair.split_once('=')) {
        match key {
            "ph" => ph = Some(text.parse().unwrap()),
            "buffer_ph" => buffer_ph = Some(text.parse().unwrap()),
            "texture" => texture = TextureClass::from_words(text),
            key => {
                let value = SoilValue::of_key(key).unwrap();
                values = values.with(value, value.bounded().read(text).unwrap());
            }
        }
    }
    let numbers = SoilValue::ALL.into_iter().filter_map(|of| Some((of, values.get(of)?)));
    let start = SoilValues::of_texture(texture);
    let values = numbers.fold(start, |all, (value, number)| all.with(value, number));
    given.layer(ph, buffer_ph).with_values(values)
}

/// The need of a soil, in the unit and on the basis of the method's table.
fn need(id: &str, target_ph: f64, depth: Length, inputs: &str) -> f64 {
    let (prepared, given) = prepare(id, target_ph, depth);
    let card = method(id).unwrap().card();
    let need = prepared.need(&layer(&given, inputs)).unwrap().need;
    card.need_unit.number(need) / card.basis.carbonate_share()
}

fn ten_cm() -> Length {
    Length::from_centimetres(10.0)
}

/// Rows: method, inputs, target, depth, expected, unit, tolerance.
#[test]
fn every_further_check_value_comes_out() {
    let text = include_str!("../../tests/data/check_values/more_methods.csv");
    let mut seen = std::collections::BTreeMap::new();
    for row in text.lines().skip(1) {
        let row: Vec<&str> = row.splitn(9, ',').collect();
        let number = |column: usize| row[column].parse::<f64>().unwrap();
        let depth = Length::from_metres(bound::LIMED_DEPTH.read(row[3]).unwrap());
        let card = method(row[0]).unwrap().card();
        assert_eq!(row[5], card.need_unit.words());
        let found = need(row[0], number(2), depth, row[1]);
        let tolerance = number(6).max(1e-9 * number(4)).max(1e-9);
        assert!((found - number(4)).abs() <= tolerance, "{row:?}: {found}");
        *seen.entry(row[0]).or_insert(0) += 1;
    }
    let expected = [
        ("adams-evans", 3),
        (VERMONT, 34),
        ("ph-texture", 15),
        ("ph-western-greece", 2),
        ("sikora-minnesota", 5),
        ("smp-brazil-south", 84),
        ("smp-kansas", 6),
        ("smp-michigan-1995", 9),
        ("smp-north-central", 63),
        ("texture-australia", 4),
        (VICTORIA, 5),
        ("titration", 1),
        ("turf-mehlich-pennsylvania", 114),
        ("weakly-buffered", 2),
    ];
    assert_eq!(seen.into_iter().collect::<Vec<_>>(), expected);
}

#[test]
fn vermont_rounds_before_it_classes_and_limes_nothing_at_the_target() {
    let need =
        |ph: &str, ppm: &str| need(VERMONT, 6.5, ten_cm(), &format!("ph={ph};aluminium={ppm} ppm"));
    for (ph, ppm, expected) in [
        ("5.549", "30", 2.25),
        ("5.55", "30", 1.5),
        ("6.149", "40.49", 1.5),
        ("6.15", "40.49", 0.5),
        ("6.15", "40.5", 1.0),
        // Rounded it is 6.5, and it is below its target.
        ("6.49", "300", 1.0),
        // The print asks for 1.0 up to 6.7.
        ("6.5", "300", 0.0),
        ("6.6", "300", 0.0),
    ] {
        assert!((need(ph, ppm) - expected).abs() < 1e-9, "{ph} {ppm}: {}", need(ph, ppm));
    }
}

#[test]
fn aluminium_by_another_extract_is_never_taken() {
    let good = given_for(VERMONT, ten_cm());
    for extract in [
        Some(AlExtract::PotassiumChloride),
        Some(AlExtract::CalciumChloride),
        Some(AlExtract::Mehlich3),
        None,
    ] {
        let refusal = refused(VERMONT, 6.5, &Given { al_extract: extract, ..good });
        let [problem] = refusal.problems() else { panic!("{refusal}") };
        assert_eq!(problem.allowed, "samples.al_extract = \"modified Morgan\"");
        assert!(problem.what.contains(extract.map_or("does not say", AlExtract::words)));
    }
    let (prepared, given) = prepare(VERMONT, 6.5, ten_cm());
    let without = layer(&given, "ph=5.8");
    assert_eq!(prepared.need(&without), Err(Missing::Value(SoilValue::Aluminium)));
    assert!(prepared.reads_value(SoilValue::Aluminium) && !prepared.reads_value(SoilValue::Cec));
    // A method that reads no aluminium does not mind how it was extracted.
    let given = Given { al_extract: Some(AlExtract::Mehlich3), ..given_for(VICTORIA, ten_cm()) };
    assert!(method(VICTORIA).unwrap().prepare(&ask(5.5, ten_cm()), &given).is_ok());
}

#[test]
fn a_texture_class_without_a_column_is_missing_and_never_its_neighbour() {
    let (prepared, given) = prepare("ph-texture", 6.5, ten_cm());
    assert_eq!(prepared.textures(), method("ph-texture").unwrap().card().textures);
    let at = |inputs| prepared.need(&layer(&given, inputs)).map(|need| need.why);
    assert_eq!(at("ph=5.0;texture=silt loam"), Err(Missing::NeedsOf(TextureClass::SiltLoam)));
    assert_eq!(at("ph=5.0"), Err(Missing::Texture));
    assert_eq!(at("ph=5.0;texture=loam"), Ok(Why::Table));
    assert_eq!(at("ph=3.9;texture=loam"), Ok(Why::BelowTable));
    assert_eq!(at("ph=6.2;texture=loam"), Ok(Why::Derived));
    assert_eq!(at("ph=6.5;texture=loam"), Ok(Why::AtTrigger));
    assert_eq!(prepared.zero_need_reading(), Some(6.5));
    assert_eq!(prepared.range(), (4.0, 6.5));
    // Half way from the row 6.0 to the target half of its need is left; between rows it is linear.
    for (inputs, expected) in [
        ("ph=6.25;texture=clay loam", 2.75),
        ("ph=5.75;texture=clay loam", 8.0),
        ("ph=4.75;texture=sandy loam", 8.75),
    ] {
        let found = need("ph-texture", 6.5, ten_cm(), inputs);
        assert!((found - expected).abs() < 1e-9, "{inputs}: {found}");
    }
    // 10.5 lb/100 ft2 are 2.287 ton/ac.
    let (prepared, given) = prepare("ph-texture", 6.5, ten_cm());
    let need = prepared.need(&layer(&given, "ph=5.0;texture=loam")).unwrap().need;
    assert!((need.to_short_tons_per_acre() - 2.287).abs() < 0.001);
}

#[test]
fn victoria_adds_its_layers_and_what_more_carbon_asks_for() {
    let of = |part: [f64; 2], inputs: &str| {
        let [top, bottom] = part.map(Length::from_centimetres);
        let part = DepthInterval::new(top, bottom);
        let given = given_for(VICTORIA, Length::from_centimetres(20.0));
        let asked = Ask { part, ..ask(5.5, Length::from_centimetres(20.0)) };
        let (prepared, findings) = method(VICTORIA).unwrap().prepare(&asked, &given).unwrap();
        assert!(findings.is_empty(), "{findings:?}");
        prepared.need(&layer(&given, inputs)).unwrap().need.to_tonnes_per_hectare()
    };
    // Clay loam a whole pH with 1.5 % carbon, and clay half a pH below it: 3.103 + 1.923.
    let top = of([0.0, 10.0], "ph=4.5;texture=clay loam;organic_carbon=1.5 %");
    let below = of([10.0, 20.0], "ph=5.0;texture=clay;organic_carbon=0.8 %");
    assert!((top + below - 5.026).abs() < 0.005, "{top} {below}");
    // 1.2 % is not above 1.2 %.
    let carbon = |percent: &str| {
        need(VICTORIA, 5.5, ten_cm(), &format!("ph=4.5;texture=sand;organic_carbon={percent}"))
    };
    assert!((carbon("1.2 %") - 1.0 / 0.67).abs() < 1e-9);
    assert!((carbon("12 g/kg") - 1.0 / 0.67).abs() < 1e-9);
    assert!((carbon("1.21 %") - 1.0 / 0.67 - 0.4).abs() < 1e-9);
    // At the target nothing is needed, and nothing is added to it.
    let at_target = need(VICTORIA, 5.5, ten_cm(), "ph=5.5;texture=sand;organic_carbon=3 %");
    assert_eq!(at_target, 0.0);
    let refusal = refused(VICTORIA, 7.0, &given_for(VICTORIA, ten_cm()));
    assert_eq!(refusal.problems()[0].allowed, "pH 4.5 to 6.5");
}

#[test]
fn a_weakly_buffered_soil_is_held_to_the_most_and_a_stronger_one_has_no_need_here() {
    let at = |inputs: &str| need("weakly-buffered", 6.5, ten_cm(), inputs);
    assert!((at("ph=6.15;cec=6.9 meq/100 g") - 1.0).abs() < 1e-9);
    assert!((at("ph=5.801;cec=3 meq/100 g") - 0.699 / 0.35).abs() < 1e-9);
    assert!((at("ph=4.0;cec=3 meq/100 g") - 2.0).abs() < 1e-9);
    let (prepared, given) = prepare("weakly-buffered", 6.5, ten_cm());
    let strong = layer(&given, "ph=5.8;cec=7 meq/100 g");
    assert_eq!(prepared.need(&strong), Err(Missing::NeedsAt(SoilValue::Cec)));
    assert_eq!(prepared.holds_below(SoilValue::Cec), Some(7.0));
    assert_eq!(prepared.holds_below(SoilValue::Acidity), None);
    assert_eq!(prepare(VERMONT, 6.5, ten_cm()).0.holds_below(SoilValue::Cec), None);
}

#[test]
fn numbers_from_memory_are_told_and_never_proposed() {
    let remembered: Vec<_> = all_methods().iter().filter(|m| m.card().from_memory).collect();
    assert_eq!(remembered.len(), 6);
    for method in remembered {
        let card = method.card();
        let target = card.targets.first().copied().unwrap_or(6.5);
        let depth = card.depth.unwrap_or_else(ten_cm);
        let given = given_for(&card.id, depth);
        let (_, findings) = method.prepare(&ask(target, depth), &given).unwrap();
        assert!(findings.iter().any(|found| found.key == "numbers_from_memory"), "{}", card.id);
        assert!(card.assumptions().contains(&MethodCard::WRITTEN_FROM_MEMORY));
        let told = card.notes.iter().any(|note| note.contains("from memory"));
        assert!(told, "{}", card.id);
        for target in [5.5, 6.0, 6.5, 6.8, 7.0].map(Target::Ph) {
            assert!(!registry::ids_serving(target).contains(&card.id.as_str()));
        }
    }
}

#[test]
fn a_least_need_is_told_and_minnesota_limes_below_six_only() {
    let (prepared, given) = prepare("sikora-minnesota", 6.5, ten_cm());
    assert_eq!((prepared.trigger(), prepared.zero_need_reading()), (Some(6.0), None));
    let at = |inputs: &str| prepared.need(&layer(&given, inputs)).unwrap().why;
    assert_eq!(at("ph=5.5;buffer_ph=6.81"), Why::BelowLeast);
    assert_eq!(at("ph=5.5;buffer_ph=6.8"), Why::Table);
    assert_eq!(at("ph=6.0;buffer_ph=6.0"), Why::AtTrigger);
    // Lines that fall to nothing are followed there.
    let michigan = prepare("smp-michigan-1995", 6.5, Length::from_inches(8.0)).0;
    assert!((michigan.zero_need_reading().unwrap() - 60.4 / 8.7).abs() < 1e-9);
    assert_eq!(prepare("adams-evans", 6.5, ten_cm()).0.zero_need_reading(), Some(8.0));
}

#[test]
fn a_titration_needs_its_time_and_takes_the_density_of_the_soil() {
    let good = given_for("titration", Length::from_inches(6.0));
    let with =
        |capacity_read, bulk_density: Option<f64>| Given { bulk_density, capacity_read, ..good };
    let said = refused("titration", 5.5, &with(None, None)).to_string();
    assert!(said.contains("does not say after what time"), "{said}");
    let pounds = |given: &Given, depth_in: f64, inputs: &str| {
        let asked = ask(5.5, Length::from_inches(depth_in));
        let (prepared, found) = method("titration").unwrap().prepare(&asked, given).unwrap();
        let need = prepared.need(&layer(given, inputs)).unwrap().need;
        let told = found.iter().any(|finding| finding.key == "soil_mass_by_convention");
        assert_eq!(told, given.bulk_density.is_none());
        need.to_pounds_per_acre()
    };
    let read = |number: f64| format!("ph=4.5;buffer_capacity={number} mg/kg per pH");
    let at_rest = with(Some(CapacityReading::Equilibrium), None);
    let early = with(Some(CapacityReading::ThirtyMinutes), None);
    // 386.84 mg/kg of 2,000,000 lb; 200 after 30 minutes come to the same.
    assert!((pounds(&at_rest, 6.0, &read(386.84)) - 773.68).abs() < 1e-6);
    assert!((pounds(&early, 6.0, &read(200.0)) - 773.68).abs() < 1e-6);
    assert!((pounds(&early, 3.0, &read(200.0)) - 386.84).abs() < 1e-6);
    // 386.84 mg/kg of 1,300 kg/m3 x 0.1524 m are 0.07664 kg/m2.
    let dense = with(Some(CapacityReading::Equilibrium), Some(1.3));
    let kg_m2 = 386.84e-6 * 1_300.0 * 0.1524;
    let expected = kg_m2 * 4_046.856_422_4 / 0.453_592_37;
    assert!((pounds(&dense, 6.0, &read(386.84)) - expected).abs() < 1e-6);
    // At pH 5.4 and above the source limes nothing.
    let (prepared, given) = prepare("titration", 6.0, Length::from_inches(6.0));
    let why = |ph: f64| {
        let inputs = format!("ph={ph};buffer_capacity=300 mg/kg per pH");
        prepared.need(&layer(&given, &inputs)).unwrap().why
    };
    assert_eq!((why(5.4), why(5.39)), (Why::AtTrigger, Why::Table));
}
