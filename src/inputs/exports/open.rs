//! Finding exports in what was named: a file, a folder, an archive, or files that are not on the
//! disk yet.

use std::collections::BTreeMap;
use std::path::Path;

use super::ReadExport;
use super::beyond::without_unbelievable;
use super::geotiff::read_geotiff;
use super::iso::{is_main_file, is_task_folder, read_task_data};
use super::rates::ExportAsked;
use super::table::read_cells;
use super::vector::read_vector;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::CoordinateSystem;
use crate::inputs::features::{Bundle, MapFile, extension_of};
use crate::inputs::open::{first_bytes, read_bytes};
use crate::units::LIMITS;

const ROLE: &str = "export";
const ALLOWED: &str = "a shapefile (its .shp file, its folder, or a .zip), GeoJSON, KML, \
                       GeoPackage, GeoParquet, GeoTIFF, ISO 11783-10 task data (the folder with \
                       TASKDATA in it), or a table that this program wrote";
/// A folder that an operating system adds to archives.
const LITTER_FOLDER: &str = "__MACOSX";

/// The folder of the exports in that of a result.
pub const EXPORTS_FOLDER: &str = "exports";

/// One export that was found, with where it lies.
#[derive(Clone, Debug)]
pub struct FoundExport {
    /// The file, as the user named it.
    pub file: String,
    /// The system of its coordinates.
    pub system: CoordinateSystem,
    /// What was read of it.
    pub export: ReadExport,
}

/// The readers of exports; a new format is one more arm here and in [`Kind::of`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    /// Areas in a map file.
    Vector,
    /// Cells in a grid.
    GeoTiff,
    /// Rows with the areas that they are of.
    Table,
    /// Task data, by their main file.
    TaskData,
}

impl Kind {
    /// What the member of a folder or archive is by its name; `None` where it is no export, or a
    /// part of one.
    fn of(member: &str) -> Option<Self> {
        if is_main_file(member) {
            return Some(Self::TaskData);
        }
        match extension_of(member).as_str() {
            "shp" | "geojson" | "kml" | "gpkg" | "parquet" | "geoparquet" => Some(Self::Vector),
            "tif" | "tiff" => Some(Self::GeoTiff),
            "csv" => Some(Self::Table),
            _ => None,
        }
    }

    fn read(
        self,
        bundle: &mut Bundle,
        member: &str,
        asked: &ExportAsked,
    ) -> Result<FoundExport, Refusal> {
        let found = match self {
            Self::Vector => read_vector(bundle, member, asked),
            Self::TaskData => read_task_data(bundle, member),
            Self::GeoTiff => read_geotiff(bundle.read(member, &mut Vec::new())?, asked),
            Self::Table => read_cells(bundle.read(member, &mut Vec::new())?, asked),
        };
        found.map(without_unbelievable)
    }
}

/// Reads every export in what `path` names: a file, or a folder or an archive of files. In the
/// folder of a result its folder of exports is looked into as well. What is no export, and files
/// that their readers refuse, are put to `problems`, all of them named.
pub fn read_exports(
    path: &Path,
    asked: &ExportAsked,
    problems: &mut Vec<Problem>,
) -> Vec<FoundExport> {
    let inner = path.join(EXPORTS_FOLDER);
    let places: Vec<&Path> = if inner.is_dir() { vec![path, &inner] } else { vec![path] };
    let (mut found, before) = (Vec::new(), problems.len());
    for place in places {
        match read_path(place, asked, problems) {
            Ok(exports) => found.extend(exports),
            Err(refusal) => problems.extend(refusal.into_problems()),
        }
    }
    if found.is_empty() && problems.len() == before {
        problems.push(no_export(&path.display().to_string()));
    }
    found
}

