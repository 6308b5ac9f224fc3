//! Points on long edges, so that an edge bends where its file means it to.

use geo::{Distance, Geodesic, InterpolatePoint};

use super::door::Door;
use super::place::LonLat;
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::RawPoint;
use crate::units::LIMITS;

/// Edges longer than this get points first, in metres. Over 1 km the lines that different
/// projections call straight stay within about 2 cm of each other at 45 degrees.
const LONGEST_EDGE_M: f64 = 1_000.0;

/// The open ring of WGS 84 places that the open ring `raw`, whose places are `ends`, stands for.
///
/// In degrees an edge is the geodesic between its ends; in a projected system it is the straight
/// line there, and the new points are moved through the same door.
///
/// # Errors
/// Refuses what the door refuses, and a ring of too many vertices.
pub(super) fn densify_ring(
    door: &Door<'_>,
    raw: &[RawPoint],
    ends: &[LonLat],
    place: &Place,
) -> Result<Vec<LonLat>, Refusal> {
    let projected = door.is_projected(raw);
    let mut ring = Vec::with_capacity(ends.len());
    for (index, &start) in ends.iter().enumerate() {
        ring.push(start);
        let next = (index + 1) % ends.len();
        let (a, b) = (geo::Point(start.to_coord()), geo::Point(ends[next].to_coord()));
        if is_surely_short(start, ends[next]) {
            continue;
        }
        let pieces = (Geodesic.distance(a, b) / LONGEST_EDGE_M).ceil().max(1.0) as usize;
        if ring.len() + pieces > LIMITS.boundary_vertices {
            return Err(too_long(place.clone()));
        }
        let ratios = (1..pieces).map(|piece| piece as f64 / pieces as f64);
        if projected {
            let ([x0, y0], [x1, y1]) = (raw[index], raw[next]);
            let between: Vec<RawPoint> =
                ratios.map(|ratio| [x0 + ratio * (x1 - x0), y0 + ratio * (y1 - y0)]).collect();
            ring.extend(door.move_points(&between, |_| place.clone())?);
        } else {
            ring.extend(ratios.map(|ratio| {
                let point = Geodesic.point_at_ratio_between(a, b, ratio);
                LonLat { lon_deg: point.x(), lat_deg: point.y() }
            }));
        }
    }
    Ok(ring)
}

/// What an outline is refused with that would have more vertices than is taken on, with a point on
/// each kilometre of its edges.
pub(super) fn too_long(place: Place) -> Refusal {
    let what = format!(
        "the outline is so long that it has more than {} vertices with one on each kilometre",
        LIMITS.boundary_vertices
    );
    Problem::at(place, what)
        .allowed("the outline of a field")
        .hint("check the coordinates and their system: the edges lead from one end of a land to another")
        .into()
}

/// Whether two places are so near in degrees that they cannot be 1 km apart: a degree is at most
/// 112 km long.
fn is_surely_short(a: LonLat, b: LonLat) -> bool {
    (a.lon_deg - b.lon_deg).hypot(a.lat_deg - b.lat_deg) * 112_000.0 < LONGEST_EDGE_M
}
