//! Points that name the sample zone they were taken in: each is held against the ground that it
//! lies on, and those of one zone become one value.

use super::notes::shown;
use super::zones::{folded, some_of};
use crate::field::{Partition, Point};
use crate::findings::{Finding, Place, Problem, Refusal, clean};
use crate::inputs::{Job, RepeatRule, Samples};
use crate::prescription::most_frequent;
use crate::units::{Area, Length, TextureClass, counted};

/// A point so near to its own zone may lie beside it, in metres (ours: receivers without correction
/// and borders drawn by hand).
const BESIDE_M: f64 = 10.0;

/// One sample for each zone that has points, under the name that they give it.
///
/// # Errors
/// Refuses points of a zone that is not in the zones' file, and points that lie further than 10 m
/// from their zone in another one, listing all; zones with several points where the job states no
/// rule for them; and a mean of points of which only some have a buffer reading.
pub(super) fn one_for_each_zone(
    job: &Job,
    partition: &Partition,
    read: &Samples,
    points: &[Point],
) -> Result<(Samples, Vec<Finding>), Refusal> {
    let names = read.zones.as_deref().unwrap_or_default();
    let mut findings: Vec<Finding> = held_to_the_ground(job, partition, read, points)?;
    let mut groups: Vec<(&str, Vec<usize>)> = Vec::new();
    for (row, name) in names.iter().enumerate() {
        match groups.iter_mut().find(|(known, _)| folded(known) == folded(name)) {
            Some((_, rows)) => rows.push(row),
            None => groups.push((name, vec![row])),
        }
    }
    let rule = job.samples.style.repeats;
    let mut problems = Vec::new();
    let mut several = Vec::new();
    let mut taken = without_rows(read);
    for (name, rows) in &groups {
        let place = Place { sample: Some((*name).to_owned()), ..Place::in_file(&read.file) };
        let row = match (rows.as_slice(), rule) {
            ([], _) => continue,
            (&[only], _) => row_of(read, only),
            (_, None) => {
                let lines: Vec<String> =
                    rows.iter().map(|&row| read.lines[row].to_string()).collect();
                let what =
                    format!("the zone has {} points, in rows {}", rows.len(), lines.join(", "));
                problems.push(
                    Problem::at(place, what)
                        .allowed("one value for each zone, by the rule that samples.repeats states")
                        .hint("state samples.repeats = \"mean\", \"last\" or \"first\""),
                );
                continue;
            }
            (&[first, .., last], Some(rule)) => {
                several.push(*name);
                match rule {
                    RepeatRule::First => row_of(read, first),
                    RepeatRule::Last => row_of(read, last),
                    RepeatRule::Mean => {
                        let Some(row) = mean_of(read, rows) else {
                            problems.push(no_mean(place, read, rows));
                            continue;
                        };
                        row
                    }
                }
            }
        };
        taken.add(name, &row);
    }
    if let (Some(rule), false) = (rule, several.is_empty()) {
        let text = format!(
            "{} with several points: the {} of each was taken, as samples.repeats says: {}.",
            counted(several.len() as u64, "sample zone", "sample zones"),
            rule.words(),
            some_of(&several)
        );
        findings.push(Finding::at("zone_of_several_points", Place::in_file(&read.file), text));
    }
    Refusal::unless_clean(problems, (taken.samples, findings))
}

/// Holds every point against the zone that it names.
fn held_to_the_ground(
    job: &Job,
    partition: &Partition,
    read: &Samples,
    points: &[Point],
) -> Result<Vec<Finding>, Refusal> {
    let mut problems = Vec::new();
    let mut beside: Vec<String> = Vec::new();
    let mut farthest_m: f64 = 0.0;
    let names = read.zones.as_deref().unwrap_or_default();
    for (sample, (name, &point)) in names.iter().zip(points).enumerate() {
        let here = partition.zone_near(point).map(|(zone, _)| zone);
        let own = partition.zones.iter().position(|zone| folded(&zone.name) == folded(name));
        // A zone without ground in the field is told with the results that are not used.
        if own == here || own.is_some_and(|own| partition.zones[own].area <= Area::ZERO) {
            continue;
        }
        let lies_in = here.map_or_else(String::new, |here| clean(&partition.zones[here].name));
        let away_m = own.and_then(|own| partition.distance_to_zone_m(own, point));
        match away_m {
            Some(away_m) if away_m <= BESIDE_M => {
                farthest_m = farthest_m.max(away_m);
                beside.push(format!("{} ({} in {lies_in})", clean(&read.ids[sample]), clean(name)));
            }
            Some(away_m) => {
                let what = format!(
                    "the point names the zone {}, and lies in the zone {lies_in}, {} from it",
                    clean(name),
                    length(job, away_m)
                );
                problems.push(
                    Problem::at(read.place(sample), what)
                        .allowed(format!(
                            "points in their zone, or within {} of it",
                            length(job, BESIDE_M)
                        ))
                        .hint("correct the zone or the coordinates, or take the point out"),
                );
            }
            None => {
                let known: Vec<&str> =
                    partition.zones.iter().map(|zone| zone.name.as_str()).collect();
                let what = format!(
                    "the point names the zone {}, which is not in the zones' file; it lies in the \
                     zone {lies_in}",
                    clean(name)
                );
                problems.push(
                    Problem::at(read.place(sample), what)
                        .allowed(format!("one of {}", some_of(&known)))
                        .hint("check the names in both files, and samples.zone_key"),
                );
            }
        }
    }
    let mut findings = Vec::new();
    if !beside.is_empty() {
        let named: Vec<&str> = beside.iter().map(String::as_str).collect();
        let text = format!(
            "{} of {} points lie in another zone than the one that they name, at most {} from it; \
             they count for the one that they name: {}.",
            beside.len(),
            points.len(),
            length(job, farthest_m),
            some_of(&named)
        );
        findings.push(Finding::at("points_beside_their_zone", Place::in_file(&read.file), text));
    }
    Refusal::unless_clean(problems, findings)
}

