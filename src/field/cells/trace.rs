//! From directed edges to polygons: opposite edges cancel, the rest is traced into rings, holes
//! find their outer ring. All of it in whole steps of longitude and latitude, so it is exact.

use super::PieceRings;

/// A vertex's place in steps of 1e-7 degree.
pub(in crate::field) type Steps = [i64; 2];

/// The polygons whose boundary the edges are, each edge having the inside on its left.
///
/// Rings are open, outer ones counter-clockwise and holes clockwise; each begins at its vertex of
/// lowest number. `None` where the edges do not close, which is a fault.
pub(in crate::field) fn trace_pieces(
    mut edges: Vec<(u32, u32)>,
    steps: &impl Fn(u32) -> Steps,
) -> Option<Vec<PieceRings>> {
    cancel_opposites(&mut edges);
    let mut outers: Vec<(i64, Vec<u32>)> = Vec::new();
    let mut holes = Vec::new();
    for mut ring in trace_rings(&edges, steps)? {
        let lowest =
            ring.iter().enumerate().min_by_key(|&(_, vertex)| vertex).map_or(0, |(at, _)| at);
        ring.rotate_left(lowest);
        match twice_area(&ring, steps) {
            0 => {}
            area if area > 0 => outers.push((area, ring)),
            _ => holes.push(ring),
        }
    }
    let mut pieces: Vec<PieceRings> = outers
        .iter()
        .map(|(_, outer)| PieceRings { outer: outer.clone(), holes: Vec::new() })
        .collect();
    for hole in holes {
        let home = match outers.len() {
            1 => 0,
            count => (0..count)
                .filter(|&index| holds(&outers[index].1, &hole, steps))
                .min_by_key(|&index| outers[index].0)?,
        };
        pieces[home].holes.push(hole);
    }
    Some(pieces)
}

/// Takes out edges of no length and pairs of edges that run to and fro; sorts the rest.
fn cancel_opposites(edges: &mut Vec<(u32, u32)>) {
    edges.retain(|(from, to)| from != to);
    edges.sort_unstable_by_key(|&(from, to)| (from.min(to), from.max(to), from));
    let mut kept = Vec::with_capacity(edges.len());
    for same in edges.chunk_by(|a, b| (a.0.min(a.1), a.0.max(a.1)) == (b.0.min(b.1), b.0.max(b.1)))
    {
        let (from, to) = same[0];
        let forth = same.iter().filter(|&&edge| edge == (from, to)).count();
        let back = same.len() - forth;
        kept.extend(std::iter::repeat_n((from, to), forth.saturating_sub(back)));
        kept.extend(std::iter::repeat_n((to, from), back.saturating_sub(forth)));
    }
    kept.sort_unstable();
    *edges = kept;
}

/// Simple rings: at a vertex of several ways the leftmost is taken, so that no two rings cross,
/// and a ring is cut off as soon as it comes back to a vertex that it has been to.
fn trace_rings(edges: &[(u32, u32)], steps: &impl Fn(u32) -> Steps) -> Option<Vec<Vec<u32>>> {
    let mut used = vec![false; edges.len()];
    // Where a vertex stands on the path, by the first of the edges that leave it.
    let mut on_path: Vec<Option<usize>> = vec![None; edges.len()];
    let first_out = |vertex: u32| edges.partition_point(|&(tail, _)| tail < vertex);
    let mut rings = Vec::new();
    for start in 0..edges.len() {
        if used[start] {
            continue;
        }
        let mut path: Vec<u32> = Vec::new();
        let mut current = start;
        loop {
            used[current] = true;
            let (from, to) = edges[current];
            on_path[first_out(from)] = Some(path.len());
            path.push(from);
            let out = first_out(to);
            if edges.get(out).is_none_or(|&(tail, _)| tail != to) {
                return None;
            }
            if let Some(back) = on_path[out] {
                let ring = path.split_off(back);
                for &vertex in &ring {
                    on_path[first_out(vertex)] = None;
                }
                rings.push(ring);
                if path.is_empty() {
                    break;
                }
            }
            current = leftmost(edges, &used, from, to, steps)?;
        }
    }
    Some(rings)
}

/// The unused edge out of `at` that turns most to the left for one who comes from `from`.
fn leftmost(
    edges: &[(u32, u32)],
    used: &[bool],
    from: u32,
    at: u32,
    steps: &impl Fn(u32) -> Steps,
) -> Option<usize> {
    let first = edges.partition_point(|&(tail, _)| tail < at);
    let ways = (first..edges.len()).take_while(|&index| edges[index].0 == at);
    let mut ways = ways.filter(|&index| !used[index]);
    let mut best = ways.next()?;
    let here = steps(at);
    let direction = |to: u32| {
        let there = steps(to);
        [there[0] - here[0], there[1] - here[1]]
    };
    let back = direction(from);
    for way in ways {
        if is_before_clockwise(back, direction(edges[way].1), direction(edges[best].1)) {
            best = way;
        }
    }
    Some(best)
}

