//! Flow, rate and speed: two of them and the distance between passes make the third.

use crate::units::{Area, Length, ProductFlow, ProductRate, Speed, TimeTaken};

/// What leaves the spreader at a rate, a speed and so far between passes.
pub fn flow_at(rate: ProductRate, speed: Speed, pass_spacing: Length) -> ProductFlow {
    let time = TimeTaken::from_seconds(1.0);
    rate * covered(speed, time, pass_spacing) / time
}

/// The rate that a flow comes to at a speed above 0 and so far between passes.
pub fn rate_at(flow: ProductFlow, speed: Speed, pass_spacing: Length) -> ProductRate {
    let time = TimeTaken::from_seconds(1.0);
    flow * time / covered(speed, time, pass_spacing)
}

/// The speed at which a flow comes to a rate above 0, with so far between passes.
pub fn speed_at(flow: ProductFlow, rate: ProductRate, pass_spacing: Length) -> Speed {
    let time = TimeTaken::from_seconds(1.0);
    let metre_wide = rate * Area::from_square_metres(pass_spacing.to_metres());
    Speed::from_metres_per_second((flow * time) / metre_wide)
}

/// The ground that a spreader covers in a time.
fn covered(speed: Speed, time: TimeTaken, pass_spacing: Length) -> Area {
    Area::from_square_metres((speed * time).to_metres() * pass_spacing.to_metres())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The identity as published for liquids, gallons in place of pounds:
    /// GPA = GPM x 495 / (mph x swath in feet). Source: Stationary calibration method for boom
    /// sprayers, Mesa County, Colorado, weed and pest pages, undated. 495 is exact: 43,560 ft2/ac
    /// x 60 min/h / 5,280 ft/mi.
    #[test]
    fn pounds_a_minute_are_pounds_an_acre_times_speed_times_spacing_over_495() {
        for (pounds_per_acre, miles_per_hour, feet) in [
            (4_000.0, 10.0, 50.0),
            (2_000.0, 12.5, 40.0),
            (8_000.0, 6.0, 60.0),
            (500.0, 18.0, 80.0),
        ] {
            let rate = ProductRate::from_pounds_per_acre(pounds_per_acre);
            let speed = Speed::from_miles_per_hour(miles_per_hour);
            let spacing = Length::from_feet(feet);
            let flow = flow_at(rate, speed, spacing);
            let published = pounds_per_acre * miles_per_hour * feet / 495.0;
            assert!((flow.to_pounds_per_minute() / published - 1.0).abs() < 1e-12, "{published}");
            assert!((rate_at(flow, speed, spacing) / rate - 1.0).abs() < 1e-12);
            assert!((speed_at(flow, rate, spacing) / speed - 1.0).abs() < 1e-12);
        }
        let rate = ProductRate::from_pounds_per_acre(4_000.0);
        let flow = flow_at(rate, Speed::from_miles_per_hour(10.0), Length::from_feet(50.0));
        assert!((flow.to_pounds_per_minute() - 4_040.4).abs() < 0.05, "{flow:?}");
    }

    /// The metric identity as published for liquids, litres in place of kilograms and the spacing
    /// in centimetres: q = Q x V x W / 60,000. Source: manual of the package `AgroTech` for R,
    /// function `flowrat`, after Manual de tecnologia de aplicacao de produtos fitossanitarios,
    /// Associacao Nacional de Defesa Vegetal, 2004, which was not seen. Its example: 190 L/ha, 10
    /// km/h, 50 cm.
    #[test]
    fn kilograms_a_minute_are_kilograms_a_hectare_times_speed_times_spacing_over_600() {
        for (per_hectare, kilometres_per_hour, centimetres) in
            [(190.0, 10.0, 50.0), (3_000.0, 12.0, 1_200.0), (5_000.0, 8.0, 1_000.0)]
        {
            let flow = flow_at(
                ProductRate::from_kilograms_per_hectare(per_hectare),
                Speed::from_kilometres_per_hour(kilometres_per_hour),
                Length::from_centimetres(centimetres),
            );
            let published = per_hectare * kilometres_per_hour * centimetres / 60_000.0;
            assert!((flow.to_kilograms_per_minute() / published - 1.0).abs() < 1e-12);
        }
    }
}
