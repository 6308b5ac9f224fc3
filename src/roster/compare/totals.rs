//! What fields come to together: sums of exact values in the order of the fields, converted once.

use std::collections::BTreeMap;

use super::costs::cost_totals;
use super::exact::{Exact, Ordered};
use super::field::{mass, share_of, tidied, ton_miles};
use super::shape::MeanPh;
use super::totals_shape::{
    ApplicationProduct, ApplicationTotal, GroupTotal, KnownCount, KnownTotal, ProductTotal,
    TotalsPart,
};
use crate::units::{Area, CarbonateMass, ProductMass, ProductRate, UnitSystem};

/// The totals of all fields and of their groups.
pub(super) fn totals_of(rows: &[Exact<'_>], system: UnitSystem) -> TotalsPart {
    let all: Vec<&Exact<'_>> = rows.iter().collect();
    let grouped = |name: fn(&Exact<'_>) -> Option<String>| -> Vec<GroupTotal> {
        let groups = grouped(&all, name);
        groups.into_iter().map(|(name, some)| group_total(name, &some, system)).collect()
    };
    TotalsPart {
        by_material: grouped(|exact| Some(exact.material.clone())),
        by_supplier: grouped(|exact| exact.supplier.clone()),
        by_customer: grouped(|exact| exact.customer.clone()),
        by_application: application_totals(&all, system),
        all: group_total(None, &all, system),
    }
}

/// The fields by what they share, each group in their order; those that name none come last.
fn grouped<'r, 'a>(
    rows: &[&'r Exact<'a>],
    name: fn(&Exact<'_>) -> Option<String>,
) -> Vec<(Option<String>, Vec<&'r Exact<'a>>)> {
    let mut groups: BTreeMap<(bool, Option<String>), Vec<&'r Exact<'a>>> = BTreeMap::new();
    for &exact in rows {
        let name = name(exact);
        groups.entry((name.is_none(), name)).or_default().push(exact);
    }
    groups.into_iter().map(|((_, name), some)| (name, some)).collect()
}

fn group_total(name: Option<String>, rows: &[&Exact<'_>], system: UnitSystem) -> GroupTotal {
    let area = |part: fn(&Exact<'_>) -> Area| {
        tidied(system.area(rows.iter().map(|exact| part(exact)).sum()))
    };
    let need: CarbonateMass = rows.iter().map(|exact| exact.need).sum();
    let unmet: CarbonateMass = rows.iter().map(|exact| exact.unmet).sum();
    let supplied: CarbonateMass = rows.iter().map(|exact| exact.supplied).sum();
    let excess: CarbonateMass = rows.iter().map(|exact| exact.excess).sum();
    let trucks: Vec<u64> = rows
        .iter()
        .filter_map(|exact| exact.row.truck_loads.as_ref().map(|loads| loads.count))
        .collect();
    let hauled: Vec<f64> = rows.iter().filter_map(|exact| exact.kilogram_metres).collect();
    let risks: Vec<Area> = rows.iter().filter_map(|exact| exact.risk).collect();
    let known = |fields: usize| (fields > 0).then_some(fields);
    GroupTotal {
        name,
        fields: rows.len(),
        area: area(|exact| exact.area),
        mapped_area: area(|exact| exact.mapped),
        treated_area: area(|exact| exact.treated),
        ph: mean_ph(rows),
        need_total: tidied(system.carbonate(need)),
        supplied_total: tidied(system.carbonate(supplied)),
        excess_total: tidied(system.carbonate(excess)),
        unmet_total: tidied(system.carbonate(unmet)),
        unmet_share: share_of(unmet, need),
        products: product_totals(rows, system),
        spreader_loads: summed(rows.iter().map(|exact| exact.row.spreader_loads.count)),
        truck_loads: known(trucks.len())
            .map(|fields| KnownCount { count: summed(trucks.iter().copied()), fields }),
        ton_miles: known(hauled.len())
            .map(|fields| KnownTotal { total: ton_miles(system, hauled.iter().sum()), fields }),
        costs: cost_totals(rows, system),
        aluminium_risk_area: known(risks.len()).map(|fields| KnownTotal {
            total: tidied(system.area(risks.iter().copied().sum())),
            fields,
        }),
    }
}

/// Counts of a hostile file may be beyond any sum.
fn summed(counts: impl Iterator<Item = u64>) -> u64 {
    counts.fold(0, u64::saturating_add)
}

/// The mean weighted by mapped area, where every field has a pH of the same medium.
fn mean_ph(rows: &[&Exact<'_>]) -> Option<MeanPh> {
    let measured_in = &rows.first()?.row.ph.as_ref()?.measured_in;
    let (mut sum, mut area) = (0.0, Area::ZERO);
    for exact in rows {
        let ph = exact.row.ph.as_ref().filter(|ph| ph.measured_in == *measured_in)?;
        sum += ph.mean * exact.mapped.to_square_metres();
        area += exact.mapped;
    }
    (area > Area::ZERO)
        .then(|| MeanPh { mean: sum / area.to_square_metres(), measured_in: measured_in.clone() })
}

fn product_totals(rows: &[&Exact<'_>], system: UnitSystem) -> Vec<ProductTotal> {
    let groups = grouped(rows, |exact| Some(exact.material.clone()));
    groups
        .into_iter()
        .map(|(material, some)| {
            let order = some.iter().map(|exact| exact.order).fold(Ordered::NOTHING, Ordered::and);
            let mapped: Area = some.iter().map(|exact| exact.mapped).sum();
            let saving: ProductMass = some.iter().map(|exact| exact.saving_product()).sum();
            let saving_to_order = some.iter().map(|exact| exact.saving_to_order()).sum();
            let least = some.iter().filter_map(|exact| exact.least_rate);
            let greatest = some.iter().filter_map(|exact| exact.greatest_rate);
            let rate = |rate: ProductRate| tidied(system.rate(rate));
            let mean =
                if mapped > Area::ZERO { order.prescribed / mapped } else { ProductRate::ZERO };
            ProductTotal {
                material: material.unwrap_or_default(),
                fields: some.len(),
                mapped_area: tidied(system.area(mapped)),
                product_total: mass(system, order.prescribed),
                to_load: mass(system, order.to_load),
                to_order: mass(system, order.to_order),
                most_applications: some
                    .iter()
                    .map(|exact| exact.row.applications.len().max(1))
                    .max()
                    .unwrap_or(1),
                least_rate: least.min_by(ProductRate::total_cmp).map(rate),
                mean_rate: rate(mean),
                greatest_rate: greatest.max_by(ProductRate::total_cmp).map(rate),
                saving_product: mass(system, saving),
                saving_to_order: mass(system, saving_to_order),
            }
        })
        .collect()
}

/// What the fields with an application of one number take.
#[derive(Default)]
struct Applied<'m> {
    fields: usize,
    spreader_loads: u64,
    /// Of each material, for how many fields and how much.
    products: BTreeMap<&'m str, (usize, Ordered)>,
}

fn application_totals(rows: &[&Exact<'_>], system: UnitSystem) -> Vec<ApplicationTotal> {
    let mut numbers: BTreeMap<u32, Applied<'_>> = BTreeMap::new();
    for exact in rows {
        let listed = exact.row.applications.iter().zip(&exact.applications);
        let mut each: Vec<(u32, Ordered, u64)> =
            listed.map(|(part, order)| (part.number, *order, part.spreader_loads)).collect();
        if each.is_empty() {
            each.push((1, exact.order, exact.row.spreader_loads.count));
        }
        for (number, order, loads) in each {
            let applied = numbers.entry(number).or_default();
            applied.fields += 1;
            applied.spreader_loads = applied.spreader_loads.saturating_add(loads);
            let product =
                applied.products.entry(exact.material.as_str()).or_insert((0, Ordered::NOTHING));
            *product = (product.0 + 1, product.1.and(order));
        }
    }
    let part = |(material, (fields, order)): (&str, (usize, Ordered))| ApplicationProduct {
        material: material.to_owned(),
        fields,
        product_total: mass(system, order.prescribed),
        to_load: mass(system, order.to_load),
        to_order: mass(system, order.to_order),
    };
    numbers
        .into_iter()
        .map(|(number, applied)| ApplicationTotal {
            number,
            fields: applied.fields,
            products: applied.products.into_iter().map(part).collect(),
            spreader_loads: applied.spreader_loads,
        })
        .collect()
}
