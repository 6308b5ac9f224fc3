//! What the laboratory recommends, taken as the need.

use super::support::{JOB, Job, assert_near};

const BOUNDARY: &str = r#"{"type":"Polygon","coordinates":[[[-77.0012,40.9991],[-76.9988,40.9991],
    [-76.9988,41.0009],[-77.0012,41.0009],[-77.0012,40.9991]]]}"#;
const PLACES: [(f64, f64); 4] =
    [(-77.0007, 40.9995), (-76.9993, 40.9995), (-77.0007, 41.0005), (-76.9993, 41.0005)];

fn table(header: &str, amounts: [&str; 4]) -> String {
    let rows = PLACES.iter().zip(amounts).enumerate();
    let rows: Vec<String> = rows
        .map(|(at, ((lon, lat), amount))| format!("S{at},{lon},{lat},5.6,{amount}\n"))
        .collect();
    format!("sample_id,lon,lat,pH,{header}\n{}", rows.concat())
}

/// A job by what is recommended, in 65 % material on a spreader with fine steps.
fn job(basis: &str) -> String {
    let pairs = [
        (
            "buffer = \"smp\"\nbuffer_blank_above = 6.5",
            "columns.lab_recommendation = \"lime\"\nunits.lab_recommendation = \"ton/ac\"",
        ),
        ("[target]\nph = 6.5\n", ""),
        ("smp-iowa", "lab-recommendation"),
        (
            "[material]",
            &format!("[need.lab]\nbasis = \"{basis}\"\ndepth = \"6 in\"\ntarget = 6.5\n[material]"),
        ),
        ("50 % as received", "65 % as received"),
        ("min_rate = \"1 ton/ac\"", "min_rate = \"0.01 ton/ac\""),
        ("max_rate = \"3 ton/ac\"", "max_rate = \"6 ton/ac\""),
        ("step = \"0.5 ton/ac\"", "step = \"0.01 ton/ac\""),
    ];
    pairs.iter().fold(JOB.to_owned(), |job, (line, by)| {
        assert!(job.contains(line), "{line}");
        job.replace(line, by)
    })
}

#[test]
fn two_tons_on_eighty_are_so_much_of_sixty_five() {
    // A practice question for crop advisers: 2 x 80 / 65 = 2.4615 ton/ac.
    let outcome = Job::new(&job("ECCE 80 %"), BOUNDARY, &table("lime", ["2"; 4])).prescribed(&[]);
    for feature in outcome.features() {
        let properties = &feature["properties"];
        assert_near(properties["need_ton_ac"].as_f64().unwrap(), 1.6, 1e-5, "need");
        // In steps of 0.01.
        assert_near(properties["rate_ton_ac"].as_f64().unwrap(), 2.46, 1e-9, "rate");
    }
    let told = outcome.finding("lab_recommendation_taken").expect("told");
    for part in ["2 ton/ac", "\"ECCE 80 %\": x 0.8 = 1.6 ton/ac", "1.6 / 0.65", "2.4615 ton/ac"] {
        assert!(told.contains(part), "{part}: {told}");
    }
    assert_eq!(outcome.summary["method"]["id"], "lab-recommendation");
    assert_eq!(outcome.summary["method"]["target_ph"], 6.5);
    assert!(outcome.summary["method"]["treat_below"].is_null());
}

#[test]
fn four_thousand_pounds_of_carbonate_are_so_much_of_sixty_five() {
    // 4000 / 2000 / 0.65 = 3.0769 ton/ac; the unit stands in the header.
    let job = job("100 % CCE").replace("\"lime\"", "\"lime (lb/ac)\"");
    let job = job.replace("units.lab_recommendation = \"ton/ac\"\n", "");
    let outcome = Job::new(&job, BOUNDARY, &table("lime (lb/ac)", ["4000"; 4])).prescribed(&[]);
    for feature in outcome.features() {
        let need = feature["properties"]["need_ton_ac"].as_f64().unwrap();
        assert_near(need / 0.65, 3.0769, 5e-5, "rate");
        let rate = feature["properties"]["rate_ton_ac"].as_f64().unwrap();
        assert_near(rate, 3.08, 1e-9, "rate in steps of 0.01");
    }
    let told = outcome.finding("lab_recommendation_taken").expect("told");
    assert!(told.contains("4000 lb/ac") && told.contains("6153.8462 lb/ac"), "{told}");
}

