//! Sites whose value is unlike what the others around them say.

use super::interpolator::Interpolator;
use super::robust::Robust;
use super::sites::{Sites, merge_coincident};
use crate::field::Point;

/// Fewer sites than this make no scale to go by (ours).
const FEWEST_SITES: usize = 5;

/// So many suspects are looked at for each outlier that may be told: one wild value makes suspects
/// of its neighbours, which look less wild than it does (ours; it bounds the time).
const SUSPECTS_A_TOLD_ONE: usize = 3;

/// A site whose value is unlike its neighbours', in the unit of the values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StandsOut {
    /// The site.
    pub site: usize,
    /// Its value.
    pub value: f64,
    /// The value that the map of the others has there.
    pub others_say: f64,
    /// How many scales of such differences it is off.
    pub scales_off: f64,
}

/// The sites that stand out, the one furthest off first, at most `most`.
///
/// `estimates` are those of [`leave_one_out`](super::leave_one_out). The differences between value
/// and estimate are held against their own robust scale, which is at least `floor`. A wild value
/// also draws the estimates of its neighbours away from their values; so, from the second on, each
/// site is estimated again without those that were found before it, and kept only if it still
/// stands out.
///
/// # Panics
/// If there are fewer values or estimates than sites.
pub fn find_outliers(
    sites: &Sites,
    values: &[f64],
    estimates: &[f64],
    floor: f64,
    most: usize,
) -> Vec<StandsOut> {
    let count = sites.len();
    let off: Vec<f64> = (0..count).map(|site| values[site] - estimates[site]).collect();
    let Some(common) = Robust::of(&off, floor).filter(|_| count >= FEWEST_SITES) else {
        return Vec::new();
    };
    let mut suspects: Vec<usize> =
        (0..count).filter(|&site| common.stands_out(off[site])).collect();
    suspects.sort_by(|&a, &b| common.scales_off(off[b]).total_cmp(&common.scales_off(off[a])));
    let mut found: Vec<StandsOut> = Vec::new();
    for site in suspects.into_iter().take(SUSPECTS_A_TOLD_ONE * most) {
        if found.len() == most {
            break;
        }
        let estimate = if found.is_empty() {
            Some(estimates[site])
        } else {
            let without: Vec<usize> =
                found.iter().map(|outlier| outlier.site).chain([site]).collect();
            estimate_without(sites.points(), values, site, &without)
        };
        let Some(others_say) = estimate else { continue };
        let difference = values[site] - others_say;
        if common.stands_out(difference) {
            let scales_off = common.scales_off(difference);
            found.push(StandsOut { site, value: values[site], others_say, scales_off });
        }
    }
    found.sort_by(|a, b| b.scales_off.total_cmp(&a.scales_off));
    found
}

/// What the sites other than `without` say at `site`; `None` where none is left.
fn estimate_without(
    points: &[Point],
    values: &[f64],
    site: usize,
    without: &[usize],
) -> Option<f64> {
    let kept = (0..points.len()).filter(|other| !without.contains(other));
    let (points_kept, values_kept): (Vec<Point>, Vec<f64>) =
        kept.map(|other| (points[other], values[other])).unzip();
    let surface = Interpolator::new(&merge_coincident(&points_kept))?;
    Some(surface.weigh(&[points[site]]).value(0, &values_kept))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surfaces::leave_one_out;

    /// A grid of 8 by 8 sites 60 m apart, on which the value falls gently to the east.
    fn field() -> (Sites, Vec<f64>) {
        let at = |step: i32| (f64::from(step % 8), f64::from(step / 8));
        let points: Vec<Point> =
            (0..64).map(|step| Point { x_m: 60.0 * at(step).0, y_m: 60.0 * at(step).1 }).collect();
        let wobble = |step: i32| 0.03 * f64::from((step * 7) % 5 - 2);
        let values = (0..64).map(|step| 6.5 - 0.1 * at(step).0 + wobble(step)).collect();
        (merge_coincident(&points), values)
    }

    fn found(sites: &Sites, values: &[f64]) -> Vec<StandsOut> {
        let estimates = leave_one_out(sites, values).unwrap();
        find_outliers(sites, values, &estimates, 0.2, 10)
    }

    #[test]
    fn a_field_without_wild_values_has_none() {
        let (sites, values) = field();
        assert_eq!(found(&sites, &values), []);
        assert_eq!(found(&sites, &[6.0; 64]), []);
    }

    #[test]
    fn a_wild_value_is_found_and_its_neighbours_are_not_taken_for_wild() {
        let (sites, mut values) = field();
        let own = values[27];
        // So far off that the four beside it are estimated a whole unit wrong.
        values[27] = 2.0;
        let estimates = leave_one_out(&sites, &values).unwrap();
        assert!((values[28] - estimates[28]).abs() > 0.7, "the neighbours would stand out");
        let found = found(&sites, &values);
        assert_eq!(found.iter().map(|outlier| outlier.site).collect::<Vec<_>>(), [27]);
        assert!((found[0].others_say - own).abs() < 0.2, "{found:?}");
    }

    #[test]
    fn two_wild_values_side_by_side_do_not_hide_each_other() {
        let (sites, mut values) = field();
        values[27] = 3.0;
        values[28] = 4.0;
        let mut outliers: Vec<usize> = found(&sites, &values).iter().map(|o| o.site).collect();
        outliers.sort_unstable();
        assert_eq!(outliers, [27, 28]);
    }

    #[test]
    fn no_more_than_asked_are_named_the_worst_first() {
        let (sites, mut values) = field();
        for (site, value) in [(9, 4.5), (36, 3.0), (54, 3.5)] {
            values[site] = value;
        }
        let estimates = leave_one_out(&sites, &values).unwrap();
        let two = find_outliers(&sites, &values, &estimates, 0.2, 2);
        assert_eq!(two.iter().map(|o| o.site).collect::<Vec<_>>(), [36, 54]);
    }

    #[test]
    fn so_few_sites_make_no_scale() {
        let points: Vec<Point> = [[0.0, 0.0], [100.0, 0.0], [100.0, 100.0], [0.0, 100.0]]
            .map(|[x_m, y_m]| Point { x_m, y_m })
            .to_vec();
        let sites = merge_coincident(&points);
        assert_eq!(found(&sites, &[6.0, 6.0, 6.0, 2.0]), []);
    }
}
