//! An invented farm of small fields with a list of their jobs, and the program run on it.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;
use tempfile::TempDir;

use crate::support::{Ground, Sample, limewright};

/// What the fields of the farm share: all that a job needs but its boundary and its samples.
pub(crate) const SHARED: &str = r#"
units = "us"
[samples]
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

/// A job that has nothing of its own but where its field lies.
pub(crate) const BARE: &str = "[field]\nboundary = \"boundary.geojson\"\n\
                               [samples]\nfile = \"samples.csv\"\n";

/// The folder with the list.
pub(crate) struct Farm {
    folder: TempDir,
}

impl Farm {
    /// A farm whose list has the line `jobs` and the shared settings, with a field for each of
    /// `names`: its job is `NAME/job.toml`.
    pub(crate) fn new(jobs: &str, names: &[&str]) -> Self {
        let farm = Self { folder: tempfile::tempdir().unwrap() };
        farm.write("fields.toml", &format!("{jobs}\n{SHARED}"));
        for (at, name) in names.iter().enumerate() {
            farm.write(&format!("{name}/job.toml"), BARE);
            farm.field(name, at);
        }
        farm
    }

    /// The usual one: three fields, found by a pattern.
    pub(crate) fn of_three() -> Self {
        Self::new("jobs = [\"*/job.toml\"]", &["alder", "birch", "cedar"])
    }

    /// Boundary and samples of field number `at` in the folder `name`.
    pub(crate) fn field(&self, name: &str, at: usize) {
        let sample = |east_m, north_m, ph, buffer_ph| Sample {
            east_m,
            north_m,
            ph,
            buffer_ph: Some(buffer_ph),
        };
        let less = 0.05 * at as f64;
        let mut ground = Ground::square(
            200.0 + 20.0 * at as f64,
            vec![
                sample(-80.0, -80.0, 5.6 - less, 6.4 - less),
                sample(80.0, -80.0, 5.8 - less, 6.5 - less),
                sample(80.0, 80.0, 6.0 - less, 6.6 - less),
                sample(-80.0, 80.0, 6.2 - less, 6.7 - less),
                sample(0.0, 0.0, 5.9 - less, 6.5 - less),
            ],
        );
        ground.at.lon_deg += 0.01 * at as f64;
        self.write(&format!("{name}/boundary.geojson"), &ground.boundary());
        self.write(&format!("{name}/samples.csv"), &ground.table());
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn write(&self, name: &str, text: &str) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    pub(crate) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    pub(crate) fn json(&self, name: &str) -> Value {
        serde_json::from_str(&self.read(name)).unwrap()
    }

    /// Replaces a part of a file.
    pub(crate) fn change(&self, name: &str, from: &str, to: &str) {
        let text = self.read(name);
        assert!(text.contains(from), "{name} has no {from}");
        self.write(name, &text.replacen(from, to, 1));
    }

    /// The program in the farm's folder, with `fields` and `arguments` typed.
    pub(crate) fn command(&self, arguments: &[&str]) -> Command {
        let mut command = limewright();
        command.current_dir(self.folder.path()).args(["fields", "fields.toml"]).args(arguments);
        command
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> Ran {
        Ran::of(self.command(arguments).output().unwrap())
    }

    /// Runs with `--out out`.
    pub(crate) fn out(&self, more: &[&str]) -> Ran {
        self.run(&[&["--out", "out"], more].concat())
    }

    /// The bytes of all files below a folder, by their paths in it.
    pub(crate) fn files(&self, name: &str) -> BTreeMap<String, Vec<u8>> {
        let mut files = BTreeMap::new();
        gather(&self.path(name), "", &mut files);
        files
    }
}

fn gather(folder: &Path, start: &str, files: &mut BTreeMap<String, Vec<u8>>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = format!("{start}{}", path.file_name().unwrap().to_string_lossy());
        if path.is_dir() {
            gather(&path, &format!("{name}/"), files);
        } else {
            files.insert(name, fs::read(path).unwrap());
        }
    }
}

/// What a run said.
#[derive(Debug)]
pub(crate) struct Ran {
    pub(crate) status: Option<i32>,
    pub(crate) said: String,
    pub(crate) printed: String,
}

impl Ran {
    pub(crate) fn of(output: Output) -> Self {
        Self {
            status: output.status.code(),
            said: String::from_utf8(output.stderr).unwrap(),
            printed: String::from_utf8(output.stdout).unwrap(),
        }
    }

    /// Holds it to a status and to what it says of how many fields.
    #[track_caller]
    pub(crate) fn came_to(&self, status: i32, count: &str) -> &Self {
        assert_eq!(self.status, Some(status), "{}", self.said);
        assert!(self.said.contains(count), "{count}: {}", self.said);
        self
    }

    #[track_caller]
    pub(crate) fn says(&self, part: &str) -> &Self {
        // A drawn message breaks its lines where the terminal does.
        let flat: Vec<&str> = self.said.split_whitespace().collect();
        let wanted: Vec<&str> = part.split_whitespace().collect();
        let bare = flat.iter().filter(|word| **word != "│").copied().collect::<Vec<_>>().join(" ");
        assert!(bare.contains(&wanted.join(" ")), "{part}: {}", self.said);
        self
    }
}
