//! From what the data show to the text of one job.

use super::lines::Lines;
use super::methods::methods_in_words;
use crate::agronomy::{LimeMethod, method};
use crate::inputs::{JOB_SCHEMA_FILE, JobSettings, Readings, Recognised, toml_text};
use crate::outputs::{JobDraft, Started, job_draft_text};
use crate::units::counted;

/// What one job is made from.
pub(super) struct Known<'a> {
    pub(super) settings: &'a JobSettings,
    /// The name of the field, and where it was taken from.
    pub(super) name: (&'a str, &'a str),
    /// The boundary, the samples and the laboratory's results as the job names them.
    pub(super) boundary: &'a str,
    pub(super) samples: &'a str,
    /// Sentences on what the files hold.
    pub(super) about: Vec<String>,
    pub(super) found: &'a Recognised,
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
    let draft = JobDraft { head, tables: lines.tables() };
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
}

fn sample_lines(lines: &mut Lines<'_>, known: &Known<'_>) {
    let found = known.found;
    let about = known.about.get(1).cloned().unwrap_or_default();
    lines.known("samples.file", toml_text(known.samples), about);
    match found.candidates("samples.key") {
        [] if known.settings.has_zones => {
            lines.blank("samples.key", vec![others(found)]);
        }
        [] => {}
        [only] => lines.known("samples.key", toml_text(only), "recognised by its header"),
        several => lines.blank("samples.key", vec![could_be(several)]),
    }
    depth_lines(lines, found);
    medium_line(lines, found);
    buffer_lines(lines, known);
    unit_lines(lines, found);
    if let Some(ph) = found.ph.filter(|ph| ph.without > 0) {
        let says = format!("without it these are refused: {} without a pH", of_rows(ph.without));
        lines.offered("samples.missing", "\"leave out\"".to_owned(), says);
    }
    let limits: usize =
        [found.ph, found.buffer_ph].into_iter().flatten().map(|column| column.limits).sum();
    if limits > 0 {
        let says = format!(
            "`limit` or `half`; without it these are refused: {limits} readings known only by a \
             limit, such as `<5.0`"
        );
        lines.offered("samples.censored", "\"limit\"".to_owned(), says);
    }
}

fn depth_lines(lines: &mut Lines<'_>, found: &Recognised) {
    let ends = !found.candidates("samples.columns.depth_top").is_empty();
    let have_units =
        found.depths.iter().all(|depth| depth.ends_with("in") || depth.ends_with("cm"));
    match found.depths.as_slice() {
        [] if ends => lines.blank(
            "samples.sampled_depth",
            vec![
                "The table has columns with the upper and lower end of the depth. Where they hold \
                 several depths, take this line out and list them as `layers = [\"0-6 in\", \
                 \"6-12 in\"]`."
                    .to_owned(),
            ],
        ),
        [] => lines.blank("samples.sampled_depth", Vec::new()),
        [only] if have_units && only.contains('-') => {
            lines.known(
                "samples.sampled_depth",
                toml_text(only),
                "as the column of the depth says",
            );
        }
        [only] => {
            let says = format!("The column of the depth says `{only}`, not in full.");
            lines.blank("samples.sampled_depth", vec![says]);
        }
        several if have_units => {
            let mut several = several.to_vec();
            several.sort_by(|a, b| top_of(a).total_cmp(&top_of(b)));
            let list: Vec<String> = several.iter().map(|depth| toml_text(depth)).collect();
            let list = format!("[{}]", list.join(", "));
            lines.known("samples.layers", list, "as the column of the depth says");
        }
        several => {
            let says = format!(
                "The column of the depth has {}; write each with its unit, as in [\"0-6 in\", \
                 \"6-12 in\"].",
                quoted(several)
            );
            lines.blank("samples.layers", vec![says]);
        }
    }
}

fn top_of(depth: &str) -> f64 {
    let number: String = depth.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect();
    number.parse().unwrap_or(f64::INFINITY)
}

