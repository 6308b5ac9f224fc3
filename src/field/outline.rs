//! The outline of a field in its frame, and its area.

use geo::{Coord, GeodesicArea, LineString, MultiPolygon, Polygon};

use super::borders::share_borders;
use super::densify::{densify_ring, too_long};
use super::door::Door;
use super::edges::Edges;
use super::frame::Frame;
use super::place::LonLat;
pub(super) use super::ring::Ring;
use super::rings::{Told, settle};
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::{CoordinateSystem, RawBoundary, RawPoint, RingsSorted};
use crate::units::{Area, LIMITS};

/// How far the area in the frame may be from the geodesic area, as a share of it.
const AREA_TOLERANCE: f64 = 1e-6;
/// What the geodesic area itself may be off by, in square metres: it is a small difference of
/// sums as large as the Earth.
const GEODESIC_NOISE_M2: f64 = 0.1;
/// The frame is not used nearer to a pole than this latitude in degrees.
const HIGHEST_LATITUDE_DEG: f64 = 89.0;

/// One field on the ground.
#[derive(Clone, Debug)]
pub struct Field {
    frame: Frame,
    system: CoordinateSystem,
    rings: Vec<Ring>,
    boundary: MultiPolygon<f64>,
    area: Area,
    geodesic_area: Area,
}

impl Field {
    /// The frame that everything about the field is in.
    pub fn frame(&self) -> &Frame {
        &self.frame
    }

    /// The outline in metres in the frame: outer rings counter-clockwise, holes clockwise, with
    /// points on long edges. Neighbouring polygons may share a border.
    pub fn boundary(&self) -> &MultiPolygon<f64> {
        &self.boundary
    }

    /// The area inside the boundary, less its holes.
    pub fn area(&self) -> Area {
        self.area
    }

    /// The same area on the ellipsoid, by another way: the boundary's edges as geodesics.
    ///
    /// # References
    /// C. F. F. Karney, *Algorithms for geodesics*, Journal of Geodesy 87, 2013, pages 43 to 55,
    /// as the `geo` package has it.
    pub fn geodesic_area(&self) -> Area {
        self.geodesic_area
    }

    /// The system that the boundary was given in.
    pub(super) fn system(&self) -> &CoordinateSystem {
        &self.system
    }

    /// The rings of the outline.
    pub(super) fn rings(&self) -> &[Ring] {
        &self.rings
    }

    /// The edges of the outline, for many questions about places.
    pub(super) fn edges(&self) -> Edges {
        Edges::of(self.rings.iter().map(|ring| ring.points.as_slice()))
    }
}

/// No spreader treats less, in square metres (ours).
const SMALLEST_FIELD_M2: f64 = 100.0;

/// Lays a boundary out in a frame of its own.
///
/// Rings may be open or closed and run either way. What has one cure is cured, and told in the
/// findings: repeated vertices, lines that run out and back, rings that touch themselves (which
/// leaves their area as it is), parts below 1 m2 and rings without area, polygons that overlap
/// (which are united), and neighbouring polygons whose borders miss each other by 2 cm or less
/// (which are made to share them). Where the file does not say which rings are holes, it is decided
/// by which lies in which.
///
/// # Errors
/// Refuses coordinates that do not fit their system, a boundary without a ring of three places,
/// rings that cross themselves, holes that cross or leave their polygon or share an edge with it,
/// and a field across the 180th meridian or at a pole.
pub fn lay_out(boundary: &RawBoundary) -> Result<(Field, Vec<Finding>), Refusal> {
    let mut told = Told::default();
    let mut rings = read_rings(boundary, &mut told)?;
    let mut frame = place_in_frame(&mut rings, &boundary.file)?;
    let mut rings = settle(rings, &frame, &boundary.file, &mut told)?;
    // What was cut off or left out does not say where the middle of the field is.
    if !rings.is_empty() && find_centre(&rings, &boundary.file)? != frame.centre() {
        frame = place_in_frame(&mut rings, &boundary.file)?;
    }
    let shared = share_borders(&mut rings);
    for ring in &mut rings {
        if (ring.signed_area_m2() < 0.0) != (ring.hole > 0) {
            ring.points.reverse();
            ring.places.reverse();
        }
    }
    let area_m2: f64 = rings.iter().map(Ring::signed_area_m2).sum();
    if area_m2 < SMALLEST_FIELD_M2 {
        let what = format!("the field measures {area_m2:.3} m2");
        return Err(Problem::at(Place::in_file(&boundary.file), what)
            .allowed(format!("at least {SMALLEST_FIELD_M2} m2"))
            .hint("check the coordinates, and that the right outline was exported")
            .into());
    }
    let geodesic_m2 = geodesic_area_m2(&rings);
    if (area_m2 - geodesic_m2).abs() > AREA_TOLERANCE * geodesic_m2 + GEODESIC_NOISE_M2 {
        let what = format!(
            "the field measures {area_m2} m2 in its frame and {geodesic_m2} m2 on the ellipsoid, \
             which is a fault of this program"
        );
        return Err(Problem::at(Place::in_file(&boundary.file), what)
            .allowed("a difference of one part in a million")
            .hint("please report it with the boundary file")
            .into());
    }
    let (file, system) = (boundary.file.clone(), boundary.system.clone());
    let boundary = to_polygons(&rings);
    let field = Field {
        frame,
        system,
        rings,
        boundary,
        area: Area::from_square_metres(area_m2),
        geodesic_area: Area::from_square_metres(geodesic_m2),
    };
    let mut findings = told.into_findings(&file);
    if shared > 0 {
        let text = format!(
            "Neighbouring polygons of the boundary did not quite meet at {shared} vertices; their \
             borders were led through the same vertices, which moves them by 2 cm at most."
        );
        findings.push(Finding::at("borders_shared", Place::in_file(&file), text));
    }
    Ok((field, findings))
}

