//! Whose field, which farm, field, product and unit: what the task refers to, each by its
//! identifier: the element's name and a number from 1, as 0 is reserved.

use super::rate_of;
use super::shapes::{self, KEPT_OUT, PARTFIELD};
use super::xml::{Xml, designator};
use crate::outputs::load::LoadMap;
use crate::units::ControllerUnit;

const CUSTOMER: &str = "CTR1";
const FARM: &str = "FRM1";
const FIELD: &str = "PFD1";
pub(super) const PRODUCT: &str = "PDT1";
pub(super) const UNIT: &str = "VPN1";

/// What amounts of the product are held in, which goes with rates as mass on an area: DDI 75,
/// Actual Mass Content, in grams (isobus.net, Data dictionary, entity 75).
const MASS_CONTENT: &str = "004B";
/// Decimals of a value presentation's scale, whose least value is 1e-9.
const SCALE_DECIMALS: usize = 15;

/// The attributes of a task that refer to what it is for.
pub(super) fn references(map: &LoadMap) -> [(&'static str, Option<String>); 3] {
    [("C", customer(map)), ("D", farm(map)), ("E", Some(FIELD.to_owned()))]
}

fn customer(map: &LoadMap) -> Option<String> {
    map.label.customer.as_ref().map(|_| CUSTOMER.to_owned())
}

fn farm(map: &LoadMap) -> Option<String> {
    map.label.farm.as_ref().map(|_| FARM.to_owned())
}

/// Writes all that the task refers to.
pub(super) fn write(xml: &mut Xml, map: &LoadMap) {
    let label = &map.label;
    let id = |id: &str| ("A", Some(id.to_owned()));
    let name = |name: &str| ("B", Some(designator(name)));
    if let Some(customer) = &label.customer {
        xml.leaf("CTR", &[id(CUSTOMER), name(customer)]);
    }
    if let Some(farm) = &label.farm {
        xml.leaf("FRM", &[id(FARM), name(farm), ("I", customer(map))]);
    }
    let area = shapes::area_of(&map.boundary).to_square_metres();
    let field = [
        id(FIELD),
        ("C", Some(designator(&label.field))),
        ("D", Some(format!("{area:.0}"))),
        ("E", customer(map)),
        ("F", farm(map)),
    ];
    xml.element("PFD", &field, |xml| {
        shapes::write_polygons(xml, PARTFIELD, None, &map.boundary);
        shapes::write_polygons(xml, KEPT_OUT, Some("Kept out"), &map.keep_out);
    });
    xml.leaf("PDT", &[id(PRODUCT), name(&label.material), ("E", Some(MASS_CONTENT.to_owned()))]);
    write_unit(xml, map.unit);
}

/// How a display shows rates: (value + offset) x scale, rounded to so many decimals (ISO
/// 11783-10:2015, annex D, `ValuePresentation`).
fn write_unit(xml: &mut Xml, unit: ControllerUnit) {
    let decimals = match unit {
        ControllerUnit::PoundsPerAcre | ControllerUnit::KilogramsPerHectare => 0,
        ControllerUnit::ShortTonsPerAcre | ControllerUnit::TonnesPerHectare => 3,
    };
    let scale = format!("{:.SCALE_DECIMALS$}", unit.number(rate_of(1)));
    let attributes = [
        ("A", Some(UNIT.to_owned())),
        ("B", Some("0".to_owned())),
        ("C", Some(scale.trim_end_matches('0').to_owned())),
        ("D", Some(decimals.to_string())),
        ("E", Some(unit.words().to_owned())),
    ];
    xml.leaf("VPN", &attributes);
}
