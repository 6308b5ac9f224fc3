//! The `[material]` table of a job.

use super::check::Checker;
use super::check_money::MoneyWords;
use super::check_worth::Worth;
use super::material_file::MaterialTable;
use super::written::{At, Written};
use crate::findings::Problem;
use crate::material::{Kind, Material, Price, PriceAt, effective_as_spread, kind_named};
use crate::units::{Money, ProductMass, Share, bound};

static PRICE: MoneyWords =
    MoneyWords { subject: "the price", units: "`$/ton` or `$/t`", example: "14 $/ton" };

impl Checker<'_> {
    /// A figure that no material of the kind can reach is a slip, and would order too little.
    fn within_the_kind(&mut self, kind: Option<&Kind>, worth: Option<&Worth>) {
        let (Some(kind), Some(worth)) = (kind, worth) else { return };
        let figure = worth.analysis.as_ref().map_or(worth.stated, |analysis| analysis.cce).fraction;
        if figure.to_number() <= kind.ceiling() {
            return;
        }
        let what =
            format!("{} cannot be worth {:.0} % of pure CaCO3", kind.name, figure.to_percent());
        let problem = Problem::at(self.text.place(&worth.span), what)
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
        let moisture = match &table.moisture {
            None => Some(None),
            Some(written) => {
                self.quantity(written, &bound::MOISTURE).and_then(Share::from_number).map(Some)
            }
        };
        let worth = self.worth(table, kind, moisture.flatten());
        self.within_the_kind(kind, worth.as_ref());
        let moisture = moisture?;
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
        let (kind, Worth { stated, rating, analysis, findings, span }) = (kind?, worth?);
        let effective = effective_as_spread(stated, moisture);
        if effective.is_none() {
            let words = match (&analysis, rating) {
                (Some(_), _) => bound::CCE.words,
                (None, Some(rating)) => rating.bounded.words,
                (None, None) => bound::EFFECTIVE.words,
            };
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
            rating,
            analysis,
            moisture,
            effective: effective?,
            bulk_density,
            density_rule,
            price,
            findings,
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
