//! Reading a shapefile: shapes, table, code page and coordinate system, each from its own file.

use super::bundle::Bundle;
use super::dbf::{DbfTable, read_dbf};
use super::model::{Feature, MapFile, OwnSystem, Parsed, RawGeometry};
use super::shp::read_shapes;
use super::system::system_named;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::open::InputFile;

/// Reads the shapefile whose main file is `file`, the `member` of `bundle`, and adds the files
/// beside it to `files`.
///
/// # Errors
/// Refuses damaged files, and a table with another number of rows than there are shapes.
pub(super) fn read_shapefile(
    file: &MapFile,
    member: &str,
    bundle: &mut Bundle,
    files: &mut Vec<InputFile>,
) -> Result<Parsed, Refusal> {
    let place = Place::in_file(&file.name);
    let shapes = read_shapes(file)?;
    let mut beside = |extension: &str| -> Result<Option<MapFile>, Refusal> {
        bundle.beside(member, extension).map(|name| bundle.read(&name, files)).transpose()
    };
    let text = |file: MapFile| String::from_utf8_lossy(&file.bytes).trim().to_owned();
    let system = match beside("prj")?.map(text) {
        Some(prj) if !prj.is_empty() => {
            OwnSystem::Named(system_named(prj.trim_start_matches('\u{feff}')))
        }
        _ => OwnSystem::NotSaid,
    };
    let cpg = beside("cpg")?.map(text);
    let table = match beside("dbf")? {
        Some(dbf) => Some(read_dbf(&dbf, cpg.as_deref())?),
        None => None,
    };
    let mut findings = Vec::new();
    let nulls = shapes.iter().filter(|shape| shape.is_empty()).count();
    if nulls > 0 {
        let text = format!("{nulls} of {} shapes are empty (null shapes).", shapes.len());
        findings.push(Finding::at("null_shapes", place.clone(), text));
    }
    let (columns, features) = match table {
        None => {
            let text = "There is no .dbf file beside it, so its features have no attributes.";
            findings.push(Finding::at("shapefile_without_table", place, text));
            let feature =
                |(index, geometry)| Feature { number: index + 1, geometry, attributes: Vec::new() };
            (Vec::new(), shapes.into_iter().enumerate().map(feature).collect())
        }
        Some(table) => join(shapes, table, &place, &mut findings)?,
    };
    Ok(Parsed { file: file.name.clone(), system, columns, features, findings })
}

/// Puts each row to its shape; both stand in the same order.
fn join(
    shapes: Vec<RawGeometry>,
    table: DbfTable,
    place: &Place,
    findings: &mut Vec<Finding>,
) -> Result<(Vec<String>, Vec<Feature>), Refusal> {
    let DbfTable { columns, rows, findings: found } = table;
    findings.extend(found);
    if shapes.len() != rows.len() {
        let what = format!(
            "the shapefile has {} shapes and its table has {} rows",
            shapes.len(),
            rows.len()
        );
        return Err(Problem::at(place.clone(), what)
            .allowed("one row for each shape")
            .hint("copy or export the shapefile again, all its files together")
            .into());
    }
    let all = shapes.len();
    let joined = shapes.into_iter().zip(rows).enumerate();
    let features: Vec<Feature> = joined
        .filter_map(|(index, (geometry, row))| {
            row.map(|attributes| Feature { number: index + 1, geometry, attributes })
        })
        .collect();
    if features.len() < all {
        let text = format!(
            "{} of {all} shapes were left out, because their rows are marked as deleted.",
            all - features.len()
        );
        findings.push(Finding::at("deleted_shapes", place.clone(), text));
    }
    Ok((columns, features))
}
