//! Where a place lies that no cell holds.

use geo::{Contains, Point as GeoPoint};

use super::edges::Edges;
use super::outline::Field;
use super::place::Point;
use super::regions::Partition;
use crate::units::Length;

/// Where a place lies in respect of a field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Whereabouts {
    /// On ground that is mapped.
    InField,
    /// On ground that is kept out of the map.
    KeptOut,
    /// In a hole of the boundary.
    InHole,
    /// Outside the boundary, so far from it.
    Outside(Length),
}

/// Where `point` lies.
pub fn whereabouts(field: &Field, partition: &Partition, point: Point) -> Whereabouts {
    let outline = field.edges();
    if outline.hold(point) {
        let kept_out = partition.keep_out.contains(&GeoPoint::new(point.x_m, point.y_m));
        return if kept_out { Whereabouts::KeptOut } else { Whereabouts::InField };
    }
    if field.rings().iter().any(|ring| Edges::of([ring.points.as_slice()]).hold(point)) {
        return Whereabouts::InHole;
    }
    Whereabouts::Outside(Length::from_metres(outline.distance_m(point)))
}
