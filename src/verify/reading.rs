//! Finished maps as people and programs are told of them, with what looks wrong.

use super::compare::{Expected, tolerance_of};
use super::doubts::{not_degrees, shared_ground};
use super::factors::{explained, known, unusual};
use super::shape::{
    AgainstPart, ExportReading, FaultPart, MapReading, READINGS_SHAPE, RateReading, Readings,
};
use super::totals::{MapTotals, totals_of};
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::exports::{FoundExport, ReadGround, ReadMap, is_of_soil};
use crate::summary::{Quantity, Summary};
use crate::units::{ProductMass, UnitSystem};

/// A finished summary that maps are held against.
#[derive(Clone, Debug)]
pub struct AgainstWhat {
    /// Where it stands.
    file: String,
    product: ProductMass,
    /// The product of each of several applications, in their order; none where there is one.
    applications: Vec<ProductMass>,
}

impl AgainstWhat {
    /// The totals of `summary`, which stands in `file`.
    pub fn of(summary: &Summary, file: &str) -> Self {
        let applications = summary.applications.iter();
        Self {
            file: file.to_owned(),
            product: mass(&summary.product_total),
            applications: applications.map(|part| mass(&part.product_total)).collect(),
        }
    }

    /// What the map `map` of a file should come to: that of its own application where the name of
    /// the file, of a folder that it lies in, or of the map says of which it is.
    fn product_of(&self, file: &str, map: &str) -> ProductMass {
        let count = self.applications.len();
        let mut parts = file.rsplit(['/', '\\']).chain([map]);
        let of = parts.find_map(|part| application_of(part, count));
        of.map_or(self.product, |number| self.applications[number - 1])
    }
}

/// Which of `count` applications the name of a file or folder says that it is of, from 1: as
/// `2of3` or `2_of_3` between other words.
fn application_of(name: &str, count: usize) -> Option<usize> {
    let words: Vec<&str> = name.split(['_', '.', ' ']).collect();
    let joined = words.iter().filter_map(|word| word.split_once("of"));
    let apart = words.windows(3).filter(|three| three[1] == "of").map(|three| (three[0], three[2]));
    joined.chain(apart).find_map(|(number, of)| {
        let number = number.parse().ok().filter(|number| (1..=count).contains(number))?;
        (of.parse() == Ok(count)).then_some(number)
    })
}

fn mass(quantity: &Quantity) -> ProductMass {
    match quantity.unit.as_ref() {
        "ton" => ProductMass::from_short_tons(quantity.value),
        _ => ProductMass::from_tonnes(quantity.value),
    }
}

/// Problems of one file that are told; the coordinates of all its corners may be wrong.
const PROBLEMS_OF_ONE: usize = 3;

/// What all of `found` come to, and what is wrong with them or looks wrong; those whose coordinates
/// lie nowhere on the ground are put to `problems`.
pub fn reading_of(
    found: &[FoundExport],
    against: Option<&AgainstWhat>,
    problems: &mut Vec<Problem>,
) -> Readings {
    let mut exports = Vec::with_capacity(found.len());
    for one in found {
        match export_reading(one, against) {
            Ok(export) => exports.push(export),
            Err(refusal) => {
                problems.extend(refusal.into_problems().into_iter().take(PROBLEMS_OF_ONE));
            }
        }
    }
    Readings { schema: READINGS_SHAPE.to_owned(), exports }
}

fn export_reading(
    one: &FoundExport,
    against: Option<&AgainstWhat>,
) -> Result<ExportReading, Refusal> {
    let mut faults = one.export.faults.clone();
    let mut maps = Vec::with_capacity(one.export.maps.len());
    for (at, map) in one.export.maps.iter().enumerate() {
        let totals = totals_of(one, at)?;
        not_degrees(one, map, totals.area + totals.area_without)?;
        let mut reading = map_reading(map, &totals);
        let place = Place { column: Some(map.name.clone()), ..Place::in_file(&one.file) };
        let mut tell = |key, text: String| faults.push(Finding::at(key, place.clone(), text));
        looks(map, &totals, &mut tell);
        if let (Some(against), Some(read)) = (against, totals.product) {
            let expected = Expected {
                product: against.product_of(&one.file, &map.name),
                tolerance: tolerance_of(&map.ground),
            };
            let part = held(&reading, &expected, read, &against.file);
            if let Some(text) = off(&part, &expected, map, &totals) {
                tell("total_off", text);
            }
            reading.against = Some(part);
        } else if let Some(text) = unusual(map, &totals) {
            tell("unusual_rates", text);
        }
        maps.push(reading);
    }
    let faults = faults
        .into_iter()
        .map(|fault| FaultPart { key: fault.key.to_owned(), text: fault.text })
        .collect();
    let (file, format) = (one.file.clone(), one.export.format.clone());
    Ok(ExportReading { file, format, maps, faults })
}

