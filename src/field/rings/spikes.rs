//! Lines that run out and come back the same way: they hold no ground, and are cut off.

use std::collections::VecDeque;

use super::mend::Corner;

/// Cuts off everything that runs out and back over the same vertices, and repeated vertices, and
/// adds the place where each such line began to `bases`. What is left may be empty.
pub(super) fn cut_spikes(walk: &mut Vec<Corner>, bases: &mut Vec<Corner>) {
    let mut kept: VecDeque<Corner> = VecDeque::with_capacity(walk.len());
    for &corner in walk.iter() {
        if kept.back().is_some_and(|last| last.point == corner.point) {
            continue;
        }
        let before = kept.len().checked_sub(2).map(|index| kept[index]);
        match before {
            Some(before) if before.point == corner.point => {
                if let Some(tip) = kept.pop_back() {
                    note(bases, tip, before);
                }
            }
            _ => kept.push_back(corner),
        }
    }
    // The walk is closed: its start may lie on such a line.
    while kept.len() > 1 {
        let (first, last) = (kept[0], kept[kept.len() - 1]);
        if first.point == last.point {
            kept.pop_back();
        } else if kept.len() > 2 && kept[kept.len() - 2].point == first.point {
            kept.pop_back();
            note(bases, last, first);
        } else if kept.len() > 2 && kept[1].point == last.point {
            kept.pop_front();
            note(bases, first, last);
        } else {
            break;
        }
    }
    *walk = if kept.len() < 3 { Vec::new() } else { kept.into() };
}

/// A line of several pieces is cut from its tip inwards, and counts once.
fn note(bases: &mut Vec<Corner>, tip: Corner, base: Corner) {
    match bases.last_mut() {
        Some(last) if last.point == tip.point => *last = base,
        _ => bases.push(base),
    }
}
