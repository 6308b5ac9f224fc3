//! A short way through places on the earth: the nearest next, then made shorter by turning parts of
//! it around and by moving short parts elsewhere.

use rayon::prelude::*;

/// Mean radius of the earth in metres (GRS 80: Moritz, Geodetic Reference System 1980, Journal of
/// Geodesy 74, 2000; from memory). A straight line over land needs no better one: the road factor is
/// far coarser.
const EARTH_M: f64 = 6_371_008.8;

/// The straight line between two places in degrees, in metres.
pub(in crate::roster) fn straight_m(from: [f64; 2], to: [f64; 2]) -> f64 {
    let half = chord(vector(from), vector(to)) / 2.0;
    2.0 * EARTH_M * half.min(1.0).asin()
}

/// Places times beginnings that are tried, and places above which there is one beginning.
const TRIED: usize = 4_000;
const MANY: usize = 1_000;
/// Rounds of shortening where there are many places.
const ROUNDS_OF_MANY: usize = 10;
/// What a change must gain, of the earth's radius, to be one: about a millimetre.
const GAIN: f64 = 1e-10;

/// The places in the order of a short way that begins near `from`, or anywhere. It is the same for
/// the same places in the same order; it is not proven to be the shortest.
pub(super) fn short_way(places: &[[f64; 2]], from: Option<[f64; 2]>) -> Vec<usize> {
    let at: Vec<[f64; 3]> = places.iter().map(|&place| vector(place)).collect();
    let beginning = from.map(vector);
    let way = Way { at: &at, beginning };
    let beginnings: Vec<usize> = match beginning {
        Some(from) => way.nearest(from, &vec![false; at.len()]).into_iter().collect(),
        None if at.len() > MANY => vec![0],
        None => (0..at.len().min(TRIED / at.len().max(1))).collect(),
    };
    let ways: Vec<Vec<usize>> =
        beginnings.into_par_iter().map(|first| way.shortened(way.greedy(first))).collect();
    let mut best: Option<(f64, Vec<usize>)> = None;
    for order in ways {
        let length = way.length(&order);
        if best.as_ref().is_none_or(|(least, _)| length < least - GAIN) {
            best = Some((length, order));
        }
    }
    let mut order = best.map_or_else(Vec::new, |(_, order)| order);
    if from.is_none() && order.first() > order.last() {
        order.reverse();
    }
    order
}

struct Way<'a> {
    at: &'a [[f64; 3]],
    beginning: Option<[f64; 3]>,
}

impl Way<'_> {
    fn between(&self, a: usize, b: usize) -> f64 {
        chord(self.at[a], self.at[b])
    }

    fn nearest(&self, from: [f64; 3], taken: &[bool]) -> Option<usize> {
        let free = (0..self.at.len()).filter(|&at| !taken[at]);
        free.min_by(|&a, &b| chord(from, self.at[a]).total_cmp(&chord(from, self.at[b])))
    }

    fn greedy(&self, first: usize) -> Vec<usize> {
        let mut taken = vec![false; self.at.len()];
        let mut order = vec![first];
        taken[first] = true;
        while let Some(next) = order.last().and_then(|&last| self.nearest(self.at[last], &taken)) {
            taken[next] = true;
            order.push(next);
        }
        order
    }

    /// The leg that ends at the place `to` of the order; from the beginning where it is the first.
    fn leg(&self, order: &[usize], before: Option<usize>, to: usize) -> f64 {
        match before {
            Some(before) => self.between(order[before], order[to]),
            None => self.beginning.map_or(0.0, |from| chord(from, self.at[order[to]])),
        }
    }

    fn length(&self, order: &[usize]) -> f64 {
        (0..order.len()).map(|to| self.leg(order, to.checked_sub(1), to)).sum()
    }

    fn shortened(&self, mut order: Vec<usize>) -> Vec<usize> {
        let rounds = if order.len() > MANY { ROUNDS_OF_MANY } else { usize::MAX };
        for _ in 0..rounds {
            let turned = self.turn_parts(&mut order);
            let moved = order.len() <= MANY && self.move_parts(&mut order);
            if !turned && !moved {
                break;
            }
        }
        order
    }

    /// Turns every part around whose ends then lie nearer to what is before and behind them.
    fn turn_parts(&self, order: &mut [usize]) -> bool {
        let mut any = false;
        for first in 0..order.len() {
            let before = first.checked_sub(1);
            let mut into = self.leg(order, before, first);
            for last in first + 1..order.len() {
                let old = into + self.behind(order, last, last);
                let new = self.leg(order, before, last) + self.behind(order, first, last);
                if new < old - GAIN {
                    order[first..=last].reverse();
                    into = self.leg(order, before, first);
                    any = true;
                }
            }
        }
        any
    }

    /// From the place `end` to the one behind `last`; nothing where that is the end of the way.
    fn behind(&self, order: &[usize], end: usize, last: usize) -> f64 {
        order.get(last + 1).map_or(0.0, |&next| self.between(order[end], next))
    }

    /// Moves every part of up to three places to where it lengthens the way least.
    fn move_parts(&self, order: &mut Vec<usize>) -> bool {
        let mut any = false;
        for size in 1..=3_usize.min(order.len().saturating_sub(1)) {
            for first in 0..=order.len() - size {
                let (change, to, turned) = self.best_move(order, first, size);
                if change < -GAIN {
                    let mut part: Vec<usize> = order.drain(first..first + size).collect();
                    if turned {
                        part.reverse();
                    }
                    order.splice(to..to, part);
                    any = true;
                }
            }
        }
        any
    }

    /// Where a part lengthens the way of the others least: by what the whole way then changes,
    /// before which of the others it comes, and whether it is turned around.
    fn best_move(&self, order: &[usize], first: usize, size: usize) -> (f64, usize, bool) {
        let last = first + size - 1;
        let (head, tail) = (order[first], order[last]);
        let others = order.len() - size;
        let other = |at: usize| order[if at < first { at } else { at + size }];
        let from_before = |before: Option<usize>, place: usize| match before {
            Some(before) => self.between(before, place),
            None => self.beginning.map_or(0.0, |from| chord(from, self.at[place])),
        };
        let mut best = (f64::INFINITY, first, false);
        let (mut before, mut into) = (None, [from_before(None, head), from_before(None, tail)]);
        let mut closed = 0.0;
        for to in 0..=others {
            let next = (to < others).then(|| other(to));
            let out = next.map_or([0.0; 2], |next| [tail, head].map(|end| self.between(end, next)));
            let old = next.map_or(0.0, |next| from_before(before, next));
            if to == first {
                closed = old;
            }
            for turned in [false, true] {
                let added = into[usize::from(turned)] + out[usize::from(turned)] - old;
                if added < best.0 - GAIN {
                    best = (added, to, turned);
                }
            }
            // From the next one on, what it was to the other end is what it is from behind it.
            (before, into) = (next, [out[1], out[0]]);
        }
        let removed =
            self.leg(order, first.checked_sub(1), first) + self.behind(order, last, last) - closed;
        (best.0 - removed, best.1, best.2)
    }
}

