//! Pieces too small to spread on their own join a neighbour.

use std::collections::{BTreeMap, HashMap};

use super::PieceRings;
use super::cut::{CutCell, Cutter};
use super::trace::trace_pieces;
use super::value_point::piece_area_m2;

/// Pieces smaller than this share of a whole cell join a neighbour (our choice: a spreader does
/// not answer on so short a way).
pub(super) const SMALL_SHARE: f64 = 0.05;

/// A piece of a cell, and the group that it has come to belong to.
struct Member {
    cell: usize,
    region: u32,
    edges: Vec<(u32, u32)>,
    area_m2: f64,
    /// The member that this one has joined; itself at first.
    joined: usize,
}

/// The edges and the area in square metres of what a region has of a cell.
type Content = (Vec<(u32, u32)>, f64);

/// The pieces that are small, and the pieces around them.
struct Groups {
    members: Vec<Member>,
    /// For the head of each group its members and their area.
    gathered: Vec<(Vec<usize>, f64)>,
    /// Which member has a directed edge; only asked, never walked through.
    owner: HashMap<(u32, u32), usize>,
}

/// Joins every small piece to the neighbour of its region that it shares the longest edge with, the
/// smallest first, and returns how many joined. The receiving cell keeps its number; cells left empty are
/// taken out; whole cells that receive a piece are put in. `None` on a fault.
pub(super) fn join_small_pieces(cells: &mut Vec<CutCell>, cutter: &Cutter<'_>) -> Option<usize> {
    give_away_thin_cells(cells, cutter);
    let limit_m2 = SMALL_SHARE * cutter.grid.cell_m2();
    let small_cells: Vec<usize> = cells
        .iter()
        .filter(|cut| cut.pieces.iter().any(|p| piece_area_m2(p, cutter.vertices) < limit_m2))
        .map(|cut| cut.cell)
        .collect();
    if small_cells.is_empty() {
        return Some(0);
    }
    let mut wanted: Vec<usize> = small_cells
        .iter()
        .flat_map(|&cell| around(cell, cutter))
        .chain(small_cells.iter().copied())
        .collect();
    wanted.sort_unstable();
    wanted.dedup();
    add_whole_cells(cells, &wanted, cutter);
    let mut groups = Groups::gather(cells, &wanted, cutter);
    let joined = groups.join(limit_m2, cutter);
    groups.write_back(cells, cutter)?;
    Some(joined)
}

/// The cells that share a side with `cell`.
fn around(cell: usize, cutter: &Cutter<'_>) -> Vec<usize> {
    let (column, row) = cutter.grid.column_and_row(cell);
    let mut cells = Vec::with_capacity(4);
    if row > 0 {
        cells.push(cutter.grid.cell(column, row - 1));
    }
    if column > 0 {
        cells.push(cutter.grid.cell(column - 1, row));
    }
    if column + 1 < cutter.grid.columns {
        cells.push(cutter.grid.cell(column + 1, row));
    }
    if row + 1 < cutter.grid.rows {
        cells.push(cutter.grid.cell(column, row + 1));
    }
    cells
}

/// A cell whose content is thinner than the output's decimals has no polygon: its neighbours'
/// polygons have closed over it, so the first of them in order has its area too.
fn give_away_thin_cells(cells: &mut Vec<CutCell>, cutter: &Cutter<'_>) {
    for index in 0..cells.len() {
        if !cells[index].pieces.is_empty() {
            continue;
        }
        let region = cells[index].region;
        let neighbours = around(cells[index].cell, cutter);
        let receiver = neighbours.iter().find_map(|&cell| {
            let found = find(cells, cell, region)?;
            (!cells[found].pieces.is_empty()).then_some(found)
        });
        // Where no neighbour is cut the next cell in order has it, of its own region where there
        // is one, so that no area is lost.
        let others = || (0..index).rev().chain(index + 1..cells.len());
        let receiver = receiver
            .or_else(|| {
                others().find(|&i| !cells[i].pieces.is_empty() && cells[i].region == region)
            })
            .or_else(|| others().find(|&i| !cells[i].pieces.is_empty()));
        if let Some(receiver) = receiver {
            cells[receiver].area_m2 += cells[index].area_m2;
            cells[index].area_m2 = 0.0;
        }
    }
    cells.retain(|cut| !cut.pieces.is_empty());
}

/// Puts those of the wanted cells that are whole among the cut ones.
fn add_whole_cells(cells: &mut Vec<CutCell>, wanted: &[usize], cutter: &Cutter<'_>) {
    let mut whole = Vec::new();
    for &cell in wanted {
        let (column, row) = cutter.grid.column_and_row(cell);
        let node = cutter.grid.node(column, row);
        if cutter.windings.at(node) > 0 && !cutter.is_touched(cell) {
            let outer = cutter.cell_nodes(column, row).to_vec();
            let pieces = vec![PieceRings { outer, holes: Vec::new() }];
            let region = cutter.windings.region(node);
            whole.push(CutCell { cell, region, area_m2: cutter.grid.cell_m2(), pieces });
        }
    }
    cells.extend(whole);
    cells.sort_by_key(|cut| (cut.cell, cut.region));
}

