//! How long a field takes in a run of many: invented fields of 80 to 160 acres, 64 samples, cells
//! of 10 m, from their files to the files of their results; one field a thread.
//!
//! `cargo bench --bench many_fields -- FIELDS [SYSTEM] [FOLDER]`: how many fields; the coordinate
//! system that their data come in, such as `EPSG:26915`, else WGS 84 degrees; and the folder that
//! keeps data and results, else they go to one that is removed. It prints the fingerprint of all
//! results, which tells whether a change left every byte as it was: in one folder, the same.
//!
//! Give times as a ratio to something run beside them on the same machine; single times say little.

#![allow(missing_docs, clippy::print_stdout)]

mod invented;

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

use limewright::prescribe::{Allowed, prescribe};
use limewright::store::store;

const USUAL_FIELDS: usize = 200;

fn main() {
    // `cargo bench` adds a flag of its own.
    let words: Vec<String> =
        std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let count = words.first().map_or(USUAL_FIELDS, |word| word.parse().expect("how many fields"));
    let system = words.get(1).map(String::as_str).filter(|system| *system != "WGS84");
    let removed = tempfile::tempdir().expect("a folder");
    let folder = words.get(2).map_or_else(|| removed.path().to_owned(), PathBuf::from);
    let data = folder.join("data");
    for number in 0..count {
        invented::write_field(&data, number, system);
    }
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let (before, start) = (cpu_seconds(), Instant::now());
    run_all(&folder, count, threads);
    let (wall, cpu) = (start.elapsed().as_secs_f64(), cpu_seconds() - before);
    println!(
        "{count} fields on {threads} threads: {wall:.2} s, {:.0} fields a second; \
         {:.2} ms of a processor a field; at most {:.1} MB",
        count as f64 / wall,
        cpu / count as f64 * 1_000.0,
        most_megabytes(),
    );
    println!("results: {}", fingerprint(&folder.join("out"), count));
}

/// Every field once, each worker one field at a time on one thread.
fn run_all(folder: &Path, count: usize, threads: usize) {
    let next = AtomicUsize::new(0);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build();
                pool.expect("a thread").install(|| {
                    loop {
                        let number = next.fetch_add(1, Ordering::Relaxed);
                        if number >= count {
                            break;
                        }
                        run_field(folder, number);
                    }
                });
            });
        }
    });
}

fn run_field(folder: &Path, number: usize) {
    let job = invented::folder_of(&folder.join("data"), number).join("job.toml");
    let prescribed = prescribe(&job, &[], Allowed::default()).expect("it runs");
    let target = invented::folder_of(&folder.join("out"), number);
    store(&target, &prescribed.files().expect("they are made")).expect("they are written");
}

/// What the lists of all results come to: each names the fingerprint of every file.
fn fingerprint(out: &Path, count: usize) -> String {
    let lists = (0..count).flat_map(|number| {
        let list = invented::folder_of(out, number).join(".limewright-files.json");
        std::fs::read(list).expect("a run leaves its list")
    });
    limewright::hash::sha256(&lists.collect::<Vec<u8>>())
}

/// Seconds that the process has had of its processors; 0 where the system does not tell.
fn cpu_seconds() -> f64 {
    // Linux counts in hundredths of a second whatever the kernel's own clock.
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let behind_name = stat.rsplit(')').next().unwrap_or_default();
    let ticks = |at: usize| behind_name.split_whitespace().nth(at)?.parse::<f64>().ok();
    (ticks(11).unwrap_or_default() + ticks(12).unwrap_or_default()) / 100.0
}

/// The most memory that the process held; 0 where the system does not tell.
fn most_megabytes() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kilobytes = line.and_then(|line| line.trim().split(' ').next()?.parse::<f64>().ok());
    kilobytes.unwrap_or_default() / 1_024.0
}
