//! One job for each of many fields, from one file of boundaries and one of samples.

use std::path::Path;

use super::compose::{Known, OfMany, compose};
use super::evidence::naming_attribute;
use super::gather::{Gathered, Lab, sets_of};
use super::ground::{Placed, area_in_words, refuse_empty};
use super::list::{LIST_FILE, list_text};
use super::roll::{Called, Entry, Roll, call_the_roll};
use super::{Start, StartAsked, Told, check_method, is_toml, named, way};
use crate::error::Error;
use crate::field::{self, Field, check_layer_system, fields_around, lay_out};
use crate::findings::{Finding, Place, Problem, Refusal, both, clean};
use crate::inputs::{
    CoordinateSystem, FeatureLayer, JobSettings, RawPoint, Table, boundary_of, column_named,
    damage_in_words, places_of, read_features, read_settings, recognise, toml_text,
};
use crate::outputs::{Started, StartedFields, StartedFinding, StraySample, UnclaimedSamples};
use crate::store::slugs;
use crate::units::counted;

/// Everything that was read of many fields.
struct Farm<'a> {
    asked: &'a StartAsked,
    /// The values for all jobs.
    sets: Vec<String>,
    settings: JobSettings,
    table: Table,
    lab: Option<Lab>,
    /// The column of the samples that names their fields.
    column: usize,
    layer: FeatureLayer,
    /// The attribute of the boundaries that does.
    attribute: usize,
    /// The system of the samples and the place of each row, where they are known.
    places: Option<(CoordinateSystem, Vec<Option<RawPoint>>)>,
    /// The column with the names of the samples.
    key: Option<usize>,
}

/// A field that was laid out, by the name of its boundary.
type LaidOut = (String, Field);

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

impl<'a> Farm<'a> {
    fn read(
        asked: &'a StartAsked,
        column: &str,
        from: &Path,
    ) -> Result<(Self, Vec<Finding>), Error> {
        if asked.zones.is_some() {
            let what = "many fields are started, and one file of zones is named";
            let problem = Problem::at(Place::in_file("--zones"), what)
                .allowed("samples at points, where many fields are started at once")
                .hint("start the fields one by one, each with its zones");
            return Err(Refusal::from(problem).into());
        }
        let sets = sets_of(asked, from)?;
        let mut settings = read_settings(&sets)?;
        check_method(&settings)?;
        settings.style.labels.push(column.to_owned());
        let (boundaries, gathered) = both(
            read_features(&named(&asked.boundary), "boundary", &settings.wanted),
            Gathered::read(asked, &settings),
        )?;
        let mut findings = boundaries.findings;
        findings.extend(gathered.findings);
        let (table, layer) = (gathered.table, boundaries.layer);
        refuse_empty(&table)?;
        let at = column_named(&table.headers, column, &table.file, "--field-column")?;
        if let Some(joined) = table.joined.as_ref().filter(|joined| at >= joined.from) {
            let what = "the column stands in the laboratory's file, and a job chooses its points";
            let problem = Problem::at(table.place_of_header(at), what)
                .allowed(format!("a column of {} with the field of each point", table.file))
                .hint(format!("add it there, or take {} as --samples alone", joined.file));
            return Err(Refusal::from(problem).into());
        }
        let attribute = match &asked.field_attribute {
            Some(name) => column_named(&layer.columns, name, &layer.file, "--field-attribute")?,
            None => {
                let mut names: Vec<&str> =
                    table.rows.iter().map(|row| row.cells[at].as_str()).collect();
                names.sort_unstable();
                names.dedup();
                names.retain(|name| !name.is_empty());
                let found = naming_attribute(&layer, &names, (&table.headers[at], &table.file))?;
                findings.push(Finding::at(
                    "fields_named_by",
                    Place::in_file(layer.file.clone()),
                    format!(
                        "The fields are named by the attribute `{}`, which holds {} of the {} that \
                         the samples give.",
                        clean(&layer.columns[found.at]),
                        found.hits,
                        counted(names.len() as u64, "name", "names")
                    ),
                ));
                found.at
            }
        };
        findings.extend(check_layer_system(&layer, "boundary", boundaries.stated.as_ref())?);
        if let Some(lab) = &gathered.lab {
            settings.key = Some(lab.points_key.clone());
        }
        let found = recognise(&table, &settings)?;
        let places = places_of(&table, &found, &settings);
        let lab = gathered.lab;
        let key = found.header("samples.key");
        let key = key.and_then(|key| table.headers.iter().position(|header| header == key));
        let column = at;
        let farm =
            Farm { asked, sets, settings, table, lab, column, layer, attribute, places, key };
        Ok((farm, findings))
    }

