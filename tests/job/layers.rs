//! Several depths at each point: the need is the sum over the layers within the limed depth.
//!
//! By the Iowa table to pH 6.5 (Iowa State University Extension, PM 1688, 2002; made for 6 inches)
//! buffer pH 6.4 and 6.8 need 3,500 and 600 lb CaCO3/ac, 1.75 and 0.3 ton/ac.

use std::fmt::Write as _;
use std::fs;

use limewright::field::LonLat;
use limewright::prescribe::{Allowed, prescribe};

use super::support::{Ground, JOB, Job, Outcome, assert_near};

/// A row of a table: east and north of the field's middle in metres, depth, pH, buffer pH.
type Row<'a> = (&'a str, f64, f64, &'a str, f64, &'a str);

/// A square of 80 m in four cells with samples in two layers, alike everywhere.
pub(crate) const ALIKE: [Row<'_>; 4] = [
    ("A", -20.0, -20.0, "0-6 in", 5.5, "6.4"),
    ("B", 20.0, 20.0, "0-6 in", 5.5, "6.4"),
    ("A", -20.0, -20.0, "6-12 in", 6.0, "6.8"),
    ("B", 20.0, 20.0, "6-12 in", 6.0, "6.8"),
];

pub(crate) fn ground() -> Ground {
    Ground::square(80.0, Vec::new())
}

