//! Samples merged where they coincide.

use std::collections::BTreeMap;

use crate::field::Point;

/// Samples no farther apart than this are one site, in metres (common practice: a centimetre is
/// far below the error of any position at which soil is sampled).
pub const COINCIDENT_WITHIN_M: f64 = 0.01;

/// Coordinates beyond this are no place in a field's frame, in metres.
const FARTHEST_M: f64 = 1e8;

/// The places that were sampled, each once, with the samples taken there.
#[derive(Clone, Debug, PartialEq)]
pub struct Sites {
    points: Vec<Point>,
    groups: Vec<Vec<usize>>,
}

/// Merges samples that coincide, within [`COINCIDENT_WITHIN_M`], into sites.
///
/// Samples that are linked by a chain of such neighbours are one site, so the order of the samples
/// does not matter. A site lies where the westernmost of its samples does (the southernmost of such),
/// so two sites are always farther apart than that; the sites stand in the order of their first
/// samples.
///
/// # Panics
/// If a coordinate is not finite or is farther than 1e8 m from the frame's centre: places are
/// checked where they are read, so such a number is a fault of the program.
pub fn merge_coincident(points: &[Point]) -> Sites {
    for point in points {
        let fits = point.x_m.abs() <= FARTHEST_M && point.y_m.abs() <= FARTHEST_M;
        assert!(fits, "a sample must lie in the frame of a field");
    }
    let mut first_of: Vec<usize> = (0..points.len()).collect();
    let mut by_cell: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
    for (sample, point) in points.iter().enumerate() {
        let cell = cell_of(point);
        for column in cell.0 - NEAR_CELLS..=cell.0 + NEAR_CELLS {
            let rows = (column, cell.1 - NEAR_CELLS)..=(column, cell.1 + NEAR_CELLS);
            for (_, others) in by_cell.range(rows) {
                // All samples of a cell are one site, whichever of them links this one to it.
                if root(&first_of, others[0]) == root(&first_of, sample) {
                    continue;
                }
                let near =
                    |&&other: &&usize| distance_m(*point, points[other]) <= COINCIDENT_WITHIN_M;
                if let Some(&other) = others.iter().find(near) {
                    join(&mut first_of, sample, other);
                }
            }
        }
        let own = by_cell.entry(cell).or_default();
        // What stands twice tells nothing new.
        if own.last().is_none_or(|&other| points[other] != *point) {
            own.push(sample);
        }
    }
    let mut by_first: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for sample in 0..points.len() {
        by_first.entry(root(&first_of, sample)).or_default().push(sample);
    }
    let groups: Vec<Vec<usize>> = by_first.into_values().collect();
    let westernmost = |group: &Vec<usize>| {
        let order = |a: &Point, b: &Point| a.x_m.total_cmp(&b.x_m).then(a.y_m.total_cmp(&b.y_m));
        group.iter().map(|&sample| points[sample]).min_by(order)
    };
    let points = groups.iter().filter_map(westernmost).collect();
    Sites { points, groups }
}

impl Sites {
    /// Where the sites lie.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The samples of each site, by their numbers in the list that was merged, ascending.
    pub fn groups(&self) -> &[Vec<usize>] {
        &self.groups
    }

    /// The groups of two samples or more: those that coincide.
    pub fn merged(&self) -> impl Iterator<Item = &[usize]> {
        self.groups.iter().filter(|group| group.len() > 1).map(Vec::as_slice)
    }

    /// How many sites there are.
    pub fn len(&self) -> usize {
        self.points.len()
    }

    /// Whether there is no site at all.
    pub fn is_empty(&self) -> bool {
        self.points.is_empty()
    }

    /// The value of each site: the mean of its samples' values, which stand in the order of the
    /// list that was merged.
    ///
    /// # Panics
    /// If there are fewer values than samples.
    pub fn mean_values(&self, sample_values: &[f64]) -> Vec<f64> {
        let mean = |group: &Vec<usize>| {
            // Taken from the first value, so that equal values keep their last bit.
            let start = sample_values[group[0]];
            let beyond: f64 = group.iter().map(|&sample| sample_values[sample] - start).sum();
            start + beyond / group.len() as f64
        };
        self.groups.iter().map(mean).collect()
    }
}

/// The side of the squares that samples are sorted into, in metres: its diagonal is shorter than
/// [`COINCIDENT_WITHIN_M`].
const CELL_M: f64 = COINCIDENT_WITHIN_M / 1.5;
/// Squares so many away can hold a sample that is near enough.
const NEAR_CELLS: i64 = 2;

/// The square that holds the point.
fn cell_of(point: &Point) -> (i64, i64) {
    let along = |at_m: f64| (at_m / CELL_M).floor() as i64;
    (along(point.x_m), along(point.y_m))
}

/// The distance between two points in metres.
pub(super) fn distance_m(a: Point, b: Point) -> f64 {
    (a.x_m - b.x_m).hypot(a.y_m - b.y_m)
}

/// The least sample of the group that a sample belongs to.
fn root(first_of: &[usize], sample: usize) -> usize {
    let mut at = sample;
    while first_of[at] != at {
        at = first_of[at];
    }
    at
}

/// Makes one group of the groups of two samples.
fn join(first_of: &mut [usize], a: usize, b: usize) {
    let (a, b) = (root(first_of, a), root(first_of, b));
    first_of[a.max(b)] = a.min(b);
}