/// Gives the rings their metres, in a frame around them.
fn place_in_frame(rings: &mut [Ring], file: &str) -> Result<Frame, Refusal> {
    let frame = Frame::centred_on(find_centre(rings, file)?);
    for ring in rings {
        ring.points = ring.places.iter().map(|&place| frame.forward(place)).collect();
    }
    Ok(frame)
}

/// All rings of the boundary in degrees, with points on long edges; still without metres.
fn read_rings(boundary: &RawBoundary, told: &mut Told) -> Result<Vec<Ring>, Refusal> {
    let whole = Place::in_file(&boundary.file);
    let count: usize = boundary
        .polygons
        .iter()
        .map(|p| p.outer.len() + p.holes.iter().map(Vec::len).sum::<usize>())
        .sum();
    if boundary.polygons.is_empty() {
        let what = "the boundary holds no polygon";
        return Err(Problem::at(whole, what).allowed("at least one polygon").into());
    }
    if count > LIMITS.boundary_vertices {
        return Err(Problem::at(whole, format!("the boundary has {count} vertices"))
            .allowed(format!("at most {} vertices", LIMITS.boundary_vertices))
            .hint("simplify the outline, for example to 10 cm")
            .into());
    }
    let door = Door::open(&boundary.system, &whole)?;
    let mut rings = Vec::new();
    let (mut problems, mut lines, mut vertices) = (Vec::new(), Vec::new(), 0);
    for (polygon, raw) in boundary.polygons.iter().enumerate() {
        let place = Place { feature: Some(raw.feature), ..whole.clone() };
        let unsorted = raw.sorted == RingsSorted::NotYet && !raw.holes.is_empty();
        let mut outer_is_line = false;
        for (hole, line) in std::iter::once(&raw.outer).chain(&raw.holes).enumerate() {
            let mut ring = Ring {
                feature: raw.feature,
                polygon,
                hole,
                unsorted: unsorted.then_some(hole + 1),
                places: Vec::new(),
                points: Vec::new(),
            };
            let words = ring.in_words();
            match read_ring(&door, line, raw.feature, &place, told) {
                Ok(Read::Ring(_)) if outer_is_line && !unsorted => {
                    problems.push(too_few(&place, "the outer ring", 2));
                }
                Ok(Read::Ring(places)) => {
                    vertices += places.len();
                    if vertices > LIMITS.boundary_vertices {
                        return Err(too_long(whole));
                    }
                    ring.places = places;
                    rings.push(ring);
                }
                Ok(Read::Line { places, at }) => {
                    outer_is_line |= hole == 0;
                    lines.push(too_few(&place, &words, places));
                    told.no_rings.extend(at.map(|at| (raw.feature, at)));
                }
                Err(refusal) => problems.extend(refusal.into_problems()),
            }
        }
    }
    if rings.is_empty() {
        problems.append(&mut lines);
    }
    Refusal::unless_clean(problems, rings)
}

