//! The job as it was run: the file's own keys, what `--set` added, and every default that was
//! taken, as a job file that gives the same result when it is run again.

use super::Job;
use super::check_applications::APPLICATIONS;
use super::check_cce::NV_BASES;
use super::check_practice::UNMET_TOLD_FROM;
use super::check_repeatability::Repeatability;
use super::check_samples::{OUTSIDE_WITHIN, PH_BY_ROW};
use super::check_zones::ZONE_GAP_LIMIT;
use super::file::{GridTable, JobFile};
use super::haul_file::OrderTable;
use super::keys::toml_text;
use super::meter_log_file::MeterLogTable;
use super::repeatability_file::RepeatabilityTable;
use super::spreader_file::SpreaderTable;
use super::written::{At, Written};
use crate::agronomy::LogLimits;
use crate::machine::{BelowMin, Split};
use crate::material::{Basis, Oxides};

/// The file that the head of a written job names as its schema, for editors that read `#:schema`;
/// they look for it beside the job file.
pub const JOB_SCHEMA_FILE: &str = "job.schema.json";

/// The file of a result that holds the job as it was run.
pub const EFFECTIVE_JOB_FILE: &str = "job.effective.toml";

/// What the job takes where a key is left out, but for the cell and the least width of rate areas,
/// which are the pass spacing.
const HEADING: &str = "0 deg";
const ALLOWANCE: &str = "0 %";
const WHOLE_TRUCKS: bool = true;
const END_ROWS: u32 = 0;

