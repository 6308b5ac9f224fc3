//! Vertices that say nothing: those in the middle of a straight border between the same two areas.
//!
//! Neighbours share every vertex, so one is left out for both or for neither. What remains is
//! within a micrometre of the border in the frame, and within one step of the last decimal of it
//! as it is written; where another vertex of the net lies so near to the border that this could
//! carry the border over it, everything stays.

use crate::field::box_tree::{BoxTree, Reach, widened};
use crate::field::cells::Vertex;
use crate::field::place::Point;

/// How far off the straight line a vertex that is left out may lie, in metres in the frame.
const OFF_LINE_M: f64 = 1e-6;
/// The same in steps of the last decimal, between places as they are written.
const OFF_LINE_STEPS: f64 = 1.0;
/// How near a vertex may lie to an edge that it does not belong to and the edge still be part of a
/// longer one, in steps: three moves of one step do not make two borders meet.
const CLEAR_STEPS: f64 = 3.0;

/// For each vertex whether it is left out of every ring; `net` holds the edges of the areas' net.
pub(super) fn straight_vertices(vertices: &[Vertex], net: &[(u32, u32)]) -> Vec<bool> {
    let ways = Ways::of(vertices.len(), net);
    let steps = |vertex: u32| {
        let vertex = &vertices[vertex as usize];
        [f64::from(vertex.lon_e7), f64::from(vertex.lat_e7)]
    };
    let point = |vertex: u32| vertices[vertex as usize].point;
    let is_straight = |vertex: u32| match ways.at(vertex) {
        &[one, other] => {
            let at = [one, vertex, other].map(point);
            off_line_m(at[0], at[2], at[1]) <= OFF_LINE_M
        }
        _ => false,
    };
    let mut on_line: Vec<bool> = (0..vertices.len() as u32).map(is_straight).collect();
    keep_where_crowded(&mut on_line, net, &steps);
    let mut left_out = vec![false; vertices.len()];
    let line = Line { steps: &steps, point: &point };
    for &(one, other) in net {
        for (start, next) in [(one, other), (other, one)] {
            // Every run of straight vertices is walked from both ends, which changes nothing.
            if on_line[start as usize] || !on_line[next as usize] {
                continue;
            }
            let run = run_from(start, next, &ways, &on_line);
            line.leave_out(&run, &mut left_out);
        }
    }
    left_out
}

/// The vertices from `start` over straight ones to the first that is not straight.
fn run_from(start: u32, next: u32, ways: &Ways, on_line: &[bool]) -> Vec<u32> {
    let mut run = vec![start, next];
    let (mut before, mut at) = (start, next);
    while on_line[at as usize] {
        let onward = ways.at(at).iter().copied().find(|&way| way != before).unwrap_or(start);
        (before, at) = (at, onward);
        run.push(at);
    }
    // The same run gives the same answer from either end.
    if run.first() > run.last() {
        run.reverse();
    }
    run
}

/// The edges that meet at each vertex.
struct Ways {
    first: Vec<u32>,
    others: Vec<u32>,
}

impl Ways {
    fn of(count: usize, net: &[(u32, u32)]) -> Self {
        let mut first = vec![0_u32; count + 1];
        for &(one, other) in net {
            first[one as usize + 1] += 1;
            first[other as usize + 1] += 1;
        }
        for at in 1..first.len() {
            first[at] += first[at - 1];
        }
        let mut next = first.clone();
        let mut others = vec![0; net.len() * 2];
        for &(one, other) in net {
            for (from, to) in [(one, other), (other, one)] {
                others[next[from as usize] as usize] = to;
                next[from as usize] += 1;
            }
        }
        Self { first, others }
    }

    fn at(&self, vertex: u32) -> &[u32] {
        let [from, to] = [vertex, vertex + 1].map(|at| self.first[at as usize] as usize);
        &self.others[from..to]
    }
}

/// Keeps the ends of edges that another vertex of the net lies near to.
fn keep_where_crowded(on_line: &mut [bool], net: &[(u32, u32)], steps: &impl Fn(u32) -> [f64; 2]) {
    let mut used: Vec<u32> = net.iter().flat_map(|&(one, other)| [one, other]).collect();
    used.sort_unstable();
    used.dedup();
    let reach_of = |a: [f64; 2], b: [f64; 2]| -> Reach {
        [a[0].min(b[0]), a[1].min(b[1]), a[0].max(b[0]), a[1].max(b[1])]
    };
    let tree = BoxTree::of(used.iter().map(|&vertex| reach_of(steps(vertex), steps(vertex))));
    let crowded: Vec<(u32, u32)> = net
        .iter()
        .copied()
        .filter(|&(one, other)| on_line[one as usize] || on_line[other as usize])
        .filter(|&(one, other)| {
            let (a, b) = (steps(one), steps(other));
            let near = tree.meeting(widened(reach_of(a, b), CLEAR_STEPS));
            near.map(|at| used[at])
                .any(|at| at != one && at != other && off_edge(a, b, steps(at)) <= CLEAR_STEPS)
        })
        .collect();
    for (one, other) in crowded {
        on_line[one as usize] = false;
        on_line[other as usize] = false;
    }
}

/// Places of vertices, as they are and as they are written.
struct Line<'a, S, P> {
    steps: &'a S,
    point: &'a P,
}

impl<S: Fn(u32) -> [f64; 2], P: Fn(u32) -> Point> Line<'_, S, P> {
    /// Leaves out all of a run but its ends; where one of them lies too far off the line between
    /// these, the farthest stays and the parts on both sides of it are looked at alike.
    fn leave_out(&self, run: &[u32], left_out: &mut [bool]) {
        let mut waiting = vec![(0, run.len() - 1)];
        while let Some((from, to)) = waiting.pop() {
            let mut farthest: Option<(f64, usize)> = None;
            for at in from + 1..to {
                let off = self.off(run[from], run[to], run[at]);
                if off > 1.0 && farthest.is_none_or(|(most, _)| off > most) {
                    farthest = Some((off, at));
                }
            }
            match farthest {
                Some((_, at)) => {
                    left_out[run[at] as usize] = false;
                    waiting.extend([(from, at), (at, to)]);
                }
                None => run[from + 1..to].iter().for_each(|&at| left_out[at as usize] = true),
            }
        }
    }

    /// How far a vertex lies off the line between two others, as a multiple of what is let pass.
    fn off(&self, from: u32, to: u32, at: u32) -> f64 {
        let [a, b, c] = [from, to, at].map(self.point);
        let in_frame = off_line_m(a, b, c) / OFF_LINE_M;
        let [a, b, c] = [from, to, at].map(self.steps);
        in_frame.max(off_edge(a, b, c) / OFF_LINE_STEPS)
    }
}

fn off_line_m(a: Point, b: Point, at: Point) -> f64 {
    let pair = |point: Point| [point.x_m, point.y_m];
    off_edge(pair(a), pair(b), pair(at))
}

/// The distance of a place from an edge.
fn off_edge(a: [f64; 2], b: [f64; 2], at: [f64; 2]) -> f64 {
    let way = [b[0] - a[0], b[1] - a[1]];
    let to_it = [at[0] - a[0], at[1] - a[1]];
    let squared = way[0] * way[0] + way[1] * way[1];
    if squared <= 0.0 {
        return to_it[0].hypot(to_it[1]);
    }
    let share = ((way[0] * to_it[0] + way[1] * to_it[1]) / squared).clamp(0.0, 1.0);
    (to_it[0] - share * way[0]).hypot(to_it[1] - share * way[1])
}
