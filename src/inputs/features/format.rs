//! Which format a map file has: by its content first, by its name where the content does not tell.

use std::path::Path;

use super::geopackage::SQLITE_MAGIC;
use super::model::MapFile;
use crate::findings::{Place, Problem, Refusal};

/// The formats that are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Format {
    /// RFC 7946 and what came before it.
    GeoJson,
    /// The main file of a shapefile.
    Shapefile,
    /// KML, unpacked.
    Kml,
    /// A layer of features in a database.
    GeoPackage,
    /// Features in a table stored by columns.
    GeoParquet,
    /// A zip archive of any of these.
    Archive,
}

/// What a shapefile starts with: the file code 9994, most significant byte first (ESRI Shapefile
/// Technical Description, 1998, table 1).
pub(super) const SHAPEFILE_CODE: &[u8] = &[0, 0, 0x27, 0x0a];

/// What a Parquet file starts and ends with (Apache Parquet format, "File format").
pub(super) const PARQUET_MAGIC: &[u8] = b"PAR1";

/// What users may hand over.
pub(super) const ALLOWED: &str = "GeoJSON; a shapefile (its folder, its .shp file, or both in a .zip); KML or KMZ; GeoPackage; GeoParquet";

/// The format of the file.
///
/// # Errors
/// Refuses a file that is none of the formats.
pub(super) fn format_of(file: &MapFile) -> Result<Format, Refusal> {
    let bytes = &file.bytes;
    let extension = extension_of(&file.name);
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06") {
        return Ok(Format::Archive);
    }
    if bytes.starts_with(SQLITE_MAGIC) || extension == "gpkg" {
        return Ok(Format::GeoPackage);
    }
    if bytes.starts_with(PARQUET_MAGIC) || matches!(extension.as_str(), "parquet" | "geoparquet") {
        return Ok(Format::GeoParquet);
    }
    if bytes.starts_with(SHAPEFILE_CODE) || extension == "shp" {
        return match extension.as_str() {
            "shp" => Ok(Format::Shapefile),
            // The index of a shapefile starts as its main file does.
            _ => Err(refuse(
                file,
                "is a part of a shapefile, but not its .shp file",
                "name the .shp file",
            )),
        };
    }
    // Text in UTF-16 has a zero byte beside each of these.
    let text = [&b"\xef\xbb\xbf"[..], b"\xff\xfe", b"\xfe\xff"]
        .iter()
        .find_map(|mark| bytes.strip_prefix(*mark))
        .unwrap_or(bytes);
    let first = text.iter().find(|byte| !byte.is_ascii_whitespace() && **byte != 0);
    match (first, extension.as_str()) {
        (Some(b'{' | b'['), _) | (_, "geojson" | "json") => Ok(Format::GeoJson),
        (Some(b'<'), _) | (_, "kml") => Ok(Format::Kml),
        (_, "dbf" | "prj" | "cpg") => Err(refuse(
            file,
            "is a part of a shapefile, but not its .shp file",
            "name the .shp file",
        )),
        (_, "zip" | "kmz") => Err(refuse(file, "is no zip archive", "pack it again")),
        _ => Err(refuse(
            file,
            "is no map file that this program knows",
            "export it again in one of these formats",
        )),
    }
}

fn refuse(file: &MapFile, what: &str, hint: &str) -> Refusal {
    Problem::at(Place::in_file(&file.name), format!("the {} file {what}", file.role))
        .allowed(ALLOWED)
        .hint(hint)
        .into()
}

/// The extension of a file name in small letters; empty where it has none.
pub(super) fn extension_of(name: &str) -> String {
    Path::new(name).extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default()
}
