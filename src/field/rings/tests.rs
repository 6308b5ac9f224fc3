//! Faults of outlines drawn in metres: what is mended keeps its area, what is not is refused.

use super::super::outline::{Field, lay_out};
use super::super::place::LonLat;
use super::*;
use crate::findings::{Finding, Refusal};
use crate::inputs::{CoordinateSystem, RawBoundary, RawPoint, RawPolygon, RingsSorted};

pub(super) type Metres = Vec<[f64; 2]>;

fn frame() -> Frame {
    Frame::centred_on(LonLat { lon_deg: 11.0, lat_deg: 48.0 })
}

fn degrees(ring: &[[f64; 2]]) -> Vec<RawPoint> {
    let to = |&[x_m, y_m]: &[f64; 2]| frame().inverse(Point { x_m, y_m });
    ring.iter().map(to).map(|place| [place.lon_deg, place.lat_deg]).collect()
}

pub(super) fn shape(feature: usize, sorted: RingsSorted, rings: &[Metres]) -> RawPolygon {
    let mut rings = rings.iter().map(|ring| degrees(ring));
    RawPolygon { feature, outer: rings.next().unwrap(), holes: rings.collect(), sorted }
}

pub(super) fn lay(polygons: Vec<RawPolygon>) -> Result<(Field, Vec<Finding>), Refusal> {
    let system = CoordinateSystem::Wgs84Degrees;
    lay_out(&RawBoundary { file: "boundary.geojson".into(), system, polygons })
}

fn by_the_file(rings: &[Metres]) -> Result<(Field, Vec<Finding>), Refusal> {
    lay(vec![shape(1, RingsSorted::ByTheFile, rings)])
}

fn not_yet(rings: &[Metres]) -> Result<(Field, Vec<Finding>), Refusal> {
    lay(vec![shape(1, RingsSorted::NotYet, rings)])
}

fn refusal(laid: Result<(Field, Vec<Finding>), Refusal>) -> String {
    laid.map(|(field, findings)| (field.area(), findings)).unwrap_err().to_string()
}

/// Holds a field against its area in square metres and the number of its polygons and holes.
fn assert_field((field, _): &(Field, Vec<Finding>), area_m2: f64, polygons: usize, holes: usize) {
    let found_m2 = field.area().to_square_metres();
    assert!((found_m2 / area_m2 - 1.0).abs() < 1e-9, "{found_m2} is not {area_m2}");
    let boundary = field.boundary();
    let all_holes: usize = boundary.iter().map(|polygon| polygon.interiors().len()).sum();
    assert_eq!((boundary.0.len(), all_holes), (polygons, holes));
}

fn keys((_, findings): &(Field, Vec<Finding>)) -> Vec<&'static str> {
    findings.iter().map(|finding| finding.key).collect()
}

fn square(x: f64, y: f64, side: f64) -> Metres {
    vec![[x, y], [x + side, y], [x + side, y + side], [x, y + side]]
}

fn reversed(mut ring: Metres) -> Metres {
    ring.reverse();
    ring
}

#[test]
fn a_ring_that_crosses_itself_is_refused_with_the_place() {
    let at_centre = "longitude 11.0000000, latitude 48.0000000";
    let crossing = vec![[-100.0, -100.0], [100.0, 100.0], [100.0, -100.0], [-100.0, 100.0]];
    let text = refusal(by_the_file(&[crossing]));
    assert!(text.contains(&format!("the outer ring crosses itself at {at_centre}")), "{text}");
    assert!(text.contains("in the order in which one walks around the field"), "{text}");
    // The same with a vertex where it crosses: by even-odd two triangles, by its sense nothing.
    let at_vertex = vec![
        [-100.0, -100.0],
        [0.0, 0.0],
        [100.0, 100.0],
        [100.0, -100.0],
        [0.0, 0.0],
        [-100.0, 100.0],
    ];
    let text = refusal(by_the_file(std::slice::from_ref(&at_vertex)));
    assert!(text.contains(&format!("crosses itself at {at_centre}")), "{text}");
    let text = refusal(not_yet(&[at_vertex, square(500.0, 500.0, 10.0)]));
    assert!(text.contains(&format!("ring 1 crosses itself at {at_centre}")), "{text}");
}

#[test]
fn ground_that_a_ring_goes_around_twice_is_refused() {
    // Once around a square, then once more around the quarter at its own corner.
    let mut twice = square(0.0, 0.0, 200.0);
    twice.extend(square(0.0, 0.0, 100.0));
    assert!(refusal(by_the_file(&[twice])).contains("crosses itself at"));
    // An inner loop in the sense of the outer one, joined to it at a vertex.
    let mut inner = square(0.0, 0.0, 200.0);
    inner.extend([[0.0, 0.0], [100.0, 50.0], [50.0, 100.0]]);
    assert!(refusal(by_the_file(&[inner])).contains("crosses itself at longitude 11.0000000"));
    let mut around_twice = square(0.0, 0.0, 200.0);
    around_twice.extend(square(0.0, 0.0, 200.0));
    assert!(refusal(by_the_file(&[around_twice])).contains("crosses itself at"));
}

