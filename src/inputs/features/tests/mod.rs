//! Map files of all kinds, whole and broken.

mod archives;
mod broken;
mod choosing;
mod geojson;
mod geopackage;
#[cfg(feature = "geoparquet")]
mod geoparquet;
mod kml;
mod shapefiles;

use std::fs;
use std::io::{Cursor, Write};
use std::path::{Path, PathBuf};

use tempfile::TempDir;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use super::{ReadFeatures, Wanted, read_features};
use crate::findings::Refusal;
use crate::inputs::NamedFile;

/// A file of `tests/data/map_files`.
fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/map_files").join(name)
}

fn read_wanted(path: &Path, wanted: &Wanted) -> Result<ReadFeatures, Refusal> {
    let given = path.file_name().unwrap().to_string_lossy().into_owned();
    read_features(&NamedFile { given, path: path.to_owned() }, "boundary", wanted)
}

fn read(path: &Path) -> Result<ReadFeatures, Refusal> {
    read_wanted(path, &Wanted::default())
}

/// Reads `bytes` as a file of that name, alone in its folder.
fn read_as(name: &str, bytes: &[u8]) -> Result<ReadFeatures, Refusal> {
    let folder = folder_of(&[(name, bytes)]);
    read(&folder.path().join(name))
}

fn folder_of(files: &[(&str, &[u8])]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in files {
        fs::write(folder.path().join(name), bytes).unwrap();
    }
    folder
}

fn zip_of(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        writer.start_file(*name, SimpleFileOptions::default()).unwrap();
        writer.write_all(bytes).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

/// What a refusal says, as one text; what is not refused fails.
fn said(result: Result<ReadFeatures, Refusal>) -> String {
    let refusal = result.map(|read| read.layer).unwrap_err();
    for problem in refusal.problems() {
        assert!(problem.what.len() > 10, "{problem}");
        assert!(!problem.hint.is_empty(), "no way out: {problem}");
    }
    refusal.to_string()
}

fn has_finding(read: &ReadFeatures, key: &str) -> bool {
    read.findings.iter().any(|finding| finding.key == key)
}

const DEGREES_PRJ: &str = "GEOGCS[\"GCS_WGS_1984\",DATUM[\"D_WGS_1984\",SPHEROID[\"WGS_1984\",6378137.0,298.257223563]],PRIMEM[\"Greenwich\",0.0],UNIT[\"Degree\",0.0174532925199433]]";

fn whole(number: usize) -> i32 {
    i32::try_from(number).unwrap()
}

/// A `.shp` file of records that hold these contents.
fn shp_of(kind: i32, contents: &[Vec<u8>]) -> Vec<u8> {
    let mut records = Vec::new();
    for (index, content) in contents.iter().enumerate() {
        records.extend(whole(index + 1).to_be_bytes());
        records.extend(whole(content.len() / 2).to_be_bytes());
        records.extend(content);
    }
    let mut file = vec![0, 0, 0x27, 0x0a];
    file.resize(24, 0);
    file.extend(whole(50 + records.len() / 2).to_be_bytes());
    file.extend(1000_i32.to_le_bytes());
    file.extend(kind.to_le_bytes());
    file.resize(100, 0);
    file.extend(records);
    file
}

/// The content of a record of a shape with parts.
fn parts_of(kind: i32, parts: &[&[[f64; 2]]]) -> Vec<u8> {
    let total: usize = parts.iter().map(|part| part.len()).sum();
    let mut content = kind.to_le_bytes().to_vec();
    content.resize(36, 0);
    content.extend(whole(parts.len()).to_le_bytes());
    content.extend(whole(total).to_le_bytes());
    let mut start = 0_i32;
    for part in parts {
        content.extend(start.to_le_bytes());
        start += whole(part.len());
    }
    for number in parts.iter().copied().flatten().flatten() {
        content.extend(number.to_le_bytes());
    }
    content
}

/// A `.dbf` file of text columns of 20 bytes.
fn dbf_of(language: u8, columns: &[&str], rows: &[&[&[u8]]]) -> Vec<u8> {
    let mut file = vec![3, 126, 1, 1];
    file.extend((rows.len() as u32).to_le_bytes());
    file.extend((33 + 32 * columns.len() as u16).to_le_bytes());
    file.extend((1 + 20 * columns.len() as u16).to_le_bytes());
    file.resize(29, 0);
    file.push(language);
    file.resize(32, 0);
    for column in columns {
        let start = file.len();
        file.extend(column.as_bytes());
        file.resize(start + 11, 0);
        file.push(b'C');
        file.resize(start + 16, 0);
        file.push(20);
        file.resize(start + 32, 0);
    }
    file.push(0x0d);
    for row in rows {
        file.push(b' ');
        for cell in *row {
            let start = file.len();
            file.extend(*cell);
            file.resize(start + 20, b' ');
        }
    }
    file.push(0x1a);
    file
}

const SQUARE: &[[f64; 2]] =
    &[[-89.0, 40.0], [-89.0, 40.01], [-88.99, 40.01], [-88.99, 40.0], [-89.0, 40.0]];
