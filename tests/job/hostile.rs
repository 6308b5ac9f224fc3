//! Input that is meant to do harm, or might as well be: refused with a sentence, in bounded memory,
//! and nothing hangs or is written.

use std::fs::{self, File};
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use super::support::{Ground, JOB, Job, Sample, limewright, root};

/// Memory that a refusal may take, in KiB of addresses: enough for the program with its threads, and
/// less than what the inputs here would unpack or grow to.
const MOST_MEMORY_KIB: u32 = 1_500_000;
/// A run that takes longer than this many tenths of a second hangs: no refusal comes near it.
const HANGS_AFTER: u32 = 3_000;

/// What the program said when it refused the job in the folder, within memory; `run` is what is
/// typed behind its name.
fn refused_in(folder: &Path, run: &[&str]) -> String {
    let (status, said) = bounded(folder, run);
    assert_eq!(status, Some(1), "{said}");
    assert!(!folder.join("out").exists(), "something was written");
    assert!(said.contains("try:"), "no way out: {said}");
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The status of a run and what it said.
fn bounded(folder: &Path, run: &[&str]) -> (Option<i32>, String) {
    let program = limewright();
    let messages = folder.join("messages.txt");
    let mut child = Command::new("sh")
        .arg("-c")
        .arg(format!("ulimit -v {MOST_MEMORY_KIB}; exec \"$0\" \"$@\""))
        .arg(program.get_program())
        .args(run)
        .env("RAYON_NUM_THREADS", "2")
        .current_dir(folder)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(File::create(&messages).unwrap())
        .spawn()
        .unwrap();
    for _ in 0..HANGS_AFTER {
        if let Some(status) = child.try_wait().unwrap() {
            return (status.code(), fs::read_to_string(&messages).unwrap());
        }
        std::thread::sleep(Duration::from_millis(100));
    }
    child.kill().unwrap();
    panic!("it hangs: {}", fs::read_to_string(&messages).unwrap());
}

fn refused(job: &Job, sets: &[&str]) -> String {
    let mut run = vec!["prescribe", "job.toml", "--out", "out"];
    for set in sets {
        run.extend(["--set", set]);
    }
    refused_in(&job.path(""), &run)
}

fn ground() -> Ground {
    let sample = |east_m, north_m| Sample { east_m, north_m, ph: 5.8, buffer_ph: Some(6.4) };
    Ground::square(200.0, vec![sample(0.0, 0.0), sample(100.0, 0.0), sample(0.0, 100.0)])
}

fn on_boundary(text: &str) -> Job {
    Job::new(JOB, text, &ground().table())
}

/// Rings in metres around the field's middle as one GeoJSON geometry of many polygons.
fn drawn(polygons: &[Vec<Vec<[f64; 2]>>]) -> String {
    let ground = ground();
    let ring = |ring: &Vec<[f64; 2]>| {
        let places = ring.iter().chain(ring.first()).map(|&[east, north]| {
            let at = ground.degrees(east, north);
            format!("[{},{}]", at.lon_deg, at.lat_deg)
        });
        format!("[{}]", places.collect::<Vec<_>>().join(","))
    };
    let polygon = |rings: &Vec<Vec<[f64; 2]>>| {
        format!("[{}]", rings.iter().map(ring).collect::<Vec<_>>().join(","))
    };
    let all: Vec<String> = polygons.iter().map(polygon).collect();
    format!("{{\"type\":\"MultiPolygon\",\"coordinates\":[{}]}}", all.join(","))
}

fn square([east, north]: [f64; 2], half: f64) -> Vec<[f64; 2]> {
    [[-half, -half], [half, -half], [half, half], [-half, half]]
        .map(|[x, y]| [east + x, north + y])
        .to_vec()
}

fn pipe(path: &Path) {
    let _ = fs::remove_file(path);
    assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
}

#[test]
fn pipes_devices_and_folders_are_no_files() {
    for name in ["job.toml", "boundary.geojson", "samples.csv"] {
        let job = Job::on(&ground());
        pipe(&job.path(name));
        let said = refused(&job, &[]);
        assert!(said.contains("a pipe, a socket or a device") && said.contains(name), "{said}");
        fs::remove_file(job.path(name)).unwrap();
        fs::create_dir(job.path(name)).unwrap();
        let said = refused(&job, &[]);
        assert!(said.contains("folder"), "{said}");
    }
    let job = Job::on(&ground());
    for key in ["samples.file", "field.boundary"] {
        let said = refused(&job, &[&format!("{key}=/dev/zero")]);
        assert!(said.contains("a pipe, a socket or a device"), "{said}");
        let said = refused(&job, &[&format!("{key}=/dev/stdin")]);
        assert!(said.contains("a pipe, a socket or a device"), "{said}");
    }
}

#[test]
fn a_pipe_beside_a_map_file_is_passed_over() {
    let data = root().join("tests/data/map_files");
    let folder = tempfile::tempdir().unwrap();
    fs::copy(data.join("databases/one_layer.gpkg"), folder.path().join("one_layer.gpkg")).unwrap();
    for name in ["one_layer.gpkg-wal", "one_layer.gpkg-journal", "other.shp", "p28_polygonz.cpg"] {
        pipe(&folder.path().join(name));
    }
    for extension in ["shp", "dbf", "prj"] {
        let name = format!("p28_polygonz.{extension}");
        fs::copy(data.join("pain").join(&name), folder.path().join(&name)).unwrap();
    }
    fs::write(folder.path().join("job.toml"), JOB).unwrap();
    let samples = "sample_id,lon,lat,pH,BpH\nS1,-89.0007,39.9957,5.8,6.4\n";
    fs::write(folder.path().join("samples.csv"), samples).unwrap();
    for boundary in ["one_layer.gpkg", "p28_polygonz.shp", "."] {
        let set = format!("field.boundary={boundary}");
        let layer = if boundary == "." { "field.layer=p28_polygonz" } else { "units=us" };
        let run = ["prescribe", "job.toml", "--set", &set, "--set", layer];
        let (status, said) = bounded(folder.path(), &run);
        assert_eq!(status, Some(0), "{boundary}: {said}");
    }
}

#[test]
fn what_unpacks_to_gigabytes_is_refused_in_little_memory_and_leaves_nothing() {
    let mut zip = ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let zeros = vec![0_u8; 1 << 20];
    let packed = SimpleFileOptions::default();
    zip.start_file("field.shp", packed).unwrap();
    for _ in 0..2_000 {
        zip.write_all(&zeros).unwrap();
    }
    for name in ["field.dbf", "field.prj"] {
        zip.start_file(name, packed).unwrap();
        zip.write_all(&zeros).unwrap();
    }
    let bomb = zip.finish().unwrap().into_inner();
    assert!(bomb.len() < 4 << 20);
    let job = Job::on(&ground());
    for name in ["field.zip", "field.kmz"] {
        fs::write(job.path(name), &bomb).unwrap();
        let said = refused(&job, &[&format!("field.boundary={name}")]);
        assert!(said.contains("unpacks to more than this program takes on"), "{said}");
        fs::remove_file(job.path(name)).unwrap();
    }
    let left: Vec<_> =
        fs::read_dir(job.path("")).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(left.len(), 4, "{left:?}");
}

#[test]
fn a_member_that_leads_out_of_an_archive_is_refused_and_not_made() {
    let job = Job::on(&ground());
    let mut zip = ZipWriter::new(std::io::Cursor::new(Vec::new()));
    zip.start_file("aa/evil.shp", SimpleFileOptions::default()).unwrap();
    let text = zip.finish().unwrap().into_inner();
    let text: Vec<u8> = text.windows(1).map(|byte| byte[0]).collect();
    let mut evil = text.clone();
    for at in 0..text.len() - 3 {
        if text[at..].starts_with(b"aa/") {
            evil[at..at + 3].copy_from_slice(b"../");
        }
    }
    fs::write(job.path("field.zip"), evil).unwrap();
    let said = refused(&job, &["field.boundary=field.zip"]);
    assert!(said.contains("stay inside the archive"), "{said}");
    assert!(!job.path("../evil.shp").exists());
}

#[test]
fn cells_of_an_inch_on_a_ranch_are_refused_before_they_are_built() {
    // 5,000 ac are a square of 4.5 km.
    let mut ground = ground();
    ground.outline_m = square([0.0, 0.0], 2_249.0);
    let job = Job::on(&ground);
    for cell in ["0.1 ft", "0.000001 ft", "1e-300 ft", "1 ft"] {
        let said = refused(&job, &[&format!("grid.cell={cell}")]);
        assert!(said.contains("cell"), "{cell}: {said}");
    }
}

#[test]
fn numbers_beyond_all_measure_are_refused_by_name() {
    let job = Job::on(&ground());
    for value in ["1e308 ton/ac", "1e309 ton/ac", "NaN ton/ac", "inf ton/ac", "-0 ton/ac"] {
        let said = refused(&job, &[&format!("spreader.max_rate={value}")]);
        assert!(said.contains("max_rate") || said.contains("greatest rate"), "{value}: {said}");
    }
    for number in ["1e308", "-1e308", "1e309", "NaN", "Infinity", "-inf", "nan", "1e-400"] {
        let place = ground().boundary().replacen("[[[", &format!("[[[{number},42.0],["), 1);
        let said = refused(&on_boundary(&place), &[]);
        assert!(said.contains("boundary.geojson"), "{number}: {said}");
        for column in ["lon", "pH", "BpH"] {
            let mut row = ["S9", "-93.2", "42.0", "5.8", "6.4"].map(str::to_owned);
            let at = ["id", "lon", "lat", "pH", "BpH"].iter().position(|c| *c == column).unwrap();
            number.clone_into(&mut row[at]);
            let table = ground().table() + &row.join(",") + "\n";
            let said = refused(&Job::new(JOB, &ground().boundary(), &table), &[]);
            assert!(said.contains("S9"), "{column} = {number}: {said}");
        }
    }
}

#[test]
fn nothing_is_nested_so_deep_that_it_brings_the_program_down() {
    let deep = |open: &str, close: &str| open.repeat(200_000) + &close.repeat(200_000);
    let arrays =
        on_boundary(&format!("{{\"type\":\"Polygon\",\"coordinates\":{}}}", deep("[", "]")));
    assert!(refused(&arrays, &[]).contains("nested"));
    let objects = on_boundary(&(deep("{\"a\":", "") + "1" + &"}".repeat(200_000)));
    assert!(refused(&objects, &[]).contains("nested"));
    for line in [
        format!("a = {}", deep("[", "]")),
        format!("a = {}1{}", "{a=".repeat(100_000), "}".repeat(100_000)),
        format!("[{}a]", "a.".repeat(200_000)),
        format!("{}a = 1", "a.".repeat(200_000)),
    ] {
        let job = Job::new(&format!("{JOB}\n{line}\n"), &ground().boundary(), &ground().table());
        assert!(refused(&job, &[]).contains("job.toml"));
    }
}

#[test]
fn a_database_whose_layer_is_a_query_is_not_run() {
    let job = Job::on(&ground());
    let path = job.path("field.gpkg");
    fs::copy(root().join("tests/data/map_files/databases/one_layer.gpkg"), &path).unwrap();
    let endless = "ALTER TABLE fields RENAME TO base; CREATE VIEW fields AS \
         WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) \
         SELECT i AS fid, geom FROM n, base;";
    rusqlite::Connection::open(&path).unwrap().execute_batch(endless).unwrap();
    let said = refused(&job, &["field.boundary=field.gpkg"]);
    assert!(said.contains("`fields` is a view"), "{said}");
}

#[test]
fn outlines_that_no_one_draws_are_refused_in_bounded_work() {
    // Every edge of the star crosses every other.
    let count = 12_001;
    let star = |n: u32| {
        let angle = f64::from(n * (count / 2) % count) / f64::from(count) * std::f64::consts::TAU;
        [1_000.0 * angle.cos(), 1_000.0 * angle.sin()]
    };
    let star = drawn(&[vec![(0..count).map(star).collect()]]);
    // Rings in one another like the skins of an onion.
    let skins: Vec<_> = (0..5_000)
        .map(|n| {
            let half = 2_000.0 - 0.2 * f64::from(n);
            vec![square([0.0, 0.0], half), square([0.0, 0.0], half - 0.1)]
        })
        .collect();
    for outline in [star, drawn(&skins)] {
        let said = refused(&on_boundary(&outline), &[]);
        assert!(said.contains("at so many places"), "{said}");
    }
    // From one end of the Earth to the other and back.
    let turns: Vec<[f64; 2]> =
        (0..30_000).map(|n| [if n % 2 == 0 { -80.0 } else { 80.0 }, f64::from(n) * 1e-3]).collect();
    let back = [[-85.0, 40.0], [-85.0, -1.0], [80.0, -1.0], [-80.0, 0.0]];
    let ring: Vec<[f64; 2]> = turns.into_iter().chain(back).collect();
    let said =
        refused(&on_boundary(&format!("{{\"type\":\"Polygon\",\"coordinates\":[{ring:?}]}}")), &[]);
    assert!(said.contains("one on each kilometre"), "{said}");
}

/// What is only much is taken: small polygons, holes and vertices by the ten thousand.
#[test]
fn outlines_of_many_rings_are_laid_out_in_bounded_work() {
    let places = || (-60..60).flat_map(|x| (-60..60).map(move |y| [x, y].map(f64::from)));
    let apart: Vec<_> = places().map(|[x, y]| vec![square([10.0 * x, 10.0 * y], 4.0)]).collect();
    let mut holed = vec![square([0.0, 0.0], 700.0)];
    holed.extend(places().map(|[x, y]| square([10.0 * x, 10.0 * y], 3.0)));
    let fine: Vec<[f64; 2]> = (0..50_000)
        .map(|n| {
            let angle = f64::from(n) / 50_000.0 * std::f64::consts::TAU;
            let far = 900.0 + 20.0 * (37.0 * angle).sin();
            [far * angle.cos(), far * angle.sin()]
        })
        .collect();
    for (outline, hectares) in [
        (drawn(&apart), 120.0 * 120.0 * 64.0 / 1e4),
        (drawn(&[holed]), (1_400.0 * 1_400.0 - 120.0 * 120.0 * 36.0) / 1e4),
        (drawn(&[vec![fine]]), std::f64::consts::PI * (900.0 * 900.0 + 200.0) / 1e4),
    ] {
        let job = on_boundary(&outline);
        let (status, said) = bounded(
            &job.path(""),
            &["prescribe", "job.toml", "--out", "out", "--set", "units=metric"],
        );
        assert_eq!(status, Some(0), "{said}");
        let summary = fs::read(job.path("out/summary.json")).unwrap();
        let summary: serde_json::Value = serde_json::from_slice(&summary).unwrap();
        let area = summary["area"]["value"].as_f64().unwrap();
        assert!((area / hectares - 1.0).abs() < 1e-4, "{area} is not {hectares}");
    }
}

/// Every value of a document takes many times the memory of its text.
#[test]
fn documents_that_grow_in_memory_are_refused_before_they_do() {
    let list = |entry: &str, count: usize| vec![entry; count].join(",");
    for (text, part) in [
        (
            format!("{{\"type\":\"LineString\",\"coordinates\":[{}]}}", list("[1,1]", 5_000_000)),
            "larger",
        ),
        (
            format!("{{\"type\":\"LineString\",\"coordinates\":[{}]}}", list("[]", 8_000_000)),
            "larger",
        ),
        (format!("{{\"a\":[{}]}}", list("{\"a\":0}", 2_000_000)), "larger"),
        (format!("[{}]", list("{}", 9_000_000)), "larger"),
        (
            format!("{{\"type\":\"FeatureCollection\",\"features\":[{}]}}", list("0", 15_000_000)),
            "more than 1000000 features",
        ),
        (
            format!("{{\"features\":[{}]}}", list("{\"type\":\"Feature\"}", 1_000_001)),
            "more than 1000000 features",
        ),
    ] {
        let said = refused(&on_boundary(&text), &[]);
        assert!(said.contains(part) && said.contains("boundary.geojson"), "{said}");
    }
    let kml = |positions: usize| {
        format!(
            "<kml><Placemark><LineString><coordinates>{}</coordinates></LineString></Placemark></kml>",
            "1,1 ".repeat(positions)
        )
    };
    let job = on_boundary("");
    fs::write(job.path("field.kml"), kml(8_000_000)).unwrap();
    let said = refused(&job, &["field.boundary=field.kml"]);
    assert!(said.contains("8000000 positions in one piece"), "{said}");
}

/// The features of a large collection are held one by one: what is chosen among them is read.
#[test]
fn one_field_of_a_large_collection_is_chosen_in_little_memory() {
    let ground = ground();
    let other = format!(
        "{{\"type\":\"Feature\",\"properties\":{{\"name\":\"other\",\"crop\":\"corn\"}},\"geometry\":{}}}",
        ground.boundary()
    );
    let own = other.replace("other", "own");
    let text = format!(
        "{{\"type\":\"FeatureCollection\",\"features\":[{},{own}]}}",
        vec![other.as_str(); 150_000].join(",")
    );
    let job = on_boundary(&text);
    let run = ["prescribe", "job.toml", "--set", "field.select={ name = \"own\" }"];
    let (status, said) = bounded(&job.path(""), &run);
    assert_eq!(status, Some(0), "{said}");
}

#[test]
fn tens_of_thousands_of_samples_on_a_line_a_circle_or_one_place_are_taken() {
    let many = 10_000;
    let share = |n: u32| f64::from(n) / f64::from(many);
    let line = |n: u32| [150.0 * share(n) - 75.0, 40.0 * share(n) - 20.0];
    let circle = |n: u32| {
        let angle = std::f64::consts::TAU * share(n);
        [90.0 * angle.cos(), 90.0 * angle.sin()]
    };
    let places: [&dyn Fn(u32) -> [f64; 2]; 3] = [&line, &circle, &|_| [1.0, 2.0]];
    for place in places {
        let mut ground = ground();
        ground.samples = (0..many)
            .map(|n| {
                let [east_m, north_m] = place(n);
                Sample { east_m, north_m, ph: 5.8, buffer_ph: Some(6.4) }
            })
            .collect();
        let job = Job::on(&ground);
        let (status, said) = bounded(&job.path(""), &["prescribe", "job.toml"]);
        assert_eq!(status, Some(0), "{said}");
    }
}

#[test]
fn a_table_of_one_endless_line_is_refused() {
    let cells = format!("sample_id,lon,lat,pH,BpH{}", ",1".repeat(10_000_000));
    let text = "x".repeat(20_000_000);
    let quotes = format!("sample_id,lon,lat,pH,BpH\n{}", "\"".repeat(20_000_001));
    for (table, part) in [(cells, "1000"), (text, "more text"), (quotes, "more text")] {
        let said = refused(&Job::new(JOB, &ground().boundary(), &table), &[]);
        assert!(said.contains(part) && said.contains("samples.csv"), "{said}");
    }
}

#[test]
fn many_samples_far_away_are_refused_at_once() {
    let mut far = ground();
    far.outline_m = square([300_000.0, 0.0], 400.0);
    let mut near = ground();
    near.samples = (0..20_000)
        .map(|n| Sample {
            east_m: f64::from(n % 141),
            north_m: f64::from(n / 141),
            ph: 5.8,
            buffer_ph: Some(6.4),
        })
        .collect();
    let said = refused(&Job::new(JOB, &far.boundary(), &near.table()), &[]);
    assert!(said.contains("0 of 20000 samples lie in the field; the nearest is"), "{said}");
}

#[test]
fn a_name_steers_no_terminal() {
    let job = Job::new(super::cases::JOB, super::cases::SQUARE, &super::cases::plain());
    let name = "field.name=\u{1b}[31mred\u{7}\u{202e}";
    let said = job.run(&["prescribe", "job.toml", "--set", name]).stdout;
    let said = String::from_utf8(said).unwrap();
    assert!(said.contains("[31mred") && !said.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{said}");
}
