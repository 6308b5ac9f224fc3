//! Names that people and sheets write in several ways: which of them are the same, and which were
//! damaged on the way.

/// An id without what does not show: blanks of any kind around it, and marks of no width.
pub(in crate::inputs) fn trimmed(id: &str) -> String {
    let visible: String = id
        .chars()
        .filter(|c| !matches!(c, '\u{200b}'..='\u{200d}' | '\u{2060}' | '\u{feff}'))
        .collect();
    visible.trim().to_owned()
}

/// An id whose case and blanks do not count.
pub(in crate::inputs) fn folded(id: &str) -> String {
    id.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect()
}

/// The letters and digits of a name, in small letters: `Sample ID` and `sample_id` are `sampleid`.
pub(in crate::inputs) fn bare(name: &str) -> String {
    name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// A folded id without the zeros that lead its numbers: `A007` and `a7` are `a7`.
pub(in crate::inputs) fn without_leading_zeros(id: &str) -> String {
    let folded = folded(id);
    let mut kept = String::with_capacity(folded.len());
    let mut rest = folded.as_str();
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
        kept.push_str(&rest[..start]);
        let digits = &rest[start..];
        let length = digits.find(|c: char| !c.is_ascii_digit()).unwrap_or(digits.len());
        let number = digits[..length].trim_start_matches('0');
        kept.push_str(if number.is_empty() { "0" } else { number });
        rest = &digits[length..];
    }
    kept.push_str(rest);
    kept
}

/// What a sheet seems to have made of an id.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::inputs) enum Damage {
    /// A day, as `3-1` becomes `1-Mar` or `2026-03-01`.
    Day,
    /// A number in scientific notation, as `1E5` becomes `1.00E+05`.
    Scientific,
    /// A number with decimals, as `101` becomes `101.0`.
    Decimals,
}

impl Damage {
    /// What happened, as the rest of a sentence that begins with the id.
    pub(in crate::inputs) fn words(self) -> &'static str {
        match self {
            Self::Day => "looks like a date that a spreadsheet made from an id such as 3-1",
            Self::Scientific => {
                "looks like an id that a spreadsheet took for a number in scientific notation"
            }
            Self::Decimals => "looks like an id that was written as a number with decimals",
        }
    }
}

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];
/// The shortest name of a month that sheets write.
const SHORTEST_MONTH: usize = 3;

/// What a sheet seems to have made of a name, in words that follow it; `None` where it looks sound.
pub fn damage_in_words(name: &str) -> Option<&'static str> {
    damage(name).map(Damage::words)
}

/// What a sheet seems to have made of the id, where it looks damaged.
pub(in crate::inputs) fn damage(id: &str) -> Option<Damage> {
    let id = trimmed(id).to_lowercase();
    let parts: Vec<&str> = id.split(['-', '/', '.', ' ']).collect();
    let digits = |part: &&str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    let is_month = |part: &str| {
        part.len() >= SHORTEST_MONTH && MONTHS.iter().any(|month| month.starts_with(part))
    };
    let named_month = matches!(parts.len(), 2 | 3)
        && parts.iter().filter(|part| is_month(part)).count() == 1
        && parts.iter().filter(|part| !is_month(part)).all(digits);
    let is_year =
        |part: &str| part.len() == 4 && (part.starts_with("19") || part.starts_with("20"));
    let in_numbers = parts.len() == 3
        && parts.iter().all(digits)
        && (is_year(parts[0]) || is_year(parts[2]))
        && !id.contains('.');
    if named_month || in_numbers {
        return Some(Damage::Day);
    }
    if let Some((number, power)) = id.split_once("e+").or_else(|| id.split_once("e-"))
        && number.bytes().all(|b| b.is_ascii_digit() || b == b'.')
        && digits(&power)
        && digits(&number.replace('.', "").as_str())
    {
        return Some(Damage::Scientific);
    }
    match id.split_once('.') {
        Some((whole, part))
            if digits(&whole) && !part.is_empty() && part.bytes().all(|b| b == b'0') =>
        {
            Some(Damage::Decimals)
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_does_not_show_is_taken_off() {
        assert_eq!(trimmed(" S01\u{a0}\u{200b}\t"), "S01");
        assert_eq!(folded(" s 01 "), folded("S01"));
    }

    #[test]
    fn leading_zeros_are_taken_off_every_number() {
        assert_eq!(without_leading_zeros("A007-010"), "a7-10");
        assert_eq!(without_leading_zeros("000"), "0");
        assert_eq!(without_leading_zeros("10"), "10");
        assert_ne!(without_leading_zeros("1-10"), without_leading_zeros("1-1"));
    }

    #[test]
    fn damage_by_a_sheet_is_recognised_and_sound_ids_are_not_suspected() {
        for day in ["1-Mar", "3-Mar", "Mar-01", "2026-03-01", "3/1/2026", "1 March"] {
            assert_eq!(damage(day), Some(Damage::Day), "{day}");
        }
        assert_eq!(damage("1.00E+05"), Some(Damage::Scientific));
        assert_eq!(damage("1E-05"), Some(Damage::Scientific));
        assert_eq!(damage("101.0"), Some(Damage::Decimals));
        for sound in ["3-1", "S01", "12", "A-2026", "1E5", "Mar", "marsh-3-1", "10.5", "1-2-3", ""]
        {
            assert_eq!(damage(sound), None, "{sound}");
        }
    }
}
