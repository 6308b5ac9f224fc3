//! The suppliers of a list of jobs, checked.

use std::collections::BTreeMap;

use super::HaulCost;
use super::allotment_part::NamedInPlan;
use super::check::Checker;
use super::file::JobFile;
use super::haul_file::HaulTable;
use super::material_file::MaterialTable;
use super::material_list::MaterialList;
use super::supplier_file::{SupplierTable, SupplyTable};
use super::written::{At, Written};
use crate::findings::Problem;
use crate::inputs::open::InputFile;
use crate::material::{Material, PriceAt};
use crate::units::{Length, ProductMass, Speed, TimeTaken, bound};

/// Who may supply the fields, and how.
#[derive(Clone, Debug, Default)]
pub struct SupplyPart {
    /// The suppliers, in the order of the file.
    pub suppliers: Vec<SupplierPart>,
    /// Whether a field may get its material from several.
    pub split: bool,
    /// The fields to which distances are stated.
    pub named: Vec<NamedInPlan>,
    /// The lists of materials that were read for them.
    pub files: Vec<InputFile>,
}

/// One supplier.
#[derive(Clone, Debug)]
pub struct SupplierPart {
    /// Who it is.
    pub name: String,
    /// The most that it supplies.
    pub limit: Option<ProductMass>,
    /// What it sells; it limes and has a price at the plant or delivered.
    pub material: Material,
    /// The table `[material]` with which a job takes it, in place of its own; a path in it is from
    /// the folder of the list.
    pub material_toml: String,
    /// The table `[haul]` that goes with it, without the distance; empty where it states none.
    pub haul_toml: String,
    /// The keys that the jobs share and that would hold beside both, such as `material.moisture`.
    pub shared_beside: Vec<String>,
    /// What one truck carries.
    pub truck_payload: Option<ProductMass>,
    /// What hauling costs; there is one where the price holds at the plant.
    pub cost: Option<HaulCost>,
    /// What a truck takes there and back.
    pub trip: Option<SupplierTrip>,
    /// From its plant by road, one way, to fields that `distances` does not name.
    pub one_way_distance: Option<Length>,
    /// The same for each named field.
    pub distances: BTreeMap<String, Length>,
    /// Where its plant lies: longitude and latitude, WGS 84 degrees.
    pub place_deg: Option<[f64; 2]>,
}

/// What a truck takes from a plant to a field and back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SupplierTrip {
    /// The same time to every field.
    Fixed(TimeTaken),
    /// Driving over the distance to the field, and loading and unloading.
    Driven {
        /// The mean speed on the road.
        speed: Speed,
        /// Loading and unloading.
        load: TimeTaken,
    },
}

/// A distance that stands in while keys are read that ask for one: each field has its own.
const STAND_IN: &str = "1 km";

