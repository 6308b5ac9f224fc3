//! Which supplier serves which field at the least cost, delivered, within what each has.

mod options;
mod relaxed;
mod scaled;
mod shape;
mod solve;
mod transport;

#[cfg(test)]
mod tests;

pub use shape::{SuppliedField, SupplierLack, SupplierPlan, SupplierShare, SupplierUse};

use options::{Demand, Offered, delivered};
use solve::{Choice, Chosen, NotChosen, choose};

use super::fields::Fields;
use super::order::order_parcels;
use crate::findings::first_of;
use crate::inputs::{SupplierPart, SupplyPart};
use crate::summary::Quantity;
use crate::units::{Currency, Money, ProductMass, UnitSystem, tidy};

/// What is asked of the suppliers.
#[derive(Clone, Debug)]
pub struct SuppliersAsk<'a> {
    /// The units that the answer is written in.
    pub units: UnitSystem,
    /// Who may supply the fields; at least one.
    pub supply: &'a SupplyPart,
    /// What straight lines are multiplied by to stand for roads.
    pub road_factor: Option<f64>,
}

/// Chooses the supplier of each field that needs material.
///
/// What a field takes of a supplier supplies the CaCO3 that its finished map does, with its overlap
/// and its pile loss, in whole trucks where its job orders them. Ground that the spreader's limits
/// hold takes the tons that they leave it; where these are known as bounds only, the most is counted.
/// The rates of the map itself are not rounded anew: with another material the field has to be run
/// again. Where suppliers have too little, `lacks` says the least that is missing.
pub fn suppliers(fields: &Fields, asked: &SuppliersAsk<'_>) -> SupplierPlan {
    let found = order_parcels(fields.rows());
    let mut demands: Vec<Demand<'_>> = Vec::new();
    for parcel in &found.list {
        match demands.last_mut() {
            Some(last) if last.id() == parcel.row.id => last.parcels.push(parcel),
            _ => demands.push(Demand { parcels: vec![parcel] }),
        }
    }
    let table = Table { asked, demands: &demands };
    let mut plan = if asked.supply.split { table.split() } else { table.one_each() };
    plan.not_known.extend(
        found
            .unreadable
            .iter()
            .map(|id| format!("`{id}` is left out: its summary has a unit that is not known.")),
    );
    plan
}

/// Fields against suppliers.
struct Table<'a> {
    asked: &'a SuppliersAsk<'a>,
    demands: &'a [Demand<'a>],
}

/// The ways to serve the fields, and what is not known of others.
#[derive(Default)]
struct Ways {
    choices: Vec<Choice>,
    /// For each choice; in a split, of all that the field needs.
    offers: Vec<Offered>,
    /// The fields among the demands that any supplier can serve, in the order of the choices.
    fields: Vec<usize>,
    unserved: Vec<String>,
    not_known: Vec<String>,
}

/// One supplier's part in one field.
struct Taken {
    demand: usize,
    supplier: usize,
    offer: Offered,
}

/// Choices above which it is not worked out what more of a supplier would save.
const MOST_TRIED_AGAIN: usize = 4_000;

