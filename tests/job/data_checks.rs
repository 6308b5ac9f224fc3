//! What `check` and `prescribe` tell of the data themselves.

use std::fs;

use serde_json::Value;

use super::support::{Ground, JOB, Job, Sample, assert_near, root};

/// Nine samples 130 m apart on a square of 400 m, from the south-west, row by row.
const PH: [f64; 9] = [5.2, 5.4, 5.9, 5.6, 6.0, 6.3, 5.8, 6.2, 6.6];

/// A job by pH alone, with steps so fine that the product follows the need, up to the greatest.
fn ph_job() -> String {
    super::cases::JOB
        .replace("max_rate = \"10 t/ha\"", "max_rate = \"20 t/ha\"")
        .replace("pass_spacing = \"30 m\"", "pass_spacing = \"20 m\"")
}

fn nine(ph: [f64; 9]) -> Ground {
    let samples = ph.iter().enumerate().map(|(at, &ph)| {
        let (row, column) = ((at / 3) as f64, (at % 3) as f64);
        Sample { east_m: 130.0 * (column - 1.0), north_m: 130.0 * (row - 1.0), ph, buffer_ph: None }
    });
    Ground::square(400.0, samples.collect())
}

fn with_odd_middle(ph: f64) -> Ground {
    let mut readings = PH;
    readings[4] = ph;
    nine(readings)
}

/// A square of `cells` x `cells` samples 60 m apart, with their pH and buffer pH.
pub(crate) fn grid(cells: usize, reading: impl Fn(usize) -> (f64, f64)) -> Ground {
    let samples = (0..cells * cells).map(|at| {
        let middle = (cells - 1) as f64 / 2.0;
        let (ph, buffer) = reading(at);
        Sample {
            east_m: 60.0 * ((at % cells) as f64 - middle),
            north_m: 60.0 * ((at / cells) as f64 - middle),
            ph,
            buffer_ph: Some(buffer),
        }
    });
    Ground::square(60.0 * cells as f64, samples.collect())
}

fn run(job: &str, ground: &Ground) -> Job {
    Job::new(job, &ground.boundary(), &ground.table())
}

/// All texts of the findings under `key`.
fn told(summary: &Value, key: &str) -> Vec<String> {
    let findings = summary["findings"].as_array().unwrap().iter();
    let texts = findings.filter(|finding| finding["key"] == key);
    texts.map(|finding| finding["text"].as_str().unwrap().to_owned()).collect()
}

/// The two masses of "gets A t of product with it and B t without it".
pub(crate) fn with_and_without(text: &str) -> [f64; 2] {
    let words: Vec<&str> = text.split_whitespace().collect();
    let at = words.iter().position(|&word| word == "gets").unwrap();
    let and = words.iter().position(|&word| word == "it").unwrap() + 2;
    [words[at + 1].parse().unwrap(), words[and].parse().unwrap()]
}

#[test]
fn one_odd_sample_is_named_with_what_it_does_to_the_tons() {
    for odd in [4.0, 4.8] {
        let ground = with_odd_middle(odd);
        let outcome = run(&ph_job(), &ground).prescribed(&[]);
        let texts = told(&outcome.summary, "sample_unlike_neighbours");
        let [text] = texts.as_slice() else { panic!("{texts:?}") };
        // The mean of the four beside it: (5.4 + 5.6 + 6.3 + 6.2) / 4 = 5.875.
        let reads = format!("pH reads {odd:.2} where its neighbours say 5.88");
        assert!(text.contains(&reads) || text.contains(&reads.replace("5.88", "5.87")), "{text}");
        let [with, without] = with_and_without(text);
        assert_near(with, outcome.value("/product_total"), 0.005_001, "with it");
        let mut others = ground;
        others.samples.remove(4);
        let again = run(&ph_job(), &others).prescribed(&[]);
        assert_near(without, again.value("/product_total"), 0.005_001, "without it");
        assert!(with > without + 1.0, "{text}");
    }
}

