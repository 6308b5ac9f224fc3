//! Bulk density from a pail: weigh what fills it.

use crate::sources::source;
use crate::units::{BulkDensity, ProductMass, Volume};

/// Pounds per cubic foot for each net pound in a pail of five US gallons.
///
/// Source: North Carolina State University, Department of Soil Science, Certification manual,
/// chapter 5B, slide 35 (undated). A pail of exactly five gallons would give 1.496.
const POUNDS_PER_CUBIC_FOOT_A_POUND: f64 = 1.5;

/// The key of that source.
const RULE_SOURCE: &str = "nc_state_bucket_density";

/// The pails that a density can be weighed with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pail {
    /// Five US gallons, the pail that the published rule is for.
    FiveGallons,
    /// Any other volume: the density is the mass over it.
    Of(Volume),
}

impl Pail {
    /// How a density follows from it, with the source where that is a published rule.
    pub fn rule(self) -> String {
        match self {
            Self::FiveGallons => {
                let publication =
                    source(RULE_SOURCE).map_or_else(|| RULE_SOURCE.to_owned(), ToString::to_string);
                format!(
                    "net pounds x {POUNDS_PER_CUBIC_FOOT_A_POUND} are pounds per cubic foot \
                     ({publication})"
                )
            }
            Self::Of(_) => "net mass over the pail's volume".to_owned(),
        }
    }
}

/// The density of a material of which `net`, without the pail, fills `pail`.
pub fn density_from_pail(net: ProductMass, pail: Pail) -> BulkDensity {
    match pail {
        Pail::FiveGallons => {
            BulkDensity::from_pounds_per_cubic_foot(net.to_pounds() * POUNDS_PER_CUBIC_FOOT_A_POUND)
        }
        Pail::Of(volume) => BulkDensity::from_kilograms_per_cubic_metre(
            net.to_kilograms() / volume.to_cubic_metres(),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thirty_five_pounds_in_five_gallons_are_fifty_two_and_a_half_a_cubic_foot() {
        // The same slide: 35 lb x 1.5 = 52.5 lb/ft3.
        let density = density_from_pail(ProductMass::from_pounds(35.0), Pail::FiveGallons);
        assert!((density.to_pounds_per_cubic_foot() - 52.5).abs() < 1e-9);
    }

    #[test]
    fn the_published_rule_is_within_half_a_percent_of_the_true_volume() {
        // A US gallon is 231 in3 (NIST Special Publication 811, 2008, Appendix B.8).
        let gallons = Volume::from_cubic_feet(5.0 * 231.0 / 1_728.0);
        let net = ProductMass::from_pounds(35.0);
        assert!(Pail::FiveGallons.rule().contains("Certification manual"), "the rule is cited");
        let ruled = density_from_pail(net, Pail::FiveGallons).to_pounds_per_cubic_foot();
        let true_one = density_from_pail(net, Pail::Of(gallons)).to_pounds_per_cubic_foot();
        assert!((ruled / true_one - 1.0).abs() < 0.005, "{ruled} {true_one}");
    }

    #[test]
    fn twelve_kilograms_in_ten_litres_are_twelve_hundred_a_cubic_metre() {
        let ten_litres = Volume::from_cubic_metres(0.01);
        let density = density_from_pail(ProductMass::from_kilograms(12.0), Pail::Of(ten_litres));
        assert!((density.to_kilograms_per_cubic_metre() - 1_200.0).abs() < 1e-9);
    }
}
