//! A printed rule made of a few straight lines, each with the soils that it holds for.

use super::need::{Need, SAME_READING, Why};
use super::table::Line;
use crate::units::LimeNeed;

/// The lines of one target, or of the two targets that a job's target lies between.
#[derive(Clone, Debug)]
pub(super) struct Lines {
    low: Vec<Line>,
    high: Vec<Line>,
    /// The share of the higher target in the need.
    high_share: f64,
    /// What one printed unit of need is, as pure calcium carbonate over the limed depth.
    one: LimeNeed,
}

impl Lines {
    /// The lines of the target `low`, and where `high` is given with its share, those of both.
    pub(super) fn new(lines: &[Line], low: f64, high: Option<(f64, f64)>, one: LimeNeed) -> Self {
        let of = |target: f64| {
            lines.iter().filter(move |line| (line.target - target).abs() <= SAME_READING).cloned()
        };
        Self {
            low: of(low).collect(),
            high: high.map_or_else(Vec::new, |(target, _)| of(target).collect()),
            high_share: high.map_or(0.0, |(_, share)| share),
            one,
        }
    }

    /// The need at `reading` of a soil of pH `ph`, in the method's own medium.
    pub(super) fn look_up(&self, ph: f64, reading: f64) -> Need {
        let low = printed(&self.low, ph, reading);
        let number = if self.high_share > 0.0 {
            low * (1.0 - self.high_share) + printed(&self.high, ph, reading) * self.high_share
        } else {
            low
        };
        Need { need: self.one * number, why: Why::Table }
    }
}

/// The need on the first line that holds for the soil, as printed; where none does, nothing.
fn printed(lines: &[Line], ph: f64, reading: f64) -> f64 {
    let holds = |line: &&Line| {
        line.above.is_none_or(|above| reading > above + SAME_READING)
            && line.ph_below.is_none_or(|below| ph < below - SAME_READING)
    };
    lines.iter().find(holds).map_or(0.0, |line| line.fixed + line.per_unit * reading)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(target: f64, above: Option<f64>, ph_below: Option<f64>, of: [f64; 2]) -> Line {
        Line { target, above, ph_below, fixed: of[0], per_unit: of[1] }
    }

    fn pounds(lines: &Lines, ph: f64, reading: f64) -> f64 {
        lines.look_up(ph, reading).need.to_pounds_per_acre()
    }

    #[test]
    fn the_first_line_that_holds_is_taken_and_the_jump_lies_above_its_limit() {
        let printed = [
            line(6.5, Some(4.0), None, [0.0, 840.0]),
            line(6.5, None, Some(6.4), [2000.0, 0.0]),
            line(7.0, None, None, [100.0, 1000.0]),
        ];
        let one = LimeNeed::from_pounds_per_acre(1.0);
        let lines = Lines::new(&printed, 6.5, None, one);
        for (ph, reading, expected) in [
            (6.0, 5.0, 4200.0),
            (6.0, 4.0, 2000.0),
            (6.0, 4.0 + 1e-12, 2000.0),
            (6.0, 4.001, 3360.84),
            (6.0, 0.0, 2000.0),
            (6.395, 3.0, 2000.0),
            (6.4 - 1e-12, 3.0, 0.0),
            (6.4, 3.0, 0.0),
            (6.4, 5.0, 4200.0),
        ] {
            assert!((pounds(&lines, ph, reading) - expected).abs() < 1e-6, "{ph} {reading}");
        }
        let between = Lines::new(&printed, 6.5, Some((7.0, 0.25)), one);
        // 0.75 x 4,200 + 0.25 x 5,100.
        assert!((pounds(&between, 6.0, 5.0) - 4425.0).abs() < 1e-6);
    }
}