/// Reads every export in what `path` names; none where a folder or an archive has none.
fn read_path(
    path: &Path,
    asked: &ExportAsked,
    problems: &mut Vec<Problem>,
) -> Result<Vec<FoundExport>, Refusal> {
    let given = path.display().to_string();
    if path.is_dir() {
        let mut bundle = Bundle::of_folder(path, &given, ROLE)?;
        // The folder of exports is a place of its own.
        for folder in folders_in(path).filter(|folder| folder != EXPORTS_FOLDER) {
            if is_task_folder(&folder) {
                bundle.add_folder(&folder)?;
                continue;
            }
            // Each set of task data that this program writes has a folder of its own.
            for inner in folders_in(&path.join(&folder)).filter(|name| is_task_folder(name)) {
                bundle.add_folder(&format!("{folder}/{inner}"))?;
            }
        }
        let mut litter = bundle.litter().to_vec();
        if path.join(LITTER_FOLDER).is_dir() {
            litter.push(LITTER_FOLDER.to_owned());
        }
        return Ok(read_all(bundle, &given, &litter, asked, problems));
    }
    if first_bytes(path).starts_with(b"PK\x03\x04") {
        let (bytes, _) = read_bytes(path, &given, ROLE, LIMITS.data_file_bytes)?;
        let file = MapFile { name: given.clone(), path: path.to_owned(), role: ROLE, bytes };
        let bundle = Bundle::of_archive(file)?;
        let litter = bundle.litter().to_vec();
        return Ok(read_all(bundle, &given, &litter, asked, problems));
    }
    let member = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let kind = match extension_of(&member).as_str() {
        "json" => Some(Kind::Vector),
        _ => Kind::of(&member),
    };
    let Some(kind) = kind else { return Err(no_export(&given).into()) };
    // A file that is not there is refused by its own name, before its folder is looked into.
    if std::fs::metadata(path).is_err() {
        read_bytes(path, &given, ROLE, LIMITS.data_file_bytes)?;
    }
    let folder = path.parent().unwrap_or(Path::new(""));
    let mut bundle = Bundle::of_folder(folder, &folder.display().to_string(), ROLE)?;
    let mut found = kind.read(&mut bundle, &member, asked)?;
    let stem = format!("._{}", crate::inputs::features::stem_of(&member));
    let is_own = |name: &&String| kind == Kind::TaskData || name.starts_with(&stem);
    let own: Vec<String> = bundle.litter().iter().filter(is_own).cloned().collect();
    found.export.faults.extend(stray(&own, &given));
    Ok(vec![found])
}

/// The names of the folders in a folder, sorted.
fn folders_in(path: &Path) -> impl Iterator<Item = String> {
    let entries = std::fs::read_dir(path).into_iter().flatten().flatten();
    let folders = entries.filter(|entry| entry.path().is_dir());
    let mut names: Vec<String> =
        folders.map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names.into_iter()
}

/// Reads files that this program has just made, by their names; the first of them is the export.
///
/// # Errors
/// Refuses what their reader refuses.
pub fn read_own_export(files: &[(&str, &[u8])]) -> Result<FoundExport, Refusal> {
    let first = files.first().map_or("", |(name, _)| *name);
    let Some(kind) = Kind::of(first) else { return Err(no_export(first).into()) };
    let held: BTreeMap<String, Vec<u8>> =
        files.iter().map(|(name, bytes)| ((*name).to_owned(), bytes.to_vec())).collect();
    let mut bundle = Bundle::of_memory(held, ROLE);
    kind.read(&mut bundle, first, &ExportAsked::default())
}

/// Reads each member that is an export; what their readers refuse is put to `problems`.
fn read_all(
    mut bundle: Bundle,
    given: &str,
    litter: &[String],
    asked: &ExportAsked,
    problems: &mut Vec<Problem>,
) -> Vec<FoundExport> {
    let members: Vec<(String, Kind)> = bundle
        .members()
        .iter()
        .filter_map(|member| Some((member.clone(), Kind::of(member)?)))
        .collect();
    let mut found = Vec::new();
    for (member, kind) in &members {
        match kind.read(&mut bundle, member, asked) {
            Ok(export) => found.push(export),
            Err(refusal) => problems.extend(refusal.into_problems()),
        }
    }
    if let Some(first) = found.first_mut() {
        first.export.faults.extend(stray(litter, given));
    }
    found
}

/// What operating systems put beside files, which controllers take for broken ones.
fn stray(litter: &[String], given: &str) -> Option<Finding> {
    let shown: Vec<String> = litter.iter().take(5).map(|name| format!("`{name}`")).collect();
    let text = format!(
        "Stray files of an operating system lie beside it ({}{}); some controllers take them for \
         broken maps. Delete them from the stick.",
        shown.join(", "),
        if litter.len() > shown.len() { ", …" } else { "" }
    );
    (!litter.is_empty()).then(|| Finding::at("stray_files", Place::in_file(given), text))
}

fn no_export(given: &str) -> Problem {
    Problem::at(Place::in_file(given), "there is no rate map in it that this program can read")
        .allowed(ALLOWED)
        .hint("name the map itself")
}
