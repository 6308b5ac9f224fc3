//! Which cell holds a place.

use super::{Cells, Shape};
use crate::field::place::LonLat;

impl Cells {
    /// The number of the cell that holds `place`, by the outlines as they are written; `None`
    /// where no cell does. A place on a border belongs to one of its cells.
    pub fn find(&self, place: LonLat) -> Option<usize> {
        let at = [place.lon_deg * 1e7, place.lat_deg * 1e7];
        self.list.iter().position(|cell| match &cell.shape {
            Shape::Whole(corners) => self.crossings(corners, at) % 2 == 1,
            Shape::Cut(pieces) => pieces.iter().any(|piece| {
                piece.rings().map(|ring| self.crossings(ring, at)).sum::<usize>() % 2 == 1
            }),
        })
    }

    /// How many edges of a ring a line from the place to the east crosses.
    fn crossings(&self, ring: &[u32], [x, y]: [f64; 2]) -> usize {
        let corner = |index: usize| {
            let vertex = &self.vertices[ring[index % ring.len()] as usize];
            [f64::from(vertex.lon_e7), f64::from(vertex.lat_e7)]
        };
        (0..ring.len())
            .filter(|&index| {
                let ([x1, y1], [x2, y2]) = (corner(index), corner(index + 1));
                (y1 > y) != (y2 > y) && x < x1 + (y - y1) / (y2 - y1) * (x2 - x1)
            })
            .count()
    }
}
