//! Rings of which the file does not say which are holes: where one lies tells.

use std::collections::BTreeMap;

use super::super::nesting::{is_inside, is_within};
use super::super::ring::Ring;
use super::regroup::next_polygon;

/// Makes outer rings and holes of the rings of every shape that the file left unsorted: a ring in
/// no other is ground, a ring in ground is a hole in it, a ring in a hole is ground again.
/// `touching` are the pairs of rings that meet, in order. The rings keep their places in the list.
pub(super) fn sort_rings(rings: &mut [Ring], touching: &[(usize, usize)]) {
    let mut shapes: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (number, ring) in rings.iter().enumerate().filter(|(_, ring)| ring.unsorted.is_some()) {
        shapes.entry(ring.polygon).or_default().push(number);
    }
    let mut next = next_polygon(rings);
    for (polygon, members) in shapes {
        let mut first = true;
        for (number, role) in find_roles(rings, &members, touching) {
            match role {
                Role::Ground => {
                    rings[number].hole = 0;
                    rings[number].polygon = if first { polygon } else { next };
                    next += usize::from(!first);
                    first = false;
                }
                Role::HoleIn { ground, hole } => {
                    rings[number].polygon = rings[ground].polygon;
                    rings[number].hole = hole;
                }
            }
        }
    }
}

#[derive(Clone, Copy)]
enum Role {
    Ground,
    HoleIn { ground: usize, hole: usize },
}

/// What each of `members` is, the largest ring first.
fn find_roles(
    rings: &[Ring],
    members: &[usize],
    touching: &[(usize, usize)],
) -> Vec<(usize, Role)> {
    let mut sized: Vec<(usize, f64, [f64; 4])> = members
        .iter()
        .map(|&number| (number, rings[number].signed_area_m2().abs(), rings[number].reach()))
        .collect();
    sized.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let mut roles: Vec<(usize, Role)> = Vec::with_capacity(sized.len());
    let mut holes = vec![0; sized.len()];
    for (index, &(number, area_m2, reach)) in sized.iter().enumerate() {
        // Larger rings stand before; the last of them around this one is the nearest.
        let around = (0..index).rev().find(|&larger| {
            let (other, other_m2, box_of_other) = sized[larger];
            // Two rings of one size, which may be one ring twice, do not lie in each other.
            other_m2 > area_m2
                && within_box(&reach, &box_of_other)
                && lies_in(rings, number, other, touching)
        });
        let role = match around.map(|larger| (larger, roles[larger])) {
            Some((larger, (ground, Role::Ground))) => {
                holes[larger] += 1;
                Role::HoleIn { ground, hole: holes[larger] }
            }
            Some((_, (_, Role::HoleIn { .. }))) | None => Role::Ground,
        };
        roles.push((number, role));
    }
    roles
}

fn lies_in(rings: &[Ring], inner: usize, outer: usize, touching: &[(usize, usize)]) -> bool {
    let (inner_ring, outer_ring) = (&rings[inner], &rings[outer]);
    if touching.binary_search(&(inner.min(outer), inner.max(outer))).is_ok() {
        return is_within(inner_ring, outer_ring);
    }
    inner_ring.points.first().is_some_and(|&point| is_inside(point, &outer_ring.points))
}

/// Whether a box lies in another, but for the centimetres by which rings may touch.
fn within_box(inner: &[f64; 4], outer: &[f64; 4]) -> bool {
    const SLACK_M: f64 = 0.1;
    inner[0] >= outer[0] - SLACK_M
        && inner[1] >= outer[1] - SLACK_M
        && inner[2] <= outer[2] + SLACK_M
        && inner[3] <= outer[3] + SLACK_M
}
