//! Features of a layer as polygons in the field's frame.

use super::lattice::REACH_M;
use super::setback::around_lines;
use super::weave::Knot;
use crate::field::crossings::{Meeting, find_meetings};
use crate::field::densify::densify_ring;
use crate::field::door::Door;
use crate::field::edges::{Edge, Edges};
use crate::field::frame::Frame;
use crate::field::outline::Field;
use crate::field::place::{LonLat, Point};
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::{Feature, FeatureLayer, RawPoint};
use crate::units::{LIMITS, Length};

/// One feature on the ground.
#[derive(Debug, Default)]
pub(super) struct Shape {
    /// Its polygons near the field, each as its open rings; what is inside any of them is inside
    /// the shape, and rings of one polygon turn inside to outside.
    pub(super) polygons: Vec<Vec<Vec<Knot>>>,
    /// All its lines; those of areas are closed, those of points have one point.
    lines: Vec<Vec<Point>>,
    setback_m: f64,
}

impl Shape {
    /// How far around it is its ground too, in metres.
    pub(super) fn setback_m(&self) -> f64 {
        self.setback_m
    }
}

/// Reads the features of a layer. Areas are taken as they are and with a setback around them; lines
/// and points have a setback or are no ground.
///
/// # Errors
/// Refuses features without area, coordinates that do not fit their system, and too many of them.
pub(super) fn shapes_of(
    layer: &FeatureLayer,
    setback: Length,
    field: &Field,
) -> Result<Vec<Shape>, Refusal> {
    let whole = Place::in_file(&layer.file);
    let count: usize = layer.features.iter().map(count_vertices).sum();
    if count > LIMITS.boundary_vertices {
        return Err(Problem::at(whole, format!("its features have {count} vertices"))
            .allowed(format!("at most {} vertices", LIMITS.boundary_vertices))
            .hint("keep only what lies on the field, or simplify the outlines to 10 cm")
            .into());
    }
    let door = Door::open(&layer.system, &whole)?;
    let reach = reach_of(field);
    let mut problems = Vec::new();
    let mut shapes = Vec::with_capacity(layer.features.len());
    for feature in &layer.features {
        let place = Place { feature: Some(feature.number), ..whole.clone() };
        match shape_of(feature, setback, &door, field.frame(), &reach, &place) {
            Ok(shape) => shapes.push(shape),
            Err(refusal) => problems.extend(refusal.into_problems()),
        }
    }
    Refusal::unless_clean(problems, shapes)
}

pub(super) fn count_vertices(feature: &Feature) -> usize {
    let geometry = &feature.geometry;
    let of_areas = geometry.areas.iter().flat_map(|a| std::iter::once(&a.outer).chain(&a.holes));
    geometry.points.len() + of_areas.chain(&geometry.lines).map(Vec::len).sum::<usize>()
}

fn reach_of(field: &Field) -> [f64; 4] {
    let start = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
    field.rings().iter().fold(start, |all, ring| {
        let own = ring.reach();
        [all[0].min(own[0]), all[1].min(own[1]), all[2].max(own[2]), all[3].max(own[3])]
    })
}

fn shape_of(
    feature: &Feature,
    setback: Length,
    door: &Door<'_>,
    frame: &Frame,
    reach: &[f64; 4],
    place: &Place,
) -> Result<Shape, Refusal> {
    let setback_m = setback.to_metres();
    let geometry = &feature.geometry;
    if setback_m <= 0.0 && geometry.areas.is_empty() {
        let what = "the feature has no area";
        return Err(Problem::at(place.clone(), what)
            .allowed("areas; lines and points only where they are kept out with a setback above 0")
            .hint("draw it as an area, or give `field.setback` if it is to be kept out")
            .into());
    }
    let mut shape = Shape { setback_m, ..Shape::default() };
    for area in &geometry.areas {
        let mut rings = Vec::new();
        for raw in std::iter::once(&area.outer).chain(&area.holes) {
            let ring = read_ring(raw, door, frame, place)?;
            let mut line: Vec<Point> = ring.iter().map(|knot| knot.point).collect();
            line.extend(line.first().copied());
            shape.lines.push(line);
            rings.push(ring);
        }
        if rings.first().is_some_and(|outer| meets(outer, reach)) {
            check_reach(&rings, place)?;
            refuse_crossings(&rings, frame, place)?;
            shape.polygons.push(rings);
        }
    }
    for raw in &geometry.lines {
        shape.lines.push(read_line(raw, door, frame, place)?);
    }
    for point in door.move_points(&geometry.points, |_| place.clone())? {
        shape.lines.push(vec![frame.forward(point)]);
    }
    if setback_m > 0.0 {
        let around = around_lines(&shape.lines, setback_m, reach);
        shape.polygons.extend(around.0.iter().map(|polygon| {
            let rings = std::iter::once(polygon.exterior()).chain(polygon.interiors());
            rings
                .map(|ring| {
                    let coords = ring.0.iter().take(ring.0.len().saturating_sub(1));
                    coords.map(|c| Knot::at(Point { x_m: c.x, y_m: c.y }, frame)).collect()
                })
                .collect()
        }));
    }
    Ok(shape)
}

