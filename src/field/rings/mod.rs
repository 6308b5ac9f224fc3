//! The rings of a boundary made into polygons: faults that have one cure are cured and told, the
//! others are refused.
//!
//! A clean boundary is looked through once. Only where rings meet themselves, where polygons
//! overlap, or where the file does not say which rings are holes, is anything made anew, and then
//! the result goes through the same checks.

mod mend;
mod regroup;
mod sort;
mod spikes;
mod split;
mod tell;
mod unite;

use std::collections::BTreeSet;

use super::crossings::{Met, find_meetings};
use super::frame::Frame;
use super::nesting::{check_rings, refuse};
use super::place::Point;
use super::ring::Ring;
use super::ring_tree::RingTree;
use crate::findings::{Place, Problem, Refusal};
use mend::mend_rings;
use sort::sort_rings;
pub(super) use tell::Told;
use unite::unite_polygons;

/// How often the rings are gone through before they count as beyond mending: mending, uniting, and
/// what uniting left.
const MOST_ROUNDS: usize = 6;
/// A part of a field smaller than this is a slip of the drawing, in square metres (ours).
const TINY_PART_M2: f64 = 1.0;
/// Meetings of edges for each vertex, on the whole; where four squares share a corner it has six.
const MOST_MET: usize = 8;
/// So many meetings are taken whatever the number of vertices.
const ALWAYS_MET: usize = 10_000;
/// What comparing rings with their neighbours may take for each vertex, in vertices looked at.
const MOST_CROWD: usize = 2_000;
/// So much may be looked at whatever the number of vertices.
const ALWAYS_CROWDED: usize = 200_000_000;

/// Makes the rings of a boundary, whose points are in metres in `frame`, into polygons: outer
/// rings and holes in any direction, each polygon's outer ring before its holes.
///
/// # Errors
/// Refuses rings that do not make a field in one way only, naming the places in degrees.
pub(super) fn settle(
    mut rings: Vec<Ring>,
    frame: &Frame,
    file: &str,
    told: &mut Told,
) -> Result<Vec<Ring>, Refusal> {
    let mut sorted = false;
    for _ in 0..MOST_ROUNDS {
        let met = meetings(&rings, file)?;
        if met.iter().any(|met| met.first.0 == met.second.0) {
            rings = mend_rings(rings, &met, frame, file, told)?;
            continue;
        }
        if !sorted {
            sort_rings(&mut rings, &touching(&met));
            sorted = true;
        }
        // Dropping changes the numbers of the rings that the meetings name.
        let met = if drop_tiny_parts(&mut rings, told) { meetings(&rings, file)? } else { met };
        let overlapping = check_rings(&rings, &met, frame, file)?;
        if overlapping.is_empty() {
            rings.sort_by_key(|ring| (ring.polygon, ring.hole));
            return Ok(rings);
        }
        rings = unite_polygons(rings, &overlapping, frame, told);
    }
    Err(refuse_tangle(file))
}

/// The meetings of all rings.
///
/// # Errors
/// Refuses rings that are no drawing of a field, because looking at all that they have at one place
/// would not end.
fn meetings(rings: &[Ring], file: &str) -> Result<Vec<Met>, Refusal> {
    let points: Vec<&[Point]> = rings.iter().map(|ring| ring.points.as_slice()).collect();
    let vertices: usize = points.iter().map(|points| points.len()).sum();
    let met = find_meetings(&points, ALWAYS_MET + MOST_MET * vertices);
    let met = met.ok_or_else(|| refuse_tangle(file))?;
    let most = ALWAYS_CROWDED.max(MOST_CROWD * vertices);
    if RingTree::of(rings).crowd(most) > most { Err(refuse_tangle(file)) } else { Ok(met) }
}

fn refuse_tangle(file: &str) -> Refusal {
    let what = "the rings of the boundary lie on, in or along one another at so many places that \
                comparing them does not end";
    Problem::at(Place::in_file(file), what)
        .allowed("rings that do not cross or touch themselves, polygons side by side")
        .hint("mend the outline where it was drawn, and export it again")
        .into()
}

/// The pairs of rings that meet, the lower number first, in order.
fn touching(met: &[Met]) -> Vec<(usize, usize)> {
    let mut pairs: Vec<(usize, usize)> = met
        .iter()
        .map(|met| (met.first.0.min(met.second.0), met.first.0.max(met.second.0)))
        .collect();
    pairs.sort_unstable();
    pairs.dedup();
    pairs
}

/// Drops polygons below 1 m2, unless there is nothing else, and returns whether it dropped any.
fn drop_tiny_parts(rings: &mut Vec<Ring>, told: &mut Told) -> bool {
    let is_tiny = |ring: &Ring| ring.hole == 0 && ring.signed_area_m2().abs() < TINY_PART_M2;
    let tiny: BTreeSet<usize> =
        rings.iter().filter(|ring| is_tiny(ring)).map(|ring| ring.polygon).collect();
    let outer = rings.iter().filter(|ring| ring.hole == 0).count();
    if tiny.is_empty() || tiny.len() == outer {
        return false;
    }
    for ring in rings.iter().filter(|ring| is_tiny(ring)) {
        told.tiny.extend(ring.places.first().map(|&at| (ring.feature, at)));
        told.tiny_m2 += ring.signed_area_m2().abs();
    }
    rings.retain(|ring| !tiny.contains(&ring.polygon));
    true
}

/// What a ring that crosses itself is refused with.
fn refuse_crossing(ring: &Ring, at: Point, frame: &Frame, file: &str) -> Problem {
    let place = frame.inverse(at).in_words();
    refuse(ring, file, format!("{} crosses itself at {place}", ring.in_words())).hint(
        "put the corners around that place in the order in which one walks around the field, so \
         that its lines do not cross; if two parts of the field do meet there, draw each as a \
         polygon of its own",
    )
}

#[cfg(test)]
mod property_tests;
#[cfg(test)]
mod tests;
