//! What a field meter reads against what a laboratory reads of the same samples: how far apart they
//! are, and what corrects the one to the other. Least squares and their standard errors.

/// The fewest pairs by which an offset is applied (ours: with fewer the standard error of a mean is
/// hardly known itself).
pub const OFFSET_PAIRS: usize = 5;

/// The fewest pairs by which a line is applied (ours: six degrees of freedom are left).
pub const LINE_PAIRS: usize = 8;

/// The least span of the meter's readings over which a line is applied, in pH (ours: over less, the
/// slope is mostly the error of single readings).
pub const LINE_SPAN: f64 = 1.0;

/// The mean difference beyond which a meter is told to lie far from the laboratory, in pH (ours: a
/// tenth of the hydrogen ions, or ten times as many).
pub const FAR_OFFSET: f64 = 1.0;

/// By what the readings of a meter are corrected.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Correction {
    /// The mean difference is added.
    Offset,
    /// The laboratory's pH on the least-squares line over the meter's.
    Line,
}

impl Correction {
    /// Both, in the order in which they are listed to a user.
    pub const ALL: [Self; 2] = [Self::Offset, Self::Line];

    /// As job files write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Offset => "offset",
            Self::Line => "line",
        }
    }
}

/// A meter held against a laboratory. All numbers are pH.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeterCheck {
    /// How many pairs.
    pub pairs: usize,
    /// Lowest and highest reading of the meter.
    pub meter_range: [f64; 2],
    /// The mean of laboratory less meter.
    pub offset: f64,
    /// The standard deviation of one difference and the standard error of their mean; `None` for
    /// one pair.
    pub offset_errors: Option<[f64; 2]>,
    /// `None` where fewer than three pairs, or one reading of the meter, leave it unknown.
    pub line: Option<MeterLine>,
}

/// `laboratory = intercept + slope * meter`
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeterLine {
    /// The laboratory's pH where the meter reads 0.
    pub intercept: f64,
    /// pH of the laboratory per pH of the meter.
    pub slope: f64,
    /// The standard error of the intercept.
    pub intercept_error: f64,
    /// The standard error of the slope.
    pub slope_error: f64,
    /// The residual standard error, on two degrees of freedom less than there are pairs.
    pub residual_error: f64,
}

impl MeterCheck {
    /// Holds pairs of meter and laboratory against each other; `None` where there are none.
    pub fn of(pairs: &[[f64; 2]]) -> Option<Self> {
        let count = count_of(pairs.len());
        let [low, high] = pairs.iter().fold([f64::INFINITY, f64::NEG_INFINITY], |ends, pair| {
            [ends[0].min(pair[0]), ends[1].max(pair[0])]
        });
        if pairs.is_empty() {
            return None;
        }
        let mean = |of: fn(&[f64; 2]) -> f64| pairs.iter().map(of).sum::<f64>() / count;
        let (meter, lab) = (mean(|pair| pair[0]), mean(|pair| pair[1]));
        let offset = mean(|pair| pair[1] - pair[0]);
        let squares = |of: &dyn Fn(&[f64; 2]) -> f64| pairs.iter().map(of).sum::<f64>();
        let offset_errors = (pairs.len() > 1).then(|| {
            let spread = squares(&|pair| (pair[1] - pair[0] - offset).powi(2));
            let deviation = (spread / (count - 1.0)).sqrt();
            [deviation, deviation / count.sqrt()]
        });
        let width = squares(&|pair| (pair[0] - meter).powi(2));
        let line = (pairs.len() > 2 && high > low).then(|| {
            let slope = squares(&|pair| (pair[0] - meter) * (pair[1] - lab)) / width;
            let intercept = lab - slope * meter;
            let left = squares(&|pair| (pair[1] - intercept - slope * pair[0]).powi(2));
            let residual_error = (left / (count - 2.0)).sqrt();
            MeterLine {
                intercept,
                slope,
                intercept_error: residual_error * (1.0 / count + meter * meter / width).sqrt(),
                slope_error: residual_error / width.sqrt(),
                residual_error,
            }
        });
        Some(Self { pairs: pairs.len(), meter_range: [low, high], offset, offset_errors, line })
    }

