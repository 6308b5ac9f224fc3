//! Quantities as people write them: a number and its unit in one text.

/// One kind of quantity as it is written in a job file: its unit words and an example.
#[derive(Debug)]
pub struct UnitKind {
    /// Each accepted unit word, and how many SI units one of it is.
    pub units: &'static [(&'static str, f64)],
    /// A value written as it should be.
    pub example: &'static str,
}

impl UnitKind {
    /// The accepted unit words, in a row.
    pub fn words(&self) -> String {
        let quoted: Vec<String> = self.units.iter().map(|(word, _)| format!("`{word}`")).collect();
        quoted.join(", ")
    }

    /// SI units in one of the unit written `word`, blanks aside.
    pub fn factor(&self, word: &str) -> Option<f64> {
        self.unit(word).map(|&(_, factor)| factor)
    }

    /// The unit `word`, blanks aside, as this kind writes it.
    pub fn unit_written(&self, word: &str) -> Option<&'static str> {
        self.unit(word).map(|&(known, _)| known)
    }

    fn unit(&self, word: &str) -> Option<&'static (&'static str, f64)> {
        let plain =
            |text: &str| -> String { text.chars().filter(|c| !c.is_whitespace()).collect() };
        let wanted = plain(word);
        self.units.iter().find(|(known, _)| plain(known) == wanted)
    }
}

/// The number without the rounding errors of a conversion there and back, or of whole steps.
pub fn tidy(value: f64) -> f64 {
    let snapped = (value * 1e9).round() / 1e9;
    if (snapped - value).abs() <= 1e-12 * value.abs() { snapped } else { value }
}

