//! Tables stored by columns, whole and damaged, written by another library.

use std::fs;

use proptest::prelude::*;

use super::{data, has_finding, read, read_as, said};
use crate::inputs::CoordinateSystem;

const FILES: [&str; 6] = [
    "fields_snappy.parquet",
    "fields_gzip.parquet",
    "fields_brotli.parquet",
    "fields_zstd.parquet",
    "pages_v2.parquet",
    "utm_plain.parquet",
];

fn bytes_of(name: &str) -> Vec<u8> {
    fs::read(data("databases").join(name)).unwrap()
}

/// The file with a text in it replaced by one of the same length, wherever it stands.
fn with(name: &str, from: &str, to: &str) -> Vec<u8> {
    assert_eq!(from.len(), to.len());
    let mut bytes = bytes_of(name);
    let places: Vec<usize> = (0..bytes.len() - from.len())
        .filter(|at| bytes[*at..].starts_with(from.as_bytes()))
        .collect();
    assert!(!places.is_empty(), "{from}");
    for at in places {
        bytes[at..at + to.len()].copy_from_slice(to.as_bytes());
    }
    bytes
}

#[test]
fn every_way_of_packing_gives_the_same_features() {
    let layers: Vec<_> =
        FILES[..5].iter().map(|name| read(&data("databases").join(name)).unwrap().layer).collect();
    let layer = &layers[0];
    assert_eq!(layer.system, CoordinateSystem::Wgs84Degrees);
    // The box around each feature is nested and left out.
    let columns =
        ["id", "area", "crop", "year", "organic", "determination_datetime", "planted", "share"];
    assert_eq!(layer.columns, columns);
    let rows: Vec<&[String]> = layer.features.iter().map(|f| f.attributes.as_slice()).collect();
    assert_eq!(
        rows,
        [
            ["heron-1", "16", "corn", "2026", "true", "2026-03-01T12:00:00Z", "2026-05-01", "0.25"],
            ["heron-2", "8", "", "2025", "false", "2025-03-01T00:00:00.5Z", "", "0.0000001"],
            ["heron-3", "15", "soja ä", "2024", "true", "", "1969-12-31", "3.5"],
        ]
    );
    assert_eq!(layer.features[2].geometry.areas[0].holes.len(), 1);
    for other in &layers[1..] {
        assert_eq!(other.features, layer.features, "{}", other.file);
    }
}

#[test]
fn a_projected_system_goes_on_as_it_stands() {
    let layer = read(&data("databases/utm_plain.parquet")).unwrap().layer;
    let CoordinateSystem::Declared(text) = layer.system else { panic!("a declared system") };
    assert!(text.starts_with('{') && text.contains("WGS 84 / UTM zone 16N"), "{text}");
    assert_eq!(layer.features.len(), 3);
}

#[test]
fn what_is_not_read_is_refused_with_its_reason() {
    let name = "utm_plain.parquet";
    for (bytes, reason) in [
        (with(name, "\"encoding\": \"WKB\"", "\"encoding\": \"WKT\""), "encoded as `WKT`"),
        (with(name, "\"version\": \"1.", "\"version\": \"7."), "of version 7."),
        (
            with(name, "\"primary_column\": \"geometry\"", "\"primary_column\": \"geometri\""),
            "not understood",
        ),
        (with(name, "geo", "gex"), "without the description `geo`"),
        (Vec::new(), "cut off or damaged"),
        (b"PAR1PAR1".to_vec(), "cut off or damaged"),
        (b"PAR1\xff\xff\xff\xffPAR1".to_vec(), "its description has 4294967295 bytes"),
    ] {
        let refused = said(read_as("fields.parquet", &bytes));
        assert!(refused.contains(reason), "{refused}: {reason}");
    }
}

#[test]
fn characters_that_cannot_be_read_are_told() {
    let mut bytes = bytes_of("utm_plain.parquet");
    let at = (0..bytes.len()).find(|at| bytes[*at..].starts_with("soja ä".as_bytes())).unwrap();
    bytes[at] = 0xff;
    assert!(has_finding(&read_as("fields.parquet", &bytes).unwrap(), "damaged_texts"));
}

#[test]
fn a_cut_file_is_refused_wherever_it_is_cut() {
    for name in FILES {
        let bytes = bytes_of(name);
        for at in (0..bytes.len()).step_by(11) {
            assert!(read_as("fields.parquet", &bytes[..at]).is_err(), "{name} {at}");
        }
    }
}

#[test]
fn a_single_byte_may_be_wrong_anywhere() {
    for name in FILES {
        let whole = bytes_of(name);
        for at in (0..whole.len()).step_by(7) {
            let mut bytes = whole.clone();
            bytes[at] ^= [1, 0x80, 0xff][at % 3];
            let read = read_as("fields.parquet", &bytes);
            if read.is_err() {
                said(read);
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_000))]

    #[test]
    fn many_bytes_may_be_wrong(
        file in 0..FILES.len(),
        flips in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12),
        from_end in any::<bool>(),
    ) {
        let mut bytes = bytes_of(FILES[file]);
        let length = bytes.len();
        for (at, with) in flips {
            // What describes the file stands in its last part.
            let at = if from_end { length - 1 - at.index(length / 3) } else { at.index(length) };
            bytes[at] = with;
        }
        let read = read_as("fields.parquet", &bytes);
        if read.is_err() {
            said(read);
        }
    }
}
