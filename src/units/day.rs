//! Days of the calendar.

use time::{Date, Duration, Month};

/// A day of the Gregorian calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(Date);

/// A day of the week.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weekday {
    /// Monday.
    Monday,
    /// Tuesday.
    Tuesday,
    /// Wednesday.
    Wednesday,
    /// Thursday.
    Thursday,
    /// Friday.
    Friday,
    /// Saturday.
    Saturday,
    /// Sunday.
    Sunday,
}

impl Weekday {
    /// All of them, from Monday.
    pub const ALL: [Self; 7] = [
        Self::Monday,
        Self::Tuesday,
        Self::Wednesday,
        Self::Thursday,
        Self::Friday,
        Self::Saturday,
        Self::Sunday,
    ];

    /// As files write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Monday => "monday",
            Self::Tuesday => "tuesday",
            Self::Wednesday => "wednesday",
            Self::Thursday => "thursday",
            Self::Friday => "friday",
            Self::Saturday => "saturday",
            Self::Sunday => "sunday",
        }
    }
}

impl Day {
    /// The day written `2026-10-20`; `None` where there is no such day.
    pub fn from_words(words: &str) -> Option<Self> {
        let mut parts = words.trim().split('-');
        let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
        if parts.next().is_some() {
            return None;
        }
        let month = Month::try_from(month.parse::<u8>().ok()?).ok()?;
        Date::from_calendar_date(year.parse().ok()?, month, day.parse().ok()?).ok().map(Self)
    }

    /// So many days later; `None` beyond the year 9999.
    #[must_use]
    pub fn after(self, days: u32) -> Option<Self> {
        self.0.checked_add(Duration::days(i64::from(days))).map(Self)
    }

    /// Its day of the week.
    pub fn weekday(self) -> Weekday {
        Weekday::ALL[usize::from(self.0.weekday().number_days_from_monday())]
    }
}

impl std::fmt::Display for Day {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (year, month, day) = self.0.to_calendar_date();
        write!(f, "{year:04}-{:02}-{day:02}", u8::from(month))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_read_and_written_and_know_their_weekday() {
        let day = Day::from_words("2026-10-20").expect("a day");
        assert_eq!((day.to_string().as_str(), day.weekday()), ("2026-10-20", Weekday::Tuesday));
        assert_eq!(day.after(12).expect("a day").to_string(), "2026-11-01");
        assert_eq!(
            Day::from_words("2028-02-29").expect("a day").after(1).unwrap().to_string(),
            "2028-03-01"
        );
        for none in ["2026-02-29", "2026-13-01", "2026-10", "20.10.2026", "2026-10-20-1"] {
            assert_eq!(Day::from_words(none), None, "{none}");
        }
    }
}
