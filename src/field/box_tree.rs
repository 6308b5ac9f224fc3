//! Boxes in a tree, so that those at a place are found without looking at all of them: an outline
//! of a million vertices is then gone through in time that grows little faster than it does.

/// A box: least x and y, greatest x and y.
pub(crate) type Reach = [f64; 4];

/// Boxes that a leaf of the tree holds at most; more branching costs more than it spares.
const LEAF: usize = 8;

/// Distances that differ by less than this share may be the same but for rounding.
const SURELY: f64 = 1.0 - 1e-12;

/// A tree over boxes, which it names by their places in the list that it was made of.
#[derive(Clone, Debug)]
pub(crate) struct BoxTree {
    /// Each branch stands before what it holds.
    branches: Vec<Branch>,
    /// The boxes in the order of the leaves, with their numbers.
    boxes: Vec<(Reach, u32)>,
}

#[derive(Clone, Copy, Debug)]
struct Branch {
    reach: Reach,
    /// The first of its boxes and how many they are; none where it has two branches.
    boxes: (u32, u32),
    /// Its second branch; the first stands next to it.
    second: u32,
}

impl BoxTree {
    pub(crate) fn of(boxes: impl IntoIterator<Item = Reach>) -> Self {
        let mut boxes: Vec<(Reach, u32)> = boxes.into_iter().zip(0..).collect();
        let mut branches = Vec::with_capacity(2 * boxes.len() / LEAF + 1);
        if !boxes.is_empty() {
            grow(&mut boxes, 0, &mut branches);
        }
        Self { branches, boxes }
    }

    /// The numbers of all boxes that have a place in common with `wanted`, in no order.
    pub(crate) fn meeting(&self, wanted: Reach) -> impl Iterator<Item = usize> + '_ {
        let mut open: Vec<u32> = if self.branches.is_empty() { Vec::new() } else { vec![0] };
        let mut leaf: &[(Reach, u32)] = &[];
        std::iter::from_fn(move || {
            loop {
                while let Some((first, rest)) = leaf.split_first() {
                    leaf = rest;
                    if !apart(&first.0, &wanted) {
                        return Some(first.1 as usize);
                    }
                }
                let at = open.pop()?;
                let branch = &self.branches[at as usize];
                if apart(&branch.reach, &wanted) {
                    continue;
                }
                let (first, count) = branch.boxes;
                if count > 0 {
                    leaf = &self.boxes[first as usize..(first + count) as usize];
                } else {
                    open.extend([branch.second, at + 1]);
                }
            }
        })
    }

    /// The least of the distances that `distance_m` gives for each box, none of which may be less
    /// than that of `point` from the box, but for rounding; infinite where there is no box. Every box
    /// that can have the least distance is asked for.
    pub(crate) fn nearest_m(
        &self,
        [x, y]: [f64; 2],
        mut distance_m: impl FnMut(usize) -> f64,
    ) -> f64 {
        let away = |reach: &Reach| {
            let dx = (reach[0] - x).max(x - reach[2]).max(0.0);
            let dy = (reach[1] - y).max(y - reach[3]).max(0.0);
            dx.hypot(dy)
        };
        let mut least = f64::INFINITY;
        let mut open: Vec<(f64, u32)> = Vec::new();
        open.extend(self.branches.first().map(|branch| (away(&branch.reach), 0)));
        while let Some((far, at)) = open.pop() {
            if far * SURELY > least {
                continue;
            }
            let branch = &self.branches[at as usize];
            let (first, count) = branch.boxes;
            for (reach, number) in &self.boxes[first as usize..(first + count) as usize] {
                if away(reach) * SURELY <= least {
                    least = least.min(distance_m(*number as usize));
                }
            }
            if count == 0 {
                let mut inner = [at + 1, branch.second]
                    .map(|inner| (away(&self.branches[inner as usize].reach), inner));
                // The nearer one is looked at first.
                if inner[0].0 < inner[1].0 {
                    inner.swap(0, 1);
                }
                open.extend(inner);
            }
        }
        least
    }
}

/// Whether two boxes have no place in common.
pub(super) fn apart(a: &Reach, b: &Reach) -> bool {
    a[2] < b[0] || b[2] < a[0] || a[3] < b[1] || b[3] < a[1]
}

/// A box widened on all sides.
pub(crate) fn widened(reach: Reach, by_m: f64) -> Reach {
    [reach[0] - by_m, reach[1] - by_m, reach[2] + by_m, reach[3] + by_m]
}

/// Puts boxes into branches, which halve them along the longer side of what they cover; halves are
/// equal in number, so the tree is as deep as the logarithm of the boxes.
fn grow(boxes: &mut [(Reach, u32)], first: u32, branches: &mut Vec<Branch>) {
    let start = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
    let reach = boxes.iter().fold(start, |all, (reach, _)| {
        [all[0].min(reach[0]), all[1].min(reach[1]), all[2].max(reach[2]), all[3].max(reach[3])]
    });
    let own = branches.len();
    let leaf = boxes.len() <= LEAF;
    let count = if leaf { boxes.len() as u32 } else { 0 };
    branches.push(Branch { reach, boxes: (first, count), second: 0 });
    if leaf {
        return;
    }
    let axis = usize::from(reach[3] - reach[1] > reach[2] - reach[0]);
    let middle = boxes.len() / 2;
    boxes.select_nth_unstable_by(middle, |(a, one), (b, other)| {
        (a[axis] + a[axis + 2]).total_cmp(&(b[axis] + b[axis + 2])).then(one.cmp(other))
    });
    let (low, high) = boxes.split_at_mut(middle);
    grow(low, first, branches);
    branches[own].second = branches.len() as u32;
    grow(high, first + middle as u32, branches);
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
