//! Samples from a map file: its points, with their attributes as the columns of a table.

use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::features::{Feature, is_map_file};
use crate::inputs::job::SamplesPart;
use crate::inputs::open::InputFile;
use crate::inputs::table::table_of_attributes;
use crate::inputs::{CoordinateSystem, RawPoint, Table, read_features, read_table};

/// The points of a job as they were read, from a table or from a map file.
pub(super) struct ReadPoints {
    pub(super) table: Table,
    /// The system that the job states for a map file that names its own.
    pub(super) stated: Option<CoordinateSystem>,
    pub(super) findings: Vec<Finding>,
    pub(super) files: Vec<InputFile>,
}

/// Reads the file of the samples, whichever of the two it is.
///
/// # Errors
/// Refuses as the readers of both do; features that are no points; and keys of the job that fit
/// only the other kind of file.
pub(super) fn read_points(part: &SamplesPart) -> Result<ReadPoints, Refusal> {
    const ROLE: &str = "samples";
    if !is_map_file(&part.file) {
        refuse_choice_in_a_table(part)?;
        let read = read_table(&part.file, ROLE, &part.style)?;
        let files = vec![read.file];
        return Ok(ReadPoints { table: read.table, stated: None, findings: read.findings, files });
    }
    refuse_keys_of_tables(part)?;
    let read = read_features(&part.file, ROLE, &part.wanted)?;
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
        table_of_attributes(&layer.file, layer.system, &layer.columns, located, &part.style)?;
    findings.extend(told);
    Ok(ReadPoints { table, stated: read.stated, findings, files: read.files })
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

fn refuse_choice_in_a_table(part: &SamplesPart) -> Result<(), Refusal> {
    let wanted = &part.wanted;
    let layer = wanted.layer.as_ref().map(|_| "samples.layer");
    let Some(key) = layer.or((!wanted.select.is_empty()).then_some("samples.select")) else {
        return Ok(());
    };
    let what = format!("the file is a table, and `{key}` chooses from a map file");
    Err(Problem::at(Place::in_file(&part.file.given), what)
        .allowed("`samples.layer` and `samples.select` beside a map file with points")
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
