//! What the method reads has to be in the samples, and each sample has to be one that it has needs
//! for.

use super::by_zone::Together;
use crate::agronomy::{MethodCard, Prepared, Reads};
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::Job;
use crate::units::{SoilValue, TextureClass};

/// Refuses samples without a column that the method reads; all that are lacking at once.
pub(super) fn require_read(
    read: &Together<'_>,
    card: &MethodCard,
    method: &str,
) -> Result<(), Refusal> {
    let lacking = card.lacking(|reads| read.has(reads));
    let problem = |reads: Reads| match reads {
        Reads::Ph => None,
        Reads::BufferPh => Some(no_buffer(read, method)),
        Reads::Texture => Some(no_texture(read, method)),
        Reads::Value(value) => Some(no_column(read, method, value)),
    };
    Refusal::unless_clean(lacking.into_iter().filter_map(problem).collect(), ())
}

/// Refuses samples whose soil the method has no needs for; all of them at once.
pub(super) fn require_served(
    job: &Job,
    read: &Together<'_>,
    prepared: &Prepared,
) -> Result<(), Refusal> {
    let mut problems = Vec::new();
    for reads in prepared.reads().iter() {
        match reads {
            // Their ranges are held against the rows.
            Reads::Ph | Reads::BufferPh => {}
            Reads::Texture => {
                let textures = read.textures().unwrap_or_default();
                problems.extend(no_needs_of(job, read, prepared, &textures));
            }
            Reads::Value(value) => {
                let unit = read.units().get(value);
                problems.extend(
                    unit.into_iter().flat_map(|unit| beyond(job, read, prepared, value, unit)),
                );
            }
        }
    }
    Refusal::unless_clean(problems, ())
}

fn no_buffer(read: &Together<'_>, method: &str) -> Problem {
    let what =
        format!("the method `{method}` reads a buffer pH, and no column is known to hold it");
    let hint = "name it with samples.columns.buffer_ph, or choose a method without a buffer";
    let or_zones = "; where the zones' results hold it, name it in samples.by_zone";
    let hint = format!("{hint}{}", read.by_zone.map_or("", |_| or_zones));
    let place = Place::in_file(&read.samples.file);
    Problem::at(place, what).allowed("a column with the buffer pH").hint(hint)
}

fn no_column(read: &Together<'_>, method: &str, value: SoilValue) -> Problem {
    let (words, key) = (value.words(), value.key());
    let unit = value.bounded().kind.example;
    let unit = value.unit_written(unit).unwrap_or(value.bounded().limit_unit);
    let what = format!(
        "the method `{method}` reads the {words}, and there is no column with it in a known unit"
    );
    let problem = Problem::at(Place::in_file(&read.samples.file), what);
    problem.allowed(format!("a column with the {words}, a number in every row")).hint(format!(
        "state its unit as samples.units.{key} = \"{unit}\", and name the column with \
         samples.columns.{key} where its header is not known"
    ))
}

fn no_texture(read: &Together<'_>, method: &str) -> Problem {
    let what = format!(
        "the method `{method}` reads the texture class, and there is no column with one in every row"
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
