//! Which coordinate system the numbers of a map file are in.

use super::model::{Feature, OwnSystem, Parsed};
use super::read::Wanted;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::{CoordinateSystem, RawPoint};

/// Coordinates of a whole field that reach over less than this cannot be metres or feet: the field
/// would be smaller than any that is taken (10 m by 10 m). In degrees it is about 1,100 km.
const WIDEST_IN_DEGREES: f64 = 10.0;
/// The least that the coordinates of a field in degrees reach over: about 10 m.
const NARROWEST_IN_DEGREES: f64 = 0.0001;

/// What a file's coordinates are in.
pub(super) struct Settled {
    /// The system of the coordinates.
    pub(super) system: CoordinateSystem,
    /// What was stated beside the system that the file names itself.
    pub(super) stated: Option<CoordinateSystem>,
    /// What was found.
    pub(super) findings: Vec<Finding>,
}

/// The system by what the file says and what was stated.
///
/// # Errors
/// Refuses a file for which neither says it, unless its numbers can only be degrees.
pub(super) fn settle_system(
    parsed: &Parsed,
    features: &[Feature],
    wanted: &Wanted,
    role: &'static str,
) -> Result<Settled, Refusal> {
    let place = Place::in_file(&parsed.file);
    let stated = wanted.system.as_deref().map(system_named);
    let plain = |system| Ok(Settled { system, stated: None, findings: Vec::new() });
    match (&parsed.system, stated) {
        (OwnSystem::Named(own), Some(stated)) if *own != stated => {
            Ok(Settled { system: own.clone(), stated: Some(stated), findings: Vec::new() })
        }
        (OwnSystem::TakenForGranted(_) | OwnSystem::NotSaid, Some(stated)) => plain(stated),
        (OwnSystem::Named(own) | OwnSystem::TakenForGranted(own), _) => plain(own.clone()),
        // Without a coordinate there is nothing to be in a system.
        (OwnSystem::NotSaid, None) if all_points(features).next().is_none() => {
            plain(CoordinateSystem::Wgs84Degrees)
        }
        (OwnSystem::NotSaid, None) if can_only_be_degrees(features) => {
            let text = format!(
                "The {role} does not name its coordinate system; all its numbers can only be \
                 WGS 84 longitude and latitude in degrees, and were taken as that."
            );
            let findings = vec![Finding::at("coordinate_system_assumed", place, text)];
            Ok(Settled { system: CoordinateSystem::Wgs84Degrees, stated: None, findings })
        }
        (OwnSystem::NotSaid, None) => {
            let what = format!("the {role} does not name its coordinate system");
            Err(Problem::at(place, what)
                .allowed("a file that does (a shapefile has a .prj file for it), or the system in the job")
                .hint(format!(
                    "ask whoever made the file, and write it into the job: \
                     coordinate_system = \"EPSG:…\" in {}",
                    wanted.said_in
                ))
                .into())
        }
    }
}

/// The system by its name; the names of plain WGS 84 degrees are known without PROJ.
pub(in crate::inputs) fn system_named(name: &str) -> CoordinateSystem {
    let name = name.trim();
    let upper = name.to_uppercase();
    let is_degrees = ["CRS84", "EPSG:4326", "EPSG::4326", "/EPSG/0/4326"];
    let starts = ["URN:OGC:DEF:CRS:", "HTTP://WWW.OPENGIS.NET/DEF/CRS/", "EPSG:", "OGC:", "CRS84"];
    if is_degrees.iter().any(|end| upper.ends_with(end))
        && starts.iter().any(|start| upper.starts_with(start))
    {
        CoordinateSystem::Wgs84Degrees
    } else {
        CoordinateSystem::Declared(name.to_owned())
    }
}

fn can_only_be_degrees(features: &[Feature]) -> bool {
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for point in all_points(features) {
        for axis in 0..2 {
            low[axis] = low[axis].min(point[axis]);
            high[axis] = high[axis].max(point[axis]);
        }
    }
    let reach = (high[0] - low[0]).max(high[1] - low[1]);
    low[0] >= -180.0
        && high[0] <= 180.0
        && low[1] >= -90.0
        && high[1] <= 90.0
        && (NARROWEST_IN_DEGREES..=WIDEST_IN_DEGREES).contains(&reach)
}

/// Every coordinate pair of the features.
pub(super) fn all_points(features: &[Feature]) -> impl Iterator<Item = &RawPoint> {
    features.iter().flat_map(|Feature { geometry, .. }| {
        let rings =
            geometry.areas.iter().flat_map(|area| std::iter::once(&area.outer).chain(&area.holes));
        geometry.points.iter().chain(geometry.lines.iter().flatten()).chain(rings.flatten())
    })
}
