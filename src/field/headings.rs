//! In which direction a field may be driven, and how many passes that takes.

use geo::MinimumRotatedRect;

use super::cells::grid::exact_sin_cos;
use super::outline::Field;
use super::place::Point;
use crate::units::{Heading, Length};

/// What a likely heading follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Along {
    /// A straight side of the boundary.
    Side,
    /// The long side of the smallest rectangle around the field.
    LongAxis,
}

/// A direction in which a field may well be driven.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LikelyHeading {
    /// The direction, from 0 up to 180 degrees, to a tenth of a degree.
    pub heading: Heading,
    /// What it follows.
    pub along: Along,
    /// How long that is.
    pub length: Length,
}

/// Edges whose directions differ by at most so much make one straight side, in degrees.
const STRAIGHT_DEG: f64 = 1.0;
/// So many of the longest sides are looked at.
const SIDES: usize = 4;

/// The directions of the longest straight sides of the boundary, the longest first, and that of the
/// long axis of the field; each direction once.
pub fn likely_headings(field: &Field) -> Vec<LikelyHeading> {
    let mut sides: Vec<(f64, f64)> =
        field.rings().iter().flat_map(|ring| straight_sides(&ring.points)).collect();
    sides.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut likely: Vec<LikelyHeading> = Vec::new();
    let mut add = |(direction_deg, length_m): (f64, f64), along| {
        let heading = Heading::from_degrees((direction_deg * 10.0).round() / 10.0 % 180.0);
        let degrees = heading.to_degrees();
        if !likely.iter().any(|other| apart_deg(other.heading.to_degrees(), degrees) < STRAIGHT_DEG)
        {
            likely.push(LikelyHeading { heading, along, length: Length::from_metres(length_m) });
        }
    };
    for &side in sides.iter().take(SIDES) {
        add(side, Along::Side);
    }
    if let Some(axis) = long_axis(field) {
        add(axis, Along::LongAxis);
    }
    likely
}

/// The direction in degrees and the length in metres of the long side of the smallest rectangle
/// around a field.
fn long_axis(field: &Field) -> Option<(f64, f64)> {
    let around = field.boundary().minimum_rotated_rect()?;
    let sides = around.exterior().lines().map(|line| {
        let [a, b] = [line.start, line.end].map(|end| Point { x_m: end.x, y_m: end.y });
        (direction_deg(a, b), a.distance_m(b))
    });
    sides.max_by(|a, b| a.1.total_cmp(&b.1))
}

/// The straight sides of an open ring: edges one behind the other that run in one direction.
fn straight_sides(points: &[Point]) -> Vec<(f64, f64)> {
    let edges: Vec<(f64, f64)> = points
        .iter()
        .zip(points.iter().cycle().skip(1))
        .map(|(&a, &b)| (direction_deg(a, b), a.distance_m(b)))
        .collect();
    let is_bend = |at: &usize| {
        let before = edges[(at + edges.len() - 1) % edges.len()];
        apart_deg(before.0, edges[*at].0) > STRAIGHT_DEG
    };
    // A ring begins somewhere; a side that runs on past there begins at a bend.
    let first = (0..edges.len()).find(is_bend).unwrap_or(0);
    let mut sides: Vec<(f64, f64)> = Vec::new();
    for step in 0..edges.len() {
        let edge = edges[(first + step) % edges.len()];
        match sides.last_mut() {
            // Held against the first edge, so that a round side is not taken for a straight one.
            Some(side) if apart_deg(side.0, edge.0) <= STRAIGHT_DEG => side.1 += edge.1,
            _ => sides.push(edge),
        }
    }
    sides
}

/// The direction of a line, whichever way it is driven: from 0 up to 180 degrees from north.
fn direction_deg(a: Point, b: Point) -> f64 {
    (b.x_m - a.x_m).atan2(b.y_m - a.y_m).to_degrees().rem_euclid(180.0)
}

/// How far two directions lie apart, at most 90 degrees.
fn apart_deg(a_deg: f64, b_deg: f64) -> f64 {
    let apart = (a_deg - b_deg).abs() % 180.0;
    apart.min(180.0 - apart)
}

/// How many passes a field takes: the driving lines lie `spacing` apart, the first half of it from
/// the side of the field, and a line that leaves the field and comes back makes another pass.
/// Holes of the boundary part lines; ground that is kept out within it does not.
pub fn passes_at(field: &Field, heading: Heading, spacing: Length) -> usize {
    let (sin, cos) = exact_sin_cos(heading);
    let across = |at: Point| at.x_m * cos - at.y_m * sin;
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for &point in field.rings().iter().flat_map(|ring| &ring.points) {
        (low, high) = (low.min(across(point)), high.max(across(point)));
    }
    let spacing_m = spacing.to_metres();
    let line_m = |number: usize| low + (number as f64 + 0.5) * spacing_m;
    let mut crossings = vec![0_usize; ((high - low) / spacing_m).ceil() as usize];
    for ring in field.rings() {
        for (&a, &b) in ring.points.iter().zip(ring.points.iter().cycle().skip(1)) {
            let (from, to) = (across(a).min(across(b)), across(a).max(across(b)));
            // A line through a vertex belongs to the edge that begins there.
            let first = ((from - low) / spacing_m - 0.5).ceil().max(0.0) as usize;
            for (number, count) in crossings.iter_mut().enumerate().skip(first) {
                if line_m(number) >= to {
                    break;
                }
                *count += usize::from(line_m(number) >= from);
            }
        }
    }
    crossings.iter().map(|count| count / 2).sum()
}

