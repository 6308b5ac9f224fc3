//! The methods that go by what a soil is made of: a small job of each, by hand.

use super::support::{JOB, Job, assert_near};

/// A square of about 200 m, and four samples 120 m apart that all read the same.
const BOUNDARY: &str = r#"{"type":"Polygon","coordinates":[[[-72.5012,44.4991],[-72.4988,44.4991],
    [-72.4988,44.5009],[-72.5012,44.5009],[-72.5012,44.4991]]]}"#;
const PLACES: [(f64, f64); 4] =
    [(-72.5007, 44.4995), (-72.4993, 44.4995), (-72.5007, 44.5005), (-72.4993, 44.5005)];

fn table(header: &str, values: [&str; 4]) -> String {
    let rows = PLACES.iter().zip(values).enumerate();
    let rows: Vec<String> = rows
        .map(|(index, ((lon, lat), values))| format!("S{index},{lon},{lat},{values}\n"))
        .collect();
    format!("sample_id,lon,lat,{header}\n{}", rows.concat())
}

/// The job with another method, and `samples` in place of its buffer.
fn job(method: &str, samples: &str) -> String {
    let buffer = "buffer = \"smp\"\nbuffer_blank_above = 6.5";
    assert!(JOB.contains(buffer) && JOB.contains("smp-iowa"));
    JOB.replace(buffer, samples).replace("smp-iowa", method)
}

fn needs(job: &str, samples: &str) -> Vec<f64> {
    let outcome = Job::new(job, BOUNDARY, samples).prescribed(&[]);
    let need = |feature: &serde_json::Value| feature["properties"]["need_ton_ac"].as_f64();
    outcome.features().iter().map(|feature| need(feature).unwrap()).collect()
}

