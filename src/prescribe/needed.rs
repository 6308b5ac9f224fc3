//! What the method reads has to be in the samples, and each sample has to be one that it has needs
//! for.

use crate::agronomy::{Prepared, Reads};
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::{Job, Samples};
use crate::units::{SoilValue, TextureClass};

/// Refuses samples without a column that the method reads, and those whose soil it has no needs
/// for; all of them at once.
pub(super) fn require_needed(
    job: &Job,
    read: &Samples,
    prepared: &Prepared,
) -> Result<(), Refusal> {
    let mut problems = Vec::new();
    for reads in prepared.reads().iter() {
        match reads {
            // The pH is in every table, and a buffer pH has its own rules.
            Reads::Ph | Reads::BufferPh => {}
            Reads::Texture => match &read.textures {
                None => problems.push(no_texture(job, read)),
                Some(textures) => problems.extend(no_needs_of(job, read, prepared, textures)),
            },
            Reads::Value(value) => match read.column(value) {
                None => problems.push(no_column(job, read, value)),
                Some(numbers) => problems.extend(beyond(job, read, prepared, value, numbers)),
            },
        }
    }
    Refusal::unless_clean(problems, ())
}

fn no_column(job: &Job, read: &Samples, value: SoilValue) -> Problem {
    let (words, key) = (value.words(), value.key());
    let unit = value.bounded().kind.example;
    let unit = value.unit_written(unit).unwrap_or(value.bounded().limit_unit);
    let what = format!(
        "the method `{}` reads the {words}, and there is no column with it in a known unit",
        job.method
    );
    let problem = Problem::at(Place::in_file(read.file.clone()), what);
    problem.allowed(format!("a column with the {words}, a number in every row")).hint(format!(
        "state its unit as samples.units.{key} = \"{unit}\", and name the column with \
         samples.columns.{key} where its header is not known"
    ))
}

fn no_texture(job: &Job, read: &Samples) -> Problem {
    let what = format!(
        "the method `{}` reads the texture class, and there is no column with one in every row",
        job.method
    );
    let all: Vec<_> = TextureClass::ALL.map(TextureClass::words).to_vec();
    Problem::at(Place::in_file(read.file.clone()), what)
        .allowed(format!("a column with one of {}", all.join(", ")))
        .hint("name the column with samples.columns.texture where its header is not known")
}

/// One problem for each sample whose texture class the method has no needs for.
fn no_needs_of(
    job: &Job,
    read: &Samples,
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
            Problem::at(read.place(sample), what)
                .allowed(all.join(", "))
                .hint("choose a method made for such soils; no class is taken for another")
        })
        .collect()
}

/// One problem for each sample with as much of a value as the method does not hold for.
fn beyond(
    job: &Job,
    read: &Samples,
    prepared: &Prepared,
    value: SoilValue,
    numbers: &[f64],
) -> Vec<Problem> {
    let Some(limit) = prepared.holds_below(value) else { return Vec::new() };
    let unit = read.values.iter().find(|all| all.value == value).map_or("", |all| all.unit);
    let canonical = |number: f64| value.canonical(number, unit).unwrap_or(number);
    let above = numbers.iter().enumerate().filter(|(_, number)| canonical(**number) >= limit);
    above
        .map(|(sample, number)| {
            let what = format!(
                "`{}` holds below a {} of {limit} {}, and this sample has {number} {unit}",
                job.method,
                value.words(),
                value.bounded().limit_unit
            );
            Problem::at(read.place(sample), what)
                .allowed(format!("below {limit} {}", value.bounded().limit_unit))
                .hint(
                    "map such ground in a job of its own with a buffer method; near the limit the \
                     source takes the higher of the two needs",
                )
        })
        .collect()
}
