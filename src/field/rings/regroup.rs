//! The rings that mending left, given to their polygons again.

use std::collections::BTreeMap;

use super::super::nesting::refuse;
use super::super::ring::Ring;
use super::super::ring_tree::RingTree;
use super::mend::Mended;
use crate::findings::{Problem, Refusal};

/// The rings, those that are `faulty` replaced by what each was mended to, in order.
///
/// Ground that the mending parted becomes polygons of its own, and every hole goes to the smallest
/// of them around it.
///
/// # Errors
/// Refuses holes that lie in none of them.
pub(super) fn regroup(
    rings: Vec<Ring>,
    faulty: &[bool],
    mended: Vec<Mended>,
    file: &str,
) -> Result<Vec<Ring>, Refusal> {
    let mut next = next_polygon(&rings);
    let mut polygons: BTreeMap<usize, Vec<(Ring, Option<Mended>)>> = BTreeMap::new();
    let mut mended = mended.into_iter();
    for (ring, &faulty) in rings.into_iter().zip(faulty) {
        let became = if faulty { mended.next() } else { None };
        polygons.entry(ring.polygon).or_default().push((ring, became));
    }
    let mut grouped = Vec::new();
    let mut problems = Vec::new();
    for members in polygons.into_values() {
        if members.iter().all(|(_, became)| became.is_none()) {
            grouped.extend(members.into_iter().map(|(ring, _)| ring));
            continue;
        }
        let (mut ground, mut holes) = (Vec::new(), Vec::new());
        for (ring, became) in members {
            let Some(became) = became else {
                if ring.hole == 0 {
                    ground.push(ring);
                } else {
                    holes.push(ring);
                }
                continue;
            };
            for one in became.loops {
                let (points, places) = one.corners.iter().map(|at| (at.point, at.place)).unzip();
                let part = Ring { places, points, ..ring.clone() };
                if (ring.hole == 0) == one.is_hole { holes.push(part) } else { ground.push(part) }
            }
        }
        // Rings that are not sorted yet are only numbered; which lies in which decides later.
        if ground.iter().chain(&holes).any(|ring| ring.unsorted.is_some()) {
            let all = ground.into_iter().chain(holes).enumerate();
            grouped.extend(all.map(|(hole, ring)| Ring { hole, ..ring }));
            continue;
        }
        for ring in ground.iter_mut().skip(1) {
            ring.polygon = next;
            next += 1;
        }
        for ring in &mut ground {
            ring.hole = 0;
        }
        give_holes(&ground, &mut holes, file, &mut problems);
        grouped.append(&mut ground);
        grouped.append(&mut holes);
    }
    Refusal::unless_clean(problems, grouped)
}

/// A number that no polygon has yet.
pub(super) fn next_polygon(rings: &[Ring]) -> usize {
    rings.iter().map(|ring| ring.polygon + 1).max().unwrap_or(0)
}

fn give_holes(ground: &[Ring], holes: &mut [Ring], file: &str, problems: &mut Vec<Problem>) {
    let all: Vec<Ring> = ground.iter().chain(holes.iter()).cloned().collect();
    let tree = RingTree::of(&all);
    let sizes: Vec<f64> = ground.iter().map(|ring| ring.signed_area_m2().abs()).collect();
    let mut given: BTreeMap<usize, usize> = BTreeMap::new();
    for (number, hole) in (ground.len()..).zip(holes) {
        let mut around: Vec<usize> = tree.near(number).filter(|&at| at < ground.len()).collect();
        around.sort_by(|&a, &b| sizes[a].total_cmp(&sizes[b]).then(a.cmp(&b)));
        if let Some(at) = around.into_iter().find(|&at| tree.is_within(number, at)) {
            let polygon = ground[at].polygon;
            let number = given.entry(polygon).or_default();
            *number += 1;
            (hole.polygon, hole.hole) = (polygon, *number);
        } else {
            hole.hole = hole.hole.max(1);
            let what = format!("{} lies outside its polygon", hole.in_words());
            problems.push(refuse(hole, file, what));
        }
    }
}
