//! Many fields as they were read: their boundaries, their samples, and which lie where.

use std::path::Path;

use super::evidence::naming_attribute;
use super::gather::{Gathered, Lab, sets_of};
use super::ground::refuse_empty;
use super::roll::{Called, Entry};
use super::{StartAsked, check_method, named};
use crate::error::Error;
use crate::field::{self, Field, check_layer_system, fields_around, lay_out};
use crate::findings::{Finding, Place, Problem, Refusal, both, clean};
use crate::inputs::{
    CoordinateSystem, FeatureLayer, JobSettings, RawPoint, Table, boundary_of, column_named,
    places_of, read_features, read_settings, recognise,
};
use crate::units::counted;

/// Everything that was read of many fields.
pub(super) struct Farm<'a> {
    pub(super) asked: &'a StartAsked,
    /// The values for all jobs.
    pub(super) sets: Vec<String>,
    pub(super) settings: JobSettings,
    pub(super) table: Table,
    pub(super) lab: Option<Lab>,
    /// The column of the samples that names their fields.
    pub(super) column: usize,
    pub(super) layer: FeatureLayer,
    /// The attribute of the boundaries that does.
    pub(super) attribute: usize,
    /// The system of the samples and the place of each row, where they are known.
    pub(super) places: Option<(CoordinateSystem, Vec<Option<RawPoint>>)>,
    /// The column with the names of the samples.
    key: Option<usize>,
}

/// The attribute that holds the names in a column of the samples, with what is told of it.
fn attribute_by_names(
    layer: &FeatureLayer,
    table: &Table,
    column: usize,
) -> Result<(usize, Finding), Refusal> {
    let mut names: Vec<&str> = table.rows.iter().map(|row| row.cells[column].as_str()).collect();
    names.sort_unstable();
    names.dedup();
    names.retain(|name| !name.is_empty());
    let found = naming_attribute(layer, &names, (&table.headers[column], &table.file))?;
    let text = format!(
        "The fields are named by the attribute `{}`, which holds {} of the {} that the samples give.",
        clean(&layer.columns[found.at]),
        found.hits,
        counted(names.len() as u64, "name", "names")
    );
    let place = Place::in_file(layer.file.clone());
    Ok((found.at, Finding::at("fields_named_by", place, text)))
}

/// A field that was laid out, by the name of its boundary.
pub(super) type LaidOut = (String, Field);

impl<'a> Farm<'a> {
    /// Reads both files, and finds out what names the fields in them.
    ///
    /// # Errors
    /// Refuses files that cannot be read, and columns that are not there.
    pub(super) fn read(
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
        let attribute = if let Some(name) = &asked.field_attribute {
            column_named(&layer.columns, name, &layer.file, "--field-attribute")?
        } else {
            let (attribute, told) = attribute_by_names(&layer, &table, at)?;
            findings.push(told);
            attribute
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
    pub(super) fn lay_out_all(
        &self,
        entries: &[Entry],
    ) -> Result<(Vec<LaidOut>, Vec<Vec<Finding>>), Refusal> {
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
                    }));
                }
            }
        }
        Refusal::unless_clean(problems, (fields, findings))
    }

    /// The fields without samples; one that cannot be laid out is told, for nothing rests on it.
    pub(super) fn lay_out_others(
        &self,
        without_samples: &[Called],
    ) -> (Vec<LaidOut>, Vec<Finding>) {
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
    pub(super) fn fields_of_rows<'f>(
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

    /// The name of the sample in a row, or its line or feature.
    pub(super) fn sample_of(&self, row: usize) -> String {
        let row = &self.table.rows[row];
        let name = self.key.map(|at| row.cells[at].clone()).filter(|name| !name.is_empty());
        let kind = if self.table.header_line.is_some() { "line" } else { "feature" };
        name.unwrap_or_else(|| format!("{kind} {}", row.number))
    }
}
