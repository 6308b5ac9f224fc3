//! The cells of a load map as a table of text (RFC 4180), one row each.

use super::names::{ColumnNames, area_number, need_number, product_number};
use super::{ExportFile, LoadArea, LoadMap, PolygonE7};
use crate::outputs::csv_text::{LINE_END, write_text};
use crate::outputs::number::write_value;

/// The table of the cells; where there are areas of one rate, of these.
pub(super) fn csv_file(map: &LoadMap, stem: &str) -> ExportFile {
    let names = ColumnNames::of(map.unit);
    let mut out = Vec::with_capacity(map.areas.len() * 96);
    let ColumnNames { rate, area, ph, need, product } = names;
    let heads = ["name", "centre_lon_deg", "centre_lat_deg", area, ph, need, rate, product];
    out.extend(heads.join(",").bytes());
    out.extend(LINE_END);
    for area in &map.areas {
        row(&mut out, area, map);
    }
    ExportFile { name: format!("{stem}.csv"), bytes: out }
}

fn row(out: &mut Vec<u8>, area: &LoadArea, map: &LoadMap) {
    write_text(out, &area.name);
    let [lon, lat] = centre(&area.shape);
    out.extend(format!(",{lon:.7},{lat:.7}").bytes());
    let unit = map.unit;
    for number in [
        area_number(unit, area.area),
        area.ph,
        need_number(unit, area.need),
        unit.number(area.rate),
        product_number(unit, area.product),
    ] {
        out.push(b',');
        write_value(out, number);
    }
    out.extend(LINE_END);
}

/// The centroid of polygons in degrees, taken as if degrees were lengths: over a cell that is as
/// near as it is written.
fn centre(polygons: &[PolygonE7]) -> [f64; 2] {
    let Some(&origin) = polygons.first().and_then(|polygon| polygon.outer.first()) else {
        return [0.0; 2];
    };
    let from_origin =
        |corner: [i32; 2]| [0, 1].map(|axis| f64::from(corner[axis]) - f64::from(origin[axis]));
    let (mut twice, mut sum) = (0.0, [0.0; 2]);
    for polygon in polygons {
        for ring in std::iter::once(&polygon.outer).chain(&polygon.holes) {
            for (at, &corner) in ring.iter().enumerate() {
                let (a, b) = (from_origin(corner), from_origin(ring[(at + 1) % ring.len()]));
                let cross = a[0] * b[1] - b[0] * a[1];
                twice += cross;
                for axis in 0..2 {
                    sum[axis] += cross * (a[axis] + b[axis]);
                }
            }
        }
    }
    // Corners on one line have no area, and the first of them stands for them.
    let away = |axis: usize| if twice > 0.0 { sum[axis] / (3.0 * twice) } else { 0.0 };
    [0, 1].map(|axis| (f64::from(origin[axis]) + away(axis)) / 1e7)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_is_a_formula_or_breaks_its_row() {
        let written = |cell: &str| {
            let mut out = Vec::new();
            write_text(&mut out, cell);
            String::from_utf8(out).unwrap()
        };
        assert_eq!(written("12-7b"), "12-7b");
        assert_eq!(written("=1+1"), "'=1+1");
        assert_eq!(written("@x, \"y\""), "\"'@x, \"\"y\"\"\"");
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader("\"'@x, \"\"y\"\"\",b\r\n".as_bytes());
        let record = reader.records().next().unwrap().unwrap();
        assert_eq!(record.iter().collect::<Vec<_>>(), ["'@x, \"y\"", "b"]);
    }

    #[test]
    fn the_centre_is_that_of_all_parts_less_the_holes() {
        let square = |west: i32, side: i32| {
            vec![[west, 0], [west + side, 0], [west + side, side], [west, side]]
        };
        let one = PolygonE7 { outer: square(0, 100), holes: Vec::new() };
        let two = PolygonE7 { outer: square(300, 100), holes: Vec::new() };
        let near = |found: [f64; 2], expected: [f64; 2]| {
            (0..2).all(|axis| (found[axis] * 1e7 - expected[axis]).abs() < 1e-6)
        };
        assert!(near(centre(std::slice::from_ref(&one)), [50.0, 50.0]));
        assert!(near(centre(&[one, two]), [200.0, 50.0]));
        let mut hole = square(100, 100);
        hole.reverse();
        let holed = PolygonE7 { outer: square(0, 200), holes: vec![hole] };
        // (200² · 100 − 100² · 150) / (200² − 100²)
        let x = 2_500_000.0 / 30_000.0;
        assert!(near(centre(&[holed]), [x, 3_500_000.0 / 30_000.0]));
    }
}
