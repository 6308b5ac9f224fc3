//! Sample zones: areas of the map with one composite sample each.

use super::regions::read_areas;
use crate::field::{Cells, Partition, Point};
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::{Job, ReadFeatures, SampleValues, Samples, ZonesPart};
use crate::surfaces::{Standing, Weights};
use crate::units::{Area, Length, counted};

/// Names shown in one sentence before the rest is only counted.
const NAMED: usize = 10;

/// The zones of a job as they were read.
pub(super) struct ReadZones {
    pub(super) features: ReadFeatures,
    /// For each feature the name of its zone; one spelling for each zone.
    pub(super) names: Vec<String>,
}

/// Reads the zones and the attribute that names them.
pub(super) fn read_zones(part: &ZonesPart) -> Result<ReadZones, Refusal> {
    let features = read_areas(&part.area, "sample zones")?;
    let layer = &features.layer;
    let found = layer.columns.iter().position(|column| *column == part.key);
    let found = found.or_else(|| layer.columns.iter().position(|c| folded(c) == folded(&part.key)));
    let Some(at) = found else {
        let columns: Vec<String> = layer.columns.iter().map(|c| format!("`{c}`")).collect();
        let what = format!("there is no attribute `{}`, which `samples.zone_key` names", part.key);
        return Err(Problem::at(Place::in_file(&layer.file), what)
            .allowed(columns.join(", "))
            .hint("name the attribute that holds the names of the zones")
            .into());
    };
    let mut names: Vec<String> = Vec::with_capacity(layer.features.len());
    let mut problems = Vec::new();
    for feature in &layer.features {
        let name = feature.attributes.get(at).map_or("", |name| name.trim());
        if name.is_empty() {
            let place =
                Place { feature: Some(feature.number), ..Place::in_file(layer.file.clone()) };
            let what = format!("the zone has no name in `{}`", layer.columns[at]);
            problems.push(
                Problem::at(place, what)
                    .allowed("a name for every zone, as the samples have it")
                    .hint("fill the name in, or leave the area out of the file"),
            );
        }
        let known = names.iter().find(|known| folded(known) == folded(name)).cloned();
        names.push(known.unwrap_or_else(|| name.to_owned()));
    }
    Refusal::unless_clean(problems, ReadZones { features, names })
}

/// A name without the blanks around it and whatever its capitals.
pub(super) fn folded(name: &str) -> String {
    name.trim().to_lowercase()
}

/// The composites of the zones in the field.
#[derive(Clone)]
pub(super) struct ZoneSamples {
    /// One for each zone that has ground in the field, in the order of the zones.
    pub(super) samples: Samples,
    /// A point in each of those zones.
    pub(super) points: Vec<Point>,
    /// For each zone its place among the samples.
    pub(super) of_zone: Vec<Option<usize>>,
    pub(super) findings: Vec<Finding>,
}

/// Finds the composite of every zone in the field by its name, as text.
///
/// # Errors
/// Refuses zones without a composite or with several, and gaps or overlaps of the zones above the
/// limit that the job sets.
pub(super) fn match_samples(
    job: &Job,
    part: &ZonesPart,
    partition: &Partition,
    read: &Samples,
) -> Result<ZoneSamples, Refusal> {
    let mut problems = Vec::new();
    let mut rows: Vec<Vec<usize>> = vec![Vec::new(); partition.zones.len()];
    let mut strange = Vec::new();
    for (row, id) in read.ids.iter().enumerate() {
        let zone = partition.zones.iter().position(|zone| folded(&zone.name) == folded(id));
        match zone.filter(|&zone| partition.zones[zone].area > Area::ZERO) {
            Some(zone) => rows[zone].push(row),
            None => strange.push(id.as_str()),
        }
    }
    let mut order = Vec::new();
    let mut points = Vec::new();
    let mut of_zone = vec![None; partition.zones.len()];
    let mut without = Vec::new();
    for (number, (zone, rows)) in partition.zones.iter().zip(&rows).enumerate() {
        match (rows.as_slice(), partition.point_in_zone(number)) {
            (_, None) => {}
            ([], Some(_)) => without.push(zone.name.as_str()),
            (&[row, ref others @ ..], Some(point))
                if others.is_empty() || (part.hold_results && all_the_same(read, rows)) =>
            {
                of_zone[number] = Some(order.len());
                order.push(row);
                points.push(point);
            }
            (several, Some(_)) => {
                let lines: Vec<String> =
                    several.iter().map(|&row| read.lines[row].to_string()).collect();
                let place =
                    Place { sample: Some(zone.name.clone()), ..Place::in_file(read.file.clone()) };
                let rows = if read.from_map { "in features" } else { "on lines" };
                let what = format!("the zone has several results, {rows} {}", lines.join(", "));
                problems.push(
                    Problem::at(place, what)
                        .allowed("one composite sample for each zone")
                        .hint("keep the row that counts"),
                );
            }
        }
    }
    if !without.is_empty() {
        let what = format!(
            "{} without a result: {}",
            counted(without.len() as u64, "sample zone", "sample zones"),
            some_of(&without)
        );
        problems.push(
            Problem::at(Place::in_file(read.file.clone()), what)
                .allowed("one row for each zone in the field, under the zone's name")
                .hint(if part.gives.is_some() {
                    "check the names in both files, and samples.zone_results_key and \
                     samples.zone_key"
                } else {
                    "check the names in both files, and samples.key and samples.zone_key; where the \
                     rows are points that name their zone, name that column as samples.columns.zone"
                }),
        );
    }
    let mut findings = Vec::new();
    if !strange.is_empty() {
        let text = format!(
            "{} of {} results are of no sample zone in the field and are not used: {}.",
            strange.len(),
            read.ids.len(),
            some_of(&strange)
        );
        findings.push(Finding::at("results_without_zone", Place::in_file(&read.file), text));
    }
    let told = gaps_and_overlaps(job, part, partition);
    match told {
        Ok(told) => findings.extend(told),
        Err(refusal) => problems.extend(refusal.into_problems()),
    }
    let samples = picked(read, &order);
    Refusal::unless_clean(problems, ZoneSamples { samples, points, of_zone, findings })
}

