//! Samples on the field: where they lie in its frame, and whether they fit it at all.

use super::causes::find_cause;
use super::door::Door;
use super::outline::Field;
use super::place::{LonLat, Point};
use crate::findings::{Finding, Place, Problem, Refusal, clean};
use crate::inputs::{CoordinateSystem, RawPoint};
use crate::units::{Length, UnitSystem, counted};

/// Samples named in one finding before the rest is only counted.
const NAMED: usize = 10;

/// The places of samples as they were read.
#[derive(Clone, Copy)]
pub struct Samples<'a> {
    /// The file, as the user named it.
    pub file: &'a str,
    /// The system of the coordinates.
    pub system: &'a CoordinateSystem,
    /// The coordinates.
    pub raw: &'a [RawPoint],
    /// The row of each sample.
    pub places: &'a dyn Fn(usize) -> Place,
}

/// The samples in metres in the field's frame, in their order.
///
/// # Errors
/// Refuses a system that PROJ does not know, and samples that their system cannot hold: with the
/// likely cause where all of them share one, else each of them.
pub fn place_points(field: &Field, samples: &Samples<'_>) -> Result<Vec<Point>, Refusal> {
    let door = Door::open(samples.system, &Place::in_file(samples.file))?;
    let moved = door.move_points(samples.raw, samples.places);
    let places = moved.map_err(|refusal| name_the_system(field, samples, &door, refusal))?;
    Ok(to_frame(field, &places))
}

/// Whether each point lies in the field.
pub fn lie_inside(field: &Field, points: &[Point]) -> Vec<bool> {
    let outline = field.edges();
    points.iter().map(|&point| outline.hold(point)).collect()
}

/// One problem for the samples that their system cannot hold, where it can hold none of them and
/// they fit the field in another way; else the refusal as it stands.
fn name_the_system(
    field: &Field,
    samples: &Samples<'_>,
    door: &Door<'_>,
    refusal: Refusal,
) -> Refusal {
    if samples.raw.iter().any(|&raw| door.place_of(raw).is_some()) {
        return refusal;
    }
    let count = samples.raw.len();
    match find_cause(field, samples) {
        Some(cause) => {
            let what = format!(
                "the coordinates of the samples are none in {}, and 0 of {count} lie in the field; \
                 {}",
                samples.system.in_words(),
                cause.in_words(count)
            );
            Problem::at(Place::in_file(samples.file), what)
                .allowed("samples in the field, in the declared coordinate system")
                .hint(cause.hint)
                .into()
        }
        None => refusal,
    }
}

/// Checks that the samples, placed at `points`, belong to the field.
///
/// Samples inside the boundary or no further than `within` from it are taken. All that lie outside
/// are counted in a finding.
///
/// # Errors
/// Refuses when no sample lies so near, naming the likely cause with its evidence, and lists single
/// samples that lie further away.
pub fn check_fit(
    field: &Field,
    samples: &Samples<'_>,
    points: &[Point],
    units: UnitSystem,
    within: Length,
) -> Result<Vec<Finding>, Refusal> {
    let limit_m = within.to_metres();
    let outline = field.edges();
    let outside: Vec<(usize, f64)> = points
        .iter()
        .enumerate()
        .filter(|&(_, &point)| !outline.hold(point))
        .map(|(index, &point)| (index, outline.distance_m(point)))
        .collect();
    if outside.is_empty() {
        return Ok(Vec::new());
    }
    let nearest_m = outside.iter().map(|&(_, far)| far).fold(f64::INFINITY, f64::min);
    if outside.len() == points.len() && nearest_m > limit_m {
        return Err(name_the_cause(field, samples, points.len(), units, nearest_m).into());
    }
    let problems: Vec<Problem> = outside
        .iter()
        .filter(|&&(_, far)| far > limit_m)
        .map(|&(index, far)| {
            let [x, y] = samples.raw[index];
            let what = format!(
                "the sample at ({x}, {y}) lies {} from the field",
                units.distance(Length::from_metres(far))
            );
            Problem::at((samples.places)(index), what)
                .allowed(format!(
                    "samples in the field or within {} of it",
                    units.distance(Length::from_metres(limit_m))
                ))
                .hint(
                    "check its coordinates for a slip of the pen, take it out of the file, or state \
                     a greater distance as samples.outside_within",
                )
        })
        .collect();
    let names: Vec<String> =
        outside.iter().take(NAMED).map(|&(index, _)| name_of(samples, index)).collect();
    let more = if outside.len() > NAMED { ", …" } else { "" };
    let farthest_m = outside.iter().map(|&(_, far)| far).fold(0.0, f64::max);
    let text = format!(
        "{} of {} {} outside the boundary, the farthest by {}: {}{more}. Samples within {} of the \
         field are used.",
        outside.len(),
        counted(points.len() as u64, "sample", "samples"),
        if outside.len() == 1 { "lies" } else { "lie" },
        units.distance(Length::from_metres(farthest_m)),
        names.join(", "),
        units.distance(Length::from_metres(limit_m)),
    );
    let finding = Finding::at("samples_outside_field", Place::in_file(samples.file), text);
    Refusal::unless_clean(problems, vec![finding])
}

fn name_of(samples: &Samples<'_>, index: usize) -> String {
    let Place { line, feature, sample, .. } = (samples.places)(index);
    let row = line.map(|line| format!("line {line}"));
    let row = row.or_else(|| feature.map(|feature| format!("feature {feature}")));
    match (sample, row) {
        (Some(name), Some(row)) => format!("{} ({row})", clean(&name)),
        (Some(name), None) => clean(&name),
        (None, Some(row)) => row,
        (None, None) => format!("number {}", index + 1),
    }
}

fn name_the_cause(
    field: &Field,
    samples: &Samples<'_>,
    count: usize,
    units: UnitSystem,
    nearest_m: f64,
) -> Problem {
    let place = Place::in_file(samples.file);
    let allowed =
        "samples in the field, in the declared coordinate system, longitude before latitude";
    let what = format!("0 of {count} samples lie in the field");
    match find_cause(field, samples) {
        Some(cause) => Problem::at(place, format!("{what}; {}", cause.in_words(count)))
            .allowed(allowed)
            .hint(cause.hint),
        None => Problem::at(place, format!("{what}; the nearest is {} away", units.distance(Length::from_metres(nearest_m))))
            .allowed(allowed)
            .hint("check that boundary and samples are of the same field, and that both name their own coordinate system and zone"),
    }
}

fn to_frame(field: &Field, places: &[LonLat]) -> Vec<Point> {
    places.iter().map(|&place| field.frame().forward(place)).collect()
}
