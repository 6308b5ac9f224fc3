//! The first rooms of the hallway: everything is read, placed and fitted to the method.

use std::path::Path;

use super::Allowed;
use super::crops::target_of_crops;
use super::layers::{Parted, Stratum, complete, parted, told as layers_told};
use super::regions::part;
use super::zone_points::one_for_each_zone;
use super::zones::{ReadZones, match_samples, read_zones};
use crate::agronomy::{Ask, Given, LimeMethod, Prepared, Reads, ValueUnits, method};
use crate::error::Error;
use crate::field::{
    self, Field, Partition, Point, check_fit, check_stated, check_system, lay_out, place_points,
};
use crate::findings::{Finding, Place, Problem, Refusal, both};
use crate::inputs::{
    InputFile, Job, ReadJob, ReadSamples, Samples, SamplesPart, read_boundary, read_job,
    read_samples, samples_of_areas,
};
use crate::prescription::{BufferReadings, ValueColumns, settle_blanks};
use crate::units::{SoilValue, UnitSystem};

/// Everything that was read, checked and placed.
pub(super) struct Read {
    pub(super) job: Job,
    pub(super) field: Field,
    pub(super) partition: Partition,
    /// The layers of soil that the need is the sum over, from the top down.
    pub(super) layers: Vec<ReadLayer>,
    pub(super) method: &'static dyn LimeMethod,
    pub(super) findings: Vec<Finding>,
    pub(super) inputs: Vec<InputFile>,
}

/// One layer of soil: its samples, and the method fitted to it.
#[derive(Debug)]
pub(super) struct ReadLayer {
    /// Which layer it is, where there are several.
    pub(super) stratum: Option<Stratum>,
    pub(super) samples: PlacedSamples,
    pub(super) given: Given,
    pub(super) prepared: Prepared,
}

/// The samples in the field's own frame.
#[derive(Debug)]
pub(super) struct PlacedSamples {
    pub(super) ids: Vec<String>,
    pub(super) points: Vec<Point>,
    pub(super) ph: Vec<f64>,
    /// The buffer readings, blanks settled; `None` where the table has none.
    pub(super) buffer: Option<BufferReadings>,
    /// What else was read, as reported.
    pub(super) values: ValueColumns,
    /// Where they are composites of zones: for each zone its place among the samples.
    pub(super) of_zone: Option<Vec<Option<usize>>>,
}

pub(super) fn read_all(path: &Path, sets: &[String], allowed: Allowed) -> Result<Read, Error> {
    let ReadJob { job, files: job_files } = read_job(path, sets, allowed.any_material)?;
    let (boundary, (zones, samples)) = both(
        read_boundary(&job.field.boundary, &job.field.wanted),
        read_zones_and_samples(&job.samples),
    )?;
    let mut findings = boundary.findings;
    findings.extend(samples.findings);
    findings.extend(check_system(&boundary.boundary, boundary.stated.as_ref())?);
    if let Some(stated) = &samples.stated {
        let read = &samples.samples;
        check_stated(&read.file, &read.system, &read.points, stated)?;
    }
    let (field, found) = lay_out(&boundary.boundary)?;
    findings.extend(found);
    let (partition, found, area_files) = part(&job, &field, zones)?;
    findings.extend(found);
    let (read, samples_files) = (samples.samples, samples.files);
    let (placed, told) = place_layers(&job, &field, &partition, &read)?;
    findings.extend(told);
    let method = method(&job.method).map_err(|refusal| at_method(refusal, &job))?;
    if method.card().from_memory && !allowed.unverified {
        let what = format!("the numbers of the method `{}` were written from memory", job.method);
        return Err(Refusal::from(
            Problem::at(Place::in_file(job.file.clone()), what)
                .allowed("methods whose numbers were seen in their source")
                .hint("choose another, or allow it with --allow-unverified"),
        )
        .into());
    }
    findings.extend(target_of_crops(&job, method.card(), allowed)?);
    let mut layers = Vec::with_capacity(placed.len());
    let mut problems = Vec::new();
    for placed in placed {
        // What holds for all layers alike is told once.
        match fit_layer(&job, method, placed) {
            Ok((layer, told)) => {
                extend_by_new(&mut findings, told);
                layers.push(layer);
            }
            Err(refusal) => extend_by_new(&mut problems, refusal.into_problems()),
        }
    }
    Refusal::unless_clean(problems, ())?;
    let mut inputs = job_files;
    inputs.extend(boundary.files);
    inputs.extend(samples_files);
    inputs.extend(area_files);
    Ok(Read { job, field, partition, layers, method, findings, inputs })
}

