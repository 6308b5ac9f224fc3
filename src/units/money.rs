//! Money: an amount in the one currency that a job is written in.

use super::quantity::quantity;
use super::text::grouped;

quantity! {
    /// An amount of money in the job's currency.
    Money {
        /// So many units of the currency.
        from_units,
        /// In units of the currency.
        to_units = 1.0;
    }
}

/// A currency as the job writes it: a sign such as `$` or a code such as `EUR`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Currency(String);

impl Currency {
    /// The currency written so; `None` unless it is one sign or a code of three capitals
    /// (ISO 4217).
    pub fn from_words(words: &str) -> Option<Self> {
        let sign = matches!(words, "$" | "€" | "£" | "R$");
        let code = words.len() == 3 && words.bytes().all(|b| b.is_ascii_uppercase());
        (sign || code).then(|| Self(words.to_owned()))
    }

    /// Whether both are the same money: a sign is its code, `$` that of the United States.
    pub fn is_same_as(&self, other: &Self) -> bool {
        self.code() == other.code()
    }

    /// Its code of three capitals (ISO 4217), also where it is written as a sign.
    pub fn code(&self) -> &str {
        match self.0.as_str() {
            "$" => "USD",
            "€" => "EUR",
            "£" => "GBP",
            "R$" => "BRL",
            code => code,
        }
    }

    /// An amount of it: `$7,350.00`, `999.00 EUR`.
    pub fn amount(&self, value: f64) -> String {
        let number = grouped(value, 2);
        if self.0.chars().all(char::is_alphabetic) {
            format!("{number} {}", self.0)
        } else {
            format!("{}{number}", self.0)
        }
    }

    /// As the job writes it.
    pub fn words(&self) -> &str {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_amount_is_written_as_its_readers_write_it() {
        let amount = |words, value| Currency::from_words(words).expect("a currency").amount(value);
        assert_eq!(amount("$", 11_972.39), "$11,972.39");
        assert_eq!(amount("EUR", 999.0), "999.00 EUR");
        assert_eq!(amount("R$", -0.001), "R$0.00");
    }

    #[test]
    fn a_sign_and_its_code_are_the_same_money() {
        let of = |words| Currency::from_words(words).expect("a currency");
        for (sign, code) in [("$", "USD"), ("€", "EUR"), ("£", "GBP"), ("R$", "BRL")] {
            assert!(of(sign).is_same_as(&of(code)), "{sign} {code}");
        }
        assert!(!of("$").is_same_as(&of("EUR")));
        assert!(!of("CAD").is_same_as(&of("USD")));
    }
}
