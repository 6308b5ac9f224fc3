//! Rates that are off by the factor between two units, and rates that nobody spreads.

use std::fmt::Write as _;
use std::ops::RangeInclusive;

use super::compare::Expected;
use super::totals::MapTotals;
use crate::inputs::exports::ReadMap;
use crate::units::{ControllerUnit, ProductMass, ProductRate, plain};

/// Mean rates of lime that are spread, in tonnes of material a hectare (common practice, no
/// source): from a light dressing of pellets to by-products with little in them.
const USUAL_T_PER_HA: RangeInclusive<f64> = 0.05..=60.0;

/// What explains a total that is not the one that was meant: `difference` is how far it is off, as
/// a share of that.
pub(super) fn explained(
    map: &ReadMap,
    totals: &MapTotals,
    expected: &Expected,
    difference: f64,
) -> Option<String> {
    if let (Some(fits), Some(unit)) = (expected.unit_that_fits(totals), known(map.unit)) {
        let (factor, unit, fits) = (factor_between(unit, fits), unit.words(), fits.words());
        return Some(format!(
            "Its numbers would come to that total as {fits}: they look as if written in {fits} \
             and called {unit}, which is off by a factor of {factor:.2}."
        ));
    }
    let ratio = 1.0 + difference;
    let size = ratio.max(1.0 / ratio);
    let off = |factor: f64| (size / factor - 1.0).abs();
    let (factor, units) = factors()
        .into_iter()
        .filter(|(factor, _)| ratio > 0.0 && off(*factor) <= expected.tolerance)
        .min_by(|a, b| off(a.0).total_cmp(&off(b.0)))?;
    let times = if ratio > 1.0 { "" } else { "1/" };
    Some(format!(
        "It is {times}{} times what was meant, the factor between {units}: its numbers look as if \
         written in the one and called the other.",
        plain(factor, 0, 4)
    ))
}

/// A mean rate that nobody spreads, and what would make it usual: lb for ton is a factor of 2,000.
pub(super) fn unusual(map: &ReadMap, totals: &MapTotals) -> Option<String> {
    let words = map.unit?;
    let is_usual = |rate: ProductRate| USUAL_T_PER_HA.contains(&rate.to_tonnes_per_hectare());
    let mean = totals.mean_rate_of(words).filter(|mean| !is_usual(*mean))?;
    let number = totals.mean_number()?;
    let mut text = format!(
        "Where anything is spread its mean rate is {number:.3} {words}, which is {:.3} t/ha; usual \
         are {} to {} t/ha (common practice, no source).",
        mean.to_tonnes_per_hectare(),
        USUAL_T_PER_HA.start(),
        USUAL_T_PER_HA.end()
    );
    // Writing to a String cannot fail.
    if let Some(unit) = known(map.unit) {
        let fits: Vec<String> = ControllerUnit::ALL
            .into_iter()
            .filter(|&other| totals.mean_rate_in(other).is_some_and(is_usual))
            .map(|other| {
                format!("{} (a factor of {:.0})", other.words(), factor_between(unit, other))
            })
            .collect();
        if !fits.is_empty() {
            let _ = write!(text, " Its numbers look as if they were in {}.", fits.join(" or "));
        }
    } else {
        let fits: Vec<String> = factors()
            .into_iter()
            .filter(|(factor, _)| is_usual(mean * *factor) || is_usual(mean / *factor))
            .map(|(factor, units)| format!("{} (that between {units})", plain(factor, 0, 4)))
            .collect();
        if !fits.is_empty() {
            let _ = write!(text, " It would be usual but for a factor of {}.", fits.join(" or "));
        }
    }
    Some(text)
}

/// The controller's unit that is called so.
pub(super) fn known(unit: Option<&str>) -> Option<ControllerUnit> {
    ControllerUnit::ALL.into_iter().find(|known| Some(known.words()) == unit)
}

/// How many times one unit is the other, whichever is larger.
fn factor_between(unit: ControllerUnit, other: ControllerUnit) -> f64 {
    let ratio = unit.rate(1.0) / other.rate(1.0);
    ratio.max(1.0 / ratio)
}

/// The factors by which rates are mistaken, with the units that they lie between.
fn factors() -> [(f64, &'static str); 4] {
    use ControllerUnit::{KilogramsPerHectare, PoundsPerAcre, ShortTonsPerAcre, TonnesPerHectare};
    let metric = ProductMass::from_tonnes(1.0) / ProductMass::from_short_tons(1.0);
    [
        (factor_between(PoundsPerAcre, ShortTonsPerAcre), "pounds and short tons"),
        (factor_between(KilogramsPerHectare, TonnesPerHectare), "kilograms and tonnes"),
        (
            factor_between(ShortTonsPerAcre, TonnesPerHectare),
            "short tons an acre and tonnes a hectare",
        ),
        (metric, "short tons and tonnes"),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inputs::exports::ReadGround;
    use crate::units::Area;
    use crate::verify::RateTotal;

    /// A hectare with a rate in mg/m2, as task data have it.
    fn task_data(rate: f64) -> (ReadMap, MapTotals) {
        let area = Area::from_hectares(1.0);
        let totals = MapTotals {
            pieces: 1,
            vertices: 4,
            area,
            area_without: Area::ZERO,
            product: Some(ProductMass::from_tonnes(rate / 1e5)),
            range: Some((rate, rate)),
            rates: vec![RateTotal { rate, area }],
        };
        let ground = ReadGround::Areas(Vec::new());
        (ReadMap { name: "a".into(), unit: Some("mg/m2"), ground }, totals)
    }

    #[test]
    fn rates_of_task_data_that_nobody_spreads_are_told_with_the_factor() {
        let told = |t_per_ha: f64| {
            let (map, totals) = task_data(t_per_ha * 1e5);
            unusual(&map, &totals)
        };
        assert_eq!((told(2.5), told(59.0), told(0.06)), (None, None, None));
        for rate in [2.5 * 2_000.0, 2.5 / 2_000.0] {
            let said = told(rate).unwrap();
            assert!(said.contains("mg/m2") && said.contains("pounds and short tons"), "{said}");
        }
    }

    #[test]
    fn the_factor_between_what_was_read_and_meant_is_named_both_ways() {
        let expected = Expected { product: ProductMass::from_tonnes(2.5), tolerance: 0.001 };
        let told = |factor: f64| {
            let (map, totals) = task_data(2.5e5 * factor);
            explained(&map, &totals, &expected, factor - 1.0)
        };
        for (factor, words) in [
            (2_000.0, "pounds and short tons"),
            (2.241_702, "short tons an acre and tonnes a hectare"),
            (1.102_311, "between short tons and tonnes"),
        ] {
            for factor in [factor, 1.0 / factor] {
                let said = told(factor).unwrap();
                assert!(said.contains(words), "{factor}: {said}");
                assert_eq!(said.contains("1/"), factor < 1.0, "{said}");
            }
        }
        assert_eq!((told(1.5), told(0.0)), (None, None));
    }
}
