//! Keys of the job that nothing in this run depends on. A key that is quietly ignored looks as if
//! it counted.

use super::reading::ReadLayer;
use crate::findings::{Finding, Place};
use crate::inputs::Job;
use crate::units::{SoilValue, is_by_volume};

/// One finding that names them all, where there are any.
pub(super) fn unused_keys(job: &Job, layer: &ReadLayer) -> Option<Finding> {
    let file = &job.effective;
    let samples = file.samples.as_ref().map(|table| &table.value);
    let need = file.need.as_ref().map(|table| &table.value);
    let material = file.material.as_ref().map(|table| &table.value);
    let haul = file.haul.as_ref().map(|table| &table.value);
    let prepared = &layer.prepared;
    let reads_buffer = prepared.reads_buffer();
    let reads_capacity = prepared.reads_value(SoilValue::BufferCapacity);
    let takes_density = prepared.takes_density() || is_judged_by_volume(layer);
    let credits = prepared.credits_earlier_lime();
    let no_loads = haul.is_none_or(|haul| haul.truck_payload.is_none());
    let no_task_data = !job.export.files.iter().any(|format| format.is_task_data());
    let unused = [
        (
            "need.soil_class",
            need.is_some_and(|need| need.soil_class.is_some())
                && (!credits || job.history.is_empty()),
            if credits { "there is no [[history]] to credit" } else { "the method asks for none" },
        ),
        (
            "samples.buffer_blank_above",
            samples.is_some_and(|samples| samples.buffer_blank_above.is_some()) && !reads_buffer,
            "the method reads no buffer",
        ),
        (
            "samples.buffer",
            samples.is_some_and(|samples| samples.buffer.is_some()) && !reads_buffer,
            "the method reads no buffer",
        ),
        (
            "samples.al_extract",
            job.samples.al_extract.is_some()
                && layer.given.units.get(SoilValue::Aluminium).is_none(),
            "the samples have no aluminium",
        ),
        (
            "samples.buffer_capacity_read",
            job.samples.capacity_read.is_some() && !reads_capacity,
            "the method reads no lime buffer capacity",
        ),
        (
            "samples.bulk_density",
            job.samples.bulk_density.is_some() && !takes_density,
            "the need takes no mass of soil, and no charge by mass",
        ),
        (
            "material.price_at",
            material.is_some_and(|it| it.price_at.is_some() && it.price.is_none()),
            "there is no price",
        ),
        (
            "spreader.box_volume",
            job.machine.box_volume.is_some() && job.material.bulk_density.is_none(),
            "without material.bulk_density a volume says nothing of tons",
        ),
        (
            "haul.round_trip",
            haul.is_some_and(|haul| haul.round_trip.is_some() || haul.road_speed.is_some())
                && no_loads,
            "without haul.truck_payload there are no trips to count",
        ),
        (
            "export.unit",
            job.export.unit.is_some() && job.export.files.is_empty(),
            "no files are asked for",
        ),
        (
            "export.raster_cell",
            job.export.raster_cell.is_some()
                && !job.export.files.iter().any(|format| format.is_grid()),
            "no grid is asked for",
        ),
        (
            "export.out_of_field_rate",
            job.export.out_of_field_rate.is_some() && no_task_data,
            "no ISO 11783-10 task data are asked for",
        ),
        (
            "export.signal_lost_rate",
            job.export.signal_lost_rate.is_some() && no_task_data,
            "no ISO 11783-10 task data are asked for",
        ),
    ];
    let told: Vec<String> = unused
        .into_iter()
        .filter(|(_, is_unused, _)| *is_unused)
        .map(|(key, _, why)| format!("`{key}` ({why})"))
        .collect();
    if told.is_empty() {
        return None;
    }
    let text = format!("The job states what nothing here depends on: {}.", told.join(", "));
    Some(Finding::at("unused_keys", Place::in_file(job.file.clone()), text))
}

/// Whether the density turns aluminium into that of a mass of soil, by which its risk is judged.
fn is_judged_by_volume(layer: &ReadLayer) -> bool {
    layer.given.units.get(SoilValue::Aluminium).is_some_and(is_by_volume)
}
