//! The bulk density of a job's material: stated, or weighed with a pail.

use super::check::Checker;
use super::written::{At, Written};
use crate::findings::Problem;
use crate::material::{Pail, density_from_pail};
use crate::units::{BulkDensity, ProductMass, Volume, bound};

impl Checker<'_> {
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
