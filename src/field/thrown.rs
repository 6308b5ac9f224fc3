//! Where product flies beyond the ground that it is spread on.

use std::collections::BTreeSet;

use geo::{Area as _, BooleanOps, MultiPolygon};

use super::cells::{Cells, Shape};
use super::edges::Edges;
use super::outline::Field;
use super::place::Point;
use super::regions::{Partition, around_lines};
use crate::units::{Area, Length};

/// Ground beyond that which product is spread on, within some distance of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thrown {
    /// Outside the boundary, its holes included.
    pub off_field: Area,
    /// Kept out, setback included.
    pub kept_out: Area,
}

/// The ground within `beyond` of the cells that get product, that is none of the field's or is kept
/// out; right to 3 mm of its border.
pub fn thrown_beyond(
    field: &Field,
    partition: &Partition,
    cells: &Cells,
    gets_product: impl Fn(usize) -> bool,
    beyond: Length,
) -> Thrown {
    let beyond_m = beyond.to_metres();
    let outlines = outlines_of(field, &partition.keep_out);
    let lines: Vec<Vec<Point>> = outline_of(cells, gets_product)
        .into_iter()
        .filter(|line| is_near(line, &outlines, beyond_m))
        .collect();
    let everywhere = [f64::NEG_INFINITY, f64::NEG_INFINITY, f64::INFINITY, f64::INFINITY];
    let band = around_lines(&lines, beyond_m, &everywhere);
    let area = |ground: &MultiPolygon<f64>| Area::from_square_metres(ground.unsigned_area());
    Thrown {
        off_field: area(&band.difference(field.boundary())),
        kept_out: area(&band.intersection(&partition.keep_out)),
    }
}

/// The edges of the boundary and of what is kept out.
fn outlines_of(field: &Field, keep_out: &MultiPolygon<f64>) -> Edges {
    let mut edges: Vec<(Point, Point)> = Vec::new();
    for polygon in field.boundary().iter().chain(keep_out) {
        for ring in std::iter::once(polygon.exterior()).chain(polygon.interiors()) {
            let point = |at: geo::Coord<f64>| Point { x_m: at.x, y_m: at.y };
            edges.extend(ring.lines().map(|line| (point(line.start), point(line.end))));
        }
    }
    Edges::of_edges(edges)
}

/// Whether something of a line may lie within a distance of the outlines.
fn is_near(line: &[Point], outlines: &Edges, metres: f64) -> bool {
    line.windows(2).any(|edge| {
        let [a, b] = [edge[0], edge[1]];
        let middle = Point { x_m: f64::midpoint(a.x_m, b.x_m), y_m: f64::midpoint(a.y_m, b.y_m) };
        outlines.are_within_m(middle, metres + a.distance_m(b) / 2.0)
    })
}

/// The outline of the cells that get product, edge by edge: neighbours share their vertices, so
/// that every edge between two of them is there in both directions.
fn outline_of(cells: &Cells, gets_product: impl Fn(usize) -> bool) -> Vec<Vec<Point>> {
    let mut edges: BTreeSet<(u32, u32)> = BTreeSet::new();
    for (_, cell) in cells.list.iter().enumerate().filter(|(at, _)| gets_product(*at)) {
        for (from, to) in edges_of(&cell.shape) {
            if !edges.remove(&(to, from)) {
                edges.insert((from, to));
            }
        }
    }
    let point = |vertex: u32| cells.vertices[vertex as usize].point;
    edges.into_iter().map(|(from, to)| vec![point(from), point(to)]).collect()
}

