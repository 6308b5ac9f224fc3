//! From the needs of the cells to what each application spreads: the one way there, whatever asks.

use super::areas::in_areas;
use crate::error::Error;
use crate::field::{Cells, Partition};
use crate::inputs::Job;
use crate::machine::{Machine, Override};
use crate::prescription::{Orders, Prescription, RateAreas, applications_of, prescribe_overridden};
use crate::units::{Area, EffectiveFraction, LimeNeed};

/// What the cells of a field get.
pub(super) struct Rated {
    /// What each cell would get by itself, where areas make it another than what it gets.
    pub(super) own: Option<Prescription>,
    /// What it gets: the rate of its area where there are areas.
    pub(super) whole: Prescription,
    /// The areas of one rate, where the job asks for them.
    pub(super) areas: Option<RateAreas>,
    /// What each application spreads of it.
    pub(super) applications: Vec<Prescription>,
}

/// What the overrides of a job order.
pub(super) fn override_list(job: &Job) -> Vec<Override> {
    job.overrides.iter().map(|order| order.does).collect()
}

/// The same, cell by cell.
pub(super) fn orders_on<'a>(
    list: &'a [Override],
    cells: &Cells,
    partition: &'a Partition,
) -> Orders<'a> {
    let regions = cells.list.iter().map(|cell| &partition.regions[cell.region]);
    Orders { list, of_cell: regions.map(|region| region.overrides.as_slice()).collect() }
}

/// The rates for the needs of all cells, with a machine and a material that need not be the job's.
///
/// # Errors
/// Returns a fault of the program where a ledger does not balance or areas do not tile the field.
pub(super) fn rated(
    job: &Job,
    cells: &Cells,
    partition: &Partition,
    needs: &[LimeNeed],
    orders: &Orders<'_>,
    (machine, effective): (&Machine, EffectiveFraction),
) -> Result<Rated, Error> {
    let needs: Vec<(Area, LimeNeed)> =
        cells.list.iter().zip(needs).map(|(cell, &need)| (cell.area, need)).collect();
    let own = prescribe_overridden(&needs, orders, effective, machine, partition.net)?;
    let (own, whole, areas) = match in_areas(job, cells, partition, &own, (machine, effective))? {
        Some((whole, areas)) => (Some(own), whole, Some(areas)),
        None => (None, own, None),
    };
    let applications = applications_of(&whole, effective, machine, partition.net)?;
    Ok(Rated { own, whole, areas, applications })
}
