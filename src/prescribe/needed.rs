//! What the method reads has to be in the samples, and each sample has to be one that it has needs
//! for.

use super::by_zone::Together;
use crate::agronomy::{Prepared, Reads};
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::Job;
use crate::units::{SoilValue, TextureClass};

/// Refuses samples without a column that the method reads, and those whose soil it has no needs
/// for; all of them at once.
pub(super) fn require_needed(
    job: &Job,
    read: &Together<'_>,
    prepared: &Prepared,
) -> Result<(), Refusal> {
    let mut problems = Vec::new();
    for reads in prepared.reads().iter() {
        match reads {
            // The pH is in every table, and a buffer pH has its own rules.
            Reads::Ph | Reads::BufferPh => {}
            Reads::Texture => match read.textures() {
                None => problems.push(no_texture(job, read)),
                Some(textures) => problems.extend(no_needs_of(job, read, prepared, &textures)),
            },
            Reads::Value(value) => match read.units().get(value) {
                None => problems.push(no_column(job, read, value)),
                Some(unit) => problems.extend(beyond(job, read, prepared, value, unit)),
            },
        }
    }
    Refusal::unless_clean(problems, ())
}

fn no_column(job: &Job, read: &Together<'_>, value: SoilValue) -> Problem {
    let (words, key) = (value.words(), value.key());
    let unit = value.bounded().kind.example;
    let unit = value.unit_written(unit).unwrap_or(value.bounded().limit_unit);
    let what = format!(
        "the method `{}` reads the {words}, and there is no column with it in a known unit",
        job.method
    );
    let problem = Problem::at(Place::in_file(&read.samples.file), what);
    problem.allowed(format!("a column with the {words}, a number in every row")).hint(format!(
        "state its unit as samples.units.{key} = \"{unit}\", and name the column with \
         samples.columns.{key} where its header is not known"
    ))
}

fn no_texture(job: &Job, read: &Together<'_>) -> Problem {
    let what = format!(
        "the method `{}` reads the texture class, and there is no column with one in every row",
        job.method
    );
    let all: Vec<_> = TextureClass::ALL.map(TextureClass::words).to_vec();
    Problem::at(Place::in_file(&read.samples.file), what)
        .allowed(format!("a column with one of {}", all.join(", ")))
        .hint("name the column with samples.columns.texture where its header is not known")
}

/// One problem for each sample whose texture class the method has no needs for.
fn no_needs_of(
    job: &Job,
    read: &Together<'_>,
    prepared: &Prepared,
    textures: &[TextureClass],
) -> Vec<Problem> {
    let served = prepared.textures();
    let all: Vec<_> = served.iter().map(|class| class.words()).collect();
    let unserved = textures.iter().enumerate().filter(|(_, class)| !served.contains(class));
    unserved
        .map(|(sample, class)| {
            let what =
                format!("`{}` has no needs for the texture class {}", job.method, class.words());
            Problem::at(read.samples.place(sample), what)
                .allowed(all.join(", "))
                .hint("choose a method made for such soils; no class is taken for another")
        })
        .collect()
}

/// One problem for each sample with as much of a value as the method does not hold for.
fn beyond(
    job: &Job,
    read: &Together<'_>,
    prepared: &Prepared,
    value: SoilValue,
    unit: &'static str,
) -> Vec<Problem> {
    let Some(limit) = prepared.holds_below(value) else { return Vec::new() };
    let canonical = |number: f64| value.canonical(number, unit).unwrap_or(number);
    let samples = 0..read.samples.ids.len();
    let numbers = samples.filter_map(|sample| Some((sample, read.value(value, sample)?)));
    numbers
        .filter(|(_, number)| canonical(*number) >= limit)
        .map(|(sample, number)| {
            let what = format!(
                "`{}` holds below a {} of {limit} {}, and this sample has {number} {unit}",
                job.method,
                value.words(),
                value.bounded().limit_unit
            );
            Problem::at(read.samples.place(sample), what)
                .allowed(format!("below {limit} {}", value.bounded().limit_unit))
                .hint(
                    "map such ground in a job of its own with a buffer method; near the limit the \
                     source takes the higher of the two needs",
                )
        })
        .collect()
}
