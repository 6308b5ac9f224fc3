//! Boxes in a tree, so that those at a place are found without looking at all of them: an outline
//! of a million vertices is then gone through in time that grows little faster than it does.

use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

/// A box: least x and y, greatest x and y.
pub(crate) type Reach = [f64; 4];

/// Distances that differ by less than this share may be the same but for rounding.
const SURELY: f64 = 1.0 - 1e-12;

/// A tree over boxes, which it names by their places in the list that it was made of.
#[derive(Clone, Debug)]
pub(crate) struct BoxTree(RTree<GeomWithData<Rectangle<[f64; 2]>, u32>>);

impl BoxTree {
    pub(crate) fn of(boxes: impl IntoIterator<Item = Reach>) -> Self {
        let numbered = boxes.into_iter().zip(0..);
        let boxes = numbered.map(|(reach, number)| GeomWithData::new(aabb(reach).into(), number));
        Self(RTree::bulk_load(boxes.collect()))
    }

    /// The numbers of all boxes that have a place in common with `wanted`, in no order.
    pub(crate) fn meeting(&self, wanted: Reach) -> impl Iterator<Item = usize> + '_ {
        self.0.locate_in_envelope_intersecting(&aabb(wanted)).map(|found| found.data as usize)
    }

    /// The least of the distances that `distance_m` gives for each box, none of which may be less
    /// than that of `point` from the box, but for rounding; infinite where there is no box. Every box
    /// that can have the least distance is asked for.
    pub(crate) fn nearest_m(
        &self,
        point: [f64; 2],
        mut distance_m: impl FnMut(usize) -> f64,
    ) -> f64 {
        let mut least = f64::INFINITY;
        // They come from the nearest box to the farthest.
        for (found, away_squared) in self.0.nearest_neighbor_iter_with_distance_2(&point) {
            if away_squared.sqrt() * SURELY > least {
                break;
            }
            least = least.min(distance_m(found.data as usize));
        }
        least
    }
}

fn aabb([west, south, east, north]: Reach) -> AABB<[f64; 2]> {
    AABB::from_corners([west, south], [east, north])
}

/// Whether two boxes have no place in common.
pub(super) fn apart(a: &Reach, b: &Reach) -> bool {
    a[2] < b[0] || b[2] < a[0] || a[3] < b[1] || b[3] < a[1]
}

/// A box widened on all sides.
pub(crate) fn widened(reach: Reach, by_m: f64) -> Reach {
    [reach[0] - by_m, reach[1] - by_m, reach[2] + by_m, reach[3] + by_m]
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn box_of(corner: (f64, f64), size: (f64, f64)) -> Reach {
        [corner.0, corner.1, corner.0 + size.0, corner.1 + size.1]
    }

    #[test]
    fn a_tree_of_nothing_holds_nothing() {
        let tree = BoxTree::of([]);
        assert_eq!(tree.meeting([0.0, 0.0, 1.0, 1.0]).count(), 0);
        assert!(tree.nearest_m([0.0, 0.0], |_| 0.0).is_infinite());
    }

    proptest! {
        #[test]
        fn the_tree_finds_what_looking_at_every_box_finds(
            boxes in prop::collection::vec(
                ((0.0..9.0, 0.0..9.0), (0.0..3.0_f64, 0.0..3.0_f64)), 0..80),
            wanted in ((0.0..9.0, 0.0..9.0), (0.0..3.0_f64, 0.0..3.0_f64)),
        ) {
            let boxes: Vec<Reach> = boxes.into_iter().map(|(at, size)| box_of(at, size)).collect();
            let wanted = box_of(wanted.0, wanted.1);
            let tree = BoxTree::of(boxes.iter().copied());
            let mut found: Vec<usize> = tree.meeting(wanted).collect();
            found.sort_unstable();
            let expected: Vec<usize> =
                (0..boxes.len()).filter(|&at| !apart(&boxes[at], &wanted)).collect();
            prop_assert_eq!(found, expected);
            // The distance from the lower left corner of a box is at least that from the box.
            let to = |reach: &Reach| (reach[0] - wanted[0]).hypot(reach[1] - wanted[1]);
            let least = boxes.iter().map(to).fold(f64::INFINITY, f64::min);
            let nearest = tree.nearest_m([wanted[0], wanted[1]], |at| to(&boxes[at]));
            prop_assert!(nearest.total_cmp(&least).is_eq(), "{} is not {}", nearest, least);
        }
    }
}
