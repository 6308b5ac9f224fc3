//! What the material of a job is worth: one figure, or its analysis.

use std::collections::BTreeMap;

use super::check::Checker;
use super::file::{FinenessTable, MaterialTable};
use super::written::{At, Written};
use crate::findings::Problem;
use crate::material::{
    Analysis, Basis, Fineness, Pail, Stated, density_from_pail, fineness_of, fineness_scheme,
};
use crate::units::{Bounded, BulkDensity, EffectiveFraction, ProductMass, Share, Volume, bound};

impl Checker<'_> {
    /// The effective part as stated, or from the analysis and together with it.
    pub(super) fn worth(&mut self, table: &MaterialTable) -> Option<(Stated, Option<Analysis>)> {
        if table.cce.is_none() && table.fineness.is_none() {
            let stated = self.required(
                "material.effective",
                "the part that neutralises as pure CaCO3 does, such as \"63 % as received\"; or \
                 `cce`, `moisture` and `fineness` from the analysis",
                table.effective.as_ref(),
            )?;
            return Some((self.stated(stated, &bound::EFFECTIVE)?, None));
        }
        if let Some(effective) = &table.effective {
            let problem = Problem::at(
                self.text.place(&effective.span),
                "the material has both an effective part and `cce` or `fineness`",
            )
            .allowed("either `effective`, or `cce` and `fineness`, from which it follows")
            .hint("leave one of the two out: fineness must not be counted twice");
            self.problems.push(problem);
            return None;
        }
        let cce = self.required(
            "material.cce",
            "the calcium carbonate equivalent, such as \"92 % dry\"",
            table.cce.as_ref(),
        );
        let cce = cce.and_then(|written| self.stated(written, &bound::CCE));
        let fineness = self.required(
            "material.fineness",
            "the sieve analysis; a figure that already counts it is written as `effective`",
            table.fineness.as_ref(),
        );
        let fineness = fineness.and_then(|table| self.fineness(table));
        let analysis = Analysis { cce: cce?, fineness: fineness? };
        let Some(stated) = analysis.effective() else {
            let span = table.fineness.as_ref().map_or(0..0, |fineness| fineness.span.clone());
            let what = "by this sieve analysis nothing of the material counts";
            let problem = Problem::at(self.text.place(&span), what)
                .allowed("an efficiency above 0")
                .hint("check that the figures are parts that pass the sieves");
            self.problems.push(problem);
            return None;
        };
        Some((stated, Some(analysis)))
    }

    /// `63 % as received` or `67 % dry`.
    fn stated(&mut self, written: &At<Written>, bounded: &Bounded) -> Option<Stated> {
        let text = written.value.0.trim();
        let split = [Basis::Dry, Basis::AsReceived].into_iter().find_map(|basis| {
            text.strip_suffix(basis.words()).map(|number| (number.trim(), basis))
        });
        let Some((number, basis)) = split else {
            let problem = Problem::at(
                self.text.place(&written.span),
                format!("{} is `{text}`, which does not say of what", bounded.words),
            )
            .allowed("a percentage followed by `dry` or by `as received`")
            .hint("write \"63 % as received\", or \"67 % dry\" together with a moisture");
            self.problems.push(problem);
            return None;
        };
        let part = At { value: Written(number.to_owned()), span: written.span.clone() };
        let fraction = self.quantity(&part, bounded)?;
        Some(Stated { fraction: EffectiveFraction::from_number(fraction)?, basis })
    }

    fn fineness(&mut self, table: &At<FinenessTable>) -> Option<Fineness> {
        let scheme = self.required(
            "material.fineness.scheme",
            "the scheme that turns the sieve analysis into one efficiency",
            table.value.scheme.as_ref(),
        );
        let scheme = scheme.and_then(|written| {
            fineness_scheme(&written.value, self.text.place(&written.span))
                .map_err(|problem| self.problems.push(problem))
                .ok()
        });
        let passing = self.required(
            "material.fineness.passing",
            "the part that passes each sieve, such as { \"8\" = \"90 %\" }",
            table.value.passing.as_ref(),
        );
        let passing = passing?;
        let read: Vec<Option<(String, Share)>> = passing
            .value
            .iter()
            .map(|(mesh, part)| {
                let share = self.quantity(part, &bound::PASSING).and_then(passing_share)?;
                Some((mesh.trim().to_owned(), share))
            })
            .collect();
        let read: Option<BTreeMap<String, Share>> = read.into_iter().collect();
        fineness_of(scheme?, &read?, &self.text.place(&passing.span))
            .map_err(|problems| self.problems.extend(problems))
            .ok()
    }

    /// `90 lb/ft3`, or from a pail: `35 lb in 5 gal`, then with how it was found.
    pub(super) fn bulk_density(
        &mut self,
        written: &At<Written>,
    ) -> Option<(BulkDensity, Option<String>)> {
        let text = written.value.0.as_str();
        let Some((net, pail)) = text.split_once(" in ") else {
            let density = self.quantity(written, &bound::BULK_DENSITY)?;
            return Some((BulkDensity::from_kilograms_per_cubic_metre(density), None));
        };
        let part = |text: &str| At { value: Written(text.to_owned()), span: written.span.clone() };
        let net = self.quantity(&part(net), &bound::PAIL_NET_MASS);
        let pail = self.pail(&part(pail.trim()));
        let pail = pail?;
        let density = density_from_pail(ProductMass::from_kilograms(net?), pail);
        let si = density.to_kilograms_per_cubic_metre();
        match bound::BULK_DENSITY.check(si, &format!("`{text}`, which is {si:.0} kg/m3")) {
            Ok(_) => Some((density, Some(format!("{}: {}", text.trim(), pail.rule())))),
            Err(misread) => {
                let place = self.text.place(&written.span);
                let words = bound::BULK_DENSITY.words;
                self.problems.push(Problem::misread(place, words, misread));
                None
            }
        }
    }

    fn pail(&mut self, written: &At<Written>) -> Option<Pail> {
        let text = written.value.0.as_str();
        let Some(gallons) = text.strip_suffix("gal") else {
            let volume = self.quantity(written, &bound::PAIL_VOLUME)?;
            return Some(Pail::Of(Volume::from_cubic_metres(volume)));
        };
        if gallons.trim() == "5" {
            return Some(Pail::FiveGallons);
        }
        let problem = Problem::at(
            self.text.place(&written.span),
            format!("the density is weighed in a pail of `{text}`"),
        )
        .allowed("a pail of `5 gal`, for which there is a published rule, or one in litres, `L`")
        .hint("weigh a five-gallon pail, write \"16 kg in 15 L\", or give the density itself");
        self.problems.push(problem);
        None
    }
}

/// A hundred percent may come back a rounding error above 1.
fn passing_share(number: f64) -> Option<Share> {
    Share::from_number(number.min(1.0))
}
