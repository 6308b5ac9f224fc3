//! Coordinates that cannot be what they are said to be, and ground that two areas share.

use crate::field::LonLat;
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::CoordinateSystem;
use crate::inputs::exports::{FoundExport, ReadArea, ReadGround, ReadMap};
use crate::units::Area;

/// The smallest field that is taken, 10 m by 10 m, in square metres: less ground than that in
/// numbers that could be degrees is a field in degrees.
const LEAST_FIELD_M2: f64 = 100.0;

/// Points on a side of the grid over a map in which areas that share ground are looked for (ours).
const POINTS_ON_A_SIDE: usize = 64;
/// Where in its own cell of that grid each point lies: off the lines that maps are drawn on.
const OFF_CENTRE: [f64; 2] = [0.381_966, 0.618_034];
/// The part of the points in any area that must lie in two before it is told: the edges of areas
/// that were drawn by hand overlap a little (ours).
const SHARED_TOLD_FROM: f64 = 0.01;

/// Refuses degrees that are said to be lengths.
///
/// # Errors
/// Refuses numbers that could be degrees and come to less ground than any field.
pub(super) fn not_degrees(found: &FoundExport, map: &ReadMap, ground: Area) -> Result<(), Refusal> {
    if found.system == CoordinateSystem::Wgs84Degrees || ground.to_square_metres() <= 0.0 {
        return Ok(());
    }
    let Some(([west, south], [east, north])) = around(&map.ground) else { return Ok(()) };
    let could_be = west >= -180.0 && east <= 180.0 && south >= -90.0 && north <= 90.0;
    if !could_be || ground.to_square_metres() >= LEAST_FIELD_M2 {
        return Ok(());
    }
    let middle =
        LonLat { lon_deg: f64::midpoint(west, east), lat_deg: f64::midpoint(south, north) };
    let what = format!(
        "its coordinates, around {:.4} and {:.4}, look like longitude and latitude in degrees, and \
         it says that they are in {}, in which all its ground is less than {LEAST_FIELD_M2} m2",
        middle.lon_deg,
        middle.lat_deg,
        found.system.in_words()
    );
    Err(Problem::at(Place::in_file(&found.file), what)
        .allowed("coordinates in the system that the file names")
        .hint(
            "the stated system is probably wrong: export the map again as WGS 84 degrees \
             (EPSG:4326)",
        )
        .into())
}

/// What is told of areas that share ground: product would be spread there twice, or the controller
/// takes one of the two rates. It is looked for in a grid of points, so that small overlaps may be
/// missed; ones that are told are there.
pub(super) fn shared_ground(ground: &ReadGround) -> Option<String> {
    let ReadGround::Areas(areas) = ground else { return None };
    let ([west, south], [east, north]) = around(ground)?;
    let boxes: Vec<_> = areas.iter().map(box_of).collect();
    let (mut in_any, mut in_several) = (0_usize, 0_usize);
    for at in 0..POINTS_ON_A_SIDE * POINTS_ON_A_SIDE {
        let part = |index: usize, off: f64| (index as f64 + off) / POINTS_ON_A_SIDE as f64;
        let point = [
            west + (east - west) * part(at % POINTS_ON_A_SIDE, OFF_CENTRE[0]),
            south + (north - south) * part(at / POINTS_ON_A_SIDE, OFF_CENTRE[1]),
        ];
        let near = areas.iter().zip(&boxes).filter(|(_, area)| {
            area.is_some_and(|(low, high)| {
                (0..2).all(|axis| (low[axis]..=high[axis]).contains(&point[axis]))
            })
        });
        let count = near.filter(|(area, _)| holds(area, point)).take(2).count();
        in_any += usize::from(count > 0);
        in_several += usize::from(count > 1);
    }
    let share = in_several as f64 / in_any.max(1) as f64;
    (in_several > 0 && share >= SHARED_TOLD_FROM).then(|| {
        format!(
            "Its areas lie over one another: of {in_any} points in them, {in_several} ({:.0} %) \
             are in two or more. Their ground and product are counted for each, and a controller \
             takes one of the rates.",
            share * 100.0
        )
    })
}

type Corners = ([f64; 2], [f64; 2]);

