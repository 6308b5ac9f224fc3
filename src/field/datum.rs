//! What the coordinate system of a map file means on the ground: whether a stated one is the file's own,
//! and how right the shift of its datum is.

use super::door::{DatumShift, Door};
use super::place::LonLat;
use crate::findings::{Finding, Place, Problem, Refusal, clean};
use crate::inputs::{CoordinateSystem, FeatureLayer, RawBoundary, RawPoint};

/// Two systems are the same where they put every corner to the same place within so much, in
/// degrees: about a decimetre (ours).
const SAME_WITHIN_DEG: f64 = 1e-6;
/// A shift of the datum that is less right than this is told, in metres (ours): NAD83 and ETRS89
/// stay below it, NAD27 without its grids does not.
const TOLD_ABOVE_M: f64 = 5.0;
/// Numbers that reach over so many times more than the degrees that they are moved to are in a unit
/// of length, of which a degree has 60 at the least (nautical miles).
const DEGREES_FOR_METRES: f64 = 50.0;

/// Holds the system that points name against another one that is `stated` for them.
///
/// # Errors
/// Refuses a system that PROJ does not know, and a stated system that puts the points elsewhere.
/// Coordinates that cannot be moved are left to [`place_points`](super::place_points).
pub fn check_stated(
    file: &str,
    system: &CoordinateSystem,
    points: &[RawPoint],
    stated: &CoordinateSystem,
) -> Result<(), Refusal> {
    let place = Place::in_file(file);
    let moved = Door::open(system, &place)?.move_points(points, |_| place.clone());
    let Ok(own) = moved else { return Ok(()) };
    hold_against(&own, points, system, stated, &place)
}

fn hold_against(
    own: &[LonLat],
    points: &[RawPoint],
    system: &CoordinateSystem,
    stated: &CoordinateSystem,
    place: &Place,
) -> Result<(), Refusal> {
    let other = Door::open(stated, place)?.move_points(points, |_| place.clone());
    let apart = |(a, b): (&LonLat, &LonLat)| {
        (a.lon_deg - b.lon_deg).abs().max((a.lat_deg - b.lat_deg).abs())
    };
    let same = other.is_ok_and(|other| {
        own.iter().zip(&other).map(apart).all(|degrees| degrees <= SAME_WITHIN_DEG)
    });
    if same { Ok(()) } else { Err(contradiction(system, stated, place.clone()).into()) }
}

/// Holds the system of a boundary against another one that is `stated` for it, and tells how right
/// the shift of its datum is where that is coarse.
///
/// # Errors
/// Refuses a system that PROJ does not know, a stated system that puts the boundary elsewhere, and
/// numbers in degrees whose system is in a unit of length. Coordinates and datums that cannot be
/// moved are left to [`lay_out`](super::lay_out), which refuses them.
pub fn check_system(
    boundary: &RawBoundary,
    stated: Option<&CoordinateSystem>,
) -> Result<Vec<Finding>, Refusal> {
    let points = boundary
        .polygons
        .iter()
        .flat_map(|polygon| std::iter::once(&polygon.outer).chain(&polygon.holes))
        .flatten()
        .copied()
        .collect();
    let RawBoundary { file, system, .. } = boundary;
    check(&Numbers { file, what: "boundary", system, points }, stated)
}

/// The same for the features of a layer, which are `what`.
///
/// # Errors
/// As [`check_system`].
pub fn check_layer_system(
    layer: &FeatureLayer,
    what: &str,
    stated: Option<&CoordinateSystem>,
) -> Result<Vec<Finding>, Refusal> {
    let mut points: Vec<RawPoint> = Vec::new();
    for feature in &layer.features {
        let geometry = &feature.geometry;
        points.extend(&geometry.points);
        points.extend(geometry.lines.iter().flatten());
        for area in &geometry.areas {
            points.extend(area.outer.iter().chain(area.holes.iter().flatten()));
        }
    }
    let FeatureLayer { file, system, .. } = layer;
    check(&Numbers { file, what, system, points }, stated)
}

/// The coordinates of a file.
struct Numbers<'a> {
    file: &'a str,
    /// What they are of, such as the boundary.
    what: &'a str,
    system: &'a CoordinateSystem,
    points: Vec<RawPoint>,
}

