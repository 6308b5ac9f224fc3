//! The log of a field meter held against limits: its slope, its readings of buffer solutions, how
//! they drift and its temperature; and which samples each fault touches. No reading is changed.
//!
//! A log knows when a thing was found, not when it began. A fault therefore touches every sample
//! that was read between the entries of its kind before and after it.

/// What an entry of a log is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LogKind {
    /// The meter was set anew; what it reads of a buffer is read after that.
    Calibration,
    /// The meter was only looked at.
    Check,
}

impl LogKind {
    /// Both, in the order in which they are listed to a user.
    pub const ALL: [Self; 2] = [Self::Calibration, Self::Check];

    /// As logs write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Calibration => "calibration",
            Self::Check => "check",
        }
    }
}

/// What a meter read of a buffer solution, in pH.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BufferCheck {
    /// The pH that the solution has.
    pub nominal: f64,
    /// The pH that the meter read.
    pub read: f64,
}

impl BufferCheck {
    /// How much more than the solution has the meter read.
    pub fn off(self) -> f64 {
        self.read - self.nominal
    }
}

/// An entry of a log; `T` is when it was made.
#[derive(Clone, Debug, PartialEq)]
pub struct LogEntry<T> {
    /// When.
    pub at: T,
    /// What it is.
    pub kind: LogKind,
    /// A buffer solution that was read.
    pub buffer: Option<BufferCheck>,
    /// The slope of the electrode, in percent of the theoretical one.
    pub slope_percent: Option<f64>,
    /// The temperature from then on, in degrees Celsius.
    pub temperature_c: Option<f64>,
}

/// The limits beyond which an entry is told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LogLimits {
    /// The least and the greatest slope, in percent.
    pub slope_percent: [f64; 2],
    /// How far a reading of a buffer may lie from its nominal pH.
    pub buffer_within: f64,
    /// How far what a meter reads of one buffer may move between two checks, in pH.
    pub drift_within: f64,
    /// How far the temperature may lie from that of the calibration, in degrees Celsius.
    pub temperature_within_c: f64,
}

impl LogLimits {
    /// What is taken where a job states nothing.
    ///
    /// Buffers within 0.05 pH and temperatures within 2 °C: Method 9045, Soil pH, of Test Methods
    /// for Evaluating Solid Waste (SW-846), U.S. Environmental Protection Agency, steps 7.1.2 and
    /// 7.2.4. A slope of 95 to 105 % is common practice, no source; so is a drift of 0.1, by
    /// which two readings may differ that are each within 0.05 of the buffer.
    pub const USUAL: Self = Self {
        slope_percent: [95.0, 105.0],
        buffer_within: 0.05,
        drift_within: 0.1,
        temperature_within_c: 2.0,
    };
}

/// What a log tells; entries are named by their places in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LogFault {
    /// A slope outside its limits.
    Slope {
        /// The entry.
        entry: usize,
        /// The slope.
        percent: f64,
    },
    /// A buffer that was read too far off.
    Buffer {
        /// The entry.
        entry: usize,
        /// What was read.
        check: BufferCheck,
    },
    /// A buffer that was read otherwise than before.
    Drift {
        /// The entry before.
        from: usize,
        /// The entry.
        to: usize,
        /// The pH of the buffer.
        nominal: f64,
        /// By how much the reading moved.
        moved: f64,
    },
    /// A temperature too far from that of the calibration.
    Temperature {
        /// The entry.
        entry: usize,
        /// The calibration before it.
        calibration: usize,
        /// By how much it is warmer.
        warmer_c: f64,
    },
}

/// A fault of a log, and the samples that it touches.
#[derive(Clone, Debug, PartialEq)]
pub struct Touched {
    /// The fault.
    pub fault: LogFault,
    /// The samples, by their places.
    pub samples: Vec<usize>,
}

/// A log held against its limits.
#[derive(Clone, Debug, PartialEq)]
pub struct LogCheck {
    /// Its faults: those of the slope first, then of buffers, drift and temperature.
    pub faults: Vec<Touched>,
    /// Samples that were read before its first buffer.
    pub before: Vec<usize>,
    /// Samples that were read after its last one.
    pub after: Vec<usize>,
}

