//! One ring of an outline.

use super::box_tree::Reach;
use super::place::{LonLat, Point};

/// Rings of one boundary that reach into each other by less than this count as touching, in
/// metres: two steps of coordinates with seven decimals.
pub(super) const TOUCHING_M: f64 = 0.022;

/// One ring of an outline, open; once the field is laid out, with the field on its left.
#[derive(Clone, Debug)]
pub(super) struct Ring {
    /// The feature of the file that it came from, from 1.
    pub(super) feature: usize,
    /// Which polygon of the boundary, from 0.
    pub(super) polygon: usize,
    /// 0 for the outer ring, otherwise the number of the hole.
    pub(super) hole: usize,
    /// Its number among the rings of its feature, from 1, where the file does not say which of
    /// them are holes.
    pub(super) unsorted: Option<usize>,
    /// Its vertices in degrees: those of the file, and between them those put on long edges.
    pub(super) places: Vec<LonLat>,
    /// The same vertices in metres.
    pub(super) points: Vec<Point>,
}

impl Ring {
    /// What the ring is called in a sentence.
    pub(super) fn in_words(&self) -> String {
        match (self.unsorted, self.hole) {
            (Some(number), _) => format!("ring {number}"),
            (None, 0) => "the outer ring".into(),
            (None, hole) => format!("hole {hole}"),
        }
    }

    /// The area that the ring encloses, in square metres, positive where it runs
    /// counter-clockwise.
    pub(super) fn signed_area_m2(&self) -> f64 {
        signed_area_m2(&self.points)
    }

    /// The length of the ring in metres.
    pub(super) fn length_m(&self) -> f64 {
        let next = self.points.iter().cycle().skip(1);
        self.points.iter().zip(next).map(|(a, b)| a.distance_m(*b)).sum()
    }

    /// The box around the ring: least x and y, greatest x and y.
    pub(super) fn reach(&self) -> Reach {
        reach_of(&self.points)
    }
}

/// The area that an open ring encloses, in square metres, positive where it runs counter-clockwise.
pub(super) fn signed_area_m2(points: &[Point]) -> f64 {
    let count = points.len();
    let twice: f64 = (0..count)
        .map(|index| {
            let (a, b) = (points[index], points[(index + 1) % count]);
            a.x_m * b.y_m - b.x_m * a.y_m
        })
        .sum();
    twice / 2.0
}

/// The box around points: least x and y, greatest x and y.
pub(super) fn reach_of(points: &[Point]) -> Reach {
    let start = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
    points
        .iter()
        .fold(start, |b, p| [b[0].min(p.x_m), b[1].min(p.y_m), b[2].max(p.x_m), b[3].max(p.y_m)])
}
