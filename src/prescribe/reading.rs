//! The first rooms of the hallway: everything is read, placed and fitted to the method.

use std::path::Path;
use std::sync::Arc;

use super::Allowed;
use super::beyond::beyond_conversion;
use super::by_zone::{ByZone, PlacedResults, Together, place_results};
use super::crops::target_of_crops;
use super::layers::{Parted, Stratum, complete, parted, told as layers_told};
use super::meter::correct_meter;
use super::meter_log::meter_log;
use super::needed::require_needed;
use super::own_table::{method_of, own_table_told};
use super::recommended::recommendation_told;
use super::regions::part;
use super::zone_points::one_for_each_zone;
use super::zones::{ReadZones, match_samples, read_zones};
use crate::agronomy::{Ask, Given, LimeMethod, Prepared, Reads};
use crate::error::Error;
use crate::field::{
    self, Field, Partition, Point, check_fit, check_stated, check_system, lay_out, place_points,
};
use crate::findings::{Finding, Place, Problem, Refusal, both};
use crate::inputs::{
    InputFile, Job, ReadJob, ReadSamples, Samples, SamplesPart, read_boundary, read_job,
    read_samples, read_zone_results, samples_of_areas,
};
use crate::prescription::{BufferReadings, ValueColumns, settle_blanks};

/// Everything that was read, checked and placed.
pub(super) struct Read {
    pub(super) job: Job,
    pub(super) field: Field,
    pub(super) partition: Partition,
    /// The layers of soil that the need is the sum over, from the top down.
    pub(super) layers: Vec<ReadLayer>,
    pub(super) method: Arc<dyn LimeMethod>,
    pub(super) findings: Vec<Finding>,
    pub(super) inputs: Vec<InputFile>,
}

/// One layer of soil: its samples, and the method fitted to it.
#[derive(Debug)]
pub(super) struct ReadLayer {
    /// Which layer it is, where there are several.
    pub(super) stratum: Option<Stratum>,
    pub(super) samples: PlacedSamples,
    /// What zones give beside them.
    pub(super) by_zone: Option<ByZone>,
    pub(super) given: Given,
    pub(super) prepared: Prepared,
}

/// The samples in the field's own frame.
#[derive(Debug)]
pub(super) struct PlacedSamples {
    pub(super) ids: Vec<String>,
    pub(super) points: Vec<Point>,
    /// Their pH; `None` where zones give it.
    pub(super) ph: Option<Vec<f64>>,
    /// The buffer readings, blanks settled; `None` where the table has none, or zones give them.
    pub(super) buffer: Option<BufferReadings>,
    /// What else was read, as reported.
    pub(super) values: ValueColumns,
    /// Where they are composites of zones: for each zone its place among the samples.
    pub(super) of_zone: Option<Vec<Option<usize>>>,
}

impl ReadLayer {
    /// Whether the buffer pH is one value a zone, from zones beside the samples or throughout.
    pub(super) fn has_buffer_of_zones(&self) -> bool {
        let by_zone = self.by_zone.as_ref().is_some_and(|zones| zones.results.buffer.is_some());
        by_zone || self.samples.of_zone.is_some()
    }
}

