//! The overlay: what every face of the net is, and the regions that faces of one kind make.

use std::collections::BTreeMap;

use geo::{LineString, MultiPolygon};

use super::faces::{Faces, Sides, find_faces};
use super::lattice::STEPS_PER_METRE;
use super::rings::{polygons_of, rings_of};
use super::setback::around_lines_to;
use super::shapes::{Shape, shapes_of};
use super::slivers::give_away_slivers;
use super::tell::{self, Laid, What};
use super::weave::{Knot, Net, weave};
use super::{KeepOut, OverrideArea, Partition, Region, Rounds, Zone, ZoneAreas};
use crate::field::outline::{Field, Ring};
use crate::field::place::Point;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::units::{Area, Length, UnitSystem};

/// How far the areas of all parts together may be from the field's area: as a share of it, and in
/// square metres for each metre of its outline, whose corners are rounded to the lattice.
const AREA_TOLERANCE: f64 = 1e-9;
const ROUNDING_M: f64 = 1.0 / STEPS_PER_METRE;

/// How far off a round's border may lie where it bends around a corner, in metres: no driver holds
/// it better, and it has fewer vertices.
const ROUND_TO_M: f64 = 0.05;

/// What a polygon of the net is there for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Role {
    Field,
    /// By the number of its file.
    KeepOut(usize),
    Zone(usize),
    Override(usize),
    /// Within so many widths of a round from the boundary.
    Round(u32),
}

/// What a face in the field is.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Content {
    /// By the files with these numbers.
    KeptOut(Vec<usize>),
    Ground {
        zones: Vec<usize>,
        overrides: Vec<usize>,
        round: Option<u32>,
    },
}

/// All polygons of the net.
#[derive(Default)]
struct Heap {
    polygons: Vec<Vec<Vec<Knot>>>,
    roles: Vec<Role>,
    /// The layer and the place of the feature in it.
    origins: Vec<Option<(usize, usize)>>,
}

impl Heap {
    fn add_field(&mut self, field: &Field) {
        for ring in field.rings() {
            let pairs = ring.points.iter().zip(&ring.places);
            let knots =
                pairs.map(|(&point, place)| Knot { point, steps: place.in_steps() }).collect();
            if ring.hole == 0 {
                self.polygons.push(Vec::new());
                self.roles.push(Role::Field);
                self.origins.push(None);
            }
            if let Some(polygon) = self.polygons.last_mut() {
                polygon.push(knots);
            }
        }
    }

    fn add(&mut self, layer: usize, shapes: &mut [Shape], role: impl Fn(usize) -> Role) {
        for (feature, shape) in shapes.iter_mut().enumerate() {
            for polygon in std::mem::take(&mut shape.polygons) {
                self.polygons.push(polygon);
                self.roles.push(role(feature));
                self.origins.push(Some((layer, feature)));
            }
        }
    }

    /// Adds the ground within one, two and more widths of the boundary.
    fn add_rounds(&mut self, field: &Field, rounds: Rounds) {
        let closed = |ring: &Ring| ring.points.iter().chain(ring.points.first()).copied().collect();
        let lines: Vec<Vec<Point>> = field.rings().iter().map(closed).collect();
        let everywhere = [f64::NEG_INFINITY, f64::NEG_INFINITY, f64::INFINITY, f64::INFINITY];
        for round in 1..=rounds.count {
            let within_m = rounds.width.to_metres() * f64::from(round);
            for polygon in around_lines_to(&lines, within_m, &everywhere, ROUND_TO_M) {
                let rings = std::iter::once(polygon.exterior()).chain(polygon.interiors());
                let knots = |ring: &LineString<f64>| {
                    let open = ring.0.iter().take(ring.0.len().saturating_sub(1));
                    open.map(|at| Knot::at(Point { x_m: at.x, y_m: at.y }, field.frame())).collect()
                };
                self.polygons.push(rings.map(knots).collect());
                self.roles.push(Role::Round(round));
                self.origins.push(None);
            }
        }
    }

    /// What a face inside these polygons is; `None` outside the field.
    fn content(&self, polygons: &[u32]) -> Option<Content> {
        let roles = || polygons.iter().map(|&polygon| self.roles[polygon as usize]);
        if !roles().any(|role| role == Role::Field) {
            return None;
        }
        let sorted = |number: fn(Role) -> Option<usize>| {
            let mut numbers: Vec<usize> = roles().filter_map(number).collect();
            numbers.sort_unstable();
            numbers.dedup();
            numbers
        };
        let keep = sorted(|role| if let Role::KeepOut(file) = role { Some(file) } else { None });
        if !keep.is_empty() {
            return Some(Content::KeptOut(keep));
        }
        Some(Content::Ground {
            zones: sorted(|role| if let Role::Zone(zone) = role { Some(zone) } else { None }),
            overrides: sorted(|role| if let Role::Override(at) = role { Some(at) } else { None }),
            round: roles()
                .filter_map(|role| if let Role::Round(at) = role { Some(at) } else { None })
                .min(),
        })
    }
}

