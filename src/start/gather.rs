//! The samples of jobs to be started, from whatever files they stand in: a table or points of a map
//! file, with the laboratory's results joined to them; or zones, which may carry the results.

use std::collections::BTreeSet;
use std::path::Path;

use super::evidence::naming_attribute;
use super::ground::check_samples_system;
use super::{StartAsked, named, way};
use crate::field::check_layer_system;
use crate::findings::{Finding, Place, Problem, Refusal, both, clean, first_of};
use crate::inputs::{
    FeatureLayer, JobSettings, JoinHow, Joined, Recognised, Table, TableRow, Wanted, join_results,
    read_features, read_sample_table, read_table, table_of_areas, toml_text,
};
use crate::units::counted;

/// Names told in one finding before the rest is only counted.
const NAMED: usize = 20;

/// The samples with their results.
#[derive(Debug)]
pub(super) struct Gathered {
    /// A row for each.
    pub(super) table: Table,
    /// What is known of the laboratory's file, where there is one.
    pub(super) lab: Option<Lab>,
    /// What is known of the zones, where there are any.
    pub(super) zones: Option<Zones>,
    /// What was found.
    pub(super) findings: Vec<Finding>,
}

/// A laboratory's file whose results were joined.
#[derive(Clone, Debug)]
pub(super) struct Lab {
    /// A sentence on what it holds.
    pub(super) about: String,
    /// Its column with the ids of the samples.
    pub(super) key: String,
    /// The column of the points with them.
    pub(super) points_key: String,
    /// The points without a result, as they stand in their file.
    pub(super) points_without: Vec<TableRow>,
}

/// The areas of sample zones.
#[derive(Debug)]
pub(super) struct Zones {
    /// A sentence on what their file holds.
    pub(super) about: String,
    /// Their attributes.
    pub(super) attributes: Vec<String>,
    /// The attributes that could name them.
    pub(super) keys: Vec<String>,
    /// Why the only one is taken.
    pub(super) key_from: &'static str,
    layer: FeatureLayer,
}

/// The values of a job that the asked files settle, behind those that were given; `from` is the
/// folder that their paths start at.
///
/// # Errors
/// Refuses paths that cannot be followed.
pub(super) fn sets_of(asked: &StartAsked, from: &Path) -> Result<Vec<String>, Refusal> {
    let mut sets = asked.sets.clone();
    for (key, file) in [("samples.lab", &asked.lab), ("samples.zones", &asked.zones)] {
        if let Some(file) = file {
            sets.push(format!("{key}={}", toml_text(&way(from, file)?)));
        }
    }
    Ok(sets)
}

impl Gathered {
    /// Reads what was asked for, as far as it is read before its columns are recognised.
    ///
    /// # Errors
    /// Refuses files that cannot be read, and results that cannot be joined to their points.
    pub(super) fn read(asked: &StartAsked, settings: &JobSettings) -> Result<Self, Refusal> {
        let zones = asked.zones.as_deref().map(Zones::read).transpose();
        let Some(samples) = &asked.samples else {
            let Some((zones, findings)) = zones? else {
                return Err(Problem::at(Place::default(), "there is no file with samples")
                    .allowed("--samples with a file; or --zones whose areas carry the results")
                    .into());
            };
            let table = table_of_areas(&zones.layer);
            return Ok(Self { table, lab: None, zones: Some(zones), findings });
        };
        let JobSettings { samples_wanted, style, lab_style, .. } = settings;
        let lab = asked.lab.as_deref();
        let lab = lab.map(|lab| read_table(&named(lab), "laboratory results", lab_style));
        let samples = read_sample_table(&named(samples), samples_wanted, style);
        let ((samples, zones), lab) = both(both(samples, zones), lab.transpose())?;
        check_samples_system(&samples)?;
        let mut findings = samples.findings;
        let zones = zones.map(|(zones, told)| {
            findings.extend(told);
            zones
        });
        let mut gathered = Self { table: samples.table, lab: None, zones, findings };
        if let Some(lab) = lab {
            gathered.findings.extend(lab.findings);
            gathered.join(&lab.table, settings)?;
        }
        Ok(gathered)
    }

