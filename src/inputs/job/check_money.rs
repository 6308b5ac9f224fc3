//! Money in a job: a number, a currency and what it is for.

use super::check::Checker;
use super::file::{At, JobFile, Written};
use crate::findings::Problem;
use crate::units::Currency;

/// One place that money is written in: what it is called, the units it may have, an example.
pub(super) struct MoneyWords {
    pub(super) subject: &'static str,
    pub(super) units: &'static str,
    pub(super) example: &'static str,
}

impl Checker<'_> {
    /// Splits `14 $/ton` into its number, its currency and what the money is for.
    pub(super) fn money(
        &mut self,
        written: &At<Written>,
        words: &MoneyWords,
    ) -> Option<(f64, Currency, String)> {
        let text = written.value.0.trim();
        let split = text.split_once(char::is_whitespace).and_then(|(number, unit)| {
            let number = number.parse::<f64>().ok().filter(|number| (0.0..1e7).contains(number))?;
            let (currency, per) = unit.trim().split_once('/')?;
            Some((number, Currency::from_words(currency.trim())?, per.trim().to_owned()))
        });
        split.or_else(|| self.not_money(written, words))
    }

    pub(super) fn not_money<T>(&mut self, written: &At<Written>, words: &MoneyWords) -> Option<T> {
        let MoneyWords { subject, units, example } = words;
        let problem = Problem::at(
            self.text.place(&written.span),
            format!("{subject} is `{}`", written.value.0),
        )
        .allowed(format!(
            "a number and one of the units {units}, with $, €, £ or a code such as EUR for $"
        ))
        .hint(format!("write it as in `{example}`"));
        self.problems.push(problem);
        None
    }

    /// Prices in two currencies cannot be added, so a job has one.
    pub(super) fn one_currency(&mut self, file: &JobFile) {
        let material = file.material.as_ref().map(|table| &table.value);
        let haul = file.haul.as_ref().map(|table| &table.value);
        let written = [
            ("the price", material.and_then(|table| table.price.as_ref())),
            ("the haul cost", haul.and_then(|table| table.cost.as_ref())),
            ("the minimum charge", haul.and_then(|table| table.minimum_charge.as_ref())),
            ("the spreading cost", haul.and_then(|table| table.spreading_cost.as_ref())),
        ];
        let mut first: Option<(&str, String)> = None;
        for (subject, written) in written {
            let Some(written) = written else { continue };
            let Some(currency) = currency_of(written) else { continue };
            match &first {
                None => first = Some((subject, currency)),
                Some((other, of_other)) if *of_other != currency => {
                    let what = format!("{subject} is in {currency} and {other} in {of_other}");
                    let problem = Problem::at(self.text.place(&written.span), what)
                        .allowed("one currency in a job")
                        .hint("convert one of the two");
                    self.problems.push(problem);
                }
                Some(_) => {}
            }
        }
    }
}

fn currency_of(written: &At<Written>) -> Option<String> {
    let unit = written.value.0.split_whitespace().nth(1)?;
    Some(unit.split('/').next()?.to_owned())
}