#[test]
fn a_ring_that_touches_itself_becomes_rings_that_do_not() {
    // A hole hung on a corner, on an edge, and on a line that runs out to it and back.
    let mut on_corner = square(0.0, 0.0, 200.0);
    on_corner.extend([[0.0, 0.0], [50.0, 100.0], [100.0, 50.0]]);
    let laid = by_the_file(&[on_corner]).unwrap();
    assert_field(&laid, 40_000.0 - 3_750.0, 1, 1);
    assert_eq!(keys(&laid), ["rings_mended"]);
    let text = &laid.1[0].text;
    assert!(text.contains("at 1 place,") && text.contains("The area stays as it was"), "{text}");
    assert!(text.contains("longitude 11.0000000, latitude 48.0000000 (feature 1)"), "{text}");
    let mut on_line = square(0.0, 0.0, 200.0);
    on_line.extend([[0.0, 0.0], [50.0, 50.0]]);
    on_line.extend([[50.0, 100.0], [100.0, 100.0], [100.0, 50.0], [50.0, 50.0]]);
    let laid = by_the_file(&[on_line]).unwrap();
    assert_field(&laid, 40_000.0 - 2_500.0, 1, 1);
    assert_eq!(keys(&laid), ["rings_mended"]);
    // Two squares that meet at a corner, walked as one.
    let corner_to_corner = vec![
        [0.0, 0.0],
        [100.0, 0.0],
        [100.0, 100.0],
        [200.0, 100.0],
        [200.0, 200.0],
        [100.0, 200.0],
        [100.0, 100.0],
        [0.0, 100.0],
    ];
    for ring in [corner_to_corner.clone(), reversed(corner_to_corner)] {
        let laid = by_the_file(&[ring]).unwrap();
        assert_field(&laid, 20_000.0, 2, 0);
    }
}

#[test]
fn a_vertex_on_an_edge_of_its_own_ring_parts_it_there() {
    // The notch reaches the opposite side in the middle of an edge; on the frame's axes its
    // vertex lies on the edge exactly.
    let notched = vec![[-100.0, 0.0], [100.0, 0.0], [100.0, 80.0], [0.0, 0.0], [-100.0, 80.0]];
    let laid = by_the_file(&[notched]).unwrap();
    assert!((laid.0.area().to_square_metres() - 8_000.0).abs() < 1e-4);
    assert_eq!(laid.0.boundary().0.len(), 2);
    assert_eq!(keys(&laid), ["rings_mended"]);
}

#[test]
fn a_crossing_finer_than_the_coordinates_is_mended_and_its_area_told() {
    // The vertex of the notch lies 1 cm beyond the edge, 100 m from either end.
    let notched = vec![[-100.0, 0.0], [100.0, 0.0], [100.0, 80.0], [0.0, -0.01], [-100.0, 80.0]];
    let laid = by_the_file(std::slice::from_ref(&notched)).unwrap();
    // Leading the edge through the vertex adds a triangle of 200 m by 1 cm.
    let drawn_m2 = 200.0 * 80.0 - 100.0 * 80.01;
    let area_m2 = laid.0.area().to_square_metres();
    assert!((area_m2 - (drawn_m2 + 1.0)).abs() < 1e-4, "{area_m2}");
    assert!(laid.1[0].text.contains("changes the area by 1.000 m2"), "{}", laid.1[0].text);
    let deeper = notched.into_iter().map(|[x, y]| [x, if y < 0.0 { -0.05 } else { y }]).collect();
    assert!(refusal(by_the_file(&[deeper])).contains("crosses itself at"));
}

