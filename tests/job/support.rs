//! A job in a folder of its own, and the program run on it.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use limewright::field::{Frame, LonLat, Point};
use serde_json::Value;
use tempfile::TempDir;

/// The root of the repository.
pub(crate) fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The program, with nothing typed yet.
pub(crate) fn limewright() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_limewright"));
    command.env_remove("NO_COLOR").env_remove("RAYON_NUM_THREADS");
    command
}

/// One sample of an invented field: metres east and north of its middle, pH, buffer pH.
#[derive(Clone, Debug)]
pub(crate) struct Sample {
    pub(crate) east_m: f64,
    pub(crate) north_m: f64,
    pub(crate) ph: f64,
    pub(crate) buffer_ph: Option<f64>,
}

/// An invented field around a place on the ground, built in metres.
#[derive(Clone, Debug)]
pub(crate) struct Ground {
    pub(crate) at: LonLat,
    /// Turned clockwise by so many degrees.
    pub(crate) turned_deg: f64,
    pub(crate) outline_m: Vec<[f64; 2]>,
    pub(crate) samples: Vec<Sample>,
}

impl Ground {
    /// A square of `side_m` with the given samples.
    pub(crate) fn square(side_m: f64, samples: Vec<Sample>) -> Self {
        let h = side_m / 2.0;
        let outline_m = vec![[-h, -h], [h, -h], [h, h], [-h, h]];
        Self { at: LonLat { lon_deg: -93.2, lat_deg: 42.0 }, turned_deg: 0.0, outline_m, samples }
    }

    pub(crate) fn degrees(&self, east_m: f64, north_m: f64) -> LonLat {
        let (sin, cos) = self.turned_deg.to_radians().sin_cos();
        let x_m = east_m * cos + north_m * sin;
        let y_m = north_m * cos - east_m * sin;
        Frame::centred_on(self.at).inverse(Point { x_m, y_m })
    }

    pub(crate) fn boundary(&self) -> String {
        let mut corners: Vec<String> = self
            .outline_m
            .iter()
            .map(|&[east, north]| {
                let LonLat { lon_deg, lat_deg } = self.degrees(east, north);
                format!("[{lon_deg},{lat_deg}]")
            })
            .collect();
        corners.push(corners[0].clone());
        format!("{{\"type\":\"Polygon\",\"coordinates\":[[{}]]}}", corners.join(","))
    }

    pub(crate) fn table(&self) -> String {
        let mut rows = vec![String::from("sample_id,lon,lat,pH,BpH")];
        for (index, sample) in self.samples.iter().enumerate() {
            let LonLat { lon_deg, lat_deg } = self.degrees(sample.east_m, sample.north_m);
            let buffer = sample.buffer_ph.map_or_else(String::new, |reading| reading.to_string());
            rows.push(format!("S{index:02},{lon_deg},{lat_deg},{},{buffer}", sample.ph));
        }
        rows.join("\n") + "\n"
    }
}

/// A job file that needs nothing but a boundary and samples beside it.
pub(crate) const JOB: &str = r#"
units = "us"
[field]
boundary = "boundary.geojson"
[samples]
file = "samples.csv"
sampled_depth = "0-6 in"
ph_measured_in = "water 1:1"
buffer = "smp"
buffer_blank_above = 6.5
[target]
ph = 6.5
[need]
method = "smp-iowa"
limed_depth = "6 in"
placement = "tilled"
[material]
kind = "calcitic limestone"
effective = "50 % as received"
[spreader]
min_rate = "1 ton/ac"
max_rate = "3 ton/ac"
step = "0.5 ton/ac"
pass_spacing = "40 m"
payload = "16 ton"
"#;

/// A folder with a job in it.
pub(crate) struct Job {
    folder: TempDir,
}

impl Job {
    pub(crate) fn new(job: &str, boundary: &str, samples: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("job.toml"), job).unwrap();
        fs::write(folder.path().join("boundary.geojson"), boundary).unwrap();
        fs::write(folder.path().join("samples.csv"), samples).unwrap();
        Self { folder }
    }

    pub(crate) fn on(ground: &Ground) -> Self {
        Self::new(JOB, &ground.boundary(), &ground.table())
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> Output {
        limewright().current_dir(self.folder.path()).args(arguments).output().unwrap()
    }

    /// Runs `prescribe` into `out`, which must work, and reads the result back.
    pub(crate) fn prescribed(&self, sets: &[&str]) -> Outcome {
        let mut arguments = vec!["prescribe", "job.toml", "--out", "out"];
        for set in sets {
            arguments.extend(["--set", set]);
        }
        let output = self.run(&arguments);
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        Outcome::read(&self.path("out"))
    }

    /// Runs `prescribe` over an earlier result, which must refuse, and returns what it says.
    pub(crate) fn refused_again(&self, sets: &[&str]) -> String {
        fs::remove_dir_all(self.path("out")).unwrap();
        self.refused(sets)
    }

    /// Runs `prescribe`, which must refuse and write nothing, and returns what it says.
    pub(crate) fn refused(&self, sets: &[&str]) -> String {
        let mut arguments = vec!["prescribe", "job.toml", "--out", "out"];
        for set in sets {
            arguments.extend(["--set", set]);
        }
        let output = self.run(&arguments);
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(1), "{said}");
        assert!(output.stdout.is_empty());
        assert!(!self.path("out").exists(), "something was written");
        said
    }
}

/// What a run wrote.
#[derive(Debug)]
pub(crate) struct Outcome {
    pub(crate) summary: Value,
    pub(crate) map: Value,
}

impl Outcome {
    pub(crate) fn read(folder: &Path) -> Self {
        let read =
            |name: &str| serde_json::from_slice(&fs::read(folder.join(name)).unwrap()).unwrap();
        Self { summary: read("summary.json"), map: read("rate_map.geojson") }
    }

    pub(crate) fn features(&self) -> &[Value] {
        self.map["features"].as_array().unwrap()
    }

    /// The value of a quantity in the summary, by its JSON pointer.
    pub(crate) fn value(&self, pointer: &str) -> f64 {
        let found = self.summary.pointer(pointer).unwrap_or_else(|| panic!("no {pointer}"));
        found.get("value").unwrap_or(found).as_f64().unwrap()
    }

    /// Whether there is a finding under `key`, and its text.
    pub(crate) fn finding(&self, key: &str) -> Option<&str> {
        let findings = self.summary["findings"].as_array().unwrap();
        findings.iter().find(|finding| finding["key"] == key).map(|f| f["text"].as_str().unwrap())
    }
}

pub(crate) fn assert_near(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((found - expected).abs() <= tolerance, "{what}: {found} is not {expected}");
}
