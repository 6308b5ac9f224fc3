//! The place in a cell at which its soil is read off the map.

use geo::{Coord, InteriorPoint, LineString, Polygon};

use super::{PieceRings, Vertex};
use crate::field::edges::is_inside;
use crate::field::place::Point;

/// The centroid of the pieces, weighted by area, if it lies inside one of them; else a point
/// inside the largest piece.
pub(super) fn find_value_point(pieces: &[PieceRings], vertices: &[Vertex]) -> Option<Point> {
    let points = |ring: &[u32]| -> Vec<Point> {
        ring.iter().map(|&vertex| vertices[vertex as usize].point).collect()
    };
    let origin = vertices[*pieces.first()?.outer.first()? as usize].point;
    let mut sums = [0.0; 3];
    let mut largest: Option<(f64, usize)> = None;
    for (index, piece) in pieces.iter().enumerate() {
        let mut area = 0.0;
        for ring in piece.rings() {
            let part = moments(&points(ring), origin);
            area += part[0];
            for (sum, value) in sums.iter_mut().zip(part) {
                *sum += value;
            }
        }
        if largest.is_none_or(|(most, _)| area > most) {
            largest = Some((area, index));
        }
    }
    let centroid = Point {
        x_m: origin.x_m + sums[1] / (3.0 * sums[0]),
        y_m: origin.y_m + sums[2] / (3.0 * sums[0]),
    };
    let holding = pieces
        .iter()
        .flat_map(PieceRings::rings)
        .filter(|ring| is_inside(centroid, &points(ring)))
        .count();
    if sums[0] > 0.0 && holding % 2 == 1 {
        return Some(centroid);
    }
    let (_, index) = largest?;
    let line = |ring: &[u32]| -> LineString<f64> {
        LineString(points(ring).into_iter().map(|p| Coord { x: p.x_m, y: p.y_m }).collect())
    };
    let holes = pieces[index].holes.iter().map(|hole| line(hole)).collect();
    let inside = Polygon::new(line(&pieces[index].outer), holes).interior_point()?;
    Some(Point { x_m: inside.x(), y_m: inside.y() })
}

/// Twice the area of a ring, and six times its first moments about `origin`.
fn moments(ring: &[Point], origin: Point) -> [f64; 3] {
    let mut sums = [0.0; 3];
    for (index, a) in ring.iter().enumerate() {
        let b = ring[(index + 1) % ring.len()];
        let (ax, ay) = (a.x_m - origin.x_m, a.y_m - origin.y_m);
        let (bx, by) = (b.x_m - origin.x_m, b.y_m - origin.y_m);
        let cross = ax * by - bx * ay;
        sums[0] += cross;
        sums[1] += cross * (ax + bx);
        sums[2] += cross * (ay + by);
    }
    sums
}

/// The area of a piece in the frame, in square metres.
pub(super) fn piece_area_m2(piece: &PieceRings, vertices: &[Vertex]) -> f64 {
    let Some(&first) = piece.outer.first() else { return 0.0 };
    let origin = vertices[first as usize].point;
    let twice: f64 = piece
        .rings()
        .map(|ring| {
            let points: Vec<Point> =
                ring.iter().map(|&vertex| vertices[vertex as usize].point).collect();
            moments(&points, origin)[0]
        })
        .sum();
    twice / 2.0
}
