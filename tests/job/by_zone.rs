//! Fields that take some attributes from samples at points and others from zones.
//!
//! The field is a square of 80 m in cells of 40 m, with a sample in the middle of each cell, where
//! it has all the weight. By the Iowa table to pH 6.5 (Iowa State University Extension, PM 1688,
//! 2002) buffer pH 6.4, 6.6 and 6.8 need 3,500, 2,100 and 600 lb CaCO3/ac, and ground at pH 6.5 and
//! above nothing; the half effective material and a spreader of 1 to 3 ton/ac in steps of 0.5 make
//! that 3.0 (capped), 2.0, 1.0 (raised) and 0.0 ton/ac.

use std::fs;

use super::data_checks::{grid, with_and_without};
use super::support::{Job, Outcome, assert_near};
use super::zones::{FIELD_AC, NEAR, cells_of, ground, zones};

pub(crate) const HALVES: [(&str, [f64; 4]); 2] =
    [("West", [-40.0, -40.0, 0.0, 40.0]), ("East", [0.0, -40.0, 40.0, 40.0])];
/// Sample, metres east and north, pH.
const POINTS: [(&str, [f64; 2], f64); 4] = [
    ("sw", [-20.0, -20.0], 5.5),
    ("nw", [-20.0, 20.0], 6.1),
    ("se", [20.0, -20.0], 5.8),
    ("ne", [20.0, 20.0], 6.7),
];
pub(crate) const RESULTS: &str = "zone,BpH,CEC (meq/100 g)\n west ,6.4,14\nEAST,6.8,9\n";
const BY_ZONE: &str = "samples.by_zone=[\"buffer_ph\", \"cec\"]";
pub(crate) const SETS: [&str; 4] = [
    "samples.zones=zones.geojson",
    "samples.zone_key=zone",
    "samples.zone_results=results.csv",
    BY_ZONE,
];

/// A table of the samples; `more` are their columns and cells behind the pH.
pub(crate) fn table(more: [&str; 5]) -> String {
    let mut rows = vec![format!("sample_id,lon,lat,pH{}", more[0])];
    for ((name, [east_m, north_m], ph), more) in POINTS.iter().zip(&more[1..]) {
        let at = ground().degrees(*east_m, *north_m);
        rows.push(format!("{name},{},{},{ph}{more}", at.lon_deg, at.lat_deg));
    }
    rows.join("\n") + "\n"
}

pub(crate) fn job_of(rectangles: &[(&str, [f64; 4])], samples: &str, results: &str) -> Job {
    let job = Job::new(super::support::JOB, &ground().boundary(), samples);
    fs::write(job.path("zones.geojson"), zones(rectangles)).unwrap();
    fs::write(job.path("results.csv"), results).unwrap();
    job
}

fn job() -> Job {
    job_of(&HALVES, &table([""; 5]), RESULTS)
}

fn with<'s>(more: &[&'s str]) -> Vec<&'s str> {
    SETS.iter().copied().chain(more.iter().copied()).collect()
}

