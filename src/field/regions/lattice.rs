//! Whole-number geometry: exact answers about points on a lattice of a thousandth of a millimetre.

use std::cmp::Ordering;

use crate::field::place::Point;

/// Steps of the lattice in one metre. Coarse against the noise of arithmetic in metres, fine
/// against everything that is measured.
pub(super) const STEPS_PER_METRE: f64 = 1e6;

/// How far from the frame's centre places may lie, in metres: so far, the products of three
/// differences stay within 128 bits.
pub(super) const REACH_M: f64 = 1e6;

/// A place on the lattice.
pub(super) type Peg = [i64; 2];

/// The peg nearest to a point.
pub(super) fn peg_of(point: Point) -> Peg {
    [point.x_m, point.y_m].map(|metres| (metres * STEPS_PER_METRE).round() as i64)
}

/// The point at a peg.
pub(super) fn point_at(peg: Peg) -> Point {
    let [x_m, y_m] = peg.map(|steps| steps as f64 / STEPS_PER_METRE);
    Point { x_m, y_m }
}

/// The vector from one peg to another.
pub(super) fn way(from: Peg, to: Peg) -> [i128; 2] {
    [i128::from(to[0]) - i128::from(from[0]), i128::from(to[1]) - i128::from(from[1])]
}

/// The cross product: positive where `b` turns to the left of `a`.
pub(super) fn cross(a: [i128; 2], b: [i128; 2]) -> i128 {
    a[0] * b[1] - a[1] * b[0]
}

/// Where the insides of two edges cross, rounded to the lattice; `None` where they do not cross,
/// or only meet at an end of one of them.
pub(super) fn crossing((a, b): (Peg, Peg), (c, d): (Peg, Peg)) -> Option<Peg> {
    let (along, across) = (way(a, b), way(c, d));
    let sides = [
        cross(along, way(a, c)).signum() * cross(along, way(a, d)).signum(),
        cross(across, way(c, a)).signum() * cross(across, way(c, b)).signum(),
    ];
    if sides != [-1, -1] {
        return None;
    }
    let (mut part, mut whole) = (cross(way(a, c), across), cross(along, across));
    if whole < 0 {
        (part, whole) = (-part, -whole);
    }
    let at = |axis: usize| {
        let offset = (2 * part * along[axis] + whole).div_euclid(2 * whole);
        a[axis] + offset as i64
    };
    Some([at(0), at(1)])
}

/// Whether the edge from `a` to `b` passes through the unit square around a peg.
pub(super) fn passes(a: Peg, b: Peg, peg: Peg) -> bool {
    for axis in 0..2 {
        let (low, high) = (a[axis].min(b[axis]), a[axis].max(b[axis]));
        if peg[axis] < low || peg[axis] > high {
            return false;
        }
    }
    let along = way(a, b);
    // Twice the cross products with the corners of the square, which are half a step away.
    let middle = 2 * cross(along, way(a, peg));
    let reach = along[0].abs() + along[1].abs();
    middle.abs() <= reach
}

/// The order of two directions by their angle from east, counter-clockwise.
pub(super) fn by_angle(a: [i128; 2], b: [i128; 2]) -> Ordering {
    let is_lower = |v: [i128; 2]| v[1] < 0 || (v[1] == 0 && v[0] < 0);
    is_lower(a).cmp(&is_lower(b)).then_with(|| 0.cmp(&cross(a, b)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn edges_cross_inside_only() {
        assert_eq!(crossing(([0, 0], [10, 10]), ([0, 10], [10, 0])), Some([5, 5]));
        assert_eq!(crossing(([0, 10], [10, 0]), ([0, 0], [10, 10])), Some([5, 5]));
        assert_eq!(crossing(([0, 0], [10, 10]), ([5, 5], [10, 0])), None);
        assert_eq!(crossing(([0, 0], [10, 0]), ([3, 0], [20, 0])), None);
        assert_eq!(crossing(([0, 0], [3, 1]), ([1, -5], [1, 5])), Some([1, 0]));
    }

    #[test]
    fn an_edge_passes_through_squares_within_half_a_step() {
        assert!(passes([0, 0], [100, 1], [50, 0]) && passes([0, 0], [100, 1], [50, 1]));
        assert!(!passes([0, 0], [100, 1], [20, 1]) && !passes([0, 0], [100, 1], [101, 1]));
    }

    #[test]
    fn directions_are_ordered_from_east_to_the_left() {
        let mut ways = [[0, -1], [-1, -1], [-1, 0], [0, 1], [1, 1], [1, 0], [1, -1]];
        ways.sort_by(|a, b| by_angle(*a, *b));
        assert_eq!(ways, [[1, 0], [1, 1], [0, 1], [-1, 0], [-1, -1], [0, -1], [1, -1]]);
    }
}
