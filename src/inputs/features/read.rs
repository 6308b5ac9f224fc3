//! The one way to read a map file: the format is found, the features are read, and those that are
//! wanted are chosen.

use std::path::Path;

use super::bundle::Bundle;
use super::choose::{choose_features, the_only_layer};
use super::decimals::tell_few_decimals;
use super::format::{Format, format_of};
use super::geojson::read_geojson;
use super::geopackage::read_geopackage;
#[cfg(feature = "geoparquet")]
use super::geoparquet::read_geoparquet;
use super::kml::read_kml;
use super::model::{FeatureLayer, MapFile, Parsed};
use super::shapefile::read_shapefile;
use super::system::{all_points, settle_system};
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::job::NamedFile;
use crate::inputs::open::{InputFile, read_bytes};
use crate::inputs::{CoordinateSystem, RawPolygon};
use crate::units::LIMITS;

/// What is wanted of a map file; all of it may be left open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// The layer, where the file may hold several.
    pub layer: Option<String>,
    /// Columns with the value that a feature must have in each of them.
    pub select: Vec<(String, String)>,
    /// The coordinate system, for files that do not name theirs.
    pub system: Option<String>,
    /// Where the job says all that, for those who are to say it: `[field]` unless set.
    pub said_in: String,
}

impl Default for Wanted {
    fn default() -> Self {
        Self { layer: None, select: Vec::new(), system: None, said_in: "[field]".to_owned() }
    }
}

/// The features that were wanted, what was found while reading them, and the files they came from.
#[derive(Debug)]
pub struct ReadFeatures {
    /// The features.
    pub layer: FeatureLayer,
    /// The system that was stated for a file that names its own: the two must come to the same.
    pub stated: Option<CoordinateSystem>,
    /// What was found.
    pub findings: Vec<Finding>,
    /// Every file that was read.
    pub files: Vec<InputFile>,
}

/// Reads the features that are `wanted` of a map file.
///
/// # Errors
/// Refuses a file that cannot be read, of a format that is not known or that its own format does
/// not allow; a layer, column or value that is not there, listing the choices; a file whose
/// coordinate system nobody names, unless its numbers can only be degrees; and what is beyond the
/// limits on size.
pub fn read_features(
    named: &NamedFile,
    role: &'static str,
    wanted: &Wanted,
) -> Result<ReadFeatures, Refusal> {
    let mut files = Vec::new();
    let parsed = parse(named, role, wanted, &mut files)?;
    finish(parsed, role, wanted, files, LIMITS.boundary_vertices)
}

/// Reads the features of one member of a folder or an archive that is a finished map: it may have
/// more vertices than an outline.
///
/// # Errors
/// Refuses as [`read_features`] does.
pub(in crate::inputs) fn read_map_member(
    bundle: &mut Bundle,
    member: &str,
    role: &'static str,
    wanted: &Wanted,
) -> Result<ReadFeatures, Refusal> {
    let mut files = Vec::new();
    let parsed = parse_chosen(bundle, member, wanted, &mut files)?;
    finish(parsed, role, wanted, files, LIMITS.map_vertices)
}

/// Chooses what is wanted of what was read, and holds it to the limits.
fn finish(
    mut parsed: Parsed,
    role: &'static str,
    wanted: &Wanted,
    files: Vec<InputFile>,
    most_vertices: usize,
) -> Result<ReadFeatures, Refusal> {
    let place = Place::in_file(&parsed.file);
    let mut findings = parsed.findings.clone();
    if parsed.features.len() > LIMITS.features {
        let what = format!("the {role} file holds {} features", parsed.features.len());
        return Err(Problem::at(place, what)
            .allowed(format!("{} features", LIMITS.features))
            .hint("export only what belongs to the field")
            .into());
    }
    let features = choose_features(&mut parsed, wanted)?;
    let settled = settle_system(&parsed, &features, wanted, role)?;
    findings.extend(settled.findings);
    if settled.system == CoordinateSystem::Wgs84Degrees {
        findings.extend(tell_few_decimals(all_points(&features), &parsed.file));
    }
    let vertices: usize = features.iter().map(|feature| vertices(&feature.geometry.areas)).sum();
    if vertices > most_vertices {
        return Err(Problem::at(place, format!("the {role} has {vertices} vertices"))
            .allowed(format!("{most_vertices} vertices"))
            .hint("simplify the outlines, for example to 10 cm")
            .into());
    }
    let Parsed { file, columns, .. } = parsed;
    let layer = FeatureLayer { file, system: settled.system, columns, features };
    Ok(ReadFeatures { layer, stated: settled.stated, findings, files })
}

