//! What the spreader reaches on the field: measured from the finished map, which it never changes.

use crate::field::{
    Cells, Field, LonLat, Partition, Thrown, likely_headings, passes_at, runs_along, thrown_beyond,
};
use crate::inputs::Job;
use crate::machine::RATE_CHANGE_SOURCE;
use crate::prescription::Prescription;
use crate::sources::source;
use crate::summary::{ChangeParts, MachineParts, ThrowParts};
use crate::units::{Area, Length};

/// The ground that a job is prescribed on.
pub(super) struct Ground<'a> {
    pub(super) field: &'a Field,
    pub(super) partition: &'a Partition,
    pub(super) cells: &'a Cells,
}

/// What the spreader reaches.
pub(super) fn measure(
    job: &Job,
    ground: &Ground<'_>,
    map: &Prescription,
    applications: &[Prescription],
) -> MachineParts {
    let spacing = job.machine.pass_spacing;
    let passes = passes_at(ground.field, job.heading, spacing);
    let fewest = likely_headings(ground.field)
        .into_iter()
        .map(|likely| (likely, passes_at(ground.field, likely.heading, spacing)))
        .min_by_key(|(_, passes)| *passes)
        .filter(|(_, fewest)| *fewest < passes);
    MachineParts {
        change: rate_changes(job, ground.cells, applications),
        throw: throw(job, ground, map),
        runs: applications.iter().map(|one| run(job, ground, one)).collect(),
        passes,
        fewest,
    }
}

/// From the pile to the ground that gets product, in a straight line: the mean over its area.
fn run(job: &Job, ground: &Ground<'_>, spread: &Prescription) -> Option<Length> {
    let [lon_deg, lat_deg] = job.field.site.pile_deg?;
    let pile = ground.field.frame().forward(LonLat { lon_deg, lat_deg });
    let treated = ground.cells.list.iter().zip(&spread.cells);
    let (area, sum) = treated.filter(|(_, rate)| rate.rate.spreads()).fold(
        (0.0, 0.0),
        |(area, sum), (cell, _)| {
            let away = f64::hypot(cell.value_point.x_m - pile.x_m, cell.value_point.y_m - pile.y_m);
            let of_cell = cell.area.to_square_metres();
            (area + of_cell, sum + of_cell * away)
        },
    );
    (area > 0.0).then(|| Length::from_metres(sum / area))
}

fn rate_changes(job: &Job, cells: &Cells, applications: &[Prescription]) -> Option<ChangeParts> {
    let speed = job.machine.speed?;
    let time = job.machine.rate_change();
    let distances = time.distances(speed);
    let mut runs: Vec<_> = applications
        .iter()
        .flat_map(|one| runs_along(cells, job.heading, |at| one.cells[at].rate))
        .collect();
    runs.retain(|run| run.changes);
    let shorter_than = |distance: Length| -> Area {
        // A run that is as long as the distance but for a rounding error is long enough.
        let short = runs.iter().filter(|run| run.length < distance - Length::from_metres(1e-3));
        short.map(|run| run.area).sum()
    };
    let source = if time.is_own {
        "the job".to_owned()
    } else {
        source(RATE_CHANGE_SOURCE)
            .map_or_else(|| RATE_CHANGE_SOURCE.to_owned(), ToString::to_string)
    };
    Some(ChangeParts {
        time,
        source,
        distances,
        shortest: runs.iter().map(|run| run.length).reduce(Length::min),
        short: distances.map(shorter_than),
    })
}

fn throw(job: &Job, ground: &Ground<'_>, map: &Prescription) -> Option<ThrowParts> {
    let width = job.machine.abilities.throw_width?;
    let beyond = job.machine.throw_beyond_edge();
    let thrown = beyond.map_or(Thrown { off_field: Area::ZERO, kept_out: Area::ZERO }, |beyond| {
        let gets_product = |at: usize| map.cells[at].rate.spreads();
        thrown_beyond(ground.field, ground.partition, ground.cells, gets_product, beyond)
    });
    Some(ThrowParts { width, beyond: beyond.unwrap_or(Length::ZERO), thrown })
}
