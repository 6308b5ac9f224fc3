//! Files of a job with bytes cut, flipped and spliced: whatever is left of them, the job runs or is
//! refused with a sentence and a way out; nothing panics and nothing is a fault of the program.

use std::fs;
use std::path::Path;

use limewright::Error;
use limewright::prescribe::{Allowed, prescribe};
use proptest::prelude::*;
use tempfile::TempDir;

use super::support::{Ground, JOB, Sample, root};

/// Where to cut, what to flip, and what to copy elsewhere, in ten-thousandths of the file.
#[derive(Clone, Debug)]
struct Damage {
    cut: Option<u16>,
    flips: Vec<(u16, u8)>,
    piece: Option<(u16, u16, u16)>,
}

fn damage() -> impl Strategy<Value = Damage> {
    let at = 0..10_000_u16;
    let cut = prop_oneof![5 => Just(None), 1 => at.clone().prop_map(Some)];
    let flips = prop::collection::vec((at.clone(), any::<u8>()), 0..4);
    let piece = prop::option::of((at.clone(), at, 1..60_u16));
    (cut, flips, piece).prop_map(|(cut, flips, piece)| Damage { cut, flips, piece })
}

fn damaged(bytes: &[u8], damage: &Damage) -> Vec<u8> {
    let at = |share: u16| bytes.len() * usize::from(share) / 10_000;
    let mut broken = bytes.to_vec();
    for &(share, mask) in &damage.flips {
        if let Some(byte) = broken.get_mut(at(share)) {
            *byte ^= mask;
        }
    }
    if let Some((from, to, length)) = damage.piece {
        let end = (at(from) + usize::from(length)).min(bytes.len());
        let piece = broken[at(from)..end].to_vec();
        broken.splice(at(to)..at(to), piece);
    }
    if let Some(cut) = damage.cut {
        broken.truncate(at(cut));
    }
    broken
}

fn ground() -> Ground {
    let sample = |east_m, north_m, ph| Sample { east_m, north_m, ph, buffer_ph: Some(6.2) };
    let samples = vec![
        sample(-50.0, -50.0, 5.6),
        sample(60.0, -40.0, 5.9),
        sample(-40.0, 70.0, 6.1),
        sample(50.0, 60.0, 5.2),
        sample(10.0, 5.0, 5.7),
    ];
    Ground::square(200.0, samples)
}

/// Runs the job in a folder and holds what it says against what is promised.
fn run(folder: &Path) {
    match prescribe(&folder.join("job.toml"), &[], Allowed::default()) {
        Ok(done) => {
            assert!(done.files().is_ok());
        }
        Err(Error::Refused(refusal)) => {
            for problem in refusal.problems() {
                assert!(problem.what.len() > 5, "{problem}");
                assert!(!problem.what.contains("fault of this program"), "{problem}");
            }
        }
        Err(other) => panic!("{other}"),
    }
}

fn job_of(files: &[(&str, &[u8])]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in files {
        fs::write(folder.path().join(name), bytes).unwrap();
    }
    folder
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn a_damaged_job_boundary_or_table_is_refused_or_runs(
        which in 0..3_usize,
        harm in damage(),
    ) {
        let ground = ground();
        let whole = [JOB.to_owned(), ground.boundary(), ground.table()];
        let mut files = whole.map(String::into_bytes);
        files[which] = damaged(&files[which], &harm);
        let [job, boundary, samples] = &files;
        let folder =
            job_of(&[("job.toml", job), ("boundary.geojson", boundary), ("samples.csv", samples)]);
        run(folder.path());
    }

    /// Every format of a boundary, through the whole job.
    #[test]
    fn a_damaged_boundary_of_any_format_is_refused_or_runs(which in 0..7_usize, harm in damage()) {
        let data = root().join("tests/data/map_files");
        let name = [
            "pain/square_hole.geojson",
            "pain/p28_polygonz.shp",
            "pain/p29_mac.zip",
            "databases/one_layer.gpkg",
            "databases/fields_gzip.parquet",
            "databases/fields_brotli.parquet",
            "pain/p23_hole_both_cw.shp",
        ][which];
        let file = Path::new(name).file_name().unwrap().to_str().unwrap();
        let bytes = damaged(&fs::read(data.join(name)).unwrap(), &harm);
        let samples = "sample_id,lon,lat,pH,BpH\nS1,-89.0022,39.9945,5.8,6.4\n\
            S2,-88.9992,39.9969,5.5,6.2\nS3,-89.0023,39.9968,6.0,6.5\nS4,-88.9993,39.9946,5.1,6.1\n";
        let job = JOB.replace("boundary.geojson", file);
        let folder = job_of(&[("job.toml", job.as_bytes()), ("samples.csv", samples.as_bytes())]);
        fs::write(folder.path().join(file), bytes).unwrap();
        for beside in ["prj", "dbf"] {
            let beside = Path::new(name).with_extension(beside);
            if name.ends_with("shp") {
                fs::copy(data.join(&beside), folder.path().join(beside.file_name().unwrap())).unwrap();
            }
        }
        run(folder.path());
    }
}
