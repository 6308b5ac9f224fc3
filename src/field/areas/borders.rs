//! The edges of all cells, each with what lies on either side of it.

use rayon::prelude::*;

use crate::field::cells::{Cells, PieceRings, Shape};

/// An edge of the net that all cells make.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Border {
    /// The vertices at its ends, the lower number first.
    pub ends: (u32, u32),
    /// The cell on its left, from the lower to the higher.
    pub left: Option<u32>,
    /// The cell on its right.
    pub right: Option<u32>,
}

/// All edges of the net, by their ends.
#[derive(Clone, Debug)]
pub struct Borders {
    /// The edges.
    pub list: Vec<Border>,
    /// For each cell where its neighbours begin in `neighbours`; one more than there are cells.
    first: Vec<u32>,
    /// The neighbours of each cell, with the length of the border in metres.
    neighbours: Vec<(u32, f64)>,
}

impl Borders {
    /// The cells that share an edge with a cell, and how long that edge is in metres; a neighbour
    /// is named once for each edge.
    pub fn around(&self, cell: u32) -> &[(u32, f64)] {
        let [from, to] = [cell, cell + 1].map(|at| self.first[at as usize] as usize);
        &self.neighbours[from..to]
    }
}

/// Finds what lies on either side of every edge of the cells.
pub fn find_borders(cells: &Cells) -> Borders {
    let mut sides: Vec<(u32, u32, bool, u32)> = Vec::with_capacity(cells.list.len() * 4);
    for (number, cell) in (0_u32..).zip(&cells.list) {
        let mut put = |(from, to): (u32, u32)| {
            sides.push((from.min(to), from.max(to), from < to, number));
        };
        match &cell.shape {
            Shape::Whole(corners) => (0..4).for_each(|i| put((corners[i], corners[(i + 1) % 4]))),
            Shape::Cut(pieces) => pieces.iter().flat_map(PieceRings::edges).for_each(put),
        }
    }
    sides.par_sort_unstable();
    let mut list = Vec::with_capacity(sides.len() / 2 + cells.list.len() / 8);
    for same in sides.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
        let side = |upward| same.iter().find(|side| side.2 == upward).map(|side| side.3);
        list.push(Border { ends: (same[0].0, same[0].1), left: side(true), right: side(false) });
    }
    let (first, neighbours) = neighbours(cells, &list);
    Borders { list, first, neighbours }
}

fn neighbours(cells: &Cells, list: &[Border]) -> (Vec<u32>, Vec<(u32, f64)>) {
    let mut first = vec![0_u32; cells.list.len() + 1];
    let between = || list.iter().filter_map(|border| Some((border, border.left?, border.right?)));
    for (_, left, right) in between() {
        first[left as usize + 1] += 1;
        first[right as usize + 1] += 1;
    }
    for at in 1..first.len() {
        first[at] += first[at - 1];
    }
    let mut next = first.clone();
    let mut neighbours = vec![(0, 0.0); first.last().map_or(0, |&count| count as usize)];
    for (border, left, right) in between() {
        let [a, b] = [border.ends.0, border.ends.1].map(|at| cells.vertices[at as usize].point);
        for (cell, other) in [(left, right), (right, left)] {
            neighbours[next[cell as usize] as usize] = (other, a.distance_m(b));
            next[cell as usize] += 1;
        }
    }
    (first, neighbours)
}
