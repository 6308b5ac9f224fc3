//! The two systems of units that results are written in.

use super::text::plain;
use super::{
    Area, BulkDensity, CarbonateMass, DepthInterval, Length, LimeNeed, ProductFlow, ProductMass,
    ProductRate, Speed,
};

/// The system of units that a job's outputs are written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitSystem {
    /// US customary: acres, short tons, feet, inches, miles.
    Us,
    /// Metric: hectares, tonnes, metres, centimetres, kilometres.
    Metric,
}

/// A number and the unit it is in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amount {
    /// The number.
    pub value: f64,
    /// Its unit, as it is written.
    pub unit: &'static str,
}

impl UnitSystem {
    /// As a job file names it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Us => "us",
            Self::Metric => "metric",
        }
    }

    /// An area, in acres or hectares.
    pub fn area(self, area: Area) -> Amount {
        match self {
            Self::Us => Amount { value: area.to_acres(), unit: "ac" },
            Self::Metric => Amount { value: area.to_hectares(), unit: "ha" },
        }
    }

    /// A mass of CaCO3, in short tons or tonnes.
    pub fn carbonate(self, mass: CarbonateMass) -> Amount {
        match self {
            Self::Us => Amount { value: mass.to_short_tons(), unit: "ton" },
            Self::Metric => Amount { value: mass.to_tonnes(), unit: "t" },
        }
    }

    /// A mass of material as spread, in short tons or tonnes.
    pub fn product(self, mass: ProductMass) -> Amount {
        match self {
            Self::Us => Amount { value: mass.to_short_tons(), unit: "ton" },
            Self::Metric => Amount { value: mass.to_tonnes(), unit: "t" },
        }
    }

    /// A bulk density, in pounds a cubic foot or kilograms a cubic metre.
    pub fn density(self, density: BulkDensity) -> Amount {
        match self {
            Self::Us => Amount { value: density.to_pounds_per_cubic_foot(), unit: "lb/ft3" },
            Self::Metric => Amount { value: density.to_kilograms_per_cubic_metre(), unit: "kg/m3" },
        }
    }

    /// A lime need, in short tons an acre or tonnes a hectare.
    pub fn need(self, need: LimeNeed) -> Amount {
        match self {
            Self::Us => Amount { value: need.to_short_tons_per_acre(), unit: "ton/ac" },
            Self::Metric => Amount { value: need.to_tonnes_per_hectare(), unit: "t/ha" },
        }
    }

    /// A rate of material, in short tons an acre or tonnes a hectare.
    pub fn rate(self, rate: ProductRate) -> Amount {
        match self {
            Self::Us => Amount { value: rate.to_short_tons_per_acre(), unit: "ton/ac" },
            Self::Metric => Amount { value: rate.to_tonnes_per_hectare(), unit: "t/ha" },
        }
    }

    /// A flow of material, in pounds or kilograms a minute.
    pub fn flow(self, flow: ProductFlow) -> Amount {
        match self {
            Self::Us => Amount { value: flow.to_pounds_per_minute(), unit: "lb/min" },
            Self::Metric => Amount { value: flow.to_kilograms_per_minute(), unit: "kg/min" },
        }
    }

    /// A ground speed, in miles or kilometres an hour.
    pub fn speed(self, speed: Speed) -> Amount {
        match self {
            Self::Us => Amount { value: speed.to_miles_per_hour(), unit: "mph" },
            Self::Metric => Amount { value: speed.to_kilometres_per_hour(), unit: "km/h" },
        }
    }

    /// A length in the field, in feet or metres.
    pub fn length(self, length: Length) -> Amount {
        match self {
            Self::Us => Amount { value: length.to_feet(), unit: "ft" },
            Self::Metric => Amount { value: length.to_metres(), unit: "m" },
        }
    }

    /// A depth in the soil, in inches or centimetres.
    pub fn depth(self, depth: Length) -> Amount {
        match self {
            Self::Us => Amount { value: depth.to_inches(), unit: "in" },
            Self::Metric => Amount { value: depth.to_centimetres(), unit: "cm" },
        }
    }

    /// A distance over land in words: as on the road from a kilometre on.
    pub fn distance(self, distance: Length) -> String {
        let near = distance.to_metres() < 1_000.0;
        let (amount, places) =
            if near { (self.length(distance), 0) } else { (self.road(distance), 1) };
        format!("{:.places$} {}", amount.value, amount.unit)
    }

    /// An interval of depth in words, such as `0-6 in`.
    pub fn depths(self, interval: DepthInterval) -> String {
        let [top, bottom] = [interval.top(), interval.bottom()].map(|depth| self.depth(depth));
        let end = |depth: Amount| plain(depth.value, 0, 2);
        format!("{}-{} {}", end(top), end(bottom), bottom.unit)
    }

    /// A distance on the road, in miles or kilometres.
    pub fn road(self, distance: Length) -> Amount {
        match self {
            Self::Us => Amount { value: distance.to_miles(), unit: "mi" },
            Self::Metric => Amount { value: distance.to_kilometres(), unit: "km" },
        }
    }
}
