//! The `[material]` table of a job.

use super::check::Checker;
use super::file::{At, JobFile, MaterialTable, Written};
use crate::findings::Problem;
use crate::material::{Basis, Material, Price, PriceAt, Stated, effective_as_spread, kind_named};
use crate::units::{BulkDensity, EffectiveFraction, Money, ProductMass, Share, bound};

impl Checker<'_> {
    pub(super) fn material(&mut self, file: &JobFile) -> Option<Material> {
        let empty = MaterialTable::default();
        let table = file.material.as_ref().map_or(&empty, |table| &table.value);
        let kind = self.required("material.kind", "the kind of material", table.kind.as_ref());
        let kind = kind.and_then(|written| {
            kind_named(&written.value, self.text.place(&written.span))
                .map_err(|problem| self.problems.push(problem))
                .ok()
        });
        let stated = self.required(
            "material.effective",
            "the part that neutralises as pure CaCO3 does, such as \"63 % as received\"",
            table.effective.as_ref(),
        );
        let stated = stated.and_then(|written| self.stated(written));
        let moisture = match &table.moisture {
            None => None,
            Some(written) => {
                Some(self.quantity(written, &bound::MOISTURE).and_then(Share::from_number)?)
            }
        };
        let bulk_density = match &table.bulk_density {
            None => None,
            Some(written) => Some(self.quantity(written, &bound::BULK_DENSITY)?),
        };
        let price = match &table.price {
            None => None,
            Some(written) => Some(self.price(written, table.price_at.as_ref())?),
        };
        let (kind, stated) = (kind?, stated?);
        let effective = effective_as_spread(stated, moisture);
        if effective.is_none() {
            let span = table.effective.as_ref().map_or(0..0, |written| written.span.clone());
            let problem = Problem::at(
                self.text.place(&span),
                "the effective part is stated for dry material, and `material.moisture` is missing",
            )
            .allowed("a dry figure with the moisture of the pile, or a figure as received")
            .hint("add moisture = \"6 %\" to [material], from the supplier's analysis");
            self.problems.push(problem);
        }
        let name =
            table.name.as_ref().map_or_else(|| kind.name.to_owned(), |name| name.value.clone());
        Some(Material {
            name,
            kind,
            stated,
            moisture,
            effective: effective?,
            bulk_density: bulk_density.map(BulkDensity::from_kilograms_per_cubic_metre),
            price,
        })
    }

    /// `63 % as received` or `67 % dry`.
    fn stated(&mut self, written: &At<Written>) -> Option<Stated> {
        let text = written.value.0.trim();
        let split = [Basis::Dry, Basis::AsReceived].into_iter().find_map(|basis| {
            text.strip_suffix(basis.words()).map(|number| (number.trim(), basis))
        });
        let Some((number, basis)) = split else {
            let problem = Problem::at(
                self.text.place(&written.span),
                format!("the effective part is `{text}`, which does not say of what"),
            )
            .allowed("a percentage followed by `dry` or by `as received`")
            .hint("write \"63 % as received\", or \"67 % dry\" together with a moisture");
            self.problems.push(problem);
            return None;
        };
        let part = At { value: Written(number.to_owned()), span: written.span.clone() };
        let fraction = self.quantity(&part, &bound::EFFECTIVE)?;
        Some(Stated { fraction: EffectiveFraction::from_number(fraction)?, basis })
    }

    fn price(&mut self, written: &At<Written>, at: Option<&At<String>>) -> Option<Price> {
        const UNITS: &str = "`$/ton` or `$/t`, with $, €, £ or a code such as EUR for $";
        let places: Vec<&str> = PriceAt::ALL.iter().map(|at| at.words()).collect();
        let at = self.one_of("material.price_at", at, &places)?;
        let at = PriceAt::ALL.into_iter().find(|place| place.words() == at)?;
        let (number, currency, per) = self.money(written, "the price", UNITS, "14 $/ton")?;
        let per = match per.as_str() {
            "ton" => ProductMass::from_short_tons(1.0),
            "t" => ProductMass::from_tonnes(1.0),
            _ => return self.not_money(written, "the price", UNITS, "14 $/ton"),
        };
        Some(Price { amount: Money::from_units(number), per, currency, at })
    }
}
