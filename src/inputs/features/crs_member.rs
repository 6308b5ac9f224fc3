//! The `crs` member that GeoJSON had before RFC 7946.
//!
//! The GeoJSON Format Specification, revision 1.0, 2008, section 3 (number from memory): a named
//! system stands in `properties.name`; early drafts had an EPSG number in `properties.code`.

use serde_json::Value;

use super::model::OwnSystem;
use super::system::system_named;
use crate::findings::{Place, Problem, Refusal, clean};
use crate::inputs::CoordinateSystem;

/// What the document says of its coordinates: WGS 84 degrees unless it has a `crs` member.
///
/// # Errors
/// Refuses a member that names no system.
pub(super) fn system_of(document: &Value, place: &Place) -> Result<OwnSystem, Refusal> {
    let Some(member) = document.get("crs").filter(|member| !member.is_null()) else {
        return Ok(OwnSystem::TakenForGranted(CoordinateSystem::Wgs84Degrees));
    };
    let text = |pointer| member.pointer(pointer).and_then(Value::as_str);
    let code = member.pointer("/properties/code").and_then(Value::as_u64);
    let name = match (text("/type"), text("/properties/name"), code) {
        (Some("name"), Some(name), _) => Some(name.trim().to_owned()),
        (Some("EPSG"), _, Some(code)) => Some(format!("EPSG:{code}")),
        _ => None,
    };
    match name.filter(|name| !name.is_empty()) {
        Some(name) => Ok(OwnSystem::Named(system_named(&name))),
        None => Err(not_understood(member, place)),
    }
}

/// Refuses a `crs` member in a part of the document: all of a file is in one system here.
///
/// # Errors
/// Refuses the member.
pub(super) fn refuse_inner_member(part: &Value, place: &Place) -> Result<(), Problem> {
    match part.get("crs").filter(|member| !member.is_null()) {
        None => Ok(()),
        Some(member) => {
            let what = format!(
                "a part of the file has a coordinate system of its own: {}",
                clean(&member.to_string())
            );
            Err(Problem::at(place.clone(), what)
                .allowed("one system for the whole file, in its outermost object")
                .hint("export it again in WGS 84 longitude and latitude (EPSG:4326)"))
        }
    }
}

fn not_understood(member: &Value, place: &Place) -> Refusal {
    let what = format!(
        "the file declares its coordinate system in a `crs` member that is not understood: {}",
        clean(&member.to_string())
    );
    Problem::at(place.clone(), what)
        .allowed("a member of the type `name` with `properties.name`, such as `urn:ogc:def:crs:EPSG::32616`")
        .hint("export it again in WGS 84 longitude and latitude (EPSG:4326)")
        .into()
}