/// `value` with as many decimals as it has, at least `least` and at most `most` of them.
pub fn plain(value: f64, least: usize, most: usize) -> String {
    let text = format!("{value:.most$}");
    let Some(point) = text.find('.') else { return text };
    let shortest = if least == 0 { point } else { point + 1 + least };
    let end = text.trim_end_matches('0').len().max(shortest);
    let text = if end == point + 1 { &text[..point] } else { &text[..end] };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// `value` with so many decimals, the digits before the point in threes, and never a negative nothing:
/// `12,600`, `7,350.00`.
pub fn grouped(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let digits = text.trim_start_matches('-');
    let is_nothing = digits.trim_matches(['0', '.']).is_empty();
    let (whole, rest) = digits.split_at(digits.find('.').unwrap_or(digits.len()));
    let mut out =
        if is_nothing { String::new() } else { text[..text.len() - digits.len()].to_owned() };
    for (at, digit) in whole.chars().enumerate() {
        if at > 0 && (whole.len() - at).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out + rest
}

/// A value on a pH scale, with at least one decimal: `7.0`, `5.125`.
pub fn ph_words(value: f64) -> String {
    plain(value, 1, 6)
}

/// So many of something: `1 month`, `2 months`.
pub fn counted(count: u64, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// Why a text could not be taken as a quantity.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misread {
    /// What stood there.
    pub found: String,
    /// What may stand there.
    pub allowed: String,
    /// What to write instead.
    pub hint: String,
}

/// Splits `text` into its number and the unit that follows it.
///
/// # Errors
/// Returns [`Misread`] where no plain finite number leads the text, or where no unit follows it.
pub fn read_number_with_unit<'t>(
    text: &'t str,
    kind: &UnitKind,
) -> Result<(f64, &'t str), Misread> {
    read_as_in(text, kind, kind.example)
}

/// The same, with an example that fits what is asked for.
pub(super) fn read_as_in<'t>(
    text: &'t str,
    kind: &UnitKind,
    example: &str,
) -> Result<(f64, &'t str), Misread> {
    let misread = |hint: &str| Misread {
        found: format!("`{text}`"),
        allowed: format!("a number and one of the units {}", kind.words()),
        hint: format!("{hint}, for example `{example}`"),
    };
    let trimmed = text.trim();
    let end = trimmed
        .char_indices()
        .find(|(at, c)| !(c.is_ascii_digit() || *c == '.' || (*at == 0 && matches!(c, '-' | '+'))))
        .map_or(trimmed.len(), |(at, _)| at);
    let (number, unit) = trimmed.split_at(end);
    if unit.starts_with(',') || unit.starts_with('_') {
        return Err(misread("write the number with a decimal point and no thousands marks"));
    }
    let Ok(value) = number.parse::<f64>() else {
        return Err(misread("start with a plain number"));
    };
    let unit = unit.trim();
    if unit.is_empty() {
        return Err(misread("write the unit behind the number"));
    }
    Ok((value, unit))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::bounds::LENGTH;

    #[test]
    fn a_number_and_its_unit_are_told_apart() {
        assert_eq!(read_number_with_unit("6 in", &LENGTH), Ok((6.0, "in")));
        assert_eq!(read_number_with_unit(" 0.25ft ", &LENGTH), Ok((0.25, "ft")));
        assert_eq!(read_number_with_unit("-3 m", &LENGTH), Ok((-3.0, "m")));
    }

    #[test]
    fn numbers_in_words_have_the_decimals_that_they_need() {
        for (value, least, most, text) in [
            (2100.0, 0, 4, "2100"),
            (7.0, 1, 6, "7.0"),
            (5.125, 1, 6, "5.125"),
            (0.000_4, 0, 3, "0"),
            (-0.000_4, 0, 3, "0"),
            (0.05, 0, 4, "0.05"),
            (100.0, 0, 0, "100"),
            (6.666_666, 0, 4, "6.6667"),
        ] {
            assert_eq!(plain(value, least, most), text);
        }
        assert_eq!((ph_words(6.0), ph_words(6.25)), ("6.0".to_owned(), "6.25".to_owned()));
    }

    #[test]
    fn one_is_told_in_the_singular() {
        assert_eq!(counted(1, "month", "months"), "1 month");
        assert_eq!(counted(0, "month", "months"), "0 months");
    }

    #[test]
    fn what_is_no_number_with_a_unit_says_what_to_write() {
        for text in ["6", "six in", "", "1,5 m", "1_000 m", "in", "nan m", "inf m"] {
            let misread = read_number_with_unit(text, &LENGTH).expect_err(text);
            assert!(misread.allowed.contains("`ft`"), "{misread:?}");
            assert!(misread.hint.contains("for example"), "{misread:?}");
        }
    }

    #[test]
    fn a_sign_may_lead_and_nothing_else_does() {
        assert_eq!(read_number_with_unit("+3 m", &LENGTH), Ok((3.0, "m")));
        assert_eq!(read_number_with_unit(".5 ft", &LENGTH), Ok((0.5, "ft")));
        for text in ["- m", "1.2.3 m", "--3 m", "3_m", "3,m"] {
            assert!(read_number_with_unit(text, &LENGTH).is_err(), "{text}");
        }
        // What follows the digits is the unit, for its kind to know.
        assert_eq!(read_number_with_unit("3-4 m", &LENGTH), Ok((3.0, "-4 m")));
    }

    #[test]
    fn a_unit_is_known_whatever_its_blanks_and_gives_its_factor() {
        assert_eq!(
            (LENGTH.factor(" f t "), LENGTH.unit_written(" f t ")),
            (Some(0.3048), Some("ft"))
        );
        assert_eq!((LENGTH.factor("FT"), LENGTH.unit_written("")), (None, None));
    }

    #[test]
    fn a_number_is_tidied_of_rounding_errors_to_nine_decimals_and_of_nothing_else() {
        let next = |value: f64| f64::from_bits(value.to_bits() + 1);
        for tidied in [0.3, 0.123_456_789, 2_000.0, 1.000_000_001] {
            assert_eq!(tidy(next(tidied)).to_bits(), tidied.to_bits());
            assert_eq!(tidy(-next(tidied)).to_bits(), (-tidied).to_bits());
        }
        for kept in [next(0.123_456_789_123), 1.0 + 5e-12, 1e-12, 1.0 / 3.0] {
            assert_eq!(tidy(kept).to_bits(), kept.to_bits());
        }
        assert_eq!(tidy(1.0 + 5e-13).to_bits(), 1.0_f64.to_bits());
    }
}
