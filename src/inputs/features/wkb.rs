//! Reading well-known binary: the geometry of GeoPackage and GeoParquet.
//!
//! OGC Simple Feature Access, part 1 (OGC 06-103r4, 2011), clause 8, and the flags for Z, M and
//! a system that were in use before it. Counts are never trusted: every part that they promise has
//! to be there before anything is kept for it.

use super::model::RawGeometry;
use crate::inputs::{RawPoint, RawPolygon, RingsSorted};
use crate::units::LIMITS;

/// Flags in the type of a geometry, from before the standard had heights.
const HAS_Z: u32 = 0x8000_0000;
const HAS_M: u32 = 0x4000_0000;
const HAS_SYSTEM: u32 = 0x2000_0000;
/// The standard adds one of these to the type for Z, M, and both.
const STEP: u32 = 1000;

const POINT: u32 = 1;
const LINE: u32 = 2;
const POLYGON: u32 = 3;
const MULTI_POINT: u32 = 4;
const MULTI_LINE: u32 = 5;
const MULTI_POLYGON: u32 = 6;
const COLLECTION: u32 = 7;

/// Reads the geometry of the feature with this number. Heights and measures are left out.
///
/// # Errors
/// Says what is wrong with bytes that are cut off, too many, of a kind that is not read, nested too
/// deep, or hold a number that is not finite.
pub(super) fn read_wkb(bytes: &[u8], feature: usize) -> Result<RawGeometry, String> {
    let mut raw = RawGeometry::default();
    let mut reader = Reader { bytes, feature };
    reader.geometry(&mut raw, None, 1)?;
    if !reader.bytes.is_empty() {
        return Err(format!("{} bytes follow its geometry", reader.bytes.len()));
    }
    Ok(raw)
}

struct Reader<'b> {
    /// What is left.
    bytes: &'b [u8],
    feature: usize,
}

/// How the numbers of one geometry stand.
#[derive(Clone, Copy)]
struct Layout {
    least_first: bool,
    /// Numbers for each place: 2 to 4.
    numbers: usize,
}

impl Reader<'_> {
    /// Reads one geometry with all its parts; in a geometry of many, each has to be `of_kind`.
    fn geometry(
        &mut self,
        raw: &mut RawGeometry,
        of_kind: Option<u32>,
        depth: usize,
    ) -> Result<(), String> {
        if depth > LIMITS.nesting {
            return Err(format!("its geometry is nested more than {} deep", LIMITS.nesting));
        }
        let least_first = match self.take::<1>()? {
            [0] => false,
            [1] => true,
            [other] => return Err(format!("its geometry has the byte order {other}, not 0 or 1")),
        };
        let code = self.whole(least_first)?;
        if code & HAS_SYSTEM != 0 {
            return Err("its geometry names a coordinate system of its own".into());
        }
        let flags = code & (HAS_Z | HAS_M);
        let (kind, step) = ((code & !flags) % STEP, (code & !flags) / STEP);
        let more = match (step, flags) {
            (0, flags) => flags.count_ones() as usize,
            (1 | 2, 0) => 1,
            (3, 0) => 2,
            _ => return Err(format!("its geometry is of the unknown type {code}")),
        };
        if of_kind.is_some_and(|wanted| wanted != kind) {
            return Err(format!("a part of its geometry is of the wrong type {code}"));
        }
        let layout = Layout { least_first, numbers: 2 + more };
        match kind {
            POINT => raw.points.extend(self.point(layout)?),
            LINE => raw.lines.extend(Some(self.line(layout)?).filter(|line| !line.is_empty())),
            POLYGON => raw.areas.extend(self.polygon(layout)?),
            MULTI_POINT | MULTI_LINE | MULTI_POLYGON | COLLECTION => {
                let parts = match kind {
                    MULTI_POINT => Some(POINT),
                    MULTI_LINE => Some(LINE),
                    MULTI_POLYGON => Some(POLYGON),
                    _ => None,
                };
                for _ in 0..self.whole(least_first)? {
                    self.geometry(raw, parts, depth + 1)?;
                }
            }
            8..=17 => {
                return Err(format!(
                    "its geometry is a curve or surface (type {code}); {}",
                    "only points, lines and polygons are read"
                ));
            }
            _ => return Err(format!("its geometry is of the unknown type {code}")),
        }
        Ok(())
    }

    fn polygon(&mut self, layout: Layout) -> Result<Option<RawPolygon>, String> {
        let rings = self.whole(layout.least_first)?;
        if rings == 0 {
            return Ok(None);
        }
        let outer = self.line(layout)?;
        let mut holes = Vec::new();
        for _ in 1..rings {
            holes.push(self.line(layout)?);
        }
        if outer.is_empty() && holes.iter().all(Vec::is_empty) {
            return Ok(None);
        }
        Ok(Some(RawPolygon { feature: self.feature, outer, holes, sorted: RingsSorted::ByTheFile }))
    }

    fn line(&mut self, layout: Layout) -> Result<Vec<RawPoint>, String> {
        let count = self.whole(layout.least_first)? as usize;
        if count > self.bytes.len() / (8 * layout.numbers) {
            return Err(cut_off());
        }
        (0..count)
            .map(|_| {
                let [x, y] = self.place(layout)?;
                if x.is_finite() && y.is_finite() {
                    Ok([x, y])
                } else {
                    Err(format!("a coordinate is not finite: {x}, {y}"))
                }
            })
            .collect()
    }

    /// A point; one without a place has no number in it.
    fn point(&mut self, layout: Layout) -> Result<Option<RawPoint>, String> {
        match self.place(layout)? {
            [x, y] if x.is_finite() && y.is_finite() => Ok(Some([x, y])),
            [x, y] if x.is_nan() && y.is_nan() => Ok(None),
            [x, y] => Err(format!("a coordinate is not finite: {x}, {y}")),
        }
    }

    fn place(&mut self, layout: Layout) -> Result<[f64; 2], String> {
        let mut place = [0.0; 2];
        for index in 0..layout.numbers {
            let bytes = self.take::<8>()?;
            let number = if layout.least_first {
                f64::from_le_bytes(bytes)
            } else {
                f64::from_be_bytes(bytes)
            };
            if let Some(axis) = place.get_mut(index) {
                *axis = number;
            }
        }
        Ok(place)
    }

    fn whole(&mut self, least_first: bool) -> Result<u32, String> {
        let bytes = self.take::<4>()?;
        Ok(if least_first { u32::from_le_bytes(bytes) } else { u32::from_be_bytes(bytes) })
    }

    fn take<const N: usize>(&mut self) -> Result<[u8; N], String> {
        let (taken, left) = self.bytes.split_first_chunk::<N>().ok_or_else(cut_off)?;
        self.bytes = left;
        Ok(*taken)
    }
}

fn cut_off() -> String {
    "its geometry is cut off".into()
}

#[cfg(test)]
mod tests;
