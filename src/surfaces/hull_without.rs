//! The outline as it would be without one of the sites on it, from the sites nearby alone.

use std::f64::consts::TAU as TURN;

use crate::field::Point;

use super::hull::{Hull, HullPoint, ON_EDGE_M};

impl Hull {
    /// The nearest point to a site on the outline that the other sites would have, or `None`
    /// where the site would lie inside it.
    ///
    /// `sites` are all that lie in the outline, and `site` is one that
    /// [`touches`](Self::touches) it. Only the stretch between the neighbours of the site can
    /// change, and the nearest point lies on that stretch, because no other edge can be seen from
    /// the site.
    pub(super) fn nearest_without(
        &self,
        site: usize,
        at: Point,
        sites: &[(usize, Point)],
    ) -> Option<HullPoint> {
        let Some(corner) = self.corners.iter().position(|corner| corner.0 == site) else {
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
        let mut near: Vec<(f64, (usize, Point))> = sites
            .iter()
            .filter(|other| other.0 != site && other.0 != before.0 && other.0 != after.0)
            .filter(|other| {
                let (depth_m, along_m) = (base.depth_m(other.1), base.along_m(other.1));
                depth_m < -ON_EDGE_M
                    || (depth_m <= ON_EDGE_M && 0.0 < along_m && along_m < length_m)
            })
            .map(|&other| ((from - bearing(other.1)).rem_euclid(TURN), other))
            .collect();
        // As seen from the site they stand side by side, from the neighbour before to that after.
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        let corners = outer_stretch(before, after, &near);
        let chain = Hull::with_sites_on_edges(&corners, &near);
        Some(Hull::open(&chain).nearest(at))
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