#[test]
fn lines_that_run_out_and_back_are_cut_off_and_told() {
    let corner = [200.0, 200.0];
    for line in [
        vec![[300.0, 350.0]],
        vec![[100.0, 120.0]],
        // All across the field and out on the other side.
        vec![[-50.0, -80.0]],
        vec![[250.0, 210.0], [260.0, 300.0], [400.0, 310.0]],
    ] {
        let back = line.iter().rev().skip(1).copied();
        let spike: Metres = line.iter().copied().chain(back).chain([corner]).collect();
        let mut ring = square(0.0, 0.0, 200.0);
        ring.splice(3..3, spike.iter().copied());
        for start in 0..ring.len() {
            let mut turned = ring.clone();
            turned.rotate_left(start);
            let laid = by_the_file(&[turned]).unwrap();
            assert_field(&laid, 40_000.0, 1, 0);
            assert_eq!(keys(&laid), ["spikes_cut"], "{line:?} from {start}");
            assert!(laid.1[0].text.starts_with("1 line"), "{}", laid.1[0].text);
        }
    }
    // Past the corner and back along the same edge, on the frame's axis.
    let beyond = vec![[0.0, 0.0], [300.0, 0.0], [200.0, 0.0], [200.0, 200.0], [0.0, 200.0]];
    let laid = by_the_file(&[beyond]).unwrap();
    assert!((laid.0.area().to_square_metres() - 40_000.0).abs() < 1e-4);
    assert_eq!(keys(&laid), ["spikes_cut"]);
}

#[test]
fn rings_that_are_not_sorted_are_sorted_by_which_lies_in_which() {
    let rings = [
        square(0.0, 0.0, 400.0),
        square(50.0, 50.0, 300.0),
        square(100.0, 100.0, 100.0),
        square(210.0, 210.0, 50.0),
        square(120.0, 120.0, 20.0),
        square(1_000.0, 0.0, 100.0),
        // Touches the first ring at one corner, from inside.
        vec![[400.0, 400.0], [380.0, 390.0], [390.0, 380.0]],
    ];
    let area_m2 = 160_000.0 - 90_000.0 + 10_000.0 + 2_500.0 - 400.0 + 10_000.0 - 150.0;
    for start in 0..rings.len() {
        let mut turned: Vec<Metres> = rings.to_vec();
        turned.rotate_left(start);
        for (number, ring) in turned.iter_mut().enumerate() {
            if number % 3 == start % 2 {
                ring.reverse();
            }
        }
        let laid = not_yet(&turned).unwrap();
        assert_field(&laid, area_m2, 4, 3);
        assert!(laid.1.is_empty(), "{:?}", laid.1);
    }
    let text = refusal(by_the_file(&rings));
    assert!(text.contains("lies outside its polygon"), "{text}");
}

#[test]
fn unsorted_rings_that_cross_are_united_only_where_both_are_ground() {
    let (one, other) = (square(0.0, 0.0, 200.0), square(100.0, 100.0, 200.0));
    let laid = not_yet(&[one.clone(), other.clone()]).unwrap();
    assert_field(&laid, 70_000.0, 1, 0);
    assert_eq!(keys(&laid), ["parts_united"]);
    let text = refusal(not_yet(&[one.clone(), reversed(other)]));
    assert!(text.contains("ring 2 crosses ring 1") || text.contains("ring 1 crosses ring 2"));
    let laid = not_yet(&[one.clone(), one.clone()]).unwrap();
    assert_field(&laid, 40_000.0, 1, 0);
    assert_eq!(keys(&laid), ["parts_united"]);
    let text = refusal(not_yet(&[one.clone(), reversed(one)]));
    assert!(text.contains("covers the ground of"), "{text}");
}

fn united(parts: &[&[Metres]]) -> (Field, Vec<Finding>) {
    let polygon =
        |(index, rings): (usize, &&[Metres])| shape(index + 1, RingsSorted::ByTheFile, rings);
    lay(parts.iter().enumerate().map(polygon).collect()).unwrap()
}

#[test]
fn overlapping_polygons_count_once() {
    let one = [square(0.0, 0.0, 200.0)];
    let laid = united(&[&one, &[square(100.0, 0.0, 200.0)]]);
    assert_field(&laid, 60_000.0, 1, 0);
    let text = &laid.1[0].text;
    assert!(text.contains("The features 1, 2 overlap by 20000.00 m2 (2.0000 ha)"), "{text}");
    let laid = united(&[&one, &one, &one]);
    assert_field(&laid, 40_000.0, 1, 0);
    assert!(laid.1[0].text.contains("The features 1, 2, 3 overlap by 80000.00 m2"));
    let laid = united(&[&one, &[square(50.0, 50.0, 20.0)]]);
    assert_field(&laid, 40_000.0, 1, 0);
    assert!(laid.1[0].text.contains("if one of those is meant as a hole"), "{}", laid.1[0].text);
    // A polygon that covers a part of another's hole, and ground beside it.
    let holed = [square(0.0, 0.0, 200.0), square(50.0, 50.0, 100.0)];
    let laid = united(&[&holed, &[square(50.0, 20.0, 60.0)]]);
    assert_field(&laid, 30_000.0 + 30.0 * 60.0, 1, 1);
    // A polygon that fills the hole, and one in the hole, overlap nothing.
    let laid = united(&[&holed, &[square(50.0, 50.0, 100.0)]]);
    assert!((laid.0.area().to_square_metres() - 40_000.0).abs() < 1e-4);
    assert!(laid.1.is_empty(), "{:?}", laid.1);
    let laid = united(&[&holed, &[square(60.0, 60.0, 10.0)]]);
    assert_field(&laid, 30_100.0, 2, 1);
    assert!(laid.1.is_empty());
}

