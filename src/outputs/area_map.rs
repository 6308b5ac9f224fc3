//! The rate map with one feature for each area of one rate.

use std::io::{self, Write};

use super::rate_map::{Corners, MapUnits, PH, SAMPLE_ZONE, box_around, map_head, write_text};
use super::rate_map_keys::Key;
use crate::field::{Cells, PieceRings};

/// The number of an area.
pub(super) const RATE_AREA: &str = "rate_area";
/// The round along the boundary that an area belongs to.
pub(super) const END_ROW: &str = "end_row";

/// What a map says of one area, in the units of the map.
#[derive(Clone, Copy, Debug)]
pub struct MapArea<'a> {
    /// Its sample zone, where the samples are of zones; `None` where it lies in none.
    pub zone: Option<&'a str>,
    /// The round along the boundary that it is of, from 1; `None` within them.
    pub round: Option<u32>,
    /// Its area.
    pub area: f64,
    /// The mean of its soil's pH.
    pub ph: f64,
    /// The mean of what it needs.
    pub need: f64,
    /// Its rate.
    pub rate: f64,
    /// The product that it gets.
    pub product: f64,
    /// The mean of what is left out.
    pub unmet: f64,
    /// Its polygons.
    pub shape: &'a [PieceRings],
}

/// Writes the map: one feature for each area, numbered from 1 in their order.
///
/// `zones` tells whether there are sample zones, `rounds` whether there are rounds along the
/// boundary.
///
/// # Errors
/// Returns the error of `out`.
pub fn write_area_map(
    out: &mut dyn Write,
    cells: &Cells,
    areas: &[MapArea<'_>],
    (zones, rounds): (bool, bool),
    caveat: Option<&str>,
    units: &MapUnits,
) -> io::Result<()> {
    let corners = Corners::format(cells);
    let outer = areas.iter().flat_map(|area| area.shape).map(|piece| piece.outer.as_slice());
    let mut text = map_head(box_around(cells, outer), caveat);
    let mut digits = itoa::Buffer::new();
    for (index, area) in areas.iter().enumerate() {
        let head = ["{\"type\":\"Feature\",\"properties\":{\"", RATE_AREA, "\":"];
        for part in head {
            text.extend_from_slice(part.as_bytes());
        }
        text.extend_from_slice(digits.format(index + 1).as_bytes());
        if zones {
            key(&mut text, SAMPLE_ZONE);
            match area.zone {
                Some(name) => write_text(&mut text, name),
                None => text.extend_from_slice(b"null"),
            }
        }
        if rounds {
            key(&mut text, END_ROW);
            match area.round {
                Some(round) => text.extend_from_slice(digits.format(round).as_bytes()),
                None => text.extend_from_slice(b"null"),
            }
        }
        Key::of(units.area).write(&mut text, area.area);
        Key::of(PH).write(&mut text, area.ph);
        Key::of(units.need).write(&mut text, area.need);
        Key::of(units.rate).write(&mut text, area.rate);
        Key::of(units.product).write(&mut text, area.product);
        Key::of(units.unmet).write(&mut text, area.unmet);
        text.extend_from_slice(b"},\"geometry\":");
        corners.write_pieces(&mut text, area.shape);
        let last = index + 1 == areas.len();
        text.extend_from_slice(if last { b"}\n" } else { b"},\n" });
    }
    text.extend_from_slice(b"]}\n");
    out.write_all(&text)
}

fn key(out: &mut Vec<u8>, name: &str) {
    for part in [",\"", name, "\":"] {
        out.extend_from_slice(part.as_bytes());
    }
}
