//! Polygons of a task data file.

use super::xml::{Xml, degrees};
use crate::field::{Frame, LonLat, Point};
use crate::outputs::load::{PolygonE7, RingE7};
use crate::units::Area;

/// Polygon types (ISO 11783-10:2015, D.39, and `ISO11783_Common_V4-3.xsd`): a partfield's boundary.
pub(super) const PARTFIELD: u8 = 1;
/// A treatment zone.
pub(super) const ZONE: u8 = 2;
/// An obstacle, which is taken from the ground that is worked: what a job keeps out may be a well,
/// a yard or a waterway, and does not say which.
pub(super) const KEPT_OUT: u8 = 6;

/// Types of a polygon's rings: its outside, and a hole in it.
const OUTSIDE: u8 = 1;
const HOLE: u8 = 2;
/// The type of a point that is only a corner: other.
const CORNER: &str = "2";

/// Writes each polygon as one element of one surface, as version 4 of the standard asks.
pub(super) fn write_polygons(xml: &mut Xml, kind: u8, name: Option<&str>, polygons: &[PolygonE7]) {
    for polygon in polygons {
        let attributes = [("A", Some(kind.to_string())), ("B", name.map(str::to_owned))];
        xml.element("PLN", &attributes, |xml| {
            write_ring(xml, OUTSIDE, &polygon.outer);
            for hole in &polygon.holes {
                write_ring(xml, HOLE, hole);
            }
        });
    }
}

/// A ring is closed: its first point stands again at its end.
fn write_ring(xml: &mut Xml, kind: u8, ring: &RingE7) {
    xml.element("LSG", &[("A", Some(kind.to_string()))], |xml| {
        for [lon, lat] in ring.iter().chain(ring.first()) {
            let attributes = [
                ("A", Some(CORNER.to_owned())),
                ("C", Some(degrees(*lat))),
                ("D", Some(degrees(*lon))),
            ];
            xml.leaf("PNT", &attributes);
        }
    });
}

/// The true area of polygons, between straight lines in a frame of equal areas.
pub(super) fn area_of(polygons: &[PolygonE7]) -> Area {
    let place = |&[lon, lat]: &[i32; 2]| LonLat {
        lon_deg: f64::from(lon) / 1e7,
        lat_deg: f64::from(lat) / 1e7,
    };
    let Some(first) = polygons.first().and_then(|polygon| polygon.outer.first()) else {
        return Area::ZERO;
    };
    let frame = Frame::centred_on(place(first));
    let ring_m2 = |ring: &RingE7| {
        let corners: Vec<Point> = ring.iter().map(|corner| frame.forward(place(corner))).collect();
        let next = corners.iter().cycle().skip(1);
        let doubled = corners.iter().zip(next).map(|(a, b)| a.x_m * b.y_m - b.x_m * a.y_m);
        doubled.sum::<f64>().abs() / 2.0
    };
    let m2 = |polygon: &PolygonE7| {
        ring_m2(&polygon.outer) - polygon.holes.iter().map(ring_m2).sum::<f64>()
    };
    Area::from_square_metres(polygons.iter().map(m2).sum())
}
