//! What is ordered of each material of each supplier.

use super::parcels::{Parcel, per_kilogram};
use super::{Hauls, OrderLine, Sheet};
use crate::material::{PriceAt, find_kind};
use crate::roster::row::RowMaterial;
use crate::summary::{Quantity, cautions};
use crate::units::{Area, Money, ProductMass};

/// What a line comes to before it is written.
struct Counted {
    needed: ProductMass,
    ordered: ProductMass,
    alone: ProductMass,
    trucks: Option<u64>,
    trucks_alone: Option<u64>,
    /// What the trucks could carry.
    capacity: Option<ProductMass>,
    used: ProductMass,
    short: ProductMass,
}

impl Sheet<'_> {
    pub(super) fn lines(&self, hauls: &Hauls) -> Vec<OrderLine> {
        let each = self.found.lines.iter().enumerate();
        each.map(|(at, (_, material))| self.line(at, material, hauls)).collect()
    }

    fn parcels_of(&self, line: usize) -> impl Iterator<Item = &Parcel<'_>> {
        self.found.list.iter().filter(move |parcel| parcel.line == line)
    }

    fn counted(&self, line: usize) -> Counted {
        let drops = || {
            let all = self.drops.iter().zip(&self.balance.deliveries);
            all.filter(move |(drop, _)| drop.line == line)
        };
        let steps = || {
            let all = self.balance.steps.iter();
            all.filter(move |step| self.found.list[step.parcel].line == line)
        };
        Counted {
            needed: self.parcels_of(line).map(|parcel| parcel.needed).sum(),
            ordered: drops().map(|(_, delivery)| delivery.ordered).sum(),
            alone: drops().map(|(drop, _)| drop.ordered_alone).sum(),
            trucks: drops().map(|(_, delivery)| delivery.trucks).sum(),
            trucks_alone: drops().map(|(drop, _)| drop.trucks_alone).sum(),
            capacity: drops()
                .map(|(drop, delivery)| Some(drop.truck? * delivery.trucks? as f64))
                .sum(),
            used: steps().map(|step| step.spread + step.lost).sum(),
            short: steps().map(|step| step.short).sum(),
        }
    }

    /// At how many drops of a line something lies at the end.
    fn left_places(&self, line: usize) -> usize {
        let drops = self.drops.iter().zip(&self.balance.left);
        drops.filter(|(drop, left)| drop.line == line && **left > ProductMass::ZERO).count()
    }

    fn line(&self, line: usize, material: &RowMaterial, hauls: &Hauls) -> OrderLine {
        let units = self.asked.units;
        let counted = self.counted(line);
        let left = counted.ordered - counted.used;
        // What is left after rounding errors of adding up is nothing.
        let left = if left.abs() <= counted.ordered * 1e-9 { ProductMass::ZERO } else { left };
        let last = self.balance.steps.iter().rev().find_map(|step| {
            let parcel = &self.found.list[step.parcel];
            let treated = parcel.treated.to_square_metres() > 0.0;
            (parcel.line == line && treated).then(|| parcel.needed / parcel.treated)
        });
        let ground = |mass: ProductMass| {
            let rate = last.filter(|_| mass > ProductMass::ZERO)?;
            let hectares = mass.to_kilograms() / rate.to_kilograms_per_hectare();
            Some(units.area(Area::from_hectares(hectares)).into())
        };
        let price = material.price.as_ref().and_then(per_kilogram);
        let currency = price.map(|(_, currency)| currency);
        let product_cost =
            price.map(|(each, _)| Money::from_units(each * counted.ordered.to_kilograms()));
        let haul = self.haul_of(line, hauls);
        let in_money = |money: Money, currency: &str| Quantity {
            value: money.to_units(),
            unit: currency.to_owned().into(),
        };
        let at_plant = material.price_at.as_deref() == Some(PriceAt::Plant.words());
        let cost = match (product_cost, &haul) {
            (Some(product), Some((haul, of_haul)))
                if at_plant && Some(of_haul.as_str()) == currency =>
            {
                Some(product + *haul)
            }
            (Some(product), _) if !at_plant => Some(product),
            _ => None,
        };
        let dry = material.moisture.map(|moisture| counted.ordered * (1.0 - moisture));
        let mut ids: Vec<&str> =
            self.parcels_of(line).map(|parcel| parcel.row.id.as_str()).collect();
        ids.dedup();
        OrderLine {
            material: material.name.clone(),
            kind: material.kind.clone(),
            lot: material.lot.clone(),
            supplier: material.supplier.clone(),
            effective_as_spread: material.effective_as_spread,
            moisture: material.moisture,
            fields: ids.len(),
            needed: self.product(counted.needed),
            to_order: self.product(counted.ordered),
            dry_matter: dry.map(|dry| self.product(dry)),
            ordered_alone: self.product(counted.alone),
            trucks: counted.trucks,
            trucks_alone: counted.trucks_alone,
            truck_use: counted
                .capacity
                .filter(|capacity| *capacity > ProductMass::ZERO)
                .map(|capacity| counted.ordered.min(counted.needed) / capacity),
            limit: self.limits[line].map(|(_, limit)| self.product(limit)),
            left: self.product(left),
            left_places: self.left_places(line),
            short: self.product(counted.short),
            last_rate: last.map(|rate| units.rate(rate).into()),
            left_area: ground(left),
            short_area: ground(counted.short),
            price: material.price.as_ref().and_then(|price| self.price(price)),
            price_at: material.price_at.clone(),
            product_cost: product_cost.zip(currency).map(|(cost, of)| in_money(cost, of)),
            haul_cost: haul.as_ref().map(|(cost, of)| in_money(*cost, of)),
            cost: cost.zip(currency).map(|(cost, of)| in_money(cost, of)),
        }
    }

    /// The price in the units of the sheet.
    fn price(&self, price: &Quantity) -> Option<Quantity> {
        let (each, currency) = per_kilogram(price)?;
        if let Some((_, unit)) = price.unit.split_once('/')
            && unit == self.asked.units.product(ProductMass::ZERO).unit
        {
            return Some(price.clone());
        }
        // Kilograms in one ton of the sheet.
        let one = 1.0 / self.asked.units.product(ProductMass::from_kilograms(1.0)).value;
        let unit = self.asked.units.product(ProductMass::ZERO).unit;
        Some(Quantity { value: each * one, unit: format!("{currency}/{unit}").into() })
    }

    /// What hauling all drops of a line costs; `None` where one is not known.
    fn haul_of(&self, line: usize, hauls: &Hauls) -> Option<(Money, String)> {
        let mut total: Option<(Money, String)> = None;
        for (_, haul) in self.drops.iter().zip(hauls).filter(|(drop, _)| drop.line == line) {
            let (cost, currency) = haul.as_ref().ok()?.as_ref()?;
            total = match total {
                None => Some((*cost, currency.clone())),
                Some((sum, of)) if of == *currency => Some((sum + *cost, of)),
                Some(_) => return None,
            };
        }
        total
    }

    /// The usual cautions of all kinds of material, each once.
    pub(super) fn cautions(&self) -> Vec<String> {
        let mut all: Vec<String> = Vec::new();
        for (_, material) in &self.found.lines {
            for caution in find_kind(&material.kind).into_iter().flat_map(cautions) {
                if !all.contains(&caution) {
                    all.push(caution);
                }
            }
        }
        all
    }
}

/// The costs of all lines together, where all are known and in one currency.
pub(super) fn cost_total(lines: &[OrderLine]) -> Option<Quantity> {
    let ordered: Vec<&OrderLine> = lines.iter().filter(|line| line.to_order.value > 0.0).collect();
    let costs: Vec<&Quantity> =
        ordered.iter().map(|line| line.cost.as_ref()).collect::<Option<_>>()?;
    let unit = costs.first()?.unit.clone();
    let same = costs.iter().all(|cost| cost.unit == unit);
    same.then(|| Quantity { value: costs.iter().map(|cost| cost.value).sum(), unit })
}
