//! A middle and a scale that a few wild values do not move.

/// What makes the median absolute deviation of normal values their standard deviation: one over
/// the normal distribution's quantile at three quarters, as printed by P. J. Rousseeuw and C. Croux,
/// "Alternatives to the median absolute deviation", Journal of the American Statistical
/// Association 88, 1993, section 1 (page from memory; the factor follows from the quantile).
const MAD_TO_DEVIATION: f64 = 1.4826;

/// A value further than this many scales from the middle stands out: B. Iglewicz and D. C. Hoaglin,
/// "How to detect and handle outliers", ASQC Quality Press, 1993, chapter 3.3 (cited by others; the
/// text itself was not seen).
pub const STANDS_OUT_AT: f64 = 3.5;

/// The middle of some values and how far they commonly lie from it, in their unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Robust {
    /// Their median.
    pub middle: f64,
    /// 1.4826 x the median absolute deviation from it, at least the floor that was given.
    pub scale: f64,
}

impl Robust {
    /// Middle and scale of finite `values`; the scale is never below `floor`, so that among values
    /// that are all the same a small difference does not stand out. `None` without values.
    pub fn of(values: &[f64], floor: f64) -> Option<Self> {
        let middle = median(values)?;
        let off: Vec<f64> = values.iter().map(|value| (value - middle).abs()).collect();
        let scale = (MAD_TO_DEVIATION * median(&off)?).max(floor);
        Some(Self { middle, scale })
    }

    /// How many scales a value lies from the middle.
    pub fn scales_off(&self, value: f64) -> f64 {
        (value - self.middle).abs() / self.scale
    }

    /// Whether a value lies further off than [`STANDS_OUT_AT`].
    pub fn stands_out(&self, value: f64) -> bool {
        self.scales_off(value) > STANDS_OUT_AT
    }
}

/// The middle one of finite values, or the mean of the two in the middle; `None` without values.
pub fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let half = sorted.len() / 2;
    let upper = *sorted.get(half)?;
    Some(if sorted.len() % 2 == 1 { upper } else { f64::midpoint(sorted[half - 1], upper) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wild_value_moves_neither_middle_nor_scale() {
        // Median 3, deviations 2, 1, 0, 1, 997: their median is 1.
        let robust = Robust::of(&[1.0, 2.0, 3.0, 4.0, 1_000.0], 0.0).unwrap();
        assert!((robust.middle - 3.0).abs() < 1e-12);
        assert!((robust.scale - 1.4826).abs() < 1e-12);
        assert!(robust.stands_out(1_000.0));
        assert!(!robust.stands_out(3.0 + 3.4 * 1.4826));
        assert!(robust.stands_out(3.0 - 3.6 * 1.4826));
    }

    #[test]
    fn among_equal_values_the_floor_is_the_scale() {
        let robust = Robust::of(&[6.0; 20], 0.2).unwrap();
        assert!(!robust.stands_out(6.69), "3.45 floors");
        assert!(robust.stands_out(6.71), "3.55 floors");
    }

    #[test]
    fn the_median_of_an_even_number_is_the_mean_of_the_middle_two() {
        assert_eq!(median(&[4.0, 1.0, 3.0, 2.0]), Some(2.5));
        assert_eq!(median(&[7.0]), Some(7.0));
        assert_eq!(median(&[]), None);
        assert_eq!(Robust::of(&[], 1.0), None);
    }

    #[test]
    fn the_factor_is_one_over_the_quantile_of_three_quarters() {
        // Phi(0.6745) = 0.75 within four decimals (any table of the normal distribution).
        assert!((MAD_TO_DEVIATION * 0.6745 - 1.0).abs() < 1e-4);
    }
}
