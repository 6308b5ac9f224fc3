//! What the values of a column are, and how they read as text.

use super::thrift::Value;

/// What the values of a column are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Bool,
    /// Whole numbers of four or eight bytes.
    Whole {
        bytes: usize,
        meaning: Meaning,
    },
    Float,
    Double,
    Bytes,
    Text,
    /// Anything else; it is left out.
    NotRead,
}

/// What a whole number stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Meaning {
    Number,
    Unsigned,
    /// Days since 1970-01-01.
    Day,
    /// Parts of a second since the start of that day, so many to the second; in UTC or a local time.
    Moment {
        per_second: i64,
        utc: bool,
    },
    /// A decimal fraction with so many decimals.
    Decimal {
        decimals: usize,
    },
}

/// A value.
#[derive(Clone, Debug)]
pub(super) enum Cell {
    Bool(bool),
    Whole(i64),
    Float(f32),
    Double(f64),
    Bytes(Vec<u8>),
}

impl Cell {
    /// The bytes that it takes beyond its own.
    pub(super) fn bytes(&self) -> usize {
        if let Self::Bytes(bytes) = self { bytes.len() } else { 0 }
    }
}

/// What the values of the column are that this element of the schema describes.
pub(super) fn kind_of(element: &Value<'_>) -> Kind {
    let converted = element.whole(6);
    let logical = element.field(10);
    let is_logical = |number| logical.is_some_and(|logical| logical.field(number).is_some());
    let bytes = match element.whole(1) {
        Some(0) => return Kind::Bool,
        Some(1) => 4,
        Some(2) => 8,
        Some(4) => return Kind::Float,
        Some(5) => return Kind::Double,
        Some(6) if matches!(converted, Some(0 | 4 | 19)) || is_logical(1) || is_logical(4) => {
            return Kind::Text;
        }
        Some(6) if converted.is_none() => return Kind::Bytes,
        _ => return Kind::NotRead,
    };
    let moment = logical.and_then(|logical| logical.field(8)).and_then(|moment| {
        let unit = moment.field(2)?;
        let units = [(1, 1_000), (2, 1_000_000), (3, 1_000_000_000)];
        let per_second = units.iter().find(|(number, _)| unit.field(*number).is_some())?.1;
        Some(Meaning::Moment { per_second, utc: moment.flag(1).unwrap_or(false) })
    });
    let meaning = match converted {
        _ if moment.is_some() => moment,
        Some(6) => Some(Meaning::Day),
        Some(9) => Some(Meaning::Moment { per_second: 1_000, utc: true }),
        Some(10) => Some(Meaning::Moment { per_second: 1_000_000, utc: true }),
        Some(11..=14) => Some(Meaning::Unsigned),
        None if is_logical(6) => Some(Meaning::Day),
        // Signed numbers, and those of which nothing is said.
        Some(15..=18) => Some(Meaning::Number),
        None if logical.is_none() || is_logical(10) => Some(Meaning::Number),
        Some(5) => element
            .whole(7)
            .map_or(Some(0), |scale| usize::try_from(scale).ok().filter(|scale| *scale <= 18))
            .map(|decimals| Meaning::Decimal { decimals }),
        _ => None,
    };
    meaning.map_or(Kind::NotRead, |meaning| Kind::Whole { bytes, meaning })
}

/// A value as text; `damaged` counts texts with characters that cannot be read.
pub(super) fn text_of(cell: &Cell, kind: Kind, damaged: &mut usize) -> String {
    match (cell, kind) {
        (Cell::Bool(value), _) => value.to_string(),
        (Cell::Float(value), _) => value.to_string(),
        (Cell::Double(value), _) => value.to_string(),
        (Cell::Bytes(bytes), _) => {
            *damaged += usize::from(std::str::from_utf8(bytes).is_err());
            String::from_utf8_lossy(bytes).into_owned()
        }
        (Cell::Whole(number), Kind::Whole { bytes, meaning }) => {
            whole_text(*number, bytes, meaning)
        }
        (Cell::Whole(number), _) => number.to_string(),
    }
}

fn whole_text(number: i64, bytes: usize, meaning: Meaning) -> String {
    match meaning {
        Meaning::Number | Meaning::Decimal { decimals: 0 } => number.to_string(),
        Meaning::Unsigned if bytes == 4 => (number as u32).to_string(),
        Meaning::Unsigned => number.cast_unsigned().to_string(),
        Meaning::Day => day_text(number),
        Meaning::Moment { per_second, utc } => {
            let (seconds, parts) = (number.div_euclid(per_second), number.rem_euclid(per_second));
            let (day, second) = (seconds.div_euclid(86_400), seconds.rem_euclid(86_400));
            let (hour, minute) = (second / 3600, second / 60 % 60);
            let width = per_second.ilog10() as usize;
            let parts = format!(".{parts:0width$}");
            format!(
                "{}T{hour:02}:{minute:02}:{:02}{}{}",
                day_text(day),
                second % 60,
                parts.trim_end_matches('0').trim_end_matches('.'),
                if utc { "Z" } else { "" }
            )
        }
        Meaning::Decimal { decimals } => {
            let digits = format!("{:0width$}", number.unsigned_abs(), width = decimals + 1);
            let (whole, part) = digits.split_at(digits.len() - decimals);
            format!("{}{whole}.{part}", if number < 0 { "-" } else { "" })
        }
    }
}

/// The date of a day counted from 1970-01-01, in the Gregorian calendar: years of 365 days, less
/// and more days by the rules for leap years, with March as the first month.
fn day_text(days: i64) -> String {
    // Days from 0000-03-01 to 1970-01-01; 400 years have 146,097 days.
    let day = i128::from(days) + 719_468;
    let (era, of_era) = (day.div_euclid(146_097), day.rem_euclid(146_097));
    let year = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year + year / 4 - year / 100);
    let month = (5 * of_year + 2) / 153;
    let date = of_year - (153 * month + 2) / 5 + 1;
    let (month, next) = if month < 10 { (month + 3, 0) } else { (month - 9, 1) };
    format!("{:04}-{month:02}-{date:02}", year + era * 400 + next)
}