/// What a list of coordinates came to.
enum Read {
    /// The vertices of an open ring, with points on long edges.
    Ring(Vec<LonLat>),
    /// So many different places, too few for a ring; and one of them.
    Line { places: usize, at: Option<LonLat> },
}

fn too_few(place: &Place, words: &str, places: usize) -> Problem {
    Problem::at(place.clone(), format!("{words} has {places} different places"))
        .allowed("at least three different places a ring")
        .hint("draw the ring anew, or leave it out")
}

fn read_ring(
    door: &Door<'_>,
    line: &[RawPoint],
    feature: usize,
    place: &Place,
    told: &mut Told,
) -> Result<Read, Refusal> {
    let mut open = line.to_vec();
    // A ring is closed by repeating its first place once, and that is no fault.
    if open.len() > 1 && open.first() == open.last() {
        open.pop();
    }
    let mut repeated: Vec<RawPoint> = Vec::new();
    open.dedup_by(|next, kept| {
        let same = next.map(f64::to_bits) == kept.map(f64::to_bits);
        repeated.extend(same.then_some(*kept));
        same
    });
    while open.len() > 1 && open.first() == open.last() {
        repeated.extend(open.pop());
    }
    let ends = door.move_points(&open, |_| place.clone())?;
    let mut distinct = open.clone();
    distinct.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    distinct.dedup();
    if distinct.len() < 3 {
        return Ok(Read::Line { places: distinct.len(), at: ends.first().copied() });
    }
    let repeated = door.move_points(&repeated, |_| place.clone())?;
    told.repeated.extend(repeated.into_iter().map(|at| (feature, at)));
    Ok(Read::Ring(densify_ring(door, &open, &ends, place)?))
}

/// The middle of the box around the field, in degrees.
fn find_centre(rings: &[Ring], file: &str) -> Result<LonLat, Refusal> {
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for place in rings.iter().flat_map(|ring| &ring.places) {
        for (axis, value) in [place.lon_deg, place.lat_deg].into_iter().enumerate() {
            low[axis] = low[axis].min(value);
            high[axis] = high[axis].max(value);
        }
    }
    let refuse = |what: String, allowed: &str, hint: &str| {
        Err(Problem::at(Place::in_file(file), what).allowed(allowed).hint(hint).into())
    };
    if high[0] - low[0] > 180.0 {
        return refuse(
            format!("the boundary reaches from longitude {} to {}", low[0], high[0]),
            "a field that does not cross the 180th meridian, where longitudes jump from 180 to -180",
            "check the signs of the longitudes; where the field does lie across that meridian, cut \
             it there and make each side a job of its own",
        );
    }
    if low[1].abs().max(high[1].abs()) > HIGHEST_LATITUDE_DEG {
        return refuse(
            format!("the boundary reaches from latitude {} to {}", low[1], high[1]),
            "latitudes from -89 to 89 degrees",
            "check whether longitude and latitude are exchanged: longitude comes first",
        );
    }
    Ok(LonLat { lon_deg: f64::midpoint(low[0], high[0]), lat_deg: f64::midpoint(low[1], high[1]) })
}

fn geodesic_area_m2(rings: &[Ring]) -> f64 {
    rings
        .iter()
        .map(|ring| {
            let line = closed_line(ring.places.iter().map(|place| place.to_coord()));
            let area = Polygon::new(line, Vec::new()).geodesic_area_signed().abs();
            if ring.hole > 0 { -area } else { area }
        })
        .sum()
}

fn to_polygons(rings: &[Ring]) -> MultiPolygon<f64> {
    let mut polygons: Vec<Polygon<f64>> = Vec::new();
    for ring in rings {
        let line = closed_line(ring.points.iter().map(|point| point.to_coord()));
        match polygons.last_mut() {
            Some(polygon) if ring.hole > 0 => polygon.interiors_push(line),
            _ => polygons.push(Polygon::new(line, Vec::new())),
        }
    }
    MultiPolygon(polygons)
}

fn closed_line(coords: impl Iterator<Item = Coord<f64>>) -> LineString<f64> {
    let mut line = LineString(coords.collect());
    line.close();
    line
}