/// The place on a sphere of radius 1.
fn vector([lon_deg, lat_deg]: [f64; 2]) -> [f64; 3] {
    let (lon, lat) = (lon_deg.to_radians(), lat_deg.to_radians());
    [lat.cos() * lon.cos(), lat.cos() * lon.sin(), lat.sin()]
}

fn chord(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|axis| (a[axis] - b[axis]) * (a[axis] - b[axis])).sum::<f64>().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn length(places: &[[f64; 2]], order: &[usize]) -> f64 {
        order.windows(2).map(|pair| straight_m(places[pair[0]], places[pair[1]])).sum()
    }

    fn shortest(places: &[[f64; 2]], order: &mut Vec<usize>, from: usize) -> f64 {
        if from == order.len() {
            return length(places, order);
        }
        let mut least = f64::INFINITY;
        for next in from..order.len() {
            order.swap(from, next);
            least = least.min(shortest(places, order, from + 1));
            order.swap(from, next);
        }
        least
    }

    #[test]
    fn a_degree_along_a_meridian_is_a_hundred_and_eleven_kilometres() {
        assert!((straight_m([7.0, 0.0], [7.0, 1.0]) / 111_195.08 - 1.0).abs() < 1e-6);
        assert_eq!(straight_m([7.0, 3.0], [7.0, 3.0]), 0.0);
    }

    proptest::proptest! {
        #[test]
        fn a_way_visits_all_places_once_and_is_nearly_the_shortest(
            places in proptest::collection::vec((0_u32..1000, 0_u32..1000), 1..8),
        ) {
            let places: Vec<[f64; 2]> = places
                .into_iter()
                .map(|(x, y)| [-93.0 + f64::from(x) * 1e-4, 42.0 + f64::from(y) * 1e-4])
                .collect();
            let way = short_way(&places, None);
            let mut sorted = way.clone();
            sorted.sort_unstable();
            let all: Vec<usize> = (0..places.len()).collect();
            proptest::prop_assert_eq!(&sorted, &all);
            let least = shortest(&places, &mut all.clone(), 0);
            proptest::prop_assert!(length(&places, &way) <= least * 1.2 + 1e-3);
            proptest::prop_assert_eq!(&way, &short_way(&places, None));
        }
    }

    #[test]
    fn a_way_from_a_place_begins_at_what_is_nearest() {
        let row = [[0.3, 0.0], [0.1, 0.0], [0.4, 0.0], [0.2, 0.0]];
        assert_eq!(short_way(&row, Some([0.0, 0.0])), [1, 3, 0, 2]);
        assert_eq!(short_way(&row, Some([0.5, 0.0])), [2, 0, 3, 1]);
        assert_eq!(short_way(&[], None), Vec::<usize>::new());
    }
}