/// The zones, where there are any, and the samples; either may be in the file of the other.
fn read_zones_and_samples(
    asked: &SamplesPart,
) -> Result<(Option<ReadZones>, ReadSamples), Refusal> {
    let zones = asked.zones.as_ref();
    if let Some(part) = zones.filter(|part| part.hold_results) {
        let zones = read_zones(part)?;
        let (samples, findings) = samples_of_areas(&zones.features.layer, asked)?;
        return Ok((
            Some(zones),
            ReadSamples { samples, stated: None, findings, files: Vec::new() },
        ));
    }
    both(zones.map(read_zones).transpose(), read_samples(asked))
}

/// The samples of one layer as they were read, with their places in the field's frame.
struct Placed {
    stratum: Option<Stratum>,
    read: Samples,
    points: Vec<Point>,
    of_zone: Option<Vec<Option<usize>>>,
}

/// The samples of each layer, placed in the field, with what that told.
fn place_layers(
    job: &Job,
    field: &Field,
    partition: &Partition,
    read: &Samples,
) -> Result<(Vec<Placed>, Vec<Finding>), Refusal> {
    let layers = parted(job, read)?;
    let mut findings: Vec<Finding> = layers_told(job).into_iter().collect();
    let mut placed = Vec::with_capacity(layers.len());
    let Some(zones) = &job.samples.zones else {
        let (points, found) = place(field, read, job.units)?;
        findings.extend(found);
        findings.extend(complete(job, &layers, &points, read)?);
        for Parted { stratum, samples, rows, .. } in layers {
            let points = rows.iter().map(|&row| points[row]).collect();
            placed.push(Placed { stratum, read: samples, points, of_zone: None });
        }
        return Ok((placed, findings));
    };
    let mut problems = Vec::new();
    let points = if job.samples.are_composites() {
        Vec::new()
    } else {
        let (points, found) = place(field, read, job.units)?;
        findings.extend(found);
        points
    };
    for Parted { stratum, samples, rows, .. } in layers {
        let samples = if job.samples.are_composites() {
            samples
        } else {
            let points: Vec<Point> = rows.iter().map(|&row| points[row]).collect();
            let (samples, told) = one_for_each_zone(job, partition, &samples, &points)?;
            findings.extend(told);
            samples
        };
        let matched = match match_samples(job, zones, partition, &samples) {
            Ok(matched) => matched,
            Err(refusal) => {
                let named = |problem: Problem| Problem {
                    what: Stratum::tell_of(stratum.as_ref(), problem.what),
                    ..problem
                };
                problems.extend(refusal.into_problems().into_iter().map(named));
                continue;
            }
        };
        // Gaps and overlaps are the same in every layer.
        extend_by_new(&mut findings, matched.findings);
        placed.push(Placed {
            stratum,
            read: matched.samples,
            points: matched.points,
            of_zone: Some(matched.of_zone),
        });
    }
    Refusal::unless_clean(problems, (placed, findings))
}

/// Fits the method to the samples of one layer, with what that told.
fn fit_layer(
    job: &Job,
    method: &dyn LimeMethod,
    placed: Placed,
) -> Result<(ReadLayer, Vec<Finding>), Refusal> {
    let Placed { stratum, read, points, of_zone } = placed;
    let given = Given {
        sampled_depth: stratum.as_ref().map_or(job.samples.sampled_depth, |layer| layer.depth),
        ph_medium: job.samples.ph_medium,
        buffer: job.samples.buffer,
        al_extract: job.samples.al_extract,
        bulk_density: job.samples.bulk_density,
        units: units_of(&read),
    };
    let ask = Ask {
        target: job.target.aim,
        treat_below: job.target.treat_below,
        limed_depth: job.limed_depth,
        part: stratum.as_ref().map(|layer| layer.part),
    };
    let (prepared, mut findings) =
        method.prepare(&ask, &given).map_err(|refusal| at_method(refusal, job))?;
    let (prepared, told) = prepared
        .with_history(&job.history, job.soil_class)
        .map_err(|refusal| at_method(refusal, job))?;
    findings.extend(told);
    require_acidity(job, &read, &prepared)?;
    let (buffer, told) = settle_buffer(job, &read, &prepared)?;
    findings.extend(told.into_iter().map(|found| Stratum::tell(stratum.as_ref(), found)));
    refuse_out_of_range(&read, buffer.as_ref(), &prepared, job, stratum.as_ref())?;
    let samples = PlacedSamples {
        ids: read.ids,
        points,
        ph: read.ph,
        buffer,
        values: ValueColumns {
            numbers: read.values.into_iter().map(|all| (all.value, all.numbers)).collect(),
            textures: read.textures,
        },
        of_zone,
    };
    Ok((ReadLayer { stratum, samples, given, prepared }, findings))
}