/// Whether, turning clockwise from `start`, one meets `a` before `b`.
fn is_before_clockwise(start: Steps, a: Steps, b: Steps) -> bool {
    let class = |d: Steps| match cross(start, d) {
        turn if turn < 0 => 0,
        0 if start[0] * d[0] + start[1] * d[1] < 0 => 1,
        0 => 3,
        _ => 2,
    };
    let (class_a, class_b) = (class(a), class(b));
    if class_a == class_b { cross(a, b) < 0 } else { class_a < class_b }
}

fn cross(a: Steps, b: Steps) -> i64 {
    a[0] * b[1] - a[1] * b[0]
}

/// Twice the area of an open ring in square steps, positive counter-clockwise.
pub(in crate::field) fn twice_area(ring: &[u32], steps: &impl Fn(u32) -> Steps) -> i64 {
    let Some(&first) = ring.first() else { return 0 };
    let origin = steps(first);
    let local = |vertex: u32| {
        let place = steps(vertex);
        [place[0] - origin[0], place[1] - origin[1]]
    };
    (0..ring.len())
        .map(|index| cross(local(ring[index]), local(ring[(index + 1) % ring.len()])))
        .sum()
}

/// Whether a ring holds another that it does not cross, by the middle of the other's first edge,
/// which lies on no edge of the ring.
fn holds(ring: &[u32], other: &[u32], steps: &impl Fn(u32) -> Steps) -> bool {
    let (p, q) = (steps(other[0]), steps(other[1]));
    let probe = [p[0] + q[0], p[1] + q[1]];
    let mut inside = false;
    for index in 0..ring.len() {
        let from_probe = |vertex: u32| {
            let place = steps(vertex);
            [2 * place[0] - probe[0], 2 * place[1] - probe[1]]
        };
        let (a, b) = (from_probe(ring[index]), from_probe(ring[(index + 1) % ring.len()]));
        if (a[1] > 0) != (b[1] > 0) && (cross(a, b) > 0) == (b[1] > a[1]) {
            inside = !inside;
        }
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Vertices on a lattice of ten columns.
    fn lattice(vertex: u32) -> Steps {
        [i64::from(vertex % 10), i64::from(vertex / 10)]
    }

    fn ring_edges(ring: &[u32]) -> Vec<(u32, u32)> {
        (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()])).collect()
    }

    #[test]
    fn two_squares_side_by_side_become_one() {
        let mut edges = ring_edges(&[0, 1, 11, 10]);
        edges.extend(ring_edges(&[1, 2, 12, 11]));
        let pieces = trace_pieces(edges, &lattice).unwrap();
        assert_eq!(pieces.len(), 1);
        assert_eq!(pieces[0].outer, [0, 1, 2, 12, 11, 10]);
    }

    #[test]
    fn squares_that_touch_at_a_corner_stay_two() {
        let mut edges = ring_edges(&[0, 1, 11, 10]);
        edges.extend(ring_edges(&[11, 12, 22, 21]));
        let pieces = trace_pieces(edges, &lattice).unwrap();
        assert_eq!(pieces.len(), 2);
        assert!(pieces.iter().all(|piece| piece.outer.len() == 4 && piece.holes.is_empty()));
    }

    #[test]
    fn a_hole_that_touches_the_outer_ring_at_a_corner_stays_a_hole() {
        let mut edges = ring_edges(&[0, 4, 44, 40]);
        edges.extend(ring_edges(&[0, 11, 12]));
        // The hole runs clockwise: 0, then (1, 1), then (2, 1).
        let pieces = trace_pieces(edges, &lattice).unwrap();
        assert_eq!(pieces.len(), 1);
        assert_eq!(pieces[0].holes, vec![vec![0, 11, 12]]);
        assert_eq!(pieces[0].outer.len(), 4);
    }

    #[test]
    fn an_island_in_a_hole_is_a_piece_of_its_own() {
        let mut edges = ring_edges(&[0, 9, 99, 90]);
        edges.extend(ring_edges(&[11, 81, 88, 18]));
        edges.extend(ring_edges(&[33, 36, 66, 63]));
        edges.extend(ring_edges(&[44, 54, 55, 45]));
        let pieces = trace_pieces(edges, &lattice).unwrap();
        assert_eq!(pieces.len(), 2);
        assert_eq!(pieces[0].holes, vec![vec![11, 81, 88, 18]]);
        assert_eq!(pieces[1].holes, vec![vec![44, 54, 55, 45]]);
    }

    #[test]
    fn edges_that_do_not_close_are_a_fault() {
        assert!(trace_pieces(vec![(0, 1), (1, 11)], &lattice).is_none());
    }
}
