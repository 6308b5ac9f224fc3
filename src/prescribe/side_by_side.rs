//! Several methods on one field: laid out and weighed once, then each method from the readings to
//! the order, as a run of its own has it.

use super::drawn::{Weighed, draw_layers, weigh_layers};
use super::ordering::ordered_in;
use super::rating::{Rated, orders_on, override_list, rated};
use super::reading::{Gathered, ReadLayer};
use crate::error::Error;
use crate::field::{Cells, Partition, lay_cells};
use crate::findings::Finding;
use crate::inputs::Job;
use crate::prescription::{CellSoil, SoilLayer, whole_needs};
use crate::summary::{MethodResultPart, ResultParts, method_result};
use crate::units::Area;

/// The field with the weights of its samples, which are the same for every method.
pub(super) struct SideBySide<'a> {
    partition: &'a Partition,
    cells: Cells,
    weighed: Vec<Weighed>,
}

impl<'a> SideBySide<'a> {
    /// Lays the cells and weighs the samples there; `layers` are those of any method, whose samples
    /// lie where all others' do.
    ///
    /// # Errors
    /// Refuses cells that cannot be laid.
    pub(super) fn lay(gathered: &'a Gathered, layers: &[ReadLayer]) -> Result<Self, Error> {
        let Gathered { job, field, partition, .. } = gathered;
        let cells = lay_cells(field, partition, job.cell, job.heading)?;
        let weighed = weigh_layers(&cells, partition, layers)?;
        Ok(Self { partition, cells, weighed })
    }

    /// What laying the cells told.
    pub(super) fn findings(&self) -> &[Finding] {
        &self.cells.findings
    }

    /// The mapped area.
    pub(super) fn area(&self) -> Area {
        self.cells.list.iter().map(|cell| cell.area).sum()
    }

    /// What the method of `job`, fitted to `layers`, comes to.
    ///
    /// # Errors
    /// As a run of the job fails.
    pub(super) fn run(&self, job: &Job, layers: &[ReadLayer]) -> Result<MethodResultPart, Error> {
        let Self { partition, cells, weighed } = self;
        let drawn = draw_layers(job, cells, layers, weighed)?;
        let soils: Vec<SoilLayer<'_>> = drawn
            .iter()
            .zip(layers)
            .map(|(drawn, layer)| SoilLayer {
                cells: &drawn.soil,
                values: &drawn.of_cells.values,
                given: &layer.given,
                prepared: &layer.prepared,
            })
            .collect();
        let list = override_list(job);
        let orders = orders_on(&list, cells, partition);
        let with = (&job.machine, job.material.effective);
        let Rated { whole: prescription, applications, .. } =
            rated(job, cells, partition, &whole_needs(&soils), &orders, with)?;
        let ordered = ordered_in(job, &applications);
        let layers: Vec<&[CellSoil]> = drawn.iter().map(|drawn| drawn.soil.as_slice()).collect();
        Ok(method_result(&ResultParts {
            job,
            prescription: &prescription,
            spread_over: applications.iter().map(|one| one.treated_area).sum(),
            totals: &ordered.totals,
            haul: ordered.haul,
            layers: &layers,
        }))
    }
}
