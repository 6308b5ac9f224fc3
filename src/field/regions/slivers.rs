//! Faces that are there only because two outlines of one line differ by a hair.

use std::collections::BTreeMap;

use super::faces::{Faces, OUTER};

/// Faces smaller than this are slivers, in square metres (ours).
const SLIVER_M2: f64 = 0.01;
/// Faces narrower than this are slivers, in metres: two steps of coordinates with seven decimals.
/// The width is the area over half the border, as of a long rectangle.
const SLIVER_WIDTH_M: f64 = 0.02;

/// Gives every sliver among the faces of the field the content of the neighbour in the field that
/// it shares the longest border with, the smallest sliver first. `contents` holds what each face
/// is, `None` outside the field; `lengths` the length of each thread in metres. Returns which faces
/// are slivers of the field.
pub(super) fn give_away_slivers<C: Clone>(
    faces: &Faces,
    lengths: &[f64],
    contents: &mut [Option<C>],
) -> Vec<bool> {
    let is_sliver = |face: usize| {
        let (area, border) = (faces.area_m2[face], faces.border_m[face]);
        area < SLIVER_M2 || area < SLIVER_WIDTH_M * border / 2.0
    };
    let mut slivers: Vec<usize> = (OUTER as usize + 1..contents.len())
        .filter(|&face| contents[face].is_some() && is_sliver(face))
        .collect();
    slivers.sort_by(|&a, &b| faces.area_m2[a].total_cmp(&faces.area_m2[b]).then(a.cmp(&b)));
    let mut open = vec![false; contents.len()];
    for &face in &slivers {
        open[face] = true;
    }
    let found = open.clone();
    let shared = shared_borders(faces, lengths, &open);
    // A sliver among slivers waits until one of them has found its content.
    while !slivers.is_empty() {
        let before = slivers.len();
        slivers.retain(|&face| {
            let of_face = (face as u32, 0)..(face as u32 + 1, 0);
            let mut best: Option<(usize, f64)> = None;
            for (&(_, other), &length) in shared.range(of_face) {
                let other = other as usize;
                let fits = contents[other].is_some() && !open[other];
                if fits && best.is_none_or(|(_, longest)| length > longest) {
                    best = Some((other, length));
                }
            }
            let Some((other, _)) = best else { return true };
            let content = contents[other].clone();
            contents[face] = content;
            open[face] = false;
            false
        });
        if slivers.len() == before {
            break;
        }
    }
    found
}

/// The length of the border that each sliver shares with each other face.
fn shared_borders(faces: &Faces, lengths: &[f64], open: &[bool]) -> BTreeMap<(u32, u32), f64> {
    let mut shared = BTreeMap::new();
    for (thread, length) in lengths.iter().enumerate() {
        let (one, other) = (faces.left[2 * thread], faces.left[2 * thread + 1]);
        for (face, beyond) in [(one, other), (other, one)] {
            if open[face as usize] && face != beyond {
                *shared.entry((face, beyond)).or_insert(0.0) += length;
            }
        }
    }
    shared
}
