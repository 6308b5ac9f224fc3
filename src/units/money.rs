//! Money: an amount in the one currency that a job is written in.

use super::quantity::quantity;

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

    /// As the job writes it.
    pub fn words(&self) -> &str {
        &self.0
    }
}