/// The least and greatest numbers of some ground; `None` where it has no place.
fn around(ground: &ReadGround) -> Option<Corners> {
    match ground {
        ReadGround::Areas(areas) => {
            areas.iter().filter_map(box_of).reduce(|(low, high), (other_low, other_high)| {
                (
                    [low[0].min(other_low[0]), low[1].min(other_low[1])],
                    [high[0].max(other_high[0]), high[1].max(other_high[1])],
                )
            })
        }
        ReadGround::Grid(grid) => {
            let east = grid.west_deg + grid.cell_lon_deg * grid.columns as f64;
            let north = grid.south_deg + grid.cell_lat_deg * grid.rows as f64;
            Some(([grid.west_deg, grid.south_deg], [east, north]))
        }
        ReadGround::Rows(_) => None,
    }
}

fn box_of(area: &ReadArea) -> Option<Corners> {
    let points = area.polygons.iter().flatten().flatten();
    points.map(|&point| (point, point)).reduce(|(low, high), (point, _)| {
        (
            [low[0].min(point[0]), low[1].min(point[1])],
            [high[0].max(point[0]), high[1].max(point[1])],
        )
    })
}

/// Whether a ray from the point to the east crosses the rings of any polygon of an area an odd
/// number of times.
fn holds(area: &ReadArea, [x, y]: [f64; 2]) -> bool {
    let crossings = |ring: &Vec<[f64; 2]>| {
        let next = ring.iter().cycle().skip(1);
        let edges = ring.iter().zip(next);
        edges
            .filter(|(a, b)| {
                (a[1] > y) != (b[1] > y) && x < (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1]) + a[0]
            })
            .count()
    };
    let is_in =
        |rings: &Vec<Vec<[f64; 2]>>| !rings.iter().map(crossings).sum::<usize>().is_multiple_of(2);
    area.polygons.iter().any(is_in)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inputs::exports::ReadExport;

    fn square(west: f64, south: f64, side: f64) -> Vec<[f64; 2]> {
        let corners = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
        corners.map(|[x, y]| [west + side * x, south + side * y]).to_vec()
    }

    fn area(polygon: Vec<Vec<[f64; 2]>>) -> ReadArea {
        ReadArea { polygons: vec![polygon], rate: Some(1.0) }
    }

    #[test]
    fn ground_in_two_areas_is_told_and_neighbours_and_holes_are_not() {
        let side_by_side = [area(vec![square(0.0, 0.0, 1.0)]), area(vec![square(1.0, 0.0, 1.0)])];
        assert_eq!(shared_ground(&ReadGround::Areas(side_by_side.to_vec())), None);
        let in_a_hole = [
            area(vec![square(0.0, 0.0, 4.0), square(1.0, 1.0, 1.0)]),
            area(vec![square(1.0, 1.0, 1.0)]),
        ];
        assert_eq!(shared_ground(&ReadGround::Areas(in_a_hole.to_vec())), None);
        let twice = [area(vec![square(0.0, 0.0, 1.0)]), area(vec![square(0.0, 0.0, 1.0)])];
        let said = shared_ground(&ReadGround::Areas(twice.to_vec())).unwrap();
        assert!(said.contains("of 4096 points in them, 4096 (100 %)"), "{said}");
    }

    #[test]
    fn degrees_that_are_called_metres_are_refused() {
        let ground = ReadGround::Areas(vec![area(vec![square(-93.2, 42.0, 0.004)])]);
        let map = ReadMap { name: "rate_t_ha".into(), unit: Some("t/ha"), ground };
        let found = |system| FoundExport {
            file: "map.shp".into(),
            system,
            export: ReadExport { format: String::new(), maps: vec![map.clone()], faults: vec![] },
        };
        let utm = found(CoordinateSystem::Declared("EPSG:32615".into()));
        let refused = not_degrees(&utm, &map, Area::from_square_metres(1.6e-5)).unwrap_err();
        let said = refused.to_string();
        assert!(said.contains("look like longitude and latitude"), "{said}");
        assert!(said.contains("EPSG:32615") && said.contains("map.shp"), "{said}");
        // Degrees of another datum come to a field.
        let other = found(CoordinateSystem::Declared("EPSG:4258".into()));
        assert!(not_degrees(&other, &map, Area::from_hectares(14.0)).is_ok());
        let plain = found(CoordinateSystem::Wgs84Degrees);
        assert!(not_degrees(&plain, &map, Area::from_square_metres(1.0)).is_ok());
    }
}
