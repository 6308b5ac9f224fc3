//! From what the data show to the text of one job.

use super::gather::Gathered;
use super::lines::Lines;
use super::methods::methods_in_words;
use super::sample_lines::sample_lines;
use crate::agronomy::{Aim, LAB_RECOMMENDATION, method};
use crate::inputs::{JOB_SCHEMA_FILE, JobSettings, Readings, Recognised, toml_text};
use crate::outputs::{JobDraft, Started, job_draft_text};
use crate::units::counted;

/// What one job is made from.
pub(super) struct Known<'a> {
    pub(super) settings: &'a JobSettings,
    /// The name of the field, and where it was taken from.
    pub(super) name: (&'a str, &'a str),
    /// The boundary and the samples as the job names them.
    pub(super) boundary: &'a str,
    /// `None` where the areas of the zones carry the results.
    pub(super) samples: Option<&'a str>,
    pub(super) gathered: &'a Gathered,
    /// Sentences on what the files hold.
    pub(super) about: Vec<String>,
    pub(super) found: &'a Recognised,
    /// How the field was chosen, where there are many.
    pub(super) of_many: Option<OfMany<'a>>,
}

/// What names a field among many.
#[derive(Clone, Copy)]
pub(super) struct OfMany<'a> {
    /// The attribute of the boundaries.
    pub(super) attribute: &'a str,
    /// The column of the samples.
    pub(super) column: &'a str,
}

/// The text of the job, and what is told of it.
pub(super) fn compose(known: &Known<'_>) -> (String, Started) {
    let mut lines = Lines::new(known.settings);
    lines.blank("units", Vec::new());
    field_lines(&mut lines, known);
    sample_lines(&mut lines, known);
    column_lines(&mut lines, known);
    need_lines(&mut lines, known);
    machine_lines(&mut lines);
    let blanks = lines.blanks();
    let head = vec![
        format!("{}: a job to be filled in.", known.name.0),
        "Every line with FILL IN above it needs a value in place of \"?\": it changes the tons, and \
         the data do not tell it. `limewright check` lists what is still blank. Keys behind # may \
         be left out."
            .to_owned(),
        format!(
            "Paths are from the folder of this file. For an editor that knows JSON Schema: \
             `limewright schema job > {JOB_SCHEMA_FILE}`."
        ),
    ];
    let draft = JobDraft { schema: JOB_SCHEMA_FILE, head, tables: lines.tables() };
    let told = told(known, blanks);
    (job_draft_text(&draft), told)
}

fn told(known: &Known<'_>, blanks: Vec<String>) -> Started {
    let mut told = Started {
        field: known.name.0.to_owned(),
        about: known.about.clone(),
        not_recognised: known.found.others.clone(),
        blanks,
        ..Started::default()
    };
    for column in &known.found.columns {
        match column.headers.as_slice() {
            [] => {}
            [only] => {
                told.recognised.insert(column.key.to_owned(), only.clone());
            }
            several => {
                told.in_doubt.insert(column.key.to_owned(), several.to_vec());
            }
        }
    }
    told
}

fn field_lines(lines: &mut Lines<'_>, known: &Known<'_>) {
    let (name, from) = known.name;
    lines.known("field.name", toml_text(name), from);
    lines.known(
        "field.boundary",
        toml_text(known.boundary),
        known.about.first().cloned().unwrap_or_default(),
    );
    if let Some(OfMany { attribute, .. }) = known.of_many {
        lines.chosen("field.select", format!("by the attribute `{attribute}`"));
    }
}

fn column_lines(lines: &mut Lines<'_>, known: &Known<'_>) {
    let found = known.found;
    if !found.others.is_empty() {
        lines.about("samples.columns", format!("Not recognised: {}.", quoted(&found.others)));
    }
    if !known.settings.are_composites && known.gathered.table.points.is_none() {
        place_lines(lines, known);
    }
    for (key, needed) in [
        ("samples.columns.ph", true),
        ("samples.columns.buffer_ph", false),
        ("samples.columns.depth", false),
        ("samples.columns.depth_top", false),
        ("samples.columns.depth_bottom", false),
    ] {
        // What the zones give stands in their own table, whose columns were not looked at.
        if !is_of_zones(known, key) {
            column_line(lines, found, key, needed);
        }
    }
    if takes_recommendations(known) {
        recommendation_lines(lines, found);
    }
}

/// Whether `samples.by_zone` says that zones give what the column of this key holds.
fn is_of_zones(known: &Known<'_>, key: &str) -> bool {
    let attribute = key.strip_prefix("samples.columns.").unwrap_or(key);
    known.settings.texts("samples.by_zone").iter().any(|given| given.trim() == attribute)
}

