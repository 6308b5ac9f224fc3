//! Values for a job that is still to be written, as `--set` gives them.

use std::path::Path;

use serde::de::IgnoredAny;

use super::check::Checker;
use super::file::{FieldTable, JOB_FILE_SCHEMA, JobFile, SamplesTable};
use super::keys::toml_text;
use super::listed::MaterialFrom;
use super::parse::JobText;
use super::{MappedColumns, check_samples::mapped};
use crate::findings::Refusal;
use crate::inputs::{CoordinateSystem, TableStyle, Wanted};

/// Keys whose values are tables of free names, which stand in one line.
const FREE: [&str; 4] =
    ["field.select", "samples.select", "material.fineness.passing", "material.nutrients"];

/// What is settled of a job before it is written.
#[derive(Clone, Debug)]
pub struct JobSettings {
    /// Each key by its path, with its value in TOML.
    pub values: Vec<(String, String)>,
    /// What is wanted of the boundary's file.
    pub wanted: Wanted,
    /// What is wanted of the samples' file, where it is a map file.
    pub samples_wanted: Wanted,
    /// How the table of the samples is to be read.
    pub style: TableStyle,
    /// The system of the samples' coordinates, where it is settled.
    pub system: Option<CoordinateSystem>,
    /// The column that names the samples, where it is settled.
    pub key: Option<String>,
    /// The column of a laboratory's file that does, where it is settled.
    pub lab_key: Option<String>,
    /// How a laboratory's file is to be read.
    pub lab_style: TableStyle,
    /// Whether samples without a reading or a result are left out.
    pub leave_out_missing: bool,
    /// Which column holds what, where it is settled.
    pub columns: MappedColumns,
    /// Whether each sample is a composite of a zone, which it names in place of a position.
    pub are_composites: bool,
}

impl JobSettings {
    /// The value of a key, in TOML.
    pub fn value(&self, path: &str) -> Option<&str> {
        self.values.iter().find(|(known, _)| known == path).map(|(_, value)| value.as_str())
    }

    /// The texts that a key is set to, where it is a list of them; none where it is not.
    pub fn texts(&self, path: &str) -> Vec<String> {
        let list =
            self.value(path).and_then(|value| format!("x = {value}").parse::<toml::Table>().ok());
        let list = list.as_ref().and_then(|table| table.get("x")?.as_array());
        list.into_iter().flatten().filter_map(|text| text.as_str().map(str::to_owned)).collect()
    }

    /// The text that a key is set to, where it is one.
    pub fn text(&self, path: &str) -> Option<String> {
        let line = format!("x = {}", self.value(path)?);
        let table = line.parse::<toml::Table>().ok()?;
        table.get("x")?.as_str().map(str::to_owned)
    }
}

/// Refuses values, each `key=value`, that no job can take, whatever stands in it.
///
/// # Errors
/// Refuses what is not TOML, unknown keys, each with the nearest that is known, and blanks.
pub fn check_sets(sets: &[String]) -> Result<(), Refusal> {
    let text = JobText::new("", String::new(), sets);
    text.parse_as::<IgnoredAny>(&JOB_FILE_SCHEMA).map(|_| ())
}

/// Reads and checks values for a job, each `key=value`.
///
/// # Errors
/// Refuses unknown keys, and values of the wrong kind or outside their limits; what is not there is
/// not missed.
pub fn read_settings(sets: &[String]) -> Result<JobSettings, Refusal> {
    let text = JobText::new("", String::new(), sets);
    let file = text.parse()?;
    let mut checker = Checker::of_settings(&text, Path::new(""));
    // What is settled is not yet a whole job; its faults are in the problems.
    let _ = checker.job(&file, MaterialFrom::Job);
    let samples = file.samples.as_ref().map(|table| table.value.clone()).unwrap_or_default();
    let columns = mapped(samples.columns.as_ref());
    let style = checker.style(&samples, &columns);
    let problems = checker.into_problems();
    let Some(style) = Refusal::unless_clean(problems, style)? else {
        return Err(crate::findings::Problem::at(
            crate::findings::Place::default(),
            "the settings of the table cannot be read",
        )
        .into());
    };
    let field = file.field.as_ref().map(|table| table.value.clone()).unwrap_or_default();
    Ok(settings_of(&file, &field, &samples, columns, style))
}

