//! Degrees as people write them: decimal, with minutes, with minutes and seconds, with the letter
//! of a hemisphere.

use super::cell::plain;

/// Which of the two coordinates a cell holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Axis {
    Lon,
    Lat,
}

impl Axis {
    fn letters(self) -> [char; 2] {
        match self {
            Self::Lon => ['E', 'W'],
            Self::Lat => ['N', 'S'],
        }
    }

    fn most(self) -> f64 {
        match self {
            Self::Lon => 180.0,
            Self::Lat => 90.0,
        }
    }
}

/// The degrees that `text` says; the letter of a hemisphere or a sign tells the side.
///
/// # Errors
/// Says what is wrong with it.
pub(super) fn read_degrees(text: &str, axis: Axis) -> Result<f64, String> {
    // A plain number may be anything: whether it fits the field is asked later, with the evidence.
    if let Some(number) = plain(text) {
        return Ok(number);
    }
    let (letter, rest) = without_letter(text)?;
    if let Some(letter) = letter
        && !axis.letters().contains(&letter)
    {
        return Err(format!(
            "it names the hemisphere {letter}, which belongs to the other coordinate"
        ));
    }
    let (negative, rest) = match rest.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (true, rest),
        None => (false, rest.strip_prefix('+').unwrap_or(rest)),
    };
    if negative && letter.is_some() {
        return Err("it has both a minus and the letter of a hemisphere".to_owned());
    }
    let parts = parts_of(rest)?;
    for (part, name) in parts.iter().skip(1).zip(["minutes", "seconds"]) {
        if *part >= 60.0 {
            return Err(format!("its {name} are 60 or more"));
        }
    }
    let degrees = parts.iter().rev().fold(0.0, |below, part| below / 60.0 + part);
    if degrees > axis.most() {
        return Err(format!("it is beyond {} degrees", axis.most()));
    }
    let negative = negative || matches!(letter, Some('S' | 'W'));
    Ok(if negative { -degrees } else { degrees })
}

/// The letter of a hemisphere before or behind the numbers, and the rest.
fn without_letter(text: &str) -> Result<(Option<char>, &str), String> {
    let is_letter = |c: char| "NSEWnsew".contains(c);
    let before = text.chars().next().filter(|&c| is_letter(c));
    let rest = before.map_or(text, |_| &text[1..]).trim();
    let behind = rest.chars().next_back().filter(|&c| is_letter(c));
    let rest = behind.map_or(rest, |_| &rest[..rest.len() - 1]).trim();
    if before.is_some() && behind.is_some() {
        return Err("it has two letters of a hemisphere".to_owned());
    }
    Ok((before.or(behind).map(|c| c.to_ascii_uppercase()), rest))
}

/// Marks behind degrees, minutes and seconds: two characters that look like a degree, and straight,
/// curly and typographic quotes.
const MARKS: [&[&str]; 3] = [
    &["°", "º", "˚", "deg", ":"],
    &["'", "\u{2019}", "\u{2018}", "\u{2032}", "\u{b4}", "min", ":"],
    &[
        "\"",
        "''",
        "\u{201d}",
        "\u{201c}",
        "\u{2033}",
        "\u{2019}\u{2019}",
        "\u{2032}\u{2032}",
        "sec",
    ],
];

/// Degrees, minutes and seconds, the last of them with a decimal mark or not.
fn parts_of(text: &str) -> Result<Vec<f64>, String> {
    let unclear = || "it is no number, and no degrees, minutes and seconds".to_owned();
    let mut parts = Vec::new();
    let mut rest = text;
    for marks in MARKS {
        let digits = rest
            .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','))
            .unwrap_or(rest.len());
        let (number, after) = rest.split_at(digits);
        let number = number.replace(',', ".");
        if !number.starts_with(|c: char| c.is_ascii_digit()) || number.len() > 24 {
            return Err(unclear());
        }
        if parts.last().is_some_and(|part: &f64| part.fract() != 0.0) {
            return Err("only the last of its numbers can have decimals".to_owned());
        }
        parts.push(plain(&number).ok_or_else(unclear)?);
        let after_blank = after.trim_start();
        // The longest first: two single quotes stand for a double one.
        let mark =
            marks.iter().filter(|mark| after_blank.starts_with(**mark)).max_by_key(|m| m.len());
        rest = match mark {
            Some(mark) => after_blank[mark.len()..].trim_start(),
            None if after.is_empty() || after_blank.len() < after.len() => after_blank,
            None => return Err(unclear()),
        };
        if rest.is_empty() {
            return Ok(parts);
        }
    }
    Err(unclear())
}