/// A rounding error is no fault.
const SLACK: f64 = 1e-9;

impl LogCheck {
    /// Holds `log`, in the order of time, against `limits`; `read_at` is when each sample was read.
    ///
    /// Without a buffer in the log every sample is one before the first.
    pub fn of<T: Ord>(log: &[LogEntry<T>], read_at: &[Option<T>], limits: &LogLimits) -> Self {
        let whole = Held { log, read_at };
        let mut faults = whole.slopes(limits.slope_percent);
        faults.extend(whole.buffers(limits.buffer_within));
        faults.extend(whole.drifts(limits.drift_within));
        faults.extend(whole.temperatures(limits.temperature_within_c));
        let mut buffers = log.iter().filter(|entry| entry.buffer.is_some());
        let first = buffers.next();
        let last = buffers.next_back().or(first);
        let before = whole.read(|at| first.is_none_or(|entry| *at < entry.at));
        let after = whole.read(|at| last.is_some_and(|entry| *at > entry.at));
        Self { faults, before, after }
    }
}

/// A log and the samples that are held against it.
struct Held<'a, T> {
    log: &'a [LogEntry<T>],
    read_at: &'a [Option<T>],
}

impl<T: Ord> Held<'_, T> {
    /// The samples that were read when `is_within` says.
    fn read(&self, is_within: impl Fn(&T) -> bool) -> Vec<usize> {
        let is_read = |at: &Option<T>| at.as_ref().is_some_and(&is_within);
        (0..self.read_at.len()).filter(|&sample| is_read(&self.read_at[sample])).collect()
    }

    /// The samples from one entry to another, both included; without end where one is missing.
    fn between(&self, from: Option<usize>, to: Option<usize>) -> Vec<usize> {
        self.read(|at| {
            from.is_none_or(|entry| *at >= self.log[entry].at)
                && to.is_none_or(|entry| *at <= self.log[entry].at)
        })
    }

    /// The entries of which `has` holds.
    fn entries(&self, has: impl Fn(&LogEntry<T>) -> bool) -> Vec<usize> {
        (0..self.log.len()).filter(|&entry| has(&self.log[entry])).collect()
    }

    /// The nearest of `entries` that was made before `entry`, and the nearest after it. Those of the
    /// same moment are neither.
    fn around(&self, entries: &[usize], entry: usize) -> [Option<usize>; 2] {
        let at = &self.log[entry].at;
        let before = entries.iter().rev().find(|&&other| self.log[other].at < *at);
        let after = entries.iter().find(|&&other| self.log[other].at > *at);
        [before.copied(), after.copied()]
    }

    fn slopes(&self, [least, most]: [f64; 2]) -> Vec<Touched> {
        let entries = self.entries(|entry| entry.slope_percent.is_some());
        let found = entries.iter().filter_map(|&entry| {
            let percent = self.log[entry].slope_percent?;
            let is_within = (least - SLACK..=most + SLACK).contains(&percent);
            let [before, after] = self.around(&entries, entry);
            let fault = LogFault::Slope { entry, percent };
            (!is_within).then(|| Touched { fault, samples: self.between(before, after) })
        });
        found.collect()
    }

    fn buffers(&self, within: f64) -> Vec<Touched> {
        let entries = self.entries(|entry| entry.buffer.is_some());
        let found = entries.iter().filter_map(|&entry| {
            let check = self.log[entry].buffer?;
            let [before, after] = self.around(&entries, entry);
            // What is read after the meter was set says nothing of the samples before that.
            let is_set = self.log[entry].kind == LogKind::Calibration;
            let from = if is_set { Some(entry) } else { before };
            let fault = LogFault::Buffer { entry, check };
            (check.off().abs() > within + SLACK)
                .then(|| Touched { fault, samples: self.between(from, after) })
        });
        found.collect()
    }

    /// Two readings of one buffer, and no calibration from the one to the other.
    fn drifts(&self, within: f64) -> Vec<Touched> {
        let mut found = Vec::new();
        for (to, entry) in self.log.iter().enumerate() {
            let Some(check) = entry.buffer.filter(|_| entry.kind == LogKind::Check) else {
                continue;
            };
            let is_same = |&(_, other): &(usize, &LogEntry<T>)| {
                other.buffer.is_some_and(|other| (other.nominal - check.nominal).abs() < SLACK)
            };
            let Some((from, earlier)) = self.log[..to].iter().enumerate().rev().find(is_same)
            else {
                continue;
            };
            let Some(before) = earlier.buffer else { continue };
            let set_anew = self.log[self.end_of_setting(from)..to]
                .iter()
                .any(|other| other.kind == LogKind::Calibration);
            let moved = check.off() - before.off();
            if !set_anew && moved.abs() > within + SLACK {
                let fault = LogFault::Drift { from, to, nominal: check.nominal, moved };
                found.push(Touched { fault, samples: self.between(Some(from), Some(to)) });
            }
        }
        found
    }

    /// The entry behind the calibration that `from` is part of: the other buffers that the meter was
    /// set by, one after another, until one of them comes again. The next entry where `from` is a
    /// check.
    fn end_of_setting(&self, from: usize) -> usize {
        if self.log[from].kind == LogKind::Check {
            return from + 1;
        }
        let nominal = |entry: &LogEntry<T>| entry.buffer.map(|check| check.nominal);
        let mut set_by = vec![nominal(&self.log[from])];
        let others = self.log[from + 1..].iter().take_while(|entry| {
            let other = nominal(entry);
            let is_part = entry.kind == LogKind::Calibration && !set_by.contains(&other);
            set_by.push(other);
            is_part
        });
        from + 1 + others.count()
    }

    /// A temperature holds until the next; it is held against that of the last calibration that has
    /// one.
    fn temperatures(&self, within_c: f64) -> Vec<Touched> {
        let mut found = Vec::new();
        let mut set_at: Option<(usize, f64)> = None;
        let entries = self.entries(|entry| entry.temperature_c.is_some());
        for &entry in &entries {
            let Some(celsius) = self.log[entry].temperature_c else { continue };
            if self.log[entry].kind == LogKind::Calibration {
                set_at = Some((entry, celsius));
            }
            let Some((calibration, then_c)) = set_at else { continue };
            let warmer_c = celsius - then_c;
            if warmer_c.abs() > within_c + SLACK {
                let [_, after] = self.around(&entries, entry);
                let fault = LogFault::Temperature { entry, calibration, warmer_c };
                found.push(Touched { fault, samples: self.between(Some(entry), after) });
            }
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(at: u32, kind: LogKind) -> LogEntry<u32> {
        LogEntry { at, kind, buffer: None, slope_percent: None, temperature_c: None }
    }

    fn buffer(at: u32, kind: LogKind, nominal: f64, read: f64) -> LogEntry<u32> {
        LogEntry { buffer: Some(BufferCheck { nominal, read }), ..entry(at, kind) }
    }

    fn held(log: &[LogEntry<u32>], samples: &[u32]) -> LogCheck {
        let read_at: Vec<Option<u32>> = samples.iter().copied().map(Some).collect();
        LogCheck::of(log, &read_at, &LogLimits::USUAL)
    }

    use LogKind::{Calibration, Check};

    #[test]
    fn a_log_within_its_limits_tells_nothing() {
        let slope = LogEntry { slope_percent: Some(95.0), ..entry(0, Calibration) };
        let warm = LogEntry { temperature_c: Some(20.0), ..slope };
        let cool = LogEntry { temperature_c: Some(18.0), ..buffer(9, Check, 7.0, 7.05) };
        let log = [warm, buffer(0, Calibration, 7.0, 7.0), cool];
        let check = held(&log, &[0, 5, 9]);
        assert_eq!(check, LogCheck { faults: vec![], before: vec![], after: vec![] });
    }

    #[test]
    fn a_slope_touches_the_samples_between_the_slopes_around_it() {
        let slope = |at, percent| LogEntry { slope_percent: Some(percent), ..entry(at, Check) };
        let log = [slope(10, 99.0), slope(20, 94.9), slope(30, 105.1), slope(40, 100.0)];
        let check = held(&log, &[5, 15, 25, 35, 45]);
        assert_eq!(
            check.faults,
            [
                Touched { fault: LogFault::Slope { entry: 1, percent: 94.9 }, samples: vec![1, 2] },
                Touched {
                    fault: LogFault::Slope { entry: 2, percent: 105.1 },
                    samples: vec![2, 3]
                },
            ]
        );
        let alone = held(&log[1..2], &[5, 15, 25]);
        assert_eq!(alone.faults[0].samples, [0, 1, 2], "nothing bounds it");
    }

    #[test]
    fn a_buffer_off_touches_both_sides_of_a_check_and_one_of_a_calibration() {
        let log = [
            buffer(10, Calibration, 7.0, 7.0),
            buffer(20, Check, 7.0, 7.06),
            buffer(30, Calibration, 7.0, 6.94),
            buffer(40, Check, 7.0, 7.0),
        ];
        let check = held(&log, &[15, 25, 35]);
        let touched: Vec<(LogFault, Vec<usize>)> =
            check.faults.into_iter().map(|one| (one.fault, one.samples)).collect();
        let off =
            |entry, read| LogFault::Buffer { entry, check: BufferCheck { nominal: 7.0, read } };
        assert_eq!(touched, [(off(1, 7.06), vec![0, 1]), (off(2, 6.94), vec![2])]);
    }

    #[test]
    fn a_drift_touches_all_between_two_checks_of_one_buffer() {
        let log = [
            buffer(10, Calibration, 4.0, 4.04),
            buffer(10, Calibration, 7.0, 7.0),
            buffer(20, Check, 7.0, 7.02),
            buffer(20, Check, 4.0, 3.92),
            buffer(30, Calibration, 4.0, 4.0),
            buffer(40, Check, 4.0, 4.05),
        ];
        let wide = LogLimits { buffer_within: 1.0, ..LogLimits::USUAL };
        let read_at: Vec<Option<u32>> = [10, 15, 20, 25, 35].map(Some).to_vec();
        let check = LogCheck::of(&log, &read_at, &wide);
        assert_eq!(check.faults.len(), 1, "{:?}", check.faults);
        let LogFault::Drift { from: 0, to: 3, nominal, moved } = check.faults[0].fault else {
            panic!("{:?}", check.faults)
        };
        assert!((nominal - 4.0).abs() < 1e-12 && (moved + 0.12).abs() < 1e-9);
        assert_eq!(check.faults[0].samples, [0, 1, 2], "both ends are included");
        // A calibration between two readings of a buffer parts them.
        let other =
            [log[0].clone(), log[1].clone(), buffer(15, Calibration, 7.0, 7.0), log[3].clone()];
        assert!(LogCheck::of(&other, &read_at, &wide).faults.is_empty());
        let exact = LogLimits { drift_within: 0.12, ..wide };
        assert!(LogCheck::of(&log, &read_at, &exact).faults.is_empty(), "the limit itself");
    }

    #[test]
    fn a_temperature_is_held_against_that_of_the_last_calibration() {
        let at = |at, kind, celsius| LogEntry { temperature_c: Some(celsius), ..entry(at, kind) };
        let log = [
            at(5, Check, 40.0),
            at(10, Calibration, 20.0),
            at(20, Check, 17.9),
            entry(25, Check),
            at(30, Calibration, 18.0),
            at(40, Check, 19.0),
        ];
        let check = held(&log, &[15, 22, 28, 35]);
        assert_eq!(check.faults.len(), 1);
        let LogFault::Temperature { entry: 2, calibration: 1, warmer_c } = check.faults[0].fault
        else {
            panic!("{:?}", check.faults)
        };
        assert!((warmer_c + 2.1).abs() < 1e-9);
        assert_eq!(check.faults[0].samples, [1, 2]);
    }

    #[test]
    fn samples_outside_the_buffers_of_a_log_are_told_apart() {
        let log = [entry(1, Check), buffer(10, Check, 7.0, 7.0), buffer(20, Check, 7.0, 7.0)];
        let check = held(&log, &[5, 10, 15, 20, 25]);
        assert_eq!((check.before, check.after), (vec![0], vec![4]));
        let without = held(&log[..1], &[5, 25]);
        assert_eq!((without.before, without.after), (vec![0, 1], vec![]));
        let unknown = LogCheck::of(&log, &[None, Some(30)], &LogLimits::USUAL);
        assert_eq!(
            (unknown.before, unknown.after),
            (vec![], vec![1]),
            "without a time nothing is said"
        );
    }
}