#[test]
fn an_odd_sample_does_nothing_to_the_tons_where_the_rate_is_ordered() {
    let ground = with_odd_middle(4.0);
    let order = "[[override]]\narea = \"boundary.geojson\"\nrate = \"2 t/ha\"\n\
                 reason = \"what is in store\"\n";
    let outcome = run(&(ph_job() + order), &ground).prescribed(&[]);
    let texts = told(&outcome.summary, "sample_unlike_neighbours");
    let [text] = texts.as_slice() else { panic!("{texts:?}") };
    let product = format!("gets {:.2} t of product with it and without it", 2.0 * 16.0);
    assert!(text.contains(&product), "{text}");
}

#[test]
fn the_place_of_the_odd_sample_is_said() {
    let job = run(&ph_job(), &with_odd_middle(4.0));
    let said = String::from_utf8(job.run(&["check", "job.toml"]).stderr).unwrap();
    assert!(said.contains("finding: sample S04: pH reads 4.00"), "{said}");
}

#[test]
fn a_field_that_only_slopes_has_no_odd_sample() {
    for ph in [PH, [6.0; 9]] {
        let outcome = run(&ph_job(), &nine(ph)).prescribed(&[]);
        assert!(told(&outcome.summary, "sample_unlike_neighbours").is_empty());
        assert!(outcome.finding("neighbours_far_apart").is_none());
        assert!(outcome.finding("sparse_samples").is_none());
    }
}

#[test]
fn the_wild_ph_of_a_real_field_is_told() {
    // Sample by sample the file reads 4.3 and more, and once 2.4.
    let soil = root().join("tests/data/share_alike/soil/limesoda_H.138.csv");
    let table = fs::read_to_string(soil).unwrap();
    let (mut west, mut east, mut south, mut north) = (180.0_f64, -180.0_f64, 90.0_f64, -90.0_f64);
    for row in table.lines().skip(1) {
        let cells: Vec<&str> = row.split(',').collect();
        let (lon, lat): (f64, f64) = (cells[1].parse().unwrap(), cells[2].parse().unwrap());
        (west, east) = (west.min(lon), east.max(lon));
        (south, north) = (south.min(lat), north.max(lat));
    }
    let boundary = format!(
        "{{\"type\":\"Polygon\",\"coordinates\":[[[{west},{south}],[{east},{south}],\
         [{east},{north}],[{west},{north}],[{west},{south}]]]}}"
    );
    let job = Job::new(&ph_job(), &boundary, &table);
    let outcome = job.prescribed(&["samples.columns.lon=lon", "samples.columns.lat=lat"]);
    let texts = told(&outcome.summary, "sample_unlike_neighbours");
    assert!(texts[0].contains("pH reads 2.40"), "{texts:?}");
    let [with, without] = with_and_without(&texts[0]);
    assert!((with - without).abs() > 0.01, "{}", texts[0]);
    assert!(texts.len() <= 10);
}

#[test]
fn an_odd_buffer_is_told_with_its_sample_in_the_units_of_the_job() {
    let ground = grid(8, |at| {
        let ph = 5.6 + 0.05 * (at % 8) as f64;
        (ph, if at == 27 { 5.9 } else { 6.5 + 0.02 * (at % 8) as f64 })
    });
    let outcome = run(JOB, &ground).prescribed(&[]);
    let texts = told(&outcome.summary, "sample_unlike_neighbours");
    let [text] = texts.as_slice() else { panic!("{texts:?}") };
    assert!(text.starts_with("buffer pH reads 5.90 where its neighbours say 6.56."), "{text}");
    assert!(text.contains(" ton of product with it and "), "{text}");
    let mut others = ground;
    others.samples.remove(27);
    let again = run(JOB, &others).prescribed(&[]);
    assert_near(with_and_without(text)[1], again.value("/product_total"), 0.005_001, "without");
}

#[test]
fn neighbours_far_apart_are_counted_and_the_worst_named_with_their_distance() {
    // The west half reads 5, the east half 7: three rows meet in the middle.
    let ground = grid(4, |at| (if at % 4 < 2 { 5.0 } else { 7.0 }, 6.8));
    let us = run(JOB, &ground).prescribed(&[]);
    let text = us.finding("neighbours_far_apart").unwrap();
    assert!(text.starts_with("4 pairs of neighbouring samples differ by more than 1.5"), "{text}");
    // 60 m are 197 ft.
    assert_eq!(text.matches(", 197 ft apart").count(), 3, "{text}");
    let metric = run(JOB, &ground).prescribed(&["units=metric"]);
    let text = metric.finding("neighbours_far_apart").unwrap();
    assert_eq!(text.matches(", 60 m apart").count(), 3, "{text}");
}

