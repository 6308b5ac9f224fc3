//! Faulty outlines through whole jobs: the tons are on the right ground, or nothing is written.
//!
//! Areas of the files from elsewhere are in the `PROVENANCE.md` beside them.

use std::fs;

use limewright::field::{Frame, LonLat, Point};

use super::support::{JOB, Job, Outcome, assert_near, root};

const HECTARES_PER_ACRE: f64 = 0.404_685_642_24;

fn table(places: &[[f64; 2]]) -> String {
    let row = |(index, [lon, lat]): (usize, &[f64; 2])| format!("S{index},{lon},{lat},5.8,6.4\n");
    let rows: String = places.iter().enumerate().map(row).collect();
    format!("sample_id,lon,lat,pH,BpH\n{rows}")
}

fn on_file(name: &str, places: &[[f64; 2]]) -> Job {
    let boundary = fs::read_to_string(root().join("tests/data").join(name)).unwrap();
    Job::new(JOB, &boundary, &table(places))
}

/// Both the area of the field and the sum of its cells.
fn assert_hectares(outcome: &Outcome, expected: f64) {
    let tolerance = expected * 2e-6;
    assert_near(outcome.value("/area") * HECTARES_PER_ACRE, expected, tolerance, "area");
    let features = outcome.features().iter();
    let sum: f64 = features.map(|f| f["properties"]["area_ac"].as_f64().unwrap()).sum();
    assert_near(sum * HECTARES_PER_ACRE, expected, tolerance, "sum of the cells");
}

const IN_THE_SQUARE: [[f64; 2]; 4] = [
    [-89.0022357, 39.9945293],
    [-88.9991919, 39.9945819],
    [-89.0023041, 39.9968704],
    [-88.9992602, 39.9969230],
];

#[test]
fn a_bow_tie_is_refused_with_the_place_where_it_crosses() {
    let said = on_file("outline_faults/bow_tie.geojson", &IN_THE_SQUARE).refused(&[]);
    assert!(said.contains("feature 1"), "{said}");
    let said: String = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("crosses itself at longitude -89.00074"), "{said}");
    assert!(said.contains("latitude 39.99572"), "{said}");
}

#[test]
fn a_ring_that_touches_itself_keeps_its_area() {
    let places = [
        [-103.423836, 35.833863],
        [-103.423836, 35.83893],
        [-103.421321, 35.835552],
        [-103.420063, 35.837241],
    ];
    let outcome = on_file("boundaries/us_csb_invalid_2.geojson", &places).prescribed(&[]);
    assert_hectares(&outcome, 30.708_776_8);
    let told = outcome.finding("rings_mended").unwrap();
    assert!(told.contains("longitude -103.4239260, latitude 35.8372948"), "{told}");
}

#[test]
fn ground_in_two_parts_that_overlap_is_limed_once() {
    let outcome = on_file("outline_faults/overlap.geojson", &IN_THE_SQUARE).prescribed(&[]);
    assert_hectares(&outcome, 24.002_279_7);
    let told = outcome.finding("parts_united").unwrap();
    assert!(told.contains("Parts of feature 1 overlap by") && told.contains("8.0005 ha"), "{told}");
}

/// A file of polygons, each a list of rings in metres around a place in Iowa.
fn drawn(polygons: &[Vec<Vec<[f64; 2]>>]) -> String {
    let frame = Frame::centred_on(LonLat { lon_deg: -93.2, lat_deg: 42.0 });
    let corner = |&[x_m, y_m]: &[f64; 2]| {
        let LonLat { lon_deg, lat_deg } = frame.inverse(Point { x_m, y_m });
        [lon_deg, lat_deg]
    };
    let ring = |ring: &Vec<[f64; 2]>| -> Vec<[f64; 2]> {
        ring.iter().chain(ring.first()).map(corner).collect()
    };
    let coordinates: Vec<Vec<Vec<[f64; 2]>>> =
        polygons.iter().map(|rings| rings.iter().map(ring).collect()).collect();
    serde_json::json!({"type": "MultiPolygon", "coordinates": coordinates}).to_string()
}

fn square(half: f64) -> Vec<[f64; 2]> {
    vec![[-half, -half], [half, -half], [half, half], [-half, half]]
}

const IN_IOWA: [[f64; 2]; 4] =
    [[-93.2018, 41.9988], [-93.1982, 41.9988], [-93.2018, 42.0012], [-93.1982, 42.0012]];

#[test]
fn an_island_in_a_hole_is_ground() {
    let boundary = drawn(&[vec![square(200.0), square(100.0)], vec![square(50.0)]]);
    let outcome = Job::new(JOB, &boundary, &table(&IN_IOWA)).prescribed(&[]);
    assert_hectares(&outcome, 16.0 - 4.0 + 1.0);
    assert!(outcome.finding("parts_united").is_none());
}

#[test]
fn a_spike_and_a_part_below_a_square_metre_change_nothing_and_are_told() {
    let plain = drawn(&[vec![square(200.0)]]);
    let mut ring = square(200.0);
    ring.extend([[-260.0, 310.0], [-200.0, 200.0]]);
    let splinter = vec![[300.0, 0.0], [300.5, 0.0], [300.0, 0.5]];
    let faulty = drawn(&[vec![ring], vec![splinter]]);
    let expected = Job::new(JOB, &plain, &table(&IN_IOWA)).prescribed(&[]);
    let outcome = Job::new(JOB, &faulty, &table(&IN_IOWA)).prescribed(&[]);
    assert_eq!(outcome.features().len(), expected.features().len());
    for total in ["/area", "/product_total", "/need_total"] {
        let (found, wanted) = (outcome.value(total), expected.value(total));
        assert_near(found, wanted, wanted * 1e-9, total);
    }
    assert!(outcome.finding("spikes_cut").is_some());
    assert!(outcome.finding("tiny_parts_dropped").unwrap().contains("1 part"));
}