/// The units of what was recognised beside pH and buffer pH.
fn unit_lines(lines: &mut Lines, found: &Recognised) {
    for &(value, unit) in &found.units {
        let key = format!("samples.columns.{}", value.key());
        let (Some(header), None) = (found.header(&key), unit) else { continue };
        let example = value.bounded().limit_unit;
        let says = format!(
            "to read {} from `{header}`, whose header names no unit: ask the laboratory",
            value.words()
        );
        lines.offered(&format!("samples.units.{}", value.key()), toml_text(example), says);
    }
}

fn medium_line(lines: &mut Lines<'_>, found: &Recognised) {
    let header = found.header("samples.columns.ph").unwrap_or_default();
    match found.ph_medium {
        Some(medium) => {
            let from = format!("as the header `{header}` says");
            lines.known("samples.ph_measured_in", toml_text(medium), from);
        }
        None if found.in_water => {
            let says = format!("The header `{header}` says water; the laboratory knows how much.");
            lines.blank("samples.ph_measured_in", vec![says]);
        }
        None => lines.blank(
            "samples.ph_measured_in",
            vec!["Neither the header nor the numbers tell: ask the laboratory.".to_owned()],
        ),
    }
}

fn buffer_lines(lines: &mut Lines<'_>, known: &Known<'_>) {
    let found = known.found;
    if found.candidates("samples.columns.buffer_ph").is_empty() {
        return;
    }
    let set = known.settings.text("need.method").and_then(|id| method(&id).ok());
    if set.is_some_and(|method| method.card().buffer.is_none()) {
        return;
    }
    let header = found.header("samples.columns.buffer_ph").unwrap_or_default();
    match found.buffer {
        Some(buffer) => {
            let from = format!("as the header `{header}` says");
            lines.known("samples.buffer", toml_text(buffer), from);
        }
        None => lines.blank(
            "samples.buffer",
            vec![
                "The header does not tell. Take the line out where the method reads no buffer."
                    .to_owned(),
            ],
        ),
    }
    let Some((least_without, most_with)) = found.buffer_ends else { return };
    let without = found.buffer_ph.map_or(0, |column| column.without);
    lines.blank(
        "samples.buffer_blank_above",
        vec![format!(
            "{} without a buffer pH: the least acid of the tested ones has pH {most_with}, the most \
             acid of the others {least_without}. Take the line out where the method reads no \
             buffer, or where the blanks are no answer.",
            of_rows(without)
        )],
    );
}

fn column_lines(lines: &mut Lines<'_>, known: &Known<'_>) {
    let found = known.found;
    if !found.others.is_empty() {
        lines.about("samples.columns", format!("Not recognised: {}.", quoted(&found.others)));
    }
    if !known.settings.has_zones {
        place_lines(lines, known);
    }
    for (key, needed) in [
        ("samples.columns.ph", true),
        ("samples.columns.buffer_ph", false),
        ("samples.columns.depth", false),
        ("samples.columns.depth_top", false),
        ("samples.columns.depth_bottom", false),
    ] {
        column_line(lines, found, key, needed);
    }
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
    let card = set.map(LimeMethod::card);
    let target = card.map_or_else(
        || vec!["Each method serves its own range: see need.method.".to_owned()],
        |card| vec![format!("`{}` serves {}.", card.id, card.targets_in_words())],
    );
    lines.blank("target.ph", target);
    let mut methods = vec![
        "Take the one of your own advisers and laboratory; they differ by a factor of two. With \
         these columns:"
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

fn others(found: &Recognised) -> String {
    match found.others.as_slice() {
        [] => "No column of the table is left for it.".to_owned(),
        others => format!("No header is known for it; one of {}?", quoted(others)),
    }
}

fn could_be(headers: &[String]) -> String {
    format!("Several columns could be it: {}.", quoted(headers))
}

fn quoted(names: &[String]) -> String {
    names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ")
}

fn of_rows(count: usize) -> String {
    counted(count as u64, "row", "rows")
}
