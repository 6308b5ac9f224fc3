//! From the needs of the cells to what each application spreads: the one way there, whatever asks.

use super::areas::{held_back, in_areas};
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
/// Areas that the job leaves out this time count with the others: they are numbered by its own needs.
///
/// # Errors
/// Returns a fault of the program where a ledger does not balance or areas do not tile the field.
pub(super) fn rated(
    job: &Job,
    cells: &Cells,
    partition: &Partition,
    needs: &[LimeNeed],
    orders: &Orders<'_>,
    with: (&Machine, EffectiveFraction),
) -> Result<Rated, Error> {
    rated_in(job, cells, partition, needs, orders, with, None)
}

/// The rates that the job is carried out with: as [`rated`], with nothing on areas that are left out
/// this time.
///
/// # Errors
/// As [`rated`]; refuses numbers of areas that there are not.
pub(super) fn rated_this_time(
    job: &Job,
    cells: &Cells,
    partition: &Partition,
    needs: &[LimeNeed],
    orders: &Orders<'_>,
) -> Result<Rated, Error> {
    let only = job.rate_areas.as_ref().and_then(|asked| asked.only.as_deref());
    let with = (&job.machine, job.material.effective);
    rated_in(job, cells, partition, needs, orders, with, only)
}

fn rated_in(
    job: &Job,
    cells: &Cells,
    partition: &Partition,
    needs: &[LimeNeed],
    orders: &Orders<'_>,
    (machine, effective): (&Machine, EffectiveFraction),
    only: Option<&[u32]>,
) -> Result<Rated, Error> {
    let needs: Vec<(Area, LimeNeed)> =
        cells.list.iter().zip(needs).map(|(cell, &need)| (cell.area, need)).collect();
    let own = prescribe_overridden(&needs, orders, effective, machine, partition.net)?;
    let made = in_areas(job, cells, partition, &own, (machine, effective))?;
    let (own, whole, areas) = match (made, only) {
        (Some(made), Some(only)) => {
            let (whole, areas) = held_back(job, made, only)?;
            (Some(own), whole, Some(areas))
        }
        (Some((whole, areas)), None) => (Some(own), whole, Some(areas)),
        (None, _) => (None, own, None),
    };
    let applications = applications_of(&whole, effective, machine, partition.net)?;
    Ok(Rated { own, whole, areas, applications })
}
