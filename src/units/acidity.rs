//! Exchangeable acidity: charge per mass of soil.

use super::quantity::quantity;

quantity! {
    /// Exchangeable acidity of a soil; held in moles of charge per kilogram.
    ExchangeableAcidity {
        /// So many milliequivalents per 100 grams of soil, which is as many centimoles of charge
        /// per kilogram.
        from_milliequivalents_per_100_grams,
        /// In milliequivalents per 100 grams of soil.
        to_milliequivalents_per_100_grams = 0.01;
    }
}