fn check(
    numbers: &Numbers<'_>,
    stated: Option<&CoordinateSystem>,
) -> Result<Vec<Finding>, Refusal> {
    let Numbers { file, what, system, points } = numbers;
    let place = Place::in_file(*file);
    let door = Door::open(system, &place)?;
    // Numbers that the system cannot hold are refused where they are laid out, feature by feature.
    let Ok(own) = door.move_points(points, |_| place.clone()) else { return Ok(Vec::new()) };
    if let Some(stated) = stated {
        hold_against(&own, points, system, stated, &place)?;
    }
    let raw_reach = reach(points.iter().copied());
    let moved_reach = reach(own.iter().map(|place| [place.lon_deg, place.lat_deg]));
    let in_degrees = points.iter().all(|[x, y]| x.abs() <= 180.0 && y.abs() <= 90.0);
    if in_degrees && moved_reach < raw_reach / DEGREES_FOR_METRES {
        return Err(degrees_for_metres(system, what, place).into());
    }
    let shift = points.first().and_then(|&point| door.shift_at(point));
    if shift.as_ref().is_some_and(|shift| shift.datum == DatumShift::NotNeeded) {
        let text = format!(
            "No shift from the datum of the {what} to WGS 84 is known at this place; both are on the \
             same ellipsoid, so its coordinates were taken as WGS 84, which is right to a few \
             metres: areas and tons hold."
        );
        return Ok(vec![Finding::at("datum_taken_as_wgs84", place, text)]);
    }
    let coarse = shift.and_then(|shift| {
        let metres = shift.accuracy_m.filter(|&metres| metres > TOLD_ABOVE_M)?;
        let text = format!(
            "The shift of the datum of the {what} to WGS 84 ({}) is right to about {metres} m only: \
             areas and tons hold, but the map may lie so far off the ground.",
            clean(&shift.words)
        );
        Some(Finding::at("datum_shift_coarse", place, text))
    });
    Ok(coarse.into_iter().collect())
}

/// The greater of the two extents of the points.
fn reach(points: impl Iterator<Item = RawPoint>) -> f64 {
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for point in points {
        for axis in 0..2 {
            low[axis] = low[axis].min(point[axis]);
            high[axis] = high[axis].max(point[axis]);
        }
    }
    (high[0] - low[0]).max(high[1] - low[1])
}

fn degrees_for_metres(system: &CoordinateSystem, what: &str, place: Place) -> Problem {
    let what = format!(
        "the numbers look like degrees, but the system of the {what} is {}, which is in metres or \
         feet",
        system.in_words()
    );
    Problem::at(place, what)
        .allowed("numbers in the unit of the system")
        .hint("correct the system: for longitude and latitude it is EPSG:4326")
}

fn contradiction(own: &CoordinateSystem, stated: &CoordinateSystem, place: Place) -> Problem {
    let what = format!(
        "the file says that its coordinate system is {}, and the job states {}, which is elsewhere",
        own.in_words(),
        stated.in_words()
    );
    Problem::at(place, what)
        .allowed("one system: the file's own goes without saying")
        .hint("take `coordinate_system` out of the job, or correct the file")
}

#[cfg(test)]
mod tests {
    use proj::Proj;

    use super::*;
    use crate::inputs::{RawPolygon, RingsSorted};

    const GRS_80: &str = "\"GRS_1980\",6378137.0,298.257222101";

    fn triangle(system: &str, at: [f64; 2]) -> RawBoundary {
        let way = Proj::new_known_crs("EPSG:4326", system, None).unwrap();
        let corners = [[0.0, 0.0], [0.01, 0.0], [0.0, 0.01]];
        let outer = corners.map(|[east, north]| {
            let (x, y) = way.convert((at[0] + east, at[1] + north)).unwrap();
            [x, y]
        });
        let (holes, sorted) = (Vec::new(), RingsSorted::ByTheFile);
        let polygons = vec![RawPolygon { feature: 1, outer: outer.to_vec(), holes, sorted }];
        let system = CoordinateSystem::Declared(system.to_owned());
        RawBoundary { file: "b".to_owned(), system, polygons }
    }