/// Whether the laboratory's recommendations are the need.
fn takes_recommendations(known: &Known<'_>) -> bool {
    known.settings.text("need.method").as_deref() == Some(LAB_RECOMMENDATION)
}

/// The column with the recommendations, which no header tells for certain, and its unit.
fn recommendation_lines(lines: &mut Lines<'_>, found: &Recognised) {
    lines.blank("samples.columns.lab_recommendation", vec![others(found)]);
    lines.blank(
        "samples.units.lab_recommendation",
        vec!["Take the line out where the header of the column names the unit.".to_owned()],
    );
}

/// Degrees where the table has them; else east and north with the system that nobody knows.
fn place_lines(lines: &mut Lines<'_>, known: &Known<'_>) {
    let found = known.found;
    let degrees = ["samples.columns.lon", "samples.columns.lat"];
    let metres = ["samples.columns.easting", "samples.columns.northing"];
    let any = |keys: [&str; 2]| keys.iter().any(|key| !found.candidates(key).is_empty());
    let projected = known.settings.system.is_some() || (!any(degrees) && any(metres));
    if projected {
        lines.blank(
            "samples.coordinate_system",
            vec![
                "The table has easting and northing, and does not say of which system.".to_owned(),
            ],
        );
    }
    for key in if projected { metres } else { degrees } {
        column_line(lines, found, key, true);
    }
}

fn column_line(lines: &mut Lines<'_>, found: &Recognised, key: &str, needed: bool) {
    let readings = match key {
        "samples.columns.ph" => found.ph,
        "samples.columns.buffer_ph" => found.buffer_ph,
        _ => None,
    };
    match found.candidates(key) {
        [] if needed => lines.blank(key, vec![others(found)]),
        [] => {}
        [only] => lines.known(key, toml_text(only), by_header(readings)),
        several => lines.blank(key, vec![could_be(several)]),
    }
}

fn by_header(readings: Option<Readings>) -> String {
    let Some(column) = readings.filter(|column| column.numbers > 0) else {
        return "recognised by its header".to_owned();
    };
    let mut says = format!(
        "recognised by its header; {} to {} in {}",
        column.least,
        column.most,
        of_rows(column.numbers)
    );
    if column.without > 0 {
        says = format!("{says}, none in {}", column.without);
    }
    says
}

fn need_lines(lines: &mut Lines<'_>, known: &Known<'_>) {
    let set = known.settings.text("need.method").and_then(|id| method(&id).ok());
    let card = set.map(|method| method.card());
    let target = card.map_or_else(
        || vec!["Each method serves its own range: see need.method.".to_owned()],
        |card| vec![format!("`{}` serves {}.", card.id, card.targets_in_words())],
    );
    if takes_recommendations(known) {
        // The laboratory limed to a target of its own.
        for key in ["need.lab.basis", "need.lab.depth", "need.lab.target"] {
            lines.blank(key, vec!["As the laboratory's report states it.".to_owned()]);
        }
    } else {
        let aim = card.map_or(Aim::Ph, |card| card.aim);
        lines.blank(aim.key(), target);
    }
    let mut methods = vec![
        "Take the one of your own advisers and laboratory; they differ by a factor of two. Once the \
         other blanks are filled in, `limewright methods --job` tells which can run on this job. \
         With these columns:"
            .to_owned(),
    ];
    methods.extend(methods_in_words(known.found));
    lines.blank("need.method", methods);
    let depth = card.map(|card| format!("The table of `{}` is for {}.", card.id, card.depth_words));
    lines.blank("need.limed_depth", depth.into_iter().collect());
    lines.blank("need.placement", Vec::new());
    lines.blank("material.kind", Vec::new());
    lines.blank(
        "material.effective",
        vec![
            "Or take the line out and give the analysis: `cce` with `moisture`, and [material.fineness]."
                .to_owned(),
        ],
    );
}

fn machine_lines(lines: &mut Lines<'_>) {
    lines.blank(
        "spreader.min_rate",
        vec!["Or take out the three lines and list the rates: `rates`.".to_owned()],
    );
    for key in ["max_rate", "step", "pass_spacing", "payload"] {
        lines.blank(&format!("spreader.{key}"), Vec::new());
    }
}

pub(super) fn others(found: &Recognised) -> String {
    match found.others.as_slice() {
        [] => "No column of the table is left for it.".to_owned(),
        others => format!("No header is known for it; one of {}?", quoted(others)),
    }
}

pub(super) fn could_be(headers: &[String]) -> String {
    format!("Several columns could be it: {}.", quoted(headers))
}

pub(super) fn quoted(names: &[String]) -> String {
    names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ")
}

pub(super) fn of_rows(count: usize) -> String {
    counted(count as u64, "row", "rows")
}