/// The points of the samples in the field's frame, held against the field.
fn place(
    field: &Field,
    read: &Samples,
    units: UnitSystem,
) -> Result<(Vec<Point>, Vec<Finding>), Refusal> {
    let places = field::Samples {
        file: &read.file,
        system: &read.system,
        raw: &read.points,
        places: &|sample| read.place(sample),
    };
    let points = place_points(field, &places)?;
    let findings = check_fit(field, &places, &points, units)?;
    Ok((points, findings))
}

/// Puts those behind `list` that are not in it yet.
fn extend_by_new<T: PartialEq>(list: &mut Vec<T>, others: Vec<T>) {
    for other in others {
        if !list.contains(&other) {
            list.push(other);
        }
    }
}

/// A method knows no files; what it refuses stands in the job.
fn at_method(refusal: Refusal, job: &Job) -> Refusal {
    refusal.in_file(&job.file)
}

/// The unit of each value that was read.
fn units_of(read: &Samples) -> ValueUnits {
    let mut units = ValueUnits::default();
    for all in &read.values {
        units.set(all.value, all.unit);
    }
    units
}

fn require_acidity(job: &Job, read: &Samples, prepared: &Prepared) -> Result<(), Refusal> {
    if prepared.reads() != Reads::Acidity || read.column(SoilValue::Acidity).is_some() {
        return Ok(());
    }
    let what = format!(
        "the method `{}` reads the exchangeable acidity, and there is no column with it in a \
         known unit",
        job.method
    );
    Err(Problem::at(Place::in_file(read.file.clone()), what)
        .allowed("a column with the exchangeable acidity, a number in every row")
        .hint(
            "state its unit as samples.units.acidity = \"meq/100 g\", and name the column with \
             samples.columns.acidity where its header is not known",
        )
        .into())
}

fn settle_buffer(
    job: &Job,
    read: &Samples,
    prepared: &Prepared,
) -> Result<(Option<BufferReadings>, Vec<Finding>), Refusal> {
    let Some(readings) = &read.buffer_ph else {
        if prepared.reads_buffer() {
            let what = format!(
                "the method `{}` reads a buffer pH, and no column is known to hold it",
                job.method
            );
            return Err(Problem::at(Place::in_file(read.file.clone()), what)
                .allowed("a column with the buffer pH")
                .hint("name it with samples.columns.buffer_ph, or choose a method without a buffer")
                .into());
        }
        return Ok((None, Vec::new()));
    };
    if !prepared.reads_buffer() {
        // Like any other column that the method does not read.
        return Ok((None, Vec::new()));
    }
    let (settled, told) =
        settle_blanks(prepared, &read.ph, readings, job.samples.buffer_blank_above, |sample| {
            read.place_of_buffer(sample)
        })?;
    Ok((Some(settled), told))
}

/// Beyond its rows a method takes an end value and says so; where all samples lie beyond them, and
/// none is high enough to need nothing, there is nothing to go by.
fn refuse_out_of_range(
    read: &Samples,
    buffer: Option<&BufferReadings>,
    prepared: &Prepared,
    job: &Job,
    stratum: Option<&Stratum>,
) -> Result<(), Refusal> {
    let (least, most) = prepared.range();
    let reading = |sample: usize| match buffer {
        _ if prepared.reads() == Reads::Acidity => {
            let reported = read.column(SoilValue::Acidity).map(|all| all[sample]);
            let unit = units_of(read).get(SoilValue::Acidity);
            reported.zip(unit).and_then(|(number, unit)| SoilValue::Acidity.canonical(number, unit))
        }
        Some(buffer) if prepared.reads_buffer() => {
            read.buffer_ph.as_ref().filter(|_| !buffer.blank[sample]).and_then(|all| all[sample])
        }
        _ => Some(prepared.to_method_medium(read.ph[sample])),
    };
    let below_trigger = |sample: usize| {
        Some(prepared.to_method_medium(read.ph[sample]))
            .filter(|ph| prepared.trigger().is_none_or(|trigger| *ph < trigger))
    };
    let asked: Vec<f64> = (0..read.ids.len())
        .filter_map(|sample| below_trigger(sample).and_then(|_| reading(sample)))
        .collect();
    let some_are_decided = asked.len() < read.ids.len();
    if some_are_decided || asked.iter().any(|reading| (least..=most).contains(reading)) {
        return Ok(());
    }
    let lowest = asked.iter().copied().fold(f64::INFINITY, f64::min);
    let highest = asked.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let layer = stratum.map_or_else(String::new, |layer| format!(" of the layer {}", layer.words));
    let what = format!(
        "no sample{layer} reads within the rows of `{}`: they read {lowest} to {highest}",
        job.method
    );
    Err(Problem::at(Place::in_file(read.file.clone()), what)
        .allowed(format!("readings from {least} to {most}"))
        .hint("check the units and the column, or choose a method made for such soils")
        .into())
}
