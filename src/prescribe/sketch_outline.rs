//! An outline in few strokes.

use std::fmt::Write as _;

use geo::{BoundingRect as _, Coord, LineString, MultiPolygon, Simplify as _};

/// Vertices of all rings together at the most.
const MOST_VERTICES: usize = 100;
/// More than these are thinned out before the lines between them are looked at, which bounds the
/// work on any outline.
const MOST_LOOKED_AT: usize = 4_000;
/// From this share of the longer side on, rings are left out, the smallest first, rather than drawn
/// more roughly.
const ROUGHEST: f64 = 1.0 / 32.0;
/// The first tolerance, as a share of the longer side of the box around the field: less than a
/// pixel wherever many fields are drawn side by side.
const FINEST: f64 = 1e-3;

/// An outline in few strokes.
pub(super) struct Strokes {
    /// Each ring in whole units from the south-western corner, as texts `x y, x y`.
    pub(super) rings: Vec<String>,
    /// How far a vertex that is left out lies from what is drawn, at the most.
    pub(super) tolerance_m: f64,
    /// The south-western corner of the box around the outline, in metres in the frame.
    pub(super) south_west: [f64; 2],
}

/// The rings of `boundary`, in metres, in whole units of `unit_m`.
pub(super) fn outline_of(boundary: &MultiPolygon<f64>, unit_m: f64) -> Strokes {
    let (south_west, longer) = boundary.bounding_rect().map_or(([0.0; 2], 0.0), |around| {
        ([around.min().x, around.min().y], around.width().max(around.height()))
    });
    let mut rings: Vec<&LineString<f64>> = boundary
        .iter()
        .flat_map(|polygon| std::iter::once(polygon.exterior()).chain(polygon.interiors()))
        .collect();
    let size = |ring: &LineString<f64>| {
        ring.bounding_rect().map_or(0.0, |around| around.width() * around.height())
    };
    rings.sort_by(|a, b| size(b).total_cmp(&size(a)));
    // Thinning and straightening may each be off by this.
    let mut each_m = (longer * FINEST / 2.0).max(unit_m / 4.0);
    loop {
        // A ring has three vertices at the least, a straight-sided one four.
        let all = each_m <= longer * ROUGHEST && rings.len() * 4 <= MOST_VERTICES;
        if let Some(kept) = simplified(&rings, each_m, all) {
            let write = |ring: &Vec<Coord<f64>>| ring_text(ring, south_west, unit_m);
            let rings = kept.iter().filter_map(write).collect();
            return Strokes { rings, tolerance_m: 2.0 * each_m, south_west };
        }
        each_m *= 2.0;
    }
}

/// The rings at that tolerance, those too small for it left out; `None` where they still have too
/// many vertices. Unless `all` are asked for, only as many of the first as fit. At a tolerance of
/// twice the longer side nothing is left to look at, so there is an end.
fn simplified(rings: &[&LineString<f64>], each_m: f64, all: bool) -> Option<Vec<Vec<Coord<f64>>>> {
    let mut kept = Vec::new();
    let mut vertices = 0;
    for ring in rings {
        let thinned = thinned(ring, each_m);
        if thinned.len() > MOST_LOOKED_AT {
            return None;
        }
        let mut ring = LineString::new(thinned).simplify(each_m).0;
        ring.pop();
        if ring.len() < 3 {
            continue;
        }
        if vertices + ring.len() <= MOST_VERTICES {
            vertices += ring.len();
            kept.push(ring);
        } else if all || kept.is_empty() {
            return None;
        }
    }
    Some(kept)
}

/// The closed ring without the vertices that lie within `near_m` of the one kept before them.
fn thinned(ring: &LineString<f64>, near_m: f64) -> Vec<Coord<f64>> {
    let Some(&first) = ring.0.first() else { return Vec::new() };
    let mut kept = vec![first];
    let mut last = first;
    for &at in &ring.0[1..] {
        if (at.x - last.x).hypot(at.y - last.y) > near_m {
            kept.push(at);
            last = at;
        }
    }
    if last != first {
        kept.push(first);
    }
    kept
}

