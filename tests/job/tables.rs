//! Tables as laboratories, spreadsheets and receivers write them: each reads as the plain one does,
//! or is refused with what to do.

use std::fs;

use super::cases::{JOB, SQUARE, plain, table};
use super::support::{Ground, JOB as US_JOB, Job, Outcome, Sample, assert_near};

fn job(samples: &str) -> Job {
    Job::new(JOB, SQUARE, samples)
}

fn written_as(bytes: Vec<u8>) -> Job {
    let job = job("");
    fs::write(job.path("samples.csv"), bytes).unwrap();
    job
}

/// Holds a result against that of the plain table: the same samples give the same tons.
fn assert_same(outcome: &Outcome) {
    let expected = job(&plain()).prescribed(&[]);
    for pointer in ["/product_total", "/soil/ph/min", "/soil/ph/mean", "/soil/ph/max"] {
        assert_eq!(outcome.value(pointer), expected.value(pointer), "{pointer}");
    }
    assert_eq!(outcome.value("/soil/ph/samples"), 9.0);
}

fn with_ph(changed: &[(&str, &str)]) -> String {
    table(|id, lat, lon, ph| {
        let cell = changed.iter().find(|(of, _)| *of == id).map(|(_, cell)| (*cell).to_owned());
        format!("{id},{lat},{lon},{}", cell.unwrap_or_else(|| ph.to_string()))
    })
}

#[test]
fn code_pages_and_marks_do_not_matter() {
    let text = plain().replace("sample_id", "Sample ID").replace("S01", "Süd");
    let utf_16: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let outcome = written_as(utf_16).prescribed(&[]);
    assert_same(&outcome);
    assert!(outcome.finding("table_encoding").unwrap().contains("UTF-16LE"));
    let latin: Vec<u8> = text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    let outcome = written_as(latin.clone()).prescribed(&[]);
    assert_same(&outcome);
    assert!(outcome.finding("table_encoding").unwrap().contains("Windows-1252"));
    let outcome = written_as(latin.clone()).prescribed(&["samples.encoding=iso-8859-15"]);
    assert!(outcome.finding("table_encoding").is_none());
    let said = written_as(latin).refused(&["samples.encoding=latin-99"]);
    assert!(said.contains("samples.encoding") && said.contains("windows-1250"), "{said}");
    let said = written_as(b"PK\x03\x04 and so on".to_vec()).refused(&[]);
    assert!(said.contains("spreadsheet") && said.contains("as CSV"), "{said}");
}

#[test]
fn decimal_commas_between_semicolons_are_read() {
    let text = plain().replace(',', ";").replace('.', ",");
    assert!(text.contains("S01;39,9945293;-89,0022357;5,2"));
    let outcome = job(&text).prescribed(&[]);
    assert_same(&outcome);
    let told = outcome.finding("decimal_commas").unwrap();
    assert!(told.contains("`ph`") && told.contains("`39,9945293` is 39.9945293"), "{told}");
    assert!(outcome.finding("table_delimiter").unwrap().contains("semicolons"));
    let quoted = table(|id, lat, lon, ph| {
        format!("{id},{lat},{lon},\"{}\"", format!("{ph:.1}").replace('.', ","))
    });
    assert_same(&job(&quoted).prescribed(&[]));
}

#[test]
fn a_comma_that_can_be_either_mark_is_settled_by_the_job_or_refused() {
    let text = table(|id, lat, lon, ph| {
        format!("{id},{lat},{lon},\"{}\"", format!("{ph:.3}").replace('.', ","))
    });
    let said = job(&text).refused(&[]);
    for part in ["sample S01, column ph", "sample S09", "5.200", "5200", "samples.decimal"] {
        assert!(said.contains(part), "{part}: {said}");
    }
    assert_same(&job(&text).prescribed(&["samples.decimal=comma"]));
    let said = job(&text).refused(&["samples.decimal=point"]);
    assert!(said.contains("soil pH from 2 to 11"), "{said}");
    let mixed = with_ph(&[("S01", "\"5,2\"")]);
    let said = job(&mixed).refused(&[]);
    assert!(said.contains("`5,2` is not a number") && !said.contains("sample S02"), "{said}");
}