    fn lay_out(&self, (name, features): &Called) -> Result<(LaidOut, Vec<Finding>), Refusal> {
        let features = features.iter().map(|&at| &self.layer.features[at]);
        let (boundary, mut findings) = boundary_of(&self.layer, features)?;
        let (field, told) = lay_out(&boundary)?;
        findings.extend(told);
        Ok(((name.clone(), field), findings))
    }

    /// The fields with samples, each with what was found.
    ///
    /// # Errors
    /// Refuses with the problems of all of them.
    fn lay_out_all(&self, entries: &[Entry]) -> Result<(Vec<LaidOut>, Vec<Vec<Finding>>), Refusal> {
        let mut problems = Vec::new();
        let (mut fields, mut findings) = (Vec::new(), Vec::new());
        for entry in entries {
            match self.lay_out(&entry.boundary) {
                Ok((field, told)) => {
                    fields.push(field);
                    findings.push(told);
                }
                Err(refusal) => {
                    problems.extend(refusal.into_problems().into_iter().map(|problem| {
                        let what = format!("{}: {}", clean(&entry.boundary.0), problem.what);
                        Problem { what, ..problem }
                    }))
                }
            }
        }
        Refusal::unless_clean(problems, (fields, findings))
    }

    /// The fields without samples; one that cannot be laid out is told, for nothing rests on it.
    fn lay_out_others(&self, without_samples: &[Called]) -> (Vec<LaidOut>, Vec<Finding>) {
        let (mut fields, mut findings) = (Vec::new(), Vec::new());
        for called in without_samples {
            match self.lay_out(called) {
                Ok((field, _)) => fields.push(field),
                Err(refusal) => {
                    let text = format!(
                        "The boundary of {}, which has no samples, would be refused: {}.",
                        clean(&called.0),
                        refusal.problems()[0].what
                    );
                    let place = Place::in_file(self.layer.file.clone());
                    findings.push(Finding::at("boundary_would_be_refused", place, text));
                }
            }
        }
        (fields, findings)
    }

    /// For each row the names of the fields that it lies in; none where its place is not known.
    fn fields_of_rows<'f>(
        &self,
        fields: &'f [LaidOut],
        others: &'f [LaidOut],
    ) -> Result<Vec<Vec<&'f str>>, Refusal> {
        let mut around = vec![Vec::new(); self.table.rows.len()];
        let Some((system, places)) = &self.places else { return Ok(around) };
        let all: Vec<&LaidOut> = fields.iter().chain(others).collect();
        let (rows, raw): (Vec<usize>, Vec<RawPoint>) =
            places.iter().enumerate().filter_map(|(row, place)| Some((row, (*place)?))).unzip();
        let samples = field::Samples {
            file: &self.table.file,
            system,
            raw: &raw,
            places: &|at| self.table.place(&self.table.rows[rows[at]], None),
        };
        let fields: Vec<&Field> = all.iter().map(|(_, field)| field).collect();
        for (row, found) in rows.iter().zip(fields_around(&fields, &samples)?) {
            around[*row] = found.into_iter().map(|at| all[at].0.as_str()).collect();
        }
        Ok(around)
    }

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

    /// The name of the sample in a row, or its line or feature.
    fn sample_of(&self, row: usize) -> String {
        let row = &self.table.rows[row];
        let name = self.key.map(|at| row.cells[at].clone()).filter(|name| !name.is_empty());
        let kind = if self.table.header_line.is_some() { "line" } else { "feature" };
        name.unwrap_or_else(|| format!("{kind} {}", row.number))
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
