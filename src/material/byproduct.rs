//! What to mind with by-products that are used as lime.

use crate::units::{ProductRate, Share};

/// Common practice; the by-product page of Michigan State University Extension asks for an analysis
/// of the lot.
pub(super) const METALS: &str = "By-products vary from lot to lot and may carry metals or salts: \
                                 ask for an analysis of the lot, and ask locally whether a permit \
                                 is needed.";

/// Source: Michigan State University Extension, Use of by-product lime on agricultural soils
/// (`michigan_byproduct_lime`).
pub(super) const BANDS: &str = "Wet by-product lime tends to fall in bands of very high pH: spread \
                                it evenly and mix it in.";

/// Source: Growing organic orchard fruits (`growing_organic_orchard_fruits`), which prints 220 to
/// 520 lb CCE/ac for ash of CCE 25 to 60 %.
pub(super) const ASH: &str = "A published limit for wood ash is 20 lb per 1,000 ft2 a year, which \
                              is about 870 lb/ac (980 kg/ha); its potassium counts as fertiliser.";

/// Sources: see [`beet_lime_phosphorus_kg_per_ha`].
pub(super) const PHOSPHORUS: &str = "Sugar-beet factory lime carries phosphorus: count it in the \
                                     fertiliser plan, and mind it where soil or local rules limit \
                                     phosphorus.";

/// Phosphorus in sugar-beet factory lime of seven factories, least and most, mg/kg of dry matter.
///
/// Source: abstract P23520, ASA-CSSA-SSSA International Annual Meetings, 2006.
const BEET_LIME_P_MG_PER_KG: [f64; 2] = [3_470.0, 7_043.0];

/// The key of that source.
pub const BEET_LIME_SOURCE: &str = "beet_lime_2006_abstract";

/// Parts of P2O5 to one of phosphorus, from the standard atomic weights of phosphorus, 30.974, and
/// oxygen, 15.999.
pub const P2O5_PER_P: f64 = (2.0 * 30.974 + 5.0 * 15.999) / (2.0 * 30.974);

/// The phosphorus, as P in kg/ha, that sugar-beet factory lime brings at `rate`: by the poorest and
/// by the richest of seven factories. Without a moisture all of it is taken for dry matter.
pub fn beet_lime_phosphorus_kg_per_ha(rate: ProductRate, moisture: Option<Share>) -> [f64; 2] {
    let dry = 1.0 - moisture.map_or(0.0, Share::to_number);
    BEET_LIME_P_MG_PER_KG
        .map(|mg_per_kg| phosphorus_kg_per_ha(rate.to_kilograms_per_hectare() * dry, mg_per_kg))
}

/// Milligrams in a kilogram.
const MG_PER_KG: f64 = 1e6;

/// The phosphorus in so much dry matter, in kg/ha.
pub(super) fn phosphorus_kg_per_ha(dry_kg_per_ha: f64, mg_per_kg: f64) -> f64 {
    dry_kg_per_ha * mg_per_kg / MG_PER_KG
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn twenty_two_tonnes_of_dry_beet_lime_carry_what_the_abstract_prints() {
        // Printed: 22 t/ha dry carry 77 to 154 kg P/ha, from about 3,500 and 7,000 mg/kg.
        let rate = ProductRate::from_tonnes_per_hectare(22.0);
        let [least, most] = beet_lime_phosphorus_kg_per_ha(rate, None);
        assert!((least - 77.0).abs() < 1.0 && (most - 154.0).abs() < 1.0, "{least} {most}");
        let [wet, _] = beet_lime_phosphorus_kg_per_ha(rate, Share::from_number(0.5));
        assert!((wet - least / 2.0).abs() < 1e-9);
        assert!((P2O5_PER_P - 2.291).abs() < 5e-4);
    }
}