#[test]
fn three_places_behind_a_point_are_in_doubt_beside_decimal_commas() {
    // By points 5.250, by commas 5250; the coordinates have decimal commas.
    let text = table(|id, lat, lon, ph| {
        let place = format!("{lat};{lon}").replace('.', ",");
        format!("{id};{place};{ph:.3}")
    });
    let text = text.replace("sample_id,lat,lon,ph", "sample_id;lat;lon;ph");
    let said = job(&text).refused(&[]);
    for part in ["sample S01, column ph", "5200 with a decimal comma, and 5.200", "samples.decimal"]
    {
        assert!(said.contains(part), "{part}: {said}");
    }
    let said = job(&text).refused(&["samples.decimal=comma"]);
    assert!(said.contains("soil pH from 2 to 11"), "{said}");
    // A fourth place can only be a part, and settles the column.
    let settled = text.replace("5.200", "5.2000");
    assert_same(&job(&settled).prescribed(&[]));
}

#[test]
fn limits_and_marks_are_refused_unless_the_job_says_what_they_count_as() {
    let text = with_ph(&[("S01", "<5.0"), ("S05", "ND"), ("S09", ">7.5")]);
    let said = job(&text).refused(&[]);
    for part in [
        "line 2, sample S01, column ph",
        "`<5.0` is a limit",
        "line 6, sample S05, column ph",
        "`ND` is not a number",
        "line 10, sample S09, column ph",
        "`>7.5` is a limit",
        "samples.censored = \"limit\"",
        "samples.missing =",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let said = job(&text).refused(&["samples.missing=leave out"]);
    assert!(said.contains("<5.0") && !said.contains("sample S05"), "{said}");
    let both = ["samples.missing=leave out", "samples.censored=limit"];
    let outcome = job(&text).prescribed(&both);
    assert_eq!(outcome.value("/soil/ph/samples"), 8.0);
    assert_eq!((outcome.value("/soil/ph/min"), outcome.value("/soil/ph/max")), (5.0, 7.5));
    let told = outcome.finding("limits_taken").unwrap();
    assert!(told.contains("2 samples") && told.contains("S01 (`<5.0`), S09 (`>7.5`)"), "{told}");
    assert!(outcome.finding("samples_left_out").unwrap().contains("S05 (`ND`)"));
    let said = job(&text).refused(&["samples.missing=leave out", "samples.censored=half"]);
    assert!(said.contains("half of `<5.0` means nothing for the soil pH"), "{said}");
    let said = job(&text).refused(&["samples.censored=third"]);
    assert!(said.contains("`limit`, `half`"), "{said}");
}

#[test]
fn texts_and_blanks_among_numbers_are_never_zeros() {
    let text = with_ph(&[("S02", "NA"), ("S04", "n/a"), ("S06", ""), ("S08", "-")]);
    let said = job(&text).refused(&[]);
    for id in ["S02", "S04", "S06", "S08"] {
        assert!(said.contains(&format!("sample {id}, column ph")), "{id}: {said}");
    }
    let outcome = job(&text).prescribed(&["samples.missing=leave out"]);
    assert_eq!(outcome.value("/soil/ph/samples"), 5.0);
    assert_near(outcome.value("/soil/ph/mean"), (5.2 + 5.9 + 6.0 + 5.8 + 6.6) / 5.0, 1e-12, "mean");
    let told = outcome.finding("samples_left_out").unwrap();
    assert!(told.contains("4 samples") && told.contains("S06 (``)"), "{told}");
}

#[test]
fn zero_and_minus_99_are_no_ph() {
    let text = with_ph(&[("S04", "0"), ("S08", "-99")]);
    let said = job(&text).refused(&[]);
    assert!(said.contains("line 5, sample S04") && said.contains("line 9, sample S08"), "{said}");
    assert!(said.contains("soil pH from 2 to 11"), "{said}");
    let outcome = job(&text).prescribed(&["samples.missing=leave out"]);
    assert_eq!(outcome.value("/soil/ph/samples"), 7.0);
    // What is merely wrong stays refused.
    let said = job(&with_ph(&[("S04", "56")])).refused(&["samples.missing=leave out"]);
    assert!(said.contains("sample S04"), "{said}");
}

#[test]
fn case_and_blanks_in_headers_and_ids_do_not_matter() {
    let text = plain()
        .replace("sample_id,lat,lon,ph", " Sample_ID ,LAT,Lon, pH ")
        .replace("S01,", "s02\u{a0},")
        .replace("S02,", "S02 ,");
    let outcome = job(&text).prescribed(&[]);
    assert_same(&outcome);
    assert!(outcome.finding("sample_names_repeated").unwrap().contains("`s02`, `S02`"));
    let twice = plain().replace("lon,ph", "lon,ph,ph").replace(",5.2\n", ",5.2,6.6\n");
    assert!(job(&twice).refused(&[]).contains("2 columns are called `ph`"));
}

#[test]
fn titles_and_units_around_the_header_are_no_samples() {
    let headed = |unit: &str| {
        let header = "sample_id,lat,lon,ph\n";
        let titles = format!("Lab report 1234\n\n{header},deg,deg,{unit}\n");
        plain().replace(header, &titles)
    };
    let outcome = job(&headed("1:2.5 water")).prescribed(&[]);
    assert_same(&outcome);
    assert!(outcome.finding("rows_above_header").unwrap().contains("Lab report 1234"));
    assert!(outcome.finding("unit_row").unwrap().contains("`1:2.5 water`"));
    assert_same(&job(&headed("1:2.5 water")).prescribed(&["samples.columns.ph=ph"]));
    let said = job(&headed("1:1 water")).refused(&[]);
    assert!(said.contains("line 3") && said.contains("names 1:1"), "{said}");
}

#[test]
fn media_are_never_mixed() {
    // The second half in 0.01 M CaCl2: the same soil, some 0.67 lower.
    let half = |id: &str, ph: f64| if id > "S05" { (ph - 0.67, "CaCl2") } else { (ph, "water") };
    let text = table(|id, lat, lon, ph| {
        let (ph, medium) = half(id, ph);
        format!("{id},{lat},{lon},{ph},{medium}")
    });
    let text = text.replace("lon,ph", "lon,ph,pH method");
    let said = job(&text).refused(&[]);
    for (line, id) in [(7, "S06"), (8, "S07"), (9, "S08"), (10, "S09")] {
        assert!(said.contains(&format!("line {line}, sample {id}, column pH method")), "{said}");
    }
    assert!(!said.contains("sample S05") && said.contains("read in `CaCl2`"), "{said}");
    let said = job(&text).refused(&["samples.ph_measured_in=CaCl2 0.01 M"]);
    assert!(said.contains("sample S01") && !said.contains("sample S06"), "{said}");
    let all = text.replace(",CaCl2", ",water 1:2.5");
    assert_eq!(job(&all).prescribed(&[]).value("/soil/ph/samples"), 9.0);
    let other = text.replace(",CaCl2", ",water 1:1");
    assert!(job(&other).refused(&[]).contains("read in `water 1:1`"));
    // The two halves in two columns, one of which the job would have to take alone.
    let two = table(|id, lat, lon, ph| match half(id, ph) {
        (ph, "water") => format!("{id},{lat},{lon},{ph},"),
        (ph, _) => format!("{id},{lat},{lon},,{ph}"),
    });
    let two = two.replace("lon,ph", "lon,pH water,pH CaCl2");
    let said = job(&two).refused(&[]);
    assert!(said.contains("`pH water`, `pH CaCl2`"), "{said}");
    let said = job(&two).refused(&["samples.columns.ph=pH water"]);
    assert!(said.contains("sample S06, column pH water"), "{said}");
    assert!(said.contains("the cell is blank") && !said.contains("sample S05"), "{said}");
}

#[test]
fn two_depths_are_not_one() {
    let text = table(|id, lat, lon, ph| {
        format!("{id},{lat},{lon},{ph},0-20 cm\n{id},{lat},{lon},{},20-40 cm", ph + 1.0)
    });
    let said = job(&text.replace("lon,ph", "lon,ph,depth")).refused(&[]);
    assert!(said.contains("several depths: `0-20 cm`, `20-40 cm`"), "{said}");
}

#[test]
fn a_row_for_each_sample_and_analyte_reads_as_one_row_for_each_sample() {
    let rows = |ph_unit: &str| {
        table(|id, lat, lon, ph| {
            format!("{id},{lat},{lon},pH,{ph},{ph_unit}\n{id},{lat},{lon},Clay,20,%")
        })
        .replace("lon,ph", "lon,analyte,result,unit")
    };
    let outcome = job(&rows("1:2.5 water")).prescribed(&[]);
    assert_same(&outcome);
    let told = outcome.finding("long_table").unwrap();
    assert!(told.contains("9 rows") && told.contains("`pH (1:2.5 water)`, `Clay (%)`"), "{told}");
    assert!(job(&rows("CaCl2")).refused(&[]).contains("names CaCl2"));
    let twice = rows("") + "S04,39.9956999,-89.0022699,pH,5.9,\n";
    let said = job(&twice).refused(&[]);
    assert!(said.contains("line 20, sample S04"), "{said}");
    assert!(said.contains("`pH` stands in line 8 already"), "{said}");
}

/// Degrees, minutes and seconds to a thousandth, three centimetres.
fn sexagesimal(degrees: f64, letters: [char; 2], marks: [&str; 3]) -> String {
    let thousandths = (degrees.abs() * 3_600_000.0).round();
    let (whole, rest) = ((thousandths / 3_600_000.0).floor(), thousandths % 3_600_000.0);
    let (minutes, seconds) = ((rest / 60_000.0).floor(), rest % 60_000.0 / 1_000.0);
    let letter = letters[usize::from(degrees < 0.0)];
    let [d, m, s] = marks;
    format!("{whole}{d}{minutes:02}{m}{seconds:06.3}{s}{letter}")
}

#[test]
fn degrees_minutes_and_seconds_are_read() {
    let expected = job(&plain()).prescribed(&[]).value("/product_total");
    for marks in [["°", "'", "\""], ["º", "’", "”"], [" ", " ", " "]] {
        let text = table(|id, lat, lon, ph| {
            let lat = sexagesimal(lat, ['N', 'S'], marks);
            let lon = sexagesimal(lon, ['E', 'W'], marks);
            format!("{id},{lat},{lon},{ph}")
        });
        let outcome = job(&text).prescribed(&[]);
        assert_near(outcome.value("/product_total"), expected, 0.01, "tons");
        assert_eq!(outcome.value("/soil/ph/samples"), 9.0);
    }
    let said = job(&plain().replace("39.9945293", "-39°59'40.305\"S")).refused(&[]);
    assert!(said.contains("line 2, sample S01, column lat"), "{said}");
    assert!(said.contains("both a minus and the letter"), "{said}");
}

#[test]
fn coordinates_of_three_decimals_are_told_in_metres() {
    let coarse = table(|id, lat, lon, ph| format!("{id},{lat:.3},{lon:.3},{ph}"));
    let told = job(&coarse).prescribed(&[]);
    let told = told.finding("coarse_coordinates").unwrap();
    assert!(
        told.contains("3 decimals") && told.contains("111 m") && told.contains("85 m"),
        "{told}"
    );
    assert!(job(&plain()).prescribed(&[]).finding("coarse_coordinates").is_none());
    // One column may have lost its decimals alone.
    let one = table(|id, lat, lon, ph| format!("{id},{lat},{lon:.3},{ph}"));
    let one = job(&one).prescribed(&[]);
    let told = one.finding("coarse_coordinates").unwrap();
    assert!(told.contains("longitudes") && told.contains("85 m"), "{told}");
    assert!(!told.contains("latitudes"), "{told}");
}

/// A place in Brazil, UTM zone 22 south: easting 713,733.825 m, northing 8,178,299.488 m is
/// 48.997953 degrees west, 16.467436 degrees south.
#[test]
fn a_southern_zone_read_as_a_northern_one_is_refused() {
    let (lon, lat) = (-48.997_953, -16.467_436);
    let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)]
        .map(|(x, y)| format!("[{},{}]", lon + 0.002 * x, lat + 0.002 * y));
    let boundary = format!("{{\"type\":\"Polygon\",\"coordinates\":[[{}]]}}", corners.join(","));
    let places_m = [[-80.0, -80.0], [80.0, -80.0], [80.0, 80.0], [0.0, 0.0]];
    let rows = places_m.iter().enumerate().map(|(id, [east, north])| {
        format!("S{id},{},{},6.{id}\n", 713_733.825 + east, 8_178_299.488 + north)
    });
    let text = rows.fold(String::from("sample_id,Easting,Northing,ph\n"), |text, row| text + &row);
    let job = Job::new(JOB, &boundary, &text);
    // Found by their headers: nothing is mapped.
    let outcome = job.prescribed(&["samples.coordinate_system=EPSG:32722"]);
    assert_eq!(outcome.value("/soil/ph/samples"), 4.0);
    let said = Job::new(JOB, &boundary, &text).refused(&["samples.coordinate_system=EPSG:32622"]);
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("0 of 4") && said.contains("zone 22 south (EPSG:32722), 4 do"), "{said}");
    let said = Job::new(JOB, &boundary, &text).refused(&[]);
    assert!(said.contains("samples.coordinate_system"), "{said}");
}

