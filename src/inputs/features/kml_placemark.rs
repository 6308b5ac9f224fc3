//! One placemark of a KML file, while it is read.

use super::model::{Feature, RawGeometry};
use crate::findings::clean;
use crate::inputs::{RawPoint, RawPolygon, RingsSorted};
use crate::units::LIMITS;

/// A placemark, as far as it was read.
#[derive(Debug)]
pub(super) struct Placemark {
    number: usize,
    /// Columns by their numbers, with their texts.
    pub(super) attributes: Vec<(usize, String)>,
    geometry: RawGeometry,
    polygon: Option<Rings>,
}

/// The rings of a polygon that is still open.
#[derive(Debug, Default)]
struct Rings {
    outer: Option<Vec<RawPoint>>,
    holes: Vec<Vec<RawPoint>>,
}

impl Placemark {
    /// A placemark without anything, the file's `number`th.
    pub(super) fn new(number: usize) -> Self {
        Self { number, attributes: Vec::new(), geometry: RawGeometry::default(), polygon: None }
    }

    /// Notes that an element opens in the placemark.
    ///
    /// # Errors
    /// Refuses a polygon in a polygon.
    pub(super) fn open(&mut self, name: &str) -> Result<(), String> {
        if name != "Polygon" {
            return Ok(());
        }
        match self.polygon.replace(Rings::default()) {
            None => Ok(()),
            Some(_) => Err("a polygon lies in another one".into()),
        }
    }

    /// Notes that the element `name`, which lies in those of `outer` and holds `text`, ends.
    ///
    /// # Errors
    /// Refuses positions that are no numbers and polygons without an outer ring, or with two.
    pub(super) fn close(&mut self, name: &str, outer: &[String], text: &str) -> Result<(), String> {
        match name {
            "coordinates" => self.take(positions(text)?, outer),
            "Polygon" => {
                let rings = self.polygon.take().unwrap_or_default();
                let outer = rings.outer.ok_or("a polygon has no outer ring")?;
                self.geometry.areas.push(RawPolygon {
                    feature: self.number,
                    outer,
                    holes: rings.holes,
                    sorted: RingsSorted::ByTheFile,
                });
                Ok(())
            }
            _ => Ok(()),
        }
    }

    fn take(&mut self, positions: Vec<RawPoint>, outer: &[String]) -> Result<(), String> {
        let at = |back: usize| {
            outer.len().checked_sub(back).and_then(|at| outer.get(at)).map_or("", String::as_str)
        };
        match (at(1), at(2), &mut self.polygon) {
            ("Point", _, _) => self.geometry.points.extend(positions),
            ("LinearRing", "outerBoundaryIs", Some(rings)) => {
                let another = rings.outer.replace(positions);
                return another.map_or(Ok(()), |_| Err("a polygon has two outer rings".into()));
            }
            ("LinearRing", "innerBoundaryIs", Some(rings)) => rings.holes.push(positions),
            ("LinearRing" | "LineString", _, _) => self.geometry.lines.push(positions),
            _ => {}
        }
        Ok(())
    }

    /// The finished feature, with a text for each of so many columns; the first text that was read
    /// for a column counts.
    pub(super) fn into_feature(self, columns: usize) -> Feature {
        let mut attributes = vec![String::new(); columns];
        for (column, text) in self.attributes {
            if let Some(slot) = attributes.get_mut(column).filter(|slot| slot.is_empty()) {
                *slot = text;
            }
        }
        Feature { number: self.number, geometry: self.geometry, attributes }
    }
}

/// Positions as `longitude,latitude` or `longitude,latitude,height`, with blanks between them.
fn positions(text: &str) -> Result<Vec<RawPoint>, String> {
    let tokens = || text.split_whitespace();
    let count = tokens().count();
    if count > LIMITS.boundary_vertices {
        return Err(format!("it has {count} positions in one piece"));
    }
    tokens()
        .map(|token| {
            let numbers: Vec<&str> = token.split(',').collect();
            let number = |text: &str| text.parse().ok().filter(|number: &f64| number.is_finite());
            match numbers.as_slice() {
                [x, y] | [x, y, _] => number(x).zip(number(y)).map(|(x, y)| [x, y]),
                _ => None,
            }
            .ok_or_else(|| format!("`{}` is no position", clean(token)))
        })
        .collect()
}
