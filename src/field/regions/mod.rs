//! A field parted into regions: ground that is kept out, sample zones, and areas where someone
//! overrides the rate.
//!
//! All outlines are woven into one net whose faces each lie wholly inside or outside every
//! outline. Faces of the same kind make a region; neighbouring regions share their vertices, so
//! that they tile the field without gap or overlap.

mod cause;
mod faces;
mod lattice;
mod overlay;
mod rings;
mod setback;
mod shapes;
mod slivers;
mod tell;
mod weave;

use geo::{InteriorPoint, MultiPolygon};

use super::outline::Field;
use super::place::Point;
use crate::findings::{Finding, Refusal};
use crate::inputs::FeatureLayer;
use crate::units::{Area, Length, UnitSystem};

pub(super) use setback::around_lines;
pub(super) use weave::Knot;

/// Areas, lines or points that are kept out, with all ground within the setback of them.
#[derive(Clone, Copy, Debug)]
pub struct KeepOut<'a> {
    /// The features.
    pub layer: &'a FeatureLayer,
    /// How far around them is kept out too; lines and points need more than zero.
    pub setback: Length,
}

/// Sample zones.
#[derive(Clone, Copy, Debug)]
pub struct ZoneAreas<'a> {
    /// The features, all of them areas.
    pub layer: &'a FeatureLayer,
    /// For each feature the name of its zone; features of the same name are one zone.
    pub names: &'a [String],
}

/// The area of one override.
#[derive(Clone, Copy, Debug)]
pub struct OverrideArea<'a> {
    /// The features, all of them areas.
    pub layer: &'a FeatureLayer,
}

/// Rounds that are driven along the boundary.
#[derive(Clone, Copy, Debug)]
pub struct Rounds {
    /// How many.
    pub count: u32,
    /// How wide each is.
    pub width: Length,
}

/// A field in regions.
#[derive(Clone, Debug)]
pub struct Partition {
    /// The regions, by zone, by their overrides and by their rounds; at least one.
    pub regions: Vec<Region>,
    /// The zones by their first features in the file.
    pub zones: Vec<Zone>,
    /// The area inside the boundary less its holes.
    pub gross: Area,
    /// The part of it that is kept out.
    pub kept_out: Area,
    /// What each file of the keep-out keeps out by itself, in their order.
    pub kept_out_by: Vec<Area>,
    /// The part of `kept_out` that more than one of those files keeps out.
    pub kept_out_twice: Area,
    /// The rest, which all regions together make up.
    pub net: Area,
    /// The part of the rest that lies in no zone, where there are zones.
    pub gaps: Area,
    /// The part of the rest that lies in more than one zone.
    pub overlaps: Area,
    /// What is kept out, in metres in the field's frame.
    pub keep_out: MultiPolygon<f64>,
    /// The vertices that the regions share.
    pub(super) knots: Vec<Knot>,
}

/// A sample zone in a field.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone {
    /// Its name.
    pub name: String,
    /// The area that it has in the field, less what is kept out; where zones overlap the first has
    /// the ground.
    pub area: Area,
}

/// Ground that lies in one zone or none, under the same overrides, and in one round or none.
#[derive(Clone, Debug)]
pub struct Region {
    /// The number of its zone in [`Partition::zones`].
    pub zone: Option<usize>,
    /// The numbers of its overrides, in order.
    pub overrides: Vec<usize>,
    /// Which round along the boundary it belongs to, from 1 at the boundary; `None` within them,
    /// and where none are asked for.
    pub round: Option<u32>,
    /// Its area.
    pub area: Area,
    /// Its outline in metres in the field's frame; regions that touch share their vertices.
    pub outline: MultiPolygon<f64>,
    /// Its rings by their vertices, open, with the inside on their left.
    pub(super) rings: Vec<Vec<u32>>,
}

