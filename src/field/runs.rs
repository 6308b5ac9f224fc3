//! How long what is asked of the cells stays the same along the travel.

use std::collections::BTreeMap;

use super::cells::grid::exact_sin_cos;
use super::cells::{Cells, PieceRings};
use super::place::Point;
use crate::units::{Area, Heading, Length};

/// Ends of pieces that miss each other by less meet, in metres.
const MEET_M: f64 = 1e-3;

/// Ground of one key in one column of the cells, from where a spreader that drives along the column
/// comes into it to where it leaves it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run<K> {
    /// What is asked of it.
    pub key: K,
    /// The column.
    pub column: u32,
    /// How long it is along the travel.
    pub length: Length,
    /// Its area.
    pub area: Area,
    /// Whether ground of another key follows or comes before; not so where it reaches from one end
    /// of the ground to the other.
    pub changes: bool,
}

/// A stretch of a column along the travel, in metres.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    from_m: f64,
    to_m: f64,
    area_m2: f64,
}

/// The runs of all columns, column by column, by their keys and along the travel.
///
/// `heading` is the one that the cells were laid with, `key_of` what is asked of the cell of a
/// number. A square that several regions share counts to the run of each of its keys, so that a
/// border along the travel does not cut runs.
pub fn runs_along<K: Copy + Ord>(
    cells: &Cells,
    heading: Heading,
    key_of: impl Fn(usize) -> K,
) -> Vec<Run<K>> {
    let (sin, cos) = exact_sin_cos(heading);
    let mut columns: BTreeMap<u32, BTreeMap<K, Vec<Stretch>>> = BTreeMap::new();
    for (at, cell) in cells.list.iter().enumerate() {
        let of_key = columns.entry(cell.column).or_default().entry(key_of(at)).or_default();
        of_key.extend(cell.shape.pieces().iter().map(|piece| stretch_of(cells, piece, [sin, cos])));
    }
    let mut runs = Vec::new();
    for (&column, keys) in &columns {
        let ground = merge(keys.values().flatten().copied().collect());
        for (&key, stretches) in keys {
            runs.extend(merge(stretches.clone()).iter().map(|run| Run {
                key,
                column,
                length: Length::from_metres(run.to_m - run.from_m),
                area: Area::from_square_metres(run.area_m2),
                changes: !ground.iter().any(|whole| is_same(whole, run)),
            }));
        }
    }
    runs
}

fn stretch_of(cells: &Cells, piece: &PieceRings, along: [f64; 2]) -> Stretch {
    let point = |vertex: u32| cells.vertices[vertex as usize].point;
    let along_m = |at: Point| at.x_m * along[0] + at.y_m * along[1];
    let (mut from_m, mut to_m) = (f64::INFINITY, f64::NEG_INFINITY);
    for &vertex in &piece.outer {
        let at_m = along_m(point(vertex));
        (from_m, to_m) = (from_m.min(at_m), to_m.max(at_m));
    }
    let twice_m2: f64 = piece
        .edges()
        .map(|(a, b)| (point(a), point(b)))
        .map(|(a, b)| a.x_m * b.y_m - b.x_m * a.y_m)
        .sum();
    Stretch { from_m, to_m, area_m2: twice_m2 / 2.0 }
}

/// Stretches that meet or overlap, made one; from the start of the travel on.
fn merge(mut stretches: Vec<Stretch>) -> Vec<Stretch> {
    stretches.sort_by(|a, b| a.from_m.total_cmp(&b.from_m).then(a.to_m.total_cmp(&b.to_m)));
    let mut merged: Vec<Stretch> = Vec::new();
    for next in stretches {
        match merged.last_mut() {
            Some(last) if next.from_m <= last.to_m + MEET_M => {
                last.to_m = last.to_m.max(next.to_m);
                last.area_m2 += next.area_m2;
            }
            _ => merged.push(next),
        }
    }
    merged
}

fn is_same(a: &Stretch, b: &Stretch) -> bool {
    (a.from_m - b.from_m).abs() < MEET_M && (a.to_m - b.to_m).abs() < MEET_M
}

#[cfg(test)]
mod tests {
    use super::super::cells::tests::{cells_of, field_at};
    use super::*;

    /// Lengths and areas of the runs, to a hundredth, and whether they change.
    fn shown(runs: &[Run<u32>]) -> Vec<(u32, u32, f64, f64, bool)> {
        let round = |value: f64| (value * 100.0).round() / 100.0;
        runs.iter()
            .map(|run| {
                let (length, area) = (run.length.to_metres(), run.area.to_square_metres());
                (run.column, run.key, round(length), round(area), run.changes)
            })
            .collect()
    }

    #[test]
    fn rows_of_one_key_make_a_run_and_a_whole_column_of_one_key_does_not_change() {
        // Two columns and four rows of 10 m.
        let field =
            field_at((8.0, 48.0), &[[0.0, 0.0], [20.0, 0.0], [20.0, 40.0], [0.0, 40.0]], &[]);
        let cells = cells_of(&field, 10.0, 0.0);
        let keys = [[1, 1, 4, 1], [4, 4, 4, 4]];
        let runs = runs_along(&cells, Heading::from_degrees(0.0), |at| {
            keys[cells.list[at].column as usize][cells.list[at].row as usize]
        });
        // The box around the field may miss 20 or 40 m by what degrees round to, which makes one
        // more row of nothing; what counts is the ground.
        let long: Vec<_> = shown(&runs).into_iter().filter(|run| run.3 > 1.0).collect();
        assert_eq!(
            long,
            [
                (0, 1, 20.0, 200.0, true),
                (0, 1, 10.0, 100.0, true),
                (0, 4, 10.0, 100.0, true),
                (1, 4, 40.0, 400.0, false),
            ]
        );
        // Driven to the east the columns lie across.
        let cells = cells_of(&field, 10.0, 90.0);
        let runs = runs_along(&cells, Heading::from_degrees(90.0), |at| cells.list[at].row);
        assert!(shown(&runs).iter().filter(|run| run.3 > 1.0).all(|run| run.2 == 10.0));
    }

    #[test]
    fn ground_that_is_kept_out_parts_a_column() {
        let hole = vec![[4.0, 18.0], [16.0, 18.0], [16.0, 22.0], [4.0, 22.0]];
        let outer = [[0.0, 0.0], [20.0, 0.0], [20.0, 40.0], [0.0, 40.0]];
        let field = field_at((8.0, 48.0), &outer, &[hole]);
        let cells = cells_of(&field, 20.0, 0.0);
        let total: f64 = cells.list.iter().map(|cell| cell.area.to_square_metres()).sum();
        let runs = runs_along(&cells, Heading::from_degrees(0.0), |at| cells.list[at].row);
        let area: f64 = runs.iter().map(|run| run.area.to_square_metres()).sum();
        assert!((area - total).abs() < 1e-6, "{area}");
        assert!(runs.iter().all(|run| run.changes), "{runs:?}");
    }
}