/// The keys that have a default of their own, each with that as TOML.
pub fn job_defaults() -> [(&'static str, String); 18] {
    let log = LogLimits::USUAL;
    [
        ("samples.meter_log.slope_least", toml_text(&percent(log.slope_percent[0]))),
        ("samples.meter_log.slope_most", toml_text(&percent(log.slope_percent[1]))),
        ("samples.meter_log.buffer_within", log.buffer_within.to_string()),
        ("samples.meter_log.drift_within", log.drift_within.to_string()),
        ("samples.meter_log.temperature_within", toml_text(&celsius(log.temperature_within_c))),
        ("spreader.below_min", toml_text(BelowMin::Nearest.words())),
        ("spreader.applications", APPLICATIONS.to_string()),
        ("spreader.split", toml_text(Split::Equal.words())),
        ("grid.heading", toml_text(HEADING)),
        ("rate_areas.end_rows", END_ROWS.to_string()),
        ("order.overlap_allowance", toml_text(ALLOWANCE)),
        ("order.pile_loss", toml_text(ALLOWANCE)),
        ("order.whole_trucks", WHOLE_TRUCKS.to_string()),
        ("samples.zone_gap_limit", toml_text(ZONE_GAP_LIMIT)),
        ("samples.outside_within", toml_text(OUTSIDE_WITHIN)),
        ("need.unmet_told_from", toml_text(UNMET_TOLD_FROM)),
        ("samples.repeatability.ph", Repeatability::USUAL.ph.to_string()),
        ("samples.repeatability.buffer_ph", Repeatability::USUAL.buffer_ph.to_string()),
    ]
}

/// The effective job as the text of a job file.
///
/// # Errors
/// Returns the serialiser's words; it has none for this shape, so an error is a fault of ours.
pub fn effective_job_text(job: &Job) -> Result<String, String> {
    let body = toml::to_string(&with_defaults(job)).map_err(|error| error.to_string())?;
    Ok(format!(
        "#:schema {JOB_SCHEMA_FILE}\n\
         # The job as it was run, with every default that was taken.\n\
         # Paths are relative to the folder of the job file that it was made from, also the one\n\
         # above: `limewright schema job > {JOB_SCHEMA_FILE}` puts it there for the editor.\n\n{body}"
    ))
}

fn with_defaults(job: &Job) -> JobFile {
    let mut file = job.effective.clone();
    write_words_as_usual(&mut file, job);
    let spreader = fill(&mut file.spreader, SpreaderTable::default());
    fill(&mut spreader.below_min, job.machine.below_min.words().to_owned());
    fill(&mut spreader.applications, APPLICATIONS);
    fill(&mut spreader.split, Split::Equal.words().to_owned());
    let spacing = spreader.pass_spacing.clone();
    let grid = fill(&mut file.grid, GridTable::default());
    if grid.cell.is_none() {
        grid.cell.clone_from(&spacing);
    }
    fill(&mut grid.heading, Written(HEADING.to_owned()));
    if let Some(areas) = &mut file.rate_areas {
        if areas.value.least_width.is_none() {
            areas.value.least_width = spacing;
        }
        fill(&mut areas.value.end_rows, END_ROWS);
    }
    let order = fill(&mut file.order, OrderTable::default());
    fill(&mut order.overlap_allowance, Written(ALLOWANCE.to_owned()));
    fill(&mut order.pile_loss, Written(ALLOWANCE.to_owned()));
    fill(&mut order.whole_trucks, WHOLE_TRUCKS);
    if let Some(samples) = &mut file.samples {
        fill(&mut samples.value.outside_within, Written(OUTSIDE_WITHIN.to_owned()));
        let table = fill(&mut samples.value.repeatability, RepeatabilityTable::default());
        fill(&mut table.ph, job.samples.repeatability.ph);
        if let Some(log) = &mut samples.value.meter_log {
            fill_limits(&mut log.value);
        }
        if job.samples.buffer.is_some() {
            fill(&mut table.buffer_ph, job.samples.repeatability.buffer_ph);
        }
    }
    if let Some(export) = file.export.as_mut().filter(|_| !job.export.files.is_empty()) {
        let words = job.export.files.iter().map(|format| At::nowhere(format.words().to_owned()));
        export.value.files = Some(At::nowhere(words.collect()));
        put(&mut export.value.unit, job.controller_unit().words());
        if job.export.files.iter().any(|format| format.is_task_data()) {
            let no_rate = Written(format!("0 {}", job.controller_unit().words()));
            fill(&mut export.value.out_of_field_rate, no_rate.clone());
            fill(&mut export.value.signal_lost_rate, no_rate.clone());
        }
    }
    if let Some(field) = &mut file.field {
        fill(&mut field.value.name, job.field.name.clone());
    }
    file
}

/// Words may be typed in other capitals or by another name; here they stand as the schema of a
/// job file knows them.
fn write_words_as_usual(file: &mut JobFile, job: &Job) {
    put(&mut file.units, job.units.words());
    if let (Some(samples), Some(_)) = (&mut file.samples, &job.samples.zones) {
        fill(&mut samples.value.zone_gap_limit, Written(ZONE_GAP_LIMIT.to_owned()));
    }
    if let Some(samples) = &mut file.samples {
        let medium = job.samples.ph_medium.words();
        if job.samples.ph_by_row {
            put(&mut samples.value.ph_measured_in, PH_BY_ROW);
            put(&mut samples.value.ph_converted_to, medium);
        } else {
            put(&mut samples.value.ph_measured_in, medium);
        }
        if let Some(buffer) = job.samples.buffer {
            put(&mut samples.value.buffer, buffer.words());
        }
        if let (Some(check), Some(part)) = (&mut samples.value.lab_check, &job.samples.lab_check)
            && let Some(correction) = part.apply
        {
            put(&mut check.value.apply, correction.words());
        }
        if let (Some(log), Some(part)) = (&mut samples.value.meter_log, &job.samples.meter_log)
            && let Some(unit) = part.temperature_unit
        {
            put(&mut log.value.temperature_unit, unit.words());
        }
        if let Some(mark) = job.samples.style.decimal {
            put(&mut samples.value.decimal, mark.words());
        }
        if let Some(rule) = job.samples.style.repeats {
            put(&mut samples.value.repeats, rule.words());
        }
        if let Some(rule) = job.samples.policy.censored {
            put(&mut samples.value.censored, rule.words());
        }
        if let Some(rule) = job.samples.policy.missing {
            put(&mut samples.value.missing, rule.words());
        }
    }
    if let Some(need) = &mut file.need {
        put(&mut need.value.placement, job.placement.words());
        fill(&mut need.value.unmet_told_from, Written(UNMET_TOLD_FROM.to_owned()));
    }
    if let Some(material) = &mut file.material {
        // What is taken from a list has its words there.
        let own = material.value.from.is_none();
        if own {
            put(&mut material.value.kind, job.material.kind.name);
        }
        for (slot, words) in [
            (&mut material.value.nv_basis, NV_BASES),
            (&mut material.value.composition_basis, Basis::ALL.map(Basis::words)),
            (&mut material.value.oxides, Oxides::ALL.map(Oxides::words)),
        ] {
            write_usual(slot, &words);
        }
        if let Some(price) = job.material.price.as_ref().filter(|_| own) {
            put(&mut material.value.price_at, price.at.words());
        }
    }
    if let Some(spreader) = &mut file.spreader {
        put(&mut spreader.value.below_min, job.machine.below_min.words());
    }
}

/// Writes the word in `slot`, if there is one, as it stands among `words`.
fn write_usual(slot: &mut Option<At<String>>, words: &[&str]) {
    if let Some(written) = slot {
        let usual = words.iter().find(|word| word.eq_ignore_ascii_case(written.value.trim()));
        if let Some(usual) = usual {
            (*usual).clone_into(&mut written.value);
        }
    }
}

/// The limits of a log that the job does not state.
fn fill_limits(log: &mut MeterLogTable) {
    let usual = LogLimits::USUAL;
    fill(&mut log.slope_least, Written(percent(usual.slope_percent[0])));
    fill(&mut log.slope_most, Written(percent(usual.slope_percent[1])));
    fill(&mut log.buffer_within, usual.buffer_within);
    fill(&mut log.drift_within, usual.drift_within);
    fill(&mut log.temperature_within, Written(celsius(usual.temperature_within_c)));
}

fn percent(number: f64) -> String {
    format!("{number} %")
}

fn celsius(number: f64) -> String {
    format!("{number} C")
}

fn put(slot: &mut Option<At<String>>, word: &str) {
    word.clone_into(fill(slot, String::new()));
}

/// The value in `slot`, put there first where it is missing.
fn fill<T>(slot: &mut Option<At<T>>, default: T) -> &mut T {
    &mut slot.get_or_insert_with(|| At::nowhere(default)).value
}
