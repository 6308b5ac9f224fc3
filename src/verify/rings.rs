//! The area inside the rings of one polygon, whichever way they run.

use crate::field::Point;

/// The area of a polygon in square metres: a ring that lies in an odd number of the others is a
/// hole (even-odd).
pub(super) fn polygon_m2(rings: &[Vec<Point>]) -> f64 {
    if let [only] = rings {
        return signed_m2(only).abs();
    }
    let inside = |at: usize| {
        let others = rings.iter().enumerate().filter(|(other, _)| *other != at);
        others.filter(|(_, other)| lies_in(&rings[at], other)).count()
    };
    let sign = |at: usize| if inside(at).is_multiple_of(2) { 1.0 } else { -1.0 };
    rings.iter().enumerate().map(|(at, ring)| sign(at) * signed_m2(ring).abs()).sum()
}

/// Positive where the ring runs counter-clockwise; measured from its first corner, so that the
/// digits of far-off coordinates do not count.
fn signed_m2(ring: &[Point]) -> f64 {
    let Some(first) = ring.first() else { return 0.0 };
    let from = |point: &Point| (point.x_m - first.x_m, point.y_m - first.y_m);
    let twice: f64 = ring
        .windows(2)
        .map(|edge| {
            let ((ax, ay), (bx, by)) = (from(&edge[0]), from(&edge[1]));
            ax * by - bx * ay
        })
        .sum();
    twice / 2.0
}

/// Whether most corners and middles of edges of `ring` lie in `other`: rings of one polygon may
/// touch in some of them.
fn lies_in(ring: &[Point], other: &[Point]) -> bool {
    let middles = ring.windows(2).map(|edge| Point {
        x_m: f64::midpoint(edge[0].x_m, edge[1].x_m),
        y_m: f64::midpoint(edge[0].y_m, edge[1].y_m),
    });
    let points: Vec<Point> = ring.iter().copied().chain(middles).collect();
    let inside = points.iter().filter(|point| holds(other, **point)).count();
    inside * 2 > points.len()
}

/// Whether a ray from the point to the east crosses the ring an odd number of times.
fn holds(ring: &[Point], point: Point) -> bool {
    let count = ring.len();
    let crosses = |at: &usize| {
        let (a, b) = (ring[*at], ring[(*at + 1) % count]);
        (a.y_m > point.y_m) != (b.y_m > point.y_m)
            && point.x_m < (b.x_m - a.x_m) * (point.y_m - a.y_m) / (b.y_m - a.y_m) + a.x_m
    };
    !(0..count).filter(crosses).count().is_multiple_of(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(west: f64, south: f64, side: f64) -> Vec<Point> {
        [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]
            .map(|[x, y]| Point { x_m: west + x * side, y_m: south + y * side })
            .to_vec()
    }

    #[test]
    fn holes_parts_and_islands_count_whatever_their_direction() {
        let closed = |mut ring: Vec<Point>| {
            ring.push(ring[0]);
            ring
        };
        let outer = square(0.0, 0.0, 100.0);
        let hole = square(20.0, 20.0, 40.0);
        let island = square(30.0, 30.0, 10.0);
        let apart = square(200.0, 0.0, 10.0);
        for turned in [false, true] {
            let mut hole = hole.clone();
            if turned {
                hole.reverse();
            }
            let rings = [&outer, &hole, &island, &apart].map(|ring| closed(ring.clone()));
            assert_eq!(polygon_m2(&rings), 10_000.0 - 1_600.0 + 100.0 + 100.0);
        }
        // A hole that touches the outline in two of its corners is still one.
        let touching = vec![
            Point { x_m: 0.0, y_m: 50.0 },
            Point { x_m: 50.0, y_m: 0.0 },
            Point { x_m: 60.0, y_m: 60.0 },
        ];
        let area = signed_m2(&closed(touching.clone())).abs();
        assert_eq!(polygon_m2(&[closed(outer), closed(touching)]), 10_000.0 - area);
    }
}