impl Table<'_> {
    fn list(&self) -> &[SupplierPart] {
        &self.asked.supply.suppliers
    }

    /// Each field gets one supplier.
    fn one_each(&self) -> SupplierPlan {
        let ways = self.ways(|demand, supplier| {
            let offer = demand.offered(supplier, self.asked.road_factor)?;
            Ok((offer.to_order.to_kilograms(), offer))
        });
        let limits: Vec<Option<f64>> =
            self.list().iter().map(|it| it.limit.map(ProductMass::to_kilograms)).collect();
        let chosen = choose(ways.fields.len(), &ways.choices, &limits);
        let mut plan = self.empty(&ways);
        match chosen {
            Err(why) => self
                .not_chosen(&mut plan, &why, |kilograms, _| ProductMass::from_kilograms(kilograms)),
            Ok(Chosen { of_field, cost, gap }) => {
                let taken = of_field.iter().map(|&at| {
                    let Choice { field, supplier, .. } = ways.choices[at];
                    Taken { demand: ways.fields[field], supplier, offer: ways.offers[at] }
                });
                self.fill(&mut plan, taken.collect());
                plan.proven = gap <= 0.0;
                plan.gap = Some(gap).filter(|gap| *gap > 0.0);
                if plan.proven && ways.choices.len() <= MOST_TRIED_AGAIN {
                    let again = |limits: &[Option<f64>]| {
                        let again = choose(ways.fields.len(), &ways.choices, limits).ok()?;
                        (again.gap <= 0.0).then_some(again.cost)
                    };
                    self.try_more(&mut plan, &limits, cost, again, ProductMass::to_kilograms);
                }
            }
        }
        plan
    }

    /// A field may get its material from several.
    fn split(&self) -> SupplierPlan {
        let truck = self.one_truck();
        let ways = self.ways(|demand, supplier| {
            let Some(truck) = truck else {
                if offer_hangs_on_loads(supplier) {
                    return Err("its haul is charged by the truck, and the trucks of suppliers \
                                differ or are not known: state one `haul.truck_payload`");
                }
                let offer = demand.loose(supplier, self.asked.road_factor)?;
                return Ok((offer.to_order.to_kilograms(), offer));
            };
            let offer = in_trucks(demand, supplier, truck, self.asked.road_factor)?;
            Ok((offer.trucks.unwrap_or(0) as f64, offer))
        });
        let size = truck.map_or(1.0, ProductMass::to_kilograms);
        let limits: Vec<Option<f64>> =
            self.list().iter().map(|it| it.limit.map(|mass| mass.to_kilograms() / size)).collect();
        let mut needs = vec![0.0; ways.fields.len()];
        for choice in &ways.choices {
            needs[choice.field] = choice.takes;
        }
        let shared = transport::share(&needs, &ways.choices, &limits, truck.is_some());
        let mut plan = self.empty(&ways);
        match shared {
            Err(why) => self.not_chosen(&mut plan, &why, |amount, _| {
                ProductMass::from_kilograms(amount * size)
            }),
            Ok((shares, cost)) => {
                let each = shares.iter().zip(&ways.choices).zip(&ways.offers);
                let taken =
                    each.filter(|((share, _), _)| **share > 0.0).map(|((share, choice), offer)| {
                        Taken {
                            demand: ways.fields[choice.field],
                            supplier: choice.supplier,
                            offer: part_of(offer, share / choice.takes),
                        }
                    });
                self.fill(&mut plan, taken.collect());
                plan.proven = true;
                if ways.choices.len() <= MOST_TRIED_AGAIN {
                    let again = |limits: &[Option<f64>]| {
                        let again =
                            transport::share(&needs, &ways.choices, limits, truck.is_some());
                        again.ok().map(|(_, cost)| cost)
                    };
                    self.try_more(&mut plan, &limits, cost, again, |mass| {
                        mass.to_kilograms() / size
                    });
                }
            }
        }
        plan
    }

    /// The payload of all trucks, where all suppliers state the same and all fields order whole
    /// trucks.
    fn one_truck(&self) -> Option<ProductMass> {
        let first = self.list().first()?.truck_payload?;
        let same = |supplier: &SupplierPart| {
            supplier.truck_payload.is_some_and(|truck| (truck / first - 1.0).abs() < 1e-9)
        };
        (self.list().iter().all(same) && self.demands.iter().all(Demand::whole)).then_some(first)
    }

    fn ways(
        &self,
        offer: impl Fn(&Demand<'_>, &SupplierPart) -> Result<(f64, Offered), &'static str>,
    ) -> Ways {
        let mut ways = Ways::default();
        let mut left_out: Vec<(String, Vec<&str>)> = Vec::new();
        for (at, demand) in self.demands.iter().enumerate() {
            let before = ways.choices.len();
            let mut why_not = Vec::new();
            for (supplier, part) in self.list().iter().enumerate() {
                match offer(demand, part) {
                    Ok((takes, offer)) => {
                        let cost = offer.cost.to_units();
                        let field = ways.fields.len();
                        ways.choices.push(Choice { field, supplier, takes, cost });
                        ways.offers.push(offer);
                    }
                    Err(why) => why_not.push(format!("`{}`: {why}", part.name)),
                }
            }
            let served = ways.choices.len() > before;
            if served {
                ways.fields.push(at);
            } else {
                ways.unserved.push(demand.id().to_owned());
            }
            if !why_not.is_empty() {
                let left = if served { "not offered by" } else { "served by nobody:" };
                let why = format!("{left} {}.", why_not.join("; "));
                match left_out.iter_mut().find(|(known, _)| *known == why) {
                    Some((_, ids)) => ids.push(demand.id()),
                    None => left_out.push((why, vec![demand.id()])),
                }
            }
        }
        ways.not_known = left_out.iter().map(|(why, ids)| left_out_in_words(why, ids)).collect();
        ways
    }

    fn empty(&self, ways: &Ways) -> SupplierPlan {
        SupplierPlan {
            fields: Vec::new(),
            suppliers: self.list().iter().map(|supplier| self.unused(supplier)).collect(),
            unserved: ways.unserved.clone(),
            cost_total: None,
            proven: false,
            gap: None,
            lacks: Vec::new(),
            rests_on: self.rests_on(),
            not_known: ways.not_known.clone(),
        }
    }

    fn unused(&self, supplier: &SupplierPart) -> SupplierUse {
        SupplierUse {
            supplier: supplier.name.clone(),
            material: supplier.material.name.clone(),
            effective_as_spread: supplier.material.effective.to_number(),
            limit: supplier.limit.map(|limit| self.product(limit)),
            used: self.product(ProductMass::ZERO),
            fields: 0,
            cost: None,
            one_more: None,
            one_more_saves: None,
            material_toml: supplier.material_toml.clone(),
            haul_toml: supplier.haul_toml.clone(),
            shared_beside: supplier.shared_beside.clone(),
        }
    }

    fn fill(&self, plan: &mut SupplierPlan, taken: Vec<Taken>) {
        let mut used = vec![(ProductMass::ZERO, Money::ZERO, 0_usize); self.list().len()];
        let mut total = Money::ZERO;
        for Taken { demand, supplier, offer } in taken {
            let (part, of) = (&self.list()[supplier], &self.demands[demand]);
            let (mass, money, fields) = &mut used[supplier];
            (*mass, *money, *fields) = (*mass + offer.to_order, *money + offer.cost, *fields + 1);
            total += offer.cost;
            if offer.is_bounded() {
                plan.not_known.push(self.bounded(of, part, &offer));
            }
            let share = SupplierShare {
                supplier: part.name.clone(),
                to_order: self.product(offer.to_order),
                at_least: offer.is_bounded().then(|| self.product(offer.least)),
                trucks: offer.trucks,
                distance: offer.distance.map(|way| self.asked.units.road(way).into()),
                cost: self.money(offer.cost),
            };
            match plan.fields.last_mut().filter(|last| last.id == of.id()) {
                Some(field) => {
                    field.cost.value += offer.cost.to_units();
                    field.from.push(share);
                }
                None => plan.fields.push(SuppliedField {
                    id: of.id().to_owned(),
                    field: of.parcels[0].row.field.name.clone(),
                    cost: share.cost.clone(),
                    from: vec![share],
                    rate_factor: tidy(
                        of.parcels[0].row.material.effective_as_spread
                            / part.material.effective.to_number(),
                    ),
                }),
            }
        }
        for (of, (mass, money, fields)) in plan.suppliers.iter_mut().zip(used) {
            (of.used, of.fields) = (self.product(mass), fields);
            of.cost = (fields > 0).then(|| self.money(money));
        }
        plan.cost_total = (!plan.fields.is_empty()).then(|| self.money(total));
    }

    /// Why the tons of a field lie between two figures.
    fn bounded(&self, demand: &Demand<'_>, supplier: &SupplierPart, offer: &Offered) -> String {
        let tons = |mass| {
            let amount = self.asked.units.product(mass);
            format!("{:.2} {}", amount.value, amount.unit)
        };
        let held = demand.parcels[0].row.limits.as_ref().map(|limits| &limits.capped.area);
        let held = held.filter(|area| area.value > 0.0).map_or_else(String::new, |area| {
            format!(" ({:.2} {} of its map are held to the greatest rate)", area.value, area.unit)
        });
        let no_areas = demand.parcels[0].row.rate_areas.is_empty();
        let anew = if no_areas { "" } else { " and its rate areas drawn anew" };
        format!(
            "What `{}` takes of `{}` is not known to the ton, because its spreader's limits hold \
             some of its ground{held}: between {} and {} before its rates are rounded{anew}; the \
             greater is counted. Run it with that material, and then choose again.",
            demand.id(),
            supplier.name,
            tons(offer.least),
            tons(offer.to_order),
        )
    }

    /// What a little more of each limited supplier would save.
    fn try_more(
        &self,
        plan: &mut SupplierPlan,
        limits: &[Option<f64>],
        cost: f64,
        again: impl Fn(&[Option<f64>]) -> Option<f64>,
        in_limits: impl Fn(ProductMass) -> f64,
    ) {
        for (at, supplier) in self.list().iter().enumerate() {
            let Some(limit) = supplier.limit else { continue };
            let more = supplier.truck_payload.unwrap_or(limit * 0.01);
            let mut raised = limits.to_vec();
            raised[at] = raised[at].map(|limit| limit + in_limits(more));
            let Some(least) = again(&raised) else { continue };
            let saves = (cost - least).max(0.0);
            let saves = if saves <= cost * 1e-9 { 0.0 } else { saves };
            plan.suppliers[at].one_more = Some(self.product(more));
            plan.suppliers[at].one_more_saves = Some(self.money(Money::from_units(saves)));
        }
    }

    fn not_chosen(
        &self,
        plan: &mut SupplierPlan,
        why: &NotChosen,
        mass: impl Fn(f64, usize) -> ProductMass,
    ) {
        match why {
            NotChosen::Lacks(more) => {
                let short = more.iter().enumerate().filter(|(_, more)| **more > 0.0);
                plan.lacks = short
                    .map(|(at, more)| SupplierLack {
                        supplier: self.list()[at].name.clone(),
                        more: self.product(mass(*more, at)),
                    })
                    .collect();
            }
            NotChosen::Failed(words) => {
                plan.not_known.push(format!("No choice of suppliers was found: {words}."));
            }
        }
    }

    fn rests_on(&self) -> Vec<String> {
        let whole = match (self.asked.supply.split, self.one_truck()) {
            (false, _) => "in whole trucks where its job orders them",
            (true, Some(_)) => "in whole trucks",
            (true, None) => {
                "to the ton: shares of a field are not rounded to whole trucks, because the trucks \
                 of suppliers differ or are not known, or a job orders no whole ones"
            }
        };
        let mut told = vec![
            format!(
                "A field takes of a supplier what supplies the CaCO3 that its finished map does, \
                 with its overlap and pile loss, {whole}. Ground that the spreader's limits hold \
                 stays held: there another material changes what is supplied, not the tons."
            ),
            "The choice holds for these tons. Rates are not rounded anew and rate areas not drawn \
             anew: a field whose material changes has to be run again with the material of its \
             supplier, and takes other tons then. The next run chooses by those and may move other \
             fields, so stop at the run whose finished fields cost the least."
                .to_owned(),
            "Cost is material and haul, delivered; spreading is in no cost. Fields do not share \
             trucks here."
                .to_owned(),
        ];
        let by_line = self.list().iter().any(|it| it.place_deg.is_some());
        if let (true, Some(factor)) = (by_line, self.asked.road_factor) {
            told.push(format!(
                "Where no distance is stated, it is the straight line from the plant to the middle \
                 of the field times the stated road factor of {factor}."
            ));
        }
        told
    }

    fn product(&self, mass: ProductMass) -> Quantity {
        let amount = self.asked.units.product(mass);
        Quantity { value: tidy(amount.value), unit: amount.unit.into() }
    }

    fn money(&self, money: Money) -> Quantity {
        let currency = self.list().iter().find_map(|it| it.material.price.as_ref());
        let words = currency.map_or("", |price| Currency::words(&price.currency));
        Quantity { value: tidy(money.to_units()), unit: words.to_owned().into() }
    }
}

