//! The faces of a net: which lies on each side of every edge, and inside which polygons it is.

use super::lattice::{by_angle, cross, way};
use super::weave::Net;
use crate::field::place::Point;

/// The face around everything.
pub(super) const OUTER: u32 = 0;

/// The faces of a net. Each thread has two sides: side `2 t` runs from its lower end to its higher
/// one, side `2 t + 1` back; a face lies on the left of its sides.
#[derive(Debug)]
pub(super) struct Faces {
    /// For each side the face on its left.
    pub(super) left: Vec<u32>,
    /// For each face the polygons that it is inside of, in order.
    pub(super) polygons: Vec<Vec<u32>>,
    /// For each face its area in square metres; 0 for the outer one.
    pub(super) area_m2: Vec<f64>,
    /// For each face the length of its border in metres.
    pub(super) border_m: Vec<f64>,
}

/// The sides of a net and how they follow one another around their tails.
#[derive(Debug)]
pub(super) struct Sides<'a> {
    net: &'a Net,
    /// All sides by their tail and then by their angle.
    around: Vec<u32>,
    /// The place of each side in `around`.
    place: Vec<u32>,
    /// For each vertex where its sides begin in `around`.
    first: Vec<u32>,
}

impl<'a> Sides<'a> {
    pub(super) fn of(net: &'a Net) -> Self {
        let count = net.threads.len() * 2;
        let tail = |side: u32| ends(net, side).0;
        let mut around: Vec<u32> = (0..count as u32).collect();
        around.sort_by(|&a, &b| {
            tail(a).cmp(&tail(b)).then_with(|| by_angle(direction(net, a), direction(net, b)))
        });
        let mut place = vec![0; count];
        for (at, &side) in around.iter().enumerate() {
            place[side as usize] = at as u32;
        }
        let mut first: Vec<u32> = vec![0; net.knots.len() + 1];
        for &side in &around {
            first[tail(side) as usize + 1] += 1;
        }
        for index in 1..first.len() {
            first[index] += first[index - 1];
        }
        Self { net, around, place, first }
    }

    /// From which vertex to which a side runs.
    pub(super) fn ends(&self, side: u32) -> (u32, u32) {
        ends(self.net, side)
    }

    /// The side that follows `side` along the border of what lies on its left, among those wanted:
    /// the first clockwise from the way back.
    pub(super) fn next(&self, side: u32, wanted: impl Fn(u32) -> bool) -> u32 {
        let back = side ^ 1;
        let tail = self.ends(back).0 as usize;
        let (start, end) = (self.first[tail], self.first[tail + 1]);
        let mut at = self.place[back as usize];
        loop {
            at = if at == start { end - 1 } else { at - 1 };
            let candidate = self.around[at as usize];
            // The way back itself is the last that is asked.
            if candidate == back || wanted(candidate) {
                return candidate;
            }
        }
    }
}

fn ends(net: &Net, side: u32) -> (u32, u32) {
    let (low, high) = net.threads[side as usize / 2].ends;
    if side.is_multiple_of(2) { (low, high) } else { (high, low) }
}

fn direction(net: &Net, side: u32) -> [i128; 2] {
    let (from, to) = ends(net, side);
    way(net.pegs[from as usize], net.pegs[to as usize])
}

/// Finds the faces of a net; `None` on a fault.
pub(super) fn find_faces(net: &Net, sides: &Sides<'_>) -> Option<Faces> {
    let cycles = Cycles::of(net, sides);
    let faces = cycles.to_faces(net)?;
    let left: Vec<u32> = cycles.of_side.iter().map(|&cycle| faces[cycle as usize]).collect();
    let count = left.iter().max().map_or(1, |&most| most as usize + 1);
    let (mut area_m2, mut border_m) = (vec![0.0; count], vec![0.0; count]);
    let mut borders: Vec<Vec<u32>> = vec![Vec::new(); count];
    for (side, &face) in (0_u32..).zip(&left) {
        let (from, to) = sides.ends(side);
        let [a, b] = [from, to].map(|knot| net.knots[knot as usize].point);
        area_m2[face as usize] += twice(a, b) / 2.0;
        border_m[face as usize] += a.distance_m(b);
        borders[face as usize].push(side);
    }
    area_m2[OUTER as usize] = 0.0;
    let mut polygons: Vec<Option<Vec<u32>>> = vec![None; count];
    polygons[OUTER as usize] = Some(Vec::new());
    let mut waiting = vec![OUTER];
    while let Some(face) = waiting.pop() {
        let own = polygons[face as usize].clone()?;
        for &side in &borders[face as usize] {
            let beyond = left[(side ^ 1) as usize];
            if polygons[beyond as usize].is_none() {
                let crossed = &net.threads[side as usize / 2].polygons;
                polygons[beyond as usize] = Some(turned_over(&own, crossed));
                waiting.push(beyond);
            }
        }
    }
    let polygons = polygons.into_iter().collect::<Option<Vec<_>>>()?;
    Some(Faces { left, polygons, area_m2, border_m })
}