#[cfg(test)]
mod tests {
    use super::super::cells::tests::field_at;
    use super::*;

    fn passes(field: &Field, heading_deg: f64, spacing_m: f64) -> usize {
        passes_at(field, Heading::from_degrees(heading_deg), Length::from_metres(spacing_m))
    }

    fn rectangle(turned_deg: f64) -> Field {
        let (sin, cos) = turned_deg.to_radians().sin_cos();
        let corners = [[-300.0, -60.0], [300.0, -60.0], [300.0, 60.0], [-300.0, 60.0]];
        let turned = corners.map(|[x, y]: [f64; 2]| [x * cos + y * sin, y * cos - x * sin]);
        field_at((8.0, 48.0), &turned, &[])
    }

    #[test]
    fn a_rectangle_takes_its_width_over_the_spacing() {
        let field = rectangle(0.0);
        // 600 m by 120 m, the long side to the east.
        assert_eq!((passes(&field, 90.0, 12.0), passes(&field, 0.0, 12.0)), (10, 50));
        assert_eq!((passes(&field, 270.0, 12.0), passes(&field, 180.0, 12.0)), (10, 50));
        // What is left is driven where it is wider than half the spacing: 120 m are 8.57 of 14 m,
        // and 8.3 of 14.4 m.
        assert_eq!((passes(&field, 90.0, 14.0), passes(&field, 90.0, 14.4)), (9, 8));
    }

    #[test]
    fn a_line_that_leaves_the_field_and_comes_back_is_two_passes() {
        // A bay of 100 m from the north, 60 m deep; and a hole.
        let bay = [
            [0.0, 0.0],
            [300.0, 0.0],
            [300.0, 100.0],
            [200.0, 100.0],
            [200.0, 40.0],
            [100.0, 40.0],
            [100.0, 100.0],
            [0.0, 100.0],
        ];
        let field = field_at((8.0, 48.0), &bay, &[]);
        // To the east: 4 lines of 10 m below the bay, 6 that it parts.
        assert_eq!(passes(&field, 90.0, 10.0), 4 + 2 * 6);
        assert_eq!(passes(&field, 0.0, 10.0), 30);
        let outer = [[0.0, 0.0], [300.0, 0.0], [300.0, 100.0], [0.0, 100.0]];
        let hole = vec![[100.0, 41.0], [200.0, 41.0], [200.0, 59.0], [100.0, 59.0]];
        let field = field_at((8.0, 48.0), &outer, &[hole]);
        // The lines at 45 and 55 m.
        assert_eq!(passes(&field, 90.0, 10.0), 12);
    }

    #[test]
    fn the_longest_side_and_the_long_axis_are_found_whichever_way_they_lie() {
        for turned_deg in [0.0, 17.0, 60.0, 90.0, 133.0] {
            let likely = likely_headings(&rectangle(turned_deg));
            let expected = (90.0_f64 + turned_deg) % 180.0;
            let first = likely[0];
            assert_eq!(first.along, Along::Side);
            assert!((first.length.to_metres() - 600.0).abs() < 0.1, "{likely:?}");
            assert!(apart_deg(first.heading.to_degrees(), expected) < 0.11, "{likely:?}");
            // The short side, and no third: the axis is the long side.
            assert_eq!(likely.len(), 2, "{likely:?}");
        }
        // A triangle's long axis is that of its longest side; a parallelogram's is its own.
        let slanted = [[0.0, 0.0], [100.0, 0.0], [400.0, 300.0], [300.0, 300.0]];
        let likely = likely_headings(&field_at((8.0, 48.0), &slanted, &[]));
        assert!(likely.iter().any(|one| apart_deg(one.heading.to_degrees(), 45.0) < 0.2));
    }

    #[test]
    fn a_side_of_many_edges_is_one_and_a_round_one_is_none() {
        let mut long: Vec<Point> =
            (0..=20).map(|x| Point { x_m: f64::from(x) * 10.0, y_m: 0.0 }).collect();
        long.extend([Point { x_m: 200.0, y_m: 50.0 }, Point { x_m: 0.0, y_m: 50.0 }]);
        // The ring begins in the middle of the side.
        long.rotate_left(7);
        let longest = straight_sides(&long).into_iter().map(|side| side.1).fold(0.0, f64::max);
        assert!((longest - 200.0).abs() < 1e-9);
        let round: Vec<Point> = (0..360)
            .map(|step| f64::from(step).to_radians().sin_cos())
            .map(|(sin, cos)| Point { x_m: 100.0 * cos, y_m: 100.0 * sin })
            .collect();
        let longest = straight_sides(&round).into_iter().map(|side| side.1).fold(0.0, f64::max);
        assert!(longest < 6.0, "{longest}");
    }
}
