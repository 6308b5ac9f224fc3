//! Money in a job: a number, a currency and what it is for.

use super::check::Checker;
use super::file::JobFile;
use super::written::{At, Written};
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
        if let Some((allowed, hint)) = number_fault(text) {
            let what = format!("{} is `{text}`", words.subject);
            let problem = Problem::at(self.text.place(&written.span), what);
            self.problems.push(problem.allowed(allowed).hint(hint));
            return None;
        }
        let split = text.split_once(char::is_whitespace).and_then(|(number, unit)| {
            let number =
                number.parse::<f64>().ok().filter(|number| (0.0..MOST_MONEY).contains(number))?;
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
        .hint(hint_for(&written.value.0, example));
        self.problems.push(problem);
        None
    }

    /// Prices in two currencies cannot be added, so a job has one.
    pub(super) fn one_currency(&mut self, file: &JobFile) {
        let material = file.material.as_ref().map(|table| &table.value);
        let haul = file.haul.as_ref().map(|table| &table.value);
        self.same_currency(&[
            ("the price", material.and_then(|table| table.price.as_ref())),
            ("the haul cost", haul.and_then(|table| table.cost.as_ref())),
            ("the minimum charge", haul.and_then(|table| table.minimum_charge.as_ref())),
            ("the spreading cost", haul.and_then(|table| table.spreading_cost.as_ref())),
        ]);
    }

    /// Of several amounts, each with what it is, those that are in another currency than the first.
    pub(super) fn same_currency(&mut self, written: &[(&str, Option<&At<Written>>)]) {
        let mut first: Option<(&str, Currency)> = None;
        for &(subject, written) in written {
            let Some(written) = written else { continue };
            let Some(currency) = currency_of(written) else { continue };
            match &first {
                None => first = Some((subject, currency)),
                Some((other, of_other)) if !of_other.is_same_as(&currency) => {
                    let what = format!(
                        "{subject} is in {} and {other} in {}",
                        currency.words(),
                        of_other.words()
                    );
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

fn currency_of(written: &At<Written>) -> Option<Currency> {
    let unit = written.value.0.split_whitespace().nth(1)?;
    Currency::from_words(unit.split('/').next()?)
}

/// The greatest amount that is taken, wide enough for any currency (ours).
const MOST_MONEY: f64 = 1e7;

/// What to write in place of money that could not be read: where a part of it is missing or stands
/// elsewhere, that is said.
fn hint_for(text: &str, example: &str) -> String {
    let text = text.trim();
    let first = text.find(|c: char| c.is_ascii_digit()).unwrap_or(text.len());
    let (before, rest) = text.split_at(first);
    let end = rest.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(rest.len());
    let (number, after) = rest.split_at(end);
    let (before, after) = (before.trim(), after.trim());
    if !number.is_empty() && Currency::from_words(before).is_some() && after.starts_with('/') {
        return format!("the currency comes behind the number: `{number} {before}{after}`");
    }
    if !number.is_empty() && before.is_empty() && after.is_empty() {
        return format!("add the currency and what it is for, as in `{example}`");
    }
    if !number.is_empty() && before.is_empty() && Currency::from_words(after).is_some() {
        return format!("add what it is for, as in `{example}`");
    }
    format!("write it as in `{example}`")
}

/// What is wrong with the number in front of a price, where it is the number: what is allowed, and
/// what to write.
fn number_fault(text: &str) -> Option<(&'static str, String)> {
    let is_number = |c: char| c.is_ascii_digit() || "+-.,_".contains(c);
    let end = text.find(|c| !is_number(c)).unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    if number.contains([',', '_']) {
        let plain: String = number.chars().filter(|c| !matches!(c, ',' | '_')).collect();
        return Some((
            "a number with a decimal point and no thousands marks",
            format!("leave the comma out (`{plain}{unit}`), or write a decimal point in its place"),
        ));
    }
    let value = number.parse::<f64>().ok()?;
    if value < 0.0 {
        return Some(("money not below 0", "check the sign".to_owned()));
    }
    if value >= MOST_MONEY {
        return Some((
            "money below 10,000,000",
            "check the number; it is for one unit, not for all".to_owned(),
        ));
    }
    if unit.starts_with(|c: char| !c.is_whitespace()) {
        return Some((
            "a blank between the number and the unit",
            format!("write it as in `{number} {unit}`"),
        ));
    }
    None
}

#[cfg(test)]
mod tests {
    use super::{hint_for, number_fault};

    #[test]
    fn the_hint_says_what_is_missing_or_misplaced() {
        for (text, said) in [
            ("$14/ton", "`14 $/ton`"),
            ("EUR 14/t", "`14 EUR/t`"),
            ("14", "add the currency and what it is for"),
            ("14 $", "add what it is for"),
            ("14 EUR", "add what it is for"),
            ("14 $/acre", "write it as in `14 $/ton`"),
            ("cheap", "write it as in `14 $/ton`"),
            ("", "write it as in `14 $/ton`"),
        ] {
            let hint = hint_for(text, "14 $/ton");
            assert!(hint.contains(said), "{text}: {hint}");
        }
    }

    #[test]
    fn a_wrong_number_is_told_as_what_it_is() {
        for (text, said) in [
            ("-14 $/ton", "not below 0"),
            ("10000000 $/ton", "below 10,000,000"),
            ("1,400 $/ton", "no thousands marks"),
            ("14$/ton", "a blank between"),
        ] {
            let (allowed, hint) = number_fault(text).expect(text);
            assert!(allowed.contains(said), "{text}: {allowed}");
            assert!(!hint.is_empty());
        }
        assert_eq!(
            number_fault("1,400 $/ton").map(|fault| fault.1.contains("1400 $/ton")),
            Some(true)
        );
        assert_eq!(number_fault("14$/ton").map(|fault| fault.1.contains("14 $/ton")), Some(true));
        for text in ["14 $/ton", "0 $/ton", "9999999 $/ton", "cheap", "$14/ton", "14"] {
            assert_eq!(number_fault(text), None, "{text}");
        }
    }
}
