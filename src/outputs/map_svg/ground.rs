//! The ground on the page: metres of the field's frame, north up, where the map stands and how
//! large it is drawn.

use geo::BoundingRect as _;

use crate::field::{Field, Point};

/// The greatest width and height of the map in pixels.
const ROOM: f64 = 640.0;
/// Vertices nearer to the one before them than this are left out, in pixels.
const SEEN: f64 = 0.2;
/// Ground around the field that is still on the map, as a share of its longer side; samples just
/// outside the boundary are drawn there.
const AROUND: f64 = 0.02;

/// A place on the map in tenths of a metre: to the right, and downwards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Tenths {
    x: i64,
    y: i64,
}

impl Tenths {
    pub(super) fn of(point: Point) -> Self {
        Self { x: (point.x_m * 10.0).round() as i64, y: (-point.y_m * 10.0).round() as i64 }
    }

    /// Appends both numbers in metres.
    pub(super) fn write(self, out: &mut String) {
        write_tenths(out, self.x);
        out.push(' ');
        write_tenths(out, self.y);
    }

    /// Appends both numbers in metres as the attributes of a circle's centre.
    pub(super) fn write_centre(self, out: &mut String) {
        out.push_str("cx=\"");
        write_tenths(out, self.x);
        out.push_str("\" cy=\"");
        write_tenths(out, self.y);
        out.push('"');
    }
}

impl Tenths {
    /// Appends both numbers in metres as the attributes of a place.
    pub(super) fn write_place(self, out: &mut String) {
        out.push_str("x=\"");
        write_tenths(out, self.x);
        out.push_str("\" y=\"");
        write_tenths(out, self.y);
        out.push('"');
    }
}

fn write_tenths(out: &mut String, tenths: i64) {
    if tenths < 0 {
        out.push('-');
    }
    let mut digits = itoa::Buffer::new();
    out.push_str(digits.format(tenths.unsigned_abs() / 10));
    if tenths % 10 != 0 {
        out.push('.');
        out.push_str(digits.format(tenths.unsigned_abs() % 10));
    }
}

/// Where the map stands on the page.
#[derive(Debug)]
pub(super) struct Ground {
    /// The box of the ground on the map in metres of the frame.
    west_m: f64,
    north_m: f64,
    east_m: f64,
    south_m: f64,
    /// Pixels for one metre.
    pub(super) scale: f64,
}

impl Ground {
    pub(super) fn around(field: &Field) -> Self {
        // A field has rings; without one there would be nothing to draw.
        let (low, high) = field.boundary().bounding_rect().map_or(([0.0; 2], [1.0; 2]), |rect| {
            ([rect.min().x, rect.min().y], [rect.max().x, rect.max().y])
        });
        let longer = (high[0] - low[0]).max(high[1] - low[1]);
        let edge = longer * AROUND;
        let scale = ROOM / (longer + 2.0 * edge);
        Self {
            west_m: low[0] - edge,
            south_m: low[1] - edge,
            east_m: high[0] + edge,
            north_m: high[1] + edge,
            scale,
        }
    }

    /// The height of the map in pixels.
    pub(super) fn height(&self) -> f64 {
        (self.north_m - self.south_m) * self.scale
    }

    /// Where the frame's centre lies, in pixels from the upper left corner of a map that stands in
    /// the middle of the room for it.
    pub(super) fn origin(&self) -> [f64; 2] {
        let spare = (ROOM - (self.east_m - self.west_m) * self.scale) / 2.0;
        [spare - self.west_m * self.scale, self.north_m * self.scale]
    }

    pub(super) fn shows(&self, point: Point) -> bool {
        (self.west_m..=self.east_m).contains(&point.x_m)
            && (self.south_m..=self.north_m).contains(&point.y_m)
    }

    /// So many pixels in metres, as text.
    pub(super) fn metres(&self, pixels: f64) -> String {
        format!("{:.3}", pixels / self.scale)
    }

    /// Appends a ring as a closed part of a path. Vertices on a straight line and those too near to
    /// be seen are left out; what is left of it stays a ring.
    pub(super) fn write_ring(&self, out: &mut String, ring: impl Iterator<Item = Point>) {
        let near = (SEEN / self.scale * 10.0) as i64;
        let mut kept: Vec<Tenths> = Vec::new();
        for at in ring.map(Tenths::of) {
            if let Some(last) = kept.last() {
                let (dx, dy) = (at.x - last.x, at.y - last.y);
                if dx * dx + dy * dy <= near * near {
                    continue;
                }
            }
            if let [.., a, b] = kept[..]
                && straight(a, b, at)
            {
                kept.pop();
            }
            kept.push(at);
        }
        if kept.len() < 3 {
            return;
        }
        for (index, at) in kept.iter().enumerate() {
            out.push(if index == 0 { 'M' } else { 'L' });
            at.write(out);
        }
        out.push('Z');
    }
}

/// Whether `b` lies on the straight line from `a` on to `c`, exactly.
fn straight(a: Tenths, b: Tenths, c: Tenths) -> bool {
    let (ux, uy, vx, vy) = (b.x - a.x, b.y - a.y, c.x - b.x, c.y - b.y);
    ux * vy == uy * vx && ux * vx + uy * vy > 0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ground() -> Ground {
        Ground { west_m: -50.0, north_m: 40.0, east_m: 50.0, south_m: -40.0, scale: 6.4 }
    }

    fn ring(corners: &[[f64; 2]]) -> String {
        let mut out = String::new();
        let points = corners.iter().map(|&[x_m, y_m]| Point { x_m, y_m });
        ground().write_ring(&mut out, points);
        out
    }

    #[test]
    fn a_ring_is_written_in_metres_with_north_up() {
        let text = ring(&[[0.0, 0.0], [10.04, 0.0], [10.04, 5.56], [-0.26, 5.0]]);
        assert_eq!(text, "M0 0L10 0L10 -5.6L-0.3 -5Z");
    }

    #[test]
    fn only_corners_of_a_straight_line_are_kept() {
        let text = ring(&[[0.0, 0.0], [5.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]]);
        assert_eq!(text, "M0 0L10 0L10 -10L0 -10Z");
        // A way there and back again is no straight line.
        let text = ring(&[[0.0, 0.0], [10.0, 0.0], [5.0, 0.0], [5.0, 8.0]]);
        assert_eq!(text, "M0 0L10 0L5 0L5 -8Z");
    }

    #[test]
    fn a_circle_of_many_vertices_stays_a_circle() {
        let corners: Vec<[f64; 2]> = (0..200_000)
            .map(|at| {
                let (sin, cos) = (f64::from(at) / 200_000.0 * std::f64::consts::TAU).sin_cos();
                [cos * 30.0, sin * 30.0]
            })
            .collect();
        let text = ring(&corners);
        let inside = text.trim_start_matches('M').trim_end_matches('Z');
        let kept: Vec<Vec<f64>> = inside
            .split('L')
            .map(|at| at.split(' ').map(|part| part.parse().expect("a number")).collect())
            .collect();
        assert!((400..4_000).contains(&kept.len()), "{}", kept.len());
        assert!(kept.iter().all(|at| (at[0].hypot(at[1]) - 30.0).abs() < 0.1));
        assert!(
            kept.windows(2)
                .all(|two| { (two[1][0] - two[0][0]).hypot(two[1][1] - two[0][1]) < 4.0 })
        );
    }
}