#[test]
fn a_buffer_index_is_a_buffer_ph_times_ten() {
    let sample =
        |east_m, north_m, ph, buffer| Sample { east_m, north_m, ph, buffer_ph: Some(buffer) };
    let samples = vec![
        sample(-80.0, -80.0, 5.2, 6.1),
        sample(80.0, -80.0, 5.6, 6.4),
        sample(80.0, 80.0, 5.4, 6.3),
        sample(-80.0, 80.0, 5.8, 6.6),
    ];
    let ground = Ground::square(400.0, samples);
    let expected = Job::on(&ground).prescribed(&[]).value("/product_total");
    assert!(expected > 0.0);
    let indexes = ["6.1", "6.4", "6.3", "6.6"].iter().fold(ground.table(), |text, reading| {
        text.replace(&format!(",{reading}\n"), &format!(",{}\n", reading.replace('.', "")))
    });
    let run = |text: &str| Job::new(US_JOB, &ground.boundary(), text);
    for header in ["BpH", "Lime index", "BI"] {
        let outcome = run(&indexes.replace("BpH", header)).prescribed(&[]);
        assert_near(outcome.value("/product_total"), expected, 1e-9, header);
        let told = outcome.finding("buffer_index").unwrap();
        assert!(told.contains("61 to 66 were read as 6.1 to 6.6"), "{told}");
    }
    let said = run(&indexes.replace(",66\n", ",6.6\n")).refused(&[]);
    assert!(said.contains("mixes indexes and buffer pH"), "{said}");
    let said = run(&ground.table().replace("BpH", "Buffer index")).refused(&[]);
    assert!(said.contains("called an index and holds `6.1`"), "{said}");
    // A mark for no reading is a blank, with the rule for blanks.
    let marked = ground.table().replace("5.8,6.6\n", "6.8,n/a\n");
    let blank = ground.table().replace("5.8,6.6\n", "6.8,\n");
    let (marked, blank) = (run(&marked).prescribed(&[]), run(&blank).prescribed(&[]));
    assert_eq!(marked.value("/product_total"), blank.value("/product_total"));
}

#[test]
fn absurd_tables_are_refused() {
    let wide = format!("{}\n{}\n", vec!["h"; 5_000].join(","), vec!["1"; 5_000].join(","));
    assert!(job(&wide).refused(&[]).contains("1000 columns"));
    let cell = plain().replace("S05", &"x".repeat(1_000_000));
    let open = plain().replace("S05", "\"S05");
    for (text, part) in [(cell, "a cell holds more text"), (open, "opened and never closed")] {
        let said = job(&text).refused(&[]);
        assert!(said.contains(part) && said.contains("line 6"), "{said}");
    }
}