/// Whether the box of a ring meets the box `reach`.
fn meets(ring: &[Knot], reach: &[f64; 4]) -> bool {
    let span = |value: fn(&Point) -> f64| {
        let values = || ring.iter().map(|knot| value(&knot.point));
        (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max))
    };
    let ((west, east), (south, north)) = (span(|p| p.x_m), span(|p| p.y_m));
    west <= reach[2] && east >= reach[0] && south <= reach[3] && north >= reach[1]
}

/// The lattice reaches so far and no further.
fn check_reach(rings: &[Vec<Knot>], place: &Place) -> Result<(), Refusal> {
    let near = |knot: &Knot| knot.point.x_m.abs() < REACH_M && knot.point.y_m.abs() < REACH_M;
    if rings.iter().flatten().all(near) {
        return Ok(());
    }
    let allowed = format!("areas within {} km of the field", REACH_M / 1_000.0);
    Err(Problem::at(place.clone(), "the area reaches far beyond the field")
        .allowed(allowed)
        .hint("cut the area to the surroundings of the field")
        .into())
}

/// Crossings named in one refusal.
const CROSSINGS_NAMED: usize = 5;

/// Where rings cross themselves or one another nobody knows which side is meant.
fn refuse_crossings(rings: &[Vec<Knot>], frame: &Frame, place: &Place) -> Result<(), Refusal> {
    let points: Vec<Vec<Point>> =
        rings.iter().map(|ring| ring.iter().map(|knot| knot.point).collect()).collect();
    let lists: Vec<&[Point]> = points.iter().map(Vec::as_slice).collect();
    let Some(met) = find_meetings(&lists, LIMITS.boundary_vertices) else {
        let what = "the outline of the area meets itself in too many places to look at";
        return Err(Problem::at(place.clone(), what)
            .allowed("outlines that do not cross themselves, as those of a field")
            .hint("draw the area anew, or export it again")
            .into());
    };
    let crossed: Vec<String> = met
        .iter()
        .filter(|met| met.meeting == Meeting::Cross)
        .take(CROSSINGS_NAMED)
        .map(|met| frame.inverse(met.at).in_words())
        .collect();
    if crossed.is_empty() {
        return Ok(());
    }
    let what = format!("the outline of the area crosses itself at {}", crossed.join("; "));
    Err(Problem::at(place.clone(), what)
        .allowed("outlines that do not cross themselves, as those of a field")
        .hint("draw the area anew there: its vertices may stand in the wrong order")
        .into())
}

/// A ring with points on its long edges.
fn read_ring(
    raw: &[RawPoint],
    door: &Door<'_>,
    frame: &Frame,
    place: &Place,
) -> Result<Vec<Knot>, Refusal> {
    let mut open = raw.to_vec();
    open.dedup();
    while open.len() > 1 && open.first() == open.last() {
        open.pop();
    }
    if open.len() < 3 {
        let what = format!("a ring of the area has {} different places", open.len());
        return Err(Problem::at(place.clone(), what)
            .allowed("at least three different places a ring")
            .hint("draw the area anew, or leave it out")
            .into());
    }
    let ends = door.move_points(&open, |_| place.clone())?;
    let places = densify_ring(door, &open, &ends, place)?;
    let knot = |place: LonLat| Knot { point: frame.forward(place), steps: place.in_steps() };
    Ok(places.into_iter().map(knot).collect())
}

/// A line with points on its long edges.
fn read_line(
    raw: &[RawPoint],
    door: &Door<'_>,
    frame: &Frame,
    place: &Place,
) -> Result<Vec<Point>, Refusal> {
    let mut line = raw.to_vec();
    line.dedup();
    let ends = door.move_points(&line, |_| place.clone())?;
    let mut places = densify_ring(door, &line, &ends, place)?;
    // A ring also has points on the edge from its last place to its first, which a line has not.
    let last = places.iter().rposition(|place| Some(place) == ends.last());
    places.truncate(last.map_or(0, |last| last + 1));
    Ok(places.into_iter().map(|place| frame.forward(place)).collect())
}

/// The least distance of any of the shapes, which have one setback, less that from the field, in
/// metres.
pub(super) fn distance_m(shapes: &[Shape], field: &Field) -> f64 {
    let lines = || shapes.iter().flat_map(|shape| &shape.lines);
    let (border, outlines) =
        (field.edges(), Edges::of_edges(lines().flat_map(|line| edges_of_line(line)).collect()));
    let corners = field.rings().iter().flat_map(|ring| &ring.points);
    let least = corners
        .map(|&corner| outlines.distance_m(corner))
        .chain(lines().flatten().map(|&end| border.distance_m(end)))
        .fold(f64::INFINITY, f64::min);
    let setback_m = shapes.first().map_or(0.0, |shape| shape.setback_m);
    (least - setback_m).max(0.0)
}

/// The edges of a line, which is a point where it has but one.
fn edges_of_line(line: &[Point]) -> Vec<Edge> {
    match line {
        &[only] => vec![(only, only)],
        line => line.windows(2).map(|pair| (pair[0], pair[1])).collect(),
    }
}