/// Fields that are named together before the rest is only counted.
const NAMED: usize = 10;

fn left_out_in_words(why: &str, ids: &[&str]) -> String {
    match ids {
        [id] => format!("`{id}` is {why}"),
        several => format!("{} fields ({}) are {why}", several.len(), first_of(several, NAMED)),
    }
}

/// Whether what a supplier charges counts trucks.
fn offer_hangs_on_loads(supplier: &SupplierPart) -> bool {
    let cost = supplier.cost.as_ref();
    cost.is_some_and(|cost| cost.charge.counts_loads() || cost.minimum.is_some())
}

/// What a field needs in whole trucks of one payload.
fn in_trucks(
    demand: &Demand<'_>,
    supplier: &SupplierPart,
    truck: ProductMass,
    road_factor: Option<f64>,
) -> Result<Offered, &'static str> {
    let offer = demand.offered(supplier, road_factor)?;
    let trucks = offer.trucks.unwrap_or(0);
    let each = delivered(supplier, truck, Some(truck), offer.distance)?;
    Ok(Offered { to_order: truck * trucks as f64, cost: each * trucks as f64, ..offer })
}

fn part_of(offer: &Offered, part: f64) -> Offered {
    Offered {
        to_order: offer.to_order * part,
        least: offer.least * part,
        trucks: offer.trucks.map(|trucks| (trucks as f64 * part).round() as u64),
        cost: offer.cost * part,
        ..*offer
    }
}
