//! Boundary and samples that do not fit because of one slip: refused with the slip and the count of
//! samples that it puts into the field.
//!
//! The square of 400 m in Illinois lies in UTM zone 16 and in the eastern zone of the state's plane
//! coordinates (EPSG:3435 in US survey feet, EPSG:26971 in metres). PROJ gives the numbers.

use proj::Proj;

use super::cases::{JOB, SQUARE, plain, table};
use super::support::Job;

const CORNERS: [[f64; 2]; 4] = [
    [-89.0030368, 39.9938848],
    [-88.998354, 39.9939657],
    [-88.998459, 39.9975674],
    [-89.0031421, 39.9974865],
];

fn in_system(system: &str, [lon, lat]: [f64; 2]) -> [f64; 2] {
    let (x, y) =
        Proj::new_known_crs("EPSG:4326", system, None).unwrap().convert((lon, lat)).unwrap();
    [x, y]
}

/// The nine samples with easting and northing.
fn projected(place: impl Fn([f64; 2]) -> [f64; 2]) -> String {
    table(|id, lat, lon, ph| {
        let [x, y] = place([lon, lat]);
        format!("{id},{x},{y},{ph}")
    })
    .replace("lat,lon", "easting,northing")
}

/// A boundary whose numbers are in some system, which its member names or does not.
fn boundary(named: Option<&str>, place: impl Fn([f64; 2]) -> [f64; 2]) -> String {
    let mut ring = CORNERS.map(place).to_vec();
    ring.push(ring[0]);
    let member = named.map_or_else(String::new, |name| {
        format!("\"crs\":{{\"type\":\"name\",\"properties\":{{\"name\":\"{name}\"}}}},")
    });
    format!("{{{member}\"type\":\"Polygon\",\"coordinates\":[{ring:?}]}}")
}

