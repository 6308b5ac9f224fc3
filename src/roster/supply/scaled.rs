//! What the map of a field takes of another material: its rates multiplied, and then held between
//! the limits of the spreader as its own are.

use crate::machine::BelowMin;
use crate::roster::amounts::{area_of, product_of, rate_of};
use crate::roster::row::FieldRow;
use crate::summary::AreaProduct;
use crate::units::Area;

/// What the product of a map is multiplied by with another material: between these two.
///
/// A row holds the ground at each limit but no single rate, so what that ground asked for is known
/// as a sum. Both ends hold for a map without overrides and rate areas, before its rates are rounded.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Scaled {
    pub(super) least: f64,
    pub(super) most: f64,
}

/// Two numbers nearer than this part are the same but for rounding.
const SAME: f64 = 1e-9;

/// What the product of `row` is multiplied by where its rates are multiplied by `times`; `None` where
/// that is `times` itself, because no limit of the spreader holds any ground before or after.
pub(super) fn scaled(row: &FieldRow, times: f64) -> Option<Scaled> {
    if (times - 1.0).abs() <= SAME {
        return None;
    }
    let map = Map::of(row)?;
    let parts = [map.capped(times), map.raised(times), map.dropped(times), map.between(times)];
    let sum = |of: fn(&(f64, f64)) -> f64| parts.iter().map(of).sum::<f64>() / map.product;
    let (least, most) = (sum(|part| part.0), sum(|part| part.1));
    let same = |part: f64| (part / times - 1.0).abs() <= SAME;
    (!same(least) || !same(most)).then(|| Scaled { least, most: most.max(least) })
}

/// A map by the ground that each limit holds; SI units.
struct Map {
    product: f64,
    /// The limits.
    least: f64,
    greatest: f64,
    below: BelowMin,
    /// What is spread on ground at the greatest rate, and what it lacks there.
    capped: (f64, f64),
    /// The ground at the least rate, what is spread on it, and what is added there.
    raised: (f64, f64, f64),
    /// The ground that gets nothing below the least rate, and what it would have got.
    dropped: (f64, f64),
    /// The other ground and what is spread on it, between which rates.
    between: (f64, f64),
    rates: (f64, f64),
}

impl Map {
    /// `None` where nothing is spread, and where a quantity is not known.
    fn of(row: &FieldRow) -> Option<Self> {
        let limits = row.limits.as_ref()?;
        let held = |part: &AreaProduct| {
            let (area, product) = (area_of(&part.area)?, product_of(&part.product)?);
            Some((area.to_square_metres(), product.to_kilograms().abs()))
        };
        let rate =
            |quantity| Some((rate_of(quantity)? * Area::from_square_metres(1.0)).to_kilograms());
        let (least, greatest) = (rate(&limits.rates.least)?, rate(&limits.rates.greatest)?);
        let below = limits.rates.below_least.as_str();
        let below = BelowMin::ALL.into_iter().find(|it| it.words() == below)?;
        let product = product_of(&row.product_total)?.to_kilograms();
        let treated = area_of(&row.treated_area)?.to_square_metres();
        let (capped, raised) = (held(&limits.capped)?, held(&limits.raised)?);
        let at_greatest = capped.0.min(treated);
        let at_least = raised.0.min(treated - at_greatest);
        let own_capped = (at_greatest * greatest).min(product);
        let own_raised = (at_least * least).min(product - own_capped);
        (product > 0.0).then_some(Self {
            product,
            least,
            greatest,
            below,
            capped: (own_capped, capped.1),
            raised: (at_least, own_raised, raised.1.min(own_raised)),
            dropped: held(&limits.dropped)?,
            between: (treated - at_greatest - at_least, product - own_capped - own_raised),
            rates: (rate(row.least_rate.as_ref()?)?, rate(row.greatest_rate.as_ref()?)?),
        })
    }

    /// Ground at the greatest rate stays there with a weaker material. With a stronger one a cell
    /// leaves it only where it lacks little; the sum of what all lack bounds how much.
    fn capped(&self, times: f64) -> (f64, f64) {
        let (own, lacks) = self.capped;
        if times >= 1.0 {
            return (own, own);
        }
        let most = own.min((own + lacks) * times);
        if self.greatest * times >= self.least {
            return (own * times, most);
        }
        // It may even come to the least rate then.
        let least = if self.below == BelowMin::Raise { own * times } else { 0.0 };
        let raised = own / self.greatest * (self.least - self.greatest * times);
        (least, own.min((own + lacks) * times + raised))
    }