fn length(job: &Job, metres: f64) -> String {
    shown(job.units.length(Length::from_metres(metres)), 1)
}

/// The readings of one sample.
struct Row {
    line: usize,
    buffer_line: Option<usize>,
    layer: usize,
    ph: Option<f64>,
    buffer_ph: Option<f64>,
    /// One number for each of the values that the samples have.
    values: Vec<f64>,
    texture: Option<TextureClass>,
}

fn row_of(read: &Samples, row: usize) -> Row {
    Row {
        line: read.lines[row],
        buffer_line: read.buffer_lines.as_ref().and_then(|(_, lines)| lines[row]),
        layer: read.layers[row],
        ph: read.ph.as_ref().map(|all| all[row]),
        buffer_ph: read.buffer_ph.as_ref().and_then(|all| all[row]),
        values: read.values.iter().map(|all| all.numbers[row]).collect(),
        texture: read.textures.as_ref().map(|all| all[row]),
    }
}

/// `None` where some of the rows have a buffer reading and others have none.
fn mean_of(read: &Samples, rows: &[usize]) -> Option<Row> {
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    let of = |all: &[f64]| mean(&rows.iter().map(|&row| all[row]).collect::<Vec<_>>());
    let buffer: Vec<f64> =
        read.buffer_ph.iter().flat_map(|all| rows.iter().filter_map(|&row| all[row])).collect();
    if !buffer.is_empty() && buffer.len() < rows.len() {
        return None;
    }
    Some(Row {
        ph: read.ph.as_ref().map(|all| of(all)),
        buffer_ph: (!buffer.is_empty()).then(|| mean(&buffer)),
        values: read.values.iter().map(|all| of(&all.numbers)).collect(),
        texture: read.textures.as_ref().map(|all| most_frequent(rows.iter().map(|&row| all[row]))),
        ..row_of(read, rows[0])
    })
}

fn no_mean(place: Place, read: &Samples, rows: &[usize]) -> Problem {
    let tested = |row: &&usize| read.buffer_ph.as_ref().is_some_and(|all| all[**row].is_some());
    let what = format!(
        "{} of the zone's {} points have a buffer pH and the others have none, which has no mean",
        rows.iter().filter(tested).count(),
        rows.len()
    );
    Problem::at(place, what)
        .allowed("a buffer pH at all points of a zone or at none, where samples.repeats is \"mean\"")
        .hint("fill the readings in, take samples.repeats = \"first\" or \"last\", or leave points out")
}

/// Samples to which rows are added.
struct Taken {
    samples: Samples,
}

fn without_rows(read: &Samples) -> Taken {
    let mut samples = super::zones::picked(read, &[]);
    samples.zones = None;
    // A mean of several readings has no moment; the log was held against each of them before.
    samples.measured_at = None;
    Taken { samples }
}

impl Taken {
    fn add(&mut self, name: &str, row: &Row) {
        let samples = &mut self.samples;
        samples.ids.push(name.to_owned());
        samples.lines.push(row.line);
        if let Some((_, lines)) = &mut samples.buffer_lines {
            lines.push(row.buffer_line);
        }
        samples.layers.push(row.layer);
        if let Some(all) = &mut samples.ph {
            all.extend(row.ph);
        }
        if let Some(all) = &mut samples.buffer_ph {
            all.push(row.buffer_ph);
        }
        for (all, number) in samples.values.iter_mut().zip(&row.values) {
            all.numbers.push(*number);
        }
        if let Some(all) = &mut samples.textures {
            all.extend(row.texture);
        }
    }
}
