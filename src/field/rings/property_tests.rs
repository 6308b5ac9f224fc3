//! However the rings of a field are drawn, it is the same field.

use proptest::prelude::*;

use super::super::cells::tests::{assert_tiles, cells_of};
use super::tests::{Metres, lay, shape};
use crate::inputs::RingsSorted;

/// A ring around a place, one vertex in each direction; it does not meet itself.
fn star(radii: &[f64]) -> Metres {
    let turn = std::f64::consts::TAU / radii.len() as f64;
    radii
        .iter()
        .enumerate()
        .map(|(index, radius)| {
            let (sin, cos) = (turn * index as f64).sin_cos();
            [radius * cos, radius * sin]
        })
        .collect()
}

/// What is done to a ring that leaves its ground the same.
#[derive(Clone, Debug)]
struct Redrawn {
    reversed: bool,
    start: prop::sample::Index,
    repeated: Vec<prop::sample::Index>,
    spikes: Vec<(prop::sample::Index, f64)>,
}

fn redrawn() -> impl Strategy<Value = Redrawn> {
    let index = any::<prop::sample::Index>;
    (
        any::<bool>(),
        index(),
        prop::collection::vec(index(), 0..4),
        prop::collection::vec((index(), 0.6..1.5_f64), 0..4),
    )
        .prop_map(|(reversed, start, repeated, spikes)| Redrawn {
            reversed,
            start,
            repeated,
            spikes,
        })
}

impl Redrawn {
    fn apply(&self, ring: &[[f64; 2]]) -> Metres {
        let mut ring = ring.to_vec();
        for (index, out) in &self.spikes {
            let at = index.index(ring.len());
            let [x, y] = ring[at];
            // Along the ray through the vertex, which meets the ring there only.
            ring.splice(at..at, [[x, y], [x * out, y * out]]);
        }
        for index in &self.repeated {
            let at = index.index(ring.len());
            ring.insert(at, ring[at]);
        }
        let start = self.start.index(ring.len());
        ring.rotate_left(start);
        if self.reversed {
            ring.reverse();
        }
        ring.push(ring[0]);
        ring
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, ..ProptestConfig::default() })]

    #[test]
    fn a_field_is_the_same_however_its_rings_are_drawn(
        radii in prop::collection::vec(120.0..220.0_f64, 7..40),
        hole_radii in prop::collection::vec(30.0..60.0_f64, 5..12),
        island_radii in prop::collection::vec(5.0..12.0_f64, 3..7),
        redrawn in prop::collection::vec(redrawn(), 3),
        order in Just(vec![0_usize, 1, 2]).prop_shuffle(),
        cell_m in 15.0..60.0_f64,
    ) {
        let rings = [star(&radii), star(&hole_radii), star(&island_radii)];
        let (plain, told) = lay(vec![
            shape(1, RingsSorted::ByTheFile, &rings[..2]),
            shape(2, RingsSorted::ByTheFile, &rings[2..]),
        ]).unwrap();
        prop_assert!(told.is_empty());
        let other: Vec<Metres> = order.iter().map(|&at| redrawn[at].apply(&rings[at])).collect();
        let (field, told) = lay(vec![shape(1, RingsSorted::NotYet, &other)]).unwrap();
        let ratio = field.area() / plain.area();
        prop_assert!((ratio - 1.0).abs() < 1e-9, "{}", ratio);
        let spikes = redrawn.iter().any(|ring| !ring.spikes.is_empty());
        prop_assert_eq!(told.iter().any(|finding| finding.key == "spikes_cut"), spikes);
        let repeated = redrawn.iter().any(|ring| !ring.repeated.is_empty());
        prop_assert_eq!(told.iter().any(|finding| finding.key == "repeated_vertices"), repeated);
        let cells = cells_of(&field, cell_m, 0.0);
        assert_tiles(&field, &cells);
        prop_assert_eq!(cells.list.len(), cells_of(&plain, cell_m, 0.0).list.len());
    }
}
