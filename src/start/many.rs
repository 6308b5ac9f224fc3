//! One job for each of many fields, from one file of boundaries and one of samples.

use std::path::Path;

use super::compose::{Known, OfMany, compose};
use super::farm::Farm;
use super::gather::{Gathered, Lab};
use super::ground::{Placed, area_in_words, refuse_empty};
use super::list::{LIST_FILE, list_text};
use super::roll::{Called, Entry, Roll, call_the_roll};
use super::{Start, StartAsked, Told, is_toml, way};
use crate::error::Error;
use crate::field::Field;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::{damage_in_words, read_settings, recognise, toml_text};
use crate::outputs::{Started, StartedFields, StartedFinding, StraySample, UnclaimedSamples};
use crate::store::slugs;

pub(super) fn start_many(asked: &StartAsked, column: &str) -> Result<Start, Error> {
    let folder = asked.out.clone();
    if folder.as_deref().is_some_and(is_toml) {
        let problem = Problem::at(Place::in_file("--out"), "many jobs do not go into one file")
            .allowed("a folder, for a job of each field and their list")
            .hint("name a folder; the files in it get the names of the fields");
        return Err(Refusal::from(problem).into());
    }
    let from = folder.as_deref().unwrap_or(Path::new("."));
    let (farm, mut findings) = Farm::read(asked, column, from)?;
    let Roll { fields: entries, without_samples, without_boundary, findings: told } =
        call_the_roll((&farm.table, farm.column), (&farm.layer, farm.attribute))?;
    findings.extend(told);
    let (fields, told_of_fields) = farm.lay_out_all(&entries)?;
    let (others, told) = farm.lay_out_others(&without_samples);
    findings.extend(told);
    let around = farm.fields_of_rows(&fields, &others)?;
    let names: Vec<&str> = entries.iter().map(|entry| entry.boundary.0.as_str()).collect();
    let slugs = slugs(&names, &["fields"]);
    let mut jobs = Vec::new();
    let mut files = Vec::new();
    let mut strays = Vec::new();
    let mut misfits: Vec<Refusal> = Vec::new();
    for (at, entry) in entries.iter().enumerate() {
        let (text, mut job, misfit) = farm.job(entry, &fields[at].1, from)?;
        job.findings.splice(0..0, told_of_fields[at].iter().map(StartedFinding::from));
        let file = format!("{}.toml", slugs[at]);
        job.file = folder.as_deref().map(|folder| folder.join(&file).display().to_string());
        strays.extend(farm.strays(entry, &around));
        misfits.extend(misfit);
        jobs.push(job);
        files.push((file, text));
    }
    // One field whose samples lie elsewhere is its own matter; all of them have one cause.
    if misfits.len() == jobs.len()
        && let Some(all) = misfits.into_iter().reduce(Refusal::and)
    {
        return Err(all.into());
    }
    let names: Vec<String> = files.iter().map(|(name, _)| name.clone()).collect();
    let list = list_text(&farm.settings, &jobs, &names);
    files.insert(0, (LIST_FILE.to_owned(), list));
    let told = StartedFields {
        list: folder.as_deref().map(|folder| folder.join(LIST_FILE).display().to_string()),
        field_attribute: farm.layer.columns[farm.attribute].clone(),
        field_column: farm.table.headers[farm.column].clone(),
        fields: jobs,
        boundaries_without_samples: without_samples.into_iter().map(|(name, _)| name).collect(),
        samples_without_boundary: farm.unclaimed(&without_boundary, &around),
        samples_in_other_fields: strays,
        findings: findings.iter().map(StartedFinding::from).collect(),
    };
    Ok(Start { told: Told::Many(told), folder, files })
}

impl Farm<'_> {
    /// The job of a field, what is told of it, and why its samples would be refused, where they
    /// would.
    fn job(
        &self,
        entry: &Entry,
        field: &Field,
        folder: &Path,
    ) -> Result<(String, Started, Option<Refusal>), Error> {
        let Entry { boundary: (name, _), samples: (samples_name, rows) } = entry;
        let attribute = self.layer.columns[self.attribute].as_str();
        let column = self.table.headers[self.column].as_str();
        let mut sets = self.sets.clone();
        for (table, key, value) in [("field", attribute, name), ("samples", column, samples_name)] {
            sets.push(format!("{table}.select.{}={}", toml_text(key), toml_text(value)));
        }
        let mut settings = read_settings(&sets)?;
        settings.key.clone_from(&self.settings.key);
        let gathered = Gathered {
            table: self.table.only(rows),
            lab: self.lab.clone().map(|lab| Lab {
                points_without: lab
                    .points_without
                    .into_iter()
                    .filter(|row| row.cells[self.column] == *samples_name)
                    .collect(),
                ..lab
            }),
            zones: None,
            findings: Vec::new(),
        };
        let table = &gathered.table;
        let found = recognise(table, &settings)?;
        let mut about = refuse_empty(table)?;
        let mut findings = Vec::new();
        let mut misfit = None;
        if let Some((system, places)) = &self.places {
            let places = rows.iter().map(|&row| places[row]).collect();
            let placed = Placed::of(table, found.header("samples.key"), (system.clone(), places));
            match placed.fit(field) {
                Ok((inside, told)) => {
                    about.push_str(&inside);
                    findings.extend(told);
                }
                Err(refusal) => {
                    let why: Vec<&str> =
                        refusal.problems().iter().map(|problem| problem.what.as_str()).collect();
                    let text = format!("The job will be refused as it stands: {}.", why.join("; "));
                    findings.push(Finding::new("samples_do_not_fit", text));
                    misfit = Some(refusal);
                }
            }
        }
        let samples = self.asked.samples.as_deref().map(|path| way(folder, path)).transpose()?;
        let (text, mut job) = compose(&Known {
            settings: &settings,
            name: (name, &format!("the attribute `{attribute}` of its boundary")),
            boundary: &way(folder, &self.asked.boundary)?,
            samples: samples.as_deref(),
            gathered: &gathered,
            about: vec![format!("boundary: {}", area_in_words(field)), format!("samples: {about}")],
            found: &found,
            of_many: Some(OfMany { attribute, column }),
        });
        job.findings = findings.iter().map(StartedFinding::from).collect();
        Ok((text, job, misfit))
    }

    /// The samples of a field that lie in another one and not in their own.
    fn strays(&self, entry: &Entry, around: &[Vec<&str>]) -> Vec<StraySample> {
        let (own, rows) = (entry.boundary.0.as_str(), &entry.samples.1);
        let lie_elsewhere = |&&row: &&usize| !around[row].is_empty() && !around[row].contains(&own);
        rows.iter()
            .filter(lie_elsewhere)
            .map(|&row| StraySample {
                sample: self.sample_of(row),
                names: own.to_owned(),
                lies_in: around[row].join(", "),
            })
            .collect()
    }

    fn unclaimed(&self, called: &[Called], around: &[Vec<&str>]) -> Vec<UnclaimedSamples> {
        let of_name = |(name, rows): &Called| {
            let mut lie_in: Vec<&str> = rows.iter().flat_map(|&row| around[row].clone()).collect();
            lie_in.sort_unstable();
            lie_in.dedup();
            UnclaimedSamples {
                field: Some(name.clone()).filter(|name| !name.is_empty()),
                looks_damaged: damage_in_words(name),
                samples: rows.iter().map(|&row| self.sample_of(row)).collect(),
                lie_in: lie_in.into_iter().map(str::to_owned).collect(),
            }
        };
        called.iter().map(of_name).collect()
    }
}