/// What `explain` says at the middle of the field, its line breaks taken out.
fn explained(job: &str, samples: &str) -> String {
    let job = Job::new(job, BOUNDARY, samples);
    let output = job.run(&["explain", "job.toml", "--at=-72.50013,44.50021"]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).unwrap();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

const MORGAN: &str = "al_extract = \"modified Morgan\"\nunits.aluminium = \"ppm\"";

#[test]
fn vermont_needs_what_its_class_prints_and_tells_the_rounding() {
    let job = job("ph-aluminium-vermont", MORGAN);
    let samples = table("pH,aluminium", ["5.8,90"; 4]);
    for need in needs(&job, &samples) {
        // pH 5.6-6.1, 71-100 ppm: 2.25 ton/ac.
        assert_near(need, 2.25, 1e-5, "need");
    }
    let said = explained(&job, &samples);
    for part in ["rounded first, half up (ours)", "above 5.5 up to 6.1", "above 70 up to 100 ppm"] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let outcome = Job::new(&job, BOUNDARY, &samples).prescribed(&[]);
    assert_eq!(outcome.summary["sensitivity"]["reading"], "ph");
    assert_near(outcome.value("/sensitivity/step"), -0.1, 0.0, "step");
    assert_eq!(outcome.summary["soil"]["aluminium"]["measured_in"], "ppm");
}

#[test]
fn aluminium_by_another_extract_or_without_a_unit_is_refused() {
    let samples = table("pH,aluminium", ["5.8,90"; 4]);
    let said = |samples_keys: &str| {
        Job::new(&job("ph-aluminium-vermont", samples_keys), BOUNDARY, &samples).refused(&[])
    };
    let other = said(&MORGAN.replace("modified Morgan", "KCl 1 M"));
    assert!(other.contains("with KCl 1 M") && other.contains("modified Morgan"), "{other}");
    let none = said("units.aluminium = \"ppm\"");
    assert!(none.contains("samples.al_extract does not say"), "{none}");
    let no_unit = said("al_extract = \"modified Morgan\"");
    assert!(no_unit.contains("samples.units.aluminium = \""), "{no_unit}");
    let missing =
        Job::new(&job("ph-aluminium-vermont", MORGAN), BOUNDARY, &table("pH", ["5.8"; 4]));
    let missing = missing.refused(&[]);
    assert!(missing.contains("aluminium"), "{missing}");
}

#[test]
fn a_texture_class_that_is_not_served_is_refused_with_every_sample() {
    let job = job("ph-texture", "");
    let good = table("pH,texture", ["5.0,loam"; 4]);
    for need in needs(&job, &good) {
        // 10.5 lb/100 ft2.
        assert_near(need, 10.5 * 435.6 / 2000.0, 1e-5, "need");
    }
    let odd = table("pH,texture", ["5.0,loam", "5.0,silt loam", "5.0,loam", "5.0,sand"]);
    let said = Job::new(&job, BOUNDARY, &odd).refused(&[]);
    for part in ["S1", "silt loam", "S3", "sandy loam, loam, clay loam"] {
        assert!(said.contains(part), "{part}: {said}");
    }
    assert!(!said.contains("S0") && !said.contains("S2"), "{said}");
    let said = Job::new(&job, BOUNDARY, &table("pH", ["5.0"; 4])).refused(&[]);
    assert!(said.contains("samples.columns.texture"), "{said}");
    // Above the highest printed row, and near the middle between two.
    let said = explained(&job, &table("pH,texture", ["6.25,clay loam"; 4]));
    assert!(said.contains("carried on in a straight line") && said.contains("2.75"), "{said}");
    let said = explained(&job, &table("pH,texture", ["4.75,sandy loam"; 4]));
    assert!(said.contains("sandy loam, pH 4.75 lies between") && said.contains("8.75"), "{said}");
}

#[test]
fn victoria_adds_two_layers_of_a_job() {
    let layers = job("texture-victoria", "units.organic_carbon = \"%\"")
        .replace("sampled_depth = \"0-6 in\"", "layers = [\"0-10 cm\", \"10-20 cm\"]")
        .replace("water 1:1", "CaCl2 0.01 M")
        .replace("ph = 6.5", "ph = 5.5")
        .replace("limed_depth = \"6 in\"", "limed_depth = \"20 cm\"");
    let rows: Vec<String> = PLACES
        .iter()
        .enumerate()
        .flat_map(|(index, (lon, lat))| {
            [
                format!("S{index},{lon},{lat},0-10 cm,4.5,clay loam,1.5\n"),
                format!("S{index},{lon},{lat},10-20 cm,5.0,clay,0.8\n"),
            ]
        })
        .collect();
    let header = "sample_id,lon,lat,depth,pH,texture,organic_carbon";
    let samples = format!("{header}\n{}", rows.concat());
    for need in needs(&layers, &samples) {
        // 1 / 0.37 + 0.4 and 0.5 / 0.26 t/ha.
        assert_near(need, (1.0 / 0.37 + 0.4 + 0.5 / 0.26) / 2.241_702, 1e-5, "need");
    }
    let said = explained(&layers, &samples);
    for part in
        ["On clay loam 1 t/ha raise the pH by 0.37", "the source adds 0.4 t/ha", "On clay 1"]
    {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn a_soil_that_is_not_weakly_buffered_is_refused_by_its_sample() {
    let job = job("weakly-buffered", "units.cec = \"cmol/kg\"");
    for need in needs(&job, &table("pH,CEC", ["5.8,5"; 4])) {
        assert_near(need, 2.0, 1e-5, "need");
    }
    let said = explained(&job, &table("pH,CEC", ["6.15,5"; 4]));
    for part in ["asks for 0.875 to 1.1667 ton/ac; taken at 0.35 (ours)", "2 ton/ac: not more"] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let odd = table("pH,CEC", ["5.8,5", "5.8,7", "5.8,6.9", "5.8,12"]);
    let said = Job::new(&job, BOUNDARY, &odd).refused(&[]);
    for part in ["S1", "S3", "12 cmol/kg", "buffer method"] {
        assert!(said.contains(part), "{part}: {said}");
    }
    assert!(!said.contains("S0") && !said.contains("S2"), "{said}");
}

#[test]
fn a_titration_asks_after_what_time_it_was_read() {
    let keys = "units.buffer_capacity = \"mg/kg per pH\"\nbuffer_capacity_read = \"30 min\"";
    let of = |keys: &str| job("titration", keys).replace("water 1:1", "CaCl2 0.01 M");
    let with = of(keys).replace("ph = 6.5", "ph = 5.5");
    let samples = table("pH,buffer_capacity", ["4.5,200"; 4]);
    for need in needs(&with, &samples) {
        assert_near(need, 773.68 / 2000.0, 1e-5, "need");
    }
    let said = explained(&with, &samples);
    assert!(said.contains("200 x (1.4742 + 0.0023 x 200) = 386.84"), "{said}");
    let outcome = Job::new(&with, BOUNDARY, &samples).prescribed(&[]);
    assert!(outcome.finding("soil_mass_by_convention").is_some());
    let dense = format!("{keys}\nbulk_density = \"1.3 t/m3\"");
    let dense = of(&dense).replace("ph = 6.5", "ph = 5.5");
    let outcome = Job::new(&dense, BOUNDARY, &samples).prescribed(&[]);
    assert!(outcome.finding("soil_mass_by_convention").is_none());
    let kg_m2 = 386.84e-6 * 1_300.0 * 0.1524;
    let need = outcome.value("/need_total") / outcome.value("/area");
    assert_near(need, kg_m2 * 10.0 / 2.241_702, 1e-6, "need at 1.3 t/m3");
    let silent = with.replace("\nbuffer_capacity_read = \"30 min\"", "");
    let said = Job::new(&silent, BOUNDARY, &samples).refused(&[]);
    assert!(said.contains("samples.buffer_capacity_read = \"equilibrium\""), "{said}");
}

#[test]
fn a_method_from_memory_runs_only_where_that_is_allowed_and_says_so() {
    let text = JOB.replace("smp-iowa", "smp-michigan-1995");
    let samples = table("pH,BpH", ["5.5,6.4"; 4]);
    let run = Job::new(&text, BOUNDARY, &samples);
    let said = run.refused(&[]);
    assert!(said.contains("--allow-unverified"), "{said}");
    let output = run.run(&["prescribe", "job.toml", "--allow-unverified"]);
    let told = |bytes: &[u8]| {
        let text = String::from_utf8_lossy(bytes).into_owned();
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(output.status.success(), "{}", told(&output.stderr));
    for bytes in [&output.stdout, &output.stderr] {
        assert!(told(bytes).contains("were written from memory"), "{}", told(bytes));
    }
    let listed = run.run(&["methods"]);
    assert!(told(&listed.stdout).contains("written from memory, not seen"));
}
