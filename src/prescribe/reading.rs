//! The first rooms of the hallway: everything is read, placed and fitted to the method.

use std::sync::Arc;

use super::Allowed;
use super::beyond::beyond_conversion;
use super::by_zone::{ByZone, PlacedResults, Together, place_results};
use super::crops::target_of_crops;
use super::layers::{Parted, Stratum, complete, parted, told as layers_told};
use super::meter::correct_meter;
use super::meter_log::meter_log;
use super::needed::{require_read, require_served};
use super::own_table::{method_of, own_table_told};
use super::range::{Beyond, hold_against_rows};
use super::recommended::{recommendation_told, unit_fits_basis};
use super::regions::part;
use super::zone_points::one_for_each_zone;
use super::zones::{ReadZones, match_samples, read_zones};
use crate::agronomy::{Ask, Given, LimeMethod, MethodCard, Prepared};
use crate::error::Error;
use crate::field::{
    self, Field, Partition, Point, check_fit, check_stated, check_system, lay_out, place_points,
};
use crate::findings::{Finding, Place, Problem, Refusal, both};
use crate::inputs::{
    AnyOf, InputFile, Job, JobSource, ReadJob, ReadSamples, Samples, SamplesPart, read_boundary,
    read_job, read_samples, read_zone_results, samples_of_areas,
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
    /// How its samples read against the rows of the method.
    pub(super) beyond: Beyond,
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

pub(super) fn read_all(source: &JobSource<'_>, allowed: Allowed) -> Result<Read, Error> {
    let Gathered { job, field, partition, placed, mut findings, mut inputs, .. } =
        gather(source, allowed)?;
    let Fitted { method, file, layers, about, told } = fit(&job, placed, allowed)?;
    findings.extend(about);
    extend_by_new(&mut findings, told);
    inputs.extend(file);
    Ok(Read { job, field, partition, layers, method, findings, inputs })
}

/// Everything that was read and placed, before a method is fitted to it.
pub(super) struct Gathered {
    pub(super) job: Job,
    /// Whether the job names its method itself.
    pub(super) states_method: bool,
    pub(super) field: Field,
    pub(super) partition: Partition,
    pub(super) placed: Vec<Placed>,
    pub(super) findings: Vec<Finding>,
    pub(super) inputs: Vec<InputFile>,
}

/// Reads all that the job names, and places it in the field.
pub(super) fn gather(source: &JobSource<'_>, allowed: Allowed) -> Result<Gathered, Error> {
    let any = AnyOf { material: allowed.any_material, method: allowed.any_method };
    let ReadJob { job, states_method, files: job_files } = read_job(source, any)?;
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
    let mut inputs = job_files;
    inputs.extend(boundary.files);
    inputs.extend(samples_files);
    inputs.extend(results_files);
    inputs.extend(area_files);
    Ok(Gathered { job, states_method, field, partition, placed, findings, inputs })
}

/// A method fitted to the samples of every layer.
pub(super) struct Fitted {
    pub(super) method: Arc<dyn LimeMethod>,
    /// The file of the method, where it is the user's own.
    pub(super) file: Option<InputFile>,
    pub(super) layers: Vec<ReadLayer>,
    /// What there is to tell of the material and the target.
    pub(super) about: Vec<Finding>,
    /// What there is to tell of the method, and what fitting it told; each once.
    pub(super) told: Vec<Finding>,
}

/// Fits the method of the job to the samples.
///
/// # Errors
/// Refuses with everything that keeps the method from reading them.
pub(super) fn fit(job: &Job, placed: Vec<Placed>, allowed: Allowed) -> Result<Fitted, Refusal> {
    let (method, file) = method_of(job)?;
    let card = method.card();
    let mut problems: Vec<Problem> = unverified_method(job, card, allowed).into_iter().collect();
    problems.extend(unverified_scheme(job, allowed));
    let mut about = job.material.findings.clone();
    match target_of_crops(job, card, allowed) {
        Ok(of_crops) => about.extend(of_crops),
        Err(refusal) => problems.extend(refusal.into_problems()),
    }
    let mut layers = Vec::with_capacity(placed.len());
    let mut told: Vec<Finding> = own_table_told(card).into_iter().collect();
    for placed in placed {
        // What holds for all layers alike is told once.
        match fit_layer(job, method.as_ref(), placed) {
            Ok((layer, of_layer)) => {
                extend_by_new(&mut told, of_layer);
                layers.push(layer);
            }
            Err(refusal) => extend_by_new(&mut problems, refusal.into_problems()),
        }
    }
    Refusal::unless_clean(problems, Fitted { method, file, layers, about, told })
}

/// A method whose numbers were written from memory, unless that is allowed.
fn unverified_method(job: &Job, card: &MethodCard, allowed: Allowed) -> Option<Problem> {
    (card.from_memory && !allowed.unverified)
        .then(|| from_memory(job, &format!("method `{}`", job.method), "methods"))
}

/// A fineness scheme whose numbers were written from memory, unless that is allowed.
pub(super) fn unverified_scheme(job: &Job, allowed: Allowed) -> Option<Problem> {
    let scheme = job.material.unverified_scheme().filter(|_| !allowed.unverified)?;
    Some(from_memory(job, &format!("fineness scheme `{}`", scheme.id()), "schemes"))
}

fn from_memory(job: &Job, named: &str, kind: &str) -> Problem {
    let what = format!(
        "the numbers of the {named} were written from memory, and it runs only with \
         --allow-unverified"
    );
    Problem::at(Place::in_file(job.file.clone()), what)
        .allowed(format!("{kind} whose numbers were seen in their source"))
        .hint("choose another, or allow it with --allow-unverified")
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
#[derive(Clone)]
pub(super) struct Placed {
    stratum: Option<Stratum>,
    read: Samples,
    points: Vec<Point>,
    of_zone: Option<Vec<Option<usize>>>,
    /// What zones give beside them.
    by_zone: Option<PlacedResults>,
}

impl Placed {
    /// The samples, each with what its zone gives.
    pub(super) fn together(&self) -> Together<'_> {
        Together { samples: &self.read, by_zone: self.by_zone.as_ref() }
    }
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
    let together = placed.together();
    let stratum = placed.stratum.clone();
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
    let prepared = method.prepare(&ask, &given).map_err(|refusal| at_method(refusal, job));
    let ((), (prepared, mut findings)) =
        both(require_read(&together, method.card(), &job.method), prepared)?;
    let (prepared, told) = prepared
        .with_history(&job.history, job.soil_class)
        .map_err(|refusal| at_method(refusal, job))?;
    findings.extend(told);
    require_served(job, &together, &prepared)?;
    unit_fits_basis(job, &together)?;
    let converted = recommendation_told(job, &together);
    findings.extend(converted.map(|found| Stratum::tell(stratum.as_ref(), found)));
    let ([buffer, buffer_of_zones], told) = settle_buffer(job, &together, &prepared)?;
    findings.extend(told.into_iter().map(|found| Stratum::tell(stratum.as_ref(), found)));
    let beyond = hold_against_rows(&together, &prepared, &job.method, stratum.as_ref())?;
    findings.extend(
        beyond_conversion(&together, &prepared).map(|found| Stratum::tell(stratum.as_ref(), found)),
    );
    let Placed { read, points, of_zone, by_zone, .. } = placed;
    let samples = PlacedSamples::of(read, points, buffer, of_zone);
    let by_zone = by_zone.map(|placed| placed.settled(buffer_of_zones));
    Ok((ReadLayer { stratum, samples, by_zone, given, prepared, beyond }, findings))
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
    if !prepared.reads_buffer() {
        // Like any other column that the method does not read.
        return Ok(([None, None], Vec::new()));
    }
    let above = job.samples.buffer_blank_above;
    if let Some(readings) = own {
        let ph: Option<Vec<f64>> = (0..readings.len()).map(|sample| read.ph(sample)).collect();
        let place = |sample| read.samples.place_of_buffer(sample);
        // The laboratory went by what was read, not by what a correction makes of it.
        let ph = [ph.as_deref(), read.samples.ph_as_read.as_deref().or(ph.as_deref())];
        let (settled, told) = settle_blanks(prepared, ph, readings, above, place)?;
        return Ok(([Some(settled), None], told));
    }
    let Some((zones, readings)) = read.by_zone.zip(of_zones) else {
        return Ok(([None, None], Vec::new()));
    };
    let results = &zones.matched.samples;
    let place = |zone| results.place_of_buffer(zone);
    let ph = [results.ph.as_deref(); 2];
    let (settled, told) = settle_blanks(prepared, ph, readings, above, place)?;
    Ok(([None, Some(settled)], told))
}
