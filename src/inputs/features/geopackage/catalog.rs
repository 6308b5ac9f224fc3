//! What a GeoPackage says of itself: its layers of features and their coordinate systems.

use rusqlite::types::ValueRef;

use super::database::Database;
use crate::findings::{Problem, Refusal, clean};
use crate::inputs::features::model::OwnSystem;
use crate::inputs::features::system::system_named;

const CONTENTS: &str = "gpkg_contents";
const GEOMETRY_COLUMNS: &str = "gpkg_geometry_columns";
const SYSTEMS: &str = "gpkg_spatial_ref_sys";
/// Layers that are listed at most.
const MOST_LAYERS: usize = 10_000;

/// One layer of features.
#[derive(Debug)]
pub(super) struct Layer {
    pub(super) table: String,
    pub(super) geometry_column: String,
    /// Its system's number within the file; 0 and -1 stand for none.
    pub(super) system_id: i64,
}

/// The layers of features, in the order of the file.
///
/// # Errors
/// Refuses a database without the tables of a GeoPackage, and a layer without its geometry column.
pub(super) fn layers(database: &Database) -> Result<Vec<Layer>, Refusal> {
    for table in [CONTENTS, GEOMETRY_COLUMNS, SYSTEMS] {
        database.refuse_unless_a_table(table)?;
    }
    let mut tables = Vec::new();
    let query = format!(
        "SELECT table_name FROM {CONTENTS} NOT INDEXED \
         WHERE lower(data_type) = 'features' LIMIT {MOST_LAYERS}"
    );
    database.each_row(&query, &[], |row| {
        tables.push(text_of(row[0]));
        Ok(())
    })?;
    tables.into_iter().map(|table| layer_of(database, table)).collect()
}

fn layer_of(database: &Database, table: String) -> Result<Layer, Refusal> {
    let query = format!(
        "SELECT column_name, srs_id FROM {GEOMETRY_COLUMNS} NOT INDEXED \
         WHERE lower(table_name) = lower(?1) LIMIT 2"
    );
    let mut found = Vec::new();
    database.each_row(&query, &[table.clone().into()], |row| {
        let system_id = if let ValueRef::Integer(id) = row[1] { Some(id) } else { None };
        found.push((text_of(row[0]), system_id));
        Ok(())
    })?;
    if let [(column, Some(id))] = found.as_slice() {
        return Ok(Layer { table, geometry_column: column.clone(), system_id: *id });
    }
    let what = format!("the layer `{}` does not say where its geometry is", clean(&table));
    Err(Problem::at(database.place(), what)
        .allowed(format!("one row for it in {GEOMETRY_COLUMNS}, with its system"))
        .hint("export the layer again")
        .into())
}

/// The system with this number within the file.
///
/// # Errors
/// Refuses a number that the file does not explain, and a code that its own text contradicts.
pub(super) fn system_of(database: &Database, id: i64) -> Result<OwnSystem, Refusal> {
    // Undefined in a plane, and undefined on the globe (clause 1.1.2).
    if id == -1 || id == 0 {
        return Ok(OwnSystem::NotSaid);
    }
    let refuse = |what: String, allowed: &str| -> Refusal {
        Problem::at(database.place(), what)
            .allowed(allowed)
            .hint("export the layer again in WGS 84 longitude and latitude (EPSG:4326)")
            .into()
    };
    let query = format!(
        "SELECT organization, organization_coordsys_id, definition FROM {SYSTEMS} NOT INDEXED \
         WHERE srs_id = ?1 LIMIT 2"
    );
    let mut found = Vec::new();
    database.each_row(&query, &[id.into()], |row| {
        let code = if let ValueRef::Integer(code) = row[1] { Some(code) } else { None };
        found.push((text_of(row[0]), code, text_of(row[2])));
        Ok(())
    })?;
    let [(organization, code, definition)] = found.as_slice() else {
        let what = format!("the layer is in the system {id}, which the file does not explain");
        return Err(refuse(what, &format!("one row for it in {SYSTEMS}")));
    };
    let (organization, definition) = (organization.trim(), definition.trim());
    match code {
        Some(code) if organization.eq_ignore_ascii_case("EPSG") && *code > 0 => {
            match epsg_code_in(definition) {
                Some(other) if other != code.to_string() => Err(refuse(
                    format!("the file says EPSG:{code} of a system, and explains EPSG:{other}"),
                    "one of them",
                )),
                _ => Ok(OwnSystem::Named(system_named(&format!("EPSG:{code}")))),
            }
        }
        _ if !definition.is_empty() && !definition.eq_ignore_ascii_case("undefined") => {
            Ok(OwnSystem::Named(system_named(definition)))
        }
        _ => Ok(OwnSystem::NotSaid),
    }
}

/// The EPSG code that a well-known text gives for the whole of its system: the last thing in it.
fn epsg_code_in(definition: &str) -> Option<&str> {
    let end = definition.trim_end_matches([']', ')', ' ', '\n', '\r']);
    let (before, code) = end.rsplit_once(',')?;
    let code = code.trim().trim_matches('"');
    let is_code = !code.is_empty() && code.bytes().all(|byte| byte.is_ascii_digit());
    let named = ["AUTHORITY[\"EPSG\"", "ID[\"EPSG\""];
    (is_code && named.iter().any(|name| before.trim_end().ends_with(name))).then_some(code)
}

fn text_of(value: ValueRef<'_>) -> String {
    match value {
        ValueRef::Text(bytes) => String::from_utf8_lossy(bytes).into_owned(),
        _ => String::new(),
    }
}