fn twice(a: Point, b: Point) -> f64 {
    a.x_m * b.y_m - b.x_m * a.y_m
}

/// What is in one of two sorted lists and not in the other, sorted.
fn turned_over(one: &[u32], other: &[u32]) -> Vec<u32> {
    let mut all: Vec<u32> = one.iter().chain(other).copied().collect();
    all.sort_unstable();
    all.chunk_by(|a, b| a == b).filter(|same| same.len() == 1).map(|same| same[0]).collect()
}

/// The closed ways along the left of the sides.
struct Cycles {
    of_side: Vec<u32>,
    /// Whether it runs counter-clockwise, around a face; else around a connected part of the net.
    is_face: Vec<bool>,
    /// One of its westernmost vertices.
    westernmost: Vec<u32>,
}

impl Cycles {
    fn of(net: &Net, sides: &Sides<'_>) -> Self {
        const UNSEEN: u32 = u32::MAX;
        let count = net.threads.len() * 2;
        let mut cycles =
            Self { of_side: vec![UNSEEN; count], is_face: Vec::new(), westernmost: Vec::new() };
        for start in 0..count as u32 {
            if cycles.of_side[start as usize] != UNSEEN {
                continue;
            }
            let number = cycles.is_face.len() as u32;
            let mut westernmost = sides.ends(start).0;
            let origin = net.pegs[westernmost as usize];
            let mut area = 0_i128;
            let mut side = start;
            loop {
                cycles.of_side[side as usize] = number;
                let (from, to) = sides.ends(side);
                let [a, b] = [from, to].map(|knot| net.pegs[knot as usize]);
                area += cross(way(origin, a), way(origin, b));
                if a < net.pegs[westernmost as usize] {
                    westernmost = from;
                }
                side = sides.next(side, |_| true);
                if side == start {
                    break;
                }
            }
            cycles.is_face.push(area > 0);
            cycles.westernmost.push(westernmost);
        }
        cycles
    }

    /// For each cycle the face that it borders: one of its own, or the one around its part of the
    /// net, which is found by looking west from the part's westernmost vertex.
    fn to_faces(&self, net: &Net) -> Option<Vec<u32>> {
        let mut faces: Vec<Option<u32>> = Vec::with_capacity(self.is_face.len());
        let mut count = OUTER;
        for &is_face in &self.is_face {
            count += u32::from(is_face);
            faces.push(is_face.then_some(count));
        }
        let mut parts: Vec<usize> =
            (0..self.is_face.len()).filter(|&cycle| !self.is_face[cycle]).collect();
        parts.sort_by_key(|&cycle| net.pegs[self.westernmost[cycle] as usize]);
        for cycle in parts {
            let knot = self.westernmost[cycle];
            let face = match look_west(net, knot) {
                None => OUTER,
                // What lies west of a part belongs to a part that begins further west.
                Some(side) => faces[self.of_side[side as usize] as usize]?,
            };
            faces[cycle] = Some(face);
        }
        faces.into_iter().collect()
    }
}

/// The nearest thread to the west of a vertex, as its side that has the vertex on the left.
fn look_west(net: &Net, knot: u32) -> Option<u32> {
    let eye = net.pegs[knot as usize];
    let mut nearest: Option<([i128; 2], [i128; 2], u32)> = None;
    for (number, thread) in (0_u32..).zip(&net.threads) {
        let (low, high) = thread.ends;
        let (a, b) = (net.pegs[low as usize], net.pegs[high as usize]);
        let upward = a[1] < b[1];
        let (foot, head) = if upward { (a, b) } else { (b, a) };
        if !(foot[1] <= eye[1] && eye[1] < head[1]) {
            continue;
        }
        let along = way(foot, head);
        // How far east of the thread the eye is, times the thread's height.
        let east = cross(way(foot, eye), along);
        if east <= 0 {
            continue;
        }
        // The side that runs down has the east on its left.
        let side = 2 * number + u32::from(upward);
        let distance = [east, along[1]];
        let closer = nearest.is_none_or(|(least, way, _)| {
            let order = (distance[0] * least[1]).cmp(&(least[0] * distance[1]));
            // From one vertex, the thread that leans further east is nearer just above.
            order.then_with(|| cross(along, way).cmp(&0).reverse()).is_lt()
        });
        if closer {
            nearest = Some((distance, along, side));
        }
    }
    nearest.map(|(_, _, side)| side)
}
