//! Rings of which the file does not say which are holes: where one lies tells.

use std::collections::BTreeMap;

use super::super::ring::Ring;
use super::super::ring_tree::RingTree;
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

/// What each of `members`, the numbers of one shape's rings in `tree`, is, the largest ring first.
fn find_roles(
    rings: &[Ring],
    members: &[usize],
    touching: &[(usize, usize)],
) -> Vec<(usize, Role)> {
    let own: Vec<Ring> = members.iter().map(|&number| rings[number].clone()).collect();
    let tree = RingTree::of(&own);
    let sizes: Vec<f64> = own.iter().map(|ring| ring.signed_area_m2().abs()).collect();
    let mut order: Vec<usize> = (0..own.len()).collect();
    order.sort_by(|&a, &b| sizes[b].total_cmp(&sizes[a]).then(a.cmp(&b)));
    let mut rank = vec![0; own.len()];
    for (place, &at) in order.iter().enumerate() {
        rank[at] = place;
    }
    let mut roles: Vec<Option<Role>> = vec![None; own.len()];
    let mut holes = vec![0; own.len()];
    for &at in &order {
        // Larger rings stand before; the last of them around this one is the nearest. Two rings of
        // one size, which may be one ring twice, do not lie in each other.
        let mut larger: Vec<usize> =
            tree.near(at).filter(|&other| sizes[other] > sizes[at]).collect();
        larger.sort_by_key(|&other| std::cmp::Reverse(rank[other]));
        let around = larger.into_iter().find(|&other| {
            let pair = [members[at].min(members[other]), members[at].max(members[other])];
            let touch = touching.binary_search(&(pair[0], pair[1])).is_ok();
            tree.lies_in(at, other, touch)
        });
        roles[at] = Some(match around.map(|larger| (larger, roles[larger])) {
            Some((larger, Some(Role::Ground))) => {
                holes[larger] += 1;
                Role::HoleIn { ground: members[larger], hole: holes[larger] }
            }
            Some((_, _)) | None => Role::Ground,
        });
    }
    order.into_iter().filter_map(|at| Some((members[at], roles[at]?))).collect()
}
