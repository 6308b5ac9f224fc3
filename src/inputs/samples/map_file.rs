//! Samples from a map file: its points, with their attributes as the columns of a table.

use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::features::{Feature, is_map_file};
use crate::inputs::job::SamplesPart;
use crate::inputs::open::InputFile;
use crate::inputs::table::table_of_attributes;
use crate::inputs::{
    CoordinateSystem, NamedFile, RawPoint, Table, TableStyle, Wanted, read_features, read_table,
};

/// Samples as they were read, from a table or from the points of a map file.
#[derive(Debug)]
pub struct SampleTable {
    /// A row for each sample.
    pub table: Table,
    /// The system that is stated for a map file that names its own.
    pub stated: Option<CoordinateSystem>,
    /// What was found.
    pub findings: Vec<Finding>,
    /// The files that were read.
    pub files: Vec<InputFile>,
}

/// Reads the file of the samples of a job.
///
/// # Errors
/// Refuses as [`read_sample_table`] does, and keys of the job that fit only the other kind of file.
pub(super) fn read_points(part: &SamplesPart) -> Result<SampleTable, Refusal> {
    if is_map_file(&part.file) {
        refuse_keys_of_tables(part)?;
    } else {
        refuse_layer_of_a_table(part)?;
    }
    read_sample_table(&part.file, &part.wanted, &part.style)
}

/// Reads samples from a table or a map file, whichever it is.
///
/// # Errors
/// Refuses as the readers of both do, and features that are no points.
pub fn read_sample_table(
    file: &NamedFile,
    wanted: &Wanted,
    style: &TableStyle,
) -> Result<SampleTable, Refusal> {
    const ROLE: &str = "samples";
    if !is_map_file(file) {
        let read = read_table(file, ROLE, style)?;
        let files = vec![read.file];
        return Ok(SampleTable { table: read.table, stated: None, findings: read.findings, files });
    }
    let read = read_features(file, ROLE, wanted)?;
    let mut findings = read.findings;
    let layer = read.layer;
    let mut problems = Vec::new();
    let mut located = Vec::with_capacity(layer.features.len());
    for feature in layer.features {
        match point_of(&feature) {
            Ok(point) => located.push((feature.number, point, feature.attributes)),
            Err((what, hint)) => {
                let place = Place { feature: Some(feature.number), ..Place::in_file(&layer.file) };
                problems
                    .push(Problem::at(place, what).allowed("a point for each sample").hint(hint));
            }
        }
    }
    Refusal::unless_clean(problems, ())?;
    let (table, told) =
        table_of_attributes(&layer.file, layer.system, &layer.columns, located, style)?;
    findings.extend(told);
    Ok(SampleTable { table, stated: read.stated, findings, files: read.files })
}

/// The one point of a feature, or why there is none and what to try.
fn point_of(feature: &Feature) -> Result<RawPoint, (String, &'static str)> {
    const OTHERS: &str =
        "leave the feature out of the file, or choose others: `select` in [samples]";
    let geometry = &feature.geometry;
    match geometry.points.as_slice() {
        _ if !geometry.areas.is_empty() => Err((
            "the feature is an area, not a point".to_owned(),
            "name areas with one composite each as samples.zones; else choose the points with \
             `select` or `layer` in [samples]",
        )),
        _ if !geometry.lines.is_empty() => {
            Err(("the feature is a line, not a point".to_owned(), OTHERS))
        }
        [] => Err(("the feature has no geometry, so the sample has no place".to_owned(), OTHERS)),
        &[point] => Ok(point),
        several => Err((
            format!("the feature holds {} points", several.len()),
            "split it into single points, each with its own readings",
        )),
    }
}

fn refuse_layer_of_a_table(part: &SamplesPart) -> Result<(), Refusal> {
    if part.wanted.layer.is_none() {
        return Ok(());
    }
    let what = "the file is a table, and `samples.layer` chooses from a map file";
    Err(Problem::at(Place::in_file(&part.file.given), what)
        .allowed("`samples.layer` beside a map file with points")
        .hint("leave the key out, or name the map file as samples.file")
        .into())
}

/// The file itself says where its points lie.
fn refuse_keys_of_tables(part: &SamplesPart) -> Result<(), Refusal> {
    let place = || Place::in_file(&part.file.given);
    let mut problems = Vec::new();
    let columns = &part.columns;
    for (key, mapped) in [
        ("samples.columns.lon", &columns.lon),
        ("samples.columns.lat", &columns.lat),
        ("samples.columns.easting", &columns.easting),
        ("samples.columns.northing", &columns.northing),
    ] {
        if mapped.is_some() {
            let what = format!("the file is a map file, and `{key}` names a column of coordinates");
            problems.push(
                Problem::at(place(), what)
                    .allowed("the points of the map file themselves")
                    .hint("leave the key out"),
            );
        }
    }
    if part.stand_for_zones() {
        let what = "the file is a map file with places of its own, and the job has sample zones";
        problems.push(
            Problem::at(place(), what)
                .allowed("a table with a row for each zone")
                .hint("export the attributes as CSV, or leave `samples.zones` out"),
        );
    }
    let other_table = part.given_by_zone().is_some_and(|gives| gives.results.is_some());
    if part.style.encoding.is_some() && part.lab.is_none() && !other_table {
        let what = "the file is a map file, and `samples.encoding` is of tables";
        problems.push(
            Problem::at(place(), what)
                .allowed("`samples.encoding` beside a table of text")
                .hint("leave the key out; a shapefile names its code page in a .cpg file"),
        );
    }
    Refusal::unless_clean(problems, ())
}