/// The units that areas and masses beside rates in a unit are told in.
fn system_of(unit: Option<&str>) -> UnitSystem {
    match unit {
        Some("lb/ac" | "ton/ac") => UnitSystem::Us,
        _ => UnitSystem::Metric,
    }
}

fn map_reading(map: &ReadMap, totals: &MapTotals) -> MapReading {
    let system = system_of(map.unit);
    let area = |area| Quantity::from(system.area(area));
    let product = |product| Quantity::from(system.product(product));
    let count = |of_kind: bool| of_kind.then_some(totals.pieces);
    let rates = totals.rates.iter().map(|rate| RateReading {
        rate: rate.rate,
        area: area(rate.area),
        product: known(map.unit).map(|unit| product(unit.rate(rate.rate) * rate.area)),
    });
    let is_areas = matches!(map.ground, ReadGround::Areas(_));
    MapReading {
        name: map.name.clone(),
        unit: map.unit.map(str::to_owned),
        polygons: count(is_areas),
        vertices: is_areas.then_some(totals.vertices),
        cells: count(matches!(map.ground, ReadGround::Grid(_))),
        rows: count(matches!(map.ground, ReadGround::Rows(_))),
        area: area(totals.area),
        area_without_rate: area(totals.area_without),
        least: totals.range.map(|(least, _)| least),
        greatest: totals.range.map(|(_, greatest)| greatest),
        product: totals.product.map(product),
        rates: rates.collect(),
        against: None,
    }
}

/// What is wrong with the rates themselves.
fn looks(map: &ReadMap, totals: &MapTotals, tell: &mut impl FnMut(&'static str, String)) {
    let Some((least, _)) = totals.range else {
        return tell("no_rates", "It holds no rates: no column of numbers, or none in it.".into());
    };
    if least < 0.0 {
        tell("negative_rates", format!("Its least rate is {least}, which is below 0."));
    }
    if totals.area_without.to_square_metres() > 0.0 {
        let area = system_of(map.unit).area(totals.area_without);
        let text = format!(
            "{:.2} {} of its ground has no rate, which is not the same as a rate of 0.",
            area.value, area.unit
        );
        tell("ground_without_rate", text);
    }
    if let Some(text) = shared_ground(&map.ground) {
        tell("shared_ground", text);
    }
    if map.unit.is_none() && !is_of_soil(&map.name) {
        let text = "The unit of its rates is not known, so its product cannot be told; say it with \
                    --unit.";
        tell("unit_not_known", text.to_owned());
    }
}

fn held(map: &MapReading, expected: &Expected, read: ProductMass, file: &str) -> AgainstPart {
    AgainstPart {
        file: file.to_owned(),
        product: system_of(map.unit.as_deref()).product(expected.product).into(),
        difference: expected.difference(read),
        tolerance: expected.tolerance,
        within: expected.is_met_by(read),
    }
}

/// What is said of a map that does not come to what was meant.
fn off(
    part: &AgainstPart,
    expected: &Expected,
    map: &ReadMap,
    totals: &MapTotals,
) -> Option<String> {
    if part.within {
        return None;
    }
    let read = totals.product?;
    let read = system_of(map.unit).product(read);
    let mut text = format!(
        "It comes to {:.2} {}, and {} says {:.2} {}: off by {:+.2} %.",
        read.value,
        read.unit,
        part.file,
        part.product.value,
        part.product.unit,
        part.difference * 100.0
    );
    if let Some(why) = explained(map, totals, expected, part.difference) {
        text = format!("{text} {why}");
    }
    Some(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_says_of_which_application_a_file_is() {
        for (name, of) in [
            ("heron_pit_2026-10-20_r1_2of3.shp", Some(2)),
            ("heron_pit_2026-10-20_r1_2of3_iso-grid-1", Some(2)),
            ("rate_map_3_of_3.geojson", Some(3)),
            ("2026-10-20 r1 2 of 3 Pit 4", Some(2)),
            ("rate_map.geojson", None),
            ("heron_4of3.tif", None),
            ("heron_0of3.tif", None),
            ("heron_2of4.tif", None),
            ("TASKDATA.XML", None),
        ] {
            assert_eq!(application_of(name, 3), of, "{name}");
        }
        let tons = [1.0, 2.0, 3.0].map(ProductMass::from_short_tons);
        let product = ProductMass::from_short_tons(6.0);
        let against = AgainstWhat { file: String::new(), product, applications: tons.to_vec() };
        let meant =
            against.product_of("out/exports/a_r1_2of3_iso-grid-2/TASKDATA/TASKDATA.XML", "a");
        assert_eq!(meant, tons[1]);
        assert_eq!(against.product_of("out/rate_map.geojson", "rate_t_ha"), product);
    }
}