pub(crate) fn table(rows: &[Row<'_>]) -> String {
    let mut text = String::from("sample_id,lon,lat,depth,pH,BpH\n");
    for (id, east_m, north_m, depth, ph, buffer_ph) in rows {
        let LonLat { lon_deg, lat_deg } = ground().degrees(*east_m, *north_m);
        writeln!(text, "{id},{lon_deg},{lat_deg},{depth},{ph},{buffer_ph}").unwrap();
    }
    text
}

/// A job over the given layers, limed so deep.
pub(crate) fn layered(layers: &str, limed: &str, table: &str) -> Job {
    let text = JOB
        .replace("sampled_depth = \"0-6 in\"", &format!("layers = {layers}"))
        .replace("limed_depth = \"6 in\"", &format!("limed_depth = \"{limed}\""));
    Job::new(&text, &ground().boundary(), table)
}

pub(crate) const TWO: &str = "[\"0-6 in\", \"6-12 in\"]";

pub(crate) fn need_of(outcome: &Outcome) -> f64 {
    outcome.value("/need_total") / outcome.value("/area")
}

#[test]
fn the_need_is_the_sum_over_the_layers_by_their_part_of_the_limed_depth() {
    for (limed, need) in [
        ("12 in", 1.75 + 0.3),
        ("8 in", 1.75 + 0.3 * 2.0 / 6.0),
        ("6 in", 1.75),
        ("3 in", 1.75 / 2.0),
    ] {
        let outcome = layered(TWO, limed, &table(&ALIKE)).prescribed(&[]);
        assert_near(need_of(&outcome), need, 1e-9, limed);
        assert!(outcome.finding("samples_merged").is_none(), "{limed}");
        assert!(outcome.finding("sample_names_repeated").is_none(), "{limed}");
    }
}

#[test]
fn the_map_and_the_summary_tell_each_layer_and_its_share() {
    let outcome = layered(TWO, "8 in", &table(&ALIKE)).prescribed(&[]);
    for feature in outcome.features() {
        let cell = &feature["properties"];
        let value = |name: &str| cell[name].as_f64().unwrap_or_else(|| panic!("no {name}"));
        assert_eq!([value("ph"), value("buffer_ph")], [5.5, 6.4], "those of the top");
        assert_eq!([value("ph_0_6_in"), value("buffer_ph_0_6_in")], [5.5, 6.4]);
        assert_eq!([value("ph_6_12_in"), value("buffer_ph_6_12_in")], [6.0, 6.8]);
        assert_near(value("need_0_6_in_ton_ac"), 1.75, 1e-9, "top");
        assert_near(value("need_6_12_in_ton_ac"), 0.1, 1e-9, "below");
        assert_near(value("need_ton_ac"), 1.85, 1e-9, "both");
        assert_eq!(cell["table_limit_6_12_in"], "none");
    }
    let layers = outcome.summary["layers"].as_array().unwrap();
    assert_eq!(layers.len(), 2);
    assert_eq!(layers[1]["depth"], "6-12 in");
    assert_eq!(layers[1]["part"], "6-8 in");
    assert_near(layers[1]["depth_factor"].as_f64().unwrap(), 1.0 / 3.0, 1e-12, "factor");
    assert_near(layers[1]["need_share"].as_f64().unwrap(), 0.1 / 1.85, 1e-12, "share");
    assert_eq!(layers[1]["soil"]["buffer_ph"]["mean"], 6.8);
    assert_eq!(outcome.summary["soil"]["buffer_ph"]["mean"], 6.4);
    assert_eq!(outcome.summary["method"]["sampled_depth"], "0-6 in, 6-12 in");
    assert_near(outcome.value("/method/depth_factor"), 8.0 / 6.0, 1e-12, "all layers");
    let told = outcome.finding("layers_counted").expect("told");
    assert!(told.contains("0-6 in as a whole; 6-12 in with 6-8 in"), "{told}");
    // One composite of each layer: 1.85 / 0.5 effective, held to the greatest rate of 3 ton/ac.
    assert_eq!(outcome.value("/flat_rate/composite/rate"), 3.0);
    assert_eq!(outcome.summary["flat_rate"]["composite"]["limit"], "capped");
}

#[test]
fn metric_results_name_the_layers_in_centimetres() {
    let outcome = layered(TWO, "8 in", &table(&ALIKE)).prescribed(&["units=metric"]);
    let cell = &outcome.features()[0]["properties"];
    assert_eq!(cell["ph_15p24_30p48_cm"], 6.0);
    // 0.1 ton/ac.
    assert_near(cell["need_15p24_30p48_cm_t_ha"].as_f64().unwrap(), 0.224_170, 1e-6, "need");
}

#[test]
fn a_layer_above_its_trigger_needs_nothing_by_itself() {
    let mut rows = ALIKE;
    for row in &mut rows[..2] {
        row.4 = 6.6;
    }
    let outcome = layered(TWO, "12 in", &table(&rows)).prescribed(&[]);
    assert_near(need_of(&outcome), 0.3, 1e-9, "the lower one alone");
    // And a layer below it does not ask for more because the other one is sweet.
    for (row, ph) in rows.iter_mut().zip([5.5, 5.5, 7.0, 7.0]) {
        row.4 = ph;
    }
    let outcome = layered(TWO, "12 in", &table(&rows)).prescribed(&[]);
    assert_near(need_of(&outcome), 1.75, 1e-9, "the upper one alone");
}

#[test]
fn on_ground_that_is_not_tilled_layers_count_down_to_what_surface_lime_reaches() {
    let thin = [
        ("A", 0.0, 0.0, "0-2 in", 5.5, "6.4"),
        ("A", 0.0, 0.0, "2-4 in", 6.0, "6.8"),
        ("A", 0.0, 0.0, "4-8 in", 5.5, "6.4"),
    ];
    let layers = "[\"0-2 in\", \"2-4 in\", \"4-8 in\"]";
    let job = layered(layers, "8 in", &table(&thin));
    let tilled = job.prescribed(&[]);
    assert_near(need_of(&tilled), (1.75 * 2.0 + 0.3 * 2.0 + 1.75 * 4.0) / 6.0, 1e-9, "tilled");
    for placement in ["no-till", "established stand"] {
        let outcome = job.prescribed(&[&format!("need.placement={placement}")]);
        assert_near(need_of(&outcome), (1.75 * 2.0 + 0.3 * 2.0) / 6.0, 1e-9, placement);
        let told = outcome.finding("surface_lime_reaches_less").expect("told");
        assert!(told.contains("the upper 4 in") && told.contains("8.0 in"), "{told}");
        let told = outcome.finding("layers_counted").expect("told");
        assert!(told.contains("without need: 4-8 in"), "{told}");
        assert_eq!(outcome.value("/method/counted_depth"), 4.0);
    }
    // A limed depth above that counts as it is, and part of a layer is scaled.
    let outcome = job.prescribed(&["need.placement=no-till", "need.limed_depth=3 in"]);
    assert_near(need_of(&outcome), (1.75 * 2.0 + 0.3) / 6.0, 1e-9, "three inches");
    assert!(outcome.finding("surface_lime_reaches_less").is_none());
}

#[test]
fn a_limed_depth_that_no_layer_speaks_of_is_refused_or_given_to_the_nearest() {
    let job = layered(TWO, "16 in", &table(&ALIKE));
    let said = job.refused(&[]);
    assert!(said.contains("no layer was sampled from 12-16 in"), "{said}");
    assert!(said.contains("layer_gaps = \"nearest layer\""), "{said}");
    let outcome = job.prescribed(&["samples.layer_gaps=nearest layer"]);
    assert_near(need_of(&outcome), 1.75 + 0.3 * 10.0 / 6.0, 1e-9, "the lowest for the rest");
    let told = outcome.finding("layers_counted").expect("told");
    assert!(told.contains("6-12 in standing for 6-16 in"), "{told}");
    // Between two layers the ground goes half to each.
    let mut rows = ALIKE;
    for row in &mut rows[2..] {
        row.3 = "8-12 in";
    }
    let job = layered("[\"0-6 in\", \"8-12 in\"]", "12 in", &table(&rows));
    let said = job.refused(&[]);
    assert!(said.contains("no layer was sampled from 6-8 in"), "{said}");
    let outcome = job.prescribed(&["samples.layer_gaps=nearest layer"]);
    assert_near(need_of(&outcome), (1.75 * 7.0 + 0.3 * 5.0) / 6.0, 1e-9, "half to each");
    let said = layered("[\"8-10 in\", \"10-12 in\"]", "6 in", &table(&ALIKE))
        .refused(&["samples.layer_gaps=nearest layer"]);
    assert!(said.contains("begin below the ground that the lime acts on, 0-6 in"), "{said}");
}

#[test]
fn a_point_that_lacks_a_layer_is_refused_or_the_layer_is_drawn_without_it() {
    let rows = [
        ("A", -20.0, -20.0, "0-6 in", 5.5, "6.4"),
        ("B", 20.0, 20.0, "0-6 in", 5.5, "6.8"),
        ("A", -20.0, -20.0, "6-12 in", 6.0, "6.8"),
    ];
    let job = layered(TWO, "12 in", &table(&rows));
    let said = job.refused(&[]);
    assert!(said.contains("1 of 2 points are without the layer 6-12 in: B"), "{said}");
    let outcome = job.prescribed(&["samples.layer_missing=leave out"]);
    let told = outcome.finding("points_without_a_layer").expect("told");
    assert!(told.contains(": B. It is drawn") && told.contains("6-12 in"), "{told}");
    let lower = outcome.features().iter().map(|f| f["properties"]["need_6_12_in_ton_ac"].as_f64());
    assert!(lower.clone().all(|need| (need.unwrap() - 0.3).abs() < 1e-9));
    // The upper layer reads 6.4 at A, 6.8 at B and 6.6 (2,100 lb/ac) in the two cells between.
    assert_near(need_of(&outcome), (1.75 + 2.0 * 1.05 + 0.3) / 4.0 + 0.3, 1e-3, "field");
}

#[test]
fn depths_are_read_from_one_column_or_two_with_or_without_their_unit() {
    let one = table(&ALIKE);
    let expected = need_of(&layered(TWO, "8 in", &one).prescribed(&[]));
    let bare = one.replace(" in,", ",");
    for (text, set) in [
        (bare.clone(), Some("samples.depth_unit=in")),
        (bare.replace("depth,", "depth (in),"), None),
        (bare.replace("depth,", "Depth_in,"), None),
        (bare.replace("depth,", "taken from,"), Some("samples.columns.depth=taken from")),
        (
            bare.replace("depth,", "top in,bottom in,")
                .replace("0-6,", "0,6,")
                .replace("6-12,", "6,12,"),
            None,
        ),
        (one.replace("0-6 in", "0-15.24 cm").replace("6-12 in", "15.24–30.48cm"), None),
    ] {
        let job = layered(TWO, "8 in", &text);
        let mut sets: Vec<&str> = set.into_iter().collect();
        if set.is_some_and(|set| set.contains("taken")) {
            sets.push("samples.depth_unit=in");
        }
        assert_near(need_of(&job.prescribed(&sets)), expected, 1e-12, &text);
    }
    let said = layered(TWO, "8 in", &bare).refused(&[]);
    assert!(said.contains("`0-6` has no unit") && said.contains("samples.depth_unit"), "{said}");
    assert_eq!(said.matches("has no unit").count(), 1, "one cause, told once: {said}");
    let said = layered(TWO, "8 in", &bare.replace("depth,", "depth (cm),"))
        .refused(&["samples.depth_unit=in"]);
    assert!(said.contains("the column names `cm`, and the job says `in`"), "{said}");
}

#[test]
fn every_row_with_another_depth_is_listed() {
    let text = table(&[
        ("A", -20.0, -20.0, "0-6 in", 5.5, "6.4"),
        ("A", -20.0, -20.0, "12-Jun", 6.0, "6.8"),
        ("B", 20.0, 20.0, "0-8 in", 5.5, "6.4"),
        ("B", 20.0, 20.0, "", 6.0, "6.8"),
        ("C", 0.0, 20.0, "6-12 in", 5.5, "6.4"),
        ("C", 0.0, 20.0, "subsoil", 5.5, "6.4"),
    ]);
    let said = layered(TWO, "8 in", &text).refused(&[]);
    for part in [
        "line 3, sample A, column depth",
        "`12-Jun` is no depth; a spreadsheet seems to have made a date of it",
        "line 4, sample B, column depth",
        "`0-8 in` is none of the layers of the job",
        "`0-6 in`, `6-12 in`",
        "line 5, sample B",
        "the row has no depth",
        "`subsoil` is no depth",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let none = table(&ALIKE).replace("depth,", "horizon code,");
    let said = layered(TWO, "8 in", &none).refused(&[]);
    assert!(said.contains("no column is known to hold the depth"), "{said}");
    assert!(said.contains("samples.columns.depth"), "{said}");
    let said =
        layered("[\"0-6 in\", \"6-12 in\", \"12-18 in\"]", "8 in", &table(&ALIKE)).refused(&[]);
    assert!(said.contains("no row is of the layer 12-18 in"), "{said}");
}

#[test]
fn layers_that_do_not_fit_together_are_refused() {
    let said = |layers: &str, sets: &[&str]| layered(layers, "8 in", &table(&ALIKE)).refused(sets);
    let overlap = said("[\"0-6 in\", \"4-12 in\"]", &[]);
    assert!(overlap.contains("`4-12 in` does not begin where `0-6 in` ends"), "{overlap}");
    let order = said("[\"6-12 in\", \"0-6 in\"]", &[]);
    assert!(order.contains("from the top down"), "{order}");
    let one = said("[\"0-6 in\"]", &[]);
    assert!(one.contains("samples.sampled_depth"), "{one}");
    let bare = said("[\"0-6\", \"6-12\"]", &[]);
    assert!(bare.contains("`in`, `m`, `cm`"), "{bare}");
    let both = said(TWO, &["samples.sampled_depth=0-6 in"]);
    assert!(both.contains("both `samples.sampled_depth` and `samples.layers`"), "{both}");
    let words = said(TWO, &["samples.layer_gaps=nearest"]);
    assert!(words.contains("did you mean `nearest layer`"), "{words}");
    let ends = said(TWO, &["samples.columns.depth_top=depth"]);
    assert!(ends.contains("one end of the depth of a row and not the other"), "{ends}");
    let plain = Job::new(JOB, &ground().boundary(), &table(&ALIKE[..2]));
    for key in ["depth_unit=in", "layer_gaps=nearest layer", "layer_missing=leave out"] {
        let said = plain.refused(&[&format!("samples.{key}")]);
        assert!(said.contains("there are no `samples.layers`"), "{said}");
    }
    // Without layers the same table is refused as before, and the way out is named.
    let said = Job::new(JOB, &ground().boundary(), &table(&ALIKE)).refused(&[]);
    assert!(said.contains("several depths") && said.contains("samples.layers"), "{said}");
    let two = table(&ALIKE).replace("depth,", "top (in),bottom (in),").replace("-6 in", ",6");
    let said = Job::new(JOB, &ground().boundary(), &two.replace("-12 in", ",12")).refused(&[]);
    assert!(said.contains("several depths: `0-6`, `6-12`"), "{said}");
}

#[test]
fn a_method_without_a_stated_depth_is_refused_with_layers() {
    let job = layered(TWO, "12 in", &table(&ALIKE));
    let said = job.refused(&["need.method=mehlich-north-carolina", "samples.buffer=mehlich"]);
    assert!(
        said.contains("states no depth, so a layer's share of its need is not known"),
        "{said}"
    );
    assert!(said.contains("smp-iowa"), "{said}");
}

#[test]
fn a_place_is_worked_out_anew_layer_by_layer() {
    let rows = [
        ("A", -20.0, -20.0, "0-6 in", 5.5, "6.4"),
        ("B", 20.0, 25.0, "0-6 in", 5.8, "6.6"),
        ("C", 30.0, -20.0, "0-6 in", 6.2, "6.8"),
        ("A", -20.0, -20.0, "6-12 in", 6.0, "6.8"),
        ("C", 30.0, -20.0, "6-12 in", 5.0, "6.2"),
    ];
    let job = layered(TWO, "8 in", &table(&rows));
    let sets = ["samples.layer_missing=leave out", "grid.cell=10 m"].map(str::to_owned);
    let done = prescribe(&job.path("job.toml"), &sets, Allowed::default()).unwrap();
    for step in 0..64 {
        let (east_m, north_m) =
            (f64::from(step % 8) * 9.5 - 33.0, f64::from(step / 8) * 9.5 - 33.0);
        // It fails where the map says something else.
        let told = done.explain(ground().degrees(east_m, north_m)).unwrap();
        assert_eq!(told.layers.len(), 2);
        let sum: f64 = told.layers.iter().map(|layer| layer.need.value).sum();
        assert_near(sum, told.need.value, 1e-12, "sum");
        for layer in &told.layers {
            let weights: f64 = layer.samples.iter().map(|sample| sample.weight).sum();
            assert_near(weights, 1.0, 1e-9, "weights");
        }
        assert!(told.layers[1].samples.iter().all(|sample| sample.name != "B"));
    }
    let at = ground().degrees(-20.0, -20.0);
    let at = format!("{},{}", at.lon_deg, at.lat_deg);
    let output = job.run(&["explain", "job.toml", "--at", &at, "--set", &sets[0]]);
    let told = String::from_utf8(output.stdout).unwrap();
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "6-12 in, which counts with 6-8 in",
        "The layer counts with 6-8 in of the limed depth of 8 in, table depth 6 in: x 0.333333",
        "2. The need: the sum over the layers",
        "0-6 in: 1.7500 ton/ac, 94.6 %",
        "6-12 in: 0.1000 ton/ac, 5.4 %",
        "= 1.8500 ton/ac pure CaCO3",
        "3. The rate",
    ] {
        assert!(told.contains(part), "{part}: {told}");
    }
}

#[test]
fn a_tenth_of_the_readings_counts_in_every_layer_that_needs_lime() {
    // A tenth lower in the buffer asks for 750 lb/ac more at 6.4 and at 6.8, each by its part.
    let outcome = layered(TWO, "8 in", &table(&ALIKE)).prescribed(&[]);
    assert_near(
        outcome.value("/sensitivity/need_per_tenth"),
        750.0 / 2_000.0 * (1.0 + 2.0 / 6.0),
        1e-9,
        "need",
    );
    // The upper layer just below the trigger: a tenth higher would spare its part and no more.
    let mut rows = ALIKE;
    for row in &mut rows[..2] {
        row.4 = 6.45;
    }
    let sets =
        ["spreader.min_rate=0.1 ton/ac", "spreader.step=0.1 ton/ac", "spreader.max_rate=9 ton/ac"];
    let outcome = layered(TWO, "8 in", &table(&rows)).prescribed(&sets);
    let area = outcome.value("/area");
    assert_near(
        outcome.value("/sensitivity/below_trigger/product"),
        (3.7 - 0.2) * area,
        1e-6,
        "tons",
    );
    assert_eq!(outcome.value("/sensitivity/above_trigger/area"), 0.0);
}

#[test]
fn blanks_and_odd_samples_are_told_with_their_layer() {
    let mut rows = ALIKE.to_vec();
    rows[3] = ("B", 20.0, 20.0, "6-12 in", 6.9, "");
    let outcome = layered(TWO, "12 in", &table(&rows)).prescribed(&[]);
    let told = outcome.finding("blank_buffers_need_nothing").expect("told");
    assert!(told.starts_with("Layer 6-12 in: 1 sample has no buffer reading"), "{told}");
    assert!(told.contains("So the layer needs"), "{told}");
    // The lower layer needs 0.3 at A, nothing at B, and 0.15 between, at a buffer pH of 6.9.
    assert_near(need_of(&outcome), 1.75 + (0.3 + 2.0 * 0.15) / 4.0, 1e-3, "both layers");
    let mut many = Vec::new();
    for at in 0..25 {
        let (east, north) = (f64::from(at % 5) * 16.0 - 32.0, f64::from(at / 5) * 16.0 - 32.0);
        for (depth, buffer) in
            [("0-6 in", "6.4"), ("6-12 in", if at == 12 { "5.0" } else { "6.8" })]
        {
            many.push(("S", east, north, depth, 5.5, buffer));
        }
    }
    let job = layered(TWO, "12 in", &table(&many));
    let outcome = job.prescribed(&["spreader.max_rate=20 ton/ac", "grid.cell=8 m"]);
    let told = outcome.finding("sample_unlike_neighbours").expect("told");
    assert!(told.starts_with("Layer 6-12 in: buffer pH reads 5.00"), "{told}");
    // Without it the map is even: 2.05 ton/ac of CaCO3, 4.1 of the half effective material, 4.0
    // by the spreader.
    let without = 4.0 * outcome.value("/area");
    assert!(told.contains(&format!("and {without:.2} ton without it")), "{told}");
}

/// Rows of a field that varies, in layers that all read as the first does.
fn varied(depths: &[&'static str]) -> Vec<Row<'static>> {
    let places = [
        ("A", -30.0, -25.0, 5.2, "6.3"),
        ("B", 28.0, -31.0, 5.9, "6.6"),
        ("C", 3.0, 5.0, 6.4, "6.8"),
        ("D", -25.0, 33.0, 7.0, "7.0"),
        ("E", 35.0, 30.0, 5.6, "6.4"),
    ];
    let all = places.iter().flat_map(|&(id, east_m, north_m, ph, buffer_ph)| {
        depths.iter().map(move |&depth| (id, east_m, north_m, depth, ph, buffer_ph))
    });
    all.collect()
}

#[test]
fn layers_that_read_alike_need_what_one_sample_of_all_of_them_does() {
    let sets = ["grid.cell=10 m", "spreader.max_rate=9 ton/ac"];
    let one = varied(&["0-6 in"]);
    let one = Job::new(JOB, &ground().boundary(), &table(&one)).prescribed(&sets);
    let thin = "[\"0-1 in\", \"1-3.5 in\", \"3.5-6 in\"]";
    let rows = varied(&["0-1 in", "1-3.5 in", "3.5-6 in"]);
    let three = layered(thin, "6 in", &table(&rows)).prescribed(&sets);
    for pointer in [
        "/need_total",
        "/product_total",
        "/unmet_total",
        "/treated_area",
        "/flat_rate/composite/rate",
        "/sensitivity/need_per_tenth",
        "/sensitivity/below_trigger/product",
        "/interpolation/beyond_share",
    ] {
        let expected = one.value(pointer);
        assert_near(three.value(pointer), expected, 1e-9 * expected.abs(), pointer);
    }
    for (one, three) in one.features().iter().zip(three.features()) {
        let cell = &three["properties"];
        assert_eq!(cell["ph_1_3p5_in"], one["properties"]["ph"]);
        assert_eq!(cell["samples"], one["properties"]["samples"]);
        assert_eq!(cell["rate_ton_ac"], one["properties"]["rate_ton_ac"]);
    }
}

#[test]
fn the_order_of_the_rows_and_the_number_of_threads_change_nothing() {
    let rows = varied(&["0-6 in", "6-12 in"]);
    let mut turned = rows.clone();
    turned.reverse();
    let need = need_of(&layered(TWO, "12 in", &table(&turned)).prescribed(&[]));
    let job = layered(TWO, "12 in", &table(&rows));
    assert_near(need_of(&job.prescribed(&[])), need, 1e-9, "need");
    let bytes = |threads: &str| {
        let mut command = super::support::limewright();
        command.current_dir(job.path("")).env("RAYON_NUM_THREADS", threads);
        let output = command.args(["prescribe", "job.toml", "--out", threads]).output().unwrap();
        assert!(output.status.success());
        ["rate_map.geojson", "summary.json", "map.svg"]
            .map(|name| fs::read(job.path(threads).join(name)).unwrap())
    };
    assert_eq!(bytes("1"), bytes("3"));
}

#[test]
fn a_layer_without_a_reading_in_the_rows_of_the_method_is_named() {
    let mut rows = ALIKE;
    for row in &mut rows[2..] {
        row.5 = "5.0";
    }
    let said = layered(TWO, "12 in", &table(&rows)).refused(&[]);
    assert!(said.contains("no sample of the layer 6-12 in reads within the rows"), "{said}");
}

#[test]
fn problems_of_all_layers_are_listed_at_once() {
    let mut rows = ALIKE;
    (rows[1].5, rows[2].5) = ("", "");
    let said = layered(TWO, "12 in", &table(&rows)).refused(&[]);
    for part in ["line 3, sample B", "line 4, sample A", "a blank only at the stated pH of 6.5"] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn check_tells_what_each_layer_is() {
    let rows = [ALIKE[0], ALIKE[1], ALIKE[2]];
    let job = layered(TWO, "12 in", &table(&rows));
    let said = job.run(&["check", "job.toml", "--set", "samples.layer_missing=leave out"]);
    let said = String::from_utf8(said.stdout).unwrap();
    for part in [
        "Layer 0-6 in: 2 samples on 1.58 ac, one for 0.79 ac",
        "Layer 6-12 in: 1 sample on 1.58 ac",
        "Layer 6-12 in: 1 reading of buffer pH (smp): 6.8 to 6.8, mean 6.80.",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
}