    /// Systems that farms are mapped in, by code and by the text of a `.prj` file: all of them have
    /// a way to WGS 84 that needs no grid. The old North American datum's is coarse, and two have
    /// none at the place and need none, which are told.
    #[test]
    fn systems_in_use_have_a_way_to_wgs_84() {
        for (system, at, told) in [
            ("EPSG:4269", [-93.0, 42.0], false),
            ("EPSG:26915", [-93.0, 42.0], false),
            ("EPSG:6344", [-93.0, 42.0], false),
            ("EPSG:3745", [-93.0, 42.0], false),
            ("EPSG:3721", [-93.0, 42.0], false),
            ("EPSG:26715", [-93.0, 42.0], true),
            ("EPSG:4267", [-93.0, 42.0], true),
            ("EPSG:2955", [-116.0, 51.0], false),
            ("EPSG:25832", [9.0, 51.0], false),
            ("EPSG:4258", [9.0, 51.0], false),
            ("EPSG:31467", [9.0, 51.0], false),
            ("EPSG:23032", [9.0, 51.0], false),
            ("EPSG:27700", [-1.0, 52.0], false),
            ("EPSG:28992", [5.0, 52.0], false),
            ("EPSG:2154", [2.0, 48.0], false),
            ("EPSG:3067", [25.0, 61.0], false),
            ("EPSG:2180", [19.0, 52.0], false),
            ("EPSG:28355", [146.0, -36.0], false),
            ("EPSG:7855", [146.0, -36.0], false),
            ("EPSG:2193", [172.0, -43.0], false),
            ("EPSG:31983", [-46.0, -22.0], false),
            ("EPSG:29193", [-46.0, -18.0], false),
            ("EPSG:4490", [110.0, 35.0], true),
            ("EPSG:3035", [-93.0, 42.0], true),
            ("EPSG:3857", [-93.0, 42.0], false),
            ("EPSG:32615", [-93.0, 42.0], false),
        ] {
            let by_code = check_system(&triangle(system, at), None);
            let by_code = by_code.unwrap_or_else(|refusal| panic!("{system}: {refusal}"));
            assert_eq!(by_code.len(), usize::from(told), "{system}: {by_code:?}");
            let prj = Proj::new(system).unwrap().as_wkt(None, None).unwrap();
            let by_text = check_system(&triangle(&prj, at), None);
            assert!(by_text.is_ok(), "{system} by {prj}: {by_text:?}");
            // Both are the same place.
            let stated = CoordinateSystem::Declared(prj);
            let same = check_system(&triangle(system, at), Some(&stated));
            assert!(same.is_ok(), "{system}: {same:?}");
        }
    }

    #[test]
    fn datums_in_the_words_of_prj_files_have_a_way_to_wgs_84() {
        for (name, datum, spheroid) in [
            ("GCS_WGS_1984", "D_WGS_1984", "\"WGS_1984\",6378137.0,298.257223563"),
            ("GCS_North_American_1983", "D_North_American_1983", GRS_80),
            ("GCS_NAD_1983_2011", "D_NAD_1983_2011", GRS_80),
            ("GCS_North_American_1983_HARN", "D_North_American_1983_HARN", GRS_80),
            ("GCS_NAD_1983_NSRS2007", "D_NAD_1983_NSRS2007", GRS_80),
            ("GCS_North_American_1983_CSRS", "D_North_American_1983_CSRS", GRS_80),
            ("GCS_ETRS_1989", "D_ETRS_1989", GRS_80),
            ("GCS_GDA_1994", "D_GDA_1994", GRS_80),
            ("GDA2020", "GDA2020", GRS_80),
            ("GCS_SIRGAS_2000", "D_SIRGAS_2000", GRS_80),
            ("GCS_NZGD_2000", "D_NZGD_2000", GRS_80),
            (
                "GCS_North_American_1927",
                "D_North_American_1927",
                "\"Clarke_1866\",6378206.4,294.9786982",
            ),
        ] {
            let prj = format!(
                "GEOGCS[\"{name}\",DATUM[\"{datum}\",SPHEROID[{spheroid}]],\
                 PRIMEM[\"Greenwich\",0.0],UNIT[\"Degree\",0.0174532925199433]]"
            );
            let boundary = triangle(&prj, [-93.0, 42.0]);
            let laid = super::super::lay_out(&boundary);
            assert!(laid.is_ok(), "{name}: {:?}", laid.map(|_| ()));
        }
    }

    #[test]
    fn a_datum_without_a_way_is_refused() {
        for system in [
            "+proj=utm +zone=15 +ellps=clrk66 +type=crs",
            "GEOGCS[\"odd\",DATUM[\"D_odd\",SPHEROID[\"Clarke_1866\",6378206.4,294.9786982]],PRIMEM[\"Greenwich\",0],UNIT[\"Degree\",0.0174532925199433]]",
        ] {
            let boundary = triangle(system, [-93.0, 42.0]);
            let refusal = super::super::lay_out(&boundary).map(|_| ()).unwrap_err();
            assert!(refusal.to_string().contains("no shift to WGS 84"), "{refusal}");
        }
    }
}