impl Partition {
    /// A field in one region, with no zone and nothing kept out.
    pub fn whole(field: &Field) -> Self {
        let mut knots = Vec::new();
        let mut rings = Vec::new();
        for ring in field.rings() {
            let first = knots.len() as u32;
            knots.extend(
                ring.points
                    .iter()
                    .zip(&ring.places)
                    .map(|(&point, place)| Knot { point, steps: place.in_steps() }),
            );
            rings.push((first..knots.len() as u32).collect());
        }
        let (zone, overrides, area) = (None, Vec::new(), field.area());
        let outline = field.boundary().clone();
        Self {
            regions: vec![Region { zone, overrides, round: None, area, outline, rings }],
            zones: Vec::new(),
            gross: area,
            kept_out: Area::ZERO,
            kept_out_by: Vec::new(),
            kept_out_twice: Area::ZERO,
            net: area,
            gaps: Area::ZERO,
            overlaps: Area::ZERO,
            keep_out: MultiPolygon(Vec::new()),
            knots,
        }
    }

    /// A point inside a zone, in its largest region; `None` where it has no ground in the field.
    pub fn point_in_zone(&self, zone: usize) -> Option<Point> {
        let mut largest: Option<&Region> = None;
        for region in self.regions.iter().filter(|region| region.zone == Some(zone)) {
            if largest.is_none_or(|most| region.area > most.area) {
                largest = Some(region);
            }
        }
        let inside = largest?.outline.interior_point()?;
        Some(Point { x_m: inside.x(), y_m: inside.y() })
    }

    /// The zone that a point lies in, or the nearest one, and how far away it is in metres; `None`
    /// where there are no zones.
    pub fn zone_near(&self, point: Point) -> Option<(usize, f64)> {
        let zones = 0..self.zones.len();
        let inside = zones.clone().find(|&zone| {
            self.regions.iter().any(|region| {
                region.zone == Some(zone) && rings::hold(point, &region.rings, &self.knots)
            })
        });
        inside.map(|zone| (zone, 0.0)).or_else(|| self.nearest_zone(point))
    }

    /// How far a point lies from the ground of a zone, in metres: 0 inside. `None` where the zone
    /// has no ground in the field.
    pub fn distance_to_zone_m(&self, zone: usize, point: Point) -> Option<f64> {
        let regions = self.regions.iter().filter(|region| region.zone == Some(zone));
        let away = regions.map(|region| {
            if rings::hold(point, &region.rings, &self.knots) {
                0.0
            } else {
                rings::distance_to_ground_m(point, &region.rings, &self.knots)
            }
        });
        away.reduce(f64::min)
    }

    /// The zone nearest to a point outside all zones, and how far away its outline is in metres;
    /// the first of those as near. `None` where there are no zones.
    pub fn nearest_zone(&self, point: Point) -> Option<(usize, f64)> {
        let mut best: Option<(usize, f64)> = None;
        for region in &self.regions {
            let Some(zone) = region.zone else { continue };
            let away = rings::distance_m(point, &region.rings, &self.knots);
            if best.is_none_or(|(_, least)| away < least) {
                best = Some((zone, away));
            }
        }
        best
    }
}

/// Parts a field into what is kept out and regions of one zone or none, one set of overrides, and
/// one round along the boundary or none.
///
/// A round is the ground whose distance from the boundary, its holes too, is within its width.
///
/// Outlines are taken as they stand: what is inside an odd number of the rings of a feature's area
/// is inside it. Setbacks are round, and right to 3 mm. Ground between outlines that is smaller
/// than 0.01 m2 or narrower than 2 cm goes to the neighbour with the longest border. The areas of
/// the regions and of what is kept out add up to the field's area.
///
/// # Errors
/// Refuses coordinates that do not fit their system; points and lines without a setback, zones and
/// overrides that are no areas, and areas that cross themselves; a keep-out that leaves nothing of
/// the field; zones of which none touches the field; and a layer of which no feature touches the
/// field, but would with its coordinates mixed up or in another system, which is named. Other
/// features that do not touch it are told.
pub fn part_field(
    field: &Field,
    keep_out: &[KeepOut<'_>],
    zones: Option<ZoneAreas<'_>>,
    overrides: &[OverrideArea<'_>],
    rounds: Option<Rounds>,
    units: UnitSystem,
) -> Result<(Partition, Vec<Finding>), Refusal> {
    let rounds = rounds.filter(|rounds| rounds.count > 0);
    if keep_out.is_empty() && zones.is_none() && overrides.is_empty() && rounds.is_none() {
        return Ok((Partition::whole(field), Vec::new()));
    }
    overlay::overlay(field, keep_out, (zones, overrides), rounds, units)
}

#[cfg(test)]
mod tests;
