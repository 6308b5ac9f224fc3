//! The outlines of all regions walked through the grid: every edge cut where it leaves a cell for
//! the next.
//!
//! A vertex exactly on a grid line belongs to the cell above it or to its right, as if the
//! outline were shifted by less than any number. So every edge has a definite row of cells, and
//! both neighbours of a grid line agree on who crosses it, whatever rounding does.

use std::collections::HashMap;
use std::ops::Range;

use super::grid::Grid;
use crate::field::frame::Frame;
use crate::field::place::Point;
use crate::field::regions::Partition;

/// A vertex of the outline, or a place where the outline crosses a grid line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Corner {
    pub(super) point: Point,
    /// Columns and rows from the grid's corner.
    pub(super) position: [f64; 2],
    /// Longitude and latitude in steps of the output, not rounded.
    pub(super) steps: [f64; 2],
}

/// A part of an outline's edge in one cell, with its region on its left; both ends may be one
/// corner, where the outline only passes through a corner of the cell.
#[derive(Clone, Copy, Debug)]
pub(super) struct Part {
    pub(super) cell: usize,
    pub(super) region: u32,
    pub(super) from: u32,
    pub(super) to: u32,
}

/// A crossing of the outline and a grid line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Crossing {
    /// The number of the grid line.
    pub(super) line: usize,
    /// The column (of a line along a row) or row (of a line along a column) in which it is met.
    pub(super) lane: usize,
    pub(super) region: u32,
    /// How far along the line, in cells.
    pub(super) along: f64,
    /// 1 where the outline goes up or right, -1 where it goes down or left.
    pub(super) turn: i32,
    pub(super) corner: u32,
}

/// The outline in parts.
#[derive(Debug, Default)]
pub(super) struct Walk {
    /// The vertices of the outlines first, then the crossings.
    pub(super) corners: Vec<Corner>,
    /// Sorted by cell and region; in the order of the outline within these.
    pub(super) parts: Vec<Part>,
    /// Crossings of the lines between columns, sorted by line, lane, region and place.
    pub(super) of_columns: Vec<Crossing>,
    /// Crossings of the lines between rows, sorted in the same way.
    pub(super) of_rows: Vec<Crossing>,
}

/// For each edge walked, from vertex to vertex, the parts and the crossings of columns and of rows
/// that it made; only asked, never walked through.
type Walked = HashMap<(usize, usize), [Range<usize>; 3]>;

/// Walks all rings of all regions through the grid. An edge that two regions share is walked once,
/// so that both are cut at the very same corners.
pub(super) fn walk_regions(partition: &Partition, grid: &Grid, frame: &Frame) -> Walk {
    let mut walk = Walk::default();
    walk.corners.extend(partition.knots.iter().map(|knot| Corner {
        point: knot.point,
        position: grid.position(knot.point),
        steps: knot.steps,
    }));
    let mut walked = Walked::new();
    for (region, outline) in (0_u32..).zip(&partition.regions) {
        for ring in &outline.rings {
            for (index, &from) in ring.iter().enumerate() {
                let ends = [from, ring[(index + 1) % ring.len()]].map(|knot| knot as usize);
                if let Some(back) = walked.get(&(ends[1], ends[0])) {
                    walk.walk_back(region, back);
                    continue;
                }
                let before = walk.counts();
                walk.walk_edge(grid, frame, region, ends);
                if partition.regions.len() > 1 {
                    let after = walk.counts();
                    walked.insert((ends[0], ends[1]), [0, 1, 2].map(|i| before[i]..after[i]));
                }
            }
        }
    }
    walk.parts.sort_by_key(|part| (part.cell, part.region));
    for crossings in [&mut walk.of_columns, &mut walk.of_rows] {
        crossings.sort_by(|a, b| {
            (a.line, a.lane, a.region)
                .cmp(&(b.line, b.lane, b.region))
                .then(a.along.total_cmp(&b.along))
                .then(a.corner.cmp(&b.corner))
        });
    }
    walk
}

/// The lines that an edge crosses along one axis, in the order in which it crosses them.
struct Lines {
    next: i64,
    left: i64,
    turn: i64,
}

impl Lines {
    fn between(from: i64, to: i64) -> Self {
        let turn = (to - from).signum();
        Self { next: if turn > 0 { from + 1 } else { from }, left: (to - from).abs(), turn }
    }

    /// How far along the edge the next line is met, as a share of the edge.
    fn share(&self, from: f64, to: f64) -> f64 {
        if self.left == 0 { f64::INFINITY } else { (self.next as f64 - from) / (to - from) }
    }
}

impl Walk {
    fn counts(&self) -> [usize; 3] {
        [self.parts.len(), self.of_columns.len(), self.of_rows.len()]
    }

    /// Walks an edge that a neighbouring region walked the other way.
    fn walk_back(&mut self, region: u32, [parts, columns, rows]: &[Range<usize>; 3]) {
        for index in parts.clone().rev() {
            let Part { cell, from, to, .. } = self.parts[index];
            self.parts.push(Part { cell, region, from: to, to: from });
        }
        for (list, range) in [(&mut self.of_columns, columns), (&mut self.of_rows, rows)] {
            for index in range.clone().rev() {
                let crossing = list[index];
                list.push(Crossing { region, turn: -crossing.turn, ..crossing });
            }
        }
    }