/// How many decimals a plain number has; `None` for anything else.
pub(super) fn decimals_of(text: &str) -> Option<usize> {
    plain(text)?;
    if text.contains(['e', 'E']) {
        return None;
    }
    Some(text.split_once('.').map_or(0, |(_, decimals)| decimals.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn degrees_read_the_same_however_they_are_written() {
        for text in [
            "39°59'40.305\"N",
            "39º59'40.305\"N",
            "39˚ 59’ 40.305” N",
            "39° 59′ 40,305″ n",
            "N 39 59 40.305",
            "N 39 59.67175",
            "39 59.67175 N",
            "39°59.67175'",
            "39:59:40.305",
            "+39 59 40.305",
            "39 deg 59 min 40.305 sec",
            "39°59'40.305''N",
        ] {
            let read = read_degrees(text, Axis::Lat).unwrap_or_else(|why| panic!("{text}: {why}"));
            assert!((read - 39.994_529_2).abs() <= 1e-7, "{text}: {read}");
        }
        for text in ["89°00'08.049\"W", "89 0 8.049 W", "W89°0.134150'", "-89°00'08.049\""] {
            let read = read_degrees(text, Axis::Lon).unwrap();
            assert!((read + 89.002_235_8).abs() <= 1e-7, "{text}: {read}");
        }
    }

    #[test]
    fn no_degrees_keep_their_sign() {
        assert_eq!(read_degrees("0°30'S", Axis::Lat), Ok(-0.5));
        assert_eq!(read_degrees("0°30'W", Axis::Lon), Ok(-0.5));
        assert_eq!(read_degrees("-0°30'", Axis::Lon), Ok(-0.5));
        assert_eq!(read_degrees("0.5°E", Axis::Lon), Ok(0.5));
    }

    #[test]
    fn what_contradicts_itself_is_no_coordinate() {
        for (text, part) in [
            ("-39°59'S", "both a minus"),
            ("39°60'N", "minutes are 60"),
            ("39°59'60\"N", "seconds are 60"),
            ("39°59'E", "the other coordinate"),
            ("N39°59'N", "two letters"),
            ("39.5°30'N", "only the last"),
            ("91°N", "beyond 90"),
            ("3959.67175N", "beyond 90"),
            ("39°59'40.305\"12N", "no number"),
            ("39°N59'", "no number"),
            ("north", "no number"),
            ("°", "no number"),
            ("39'59\"N", "no number"),
            ("39.9945293O", "no number"),
        ] {
            let why = read_degrees(text, Axis::Lat).unwrap_err();
            assert!(why.contains(part), "{text}: {why}");
        }
    }

    #[test]
    fn decimals_are_counted_as_written() {
        assert_eq!(decimals_of("39.994"), Some(3));
        assert_eq!(decimals_of("-89"), Some(0));
        assert_eq!(decimals_of("39°59'N"), None);
    }

    proptest::proptest! {
        #[test]
        fn no_text_makes_the_reader_fall(text in "[-+0-9 .,:NSEWnsew°º’'\"”dm\u{2032}]{0,16}|.{0,12}") {
            let _ = crate::inputs::samples::cell::why_no_number(&text);
            if let Ok(degrees) = read_degrees(&text, Axis::Lat) {
                proptest::prop_assert!(degrees.is_finite());
            }
        }
    }
}
