//! What a cell of a table holds: a number, a limit, nothing, or something else.

use crate::inputs::table::{has_a_decimal_comma, two_readings};

/// What a cell holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Cell {
    /// A plain number.
    Number(f64),
    /// `<5.0`: the reading lies below the limit.
    Below(f64),
    /// `>7.5`: the reading lies above the limit.
    Above(f64),
    /// A mark in use for no reading.
    Missing,
    /// Something else.
    Other,
}

/// Marks in use for no reading, in small letters; common practice.
const NO_READING: &[&str] = &[
    "",
    "-",
    "--",
    "---",
    "\u{2013}",
    "\u{2014}",
    ".",
    "..",
    "*",
    "**",
    "?",
    "x",
    "nd",
    "n.d.",
    "n.d",
    "n/d",
    "na",
    "n/a",
    "n.a.",
    "n.a",
    "#n/a",
    "nan",
    "null",
    "none",
    "nil",
    "missing",
    "no data",
    "not detected",
    "not determined",
    "not analysed",
    "not analyzed",
    "not tested",
    "nt",
    "n/t",
    "ns",
    "n/s",
];

/// Numbers in use for no reading where no reading can be such a number; common practice.
const NO_READING_NUMBERS: &[f64] = &[0.0, -9.0, -99.0, -999.0, -9_999.0, -99_999.0, 9_999.0];

impl Cell {
    pub(super) fn read(text: &str) -> Self {
        if let Some(number) = plain(text) {
            return Self::Number(number);
        }
        if NO_READING.contains(&text.to_lowercase().as_str()) {
            return Self::Missing;
        }
        let limit =
            |signs: [char; 2]| plain(text.strip_prefix(signs)?.trim_start_matches([' ', '=']));
        match (limit(['<', '≤']), limit(['>', '≥'])) {
            (Some(most), _) => Self::Below(most),
            (_, Some(least)) => Self::Above(least),
            _ => Self::Other,
        }
    }
}

/// Whether a number that lies beyond its limits is one that stands for no reading.
pub(super) fn stands_for_no_reading(number: f64) -> bool {
    NO_READING_NUMBERS.iter().any(|code| code.total_cmp(&number).is_eq())
}

/// A plain number with a decimal point; anything else is none.
pub(super) fn plain(text: &str) -> Option<f64> {
    let is_plain = text.bytes().all(|b| b.is_ascii_digit() || b"+-.eE".contains(&b));
    text.parse().ok().filter(|number: &f64| is_plain && number.is_finite())
}

/// Why a text is no number, what is allowed, and what to try.
pub(super) fn why_no_number(text: &str) -> [String; 3] {
    if let Some((by_comma, by_point)) = two_readings(text) {
        return [
            format!("`{text}` is {by_comma} with a decimal comma, and {by_point} without"),
            "numbers that can be read in one way".to_owned(),
            "say which with samples.decimal = \"comma\" or \"point\"".to_owned(),
        ];
    }
    if has_a_decimal_comma(text) {
        return [
            format!(
                "`{text}` is not a number: it has a comma, and other cells of the column a point"
            ),
            "one decimal mark in all cells of a column".to_owned(),
            "write the column in one way".to_owned(),
        ];
    }
    [
        format!("`{text}` is not a number"),
        "a plain number".to_owned(),
        "correct it, or leave the row out if the sample has no such value".to_owned(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_mark_of_no_reading_is_a_number() {
        for text in NO_READING {
            assert_eq!(Cell::read(&text.to_uppercase()), Cell::Missing, "{text}");
        }
        for (text, cell) in [
            ("5.2", Cell::Number(5.2)),
            ("<5.0", Cell::Below(5.0)),
            ("<= 5", Cell::Below(5.0)),
            ("> 7.5", Cell::Above(7.5)),
            ("inf", Cell::Other),
            ("5,2", Cell::Other),
            ("<", Cell::Other),
            ("<<5", Cell::Other),
            ("5.2*", Cell::Other),
            ("1e999", Cell::Other),
        ] {
            assert_eq!(Cell::read(text), cell, "{text}");
        }
        assert!(stands_for_no_reading(-99.0) && stands_for_no_reading(0.0));
        assert!(!stands_for_no_reading(5.0));
    }

    #[test]
    fn a_number_in_doubt_is_explained() {
        assert!(why_no_number("5,200")[0].contains("5.200 with a decimal comma, and 5200"));
        assert!(why_no_number("5,2")[0].contains("it has a comma"));
        assert_eq!(why_no_number("west")[0], "`west` is not a number");
    }
}