#[test]
fn parts_that_do_not_overlap_stay_as_they_are_beside_those_that_do() {
    let laid = united(&[
        &[square(0.0, 0.0, 200.0)],
        &[square(1_000.0, 0.0, 100.0), square(1_020.0, 20.0, 30.0)],
        &[square(100.0, 100.0, 200.0)],
        &[square(300.0, 150.0, 50.0)],
    ]);
    let area_m2 = 70_000.0 + 10_000.0 - 900.0 + 2_500.0;
    assert!((laid.0.area().to_square_metres() - area_m2).abs() < 1e-3);
    assert_eq!(laid.0.boundary().0.len(), 3);
    assert!(laid.1[0].text.contains("The features 1, 3 overlap by 10000.00 m2"));
}

#[test]
fn tiny_parts_and_rings_without_area_are_left_out_and_told() {
    let field = || shape(1, RingsSorted::ByTheFile, &[square(0.0, 0.0, 200.0)]);
    let tiny = shape(2, RingsSorted::ByTheFile, &[square(300.0, 0.0, 0.9)]);
    let laid = lay(vec![field(), tiny.clone()]).unwrap();
    assert_field(&laid, 40_000.0, 1, 0);
    assert_eq!(keys(&laid), ["tiny_parts_dropped"]);
    assert!(laid.1[0].text.contains("0.8100 m2"), "{}", laid.1[0].text);
    assert!(refusal(lay(vec![tiny])).contains("at least 100 m2"));
    // Two places, and three that lie on one line, beside the field and as a hole.
    let two: Metres = vec![[300.0, 0.0], [310.0, 5.0]];
    let out_and_back: Metres = vec![[300.0, 0.0], [310.0, 5.0], [320.0, 30.0], [310.0, 5.0]];
    for line in [two, out_and_back.clone()] {
        let laid =
            lay(vec![field(), shape(2, RingsSorted::ByTheFile, std::slice::from_ref(&line))])
                .unwrap();
        assert_field(&laid, 40_000.0, 1, 0);
        assert!(keys(&laid).contains(&"rings_without_area"), "{:?}", laid.1);
        let hole = line.iter().map(|[x, y]| [x - 250.0, y + 20.0]).collect();
        let laid = by_the_file(&[square(0.0, 0.0, 200.0), hole]).unwrap();
        assert_field(&laid, 40_000.0, 1, 0);
        assert!(keys(&laid).contains(&"rings_without_area"), "{:?}", laid.1);
    }
    assert!(refusal(by_the_file(&[out_and_back])).contains("at least 100 m2"));
    let lost = [vec![[0.0, 0.0], [10.0, 10.0]], square(0.0, 0.0, 100.0)];
    let text = refusal(lay(vec![field(), shape(2, RingsSorted::ByTheFile, &lost)]));
    assert!(text.contains("the outer ring has 2 different places"), "{text}");
}

#[test]
fn repeated_vertices_are_told() {
    let mut ring = square(0.0, 0.0, 200.0);
    ring.insert(2, ring[1]);
    ring.push(ring[0]);
    assert_eq!(keys(&by_the_file(&[ring.clone()]).unwrap()), ["repeated_vertices"]);
    ring.remove(2);
    assert!(by_the_file(&[ring.clone()]).unwrap().1.is_empty());
    ring.push(ring[0]);
    let laid = by_the_file(&[ring]).unwrap();
    assert_eq!(keys(&laid), ["repeated_vertices"]);
    assert!(laid.1[0].text.contains("One vertex"), "{}", laid.1[0].text);
}

#[test]
fn holes_follow_the_ground_that_mending_parts() {
    let ring = vec![
        [0.0, 0.0],
        [100.0, 0.0],
        [100.0, 100.0],
        [300.0, 100.0],
        [300.0, 300.0],
        [100.0, 300.0],
        [100.0, 100.0],
        [0.0, 100.0],
    ];
    let holes = [square(150.0, 150.0, 50.0), square(20.0, 20.0, 10.0), square(250.0, 250.0, 20.0)];
    let mut rings = vec![ring];
    rings.extend(holes);
    let laid = by_the_file(&rings).unwrap();
    assert_field(&laid, 50_000.0 - 2_500.0 - 100.0 - 400.0, 2, 3);
    rings.push(square(500.0, 0.0, 10.0));
    assert!(refusal(by_the_file(&rings)).contains("lies outside its polygon"));
}