pub(super) fn overlay<'a>(
    field: &Field,
    keep_out: &[KeepOut<'_>],
    (zones, overrides): (Option<ZoneAreas<'a>>, &[OverrideArea<'_>]),
    rounds: Option<Rounds>,
    units: UnitSystem,
) -> Result<(Partition, Vec<Finding>), Refusal> {
    let mut heap = Heap::default();
    heap.add_field(field);
    let mut layers: Vec<Laid<'_>> = Vec::new();
    for (number, keep) in keep_out.iter().enumerate() {
        let mut shapes = shapes_of(keep.layer, keep.setback, field)?;
        heap.add(layers.len(), &mut shapes, |_| Role::KeepOut(number));
        layers.push(Laid { features: keep.layer, what: What::KeepOut, shapes });
    }
    let mut names: Vec<&str> = Vec::new();
    if let Some(zones) = zones {
        let mut known: BTreeMap<&str, usize> = BTreeMap::new();
        let mut number_of = |name: &'a str| {
            *known.entry(name).or_insert_with(|| {
                names.push(name);
                names.len() - 1
            })
        };
        let of_feature: Vec<usize> = zones.names.iter().map(|name| number_of(name)).collect();
        let mut shapes = shapes_of(zones.layer, Length::ZERO, field)?;
        // A feature without a name cannot be: there is one for each.
        heap.add(layers.len(), &mut shapes, |feature| {
            Role::Zone(of_feature.get(feature).copied().unwrap_or_default())
        });
        layers.push(Laid { features: zones.layer, what: What::Zones, shapes });
    }
    for (number, area) in overrides.iter().enumerate() {
        let mut shapes = shapes_of(area.layer, Length::ZERO, field)?;
        heap.add(layers.len(), &mut shapes, |_| Role::Override(number));
        layers.push(Laid { features: area.layer, what: What::Override, shapes });
    }
    if let Some(rounds) = rounds {
        heap.add_rounds(field, rounds);
    }
    let net = weave(&heap.polygons, field.frame())
        .ok_or_else(|| fault("the outlines in the field cannot be woven together"))?;
    let sides = Sides::of(&net);
    let faces =
        find_faces(&net, &sides).ok_or_else(|| fault("the outlines in the field do not close"))?;
    let mut contents: Vec<Option<Content>> =
        faces.polygons.iter().map(|polygons| heap.content(polygons)).collect();
    let is_sliver = give_away_slivers(&faces, &lengths_of(&net), &mut contents);
    let mut touched: Vec<(usize, usize)> = (0..contents.len())
        .filter(|&face| contents[face].is_some() && !is_sliver[face])
        .flat_map(|face| &faces.polygons[face])
        .filter_map(|&polygon| heap.origins[polygon as usize])
        .collect();
    touched.sort_unstable();
    touched.dedup();
    let findings = tell::of_layers(&layers, &touched, field, units)?;
    let count = Counts { keep_outs: keep_out.len(), with_zones: zones.is_some() };
    let partition = gather(field, &net, &sides, &faces, &contents, &names, &count)?;
    Ok((partition, findings))
}

fn fault(what: &str) -> Refusal {
    Problem::at(Place::default(), format!("{what}, which is a fault of this program"))
        .hint("please report it with the files that the job names")
        .into()
}

fn lengths_of(net: &Net) -> Vec<f64> {
    let point = |knot: u32| net.knots[knot as usize].point;
    net.threads.iter().map(|thread| point(thread.ends.0).distance_m(point(thread.ends.1))).collect()
}

/// Which region a face belongs to: the number of its zone, if it has one, its overrides, and its
/// round.
type Key = (bool, usize, Vec<usize>, Option<u32>);

fn key_of(zones: &[usize], overrides: &[usize], round: Option<u32>) -> Key {
    let zone = zones.first().copied().unwrap_or_default();
    (zones.is_empty(), zone, overrides.to_vec(), round)
}

/// How many layers of each kind there are.
struct Counts {
    keep_outs: usize,
    with_zones: bool,
}