fn edges_of(shape: &Shape) -> Vec<(u32, u32)> {
    shape.pieces().iter().flat_map(|piece| piece.edges().collect::<Vec<_>>()).collect()
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::super::cells::tests::{cells_in, cells_of, field_at};
    use super::super::{Frame, KeepOut, LonLat, part_field};
    use super::*;
    use crate::inputs::{
        CoordinateSystem, Feature, FeatureLayer, RawGeometry, RawPolygon, RingsSorted,
    };
    use crate::units::UnitSystem;

    const PLACE: (f64, f64) = (8.0, 48.0);

    fn square(half_m: f64) -> [[f64; 2]; 4] {
        [[-half_m, -half_m], [half_m, -half_m], [half_m, half_m], [-half_m, half_m]]
    }

    fn thrown(field: &Field, partition: &Partition, cells: &Cells, beyond_m: f64) -> [f64; 2] {
        let beyond = Length::from_metres(beyond_m);
        let thrown = thrown_beyond(field, partition, cells, |_| true, beyond);
        [thrown.off_field, thrown.kept_out].map(Area::to_square_metres)
    }

    /// What 3 mm along a border amount to.
    fn assert_near(found: f64, expected: f64, border_m: f64) {
        assert!((found - expected).abs() < 0.003 * border_m + 0.1, "{found} is not {expected}");
    }

    #[test]
    fn a_square_throws_a_band_with_round_corners_beyond_its_boundary() {
        let field = field_at(PLACE, &square(100.0), &[]);
        let cells = cells_of(&field, 20.0, 0.0);
        let partition = Partition::whole(&field);
        for beyond_m in [3.0, 12.5] {
            let [off, kept] = thrown(&field, &partition, &cells, beyond_m);
            assert_near(off, 800.0 * beyond_m + PI * beyond_m * beyond_m, 900.0);
            assert_eq!(kept, 0.0);
        }
    }

    #[test]
    fn only_ground_that_gets_product_throws() {
        let field = field_at(PLACE, &square(100.0), &[]);
        let cells = cells_of(&field, 20.0, 0.0);
        let partition = Partition::whole(&field);
        let beyond = Length::from_metres(5.0);
        let of = |gets: &dyn Fn(usize) -> bool| {
            thrown_beyond(&field, &partition, &cells, gets, beyond).off_field.to_square_metres()
        };
        // The western half: three sides of 100, 200 and 100 m, two round corners outside, and at
        // each of the two ends a quarter circle that reaches beyond the half.
        let west = |at: usize| cells.list[at].value_point.x_m < 0.0;
        let half = 400.0 * 5.0 + PI * 25.0;
        assert_near(of(&west), half, 450.0);
        // A block in the middle reaches no border.
        let middle = |at: usize| {
            let centre = cells.list[at].value_point;
            centre.x_m.abs() < 60.0 && centre.y_m.abs() < 60.0
        };
        assert_eq!(of(&middle), 0.0);
        assert_eq!(of(&|_| false), 0.0);
    }

    #[test]
    fn kept_out_ground_is_reached_from_its_border_inward() {
        let field = field_at(PLACE, &square(100.0), &[]);
        let frame = Frame::centred_on(LonLat { lon_deg: PLACE.0, lat_deg: PLACE.1 });
        let outer = square(30.0)
            .map(|[x_m, y_m]| frame.inverse(Point { x_m, y_m }))
            .map(|at| [at.lon_deg, at.lat_deg]);
        let area = RawPolygon {
            feature: 1,
            outer: outer.to_vec(),
            holes: Vec::new(),
            sorted: RingsSorted::ByTheFile,
        };
        let geometry = RawGeometry { areas: vec![area], ..RawGeometry::default() };
        let layer = FeatureLayer {
            file: "yard.geojson".into(),
            system: CoordinateSystem::Wgs84Degrees,
            columns: Vec::new(),
            features: vec![Feature { number: 1, geometry, attributes: Vec::new() }],
        };
        let keep = KeepOut { layer: &layer, setback: Length::ZERO };
        let (partition, _) =
            part_field(&field, &[keep], None, &[], None, UnitSystem::Metric).unwrap();
        let cells = cells_in(&field, &partition, 20.0, 0.0);
        let [off, kept] = thrown(&field, &partition, &cells, 4.0);
        // A frame of 4 m inside a square of 60 m.
        assert_near(kept, 60.0 * 60.0 - 52.0 * 52.0, 240.0);
        assert_near(off, 800.0 * 4.0 + PI * 16.0, 900.0);
    }
}
