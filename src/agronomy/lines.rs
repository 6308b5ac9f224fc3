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
        let (low, too_little) = printed(&self.low, ph, reading);
        if self.high_share <= 0.0 {
            let why = if too_little { Why::BelowLeast } else { Why::Table };
            return Need { need: self.one * low, why };
        }
        let (high, _) = printed(&self.high, ph, reading);
        let number = low * (1.0 - self.high_share) + high * self.high_share;
        Need { need: self.one * number, why: Why::Table }
    }

    /// The least reading from which on nothing is needed, whatever the pH; `None` where the lines
    /// rise, or hold for some soils only, or end in a jump.
    pub(super) fn zero_need_reading(&self) -> Option<f64> {
        let ends: Option<Vec<f64>> = self.low.iter().chain(&self.high).map(zero_of).collect();
        ends?.into_iter().reduce(f64::max)
    }
}

/// Where a falling line that holds for all soils comes to nothing.
fn zero_of(line: &Line) -> Option<f64> {
    let &Line { above, ph_below, fixed, per_unit, per_square, least_need, .. } = line;
    if above.is_some() || ph_below.is_some() || least_need > 0.0 || per_unit >= 0.0 {
        return None;
    }
    if per_square == 0.0 {
        return Some(fixed / -per_unit);
    }
    let under_root = per_unit * per_unit - 4.0 * per_square * fixed;
    (under_root >= 0.0).then(|| (-per_unit - under_root.sqrt()) / (2.0 * per_square))
}

/// The need on the first line that holds for the soil, as printed, and whether that is nothing
/// because it is less than the least; where no line holds, nothing.
fn printed(lines: &[Line], ph: f64, reading: f64) -> (f64, bool) {
    let holds = |line: &&Line| {
        line.above.is_none_or(|above| reading > above + SAME_READING)
            && line.ph_below.is_none_or(|below| ph < below - SAME_READING)
    };
    let Some(line) = lines.iter().find(holds) else { return (0.0, false) };
    let need = line.fixed + (line.per_unit + line.per_square * reading) * reading;
    // A rounding error is not less than the least.
    let too_little = line.least_need > 0.0 && need < line.least_need * (1.0 - 1e-12);
    if too_little { (0.0, true) } else { (need.max(0.0), false) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(target: f64, above: Option<f64>, ph_below: Option<f64>, of: [f64; 2]) -> Line {
        let (fixed, per_unit) = (of[0], of[1]);
        Line { target, above, ph_below, fixed, per_unit, per_square: 0.0, least_need: 0.0 }
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

    #[test]
    fn a_falling_line_ends_at_nothing_and_a_least_need_ends_it_before() {
        let one = LimeNeed::from_pounds_per_acre(1.0);
        let plain = line(6.5, None, None, [37_000.0, -5_000.0]);
        let of = |line: &Line| Lines::new(std::slice::from_ref(line), 6.5, None, one);
        let falling = of(&plain);
        assert!((pounds(&falling, 5.0, 6.5) - 4_500.0).abs() < 1e-6);
        assert_eq!(falling.look_up(5.0, 7.5), Need { need: LimeNeed::ZERO, why: Why::Table });
        assert_eq!(falling.zero_need_reading(), Some(7.4));
        let jumping = of(&Line { least_need: 3_000.0, ..plain.clone() });
        assert!((pounds(&jumping, 5.0, 6.8) - 3_000.0).abs() < 1e-6);
        let nothing = Need { need: LimeNeed::ZERO, why: Why::BelowLeast };
        assert_eq!(jumping.look_up(5.0, 6.81), nothing);
        assert_eq!(jumping.zero_need_reading(), None);
        // 2 x (reading - 7) x (reading - 9): the first root is where it ends.
        let bent = Line { fixed: 126.0, per_unit: -32.0, per_square: 2.0, ..plain };
        assert!((pounds(&of(&bent), 5.0, 6.0) - 6.0).abs() < 1e-6);
        assert!((of(&bent).zero_need_reading().unwrap() - 7.0).abs() < 1e-9);
    }
}