impl Checker<'_> {
    /// What is wrong in it is among the problems.
    pub(super) fn supply(
        &mut self,
        suppliers: Option<&At<Vec<At<SupplierTable>>>>,
        supply: Option<&At<SupplyTable>>,
    ) -> SupplyPart {
        let mut part = SupplyPart {
            split: supply
                .and_then(|table| table.value.split.as_ref())
                .is_some_and(|split| split.value),
            ..SupplyPart::default()
        };
        for entry in suppliers.iter().flat_map(|list| &list.value) {
            for (name, at) in entry.value.distance.iter().flat_map(|table| &table.value) {
                let place = self.text.place(&at.span);
                part.named.push(NamedInPlan { name: name.clone(), place });
            }
            let read = self.supplier(entry, &mut part.files);
            part.suppliers.extend(read);
        }
        self.names_of_their_own(suppliers);
        self.one_currency_of_all(suppliers);
        match (suppliers, supply) {
            (Some(list), _) if part.split => self.one_effective_part(&part.suppliers, list),
            (None, Some(table)) => {
                let what = "`supply` says how suppliers are chosen, and the list names none";
                let problem = Problem::at(self.text.place(&table.span), what)
                    .allowed("a `[[supplier]]` for each who may supply the fields")
                    .hint("add them, or leave `[supply]` out");
                self.problems.push(problem);
            }
            _ => {}
        }
        part
    }

    fn supplier(
        &mut self,
        entry: &At<SupplierTable>,
        files: &mut Vec<InputFile>,
    ) -> Option<SupplierPart> {
        let table = &entry.value;
        let named = table.name.as_ref().filter(|name| !name.value.trim().is_empty());
        let Some(name) = named.map(|name| name.value.trim().to_owned()) else {
            return self.lacks(entry, "`name`", "who it is, such as name = \"Quarry 4\"");
        };
        let Some(material) = &table.material else {
            return self.lacks(
                entry,
                "`material`",
                "what it sells: a table [supplier.material] with the keys of a job's [material]",
            );
        };
        let limit = self.limit(table.limit.as_ref())?;
        let haul = self.one_haul(table, material)?;
        let toml = (text_of(material, &name), text_of_haul(haul.as_ref()));
        let (material, supply_limit) = self.sold(material, haul.is_some(), files)?;
        let haul = haul.unwrap_or_default();
        // Both hold: what the supplier lets one have, and what there is of the material.
        let limit = [limit, supply_limit].into_iter().flatten().reduce(ProductMass::min);
        let at = material.price.as_ref().map(|price| price.at);
        if let Some(spreading) = &haul.spreading_cost {
            let what = "a supplier has a spreading cost";
            let problem = Problem::at(self.text.place(&spreading.span), what)
                .allowed("the cost of material and haul: suppliers are compared delivered")
                .hint("leave it out: spreading is the jobs'");
            self.problems.push(problem);
            return None;
        }
        match at {
            Some(PriceAt::Plant) if haul.cost.is_none() => {
                return self.lacks(
                    entry,
                    "the haul cost",
                    "a cost of the haul beside a price at the plant, such as haul = { cost = \
                     \"0.25 $/ton-mile\" }",
                );
            }
            Some(PriceAt::Plant | PriceAt::Delivered) => {}
            Some(PriceAt::Spread) | None => {
                return self.lacks(
                    entry,
                    "a price at the plant or delivered",
                    "a price by which suppliers can be compared: price and price_at = \"plant\" \
                     or \"delivered\"",
                );
            }
        }
        self.hauled_by(entry, &haul, SupplierBegun { name, limit, material, toml })
    }

    /// `None` where it is wrong.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    fn limit(&mut self, written: Option<&At<Written>>) -> Option<Option<ProductMass>> {
        let Some(written) = written else { return Some(None) };
        Some(Some(ProductMass::from_kilograms(self.quantity(written, &bound::SUPPLY)?)))
    }

    /// The haul of a supplier, which stands beside its material or in it; `None` where it stands in
    /// both.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    fn one_haul(
        &mut self,
        table: &SupplierTable,
        material: &At<MaterialTable>,
    ) -> Option<Option<HaulTable>> {
        match (&table.haul, &material.value.haul) {
            (Some(_), Some(twice)) => {
                let what = "a supplier has two hauls: `supplier.haul` and `supplier.material.haul`";
                let problem = Problem::at(self.text.place(&twice.span), what)
                    .allowed("one of them")
                    .hint("put all of its keys into `supplier.haul`");
                self.problems.push(problem);
                None
            }
            (one, other) => Some(one.as_ref().or(other.as_ref()).map(|haul| haul.value.clone())),
        }
    }

    fn hauled_by(
        &mut self,
        entry: &At<SupplierTable>,
        haul: &HaulTable,
        begun: SupplierBegun,
    ) -> Option<SupplierPart> {
        let table = &entry.value;
        let trip = self.trip(haul)?;
        let mut asked = haul.clone();
        let here = |text: &str| At { value: Written(text.to_owned()), span: entry.span.clone() };
        asked.one_way_distance.get_or_insert_with(|| here(STAND_IN));
        if let Some(SupplierTrip::Driven { .. }) = trip {
            // The speed was read already, and counts over each field's own distance.
            (asked.road_speed, asked.load_time) = (None, None);
            asked.round_trip = Some(here("1 h"));
        }
        let read = self.haul_of(&asked, None)?;
        let distances: Option<BTreeMap<String, Length>> = table
            .distance
            .iter()
            .flat_map(|distances| &distances.value)
            .map(|(id, written)| {
                let metres = self.quantity(written, &bound::ROAD)?;
                Some((id.clone(), Length::from_metres(metres)))
            })
            .collect();
        let place_deg = match &table.place {
            None => None,
            Some(place) => Some(self.degrees_of("supplier.place", place)?),
        };
        let SupplierBegun { name, limit, material, toml: (material_toml, haul_toml) } = begun;
        Some(SupplierPart {
            name,
            limit,
            material,
            material_toml,
            haul_toml,
            shared_beside: Vec::new(),
            truck_payload: read.truck_payload,
            cost: read.cost,
            trip,
            one_way_distance: read.one_way_distance.filter(|_| haul.one_way_distance.is_some()),
            distances: distances?,
            place_deg,
        })
    }

    /// `None` where something in it is wrong.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    fn trip(&mut self, haul: &HaulTable) -> Option<Option<SupplierTrip>> {
        if let Some(trip) = &haul.round_trip {
            let seconds = self.quantity(trip, &bound::ROUND_TRIP)?;
            return Some(Some(SupplierTrip::Fixed(TimeTaken::from_seconds(seconds))));
        }
        let (Some(speed), Some(load)) = (&haul.road_speed, &haul.load_time) else {
            return Some(None);
        };
        let (speed, load) =
            (self.quantity(speed, &bound::ROAD_SPEED)?, self.quantity(load, &bound::LOAD_TIME)?);
        Some(Some(SupplierTrip::Driven {
            speed: Speed::from_metres_per_second(speed),
            load: TimeTaken::from_seconds(load),
        }))
    }

    /// What a supplier sells, described here or taken from a list of materials, and as much of it as
    /// there is.
    fn sold(
        &mut self,
        table: &At<MaterialTable>,
        has_haul: bool,
        files: &mut Vec<InputFile>,
    ) -> Option<(Material, Option<ProductMass>)> {
        let stated = self.limit(table.value.supply_limit.as_ref())?;
        let Some(from) = &table.value.from else {
            return Some((self.material(&table.value)?, stated));
        };
        let list = MaterialList::read(&self.named_file(from));
        let list = list.map_err(|refusal| self.problems.extend(refusal.into_problems())).ok()?;
        let asked = JobFile { material: Some(table.clone()), ..JobFile::default() };
        let entry = list.find(&asked, self.text, false);
        let entry = entry.map_err(|problem| self.problems.push(problem)).ok()?;
        let mut of_list = Checker::of(&list.text, self.folder);
        let material = of_list.material(&entry.value);
        let of_entry = of_list.limit(entry.value.supply_limit.as_ref());
        self.problems.extend(of_list.into_problems());
        if let Some(haul) = entry.value.haul.as_ref().filter(|_| !has_haul) {
            let what = "a material of a supplier has a haul in its list, which is not read here";
            let problem = Problem::at(list.text.place(&haul.span), what)
                .allowed("the haul of a supplier in its `[[supplier]]`")
                .hint("write its keys into `supplier.haul`");
            self.problems.push(problem);
            return None;
        }
        files.push(list.file.clone());
        let limit = [stated, of_entry?].into_iter().flatten().reduce(ProductMass::min);
        Some((material?, limit))
    }

    fn lacks<T>(&mut self, entry: &At<SupplierTable>, what: &str, allowed: &str) -> Option<T> {
        let who = entry.value.name.as_ref().map_or_else(
            || "a supplier".to_owned(),
            |name| format!("the supplier `{}`", name.value.trim()),
        );
        let problem = Problem::at(self.text.place(&entry.span), format!("{who} lacks {what}"))
            .allowed(allowed)
            .hint("add it to its `[[supplier]]`");
        self.problems.push(problem);
        None
    }

    fn names_of_their_own(&mut self, list: Option<&At<Vec<At<SupplierTable>>>>) {
        let mut names: Vec<String> = Vec::new();
        for name in list.iter().flat_map(|list| &list.value).filter_map(|it| it.value.name.as_ref())
        {
            let plain = name.value.trim().to_lowercase();
            if names.contains(&plain) {
                let what = format!("two suppliers are called `{}`", name.value.trim());
                let problem = Problem::at(self.text.place(&name.span), what)
                    .allowed("a name of its own for each")
                    .hint("name the material with it where one sells several");
                self.problems.push(problem);
            }
            names.push(plain);
        }
    }

    fn one_currency_of_all(&mut self, list: Option<&At<Vec<At<SupplierTable>>>>) {
        let mut money = Vec::new();
        for SupplierTable { material, haul, .. } in
            list.iter().flat_map(|list| &list.value).map(|entry| &entry.value)
        {
            let price = material.as_ref().and_then(|table| table.value.price.as_ref());
            money.push(("the price of a supplier", price));
            let haul = haul.as_ref().map(|haul| &haul.value);
            money.push(("the haul cost of a supplier", haul.and_then(|haul| haul.cost.as_ref())));
            let minimum = haul.and_then(|haul| haul.minimum_charge.as_ref());
            money.push(("the minimum charge of a supplier", minimum));
        }
        self.same_currency(&money);
    }

    fn one_effective_part(
        &mut self,
        suppliers: &[SupplierPart],
        list: &At<Vec<At<SupplierTable>>>,
    ) {
        let part = |supplier: &SupplierPart| supplier.material.effective.to_number();
        let Some(first) = suppliers.first() else { return };
        let Some(other) =
            suppliers.iter().find(|it| (part(it) / part(first) - 1.0).abs() > SAME_PART)
        else {
            return;
        };
        let what = format!(
            "`supply.split` mixes materials of different effective parts: {:.2} % of `{}` and \
             {:.2} % of `{}`",
            100.0 * part(first),
            first.name,
            100.0 * part(other),
            other.name
        );
        let problem = Problem::at(self.text.place(&list.span), what)
            .allowed("materials of one effective part: a field's map holds one")
            .hint("leave `split` out: then each field gets one supplier");
        self.problems.push(problem);
    }
}