/// Where a region's part of a cell is in the list.
fn find(cells: &[CutCell], cell: usize, region: u32) -> Option<usize> {
    cells.binary_search_by_key(&(cell, region), |cut| (cut.cell, cut.region)).ok()
}

/// The parts of a cell in the list.
fn parts_of(cells: &[CutCell], cell: usize) -> &[CutCell] {
    let first = cells.partition_point(|cut| cut.cell < cell);
    let count = cells[first..].partition_point(|cut| cut.cell == cell);
    &cells[first..first + count]
}

impl Groups {
    fn gather(cells: &[CutCell], wanted: &[usize], cutter: &Cutter<'_>) -> Self {
        let mut groups = Self { members: Vec::new(), gathered: Vec::new(), owner: HashMap::new() };
        for cut in wanted.iter().flat_map(|&cell| parts_of(cells, cell)) {
            let mut areas: Vec<f64> =
                cut.pieces.iter().map(|piece| piece_area_m2(piece, cutter.vertices)).collect();
            // The largest piece takes what rounding moved, so that the pieces have the cell's area.
            let rest = cut.area_m2 - areas.iter().sum::<f64>();
            if let Some(largest) = areas.iter_mut().max_by(|a, b| a.total_cmp(b)) {
                *largest += rest;
            }
            for (piece, area_m2) in cut.pieces.iter().zip(areas) {
                let number = groups.members.len();
                let edges: Vec<(u32, u32)> = piece.edges().collect();
                groups.owner.extend(edges.iter().map(|&edge| (edge, number)));
                let (cell, region) = (cut.cell, cut.region);
                groups.members.push(Member { cell, region, edges, area_m2, joined: number });
                groups.gathered.push((vec![number], area_m2));
            }
        }
        groups
    }

    fn head(&self, mut member: usize) -> usize {
        while self.members[member].joined != member {
            member = self.members[member].joined;
        }
        member
    }

    fn join(&mut self, limit_m2: f64, cutter: &Cutter<'_>) -> usize {
        let mut small: Vec<usize> = (0..self.members.len()).collect();
        small.retain(|&member| self.members[member].area_m2 < limit_m2);
        small.sort_by(|&a, &b| {
            self.members[a].area_m2.total_cmp(&self.members[b].area_m2).then(a.cmp(&b))
        });
        let mut joined = 0;
        for member in small {
            let head = self.head(member);
            if self.gathered[head].1 >= limit_m2 {
                continue;
            }
            let Some(receiver) = self.find_receiver(head, cutter) else { continue };
            let (moving, area) = std::mem::take(&mut self.gathered[head]);
            self.members[head].joined = receiver;
            self.gathered[receiver].0.extend(moving);
            self.gathered[receiver].1 += area;
            joined += 1;
        }
        joined
    }

    /// The head of the group of the same region that shares the longest edge with the group of
    /// `head`; among equals the first in order.
    fn find_receiver(&self, head: usize, cutter: &Cutter<'_>) -> Option<usize> {
        let mut shared: BTreeMap<usize, f64> = BTreeMap::new();
        for &member in &self.gathered[head].0 {
            for &(from, to) in &self.members[member].edges {
                let Some(&other) = self.owner.get(&(to, from)) else { continue };
                let other = self.head(other);
                if other != head && self.members[other].region == self.members[head].region {
                    let [a, b] = [from, to].map(|vertex| cutter.vertices[vertex as usize].point);
                    *shared.entry(other).or_default() += a.distance_m(b);
                }
            }
        }
        let mut best: Option<(usize, f64)> = None;
        for (other, length) in shared {
            if best.is_none_or(|(_, longest)| length > longest) {
                best = Some((other, length));
            }
        }
        best.map(|(other, _)| other)
    }

    /// Writes the groups back into the cells.
    fn write_back(&self, cells: &mut Vec<CutCell>, cutter: &Cutter<'_>) -> Option<()> {
        let mut changed: BTreeMap<(usize, u32), Content> = BTreeMap::new();
        for (number, member) in self.members.iter().enumerate() {
            changed.entry((member.cell, member.region)).or_default();
            let cell = self.members[self.head(number)].cell;
            let content = changed.entry((cell, member.region)).or_default();
            content.0.extend(&member.edges);
            content.1 += member.area_m2;
        }
        for ((cell, region), (edges, area_m2)) in changed {
            let index = find(cells, cell, region)?;
            cells[index].pieces = trace_pieces(edges, &|vertex| cutter.steps(vertex))?;
            cells[index].area_m2 = area_m2;
        }
        cells.retain(|cut| !cut.pieces.is_empty());
        Some(())
    }
}
