//! Several depths at each point, however they come: as zones, in a long table, in a laboratory's
//! file, and as a published experiment has them.

use std::fmt::Write as _;
use std::fs;

use limewright::field::LonLat;

use super::layers::{ALIKE, TWO, ground, layered, need_of};
use super::support::{Ground, JOB, Job, Sample, assert_near, root};

#[test]
fn zones_have_layers_too() {
    let ground = ground();
    let corner = |east_m, north_m| {
        let at = ground.degrees(east_m, north_m);
        format!("[{:.7},{:.7}]", at.lon_deg, at.lat_deg)
    };
    let zone = |name: &str, west: f64, east: f64| {
        let ring = [(west, -40.0), (east, -40.0), (east, 40.0), (west, 40.0), (west, -40.0)];
        let ring: Vec<String> = ring.iter().map(|&(x, y)| corner(x, y)).collect();
        format!(
            "{{\"type\":\"Feature\",\"properties\":{{\"zone\":\"{name}\"}},\"geometry\":{{\"type\":\
             \"Polygon\",\"coordinates\":[[{}]]}}}}",
            ring.join(",")
        )
    };
    let zones = format!(
        "{{\"type\":\"FeatureCollection\",\"features\":[{},{}]}}",
        zone("W", -40.0, 0.0),
        zone("E", 0.0, 40.0)
    );
    let rows = "zone,depth,pH,BpH\nW,0-6 in,5.5,6.4\nW,6-12 in,6.0,6.8\nE,0-6 in,6.0,6.8\nE,6-12 in,5.5,6.4\n";
    let text = JOB
        .replace("sampled_depth = \"0-6 in\"", &format!("key = \"zone\"\nlayers = {TWO}"))
        .replace("limed_depth = \"6 in\"", "limed_depth = \"8 in\"");
    let job = Job::new(&text, &ground.boundary(), rows);
    fs::write(job.path("zones.geojson"), zones).unwrap();
    let sets = ["samples.zones=zones.geojson", "samples.zone_key=zone"];
    let outcome = job.prescribed(&sets);
    for feature in outcome.features() {
        let cell = &feature["properties"];
        let need = if cell["sample_zone"] == "W" { 1.75 + 0.1 } else { 0.3 + 1.75 / 3.0 };
        assert_near(cell["need_ton_ac"].as_f64().unwrap(), need, 1e-6, "need");
    }
    let without = rows.replace("E,6-12 in,5.5,6.4\n", "");
    fs::write(job.path("samples.csv"), without).unwrap();
    let said = job.refused_again(&sets);
    assert!(said.contains("1 sample zone without a result: E"), "{said}");
    let both = job.refused(&[sets[0], sets[1], "samples.layer_missing=leave out"]);
    assert!(both.contains("`samples.layer_missing` is of points"), "{both}");
    assert!(said.contains("6-12 in"), "{said}");
}

#[test]
fn a_long_table_with_depths_is_read_layer_by_layer() {
    let mut text = String::from("sample_id,lon,lat,depth,analyte,result\n");
    for (id, east_m, north_m, depth, ph, buffer_ph) in ALIKE {
        let LonLat { lon_deg, lat_deg } = ground().degrees(east_m, north_m);
        writeln!(text, "{id},{lon_deg},{lat_deg},{depth},pH,{ph}").unwrap();
        writeln!(text, "{id},{lon_deg},{lat_deg},{depth},BpH,{buffer_ph}").unwrap();
    }
    let outcome = layered(TWO, "12 in", &text).prescribed(&[]);
    assert_near(need_of(&outcome), 2.05, 1e-9, "need");
}

#[test]
fn a_laboratory_s_results_by_depth_are_joined_to_the_points() {
    let mut points = String::from("sample_id,lon,lat\n");
    for (id, east_m, north_m, ..) in &ALIKE[..2] {
        let LonLat { lon_deg, lat_deg } = ground().degrees(*east_m, *north_m);
        writeln!(points, "{id},{lon_deg},{lat_deg}").unwrap();
    }
    let job = layered(TWO, "8 in", &points);
    let sets = ["samples.lab=lab.csv", "samples.key=sample_id", "samples.depth_unit=in"];
    let one =
        "sample_id,depth,pH,BpH\nA,0-6,5.5,6.4\nB,6-12,6.0,6.8\nB,0-6,5.5,6.4\nA,6-12,6.0,6.8\n";
    let two = one.replace("depth", "top,bottom").replace("0-6", "0,6").replace("6-12", "6,12");
    for results in [one, &two, &one.replace("depth", "layer")] {
        fs::write(job.path("lab.csv"), results).unwrap();
        assert_near(need_of(&job.prescribed(&sets)), 1.75 + 0.1, 1e-9, results);
    }
    // Two results of one sample and layer are repeats; those of two layers are not.
    let again = format!("{one}A,6-12,6.0,6.6\n");
    fs::write(job.path("lab.csv"), &again).unwrap();
    let said = job.refused_again(&sets);
    assert!(said.contains("samples.repeats"), "{said}");
    let repeats = [&sets[..], &["samples.repeats=last"]].concat();
    let outcome = job.prescribed(&repeats);
    let cell = outcome.features().iter().find(|f| f["properties"]["cell"] == "0-0").unwrap();
    assert_eq!(cell["properties"]["buffer_ph_6_12_in"], 6.6);
    assert_eq!(cell["properties"]["buffer_ph_0_6_in"], 6.4);
}

