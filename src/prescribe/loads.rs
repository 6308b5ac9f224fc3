//! What is handed to the spreader, from a finished prescription.

use geo::{LineString, MultiPolygon};

use super::Work;
use crate::field::{Cells, Frame, PieceRings, Point, Shape};
use crate::outputs::{ElsewhereRates, LoadArea, LoadLabel, LoadMap, PolygonE7, RingE7};
use crate::prescription::Prescription;
use crate::units::ProductRate;

/// The map of each application, in their order.
pub(super) fn load_maps(work: &Work) -> Vec<LoadMap> {
    let numbered = work.applications.iter().enumerate();
    numbered.map(|(at, application)| load_map(work, at, application)).collect()
}

fn load_map(work: &Work, at: usize, prescription: &Prescription) -> LoadMap {
    let Work { job, field, partition, cells, soils, .. } = work;
    let single = job.machine.single();
    let areas = cells.list.iter().zip(&prescription.cells).zip(&soils.layers[0].cells);
    let areas = areas
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
    LoadMap {
        label: load_label(work, at),
        unit: job.controller_unit(),
        boundary: polygons_e7(field.boundary(), field.frame()),
        keep_out: polygons_e7(&partition.keep_out, field.frame()),
        areas,
        cells: None,
        product: prescription.product,
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

fn shape_e7(cells: &Cells, shape: &Shape) -> Vec<PolygonE7> {
    let corner = |&vertex: &u32| {
        let vertex = &cells.vertices[vertex as usize];
        [vertex.lon_e7, vertex.lat_e7]
    };
    let ring = |ring: &[u32]| ring.iter().map(corner).collect::<RingE7>();
    let polygon = |piece: &PieceRings| PolygonE7 {
        outer: ring(&piece.outer),
        holes: piece.holes.iter().map(|hole| ring(hole)).collect(),
    };
    match shape {
        Shape::Whole(corners) => vec![PolygonE7 { outer: ring(corners), holes: Vec::new() }],
        Shape::Cut(pieces) => pieces.iter().map(polygon).collect(),
    }
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