fn settings_of(
    file: &JobFile,
    field: &FieldTable,
    samples: &SamplesTable,
    columns: MappedColumns,
    style: TableStyle,
) -> JobSettings {
    let mut values = Vec::new();
    if let Ok(toml::Value::Table(table)) = toml::Value::try_from(file) {
        flatten(&table, "", &mut values);
    }
    let lab_style = super::check_lab::style_of(samples, &style);
    JobSettings {
        values,
        lab_style,
        wanted: super::check_areas::wanted_of(
            field.layer.as_ref(),
            field.select.as_ref(),
            field.coordinate_system.as_ref(),
        ),
        samples_wanted: Wanted {
            said_in: "[samples]".to_owned(),
            ..super::check_areas::wanted_of(
                samples.layer.as_ref(),
                samples.select.as_ref(),
                samples.coordinate_system.as_ref(),
            )
        },
        style,
        system: samples
            .coordinate_system
            .as_ref()
            .map(|system| CoordinateSystem::Declared(system.value.clone())),
        key: samples.key.as_ref().map(|key| key.value.clone()),
        lab_key: samples.lab_key.as_ref().map(|key| key.value.clone()),
        are_composites: samples.zones.is_some()
            && columns.zone.is_none()
            && samples.by_zone.is_none(),
        columns,
        leave_out_missing: samples.missing.is_some(),
    }
}

fn flatten(table: &toml::Table, path: &str, values: &mut Vec<(String, String)>) {
    for (name, value) in table {
        let path = if path.is_empty() { name.clone() } else { format!("{path}.{name}") };
        match value {
            toml::Value::Table(inner) if !FREE.contains(&path.as_str()) => {
                flatten(inner, &path, values);
            }
            _ => values.push((path, in_one_line(value))),
        }
    }
}

fn in_one_line(value: &toml::Value) -> String {
    match value {
        toml::Value::Table(table) => {
            let pair = |(key, value): (&String, &toml::Value)| {
                format!("{} = {}", toml_text(key), in_one_line(value))
            };
            format!("{{ {} }}", table.iter().map(pair).collect::<Vec<_>>().join(", "))
        }
        toml::Value::Array(list) => {
            format!("[{}]", list.iter().map(in_one_line).collect::<Vec<_>>().join(", "))
        }
        value => value.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_job_can_take_is_refused_and_what_some_job_can_is_not() {
        let check = |sets: &[&str]| {
            check_sets(&sets.iter().map(|&set| set.to_owned()).collect::<Vec<_>>())
                .map_err(|refusal| refusal.to_string())
        };
        // Whether a value fits is for the job, which says the units and all the rest.
        check(&["target.ph=6.5", "spreader.payload=16 ton", "units=us", "target.ph=65"]).unwrap();
        check(&["dates.spread=2026-10-20", "field.select.FIELD=Heron 3"]).unwrap();
        let said = check(&["target.ph=6.5", "targt.ph=6.5"]).unwrap_err();
        assert!(said.contains("--set targt.ph=6.5") && said.contains("`target`"), "{said}");
        let said = check(&["target..ph=6.5"]).unwrap_err();
        assert!(said.contains("--set target..ph=6.5"), "{said}");
    }

    fn read(sets: &[&str]) -> Result<JobSettings, Refusal> {
        read_settings(&sets.iter().map(|&set| set.to_owned()).collect::<Vec<_>>())
    }

    #[test]
    fn what_is_set_is_checked_and_what_is_not_is_not_missed() {
        let settings = read(&["target.ph=6.5", "units=us", "field.select.FIELD=Heron 3"]).unwrap();
        assert_eq!(settings.value("target.ph"), Some("6.5"));
        assert_eq!(settings.text("units").as_deref(), Some("us"));
        assert_eq!(settings.value("field.select"), Some("{ \"FIELD\" = \"Heron 3\" }"));
        assert_eq!(settings.wanted.select, [("FIELD".to_owned(), "Heron 3".to_owned())]);
        assert_eq!(settings.value("need.method"), None);
        let quoted = read(&["samples.select.\"a=b\"=\"c = d\""]).unwrap();
        assert_eq!(quoted.style.select, [("a=b".to_owned(), "c = d".to_owned())]);
        let refused = read(&["target.ph=65", "target.phh=6"]).unwrap_err().to_string();
        assert!(refused.contains("phh"), "{refused}");
        let refused = read(&["target.ph=65", "spreader.payload=16"]).unwrap_err();
        assert_eq!(refused.problems().len(), 2, "{refused}");
        assert!(refused.to_string().contains("--set target.ph=65"), "{refused}");
    }
}