fn gather(
    field: &Field,
    net: &Net,
    sides: &Sides<'_>,
    faces: &Faces,
    contents: &[Option<Content>],
    names: &[&str],
    count: &Counts,
) -> Result<Partition, Refusal> {
    let (mut kept_out_m2, mut gaps_m2, mut overlaps_m2) = (0.0, 0.0, 0.0);
    let (mut kept_by_m2, mut kept_twice_m2) = (vec![0.0; count.keep_outs], 0.0);
    let mut zone_m2 = vec![0.0; names.len()];
    let mut areas: BTreeMap<Key, f64> = BTreeMap::new();
    for (content, &area_m2) in contents.iter().zip(&faces.area_m2) {
        match content {
            None => {}
            Some(Content::KeptOut(files)) => {
                kept_out_m2 += area_m2;
                for &file in files {
                    kept_by_m2[file] += area_m2;
                }
                if files.len() > 1 {
                    kept_twice_m2 += area_m2;
                }
            }
            Some(Content::Ground { zones, overrides, round }) => {
                *areas.entry(key_of(zones, overrides, *round)).or_default() += area_m2;
                match zones.first() {
                    Some(&zone) => zone_m2[zone] += area_m2,
                    None if count.with_zones => gaps_m2 += area_m2,
                    None => {}
                }
                if zones.len() > 1 {
                    overlaps_m2 += area_m2;
                }
            }
        }
    }
    if areas.is_empty() {
        return Err(Problem::at(Place::default(), "what is kept out covers the whole field")
            .allowed("a keep-out that leaves some of the field")
            .hint("check `field.keep_out` and `field.setback`, and the unit of the setback")
            .into());
    }
    let net_m2: f64 = areas.values().sum();
    let gross_m2 = field.area().to_square_metres();
    let outline_m: f64 = field.rings().iter().map(Ring::length_m).sum();
    let tolerance_m2 = AREA_TOLERANCE * gross_m2 + ROUNDING_M * outline_m;
    if (net_m2 + kept_out_m2 - gross_m2).abs() > tolerance_m2 {
        let what = format!(
            "the parts of the field measure {net_m2} and {kept_out_m2} m2, the field {gross_m2} m2"
        );
        return Err(fault(&what));
    }
    let keys: Vec<&Key> = areas.keys().collect();
    let part_of_face: Vec<Option<usize>> = contents
        .iter()
        .map(|content| match content {
            None => None,
            Some(Content::KeptOut(_)) => Some(keys.len()),
            Some(Content::Ground { zones, overrides, round }) => {
                keys.binary_search(&&key_of(zones, overrides, *round)).ok()
            }
        })
        .collect();
    let mut borders: Vec<Vec<u32>> = vec![Vec::new(); keys.len() + 1];
    for (side, &face) in (0_u32..).zip(&faces.left) {
        let beyond = faces.left[(side ^ 1) as usize];
        let (own, other) = (part_of_face[face as usize], part_of_face[beyond as usize]);
        if let Some(own) = own.filter(|_| own != other) {
            borders[own].push(side);
        }
    }
    let mut rings: Vec<Vec<Vec<u32>>> =
        borders.iter().map(|border| rings_of(sides, border)).collect();
    let keep_out = rings
        .pop()
        .map_or_else(|| MultiPolygon(Vec::new()), |rings| polygons_of(&rings, &net.knots));
    let knots = keep_used(&mut rings, &net.knots);
    let regions = areas
        .iter()
        .zip(rings)
        .map(|(((no_zone, zone, overrides, round), &area_m2), rings)| Region {
            zone: (!no_zone).then_some(*zone),
            overrides: overrides.clone(),
            round: *round,
            area: Area::from_square_metres(area_m2),
            outline: polygons_of(&rings, &knots),
            rings,
        })
        .collect();
    let zones = names.iter().zip(zone_m2).map(|(name, area_m2)| Zone {
        name: (*name).to_owned(),
        area: Area::from_square_metres(area_m2),
    });
    Ok(Partition {
        regions,
        zones: zones.collect(),
        gross: field.area(),
        kept_out: Area::from_square_metres(kept_out_m2),
        kept_out_by: kept_by_m2.into_iter().map(Area::from_square_metres).collect(),
        kept_out_twice: Area::from_square_metres(kept_twice_m2),
        net: Area::from_square_metres(net_m2),
        gaps: Area::from_square_metres(gaps_m2),
        overlaps: Area::from_square_metres(overlaps_m2),
        keep_out,
        knots,
    })
}

/// The vertices that the rings use, in their order; the rings name them by their new numbers.
fn keep_used(rings: &mut [Vec<Vec<u32>>], knots: &[Knot]) -> Vec<Knot> {
    let mut number: Vec<Option<u32>> = vec![None; knots.len()];
    for &knot in rings.iter().flatten().flatten() {
        number[knot as usize] = Some(0);
    }
    let mut kept = Vec::new();
    for (number, knot) in number.iter_mut().zip(knots) {
        if let Some(number) = number {
            *number = kept.len() as u32;
            kept.push(*knot);
        }
    }
    for knot in rings.iter_mut().flatten().flatten() {
        *knot = number[*knot as usize].unwrap_or_default();
    }
    kept
}
