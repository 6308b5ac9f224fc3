//! The layers of soil in a summary.

use std::collections::BTreeMap;

use super::LayerPart;
use super::build::{Builder, LayerParts};
use super::shape::{CrossCheckPart, Interpolation, SoilPart, TableLimits};
use crate::agronomy::Why;
use crate::prescription::area_by_why;
use crate::surfaces::CrossCheck;
use crate::units::{Area, CarbonateMass, Length};

impl<'a> Builder<'a> {
    /// The layer at the top, or the only one.
    pub(super) fn top(&self) -> &'a LayerParts<'a> {
        &self.parts.layers[0]
    }

    /// The layers, where there are several.
    pub(super) fn layers(&self) -> Vec<LayerPart> {
        let cells = &self.parts.prescription.cells;
        let all = self.parts.prescription.ledger.need;
        let part = |layer: &LayerParts<'_>| {
            let (depth, part) = layer.depths?;
            let need = layer.cells.iter().zip(cells).map(|(soil, cell)| soil.need * cell.area);
            let need: CarbonateMass = need.sum();
            Some(LayerPart {
                depth: self.system.depths(depth),
                part: self.system.depths(part),
                depth_factor: layer.prepared.depth_factor(),
                need_total: self.carbonate(need),
                need_share: (all > CarbonateMass::ZERO).then(|| need / all),
                soil: soil(layer),
                interpolation: self.interpolation(layer, layer.beyond),
                table_limit_area: self.table_limits(std::slice::from_ref(layer)),
            })
        };
        self.parts.layers.iter().filter_map(part).collect()
    }

    /// How a layer was drawn; `beyond` is the area on or beyond the samples, and how far off.
    pub(super) fn interpolation(
        &self,
        layer: &LayerParts<'_>,
        beyond: (Area, Length),
    ) -> Interpolation {
        let cross_check = layer.spreads.iter().filter_map(|spread| {
            let CrossCheck { samples, rmse, mean_rmse } = spread.cross_check?;
            Some((spread.key.to_owned(), CrossCheckPart { samples, rmse, mean_rmse }))
        });
        Interpolation {
            method: layer.interpolation.to_owned(),
            beyond_share: beyond.0 / self.parts.prescription.area,
            beyond_max_distance: self.system.length(beyond.1).into(),
            cross_check: cross_check.collect(),
        }
    }

    /// Where the reading of one of `layers` lies beyond the method's rows.
    pub(super) fn table_limits(&self, layers: &[LayerParts<'_>]) -> TableLimits {
        let layers: Vec<_> = layers.iter().map(|layer| layer.cells).collect();
        let cells = &self.parts.prescription.cells;
        let area_of = |limit: Why| area_by_why(cells, &layers, |why| why == limit);
        TableLimits {
            below: self.area(area_of(Why::BelowTable)),
            above: self.area(area_of(Why::AboveTable)),
        }
    }
}

/// What the samples of a layer read.
pub(super) fn soil(layer: &LayerParts<'_>) -> BTreeMap<String, SoilPart> {
    let spreads = layer.spreads.iter();
    spreads
        .map(|spread| {
            let readings = &spread.readings;
            let part = SoilPart {
                measured_in: spread.measured_in.clone(),
                samples: readings.len(),
                min: readings.iter().copied().fold(f64::INFINITY, f64::min),
                mean: readings.iter().sum::<f64>() / readings.len() as f64,
                by_zone: spread.by_zone,
                max: readings.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            };
            (spread.key.to_owned(), part)
        })
        .collect()
}
