//! When a meter read something: a local date and time, or a running number.

use std::fmt;

use toml::value::Datetime;

/// When a meter read something. Two can be compared where they are of one kind.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Moment {
    /// A local date and time, as `2026-09-18T10:32:00`: the order of the texts is that of time.
    Time(String),
    /// A running number.
    Order(u64),
}

impl Moment {
    /// What may stand in a cell.
    pub(super) const ALLOWED: &'static str =
        "a local date and time such as 2026-09-18T10:32, or a running number";

    /// Reads a cell.
    ///
    /// # Errors
    /// Returns in words why the text is neither.
    pub(super) fn read(text: &str) -> Result<Self, String> {
        if !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit()) {
            let number = text.parse::<u64>().ok();
            let number = number.ok_or_else(|| format!("`{text}` is too great a number"))?;
            return Ok(Self::Order(number));
        }
        let names_a_zone = text
            .split_once(['T', 't', ' '])
            .is_some_and(|(_, time)| time.contains(['Z', 'z', '+', '-']));
        if names_a_zone {
            return Err(format!("`{text}` names a time zone, or is no date and time"));
        }
        // Seconds may be left out.
        let with_seconds = format!("{text}:00");
        let parsed = |text: &str| text.parse::<Datetime>().ok();
        let found =
            if text.matches(':').count() == 1 { parsed(&with_seconds) } else { parsed(text) };
        let Some(found) = found else {
            return Err(format!("`{text}` is no date and time, and no running number"));
        };
        match (found.date, found.time) {
            (Some(_), Some(_)) => Ok(Self::Time(found.to_string())),
            (None, _) => Err(format!("`{text}` has no date")),
            (_, None) => Err(format!("`{text}` has no time of day")),
        }
    }

    /// What kind of moment it is, in words.
    pub(super) fn kind(&self) -> &'static str {
        match self {
            Self::Time(_) => "a date and time",
            Self::Order(_) => "a running number",
        }
    }

    /// Whether two can be compared.
    pub(super) fn is_like(&self, other: &Self) -> bool {
        self.kind() == other.kind()
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Time(text) => {
                let text = text.replacen('T', " ", 1);
                f.write_str(text.strip_suffix(":00").unwrap_or(&text))
            }
            Self::Order(number) => write!(f, "number {number}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn local_times_and_running_numbers_are_read_and_come_in_order() {
        let read = |text: &str| Moment::read(text).expect(text);
        let times = [
            "2026-09-09T23:59:59",
            "2026-09-18 09:05",
            "2026-09-18T10:32",
            "2026-09-18T10:32:00.5",
        ];
        assert!(times.map(read).windows(2).all(|pair| pair[0] < pair[1]));
        assert_eq!(read("2026-09-18 10:32"), read("2026-09-18T10:32:00"));
        assert_eq!(read("2026-09-18T10:32").to_string(), "2026-09-18 10:32");
        assert_eq!(read("2026-09-18T10:32:07").to_string(), "2026-09-18 10:32:07");
        assert!(read("9") < read("10"));
        assert_eq!(read("10").to_string(), "number 10");
        assert!(!read("10").is_like(&read("2026-09-18T10:32")));
    }

    #[test]
    fn what_is_no_moment_says_why() {
        for (text, why) in [
            ("2026-09-18T10:32:00Z", "names a time zone"),
            ("2026-09-18T10:32Z", "names a time zone"),
            ("2026-09-18 10:32+02:00", "names a time zone"),
            ("2026-09-18T10:32:00+02:00", "names a time zone"),
            ("2026-09-18", "has no time of day"),
            ("10:32", "has no date"),
            ("2026-02-30T10:00", "is no date and time"),
            ("9/18/2026 10:32", "is no date and time"),
            ("12.5", "is no date and time, and no running number"),
            ("-3", "is no date and time, and no running number"),
            ("99999999999999999999", "too great"),
        ] {
            let said = Moment::read(text).expect_err(text);
            assert!(said.contains(why), "{said}");
        }
    }
}
