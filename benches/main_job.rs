//! How long the rooms take: surfaces, cells, writing, and the whole run in one process.
//!
//! Give results as a ratio to something run beside them on the same machine, such as the same job
//! in tuned Python (`tests/outside/tuned_python.py`); single times say little.

#![allow(missing_docs)]

use std::hint::black_box;
use std::path::{Path, PathBuf};

use criterion::{Criterion, criterion_group, criterion_main};
use limewright::field::{Field, Partition, Point, lay_cells, lay_out, place_points};
use limewright::inputs::{
    AnyOf, JobSource, NamedFile, Samples, Wanted, read_boundary, read_job, read_samples,
};
use limewright::prescribe::{Allowed, prescribe};
use limewright::surfaces::{Interpolator, cross_check, merge_coincident};
use limewright::units::{Heading, Length};

/// The cell of the benchmark: 6.6 thousand of them on the US sample field.
const CELL_M: f64 = 10.0;

fn sample_file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_fields/heron_flat").join(name)
}

fn field() -> Field {
    let named = NamedFile { given: "boundary".to_owned(), path: sample_file("boundary.geojson") };
    let read = read_boundary(&named, &Wanted::default()).expect("the sample field reads");
    lay_out(&read.boundary).expect("it lies").0
}

fn samples() -> Samples {
    let path = sample_file("job.toml");
    let source = JobSource { path: &path, shared: None, sets: &[] };
    let read = read_job(&source, AnyOf::default()).expect("the sample job reads");
    let job = read.job;
    read_samples(&job.samples).expect("the samples read").samples
}

fn points(field: &Field, samples: &Samples) -> Vec<Point> {
    let places = limewright::field::Samples {
        file: &samples.file,
        system: &samples.system,
        raw: &samples.points,
        places: &|sample| samples.place(sample),
    };
    place_points(field, &places).expect("they fit")
}

fn rooms(criterion: &mut Criterion) {
    let (field, samples) = (field(), samples());
    let cell = Length::from_metres(CELL_M);
    let heading = Heading::from_degrees(0.0);
    let whole = Partition::whole(&field);
    criterion.bench_function("cells of 10 m on 160 acres", |bencher| {
        bencher.iter(|| lay_cells(black_box(&field), &whole, cell, heading).expect("they fit"));
    });
    let cells = lay_cells(&field, &whole, cell, heading).expect("they fit");
    let at: Vec<Point> = cells.list.iter().map(|cell| cell.value_point).collect();
    let sites = merge_coincident(&points(&field, &samples));
    criterion.bench_function("weights of 64 samples at those cells", |bencher| {
        let interpolator = Interpolator::new(&sites).expect("there are samples");
        bencher.iter(|| interpolator.weigh(black_box(&at)));
    });
    let ph = sites.mean_values(samples.ph.as_ref().expect("they have a pH"));
    criterion.bench_function("leaving out each of 64 samples", |bencher| {
        bencher.iter(|| cross_check(black_box(&sites), &ph));
    });
}

fn whole_run(criterion: &mut Criterion) {
    let job = sample_file("job.toml");
    let sets = [format!("grid.cell={CELL_M} m")];
    criterion.bench_function("reading and prescribing 160 acres", |bencher| {
        bencher.iter(|| prescribe(black_box(&job), &sets, Allowed::default()).expect("it runs"));
    });
    let prescribed = prescribe(&job, &sets, Allowed::default()).expect("it runs");
    criterion.bench_function("writing its files", |bencher| {
        let folder = tempfile::tempdir().expect("a folder");
        let target = folder.path().join("out");
        bencher.iter(|| {
            let files = black_box(&prescribed).files().expect("they are made");
            limewright::store::store(&target, &files).expect("they are written");
        });
    });
}

criterion_group!(benches, rooms, whole_run);
criterion_main!(benches);
