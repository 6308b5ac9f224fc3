//! Over how many applications the need is spread, how it is shared, and when they are.

use super::check::Checker;
use super::file::JobFile;
use super::written::At;
use crate::findings::Problem;
use crate::machine::Split;

/// How many applications there are unless the job says otherwise.
pub(super) const APPLICATIONS: u32 = 1;

/// The most applications that a need is spread over (ours).
const MOST_APPLICATIONS: u32 = 10;

/// Over how many applications a job spreads the need.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GoingOver {
    /// How many there are.
    pub count: u32,
    /// How a rate is shared among them.
    pub split: Split,
}

impl Checker<'_> {
    pub(super) fn going_over(&mut self, file: &JobFile) -> Option<GoingOver> {
        let table = file.spreader.as_ref().map(|table| &table.value);
        let words = Split::ALL.map(Split::words);
        let split = match table.and_then(|table| table.split.as_ref()) {
            None => Some(Split::Equal),
            Some(written) => self
                .one_of("spreader.split", Some(written), &words)
                .and_then(|word| Split::ALL.into_iter().find(|split| split.words() == word)),
        };
        let stated = table.and_then(|table| table.applications.as_ref());
        let count = match stated {
            None => APPLICATIONS,
            Some(At { value, .. }) if (1..=MOST_APPLICATIONS).contains(value) => *value,
            Some(At { value, span }) => {
                let what = format!("`spreader.applications` is {value}");
                let problem = Problem::at(self.text.place(span), what)
                    .allowed(format!("a whole number from 1 to {MOST_APPLICATIONS}"))
                    .hint("sample again before the need is spread over more than that");
                self.problems.push(problem);
                return None;
            }
        };
        self.as_many_days(file, count);
        Some(GoingOver { count, split: split? })
    }

    /// The days of the applications after the first, each after the one before it.
    pub(super) fn further_days(&mut self, file: &JobFile) -> Vec<String> {
        let table = file.dates.as_ref().map(|table| &table.value);
        let Some(further) = table.and_then(|table| table.further_spread.as_ref()) else {
            return Vec::new();
        };
        let first = table.and_then(|table| table.spread.as_ref());
        if first.is_none() {
            let what = "`dates.further_spread` has days, and there is no first one";
            let problem = Problem::at(self.text.place(&further.span), what)
                .allowed("the days of the applications after the one on `dates.spread`")
                .hint("state `dates.spread`, the day of the first application");
            self.problems.push(problem);
        }
        let days = first.into_iter().chain(&further.value);
        let dates: Vec<_> = days.map(|day| (day, day.value.0.date)).collect();
        for pair in dates.windows(2) {
            if pair[1].1 <= pair[0].1 {
                let (day, before) = (&pair[1].0.value.0, &pair[0].0.value.0);
                let what = format!("an application on {day} follows one on {before}");
                let problem = Problem::at(self.text.place(&pair[1].0.span), what)
                    .allowed("days in their order, each later than the one before it")
                    .hint("put the days of `dates.further_spread` in order, after `dates.spread`");
                self.problems.push(problem);
            }
        }
        let days = further.value.iter();
        days.filter_map(|day| self.day("dates.further_spread", Some(day))).collect()
    }

    fn as_many_days(&mut self, file: &JobFile, count: u32) {
        let table = file.dates.as_ref().map(|table| &table.value);
        let Some(further) = table.and_then(|table| table.further_spread.as_ref()) else { return };
        let (given, wanted) = (further.value.len(), count as usize - 1);
        if given != wanted {
            let what = format!(
                "`dates.further_spread` has {given} of the days after the first, for \
                 `spreader.applications = {count}`"
            );
            let problem = Problem::at(self.text.place(&further.span), what)
                .allowed(format!("{wanted} of them, one for each application after the first"))
                .hint("correct the days or the number of applications");
            self.problems.push(problem);
        }
    }
}
