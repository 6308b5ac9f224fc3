//! The shapes of a shapefile: the records of its `.shp` file, after ESRI Shapefile Technical
//! Description (Environmental Systems Research Institute, 1998).
//!
//! Read by hand, because every length in the file is a claim that must be held against the bytes
//! that are really there before anything is built on it.

use super::format::SHAPEFILE_CODE;
use super::model::{MapFile, RawGeometry};
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::{RawPoint, RawPolygon, RingsSorted};

const HEADER_BYTES: usize = 100;
const RECORD_HEADER_BYTES: usize = 8;
/// What a shape with parts has before its list of parts: type, box and two counts.
const PARTS_AT: usize = 44;
/// The same of a shape that is a list of points: type, box and one count.
const POINTS_AT: usize = 40;

/// The kinds of shapes by their numbers (tables 1 and 2 of the description), heights and measures
/// left out: 11 and 21 are points as 1 is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Null,
    Point,
    Line,
    Polygon,
    Points,
    Patch,
}

impl Kind {
    fn of_number(number: i32) -> Option<Self> {
        match number {
            0 => Some(Self::Null),
            1 | 11 | 21 => Some(Self::Point),
            3 | 13 | 23 => Some(Self::Line),
            5 | 15 | 25 => Some(Self::Polygon),
            8 | 18 | 28 => Some(Self::Points),
            31 => Some(Self::Patch),
            _ => None,
        }
    }
}

/// The geometry of every record, in their order; empty where the record is a null shape.
///
/// # Errors
/// Refuses a file whose lengths or counts do not agree with its bytes, a kind of shape that is not
/// known or is not the file's own, surfaces in space, and coordinates that are no numbers.
pub(super) fn read_shapes(file: &MapFile) -> Result<Vec<RawGeometry>, Refusal> {
    let place = Place::in_file(&file.name);
    let bytes = &file.bytes;
    if !bytes.starts_with(SHAPEFILE_CODE) || bytes.len() < HEADER_BYTES {
        return Err(damaged(place, "it does not start as a .shp file does").into());
    }
    let claimed = whole(bytes, 24, i32::from_be_bytes).and_then(in_bytes);
    if claimed != Some(bytes.len()) {
        let what = format!(
            "its head says that it has {} bytes, and it has {}",
            claimed.map_or_else(|| "no number of".to_owned(), |claimed| claimed.to_string()),
            bytes.len()
        );
        return Err(damaged(place, &what).into());
    }
    let number = whole(bytes, 32, i32::from_le_bytes).unwrap_or(-1);
    let kind = match Kind::of_number(number) {
        Some(Kind::Patch) => {
            return Err(Problem::at(place, "the file holds surfaces in space (MultiPatch)")
                .allowed("shapes on the ground: points, lines or polygons")
                .hint("export the outlines as polygons")
                .into());
        }
        Some(kind) => kind,
        None => {
            return Err(
                damaged(place, &format!("it holds shapes of the unknown kind {number}")).into()
            );
        }
    };
    let mut shapes = Vec::new();
    let mut at = HEADER_BYTES;
    while at < bytes.len() {
        let feature = shapes.len() + 1;
        let place = Place { feature: Some(feature), ..place.clone() };
        let length = whole(bytes, at + 4, i32::from_be_bytes).and_then(in_bytes);
        let start = at + RECORD_HEADER_BYTES;
        let content = length.and_then(|length| bytes.get(start..start.checked_add(length)?));
        let Some(content) = content else {
            return Err(damaged(place, "its record reaches beyond the end of the file").into());
        };
        let shape = read_shape(content, kind, feature).map_err(|what| damaged(place, &what))?;
        shapes.push(shape);
        at = start + content.len();
    }
    Ok(shapes)
}