pub(super) fn read_all(path: &Path, sets: &[String], allowed: Allowed) -> Result<Read, Error> {
    let ReadJob { job, files: job_files } = read_job(path, sets, allowed.any_material)?;
    let (boundary, (zones, mut samples, results)) = both(
        read_boundary(&job.field.boundary, &job.field.wanted),
        read_zones_and_samples(&job.samples),
    )?;
    let mut findings = boundary.findings;
    findings.append(&mut samples.findings);
    let (told, pairs_file) = correct_meter(&job, &mut samples.samples)?;
    findings.extend(told);
    samples.files.extend(pairs_file);
    let (told, log_file) = meter_log(&job, &samples.samples)?;
    findings.extend(told);
    samples.files.extend(log_file);
    let (results, told, results_files) =
        results.map(|read| (Some(read.samples), read.findings, read.files)).unwrap_or_default();
    findings.extend(told);
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
    let (placed, told) = place_layers(&job, &field, &partition, &read, results.as_ref())?;
    findings.extend(told);
    let (method, method_file) = method_of(&job)?;
    Refusal::unless_clean(unverified(&job, method.as_ref(), allowed), ())?;
    findings.extend(own_table_told(method.card()));
    findings.extend(job.material.findings.iter().cloned());
    findings.extend(target_of_crops(&job, method.card(), allowed)?);
    let mut layers = Vec::with_capacity(placed.len());
    let mut problems = Vec::new();
    for placed in placed {
        // What holds for all layers alike is told once.
        match fit_layer(&job, method.as_ref(), placed) {
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
    inputs.extend(results_files);
    inputs.extend(area_files);
    inputs.extend(method_file);
    Ok(Read { job, field, partition, layers, method, findings, inputs })
}

/// What rests on numbers that were written from memory, unless that is allowed.
fn unverified(job: &Job, method: &dyn LimeMethod, allowed: Allowed) -> Vec<Problem> {
    if allowed.unverified {
        return Vec::new();
    }
    let of_method = method
        .card()
        .from_memory
        .then(|| (format!("method `{}`", job.method), "methods whose numbers"));
    let of_scheme = job
        .material
        .unverified_scheme()
        .map(|scheme| (format!("fineness scheme `{}`", scheme.id()), "schemes whose numbers"));
    let told = of_method.into_iter().chain(of_scheme);
    told.map(|(what, allowed)| {
        let what = format!("the numbers of the {what} were written from memory");
        Problem::at(Place::in_file(job.file.clone()), what)
            .allowed(format!("{allowed} were seen in their source"))
            .hint("choose another, or allow it with --allow-unverified")
    })
    .collect()
}

/// The zones, where there are any, the samples, and what the zones give beside them; either may be
/// in the file of another.
fn read_zones_and_samples(
    asked: &SamplesPart,
) -> Result<(Option<ReadZones>, ReadSamples, Option<ReadSamples>), Refusal> {
    let zones = asked.zones.as_ref();
    if let Some((part, gives)) = zones.zip(asked.given_by_zone()) {
        let with_results = || {
            let zones = read_zones(part)?;
            let results = read_zone_results(asked, part, gives, &zones.features.layer)?;
            Ok((zones, results))
        };
        let (samples, (zones, results)) = both(read_samples(asked), with_results())?;
        return Ok((Some(zones), samples, Some(results)));
    }
    if let Some(part) = zones.filter(|part| part.hold_results) {
        let zones = read_zones(part)?;
        let (samples, findings) = samples_of_areas(&zones.features.layer, asked)?;
        let samples = ReadSamples { samples, stated: None, findings, files: Vec::new() };
        return Ok((Some(zones), samples, None));
    }
    let (zones, samples) = both(zones.map(read_zones).transpose(), read_samples(asked))?;
    Ok((zones, samples, None))
}

/// The samples of one layer as they were read, with their places in the field's frame.
struct Placed {
    stratum: Option<Stratum>,
    read: Samples,
    points: Vec<Point>,
    of_zone: Option<Vec<Option<usize>>>,
    /// What zones give beside them.
    by_zone: Option<PlacedResults>,
}

/// The samples of each layer, placed in the field, with what that told; `results` are what zones
/// give beside them.
fn place_layers(
    job: &Job,
    field: &Field,
    partition: &Partition,
    read: &Samples,
    results: Option<&Samples>,
) -> Result<(Vec<Placed>, Vec<Finding>), Refusal> {
    let layers = parted(job, read)?;
    let mut findings: Vec<Finding> = layers_told(job).into_iter().collect();
    let mut placed = Vec::with_capacity(layers.len());
    let mut problems = Vec::new();
    // What is wrong in one of several layers is told of that layer.
    let mut refuse = |stratum: Option<&Stratum>, refusal: Refusal| {
        let named =
            |problem: Problem| Problem { what: Stratum::tell_of(stratum, problem.what), ..problem };
        problems.extend(refusal.into_problems().into_iter().map(named));
    };
    let Some(zones) = job.samples.zones.as_ref().filter(|_| job.samples.stand_for_zones()) else {
        let (points, found) = place(field, read, job)?;
        findings.extend(found);
        findings.extend(complete(job, &layers, &points, read)?);
        let of_layers = results.map(|results| parted(job, results)).transpose()?;
        let mut of_layers = of_layers.into_iter().flatten();
        for Parted { stratum, samples, rows, .. } in layers {
            let points: Vec<Point> = rows.iter().map(|&row| points[row]).collect();
            let results = of_layers.next().map(|layer| layer.samples);
            match place_results(job, partition, &samples, &points, results.as_ref()) {
                Ok((by_zone, told)) => {
                    // Gaps and overlaps are the same in every layer.
                    extend_by_new(&mut findings, told);
                    placed.push(Placed { stratum, read: samples, points, of_zone: None, by_zone });
                }
                Err(refusal) => refuse(stratum.as_ref(), refusal),
            }
        }
        return Refusal::unless_clean(problems, (placed, findings));
    };
    let points = if job.samples.are_composites() {
        Vec::new()
    } else {
        let (points, found) = place(field, read, job)?;
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
                refuse(stratum.as_ref(), refusal);
                continue;
            }
        };
        extend_by_new(&mut findings, matched.findings);
        placed.push(Placed {
            stratum,
            read: matched.samples,
            points: matched.points,
            of_zone: Some(matched.of_zone),
            by_zone: None,
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
    let Placed { stratum, read, points, of_zone, by_zone } = placed;
    let together = Together { samples: &read, by_zone: by_zone.as_ref() };
    let given = Given {
        sampled_depth: stratum.as_ref().map_or(job.samples.sampled_depth, |layer| layer.depth),
        ph_medium: job.samples.ph_medium,
        buffer: job.samples.buffer,
        al_extract: job.samples.al_extract,
        bulk_density: job.samples.bulk_density,
        units: together.units(),
        capacity_read: job.samples.capacity_read,
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
    require_needed(job, &together, &prepared)?;
    let converted = recommendation_told(job, &together);
    findings.extend(converted.map(|found| Stratum::tell(stratum.as_ref(), found)));
    let ([buffer, buffer_of_zones], told) = settle_buffer(job, &together, &prepared)?;
    findings.extend(told.into_iter().map(|found| Stratum::tell(stratum.as_ref(), found)));
    refuse_out_of_range(&together, &prepared, job, stratum.as_ref())?;
    findings.extend(
        beyond_conversion(&together, &prepared).map(|found| Stratum::tell(stratum.as_ref(), found)),
    );
    let samples = PlacedSamples::of(read, points, buffer, of_zone);
    let by_zone = by_zone.map(|placed| placed.settled(buffer_of_zones));
    Ok((ReadLayer { stratum, samples, by_zone, given, prepared }, findings))
}

impl PlacedSamples {
    pub(super) fn of(
        read: Samples,
        points: Vec<Point>,
        buffer: Option<BufferReadings>,
        of_zone: Option<Vec<Option<usize>>>,
    ) -> Self {
        Self {
            ids: read.ids,
            points,
            ph: read.ph,
            buffer,
            values: ValueColumns {
                numbers: read.values.into_iter().map(|all| (all.value, all.numbers)).collect(),
                textures: read.textures,
            },
            of_zone,
        }
    }
}

/// The points of the samples in the field's frame, held against the field.
fn place(field: &Field, read: &Samples, job: &Job) -> Result<(Vec<Point>, Vec<Finding>), Refusal> {
    let places = field::Samples {
        file: &read.file,
        system: &read.system,
        raw: &read.points,
        places: &|sample| read.place(sample),
    };
    let points = place_points(field, &places)?;
    let findings = check_fit(field, &places, &points, job.units, job.samples.outside_within)?;
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
pub(super) fn at_method(refusal: Refusal, job: &Job) -> Refusal {
    refusal.in_file(&job.file)
}

/// The buffer readings of the samples, and those of the zones beside them, blanks settled.
fn settle_buffer(
    job: &Job,
    read: &Together<'_>,
    prepared: &Prepared,
) -> Result<([Option<BufferReadings>; 2], Vec<Finding>), Refusal> {
    let own = read.samples.buffer_ph.as_ref();
    let of_zones = read.by_zone.and_then(|zones| zones.matched.samples.buffer_ph.as_ref());
    if own.is_none() && of_zones.is_none() && prepared.reads_buffer() {
        let what = format!(
            "the method `{}` reads a buffer pH, and no column is known to hold it",
            job.method
        );
        let hint = "name it with samples.columns.buffer_ph, or choose a method without a buffer";
        let or_zones = "; where the zones' results hold it, name it in samples.by_zone";
        let hint = format!("{hint}{}", read.by_zone.map_or("", |_| or_zones));
        return Err(Problem::at(Place::in_file(&read.samples.file), what)
            .allowed("a column with the buffer pH")
            .hint(hint)
            .into());
    }
    if !prepared.reads_buffer() {
        // Like any other column that the method does not read.
        return Ok(([None, None], Vec::new()));
    }
    let above = job.samples.buffer_blank_above;
    if let Some(readings) = own {
        let ph: Option<Vec<f64>> = (0..readings.len()).map(|sample| read.ph(sample)).collect();
        let place = |sample| read.samples.place_of_buffer(sample);
        let (settled, told) = settle_blanks(prepared, ph.as_deref(), readings, above, place)?;
        return Ok(([Some(settled), None], told));
    }
    let Some((zones, readings)) = read.by_zone.zip(of_zones) else {
        return Ok(([None, None], Vec::new()));
    };
    let results = &zones.matched.samples;
    let place = |zone| results.place_of_buffer(zone);
    let (settled, told) = settle_blanks(prepared, results.ph.as_deref(), readings, above, place)?;
    Ok(([None, Some(settled)], told))
}

/// Beyond its rows a method takes an end value and says so; where all samples lie beyond them, and
/// none is high enough to need nothing, there is nothing to go by.
fn refuse_out_of_range(
    read: &Together<'_>,
    prepared: &Prepared,
    job: &Job,
    stratum: Option<&Stratum>,
) -> Result<(), Refusal> {
    let (least, most) = prepared.range();
    let below_trigger = |sample: usize| {
        let ph = read.ph(sample).map(|ph| prepared.to_method_medium(ph));
        ph.filter(|ph| prepared.trigger().is_none_or(|trigger| *ph < trigger))
    };
    let units = read.units();
    let reading = |sample: usize| match prepared.reads().lead() {
        Reads::Value(value) => value.canonical(read.value(value, sample)?, units.get(value)?),
        Reads::BufferPh => read.buffer_ph(sample),
        Reads::Ph | Reads::Texture => below_trigger(sample),
    };
    let asked: Vec<f64> = (0..read.samples.ids.len())
        .filter_map(|sample| below_trigger(sample).and_then(|_| reading(sample)))
        .collect();
    let some_are_decided = asked.len() < read.samples.ids.len();
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
    Err(Problem::at(Place::in_file(&read.samples.file), what)
        .allowed(format!("readings from {least} to {most}"))
        .hint("check the units and the column, or choose a method made for such soils")
        .into())
}
