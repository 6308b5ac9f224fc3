//! Reading a field boundary from a map file of any format.

use super::coordinates::{CoordinateSystem, RawBoundary};
use super::features::{Feature, FeatureLayer, ReadFeatures, Wanted, read_features};
use super::job::NamedFile;
use super::open::InputFile;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::units::counted;

/// A boundary, what was found while reading it, and the files it came from.
#[derive(Debug)]
pub struct ReadBoundary {
    /// The boundary.
    pub boundary: RawBoundary,
    /// The system that the job states for a file that names its own: the two must come to the same.
    pub stated: Option<CoordinateSystem>,
    /// What was found.
    pub findings: Vec<Finding>,
    /// Every file that was read.
    pub files: Vec<InputFile>,
}

/// Reads a boundary: all areas of the features that are wanted, as one field.
///
/// # Errors
/// Refuses as [`read_features`] and [`boundary_of`] do.
pub fn read_boundary(named: &NamedFile, wanted: &Wanted) -> Result<ReadBoundary, Refusal> {
    let ReadFeatures { layer, stated, mut findings, files } =
        read_features(named, "boundary", wanted)?;
    let (boundary, told) = boundary_of(&layer, layer.features.iter())?;
    findings.extend(told);
    Ok(ReadBoundary { boundary, stated, findings, files })
}

/// The boundary that some features of a layer make together, and what was found.
///
/// # Errors
/// Refuses features that are points or lines, and features without any area.
pub fn boundary_of<'f>(
    layer: &FeatureLayer,
    features: impl Iterator<Item = &'f Feature>,
) -> Result<(RawBoundary, Vec<Finding>), Refusal> {
    let whole = || Place::in_file(&layer.file);
    let mut findings = Vec::new();
    let mut problems = Vec::new();
    let mut polygons = Vec::new();
    let (mut with_area, mut empty) = (0, 0_u64);
    for feature in features {
        let place = Place { feature: Some(feature.number), ..Place::in_file(&layer.file) };
        if let Some(problem) = not_an_area(feature, place) {
            problems.push(problem);
        } else if feature.geometry.areas.is_empty() {
            empty += 1;
        } else {
            with_area += 1;
            polygons.extend(feature.geometry.areas.iter().cloned());
        }
    }
    if polygons.is_empty() && problems.is_empty() {
        let what = "the file holds no polygon, so there is no field";
        problems.push(
            Problem::at(whole(), what)
                .allowed("at least one polygon")
                .hint("check that it is the boundary file"),
        );
    }
    Refusal::unless_clean(problems, ())?;
    if empty > 0 {
        let text = format!(
            "{} of the boundary {} no geometry and {} left out.",
            counted(empty, "feature", "features"),
            if empty == 1 { "has" } else { "have" },
            if empty == 1 { "was" } else { "were" }
        );
        findings.push(Finding::at("boundary_features_empty", whole(), text));
    }
    if with_area > 1 {
        let text =
            format!("The {with_area} features of the file were taken together as one field.");
        findings.push(Finding::at("boundary_of_several_features", whole(), text));
    }
    let (file, system) = (layer.file.clone(), layer.system.clone());
    Ok((RawBoundary { file, system, polygons }, findings))
}

fn not_an_area(feature: &Feature, place: Place) -> Option<Problem> {
    let what = match (feature.geometry.points.as_slice(), feature.geometry.lines.as_slice()) {
        ([], []) => return None,
        ([], _) => "the feature is a line, not an area",
        _ => "the feature is a point, not an area",
    };
    Some(
        Problem::at(place, what).allowed("polygons").hint(
            "leave the feature out of the boundary file, or choose others: `select` in [field]",
        ),
    )
}