fn read_shape(content: &[u8], kind: Kind, feature: usize) -> Result<RawGeometry, String> {
    let number = whole(content, 0, i32::from_le_bytes).ok_or("its record is empty")?;
    let own = Kind::of_number(number);
    let mut shape = RawGeometry::default();
    match own {
        Some(Kind::Null) => return Ok(shape),
        Some(own) if own == kind => {}
        _ => {
            return Err(format!(
                "its shape is of the kind {number}, which is not that of the file"
            ));
        }
    }
    match kind {
        Kind::Point => shape.points.push(point(content, 4)?),
        Kind::Points => {
            let count = count(content, 36)?;
            shape.points = points(content, POINTS_AT, count)?;
        }
        Kind::Line => shape.lines = parts(content)?,
        Kind::Polygon => {
            let mut rings = parts(content)?.into_iter();
            if let Some(outer) = rings.next() {
                let holes: Vec<_> = rings.collect();
                // Which ring is a hole is told by direction, which too many writers get wrong.
                let sorted =
                    if holes.is_empty() { RingsSorted::ByTheFile } else { RingsSorted::NotYet };
                shape.areas.push(RawPolygon { feature, outer, holes, sorted });
            }
        }
        Kind::Null | Kind::Patch => {}
    }
    Ok(shape)
}

/// The parts of a line or polygon: where each starts among the points, and the points.
fn parts(content: &[u8]) -> Result<Vec<Vec<RawPoint>>, String> {
    let (parts, total) = (count(content, 36)?, count(content, 40)?);
    let points_at = parts
        .checked_mul(4)
        .and_then(|bytes| bytes.checked_add(PARTS_AT))
        .filter(|&at| at <= content.len())
        .ok_or_else(|| format!("it claims {parts} parts, more than its record holds"))?;
    let points = points(content, points_at, total)?;
    let mut starts = Vec::with_capacity(parts + 1);
    for part in 0..parts {
        starts.push(count(content, PARTS_AT + 4 * part)?);
    }
    starts.push(total);
    let in_order = starts.windows(2).all(|pair| pair[0] <= pair[1]);
    if starts[0] != 0 || !in_order {
        return Err(format!("its {parts} parts do not share out its {total} points"));
    }
    Ok(starts
        .windows(2)
        .map(|pair| points[pair[0]..pair[1]].to_vec())
        .filter(|p| !p.is_empty())
        .collect())
}

fn points(content: &[u8], at: usize, count: usize) -> Result<Vec<RawPoint>, String> {
    let bytes = count.checked_mul(16).and_then(|length| content.get(at..at.checked_add(length)?));
    let bytes =
        bytes.ok_or_else(|| format!("it claims {count} points, more than its record holds"))?;
    (0..count).map(|index| point(bytes, 16 * index)).collect()
}

fn point(bytes: &[u8], at: usize) -> Result<RawPoint, String> {
    let number = |at: usize| {
        let eight = bytes.get(at..at + 8)?.try_into().ok()?;
        Some(f64::from_le_bytes(eight)).filter(|number| number.is_finite())
    };
    match (number(at), number(at + 8)) {
        (Some(x), Some(y)) => Ok([x, y]),
        _ => Err("a coordinate of it is missing or is no number".into()),
    }
}

fn count(content: &[u8], at: usize) -> Result<usize, String> {
    whole(content, at, i32::from_le_bytes)
        .and_then(|count| usize::try_from(count).ok())
        .ok_or_else(|| "a count in its record is missing or negative".into())
}

fn whole(bytes: &[u8], at: usize, read: fn([u8; 4]) -> i32) -> Option<i32> {
    Some(read(bytes.get(at..at.checked_add(4)?)?.try_into().ok()?))
}

/// Lengths in a shapefile are counted in words of two bytes.
fn in_bytes(words: i32) -> Option<usize> {
    usize::try_from(words).ok()?.checked_mul(2)
}

fn damaged(place: Place, what: &str) -> Problem {
    Problem::at(place, format!("the shapefile is damaged: {what}"))
        .allowed("a complete .shp file")
        .hint("copy or export the shapefile again")
}