    /// Brings the results to their points. Points without a result are told here; a job refuses
    /// them unless it says otherwise.
    fn join(&mut self, lab: &Table, settings: &JobSettings) -> Result<(), Refusal> {
        let joined = join_results(
            &self.table,
            lab,
            &JoinHow {
                key: settings.key.as_deref(),
                lab_key: settings.lab_key.as_deref(),
                columns: &settings.columns,
                style: &settings.lab_style,
                leave_out_missing: true,
            },
        )?;
        let Joined { table, key, lab_key, mut findings } = joined;
        let at = self.table.headers.iter().position(|header| *header == key);
        let with: BTreeSet<usize> = table.rows.iter().map(|row| row.number).collect();
        let without = self.table.rows.iter().filter(|row| !with.contains(&row.number));
        let points_without: Vec<TableRow> = without.cloned().collect();
        if !settings.leave_out_missing {
            for finding in &mut findings {
                if finding.key == "points_without_results" {
                    let names: Vec<&str> = points_without
                        .iter()
                        .filter_map(|row| Some(row.cells[at?].as_str()))
                        .collect();
                    finding.text = format!(
                        "{} of {} points have no result, for which the job will be refused unless \
                         samples.missing leaves them out: {}.",
                        points_without.len(),
                        self.table.rows.len(),
                        first_of(&names, NAMED)
                    );
                }
            }
        }
        self.findings.extend(findings);
        let about = format!(
            "laboratory: {}, {} of {} with a result",
            counted(lab.rows.len() as u64, "row", "rows"),
            with.len(),
            counted(self.table.rows.len() as u64, "point", "points")
        );
        self.lab = Some(Lab { about, key: lab_key, points_key: key, points_without });
        self.table = table;
        Ok(())
    }

    /// Finds out which attribute names the zones: the one with the names that the samples give, or
    /// the one that is recognised where the areas are the samples.
    pub(super) fn name_the_zones(&mut self, found: &Recognised, has_samples: bool) {
        let Some(zones) = &mut self.zones else { return };
        if !has_samples {
            zones.keys = found.candidates("samples.key").to_vec();
            zones.key_from = "recognised by its name";
            return;
        }
        let Some(key) = found.header("samples.key") else { return };
        let Some(at) = self.table.headers.iter().position(|header| header == key) else { return };
        let names: BTreeSet<&str> =
            self.table.rows.iter().map(|row| row.cells[at].as_str()).collect();
        let names: Vec<&str> = names.into_iter().filter(|name| !name.is_empty()).collect();
        if let Ok(found) = naming_attribute(&zones.layer, &names, (key, &self.table.file)) {
            zones.keys = vec![zones.attributes[found.at].clone()];
            zones.key_from = "it holds the names that the samples give";
            zones.about = format!(
                "{}, {} of {} of the samples among their names",
                zones.about,
                found.hits,
                counted(names.len() as u64, "name", "names")
            );
        }
    }
}

impl Zones {
    fn read(path: &Path) -> Result<(Self, Vec<Finding>), Refusal> {
        const ROLE: &str = "sample zones";
        let said_in = "the table of `samples.zones`".to_owned();
        let read = read_features(&named(path), ROLE, &Wanted { said_in, ..Wanted::default() })?;
        let mut findings = read.findings;
        let layer = read.layer;
        findings.extend(check_layer_system(&layer, ROLE, read.stated.as_ref())?);
        let problems: Vec<Problem> = layer
            .features
            .iter()
            .filter(|feature| feature.geometry.areas.is_empty())
            .map(|feature| {
                let place = Place { feature: Some(feature.number), ..Place::in_file(&layer.file) };
                Problem::at(place, "the feature is no area, so it is no zone")
                    .allowed("an area for each zone")
                    .hint("leave it out of the file; points are named as --samples")
            })
            .collect();
        let areas = counted(layer.features.len() as u64, "area", "areas");
        let attributes = layer.columns.iter().map(|column| clean(column)).collect();
        let about = format!("zones: {areas}");
        let zones = Self { about, attributes, keys: Vec::new(), key_from: "", layer };
        Refusal::unless_clean(problems, (zones, findings))
    }
}