/// The layers of the Rothamsted long-term liming experiment (Glendining and others, 2023,
/// <https://doi.org/10.23637/rcs10-soil-01>) in 1963, its 32 plots on an invented grid.
#[test]
fn the_layers_of_a_liming_experiment_need_what_each_reads() {
    let text = fs::read_to_string(root().join("tests/data/liming_trial/layers_1963.csv")).unwrap();
    let mut plots: Vec<(bool, Vec<f64>)> = Vec::new();
    let mut table = String::from("plot,lon,lat,soil_depth,soil_pH\n");
    let grid = Ground {
        outline_m: vec![[-120.0, -60.0], [120.0, -60.0], [120.0, 60.0], [-120.0, 60.0]],
        ..Ground::square(1.0, Vec::<Sample>::new())
    };
    for row in text.lines().skip(1) {
        let cells: Vec<&str> = row.split(',').collect();
        let [plot, depth, lime, ph] = cells[..] else { panic!("{row}") };
        let at: i32 = plot.parse::<i32>().unwrap() - 1;
        let (east, north) = (f64::from(at % 8) * 30.0 - 105.0, f64::from(at / 8) * 30.0 - 45.0);
        let LonLat { lon_deg, lat_deg } = grid.degrees(east, north);
        writeln!(table, "{plot},{lon_deg},{lat_deg},{depth},{ph}").unwrap();
        if depth == "0-18" {
            plots.push((lime == "0", Vec::new()));
        }
        plots.last_mut().unwrap().1.push(ph.parse().unwrap());
    }
    assert_eq!(plots.len(), 32);
    let job = super::cases::JOB
        .replace("sampled_depth = \"0-20 cm\"", "layers = [\"0-18 cm\", \"18-30 cm\", \"30-46 cm\"]\ndepth_unit = \"cm\"\nkey = \"plot\"")
        .replace("[target]", "[samples.columns]\ndepth = \"soil_depth\"\n[target]")
        .replace("max_rate = \"10 t/ha\"", "max_rate = \"20 t/ha\"");
    let job = Job::new(&job, &grid.boundary(), &table);
    // The buying group's table runs from 7.8 t/ha at pH 5.4 and below along 6 x (6.7 - pH).
    let need_of = |ph: f64| (6.0 * (6.7 - ph)).clamp(0.0, 7.8);
    for (limed, thickness) in [("46 cm", [18.0, 12.0, 16.0]), ("23 cm", [18.0, 5.0, 0.0])] {
        let outcome = job.prescribed(&[&format!("need.limed_depth={limed}")]);
        assert_eq!(outcome.features().len(), 32);
        let (mut unlimed, mut means) = (Vec::new(), [0.0; 3]);
        for (feature, (is_unlimed, layers)) in outcome.features().iter().zip(&plots) {
            let expected: f64 =
                layers.iter().zip(thickness).map(|(&ph, cm)| need_of(ph) * cm / 20.0).sum();
            let need = feature["properties"]["need_t_ha"].as_f64().unwrap();
            // Corners and places are rounded to a centimetre.
            assert_near(need, expected, 2e-3, "a plot");
            if *is_unlimed {
                unlimed.push(need);
                layers.iter().zip(&mut means).for_each(|(ph, mean)| *mean += ph / 8.0);
            }
        }
        assert_eq!(unlimed.len(), 8);
        for (mean, expected) in means.into_iter().zip([5.025, 6.125, 6.45]) {
            assert_near(mean, expected, 1e-12, "the unlimed plots");
        }
        // At the means: 7.8 x 18/20 + 3.45 x 12/20 + 1.5 x 16/20, and 7.8 x 18/20 + 3.45 x 5/20.
        let expected = if limed == "46 cm" { 7.02 + 2.07 + 1.2 } else { 7.02 + 0.8625 };
        assert_near(unlimed.iter().sum::<f64>() / 8.0, expected, 2e-3, "the unlimed plots");
    }
}