/// The ring in whole units; `None` where rounding leaves no ground in it.
fn ring_text(ring: &[Coord<f64>], [west, south]: [f64; 2], unit_m: f64) -> Option<String> {
    let whole = |value: f64| (value / unit_m).round() as i64;
    let mut places: Vec<[i64; 2]> =
        ring.iter().map(|at| [whole(at.x - west), whole(at.y - south)]).collect();
    places.dedup();
    if places.first() == places.last() {
        places.pop();
    }
    if places.len() < 3 {
        return None;
    }
    let mut text = String::with_capacity(places.len() * 10);
    for [x, y] in places {
        let between = if text.is_empty() { "" } else { ", " };
        // Writing to a String cannot fail.
        let _ = write!(text, "{between}{x} {y}");
    }
    Some(text)
}

#[cfg(test)]
mod tests {
    use geo::{Polygon, Rect};

    use super::*;

    fn places(text: &str) -> Vec<[i64; 2]> {
        let number = |text: &str| text.parse().unwrap();
        let place = |text: &str| {
            let (x, y) = text.split_once(' ').unwrap();
            [number(x), number(y)]
        };
        text.split(", ").map(place).collect()
    }

    #[test]
    fn a_square_with_points_on_its_sides_keeps_its_corners_and_its_hole() {
        let side: Vec<(f64, f64)> = (0..1000).map(|at| (f64::from(at) - 500.0, -500.0)).collect();
        let mut ring = side.clone();
        ring.extend([(500.0, -500.0), (500.0, 500.0), (-500.0, 500.0), (-500.0, -500.0)]);
        let hole = vec![(0.0, 0.0), (0.0, 100.0), (100.0, 100.0), (100.0, 0.0), (0.0, 0.0)];
        let field = Polygon::new(ring.into(), vec![hole.into()]);
        let strokes = outline_of(&MultiPolygon::new(vec![field]), 1.0);
        let rings: Vec<Vec<[i64; 2]>> = strokes.rings.iter().map(|ring| places(ring)).collect();
        assert_eq!(rings[0], [[0, 0], [1000, 0], [1000, 1000], [0, 1000]]);
        assert_eq!(rings[1], [[500, 500], [500, 600], [600, 600], [600, 500]]);
        assert!(strokes.tolerance_m <= 1.0);
    }

    proptest::proptest! {
        #[test]
        fn few_vertices_are_left_and_all_others_lie_near_them(
            radii in proptest::collection::vec(200.0_f64..600.0, 3..700),
        ) {
            let count = radii.len() as f64;
            let ring: LineString<f64> = radii
                .iter()
                .enumerate()
                .map(|(at, radius)| {
                    let (sin, cos) = (at as f64 / count * std::f64::consts::TAU).sin_cos();
                    Coord { x: radius * cos, y: radius * sin }
                })
                .collect();
            let boundary = MultiPolygon::new(vec![Polygon::new(ring.clone(), vec![])]);
            let strokes = outline_of(&boundary, 1.0);
            let all: Vec<[i64; 2]> = strokes.rings.iter().flat_map(|ring| places(ring)).collect();
            proptest::prop_assert!(all.len() <= MOST_VERTICES);
            let [west, south] = strokes.south_west;
            // Half a unit each way of rounding on top.
            let near = strokes.tolerance_m + 0.71;
            let segments: Vec<geo::Line<f64>> = strokes.rings.iter().flat_map(|text| {
                let mut ring: Vec<Coord<f64>> = places(text)
                    .into_iter()
                    .map(|[x, y]| Coord { x: x as f64 + west, y: y as f64 + south })
                    .collect();
                ring.push(ring[0]);
                LineString::new(ring).lines().collect::<Vec<_>>()
            }).collect();
            for at in ring.coords() {
                use geo::{Distance as _, Euclidean, Point};
                let off = segments.iter()
                    .map(|edge| Euclidean.distance(&Point(*at), edge))
                    .fold(f64::INFINITY, f64::min);
                proptest::prop_assert!(off <= near, "{off} m off for {near} m");
            }
        }
    }

    #[test]
    fn of_very_many_parts_the_largest_are_drawn() {
        let parts = (0..200).map(|at| {
            let (x, size) = (f64::from(at % 20) * 50.0, if at == 77 { 45.0 } else { 20.0 });
            let y = f64::from(at / 20) * 50.0;
            Rect::new((x, y), (x + size, y + size)).to_polygon()
        });
        let strokes = outline_of(&MultiPolygon::new(parts.collect()), 1.0);
        let vertices: usize = strokes.rings.iter().map(|ring| places(ring).len()).sum();
        assert_eq!((vertices, strokes.rings.len()), (100, 25));
        // The largest comes first.
        let first = places(&strokes.rings[0]);
        assert_eq!((first[2][0] - first[0][0]).abs(), 45);
    }
}