/// Effective parts that differ by less than this are the same but for rounding.
const SAME_PART: f64 = 1e-9;

/// A material as a job's `[material]`, of the supplier `name` unless it says whose it is; what is
/// taken from a list says that there.
fn text_of(material: &At<MaterialTable>, name: &str) -> String {
    let mut table = MaterialTable { haul: None, ..material.value.clone() };
    if table.from.is_none() && table.supplier.is_none() {
        table.supplier = Some(At { value: name.to_owned(), span: material.span.clone() });
    }
    let material = Some(At { value: table, span: material.span.clone() });
    toml::to_string(&JobFile { material, ..JobFile::default() }).unwrap_or_default()
}

/// A haul as a job's `[haul]`, without the distance, which is each field's own.
fn text_of_haul(haul: Option<&HaulTable>) -> String {
    let Some(haul) = haul else { return String::new() };
    let table = HaulTable { one_way_distance: None, ..haul.clone() };
    let haul = Some(At { value: table, span: 0..0 });
    toml::to_string(&JobFile { haul, ..JobFile::default() }).unwrap_or_default()
}

/// A supplier before its haul is read.
struct SupplierBegun {
    name: String,
    limit: Option<ProductMass>,
    material: Material,
    /// `[material]` and `[haul]`.
    toml: (String, String),
}
