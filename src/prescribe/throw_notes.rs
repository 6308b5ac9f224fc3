//! What the throw of the spreader tells of a map: cells that it reaches across, ground beyond the
//! edges that it reaches.

use super::notes::shown;
use crate::findings::Finding;
use crate::inputs::Job;
use crate::summary::ThrowParts;
use crate::units::Length;

/// What a throw of a known width reaches.
pub(super) fn of_throw(job: &Job, throw: &ThrowParts) -> Vec<Finding> {
    let across = narrow_cells(job, throw).into_iter();
    across.chain(thrown_into_keep_out(job, throw)).chain(thrown_off_the_field(job, throw)).collect()
}

/// Cells that the throw reaches across.
fn narrow_cells(job: &Job, throw: &ThrowParts) -> Option<Finding> {
    let width = throw.width;
    if job.cell + Length::from_metres(1e-6) >= width {
        return None;
    }
    let text = format!(
        "Cells of {} are narrower than the throw width of {}: product from the passes beside it \
         falls on each cell, so that rates side by side run into each other. Make the cells {} or \
         wider (`grid.cell`) to give each its own rate.",
        shown(job.units.length(job.cell), 1),
        shown(job.units.length(width), 1),
        shown(job.units.length(width), 1)
    );
    Some(Finding::new("cells_narrower_than_the_throw", text))
}

/// Where product comes from that flies beyond an edge.
fn flies(job: &Job, throw: &ThrowParts) -> String {
    let length = |length: Length| shown(job.units.length(length), 1);
    let half = if job.machine.abilities.outermost_line.is_some() {
        ""
    } else {
        " (half the pass spacing)"
    };
    format!(
        "The spreader throws {} to each side. With the outermost driving line {}{half} inside the \
         edge of what is spread, product flies {} beyond that edge",
        length(throw.width / 2.0),
        length(job.machine.outermost_line()),
        length(throw.beyond)
    )
}

/// The least ground that is told as reached, in square metres (ours).
const LEAST_REACHED_M2: f64 = 1.0;

fn thrown_into_keep_out(job: &Job, throw: &ThrowParts) -> Option<Finding> {
    let reached = throw.thrown.kept_out;
    if reached.to_square_metres() < LEAST_REACHED_M2 {
        return None;
    }
    let length = |length: Length| shown(job.units.length(length), 1);
    // A setback that is wider keeps product off the things themselves, but not off the setback.
    let itself = job.field.keep_out.iter().any(|part| part.setback < throw.beyond);
    let onto = if itself { ", and onto the wells, water or yards themselves" } else { "" };
    let now: Vec<String> =
        job.field.keep_out.iter().map(|part| length(part.setback + throw.beyond)).collect();
    let setback = match now.as_slice() {
        [one] => format!("`field.setback = \"{one}\"`"),
        all => format!("setbacks of {}", all.join(", ")),
    };
    let text = format!(
        "{}: it reaches {} of ground that is kept out, setback included{onto}. Drive the outermost \
         line {} from there, or throw to one side only, and state the line as \
         `spreader.outermost_line`; or add {} of setback ({setback}), which then takes what flies. \
         Around wells and water the distances of label and local rules are for product on the \
         ground, wherever the wheels are.",
        flies(job, throw),
        shown(job.units.area(reached), 2),
        length(throw.width / 2.0),
        length(throw.beyond),
    );
    Some(Finding::new("throw_reaches_keep_out", text))
}

fn thrown_off_the_field(job: &Job, throw: &ThrowParts) -> Option<Finding> {
    let reached = throw.thrown.off_field;
    if reached.to_square_metres() < LEAST_REACHED_M2 {
        return None;
    }
    let text = format!(
        "{}: it reaches {} outside the boundary, holes of the field included. Drive the outermost \
         line {} inside the boundary, {} further in, or throw to one side only along there, and \
         state the line as `spreader.outermost_line`. Beyond the boundary may lie a neighbour's \
         crop, a road, a ditch or a well.",
        flies(job, throw),
        shown(job.units.area(reached), 2),
        shown(job.units.length(throw.width / 2.0), 1),
        shown(job.units.length(throw.beyond), 1)
    );
    Some(Finding::new("throw_reaches_over_the_boundary", text))
}