    /// The other way round at the least rate.
    fn raised(&self, times: f64) -> (f64, f64) {
        let (area, own, added) = self.raised;
        if times < 1.0 {
            return if self.below == BelowMin::Raise { (own, own) } else { (0.0, own) };
        }
        let full = area * self.greatest;
        let asked = if self.least * times > self.greatest { own } else { (own - added) * times };
        (own.max(asked), (own * times).min(full).max(own))
    }

    /// Ground that got nothing may get the least rate of a weaker material, half of which it asks
    /// for then.
    fn dropped(&self, times: f64) -> (f64, f64) {
        let (area, lacks) = self.dropped;
        if times <= 1.0 {
            return (0.0, 0.0);
        }
        (0.0, (2.0 * lacks * times).min(area * self.greatest))
    }

    /// Ground between the limits may come to one of them. What a limit does to a rate is convex at
    /// the least and concave at the greatest, so the mean rate and the straight line between the end
    /// rates bound the sum.
    fn between(&self, times: f64) -> (f64, f64) {
        let ((area, own), (low, high)) = (self.between, self.rates);
        if area <= 0.0 || own <= 0.0 {
            return (0.0, 0.0);
        }
        let mean = (own / area).clamp(low, high);
        let along = |at_low: f64, at_high: f64| {
            let part = if high > low { (mean - low) / (high - low) } else { 0.0 };
            area * (at_low + part * (at_high - at_low))
        };
        let plain = own * times;
        if times >= 1.0 {
            if high * times <= self.greatest * (1.0 + SAME) {
                return (plain, plain);
            }
            let held = |rate: f64| (rate * times).min(self.greatest);
            return (along(held(low), held(high)), area * held(mean));
        }
        if low * times >= self.least * (1.0 - SAME) {
            return (plain, plain);
        }
        let raised = |rate: f64| (rate * times).max(self.least);
        match self.below {
            BelowMin::Raise => (area * raised(mean), along(raised(low), raised(high))),
            BelowMin::Nearest => {
                (self.without_dropped(plain, mean, times), along(raised(low), raised(high)))
            }
            BelowMin::Drop => (self.without_dropped(plain, mean, times), plain),
        }
    }

