//! What is handed to the spreader, from a finished prescription.

use geo::{LineString, MultiPolygon};

use super::Work;
use super::files::mean_ph;
use crate::field::{Cells, Frame, PieceRings, Point, Shape};
use crate::outputs::{ElsewhereRates, LoadArea, LoadLabel, LoadMap, PolygonE7, RingE7};
use crate::prescription::{Prescription, RateArea, RateAreas};
use crate::units::ProductRate;

/// The map of each application, in their order.
pub(super) fn load_maps(work: &Work) -> Vec<LoadMap> {
    let numbered = work.applications.iter().enumerate();
    numbered.map(|(at, application)| load_map(work, at, application)).collect()
}

fn load_map(work: &Work, at: usize, application: &Prescription) -> LoadMap {
    let Work { job, field, partition, cells, soils, areas, .. } = work;
    let single = job.machine.single();
    let of_cells = cells.list.iter().zip(&application.cells).zip(&soils.layers[0].cells);
    let of_cells: Vec<LoadArea> = of_cells
        .map(|((cell, rate), soil)| LoadArea {
            name: cell.name(),
            shape: shape_e7(cells, &cell.shape),
            area: cell.area,
            rate: single.rate(rate.rate),
            product: rate.product,
            ph: soil.ph,
            need: rate.need,
        })
        .collect();
    let (areas, cells) = match areas {
        Some(areas) => (of_areas(work, &areas.in_application(application)), Some(of_cells)),
        None => (of_cells, None),
    };
    LoadMap {
        label: load_label(work, at),
        unit: job.controller_unit(),
        boundary: polygons_e7(field.boundary(), field.frame()),
        keep_out: polygons_e7(&partition.keep_out, field.frame()),
        areas,
        cells,
        product: application.product,
        elsewhere: ElsewhereRates {
            out_of_field: job.export.out_of_field_rate.unwrap_or(ProductRate::ZERO),
            signal_lost: job.export.signal_lost_rate.unwrap_or(ProductRate::ZERO),
        },
    }
}

/// What files for application number `at`, from 0, are of.
pub(super) fn load_label(work: &Work, at: usize) -> LoadLabel {
    let job = &work.job;
    let mut days = job.dates.spread.iter().chain(&job.dates.further_spread);
    LoadLabel {
        customer: job.field.customer.clone(),
        farm: job.field.farm.clone(),
        field: job.field.name.clone(),
        material: job.material.name.clone(),
        date: days.nth(at).cloned(),
        revision: job.dates.revision,
        application: at as u32 + 1,
        applications: work.applications.len() as u32,
    }
}

/// Areas of one rate of one application, by their numbers on the map.
fn of_areas(work: &Work, areas: &RateAreas) -> Vec<LoadArea> {
    let Work { job, cells, soils, .. } = work;
    let numbered = areas.list.iter().zip(1..);
    let load = |(area, number): (&RateArea, u32)| LoadArea {
        name: number.to_string(),
        shape: pieces_e7(cells, &area.shape),
        area: area.area,
        rate: job.machine.single().rate(area.rate),
        product: area.product,
        ph: mean_ph(cells, &soils.layers[0].cells, area),
        need: area.need,
    };
    numbered.map(load).collect()
}

fn shape_e7(cells: &Cells, shape: &Shape) -> Vec<PolygonE7> {
    match shape {
        Shape::Whole(corners) => {
            let outer = corners.to_vec();
            pieces_e7(cells, &[PieceRings { outer, holes: Vec::new() }])
        }
        Shape::Cut(pieces) => pieces_e7(cells, pieces),
    }
}

fn pieces_e7(cells: &Cells, pieces: &[PieceRings]) -> Vec<PolygonE7> {
    let corner = |&vertex: &u32| {
        let vertex = &cells.vertices[vertex as usize];
        [vertex.lon_e7, vertex.lat_e7]
    };
    let ring = |ring: &[u32]| ring.iter().map(corner).collect::<RingE7>();
    let polygon = |piece: &PieceRings| PolygonE7 {
        outer: ring(&piece.outer),
        holes: piece.holes.iter().map(|hole| ring(hole)).collect(),
    };
    pieces.iter().map(polygon).collect()
}

/// Polygons of the frame in degrees.
fn polygons_e7(polygons: &MultiPolygon<f64>, frame: &Frame) -> Vec<PolygonE7> {
    let ring = |ring: &LineString<f64>| -> RingE7 {
        let open = ring.0.len().saturating_sub(1);
        let corners = ring.0[..open].iter();
        corners.map(|at| frame.inverse(Point { x_m: at.x, y_m: at.y }).to_e7()).collect()
    };
    let polygon = |polygon: &geo::Polygon<f64>| PolygonE7 {
        outer: ring(polygon.exterior()),
        holes: polygon.interiors().iter().map(ring).collect(),
    };
    polygons.0.iter().map(polygon).collect()
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::super::{Allowed, prescribe};
    use super::*;

    #[test]
    fn areas_of_one_rate_come_with_the_cells_that_they_are_made_of() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_fields/heron_flat/job.toml");
        let maps = |sets: &[&str]| {
            let sets: Vec<String> = sets.iter().map(|&set| set.to_owned()).collect();
            load_maps(&prescribe(&path, &sets, Allowed::default()).unwrap().work)
        };
        let plain = &maps(&[])[0];
        assert!(plain.cells.is_none());
        let done = &maps(&["rate_areas.rates_at_most=3", "rate_areas.least_area=1 ac"])[0];
        let cells = done.cells.as_ref().unwrap();
        assert_eq!(cells.len(), plain.areas.len());
        assert!(done.areas.len() * 10 < cells.len(), "{}", done.areas.len());
        assert_eq!((done.areas[0].name.as_str(), cells[0].name.as_str()), ("1", "0-0"));
        let product = |areas: &[LoadArea]| -> f64 {
            areas.iter().map(|area| area.product.to_kilograms()).sum()
        };
        let all = done.product.to_kilograms();
        assert!((product(&done.areas) / all - 1.0).abs() < 1e-12);
        assert!((product(cells) / all - 1.0).abs() < 1e-12);
        for (area, cell) in plain.areas.iter().zip(cells) {
            assert_eq!((&area.name, &area.shape), (&cell.name, &cell.shape));
        }
        let corners = |map: &[LoadArea]| -> usize {
            let polygons = map.iter().flat_map(|area| &area.shape);
            polygons.map(|polygon| polygon.outer.len()).sum()
        };
        assert!(corners(&done.areas) * 4 < corners(cells));
    }
}