/// Whether the parts of a zone carry one and the same result.
fn all_the_same(read: &Samples, rows: &[usize]) -> bool {
    let of = |row: usize| {
        let buffer = read.buffer_ph.as_ref().and_then(|all| all[row]);
        let values: Vec<f64> = read.values.iter().map(|all| all.numbers[row]).collect();
        (
            read.ph.as_ref().map(|all| all[row]),
            buffer,
            values,
            read.textures.as_ref().map(|all| all[row]),
        )
    };
    rows.windows(2).all(|pair| of(pair[0]) == of(pair[1]))
}

pub(super) fn some_of(names: &[&str]) -> String {
    let shown: Vec<String> =
        names.iter().take(NAMED).map(|name| crate::findings::clean(name)).collect();
    let more = if names.len() > NAMED { ", …" } else { "" };
    format!("{}{more}", shown.join(", "))
}

/// Some of the samples, in another order.
pub(super) fn picked(samples: &Samples, rows: &[usize]) -> Samples {
    Samples {
        file: samples.file.clone(),
        system: samples.system.clone(),
        ids: rows.iter().map(|&row| samples.ids[row].clone()).collect(),
        lines: rows.iter().map(|&row| samples.lines[row]).collect(),
        from_map: samples.from_map,
        buffer_lines: samples
            .buffer_lines
            .as_ref()
            .map(|(file, lines)| (file.clone(), rows.iter().map(|&row| lines[row]).collect())),
        layers: rows.iter().map(|&row| samples.layers[row]).collect(),
        points: rows.iter().filter_map(|&row| samples.points.get(row).copied()).collect(),
        zones: samples.zones.as_ref().map(|all| rows.iter().map(|&row| all[row].clone()).collect()),
        ph: samples.ph.as_ref().map(|all| rows.iter().map(|&row| all[row]).collect()),
        ph_as_read: samples
            .ph_as_read
            .as_ref()
            .map(|all| rows.iter().map(|&row| all[row]).collect()),
        buffer_ph: samples.buffer_ph.as_ref().map(|all| rows.iter().map(|&row| all[row]).collect()),
        measured_at: samples
            .measured_at
            .as_ref()
            .map(|all| rows.iter().map(|&row| all[row].clone()).collect()),
        values: samples
            .values
            .iter()
            .map(|all| SampleValues {
                numbers: rows.iter().map(|&row| all.numbers[row]).collect(),
                ..*all
            })
            .collect(),
        textures: samples.textures.as_ref().map(|all| rows.iter().map(|&row| all[row]).collect()),
    }
}

/// What the zones leave out of the field, and where they overlap.
fn gaps_and_overlaps(
    job: &Job,
    part: &ZonesPart,
    partition: &Partition,
) -> Result<Vec<Finding>, Refusal> {
    let mut findings = Vec::new();
    let mut problems = Vec::new();
    let limit = part.gap_limit.to_number();
    for (key, area, words, taken) in [
        (
            "zone_gaps",
            partition.gaps,
            "lies in no sample zone",
            "the value of the nearest zone was taken there, and the cells are marked as outside",
        ),
        (
            "zone_overlaps",
            partition.overlaps,
            "lies in more than one sample zone",
            "the zone that comes first in the file has that ground",
        ),
    ] {
        if area <= Area::ZERO {
            continue;
        }
        let share = area / partition.net;
        let shown = job.units.area(area);
        let what = format!(
            "{:.2} {} ({:.2} %) of the field {words}",
            shown.value,
            shown.unit,
            share * 100.0
        );
        let place = Place::in_file(part.area.file.given.clone());
        if share > limit {
            let allowed = format!("at most {} %, which samples.zone_gap_limit sets", limit * 100.0);
            problems.push(
                Problem::at(place, what)
                    .allowed(allowed)
                    .hint("draw the zones so that they cover the field once, or raise the limit"),
            );
        } else {
            findings.push(Finding::at(key, place, format!("{what}: {taken}.")));
        }
    }
    Refusal::unless_clean(problems, findings)
}

/// The weights of the zones' samples at every cell: that of its own zone alone, or where it lies
/// in none, that of the nearest zone. `None` where a zone has no sample, which is a fault.
pub(super) fn weigh_zones(
    partition: &Partition,
    cells: &Cells,
    of_zone: &[Option<usize>],
) -> Option<Weights> {
    let taken: Option<Vec<(usize, Standing)>> = cells
        .list
        .iter()
        .map(|cell| {
            if let Some(zone) = partition.regions[cell.region].zone {
                return Some((of_zone[zone]?, Standing::Inside));
            }
            let (zone, away_m) = partition.nearest_zone(cell.value_point)?;
            let standing = Standing::Beyond { distance: Length::from_metres(away_m) };
            Some((of_zone[zone]?, standing))
        })
        .collect();
    Some(Weights::of_single_sites(taken?))
}