    /// The least that is left where rates below the least are dropped: as much ground as the mean
    /// rate allows lies just below it.
    fn without_dropped(&self, plain: f64, mean: f64, times: f64) -> f64 {
        let (edge, high) = (self.least / times, self.rates.1);
        let part = if mean > edge { (high - mean) / (high - edge) } else { 1.0 };
        (plain - self.between.0 * part * self.least).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::roster::made::{made, quantity};
    use crate::roster::row::RowLimits;
    use crate::summary::RateLimitsPart;

    /// 100 acres: 40 at the greatest rate of 4 ton/ac, which lack 80 ton, and 60 at 1 ton/ac.
    fn held_to_four() -> FieldRow {
        let part = |area, product| AreaProduct {
            area: quantity(area, "ac"),
            product: quantity(product, "ton"),
        };
        let mut row = made("a", 220.0, false);
        row.limits = Some(RowLimits {
            rates: RateLimitsPart {
                least: quantity(0.5, "ton/ac"),
                greatest: quantity(4.0, "ton/ac"),
                below_least: "nearest".to_owned(),
            },
            raised: part(0.0, 0.0),
            dropped: part(0.0, 0.0),
            capped: part(40.0, 80.0),
        });
        row.least_rate = Some(quantity(1.0, "ton/ac"));
        row.greatest_rate = Some(quantity(4.0, "ton/ac"));
        row
    }

    fn near(found: f64, tons: f64) {
        assert!((found * 220.0 - tons).abs() < 1e-6, "{} is not {tons}", found * 220.0);
    }

    #[test]
    fn ground_at_the_greatest_rate_takes_no_less_of_a_stronger_material_while_it_lacks() {
        // It asked for 240 ton: 180 of a material that is a third stronger, and it holds 160.
        let found = scaled(&held_to_four(), 0.75).unwrap();
        near(found.least, 120.0 + 45.0);
        near(found.most, 160.0 + 45.0);
        // Half as much: what it asked for is below the greatest rate then.
        near(scaled(&held_to_four(), 0.5).unwrap().most, 120.0 + 30.0);
    }

    #[test]
    fn ground_at_the_greatest_rate_takes_no_more_of_a_weaker_one() {
        let found = scaled(&held_to_four(), 1.5).unwrap();
        near(found.least, 160.0 + 90.0);
        near(found.most, 160.0 + 90.0);
    }

    #[test]
    fn without_ground_at_a_limit_the_rates_are_multiplied() {
        let mut row = held_to_four();
        row.greatest_rate = Some(quantity(2.5, "ton/ac"));
        let capped = &mut row.limits.as_mut().unwrap().capped;
        (capped.area.value, capped.product.value) = (0.0, 0.0);
        assert_eq!(scaled(&row, 1.25), None);
        assert_eq!(scaled(&row, 0.6), None);
        // 2.5 ton/ac times 2 are above 4: the mean of 2.2 bounds it from above.
        let found = scaled(&row, 2.0).unwrap();
        near(found.most, 400.0);
        // All at 1 or 2.5 ton/ac: 20 acres at 2 and 80 at 4.
        near(found.least, 360.0);
    }

    #[test]
    fn ground_at_the_least_rate_stays_there_where_it_is_raised() {
        let mut row = held_to_four();
        let limits = row.limits.as_mut().unwrap();
        limits.rates.below_least = "raise".to_owned();
        limits.rates.least = quantity(1.0, "ton/ac");
        (limits.capped.area.value, limits.capped.product.value) = (0.0, 0.0);
        // 20 acres at 1 ton/ac, which ask for 15 ton, and 80 at 2.5.
        (limits.raised.area.value, limits.raised.product.value) = (20.0, 5.0);
        (row.least_rate, row.greatest_rate) =
            (Some(quantity(1.0, "ton/ac")), Some(quantity(2.5, "ton/ac")));
        let weaker = scaled(&row, 1.2).unwrap();
        near(weaker.least, 20.0 + 240.0);
        near(weaker.most, 24.0 + 240.0);
        let stronger = scaled(&row, 0.8).unwrap();
        near(stronger.least, 20.0 + 160.0);
        assert!(stronger.most >= stronger.least);
    }

    /// What a spreader between `least` and 4 ton/ac does to a wanted rate, without any rounding.
    fn fitted(wanted: f64, least: f64, below: BelowMin) -> f64 {
        let raises = match below {
            BelowMin::Raise => true,
            BelowMin::Drop => false,
            BelowMin::Nearest => wanted >= least / 2.0,
        };
        if wanted >= least {
            wanted.min(4.0)
        } else if wanted > 0.0 && raises {
            least
        } else {
            0.0
        }
    }

    /// The row of acres that want these rates.
    fn row_of(wanted: &[f64], least: f64, below: BelowMin) -> FieldRow {
        let got: Vec<f64> = wanted.iter().map(|&rate| fitted(rate, least, below)).collect();
        let part = |is: &dyn Fn(f64, f64) -> bool| {
            let both = || wanted.iter().zip(&got).filter(|&(&wanted, &got)| is(wanted, got));
            AreaProduct {
                area: quantity(both().count() as f64, "ac"),
                product: quantity(both().map(|(wanted, got)| (wanted - got).abs()).sum(), "ton"),
            }
        };
        let mut row = made("a", got.iter().sum(), false);
        row.treated_area.value = got.iter().filter(|&&rate| rate > 0.0).count() as f64;
        let spread = || got.iter().copied().filter(|&rate| rate > 0.0);
        row.least_rate = spread().reduce(f64::min).map(|rate| quantity(rate, "ton/ac"));
        row.greatest_rate = spread().reduce(f64::max).map(|rate| quantity(rate, "ton/ac"));
        row.limits = Some(RowLimits {
            rates: RateLimitsPart {
                least: quantity(least, "ton/ac"),
                greatest: quantity(4.0, "ton/ac"),
                below_least: below.words().to_owned(),
            },
            raised: part(&|wanted, got| got > wanted),
            dropped: part(&|wanted, got| wanted > 0.0 && got == 0.0),
            capped: part(&|wanted, got| got > 0.0 && wanted > got),
        });
        row
    }

    proptest::proptest! {
        #[test]
        fn what_is_spread_lies_between_the_bounds(
            wanted in proptest::collection::vec(0.0..8.0_f64, 1..7),
            least in 0.25..3.0_f64,
            times in 0.3..3.0_f64,
            below in proptest::sample::select(BelowMin::ALL.to_vec()),
        ) {
            let spread = |times: f64| -> f64 {
                wanted.iter().map(|rate| fitted(rate * times, least, below)).sum()
            };
            let own = spread(1.0);
            proptest::prop_assume!(own > 0.0);
            let found = scaled(&row_of(&wanted, least, below), times);
            let Scaled { least, most } = found.unwrap_or(Scaled { least: times, most: times });
            let ratio = spread(times) / own;
            proptest::prop_assert!(
                least <= ratio + 1e-9 && ratio <= most + 1e-9,
                "{} is not between {} and {}", ratio, least, most
            );
        }
    }
}