/// What was said, without the breaks of lines.
fn flat(said: &str) -> String {
    said.replace('│', " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Zone, pH, buffer pH and rate of each cell, by its name.
fn shown(outcome: &Outcome) -> Vec<(String, String, f64, f64, f64)> {
    let all = outcome.features().iter().map(|feature| &feature["properties"]);
    let number = |cell: &serde_json::Value, key: &str| cell[key].as_f64().unwrap();
    let text = |cell: &serde_json::Value, key: &str| cell[key].as_str().unwrap().to_owned();
    let mut cells: Vec<_> = all
        .map(|cell| {
            let rate = number(cell, "rate_ton_ac");
            let soil = (number(cell, "ph"), number(cell, "buffer_ph"));
            (text(cell, "cell"), text(cell, "sample_zone"), soil.0, soil.1, rate)
        })
        .collect();
    cells.sort_by(|a, b| a.0.cmp(&b.0));
    cells
}

#[test]
fn a_cell_has_the_ph_of_the_points_and_the_buffer_of_its_zone() {
    let outcome = job().prescribed(&SETS);
    let cell = |name: &str, zone: &str, ph, buffer, rate| {
        (name.to_owned(), zone.to_owned(), ph, buffer, rate)
    };
    assert_eq!(
        shown(&outcome),
        [
            cell("0-0", "West", 5.5, 6.4, 3.0),
            cell("0-1", "East", 5.8, 6.8, 1.0),
            cell("1-0", "West", 6.1, 6.4, 3.0),
            cell("1-1", "East", 6.7, 6.8, 0.0),
        ]
    );
    let cec: Vec<&serde_json::Value> =
        outcome.features().iter().map(|f| &f["properties"]["cec_meq_100g"]).collect();
    assert_eq!(cec, [14.0, 9.0, 14.0, 9.0]);
    assert_near(outcome.value("/product_total"), 7.0 * FIELD_AC / 4.0, NEAR, "product");
    assert_near(outcome.value("/need_total"), (2.0 * 1.75 + 0.3) * FIELD_AC / 4.0, NEAR, "need");
    let soil = &outcome.summary["soil"];
    for (key, samples, mean, by_zone) in
        [("ph", 4, 6.025, false), ("buffer_ph", 2, 6.6, true), ("cec", 2, 11.5, true)]
    {
        assert_eq!(soil[key]["samples"], samples, "{key}");
        assert_eq!(soil[key]["by_zone"].as_bool().unwrap_or(false), by_zone, "{key}");
        assert_near(soil[key]["mean"].as_f64().unwrap(), mean, 1e-12, key);
    }
    let check = outcome.summary["interpolation"]["cross_check"].as_object().unwrap();
    assert_eq!(check.keys().collect::<Vec<_>>(), ["ph"], "zones say nothing of one another");
    let way = outcome.summary["interpolation"]["method"].as_str().unwrap();
    assert!(way.starts_with("natural neighbour;"), "{way}");
    assert!(
        way.ends_with("one value for each sample zone of buffer pH and cation exchange capacity"),
        "{way}"
    );
    // The means: pH 6.025 and buffer pH 6.6 ask for 2,100 lb.
    let composite = &outcome.summary["flat_rate"]["composite_soil"][0];
    assert_near(composite["ph"].as_f64().unwrap(), 6.025, 1e-12, "composite");
    assert_near(composite["buffer_ph"].as_f64().unwrap(), 6.6, 1e-12, "composite");
    assert_near(outcome.value("/flat_rate/composite/rate"), 2.0, 1e-9, "flat rate");
    let inputs = outcome.summary["inputs"].as_array().unwrap();
    let roles: Vec<&str> = inputs.iter().map(|input| input["role"].as_str().unwrap()).collect();
    assert_eq!(roles, ["job", "boundary", "samples", "zone results", "sample zones"]);
}

#[test]
fn the_effective_job_gives_the_same_map() {
    let job = job();
    let first = job.prescribed(&SETS);
    let text = fs::read_to_string(job.path("out/job.effective.toml")).unwrap();
    assert!(text.contains("by_zone = ["), "{text}");
    fs::write(job.path("job.toml"), text).unwrap();
    fs::remove_dir_all(job.path("out")).unwrap();
    assert_eq!(shown(&job.prescribed(&[])), shown(&first));
}

#[test]
fn the_zones_own_attributes_serve_where_there_is_no_table() {
    let job = job();
    let text = zones(&HALVES)
        .replace("\"zone\":\"West\"", "\"zone\":\"West\",\"BpH\":6.4")
        .replace("\"zone\":\"East\"", "\"zone\":\"East\",\"BpH\":\"6.8\"");
    fs::write(job.path("zones.geojson"), text).unwrap();
    let sets = [SETS[0], SETS[1], "samples.by_zone=[\"buffer_ph\"]"];
    let outcome = job.prescribed(&sets);
    assert_eq!(shown(&outcome), shown(&self::job().prescribed(&SETS)));
    assert!(outcome.features()[0]["properties"].get("cec_meq_100g").is_none());
}

#[test]
fn the_ph_may_be_of_zones_and_the_buffer_of_points() {
    let samples = table([",BpH", ",6.4", ",6.6", ",6.8", ","]);
    let results = "zone,pH\nWest,5.9\nEast,6.5\n";
    let job = job_of(&HALVES, &samples, results);
    let sets = with(&["samples.by_zone=[\"ph\"]", "samples.buffer_blank_above=6.5"]);
    let outcome = job.prescribed(&sets);
    let rates: Vec<_> = shown(&outcome).into_iter().map(|(_, _, ph, _, rate)| (ph, rate)).collect();
    // The east needs nothing at pH 6.5, whatever its buffer.
    assert_eq!(rates, [(5.9, 3.0), (6.5, 0.0), (5.9, 2.0), (6.5, 0.0)]);
    let told = outcome.finding("columns_left_to_zones").expect("a finding");
    assert!(told.contains("pH (`pH`)") && !told.contains("buffer"), "{told}");
    // The blank of the sample in the east is held against the pH of its zone.
    let low = "zone,pH\nWest,5.9\nEast,6.4\n";
    fs::write(job.path("results.csv"), low).unwrap();
    let said = flat(&job.refused_again(&sets));
    assert!(said.contains("sample ne") && said.contains("this sample reads 6.4"), "{said}");
}

#[test]
fn acidity_may_be_of_zones() {
    let results = "zone,Acidity (meq/100 g)\nWest,4\nEast,8\n";
    let job = job_of(&HALVES, &table([""; 5]), results);
    let sets = with(&[
        "samples.by_zone=[\"acidity\"]",
        "need.method=exchangeable-acidity-pennsylvania",
        "target.ph=7.0",
        "need.limed_depth=7 in",
    ]);
    let outcome = job.prescribed(&sets);
    // A thousand pounds for each meq (Penn State Agronomy Guide): 4,000 and 8,000 lb/ac.
    let needs: Vec<f64> = outcome
        .features()
        .iter()
        .map(|feature| feature["properties"]["need_ton_ac"].as_f64().unwrap())
        .collect();
    assert_eq!(needs, [2.0, 4.0, 2.0, 4.0]);
    assert_eq!(outcome.summary["soil"]["acidity"]["by_zone"], true);
    let said = flat(&job.refused_again(&[&sets[..], &["samples.by_zone=[\"cec\"]"]].concat()));
    assert!(said.contains("no column is known to hold the"), "{said}");
}

#[test]
fn cells_are_cut_where_zones_meet_and_explain_tells_each_attribute_apart() {
    let rectangles = [("West", [-40.0, -40.0, 13.0, 40.0]), ("East", [13.0, -40.0, 40.0, 40.0])];
    let job = job_of(&rectangles, &table([""; 5]), RESULTS);
    let outcome = job.prescribed(&SETS);
    assert_eq!(outcome.features().len(), 6);
    let cut = cells_of(&outcome, "West");
    assert_eq!(cut.len(), 4);
    assert!(cut.iter().all(|cell| cell["buffer_ph"] == 6.4));
    // The strip is read between the samples: its pH is of none of them alone.
    let strip = cut.iter().find(|cell| cell["cell"] == "0-1").unwrap();
    let ph = strip["ph"].as_f64().unwrap();
    assert!((5.5..5.8).contains(&ph) && strip["rate_ton_ac"] == 3.0, "{strip}");
    let at = ground().degrees(6.0, -20.0);
    let place = format!("--at={},{}", at.lon_deg, at.lat_deg);
    let mut arguments = vec!["explain", "job.toml", &place];
    arguments.extend(SETS.iter().flat_map(|set| ["--set", set]));
    let text = String::from_utf8(job.run(&arguments).stdout).unwrap();
    let told = flat(&text);
    for words in [
        "It lies in the sample zone West, which has one value of buffer pH and cation exchange \
         capacity.",
        "The soil: the weighted mean, or the value of the zone",
        "buffer pH (smp): 6.4000, the zone West",
        "CEC (meq/100 g): 14.0000, the zone West",
    ] {
        assert!(told.contains(words), "{words}: {text}");
    }
    let head = text.lines().find(|line| line.contains("weight ")).unwrap();
    assert!(head.contains("pH") && !head.contains("buffer"), "{head}");
    arguments.push("--json");
    let json: serde_json::Value =
        serde_json::from_slice(&job.run(&arguments).stdout).expect("an explanation");
    let layer = &json["layers"][0];
    let weights = layer["samples"].as_array().unwrap().iter();
    let weights: f64 = weights.map(|sample| sample["weight"].as_f64().unwrap()).sum();
    assert_near(weights, 1.0, 1e-12, "weights");
    let soil = layer["soil"].as_array().unwrap();
    assert_near(soil[0]["value"].as_f64().unwrap(), ph, 1e-4, "as the map has it");
    assert!(soil[0].get("zone").is_none() && soil[1]["zone"] == "West", "{soil:?}");
    assert_eq!(json["rate"]["value"], 3.0);
}

#[test]
fn gaps_take_the_nearest_zone_and_overlaps_the_first() {
    // Of 80 m, 2.4 are in no zone and 2 in both.
    let rectangles = [("West", [-40.0, -40.0, 2.0, 40.0]), ("East", [0.0, -40.0, 37.6, 40.0])];
    let job = job_of(&rectangles, &table([""; 5]), RESULTS);
    let said = flat(&job.refused(&SETS));
    for words in ["(2.50 %)", "more than one sample zone", "(3.01 %)", "lies in no sample zone"] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let outcome = job.prescribed(&with(&["samples.zone_gap_limit=4 %"]));
    assert!(outcome.finding("zone_gaps").is_some() && outcome.finding("zone_overlaps").is_some());
    let all: Vec<_> = outcome.features().iter().map(|feature| &feature["properties"]).collect();
    let gap: Vec<_> = all.iter().filter(|cell| cell["sample_zone"].is_null()).collect();
    assert_eq!(gap.len(), 2);
    assert!(gap.iter().all(|cell| cell["buffer_ph"] == 6.8 && cell["samples"] == "outside"));
    let at = ground().degrees(39.0, -20.0);
    let place = format!("--at={},{}", at.lon_deg, at.lat_deg);
    let mut arguments = vec!["explain", "job.toml", &place, "--set", "samples.zone_gap_limit=4 %"];
    arguments.extend(SETS.iter().flat_map(|set| ["--set", set]));
    let text = flat(&String::from_utf8(job.run(&arguments).stdout).unwrap());
    assert!(
        text.contains(
            "in no sample zone; the value of buffer pH and cation exchange capacity of East,"
        ),
        "{text}"
    );
    assert!(text.contains("beyond the outline of the samples"), "{text}");
}

#[test]
fn a_blank_zone_is_held_against_the_ph_of_its_ground() {
    // In the east the samples read 5.8 and 6.7, and the laboratory stopped at 6.5.
    let blank = RESULTS.replace("6.8", "");
    let job = job_of(&HALVES, &table([""; 5]), &blank);
    let said = flat(&job.refused(&SETS));
    assert!(said.contains("results.csv, sample EAST"), "{said}");
    assert!(said.contains("on 0.40 ac of its ground the samples read below pH 6.5"), "{said}");
    assert!(said.contains("(down to 5.80)"), "{said}");
    // Ground from the cut-off on needs nothing, and it is told where liming would begin above it.
    let outcome = job.prescribed(&with(&["samples.buffer_blank_above=5.8"]));
    let rates: Vec<f64> = shown(&outcome).iter().map(|cell| cell.4).collect();
    assert_eq!(rates, [3.0, 0.0, 3.0, 0.0]);
    let told = outcome.finding("blank_buffer_below_trigger").expect("a finding");
    assert!(told.contains("On 0.40 ac in zones without a buffer reading"), "{told}");
    let told = outcome.finding("blank_buffers_need_nothing").expect("a finding");
    assert!(told.contains("Its zone has no other sample."), "{told}");
    assert_eq!(outcome.summary["soil"]["buffer_ph"]["samples"], 1);
    let at = ground().degrees(20.0, -20.0);
    let place = format!("--at={},{}", at.lon_deg, at.lat_deg);
    let mut arguments = vec!["explain", "job.toml", &place];
    let sets = with(&["samples.buffer_blank_above=5.8"]);
    arguments.extend(sets.iter().flat_map(|set| ["--set", set]));
    let text = flat(&String::from_utf8(job.run(&arguments).stdout).unwrap());
    let note = "buffer pH blank, taken as 7.00: the laboratory ran none above pH 5.8";
    assert!(text.contains(note), "{text}");
    // Ground too high for lime needs no answer.
    let outcome = job.prescribed(&with(&["target.treat_below=5.6"]));
    let rates: Vec<f64> = shown(&outcome).iter().map(|cell| cell.4).collect();
    assert_eq!(rates, [3.0, 0.0, 0.0, 0.0]);
    // Without a cut-off a blank is no answer at all.
    let text = fs::read_to_string(job.path("job.toml")).unwrap();
    fs::write(job.path("job.toml"), text.replace("buffer_blank_above = 6.5\n", "")).unwrap();
    let said = flat(&job.refused_again(&SETS));
    assert!(said.contains("results.csv, line 3, sample EAST") || said.contains("blank"), "{said}");
    assert!(said.contains("samples.buffer_blank_above is stated"), "{said}");
}

#[test]
fn layers_have_the_results_of_their_depth() {
    let mut rows = vec!["sample_id,lon,lat,depth,pH".to_owned()];
    for (name, [east_m, north_m], ph) in POINTS {
        let at = ground().degrees(east_m, north_m);
        for (depth, ph) in [("0-3", ph), ("3-6", ph - 0.2)] {
            rows.push(format!("{name},{},{},{depth},{ph}", at.lon_deg, at.lat_deg));
        }
    }
    let results = "zone,depth,BpH\nWest,0-3,6.4\nWest,3-6,6.6\nEast,0-3,6.8\nEast,3-6,6.4\n";
    let job = job_of(&HALVES, &(rows.join("\n") + "\n"), results);
    let text = fs::read_to_string(job.path("job.toml")).unwrap();
    let layered = "layers = [\"0-3 in\", \"3-6 in\"]\ndepth_unit = \"in\"";
    fs::write(job.path("job.toml"), text.replace("sampled_depth = \"0-6 in\"", layered)).unwrap();
    let sets = with(&["samples.by_zone=[\"buffer_ph\"]"]);
    let outcome = job.prescribed(&sets);
    let needs: Vec<f64> = outcome
        .features()
        .iter()
        .map(|feature| feature["properties"]["need_ton_ac"].as_f64().unwrap())
        .collect();
    // Half of 3,500 and 2,100; of 600 and 3,500; in the north-east the top reads 6.7.
    for (need, pounds) in needs.iter().zip([2_800.0, 2_050.0, 2_800.0, 0.0]) {
        assert_near(need * 2_000.0, pounds, 1e-3, "need");
    }
    fs::write(job.path("results.csv"), RESULTS).unwrap();
    let said = flat(&job.refused_again(&sets));
    assert!(said.contains("results.csv, line 1") && said.contains("hold the depth"), "{said}");
}

#[test]
fn what_the_files_lack_is_refused_by_name() {
    let refused = |results: &str, sets: &[&str]| {
        flat(&job_of(&HALVES, &table([""; 5]), results).refused(&with(sets)))
    };
    let said = refused("zone,BpH\nWest,6.4\nEast,6.8\n", &[]);
    assert!(said.contains("no column is known to hold the cation exchange capacity"), "{said}");
    assert!(said.contains("where: results.csv, line 1"), "{said}");
    assert!(said.contains("take it out of samples.by_zone"), "{said}");
    let said = refused("zone,CEC (meq/100 g)\nWest,14\nEast,9\n", &[]);
    assert!(said.contains("no column is known to hold the buffer pH"), "{said}");
    let said = refused("zone,BpH,CEC\nWest,6.4,14\nEast,6.8,9\n", &[]);
    assert!(said.contains("says the unit of"), "{said}");
    let said = refused("zone,BpH,CEC (meq/100 g)\nWest,6.4,14\nEast,6.8,\n", &[]);
    assert!(said.contains("results.csv, line 3, sample East"), "{said}");
    let said = refused("zone,BpH,CEC (meq/100 g)\nWest,6.4,14\n", &[]);
    assert!(said.contains("1 sample zone without a result: East"), "{said}");
    assert!(said.contains("samples.zone_results_key"), "{said}");
    let said = refused(&format!("{RESULTS}West,6.5,12\n"), &[]);
    assert!(said.contains("the zone has several results, on lines 2, 4"), "{said}");
    let said = refused(&RESULTS.replace("zone,", "area,"), &[]);
    assert!(said.contains("there is no column `zone`, which `samples.zone_key` names"), "{said}");
    let said = refused(RESULTS, &["samples.zone_results_key=name"]);
    assert!(said.contains("no column `name`, which `samples.zone_results_key` names"), "{said}");
    // Neither the points nor the zones have a buffer.
    let said = refused(RESULTS, &["samples.by_zone=[\"cec\"]"]);
    assert!(said.contains("the method `smp-iowa` reads a buffer pH"), "{said}");
    assert!(said.contains("name it in samples.by_zone"), "{said}");
    let said = refused("zone,pH\nWest,5.5\nEast,6\n", &["samples.by_zone=[\"ph\"]"]);
    assert!(said.contains("leaves nothing to the samples at points"), "{said}");
}

#[test]
fn what_counts_for_nothing_is_told() {
    let results = "zone,BpH,CEC (meq/100 g),pH\nWest,6.4,14,5.6\nEast,6.8,9,6.2\nHill,6,8,5\n";
    let samples = table([",BpH", ",6.0", ",6.0", ",6.0", ",6.0"]);
    let job = job_of(&HALVES, &samples, results);
    let outcome = job.prescribed(&SETS);
    assert_eq!(shown(&outcome), shown(&self::job().prescribed(&SETS)));
    let told = outcome.finding("columns_left_to_zones").expect("a finding");
    assert!(told.contains("buffer pH (`BpH`)"), "{told}");
    let told = outcome.finding("columns_left_to_points").expect("a finding");
    assert!(told.contains("pH (`pH`)"), "{told}");
    let told = outcome.finding("results_without_zone").expect("a finding");
    assert!(told.contains("1 of 3 results") && told.contains("Hill"), "{told}");
}

#[test]
fn keys_that_do_not_fit_together_are_refused() {
    let said = |sets: &[&str]| flat(&job().refused(sets));
    for (sets, words) in [
        (&[BY_ZONE][..], "there are no `samples.zones`"),
        (&[SETS[0], SETS[1], SETS[2]], "there is no `samples.by_zone`"),
        (&with(&["samples.by_zone=[]"]), "`samples.by_zone` is empty"),
        (&with(&["samples.by_zone=[\"bufer_ph\"]"]), "did you mean `buffer_ph`?"),
        (&with(&["samples.by_zone=[\"cec\",\"cec\"]"]), "names `cec` twice"),
        (&with(&["samples.columns.zone=part"]), "the samples name a zone each"),
        (&with(&["samples.file=zones.geojson"]), "are the areas of the zones themselves"),
        (&with(&["samples.zone_results=zones.geojson"]), "the zones' results are in a map file"),
        (
            &[SETS[0], SETS[1], BY_ZONE, "samples.zone_results_key=zone"],
            "there is no `samples.zone_results`",
        ),
    ] {
        let said = said(sets);
        assert!(said.contains(words), "{words}: {said}");
    }
}

#[test]
fn a_pair_that_contradicts_is_told_of_the_zone() {
    let results = RESULTS.replace("6.4,", "4.4,");
    let outcome = job_of(&HALVES, &table([""; 5]), &results).prescribed(&SETS);
    let told = outcome.finding("buffer_below_soil_ph").expect("a finding");
    // The mean of the two samples in the west.
    assert!(told.contains("west (pH 5.8, buffer pH 4.4)"), "{told}");
}

#[test]
fn the_tons_without_an_odd_sample_are_those_of_the_map_without_it() {
    let field = grid(8, |at| (6.0, if at == 27 { 5.9 } else { 6.5 + 0.02 * (at % 8) as f64 }));
    let halves = [("West", [-240.0, -240.0, 0.0, 240.0]), ("East", [0.0, -240.0, 240.0, 240.0])];
    let sets = with(&["samples.by_zone=[\"ph\"]"]);
    let run = |field: &super::support::Ground| {
        let job = Job::on(field);
        fs::write(job.path("zones.geojson"), zones(&halves)).unwrap();
        fs::write(job.path("results.csv"), "zone,pH\nWest,5.8\nEast,6.1\n").unwrap();
        job.prescribed(&sets)
    };
    let outcome = run(&field);
    let text = outcome.finding("sample_unlike_neighbours").expect("a finding");
    assert!(text.contains("buffer pH reads 5.90"), "{text}");
    let [with_it, without] = with_and_without(text);
    assert_near(with_it, outcome.value("/product_total"), 0.005_001, "with it");
    let mut others = field.clone();
    others.samples.remove(27);
    assert_near(without, run(&others).value("/product_total"), 0.005_001, "without it");
    assert!(with_it > without + 0.1, "{text}");
}
