//! The outline as it would be without one of the sites on it, from the sites nearby alone.

use std::f64::consts::TAU as TURN;

use crate::field::{BoxTree, Point, widened};

use super::hull::{Hull, HullPoint, ON_EDGE_M};

impl Hull {
    /// The nearest point to a site on the outline that the other sites would have, or `None`
    /// where the site would lie inside it.
    ///
    /// `sites` are all that lie in the outline, with a tree over them, and `site` is one on it. Only the stretch between the neighbours of the site can
    /// change, and the nearest point lies on that stretch, because no other edge can be seen from
    /// the site.
    pub(super) fn nearest_without(
        &self,
        site: usize,
        at: Point,
        sites: &[Point],
        tree: &BoxTree,
    ) -> Option<HullPoint> {
        let Some(&corner) = self.corner_of.get(&site) else {
            return self.nearest_beside_edge_site(site, at);
        };
        let count = self.corners.len();
        let before = self.corners[(corner + count - 1) % count];
        let after = self.corners[(corner + 1) % count];
        // Every site that lies beyond the line through the two neighbours can be a corner of the
        // new stretch, and one on the line between them can lie on it.
        let base = Hull::open(&[before, after]);
        let length_m = base.along_m(after.1);
        let bearing = |point: Point| (point.y_m - at.y_m).atan2(point.x_m - at.x_m);
        let from = bearing(before.1);
        // Those lie in the corner that is cut off, between it and its neighbours.
        let corner = [before.1, at, after.1];
        let least = |axis: fn(&Point) -> f64| corner.iter().map(axis).fold(f64::INFINITY, f64::min);
        let reach =
            [least(|at| at.x_m), least(|at| at.y_m), -least(|at| -at.x_m), -least(|at| -at.y_m)];
        let mut cut_off: Vec<usize> = tree.meeting(widened(reach, 2.0 * ON_EDGE_M)).collect();
        cut_off.sort_unstable();
        let mut near: Vec<(f64, (usize, Point))> = cut_off
            .into_iter()
            .map(|other| (other, sites[other]))
            .filter(|other| other.0 != site && other.0 != before.0 && other.0 != after.0)
            .filter(|other| {
                let (depth_m, along_m) = (base.depth_m(other.1), base.along_m(other.1));
                depth_m < -ON_EDGE_M
                    || (depth_m <= ON_EDGE_M && 0.0 < along_m && along_m < length_m)
            })
            .map(|other| ((from - bearing(other.1)).rem_euclid(TURN), other))
            .collect();
        // As seen from the site they stand side by side, from the neighbour before to that after.
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        let corners = outer_stretch(before, after, &near);
        let chain = Hull::with_sites_on_edges(&corners, &near);
        Some(Hull::open(&chain).nearest(at))
    }

    /// For each site of a line but the only one, the nearest point that the line of the others
    /// would have to it.
    pub(super) fn nearest_along_line_without(&self) -> Vec<(usize, HullPoint)> {
        let chain = self.chain();
        let without = |(at, &(site, point)): (usize, &(usize, Point))| {
            let beside: Vec<(usize, Point)> = [at.checked_sub(1), Some(at + 1)]
                .into_iter()
                .filter_map(|beside| chain.get(beside?).copied())
                .collect();
            let ends = if let [only] = beside[..] { vec![only, only] } else { beside };
            (site, Self::open(&ends).nearest(point))
        };
        chain.iter().enumerate().map(without).collect()
    }

    /// A site on an edge leaves the corners as they are; it lies between its two neighbours.
    fn nearest_beside_edge_site(&self, site: usize, at: Point) -> Option<HullPoint> {
        if self.holds(at) {
            return None;
        }
        let neighbours = self.neighbours(site)?;
        Some(Hull::open(&neighbours).nearest(at))
    }
}

/// The corners of the hull from `before` to `after` on the side of the site that looks at it;
/// `near` is sorted as it is seen from there.
fn outer_stretch(
    before: (usize, Point),
    after: (usize, Point),
    near: &[(f64, (usize, Point))],
) -> Vec<(usize, Point)> {
    let mut stretch = vec![before];
    for &next in near.iter().map(|(_, site)| site).chain([&after]) {
        while let [.., a, b] = stretch.as_slice() {
            let turn = (b.1.x_m - a.1.x_m) * (next.1.y_m - a.1.y_m)
                - (b.1.y_m - a.1.y_m) * (next.1.x_m - a.1.x_m);
            if turn > 0.0 {
                break;
            }
            stretch.pop();
        }
        stretch.push(next);
    }
    stretch
}
