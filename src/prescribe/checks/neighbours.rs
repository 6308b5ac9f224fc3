//! Neighbouring samples whose pH is far apart.

use super::super::notes::shown;
use super::LayerData;
use crate::findings::Finding;
use crate::units::Length;

/// Neighbours whose pH differs by more than this are told (ours: it is the whole way from a soil
/// that needs much lime to one that needs none).
const FAR_APART_PH: f64 = 1.5;

/// How many pairs are named.
const WORST: usize = 3;

/// One finding for all pairs, with the worst of them.
pub(super) fn told(data: &LayerData<'_>) -> Option<Finding> {
    let ph = data.soils.sites.ph.as_ref()?;
    let pairs = far_apart(&data.soils.neighbours, ph);
    let worst: Vec<String> = pairs
        .iter()
        .take(WORST)
        .map(|&(a, b)| {
            let points = data.soils.places.points();
            let distance = Length::from_metres(points[a].distance_m(points[b]));
            format!(
                "{} (pH {:.2}) and {} (pH {:.2}), {} apart",
                data.name_of(a),
                ph[a],
                data.name_of(b),
                ph[b],
                shown(data.job.units.length(distance), 0)
            )
        })
        .collect();
    let count = match pairs.len() {
        0 => return None,
        1 => "1 pair of neighbouring samples differs".to_owned(),
        count => format!("{count} pairs of neighbouring samples differ"),
    };
    let which = if pairs.len() > WORST { ", most of all" } else { ":" };
    Some(Finding::new(
        "neighbours_far_apart",
        format!(
            "{count} by more than {FAR_APART_PH} in pH{which} {}. Between them the map runs over \
             the whole range; a border of soils, of fields or of an earlier liming may lie there.",
            worst.join("; ")
        ),
    ))
}

/// The pairs that are far apart, the farthest first; equal ones in their order.
fn far_apart(pairs: &[(usize, usize)], ph: &[f64]) -> Vec<(usize, usize)> {
    let apart = |pair: &(usize, usize)| (ph[pair.0] - ph[pair.1]).abs();
    // Readings have few decimals; their difference is compared without its rounding error.
    let mut far: Vec<(usize, usize)> =
        pairs.iter().copied().filter(|pair| apart(pair) > FAR_APART_PH + 1e-9).collect();
    far.sort_by(|a, b| apart(b).total_cmp(&apart(a)));
    far
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_more_than_the_threshold_counts_and_the_worst_comes_first() {
        let ph = [5.0, 6.5, 6.6, 4.2, 8.0];
        let pairs = [(0, 1), (0, 2), (2, 3), (3, 4), (1, 4)];
        // 1.5, 1.6, 2.4, 3.8, 1.5 apart.
        assert_eq!(far_apart(&pairs, &ph), [(3, 4), (2, 3), (0, 2)]);
        assert_eq!(far_apart(&[(0, 1)], &[5.1, 6.6]), [], "1.5 as binary numbers have it");
    }
}