    /// Why this correction is not applied by these pairs; `None` where it is.
    pub fn refuses(&self, correction: Correction) -> Option<String> {
        let [low, high] = self.meter_range;
        let least = match correction {
            Correction::Offset => OFFSET_PAIRS,
            Correction::Line => LINE_PAIRS,
        };
        if self.pairs < least {
            return Some(format!("{} pairs are too few", self.pairs));
        }
        if correction == Correction::Line {
            if high - low < LINE_SPAN - 1e-9 {
                return Some(format!("the meter's readings span only {:.2} pH", high - low));
            }
            if self.line.is_none_or(|line| line.slope <= 0.0) {
                return Some("the laboratory's pH does not rise with the meter's".to_owned());
            }
        }
        None
    }

    /// A reading of the meter, corrected; as it is where there is no line.
    pub fn correct(&self, correction: Correction, reading: f64) -> f64 {
        match (correction, self.line) {
            (Correction::Offset, _) => reading + self.offset,
            (Correction::Line, Some(line)) => line.intercept + line.slope * reading,
            (Correction::Line, None) => reading,
        }
    }
}

/// The count as a number to divide by.
fn count_of(pairs: usize) -> f64 {
    u32::try_from(pairs).map_or(f64::from(u32::MAX), f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, expected: f64) {
        assert!((found - expected).abs() < 1e-9, "{found} is not {expected}");
    }

    /// By hand: meter 4, 5, 6, 7 (mean 5.5, squares 5), laboratory 4.3, 5.1, 6.3, 7.1 (mean 5.7,
    /// products 4.8): slope 0.96, intercept 0.42; residuals 0.04, -0.12, 0.12, -0.04, squares
    /// 0.032, over two degrees of freedom 0.016. Differences 0.3, 0.1, 0.3, 0.1: mean 0.2,
    /// squares 0.04 over three degrees of freedom.
    #[test]
    fn offset_and_line_are_those_worked_by_hand() {
        let check = MeterCheck::of(&[[4.0, 4.3], [5.0, 5.1], [6.0, 6.3], [7.0, 7.1]]).unwrap();
        near(check.offset, 0.2);
        let [deviation, error] = check.offset_errors.unwrap();
        near(deviation, (0.04_f64 / 3.0).sqrt());
        near(error, (0.01_f64 / 3.0).sqrt());
        let line = check.line.unwrap();
        near(line.slope, 0.96);
        near(line.intercept, 0.42);
        near(line.residual_error, 0.016_f64.sqrt());
        near(line.slope_error, (0.016_f64 / 5.0).sqrt());
        near(line.intercept_error, (0.016_f64 * (0.25 + 5.5 * 5.5 / 5.0)).sqrt());
        near(check.correct(Correction::Offset, 5.0), 5.2);
        near(check.correct(Correction::Line, 5.0), 5.22);
    }

    #[test]
    fn too_few_or_too_narrow_pairs_correct_nothing() {
        let pairs = |count: u32, step: f64| -> MeterCheck {
            let pair = |at: u32| [5.0 + step * f64::from(at), 5.1 + step * f64::from(at)];
            MeterCheck::of(&(0..count).map(pair).collect::<Vec<_>>()).unwrap()
        };
        assert!(MeterCheck::of(&[]).is_none());
        assert!(pairs(4, 0.5).refuses(Correction::Offset).unwrap().contains("4 pairs"));
        assert_eq!(pairs(5, 0.5).refuses(Correction::Offset), None);
        assert!(pairs(7, 0.5).refuses(Correction::Line).unwrap().contains("7 pairs"));
        assert!(pairs(8, 0.1).refuses(Correction::Line).unwrap().contains("0.70"));
        assert_eq!(pairs(8, 0.2).refuses(Correction::Line), None);
        assert_eq!(
            pairs(11, 0.1).refuses(Correction::Line),
            None,
            "a span of 1.0 but for rounding"
        );
        let down: Vec<[f64; 2]> = (0..8).map(|at| [f64::from(at), 8.0 - f64::from(at)]).collect();
        let down = MeterCheck::of(&down).unwrap();
        assert!(down.refuses(Correction::Line).unwrap().contains("does not rise"));
        let one = MeterCheck::of(&[[5.0, 5.3]]).unwrap();
        assert_eq!((one.offset_errors, one.line), (None, None));
    }
}