fn said(boundary: &str, samples: &str, sets: &[&str]) -> String {
    let said = Job::new(JOB, boundary, samples).refused(sets);
    // Lines are broken for the reader.
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn assert_cause(said: &str, cause: &str) {
    assert!(said.contains("0 of 9") && said.contains(cause), "not `{cause}`: {said}");
}

#[test]
fn samples_in_another_zone_or_unit_or_grid_are_told_by_which_one_fits() {
    let utm = projected(|at| in_system("EPSG:32616", at));
    for (samples, declared, cause) in [
        (&utm, "EPSG:32615", "taken as UTM zone 16 north (EPSG:32616), 9 do"),
        (&utm, "EPSG:26917", "taken as UTM zone 16 north (EPSG:32616), 9 do"),
        (&utm, "EPSG:32716", "taken as UTM zone 16 north (EPSG:32616), 9 do"),
        (&utm, "EPSG:3435", "taken as UTM zone 16 north (EPSG:32616), 9 do"),
        // The neighbouring zone of the state's plane coordinates.
        (&projected(|at| in_system("EPSG:3435", at)), "EPSG:3436", "taken as EPSG:3435, 9 do"),
        (
            &projected(|at| in_system("EPSG:3435", at)),
            "EPSG:26971",
            "taken as feet where their system is in metres, 9 do",
        ),
        (
            &projected(|at| in_system("EPSG:26971", at)),
            "EPSG:3435",
            "taken as metres where their system is in feet, 9 do",
        ),
        (
            &projected(|at| in_system("EPSG:3857", at)),
            "EPSG:32616",
            "Web Mercator (EPSG:3857), 9 do",
        ),
        (&projected(|at| at), "EPSG:32616", "WGS 84 longitude and latitude in degrees, 9 do"),
        (&projected(|[lon, lat]| [lat, lon]), "EPSG:32616", "degrees, and x and y exchanged, 9 do"),
        (
            &projected(|at| {
                let [x, y] = in_system("EPSG:32616", at);
                [y, x]
            }),
            "EPSG:32616",
            "(or x and y) exchanged, 9 do",
        ),
    ] {
        let said = said(SQUARE, samples, &[&format!("samples.coordinate_system={declared}")]);
        assert_cause(&said, cause);
        assert!(
            said.contains("coordinate_system") || said.contains("columns"),
            "no way out: {said}"
        );
    }
}

#[test]
fn projected_numbers_without_a_system_are_told_by_which_one_fits() {
    for (system, cause) in [
        ("EPSG:32616", "taken as UTM zone 16 north (EPSG:32616), 9 do"),
        ("EPSG:3857", "taken as Web Mercator (EPSG:3857), 9 do"),
    ] {
        let samples = table(|id, lat, lon, ph| {
            let [x, y] = in_system(system, [lon, lat]);
            format!("{id},{y},{x},{ph}")
        });
        let said = said(SQUARE, &samples, &[]);
        assert_cause(&said, cause);
        assert!(said.contains("[samples]"), "{said}");
    }
    // Where nothing fits, every sample is listed as before.
    let samples = table(|id, lat, lon, ph| format!("{id},{},{},{ph}", lat * 7e3, lon * 9e3));
    let said = said(SQUARE, &samples, &[]);
    assert!(said.contains("S01") && said.contains("S09") && said.contains("projected"), "{said}");
}

#[test]
fn a_wrong_boundary_beside_right_samples_is_the_one_that_is_blamed() {
    let utm = projected(|at| in_system("EPSG:32616", at));
    let in_utm = ["samples.coordinate_system=EPSG:32616"];
    for (boundary, samples, sets, cause) in [
        // Longitude and latitude exchanged is a place in the Antarctic, where the samples are not.
        (
            boundary(None, |[lon, lat]| [-lon, lat]),
            utm.as_str(),
            &in_utm[..],
            "the sign of the longitude (or x) turned in the boundary, 9 do",
        ),
        (
            boundary(Some("EPSG:32615"), |at| in_system("EPSG:32616", at)),
            &plain(),
            &[],
            "the coordinates of the boundary taken as UTM zone 16 north (EPSG:32616), 9 do",
        ),
        (
            boundary(Some("EPSG:26971"), |at| in_system("EPSG:3435", at)),
            &plain(),
            &[],
            "the coordinates of the boundary taken as feet where their system is in metres, 9 do",
        ),
        (
            boundary(Some("EPSG:32616"), |at| in_system("EPSG:3857", at)),
            &plain(),
            &[],
            "the coordinates of the boundary taken as Web Mercator (EPSG:3857), 9 do",
        ),
    ] {
        let said = said(&boundary, samples, sets);
        assert_cause(&said, cause);
        assert!(said.contains("boundary"), "{said}");
    }
}

/// A field in Germany, whose coordinates are in range when they are exchanged: which of the two
/// files is wrong cannot be known, and both are named.
#[test]
fn an_exchange_in_either_of_two_files_in_degrees_names_both() {
    let north = |at: [f64; 2]| [at[0] + 98.0, at[1] + 12.0];
    let field = boundary(None, |at| {
        let [lon, lat] = north(at);
        [lat, lon]
    });
    let samples = table(|id, lat, lon, ph| {
        let [lon, lat] = north([lon, lat]);
        format!("{id},{lat},{lon},{ph}")
    });
    let said = said(&field, &samples, &[]);
    assert_cause(&said, "longitude and latitude (or x and y) exchanged, 9 do");
    assert!(
        said.contains("the columns or the signs of the samples")
            && said.contains("or the boundary file"),
        "{said}"
    );
}

/// More samples than are tried: the evidence says so.
#[test]
fn of_many_samples_a_few_hundred_are_tried() {
    let rows = (0..5_000_u32).map(|n| {
        let (east, north) = (f64::from(n % 71), f64::from(n / 71));
        let [lon, lat] = [-89.0028 + east * 5e-5, 39.9942 + north * 4e-5];
        format!("S{n},{lat},{},6.0\n", -lon)
    });
    let samples = format!("sample_id,lat,lon,ph\n{}", rows.collect::<String>());
    let said = said(SQUARE, &samples, &[]);
    assert!(said.contains("0 of 5000 samples lie in the field"), "{said}");
    assert!(
        said.contains("the sign of the longitude (or x) turned, 295 of the 295 that were tried do"),
        "{said}"
    );
}