    fn walk_edge(&mut self, grid: &Grid, frame: &Frame, region: u32, [from, to]: [usize; 2]) {
        let (a, b) = (self.corners[from].position, self.corners[to].position);
        let (mut cell, last_cell) = (grid.lane(a), grid.lane(b));
        let mut lines = [0, 1].map(|axis| Lines::between(cell[axis], last_cell[axis]));
        let mut last = from as u32;
        loop {
            let here = grid.cell(cell[0] as usize, cell[1] as usize);
            let shares = [0, 1].map(|axis| lines[axis].share(a[axis], b[axis]));
            if lines[0].left == 0 && lines[1].left == 0 {
                self.parts.push(Part { cell: here, region, from: last, to: to as u32 });
                return;
            }
            let axis = usize::from(shares[1] < shares[0]);
            let other = 1 - axis;
            let (line, turn) = (lines[axis].next, lines[axis].turn);
            let (corner, met) = self.cut(grid, frame, [from, to], axis, line as f64);
            let lane = cell[other];
            let crossing = Crossing {
                line: line as usize,
                lane: lane as usize,
                region,
                along: met.clamp(lane as f64, lane as f64 + 1.0),
                turn: turn as i32,
                corner,
            };
            if axis == 0 { &mut self.of_columns } else { &mut self.of_rows }.push(crossing);
            self.parts.push(Part { cell: here, region, from: last, to: corner });
            last = corner;
            cell[axis] += turn;
            lines[axis].next += turn;
            lines[axis].left -= 1;
        }
    }

    /// The corner where an edge meets a grid line, and how far along the line it is. An end of
    /// the edge that lies on the line is the corner itself; any other place is worked out from
    /// the same end whichever way the edge runs, so that two polygons side by side agree.
    fn cut(
        &mut self,
        grid: &Grid,
        frame: &Frame,
        ends: [usize; 2],
        axis: usize,
        line: f64,
    ) -> (u32, f64) {
        let other = 1 - axis;
        for end in ends {
            let position = self.corners[end].position;
            if position[axis].total_cmp(&line).is_eq() {
                return (end as u32, position[other]);
            }
        }
        let [mut a, mut b] = ends.map(|end| self.corners[end].position);
        if a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])).is_gt() {
            std::mem::swap(&mut a, &mut b);
        }
        let share = (line - a[axis]) / (b[axis] - a[axis]);
        let along = a[other] + share * (b[other] - a[other]);
        let position = if axis == 0 { [line, along] } else { [along, line] };
        let point = grid.point(position);
        let steps = frame.inverse(point).in_steps();
        self.corners.push(Corner { point, position, steps });
        (self.corners.len() as u32 - 1, along)
    }
}

/// The crossings of one side of a cell by the outline of one region, in order.
pub(super) fn on_side(
    crossings: &[Crossing],
    line: usize,
    lane: usize,
    region: u32,
) -> &[Crossing] {
    let key = |c: &Crossing| (c.line, c.lane, c.region);
    let start = crossings.partition_point(|c| key(c) < (line, lane, region));
    let count = crossings[start..].partition_point(|c| key(c) == (line, lane, region));
    &crossings[start..start + count]
}

/// How often the outlines wind around each grid node.
#[derive(Debug)]
pub(super) struct Windings {
    /// 1 inside the field, 0 outside.
    counts: Vec<i8>,
    /// The region that each node lies in; empty where there is but one.
    regions: Vec<u32>,
}

impl Windings {
    /// How often the outline of its region winds around a node: above 0 in the field.
    pub(super) fn at(&self, node: usize) -> i8 {
        self.counts[node]
    }

    /// For each node how often the outline of its region winds around it.
    pub(super) fn counts(&self) -> &[i8] {
        &self.counts
    }

    /// How often the outline of a region winds around a node.
    pub(super) fn of_region(&self, region: u32, node: usize) -> i8 {
        if self.region(node) == region { self.counts[node] } else { 0 }
    }

    /// The region of a node in the field.
    pub(super) fn region(&self, node: usize) -> u32 {
        self.regions.get(node).copied().unwrap_or_default()
    }
}

/// Finds how often the outlines wind around each grid node.
pub(super) fn wind_nodes(walk: &Walk, grid: &Grid, regions: usize) -> Windings {
    let mut counts = vec![0_i8; grid.node_count()];
    let mut of_node = vec![0; if regions > 1 { grid.node_count() } else { 0 }];
    let mut crossings = walk.of_rows.as_slice();
    for row in 0..=grid.rows {
        let count = crossings.partition_point(|c| c.line == row);
        let (mut here, rest) = crossings.split_at(count);
        crossings = rest;
        if here.is_empty() {
            continue;
        }
        // The regions around the node, with their windings.
        let mut around: Vec<(u32, i8)> = Vec::new();
        for column in 0..=grid.columns {
            while let Some((crossing, later)) = here.split_first()
                && crossing.lane < column
            {
                // Left of an upward crossing is inside, right of it outside.
                let turn = crossing.turn as i8;
                match around.iter_mut().find(|(region, _)| *region == crossing.region) {
                    Some((_, winding)) => *winding -= turn,
                    None => around.push((crossing.region, -turn)),
                }
                here = later;
            }
            around.retain(|(_, winding)| *winding != 0);
            if let Some(&(region, winding)) = around.iter().max_by_key(|(_, winding)| *winding) {
                let node = grid.node(column, row);
                counts[node] = winding;
                if let Some(of_node) = of_node.get_mut(node) {
                    *of_node = region;
                }
            }
        }
    }
    Windings { counts, regions: of_node }
}