#[test]
fn a_recommendation_is_scaled_from_its_depth_and_drawn_between_samples() {
    let table = table("lime", ["1", "2", "3", "0"]);
    let of = |sets: &[&str]| {
        let outcome = Job::new(&job("100 % CCE"), BOUNDARY, &table).prescribed(sets);
        (outcome.value("/need_total"), outcome.finding("need_scaled_by_depth").is_some())
    };
    let (plain, told) = of(&[]);
    assert!(!told);
    let (deeper, told) = of(&["need.limed_depth=8 in"]);
    assert!(told);
    assert_near(deeper, plain * 8.0 / 6.0, 1e-5, "need");
    let outcome = Job::new(&job("100 % CCE"), BOUNDARY, &table).prescribed(&[]);
    let needs: Vec<f64> =
        outcome.features().iter().filter_map(|f| f["properties"]["need_ton_ac"].as_f64()).collect();
    assert!(needs.iter().any(|need| *need > 1.2 && *need < 1.8), "{needs:?}");
    assert!(outcome.summary["soil"]["lab_recommendation"].is_object());
}

#[test]
fn what_is_recommended_is_not_held_back_by_the_ph_but_by_the_job() {
    let high = table("lime", ["2"; 4]).replace(",5.6,", ",6.8,");
    let limed = Job::new(&job("100 % CCE"), BOUNDARY, &high).prescribed(&[]);
    assert!(limed.value("/need_total") > 0.0);
    let held = Job::new(&job("100 % CCE"), BOUNDARY, &high).prescribed(&["target.treat_below=6.4"]);
    assert_near(held.value("/need_total"), 0.0, 0.0, "need");
}

#[test]
fn basis_depth_and_target_are_asked_for_and_have_to_fit() {
    let table = table("lime", ["2"; 4]);
    let said = |from: &str, to: &str, sets: &[&str]| {
        let job = job("ECCE 80 %");
        assert!(job.contains(from), "{from}");
        Job::new(&job.replace(from, to), BOUNDARY, &table).refused(sets)
    };
    let all = "basis = \"ECCE 80 %\"\ndepth = \"6 in\"\ntarget = 6.5\n";
    let bare = said(all, "", &[]);
    for key in ["need.lab.basis", "need.lab.depth", "need.lab.target"] {
        assert!(bare.contains(key), "{key}: {bare}");
    }
    let odd = said("ECCE 80 %", "good lime", &[]);
    assert!(odd.contains("`good lime` is not a basis"), "{odd}");
    let other = said("[need.lab]", "[target]\nph = 6.8\n[need.lab]", &[]);
    assert!(other.contains("limes to pH 6.8") && other.contains("for pH 6.5"), "{other}");
    let unneeded = said("lab-recommendation", "smp-iowa", &["target.ph=6.5"]);
    assert!(unneeded.contains("need.method takes none"), "{unneeded}");
    let column = said("columns.lab_recommendation = \"lime\"\n", "", &[]);
    assert!(column.contains("recommended lime"), "{column}");
    let blank = Job::new(&job("ECCE 80 %"), BOUNDARY, &self::table("lime", ["2", "", "2", "2"]));
    let said = blank.refused(&[]);
    assert!(said.contains("the cell is blank"), "{said}");
    blank.prescribed(&["samples.missing=leave out"]);
}

#[test]
fn a_target_that_is_the_laboratorys_may_be_stated_and_the_place_explained() {
    let job = Job::new(&job("ECCE 80 %"), BOUNDARY, &table("lime", ["2"; 4]));
    let output = job.run(&["explain", "job.toml", "--set", "target.ph=6.5", "--at", "-77,41"]);
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(said.contains("from what the laboratory recommends"), "{said}");
}

#[test]
fn pounds_of_a_figure_over_tons_are_refused() {
    let said = Job::new(&job("lb CCE"), BOUNDARY, &table("lime", ["2"; 4])).refused(&[]);
    assert!(said.contains("`lb CCE`, and the column is in ton/ac"), "{said}");
    let said = Job::new(&job("NV 54"), BOUNDARY, &table("lime", ["2"; 4])).refused(&[]);
    assert!(said.contains("what the NV is counted as"), "{said}");
}
