//! One ring that meets itself, made into rings that do not.

use super::super::crossings::{Meeting, Met, find_meetings};
use super::super::edges::distance_to_edge_m;
use super::super::frame::Frame;
use super::super::place::{LonLat, Point};
use super::super::ring::{Ring, TOUCHING_M, signed_area_m2};
use super::regroup::regroup;
use super::spikes::cut_spikes;
use super::split::{Loop, split_walk};
use super::tell::Told;
use super::{ALWAYS_MET, MOST_MET, MOST_ROUNDS, refuse_crossing};
use crate::findings::Refusal;

/// A vertex in both of its forms.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Corner {
    pub(super) point: Point,
    pub(super) place: LonLat,
}

/// What a ring came to.
#[derive(Debug, Default)]
pub(super) struct Mended {
    /// Rings that do not meet themselves; none where the ring held no ground.
    pub(super) loops: Vec<Loop>,
    /// Where the ring touched itself.
    pub(super) touched: Vec<Corner>,
    /// Where lines began that ran out and back.
    pub(super) spikes: Vec<Corner>,
    /// By how much the area changed because edges were led through vertices beside them, in
    /// square metres.
    pub(super) moved_m2: f64,
}

/// How far from an edge that it touches a vertex may lie by the rounding of the frame, in metres.
const NOISE_M: f64 = 1e-8;
/// How far the areas before and after mending may be apart, as a share of them.
const SAME_AREA: f64 = 1e-9;
/// Below this two areas are the same, in square metres: coordinates of seven decimals do not tell
/// a square of a centimetre from none.
const NO_AREA_M2: f64 = 1e-4;

/// Mends every ring that meets itself.
///
/// # Errors
/// Refuses those that cross themselves, all of them, with the place.
pub(super) fn mend_rings(
    rings: Vec<Ring>,
    met: &[Met],
    frame: &Frame,
    file: &str,
    told: &mut Told,
) -> Result<Vec<Ring>, Refusal> {
    let mut faulty = vec![false; rings.len()];
    for met in met.iter().filter(|met| met.first.0 == met.second.0) {
        faulty[met.first.0] = true;
    }
    let mut problems = Vec::new();
    let mut mended = Vec::new();
    for (ring, _) in rings.iter().zip(&faulty).filter(|&(_, &faulty)| faulty) {
        match mend_ring(ring) {
            Ok(found) => {
                told.mended(ring, &found);
                mended.push(found);
            }
            Err(at) => problems.push(refuse_crossing(ring, at, frame, file)),
        }
    }
    Refusal::unless_clean(problems, ())?;
    regroup(rings, &faulty, mended, file)
}

/// Mends one ring; in the error the place where it crosses itself.
pub(super) fn mend_ring(ring: &Ring) -> Result<Mended, Point> {
    let mut mended = Mended::default();
    let mut walk: Vec<Corner> = ring
        .points
        .iter()
        .zip(&ring.places)
        .map(|(&point, &place)| Corner { point, place })
        .collect();
    let before_m2 = signed_area_m2(&ring.points);
    for round in 0.. {
        cut_spikes(&mut walk, &mut mended.spikes);
        let points: Vec<Point> = walk.iter().map(|corner| corner.point).collect();
        let met = find_meetings(&[&points], ALWAYS_MET + MOST_MET * points.len());
        let met = met.ok_or(ring.points[0])?;
        let Some(changed) = lead_through(&walk, &met)? else { break };
        // Leading an edge through a vertex can make it meet another, but only within a hair.
        if round == MOST_ROUNDS {
            return Err(met.first().map_or(walk[0].point, |met| met.at));
        }
        walk = changed;
    }
    if walk.is_empty() {
        return Ok(mended);
    }
    let points: Vec<Point> = walk.iter().map(|corner| corner.point).collect();
    let walked_m2 = signed_area_m2(&points);
    mended.moved_m2 = walked_m2.abs() - before_m2.abs();
    let length_m: f64 = (0..points.len())
        .map(|index| points[index].distance_m(points[(index + 1) % points.len()]))
        .sum();
    if mended.moved_m2.abs() > TOUCHING_M * length_m {
        return Err(walk[0].point);
    }
    if walked_m2 < 0.0 {
        walk.reverse();
    }
    let split = split_walk(&walk)?;
    mended.touched = split.repeated;
    let even_odd_m2: f64 = split
        .loops
        .iter()
        .map(|one| if one.is_hole { -one.area_m2.abs() } else { one.area_m2.abs() })
        .sum();
    // A ring that goes around some ground against its own sense, or twice, crosses itself in a
    // vertex. Taking it by even-odd would change its area, and so it cannot be mended.
    if (even_odd_m2 - walked_m2.abs()).abs() > SAME_AREA * even_odd_m2 + NO_AREA_M2 {
        let wrong = split
            .loops
            .iter()
            .find(|one| (one.area_m2 < 0.0) != one.is_hole)
            .and_then(|one| one.corners.iter().find(|at| mended.touched.contains(at)));
        return Err(wrong.or(mended.touched.first()).map_or(walk[0].point, |at| at.point));
    }
    mended.loops = split.loops;
    Ok(mended)
}

/// The walk with its edges led through the vertices of it that lie on them; `None` where none does.
/// In the error the place of a crossing that is more than a touch.
fn lead_through(walk: &[Corner], met: &[Met]) -> Result<Option<Vec<Corner>>, Point> {
    let count = walk.len();
    let mut inserted: Vec<(usize, f64, Corner)> = Vec::new();
    let mut merged: Vec<(usize, usize)> = Vec::new();
    for met in met {
        let (one, other) = (met.first.1, met.second.1);
        let ends = |edge: usize| [edge, (edge + 1) % count];
        let mut near = false;
        let within = if met.meeting == Meeting::Cross { TOUCHING_M } else { NOISE_M };
        for (end, edge) in
            ends(one).map(|end| (end, other)).into_iter().chain(ends(other).map(|end| (end, one)))
        {
            let point = walk[end].point;
            let [from, to] = ends(edge).map(|end| walk[end].point);
            if point == from || point == to || distance_to_edge_m(point, (from, to)) > within {
                continue;
            }
            near = true;
            let close = ends(edge).into_iter().find(|&e| walk[e].point.distance_m(point) <= within);
            match close {
                Some(close) => merged.push((end.max(close), end.min(close))),
                None => inserted.push((edge, from.distance_m(point), walk[end])),
            }
        }
        if met.meeting == Meeting::Cross && !near {
            return Err(met.at);
        }
    }
    if inserted.is_empty() && merged.is_empty() {
        return Ok(None);
    }
    inserted.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut stands_for: Vec<usize> = (0..count).collect();
    merged.sort_unstable();
    for (later, earlier) in merged {
        stands_for[later] = stands_for[earlier];
    }
    let mut led = Vec::with_capacity(count + inserted.len());
    let mut rest = inserted.as_slice();
    for index in 0..count {
        led.push(walk[stands_for[index]]);
        let here = rest.partition_point(|&(edge, ..)| edge == index);
        led.extend(rest[..here].iter().map(|&(_, _, corner)| corner));
        rest = &rest[here..];
    }
    led.dedup_by(|a, b| a.point == b.point);
    Ok(Some(led))
}