#[test]
fn contradictions_of_ph_and_buffer_are_told_by_name() {
    let ground = grid(5, |at| {
        let ph = 5.0 + 0.05 * at as f64;
        match at {
            7 => (ph, 7.9),
            // As if the two columns were exchanged.
            18 => (6.6, 5.2),
            _ => (ph, 6.3 + 0.02 * at as f64),
        }
    });
    let outcome = run(JOB, &ground).prescribed(&[]);
    let above = outcome.finding("buffer_above_its_own_ph").unwrap();
    assert!(above.contains("smp") && above.contains("7.5") && above.contains("S07"), "{above}");
    assert!(!above.contains("S18"), "{above}");
    let below = outcome.finding("buffer_below_soil_ph").unwrap();
    assert!(below.contains("S18 (pH 6.6, buffer pH 5.2)") && !below.contains("S07"), "{below}");
    assert!(outcome.finding("buffer_unlike_ph").is_none());
}

#[test]
fn old_samples_are_told_by_the_dates_of_the_job_alone() {
    let job = run(&ph_job(), &nine(PH));
    let told = |sampled: &str| {
        let sampled = format!("dates.sampled={sampled}");
        let outcome = job.prescribed(&[&sampled, "dates.spread=2026-10-20"]);
        outcome.finding("old_samples").map(str::to_owned)
    };
    assert_eq!(told("2023-10-21"), None);
    assert!(told("2023-10-20").unwrap().contains("3 years before"));
    let old = told("1998-05-01").unwrap();
    assert!(old.contains("28 years and 5 months") && old.contains("take new ones"), "{old}");
    assert!(job.prescribed(&["dates.sampled=1998-05-01"]).finding("old_samples").is_none());
    let contradiction = job.prescribed(&["dates.sampled=2026-11-01", "dates.spread=2026-10-20"]);
    assert!(contradiction.finding("spread_before_sampled").is_some());
    assert!(contradiction.finding("old_samples").is_none());
}

#[test]
fn check_says_what_the_data_are_in_the_units_of_the_job() {
    let job = run(&ph_job(), &nine(PH));
    let check = |sets: &[&str]| {
        let mut arguments = vec!["check", "job.toml"];
        for set in sets {
            arguments.extend(["--set", set]);
        }
        let output = job.run(&arguments);
        assert!(output.status.success());
        String::from_utf8(output.stdout).unwrap()
    };
    let said = check(&[]);
    // A corner cell of 20 m has its value point 190 m out, 60 m beyond the corner sample: 85 m.
    let density = "9 samples on 16.00 ha, one for 1.78 ha; no cell of the map is farther than 85 m";
    assert!(said.contains(density), "{said}");
    assert!(said.contains("9 readings of pH (water 1:2.5): 5.2 to 6.6, mean 5.89."), "{said}");
    assert!(said.contains("Leaving one sample out, the map misses its pH by 0."), "{said}");
    // 260 m of 400 m square: 1 - 0.65 x 0.65 = 57.75 %, by whole cells of 20 m more or less.
    assert!(said.contains(" % of the field lies beyond the outline of the samples, at most 85 m"));
    let us = check(&["units=us"]);
    assert!(us.contains("9 samples on 39.54 ac, one for 4.39 ac"), "{us}");
    assert!(us.contains("farther than 278 ft"), "{us}");
    assert!(!us.contains(" m from") && !us.contains(" ha"), "{us}");
}

/// A square of 400 m with samples along its middle, 60 m apart.
fn in_a_row(ph: &[f64]) -> Ground {
    let samples = ph.iter().enumerate().map(|(at, &ph)| Sample {
        east_m: 60.0 * at as f64 - 90.0,
        north_m: 0.0,
        ph,
        buffer_ph: None,
    });
    Ground::square(400.0, samples.collect())
}

