//! Reading a GeoPackage (OGC 12-128r19, version 1.4): a layer of features in an SQLite database.
//!
//! The database is a stranger's: nothing in it is run. Only plain tables that the GeoPackage lists
//! as layers of features are read, row by row in their own order; views, virtual tables, triggers
//! and computed columns are left alone.

mod blob;
mod catalog;
mod database;

use rusqlite::types::ValueRef;

use self::blob::read_blob;
use self::catalog::{Layer, layers, system_of};
pub(super) use self::database::MAGIC as SQLITE_MAGIC;
use self::database::{Column, Database, quoted};
use super::choose::{choose_layer, refuse_too_many_attributes};
use super::model::{Feature, MapFile, Parsed, RawGeometry};
use super::read::Wanted;
use crate::findings::{Finding, Place, Problem, Refusal, clean};
use crate::units::LIMITS;

/// Reads all features of the wanted layer.
///
/// # Errors
/// Refuses what is no GeoPackage, is damaged or cut off, or has a journal of changes beside it; a
/// layer that is a view; geometry that is damaged or not read; and what is beyond the limits.
pub(super) fn read_geopackage(file: &MapFile, wanted: &Wanted) -> Result<Parsed, Refusal> {
    let database = Database::open(file)?;
    let layers = layers(&database)?;
    let names: Vec<String> = layers.iter().map(|layer| layer.table.clone()).collect();
    let layer = &layers[choose_layer(&names, wanted, &file.name)?];
    database.refuse_unless_a_table(&layer.table)?;
    let shown =
        if names.len() == 1 { file.name.clone() } else { format!("{}/{}", file.name, layer.table) };
    let system = system_of(&database, layer.system_id)?;
    let mut findings = Vec::new();
    let (columns, features) = read_rows(&database, layer, &shown, &mut findings)?;
    database.refuse_if_changed(file)?;
    Ok(Parsed { file: shown, system, columns, features, findings })
}

/// The names of the attributes, and a feature for each row of the layer's table.
fn read_rows(
    database: &Database,
    layer: &Layer,
    shown: &str,
    findings: &mut Vec<Finding>,
) -> Result<(Vec<String>, Vec<Feature>), Refusal> {
    let place = Place::in_file(shown);
    let all = database.columns(&layer.table)?;
    let is_geometry = |column: &Column| column.name.eq_ignore_ascii_case(&layer.geometry_column);
    if !all.iter().any(is_geometry) {
        let what = format!("the layer has no column `{}`", clean(&layer.geometry_column));
        return Err(Problem::at(place, what)
            .allowed("the geometry column that the GeoPackage names")
            .hint("export the layer again")
            .into());
    }
    let attributes: Vec<Column> = all.into_iter().filter(|column| !is_geometry(column)).collect();
    refuse_too_many_attributes(0, attributes.len(), &place)?;
    let mut names = vec![quoted(&layer.geometry_column)];
    names.extend(attributes.iter().map(|column| quoted(&column.name)));
    // An index could give the rows in another order.
    let query = format!(
        "SELECT {} FROM {} NOT INDEXED LIMIT {}",
        names.join(", "),
        quoted(&layer.table),
        LIMITS.features + 1
    );
    let mut features: Vec<Feature> = Vec::new();
    let mut problems = Vec::new();
    let mut damaged_texts = 0;
    database.each_row(&query, &[], |row| {
        let number = features.len() + 1;
        if number > LIMITS.features {
            return Err(too_many_features(&place));
        }
        refuse_too_many_attributes(number, attributes.len(), &place)?;
        let geometry = match row[0] {
            ValueRef::Null => Ok(RawGeometry::default()),
            ValueRef::Blob(bytes) => read_blob(bytes, layer.system_id, number),
            _ => Err("its geometry is no geometry but a text or a number".into()),
        };
        let geometry = geometry.unwrap_or_else(|what| {
            let place = Place { feature: Some(number), ..place.clone() };
            problems.push(
                Problem::at(place, what)
                    .allowed("points, lines and polygons as OGC 12-128 has them")
                    .hint("export the layer again, or leave the feature out"),
            );
            RawGeometry::default()
        });
        let texts = attributes.iter().zip(&row[1..]);
        let attributes =
            texts.map(|(column, value)| text_of(*value, column, &mut damaged_texts)).collect();
        features.push(Feature { number, geometry, attributes });
        Ok(())
    })?;
    Refusal::unless_clean(problems, ())?;
    if damaged_texts > 0 {
        let text = format!("{damaged_texts} attributes hold characters that cannot be read.");
        findings.push(Finding::at("damaged_texts", place, text));
    }
    Ok((attributes.into_iter().map(|column| column.name).collect(), features))
}

/// An attribute as text: blank for nothing and for bytes, true or false where the column is one.
fn text_of(value: ValueRef<'_>, column: &Column, damaged_texts: &mut usize) -> String {
    match value {
        ValueRef::Null | ValueRef::Blob(_) => String::new(),
        ValueRef::Integer(number @ (0 | 1)) if column.kind.eq_ignore_ascii_case("boolean") => {
            (number == 1).to_string()
        }
        ValueRef::Integer(number) => number.to_string(),
        ValueRef::Real(number) => number.to_string(),
        ValueRef::Text(bytes) => {
            let text = String::from_utf8_lossy(bytes);
            *damaged_texts += usize::from(std::str::from_utf8(bytes).is_err());
            text.into_owned()
        }
    }
}

fn too_many_features(place: &Place) -> Refusal {
    Problem::at(place.clone(), format!("the layer holds more than {} features", LIMITS.features))
        .allowed(format!("{} features", LIMITS.features))
        .hint("export only what belongs to the field")
        .into()
}
