//! Whose field, which farm, field, product and unit: what tasks refer to.

use super::shapes::{self, PARTFIELD, SHAPES_KEPT_OUT};
use super::xml::{Xml, designator};
use crate::outputs::load::LoadMap;
use crate::units::{ControllerUnit, ProductRate};

/// What amounts of the product are held in, which goes with rates as mass on an area: DDI 75,
/// Actual Mass Content, in grams (isobus.net, Data dictionary, entity 75).
const MASS_CONTENT: &str = "004B";
/// Decimals of a value presentation's scale, where the least allowed scale is 1e-9.
const SCALE_DECIMALS: usize = 15;

/// Everything that the tasks of a file refer to, each once.
pub(super) struct Coding<'m> {
    customers: Vec<&'m str>,
    /// Each with its customer.
    farms: Vec<(&'m str, Option<usize>)>,
    fields: Vec<Partfield<'m>>,
    products: Vec<&'m str>,
    units: Vec<ControllerUnit>,
}

struct Partfield<'m> {
    customer: Option<usize>,
    farm: Option<usize>,
    /// One of the maps of it.
    map: &'m LoadMap,
}

/// The identifiers of what one task refers to.
pub(super) struct Refers {
    pub(super) customer: Option<String>,
    pub(super) farm: Option<String>,
    pub(super) field: String,
    pub(super) product: String,
    pub(super) unit: String,
}

impl<'m> Coding<'m> {
    /// What the maps refer to, and for each of them the identifiers.
    pub(super) fn of(maps: &'m [LoadMap]) -> (Self, Vec<Refers>) {
        let mut coding = Self {
            customers: Vec::new(),
            farms: Vec::new(),
            fields: Vec::new(),
            products: Vec::new(),
            units: Vec::new(),
        };
        let refers = maps.iter().map(|map| coding.add(map)).collect();
        (coding, refers)
    }

    fn add(&mut self, map: &'m LoadMap) -> Refers {
        let label = &map.label;
        let customer = label.customer.as_deref().map(|name| place_of(&mut self.customers, name));
        let farm = label.farm.as_deref().map(|name| place_of(&mut self.farms, (name, customer)));
        let same = |known: &Partfield<'_>| {
            (known.customer, known.farm) == (customer, farm)
                && known.map.label.field == label.field
                && known.map.boundary == map.boundary
                && known.map.keep_out == map.keep_out
        };
        let field = self.fields.iter().position(same).unwrap_or_else(|| {
            self.fields.push(Partfield { customer, farm, map });
            self.fields.len() - 1
        });
        Refers {
            customer: customer.map(|at| id("CTR", at)),
            farm: farm.map(|at| id("FRM", at)),
            field: id("PFD", field),
            product: id("PDT", place_of(&mut self.products, label.material.as_str())),
            unit: id("VPN", place_of(&mut self.units, map.unit)),
        }
    }

    /// Writes all of it.
    pub(super) fn write(&self, xml: &mut Xml) {
        for (at, name) in self.customers.iter().enumerate() {
            xml.leaf("CTR", &[("A", Some(id("CTR", at))), ("B", Some(designator(name)))]);
        }
        for (at, (name, customer)) in self.farms.iter().enumerate() {
            let (farm, customer) = (id("FRM", at), customer.map(|at| id("CTR", at)));
            xml.leaf("FRM", &[("A", Some(farm)), ("B", Some(designator(name))), ("I", customer)]);
        }
        for (at, field) in self.fields.iter().enumerate() {
            field.write(xml, at);
        }
        for (at, name) in self.products.iter().enumerate() {
            let (product, held_in) = (id("PDT", at), MASS_CONTENT.to_owned());
            xml.leaf(
                "PDT",
                &[("A", Some(product)), ("B", Some(designator(name))), ("E", Some(held_in))],
            );
        }
        for (at, &unit) in self.units.iter().enumerate() {
            write_unit(xml, at, unit);
        }
    }
}

impl Partfield<'_> {
    fn write(&self, xml: &mut Xml, at: usize) {
        let LoadMap { label, boundary, keep_out, .. } = self.map;
        let attributes = [
            ("A", Some(id("PFD", at))),
            ("C", Some(designator(&label.field))),
            ("D", Some(format!("{:.0}", shapes::area_of(boundary).to_square_metres()))),
            ("E", self.customer.map(|at| id("CTR", at))),
            ("F", self.farm.map(|at| id("FRM", at))),
        ];
        xml.element("PFD", &attributes, |xml| {
            shapes::write_polygons(xml, PARTFIELD, None, boundary);
            shapes::write_polygons(xml, SHAPES_KEPT_OUT, Some("Kept out"), keep_out);
        });
    }
}

/// How a display shows rates: (value + offset) x scale, rounded to so many decimals (ISO
/// 11783-10:2015, D.25 and D.54, locators from memory).
fn write_unit(xml: &mut Xml, at: usize, unit: ControllerUnit) {
    let decimals = match unit {
        ControllerUnit::PoundsPerAcre | ControllerUnit::KilogramsPerHectare => 0,
        ControllerUnit::ShortTonsPerAcre | ControllerUnit::TonnesPerHectare => 3,
    };
    let one_step = super::rate_of(1);
    let attributes = [
        ("A", Some(id("VPN", at))),
        ("B", Some("0".to_owned())),
        ("C", Some(scale(unit, one_step))),
        ("D", Some(decimals.to_string())),
        ("E", Some(unit.words().to_owned())),
    ];
    xml.leaf("VPN", &attributes);
}

fn scale(unit: ControllerUnit, one_step: ProductRate) -> String {
    let text = format!("{:.SCALE_DECIMALS$}", unit.number(one_step));
    text.trim_end_matches('0').to_owned()
}

/// The place of `item` in `known`, where it is put if it is new.
fn place_of<T: PartialEq>(known: &mut Vec<T>, item: T) -> usize {
    known.iter().position(|one| *one == item).unwrap_or_else(|| {
        known.push(item);
        known.len() - 1
    })
}

/// An identifier: the element's name and a number from 1; 0 is reserved.
pub(super) fn id(element: &str, at: usize) -> String {
    format!("{element}{}", at + 1)
}