/// Opens what was named: a folder, an archive or a file.
fn parse(
    named: &NamedFile,
    role: &'static str,
    wanted: &Wanted,
    files: &mut Vec<InputFile>,
) -> Result<Parsed, Refusal> {
    if named.path.is_dir() {
        let bundle = Bundle::of_folder(&named.path, &named.given, role)?;
        return parse_member(bundle, wanted, files);
    }
    let (bytes, input) = read_bytes(&named.path, &named.given, role, LIMITS.data_file_bytes)?;
    files.push(input);
    let (name, path) = (named.given.clone(), named.path.clone());
    let file = MapFile { name, path, role, bytes };
    match format_of(&file)? {
        Format::Archive => parse_member(Bundle::of_archive(file)?, wanted, files),
        Format::Shapefile => {
            the_only_layer(&file.name, wanted)?;
            let beside = |path: &Path| path.parent().unwrap_or(Path::new("")).to_owned();
            let shown = beside(Path::new(&named.given)).display().to_string();
            let mut bundle = Bundle::of_folder(&beside(&named.path), &shown, role)?;
            let member = named.path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            read_shapefile(&file, &member, &mut bundle, files)
        }
        format => parse_file(format, &file, wanted),
    }
}

/// Reads the wanted member of a folder or an archive.
fn parse_member(
    mut bundle: Bundle,
    wanted: &Wanted,
    files: &mut Vec<InputFile>,
) -> Result<Parsed, Refusal> {
    let member = bundle.choose_map(wanted)?;
    // The layer was the member; what is chosen in it has no layer of its own.
    let wanted = Wanted { layer: None, ..wanted.clone() };
    parse_chosen(&mut bundle, &member, &wanted, files)
}

/// Reads one member of a folder or an archive.
fn parse_chosen(
    bundle: &mut Bundle,
    member: &str,
    wanted: &Wanted,
    files: &mut Vec<InputFile>,
) -> Result<Parsed, Refusal> {
    let file = bundle.read(member, files)?;
    if bundle.is_archive() && format_of(&file)? == Format::GeoPackage {
        return Err(Problem::at(
            Place::in_file(&file.name),
            "a GeoPackage in an archive is not read",
        )
        .allowed("a GeoPackage that lies in a folder")
        .hint("unpack the archive and name the .gpkg file")
        .into());
    }
    match format_of(&file)? {
        Format::Shapefile => read_shapefile(&file, member, bundle, files),
        format => parse_file(format, &file, wanted),
    }
}

/// Reads a file that stands alone; a new format is one more arm here, and its marks in
/// [`format_of`].
fn parse_file(format: Format, file: &MapFile, wanted: &Wanted) -> Result<Parsed, Refusal> {
    match format {
        Format::GeoJson => read_geojson(file, wanted),
        Format::Kml => read_kml(file, wanted),
        Format::GeoPackage => read_geopackage(file, wanted),
        #[cfg(feature = "geoparquet")]
        Format::GeoParquet => read_geoparquet(file, wanted),
        #[cfg(not(feature = "geoparquet"))]
        Format::GeoParquet => {
            let what = "this program was built without the reader of GeoParquet";
            Err(Problem::at(Place::in_file(&file.name), what)
                .allowed("the other formats, such as GeoJSON and GeoPackage")
                .hint("export it so, or build the program with `--features geoparquet`")
                .into())
        }
        Format::Archive | Format::Shapefile => {
            Err(Problem::at(Place::in_file(&file.name), "it is an archive in an archive")
                .hint("unpack the outer one")
                .into())
        }
    }
}

fn vertices(areas: &[RawPolygon]) -> usize {
    areas.iter().map(|area| area.outer.len() + area.holes.iter().map(Vec::len).sum::<usize>()).sum()
}