#[test]
fn few_samples_on_much_ground_are_told() {
    let mut ground = nine(PH);
    ground.outline_m = vec![[-400.0, -400.0], [400.0, -400.0], [400.0, 400.0], [-400.0, 400.0]];
    let outcome = run(&ph_job(), &ground).prescribed(&[]);
    // 64 ha over nine.
    let text = outcome.finding("sparse_samples").unwrap();
    assert!(text.contains("one for 7.11 ha") && text.contains("more than 2.0 ha"), "{text}");
}

#[test]
fn what_is_learned_by_leaving_samples_out_is_said_in_one_sentence() {
    let said = |ph: &[f64]| {
        let output = run(&ph_job(), &in_a_row(ph)).run(&["check", "job.toml"]);
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    };
    // Along a line an inner sample is drawn halfway between its neighbours, an end as its only one:
    // the inner two miss by 0, the ends by 0.4, which is sqrt(2 x 0.16 / 4) = 0.28. The means of the
    // other three miss by 0.8, 0.267, 0.267 and 0.8, which is 0.60.
    let slope = said(&[5.0, 5.4, 5.8, 6.2]);
    let sentence = "Leaving one sample out, the map misses its pH by 0.28, the mean of the others \
                    by 0.60: the map tells more than one value for the whole field would.";
    assert!(slope.contains(sentence), "{slope}");
    assert!(slope.contains("4 readings of pH (water 1:2.5): 5 to 6.2, mean 5.60."), "{slope}");
    // Here they miss by 1, 0.5, 0.5 and 1, which is 0.79; the means by 0.67 each.
    let hill = said(&[5.0, 6.0, 6.0, 5.0]);
    let sentence = "Leaving one sample out, the map misses its pH by 0.79, the mean of the others \
                    by 0.67: one rate for the whole field may serve as well.";
    assert!(hill.contains(sentence), "{hill}");
    assert_eq!(hill.matches("Leaving one sample out").count(), 1);
}

#[test]
fn a_sample_outside_the_field_is_used_within_a_stated_distance_and_refused_beyond() {
    let with_one_more = |east_m: f64| {
        let mut ground = nine(PH);
        ground.samples.push(Sample { east_m, north_m: 0.0, ph: 6.2, buffer_ph: None });
        run(&ph_job(), &ground)
    };
    let job = with_one_more(240.0);
    let outcome = job.prescribed(&[]);
    let text = outcome.finding("samples_outside_field").unwrap();
    let sentence = "1 of 10 samples lies outside the boundary, the farthest by 40 m: S09 (line 11). \
                    Samples within 100 m of the field are used.";
    assert_eq!(text, sentence);
    assert_eq!(outcome.value("/soil/ph/samples"), 10.0);
    let us = job.prescribed(&["units=us"]);
    let text = us.finding("samples_outside_field").unwrap();
    assert!(text.contains("by 131 ft: ") && text.contains("within 328 ft of the field"), "{text}");
    assert!(with_one_more(299.0).prescribed(&[]).finding("samples_outside_field").is_some());
    let far = with_one_more(310.0);
    let said = far.refused(&[]);
    assert!(said.contains("lies 110 m from the field"), "{said}");
    assert!(said.contains("samples in the field or within 100 m of it"), "{said}");
    assert!(said.contains("samples.outside_within"), "{said}");
    let text = far.prescribed(&["samples.outside_within=120 m"]);
    let text = text.finding("samples_outside_field").unwrap();
    assert!(text.contains("by 110 m: ") && text.contains("within 120 m"), "{text}");
    let near = job.refused_again(&["samples.outside_within=30 m"]);
    assert!(near.contains("lies 40 m from the field"), "{near}");
    assert!(said.contains("line 11, sample S09"), "{said}");
}

#[test]
fn check_says_how_old_the_samples_are() {
    let job = run(&ph_job(), &nine(PH));
    let said = |sets: &[&str]| {
        let mut arguments = vec!["check", "job.toml"];
        for set in sets {
            arguments.extend(["--set", set]);
        }
        String::from_utf8(job.run(&arguments).stdout).unwrap()
    };
    assert!(said(&[]).contains("is not known: the job does not state dates.sampled and"));
    let dated = said(&["dates.sampled=2025-07-01", "dates.spread=2026-10-20"]);
    assert!(dated.contains("Sampled on 2025-07-01, 1 year and 3 months before"), "{dated}");
}
