//! Loads: the smaller of what the axles and what the box can take.

use crate::units::{BulkDensity, ProductMass, Volume};

/// What limits a load.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Binds {
    /// The payload is reached before the box is full.
    Weight,
    /// The box is full before the payload is reached.
    Volume,
}

impl Binds {
    /// As the summary writes it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Weight => "weight",
            Self::Volume => "volume",
        }
    }
}

/// One full load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Its mass.
    pub mass: ProductMass,
    /// What limits it; `None` where box or density is not known, so that only weight was looked at.
    pub binds: Option<Binds>,
}

impl Load {
    /// The smaller of the payload and of what fills the box at this density.
    pub fn full(
        payload: ProductMass,
        volume: Option<Volume>,
        density: Option<BulkDensity>,
    ) -> Self {
        let Some(heaped) = volume.zip(density).map(|(volume, density)| density * volume) else {
            return Self { mass: payload, binds: None };
        };
        if heaped < payload {
            Self { mass: heaped, binds: Some(Binds::Volume) }
        } else {
            Self { mass: payload, binds: Some(Binds::Weight) }
        }
    }
}

/// Loads that add up to a mass: all full but the last.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loads {
    /// One full load.
    pub full: Load,
    /// How many loads there are, the last one included.
    pub count: u64,
    /// The mass of the last load; nothing where there is none.
    pub last: ProductMass,
}

impl Loads {
    /// What all of them carry.
    pub fn total(&self) -> ProductMass {
        match self.count {
            0 => ProductMass::ZERO,
            count => self.full.mass * (count - 1) as f64 + self.last,
        }
    }
}

/// A remainder smaller than this part of a load is a rounding error, not another load.
const SAME_LOAD: f64 = 1e-9;

/// How many loads `mass` takes.
pub fn count_loads(mass: ProductMass, full: Load) -> Loads {
    let loads = mass / full.mass;
    let whole = loads.round();
    let count = if (loads - whole).abs() <= SAME_LOAD { whole } else { loads.ceil() };
    let last = if count > 0.0 { mass - full.mass * (count - 1.0) } else { ProductMass::ZERO };
    Loads { full, count: count as u64, last }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_load_is_the_smaller_of_weight_and_volume_and_says_which() {
        let payload = ProductMass::from_short_tons(16.0);
        let volume = Some(Volume::from_cubic_feet(450.0));
        let heavy =
            Load::full(payload, volume, Some(BulkDensity::from_pounds_per_cubic_foot(90.0)));
        assert_eq!(heavy.binds, Some(Binds::Weight));
        assert_eq!(heavy.mass, payload);
        let light =
            Load::full(payload, volume, Some(BulkDensity::from_pounds_per_cubic_foot(60.0)));
        assert_eq!(light.binds, Some(Binds::Volume));
        // 60 lb/ft3 x 450 ft3 / 2,000 lb/ton
        assert!((light.mass.to_short_tons() - 13.5).abs() < 1e-12);
        assert_eq!(Load::full(payload, None, None).binds, None);
        // Where both are reached at once, weight is named.
        let both = Load::full(
            ProductMass::from_kilograms(1_000.0),
            Some(Volume::from_cubic_metres(2.0)),
            Some(BulkDensity::from_kilograms_per_cubic_metre(500.0)),
        );
        assert_eq!(both.binds, Some(Binds::Weight));
    }

    #[test]
    fn loads_add_up_to_what_is_loaded() {
        let full = Load { mass: ProductMass::from_short_tons(16.0), binds: None };
        for tons in [0.0, 0.5, 15.999, 16.0, 48.0, 118.62] {
            let mass = ProductMass::from_short_tons(tons);
            let loads = count_loads(mass, full);
            assert_eq!(loads.count, (tons / 16.0_f64).ceil() as u64);
            assert!((loads.total().to_short_tons() - tons).abs() < 1e-9);
        }
    }

    #[test]
    fn a_rounding_error_is_no_load_and_a_hundredth_of_one_is() {
        let full = Load { mass: ProductMass::from_short_tons(16.0), binds: None };
        let loads = |tons| count_loads(ProductMass::from_short_tons(tons), full).count;
        assert_eq!((loads(48.0 + 1e-10), loads(48.0 + 0.1), loads(0.1)), (3, 4, 1));
    }

    #[test]
    fn where_nothing_is_loaded_there_is_no_last_load() {
        let full = Load { mass: ProductMass::from_short_tons(16.0), binds: None };
        for tons in [0.0, 1e-12] {
            let loads = count_loads(ProductMass::from_short_tons(tons), full);
            assert_eq!((loads.count, loads.last), (0, ProductMass::ZERO), "{tons}");
        }
        // A remainder of more than a thousand-millionth of a load is one.
        let loads = |tons| count_loads(ProductMass::from_short_tons(tons), full).count;
        assert_eq!((loads(48.0 + 16.0 * 5e-10), loads(48.0 + 16.0 * 5e-9)), (3, 4));
    }
}
