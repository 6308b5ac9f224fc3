//! The treatment zones of a task: three for where no rate of the map holds, one for each rate.

use std::collections::BTreeMap;

use super::coding::{PRODUCT, UNIT};
use super::xml::{Xml, designator};
use super::{IsoForm, SETPOINT_MASS_PER_AREA, rate_of, shapes, steps_of};
use crate::outputs::load::{LoadMap, PolygonE7};
use crate::units::{ControllerUnit, plain};

/// Codes of the zones that every task has.
pub(super) const OUT_OF_FIELD: u8 = 0;
pub(super) const SIGNAL_LOST: u8 = 1;
/// Holds where the task has no other zone: on ground that is kept out, and where work starts.
pub(super) const ELSEWHERE: u8 = 2;
/// The first code of the map's own zones, and the last: `ISO11783_Common_V4-3.xsd` takes 0 to 254.
pub(super) const FIRST_OF_MAP: u8 = 3;
const LAST: u8 = 254;

/// Ground of one rate.
pub(super) struct TreatmentZone<'m> {
    pub(super) code: u8,
    name: String,
    /// In steps of the data dictionary.
    steps: i32,
    polygons: Vec<&'m [PolygonE7]>,
}

/// The zones of a map. Those of a grid of rates are the three for elsewhere and its template.
///
/// # Errors
/// Returns, in words, that there are more rates than codes, or a rate that a file cannot hold.
pub(super) fn zones_of(map: &LoadMap, form: IsoForm) -> Result<Vec<TreatmentZone<'_>>, String> {
    let fixed = |code: u8, name: &str, steps: i32| TreatmentZone {
        code,
        name: name.to_owned(),
        steps,
        polygons: Vec::new(),
    };
    let mut zones = vec![
        fixed(OUT_OF_FIELD, "Out of field", steps_of(map.elsewhere.out_of_field)?),
        fixed(SIGNAL_LOST, "Position lost", steps_of(map.elsewhere.signal_lost)?),
        fixed(ELSEWHERE, "Nothing to spread", 0),
    ];
    if matches!(form, IsoForm::GridOfRates(_)) {
        zones.push(fixed(FIRST_OF_MAP, "Rates of the cells", 0));
        return Ok(zones);
    }
    let mut by_rate: BTreeMap<i32, Vec<&[PolygonE7]>> = BTreeMap::new();
    for area in &map.areas {
        by_rate.entry(steps_of(area.rate)?).or_default().push(&area.shape);
    }
    let codes = usize::from(LAST - FIRST_OF_MAP) + 1;
    if by_rate.len() > codes {
        return Err(too_many(by_rate.len(), codes));
    }
    for (code, (steps, shapes)) in (FIRST_OF_MAP..=LAST).zip(by_rate) {
        let polygons = if form == IsoForm::Polygons { shapes } else { Vec::new() };
        zones.push(TreatmentZone { code, name: rate_name(map.unit, steps), steps, polygons });
    }
    Ok(zones)
}

/// The code of the zone of each rate, by its steps.
pub(super) fn codes_of(zones: &[TreatmentZone<'_>]) -> BTreeMap<i32, u8> {
    let of_map = zones.iter().filter(|zone| zone.code >= FIRST_OF_MAP);
    of_map.map(|zone| (zone.steps, zone.code)).collect()
}

impl TreatmentZone<'_> {
    /// Writes the zone with its rate of the product, to be shown in the unit.
    pub(super) fn write(&self, xml: &mut Xml) {
        let attributes = [("A", Some(self.code.to_string())), ("B", Some(self.name.clone()))];
        xml.element("TZN", &attributes, |xml| {
            for polygons in &self.polygons {
                shapes::write_polygons(xml, shapes::ZONE, None, polygons);
            }
            let rate = [
                ("A", Some(format!("{SETPOINT_MASS_PER_AREA:04X}"))),
                ("B", Some(self.steps.to_string())),
                ("C", Some(PRODUCT.to_owned())),
                ("E", Some(UNIT.to_owned())),
            ];
            xml.leaf("PDV", &rate);
        });
    }
}

fn rate_name(unit: ControllerUnit, steps: i32) -> String {
    let number = unit.number(rate_of(steps));
    designator(&format!("{} {}", plain(number, 0, 3), unit.words()))
}

fn too_many(found: usize, codes: usize) -> String {
    format!(
        "the map has {found} rates, and treatment zones have codes for {codes} (0 to {LAST}, of \
         which {FIRST_OF_MAP} are for ground without a rate of the map); a coarser step of the \
         spreader makes fewer, and `iso-xml grid 2` takes any number"
    )
}
