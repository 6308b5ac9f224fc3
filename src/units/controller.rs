//! The units that controllers of spreaders take rates in.

use super::ProductRate;

/// The unit of the rates that a controller is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ControllerUnit {
    /// Pounds an acre.
    PoundsPerAcre,
    /// Short tons an acre.
    ShortTonsPerAcre,
    /// Kilograms a hectare.
    KilogramsPerHectare,
    /// Tonnes a hectare.
    TonnesPerHectare,
}

impl ControllerUnit {
    /// All of them.
    pub const ALL: [Self; 4] = [
        Self::PoundsPerAcre,
        Self::ShortTonsPerAcre,
        Self::KilogramsPerHectare,
        Self::TonnesPerHectare,
    ];

    /// As job files and reports write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::PoundsPerAcre => "lb/ac",
            Self::ShortTonsPerAcre => "ton/ac",
            Self::KilogramsPerHectare => "kg/ha",
            Self::TonnesPerHectare => "t/ha",
        }
    }

    /// The unit that a rate of a machine is written in; the smallest where the words are of none.
    pub fn of_words(words: &str) -> Self {
        let known = Self::ALL.into_iter().find(|unit| unit.words() == words);
        known.unwrap_or(Self::KilogramsPerHectare)
    }

    /// As the end of a name: `lb_ac`, `ton_ac`, `kg_ha` or `t_ha`.
    pub fn key(self) -> &'static str {
        match self {
            Self::PoundsPerAcre => "lb_ac",
            Self::ShortTonsPerAcre => "ton_ac",
            Self::KilogramsPerHectare => "kg_ha",
            Self::TonnesPerHectare => "t_ha",
        }
    }

    /// The number of a rate in this unit.
    pub fn number(self, rate: ProductRate) -> f64 {
        match self {
            Self::PoundsPerAcre => rate.to_pounds_per_acre(),
            Self::ShortTonsPerAcre => rate.to_short_tons_per_acre(),
            Self::KilogramsPerHectare => rate.to_kilograms_per_hectare(),
            Self::TonnesPerHectare => rate.to_tonnes_per_hectare(),
        }
    }

    /// The rate of a number in this unit.
    pub fn rate(self, number: f64) -> ProductRate {
        match self {
            Self::PoundsPerAcre => ProductRate::from_pounds_per_acre(number),
            Self::ShortTonsPerAcre => ProductRate::from_short_tons_per_acre(number),
            Self::KilogramsPerHectare => ProductRate::from_kilograms_per_hectare(number),
            Self::TonnesPerHectare => ProductRate::from_tonnes_per_hectare(number),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_in_a_unit_is_that_rate_and_comes_back() {
        let ton = ProductRate::from_short_tons_per_acre(1.0);
        let numbers = ControllerUnit::ALL.map(|unit| unit.number(ton));
        // 0.45359237 kg/lb and 4046.8564224 m2/ac are exact.
        let tonnes = 907.184_74 / 4_046.856_422_4 * 10.0;
        let expected = [2_000.0, 1.0, tonnes * 1_000.0, tonnes];
        for ((unit, number), expected) in ControllerUnit::ALL.iter().zip(numbers).zip(expected) {
            assert!((number / expected - 1.0).abs() < 1e-12, "{}: {number}", unit.words());
            assert!((unit.rate(number) / ton - 1.0).abs() < 1e-12, "{}", unit.words());
        }
    }
}
