//! The `[material]` table of a job.

use super::check::Checker;
use super::check_money::MoneyWords;
use super::file::MaterialTable;
use super::written::{At, Written};
use crate::findings::Problem;
use crate::material::{
    Analysis, Kind, Material, Price, PriceAt, Stated, effective_as_spread, kind_named,
};
use crate::units::{Money, ProductMass, Share, bound};

static PRICE: MoneyWords =
    MoneyWords { subject: "the price", units: "`$/ton` or `$/t`", example: "14 $/ton" };

impl Checker<'_> {
    /// A figure that no material of the kind can reach is a slip, and would order too little.
    fn within_the_kind(
        &mut self,
        table: &MaterialTable,
        kind: Option<&Kind>,
        worth: Option<&(Stated, Option<Analysis>)>,
    ) {
        let (Some(kind), Some((stated, analysis))) = (kind, worth) else { return };
        let figure = analysis.as_ref().map_or(*stated, |analysis| analysis.cce).fraction;
        if figure.to_number() <= kind.ceiling() {
            return;
        }
        let written = table.effective.as_ref().or(table.cce.as_ref());
        let what =
            format!("{} cannot be worth {:.0} % of pure CaCO3", kind.name, figure.to_percent());
        let problem =
            Problem::at(self.text.place(&written.map_or(0..0, |at| at.span.clone())), what)
                .allowed(format!("at most {:.0} % for this kind", 100.0 * kind.ceiling()))
                .hint("check the figure, its basis and the kind");
        self.problems.push(problem);
    }

    /// The material that a table describes, of a job or of a list.
    pub(super) fn material(&mut self, table: &MaterialTable) -> Option<Material> {
        let kind = self.required("material.kind", "the kind of material", table.kind.as_ref());
        let kind = kind.and_then(|written| {
            kind_named(&written.value, self.text.place(&written.span))
                .map_err(|problem| self.problems.push(problem))
                .ok()
        });
        let worth = self.worth(table);
        self.within_the_kind(table, kind, worth.as_ref());
        let moisture = match &table.moisture {
            None => None,
            Some(written) => {
                Some(self.quantity(written, &bound::MOISTURE).and_then(Share::from_number)?)
            }
        };
        let (bulk_density, density_rule) = match &table.bulk_density {
            None => (None, None),
            Some(written) => {
                let (density, rule) = self.bulk_density(written)?;
                (Some(density), rule)
            }
        };
        let price = match &table.price {
            None => None,
            Some(written) => Some(self.price(written, table.price_at.as_ref())?),
        };
        let (kind, (stated, analysis)) = (kind?, worth?);
        let effective = effective_as_spread(stated, moisture);
        if effective.is_none() {
            let (words, written) = match &analysis {
                Some(_) => (bound::CCE.words, &table.cce),
                None => (bound::EFFECTIVE.words, &table.effective),
            };
            let span = written.as_ref().map_or(0..0, |written| written.span.clone());
            let problem = Problem::at(
                self.text.place(&span),
                format!("{words} is stated for dry material, and `material.moisture` is missing"),
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
            analysis,
            moisture,
            effective: effective?,
            bulk_density,
            density_rule,
            price,
        })
    }

    fn price(&mut self, written: &At<Written>, at: Option<&At<String>>) -> Option<Price> {
        let places: Vec<&str> = PriceAt::ALL.iter().map(|at| at.words()).collect();
        let at = self.one_of("material.price_at", at, &places)?;
        let at = PriceAt::ALL.into_iter().find(|place| place.words() == at)?;
        let (number, currency, per) = self.money(written, &PRICE)?;
        let per = match per.as_str() {
            "ton" => ProductMass::from_short_tons(1.0),
            "t" => ProductMass::from_tonnes(1.0),
            _ => return self.not_money(written, &PRICE),
        };
        Some(Price { amount: Money::from_units(number), per, currency, at })
    }
}
