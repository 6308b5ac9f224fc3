//! What leaves a spreader in a time.

use super::mass::{KG_PER_POUND, ProductMass};
use super::quantity::{product_of, quantity};
use super::{Length, Speed, TimeTaken};

/// Seconds in one minute, exact.
const S_PER_MINUTE: f64 = 60.0;

quantity! {
    /// Material as spread that leaves a spreader in a time, held in kilograms per second.
    ProductFlow {
        /// So many kilograms a minute.
        from_kilograms_per_minute,
        /// In kilograms a minute.
        to_kilograms_per_minute = 1.0 / S_PER_MINUTE;
        /// So many pounds a minute.
        from_pounds_per_minute,
        /// In pounds a minute.
        to_pounds_per_minute = KG_PER_POUND / S_PER_MINUTE;
    }
}

product_of!(ProductFlow * TimeTaken = ProductMass);
product_of!(Speed * TimeTaken = Length);

impl std::ops::Div<TimeTaken> for ProductMass {
    type Output = ProductFlow;
    /// The flow that this mass makes in a time above 0.
    fn div(self, time: TimeTaken) -> ProductFlow {
        ProductFlow::from_si(self.to_kilograms() / time.to_seconds())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flow_over_a_time_is_a_mass_and_comes_back() {
        let flow = ProductFlow::from_pounds_per_minute(4_000.0);
        let time = TimeTaken::from_seconds(30.0);
        assert!(((flow * time).to_pounds() - 2_000.0).abs() < 1e-9);
        assert!(((flow * time / time) / flow - 1.0).abs() < 1e-12);
        assert!((flow.to_kilograms_per_minute() / (4_000.0 * KG_PER_POUND) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_speed_over_a_time_is_a_length() {
        let speed = Speed::from_miles_per_hour(10.0);
        // 10 mph x 5,280 ft/mi / 3,600 s/h = 14.667 ft/s, exact constants.
        let gone = speed * TimeTaken::from_seconds(3.0);
        assert!((gone.to_feet() - 44.0).abs() < 1e-9, "{}", gone.to_feet());
    }
}
