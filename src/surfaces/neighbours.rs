//! Which sites are neighbours.

use super::interpolator::{Ground, Interpolator};
use super::mesh::Mesh;
use crate::field::Point;

/// The least cosine of the angle under which a third site sees two neighbours. A sampling grid's
/// diagonals are seen at a right angle up to the rounding of coordinates (seven decimals of a
/// degree are a centimetre), and so are not taken once one way and once the other.
const LEAST_COSINE: f64 = 1e-3;

impl Interpolator {
    /// The pairs of sites that are neighbours, each once, the lower number first, ascending.
    ///
    /// They are the edges of the Delaunay triangulation in whose own circle (the one that has the
    /// edge as diameter) no third site lies: K. R. Gabriel and R. R. Sokal, "A new statistical
    /// approach to geographic variation analysis", Systematic Zoology 18, 1969 (from memory). The
    /// long edges along the outline of the sites, which pass by others, are left out by this.
    pub fn neighbours(&self) -> Vec<(usize, usize)> {
        let edges = match &self.ground {
            Ground::Net { mesh, .. } => mesh.edges(),
            Ground::Line(_) | Ground::Nearest(_) => Mesh::through(&self.points).edges(),
        };
        let mut pairs: Vec<(usize, usize)> = edges
            .into_iter()
            .filter(|([a, b], beside)| {
                let ends = [self.points[*a], self.points[*b]];
                beside.iter().all(|&third| cosine_seen_from(third, ends) > LEAST_COSINE)
            })
            .map(|([a, b], _)| (a.min(b), a.max(b)))
            .collect();
        pairs.sort_unstable();
        pairs
    }
}

/// The cosine of the angle between two points as seen from a third; -1 from one of them.
fn cosine_seen_from(third: Point, [a, b]: [Point; 2]) -> f64 {
    let (to_a, to_b) =
        ([a.x_m - third.x_m, a.y_m - third.y_m], [b.x_m - third.x_m, b.y_m - third.y_m]);
    let lengths = to_a[0].hypot(to_a[1]) * to_b[0].hypot(to_b[1]);
    if lengths > 0.0 { (to_a[0] * to_b[0] + to_a[1] * to_b[1]) / lengths } else { -1.0 }
}

#[cfg(test)]
mod tests {
    use crate::field::Point;
    use crate::surfaces::{Interpolator, merge_coincident};

    fn neighbours(places: &[[f64; 2]]) -> Vec<(usize, usize)> {
        let points: Vec<Point> = places.iter().map(|&[x_m, y_m]| Point { x_m, y_m }).collect();
        Interpolator::new(&merge_coincident(&points)).unwrap().neighbours()
    }

    #[test]
    fn in_a_grid_the_neighbours_are_those_beside_and_not_the_diagonals() {
        // Three by three, a centimetre off here and there.
        let mut places = Vec::new();
        for row in 0..3 {
            for column in 0..3 {
                let off = if (row + column) % 2 == 0 { 0.01 } else { -0.01 };
                places.push([100.0 * f64::from(column) + off, 100.0 * f64::from(row) - off]);
            }
        }
        let expected = [
            (0, 1),
            (0, 3),
            (1, 2),
            (1, 4),
            (2, 5),
            (3, 4),
            (3, 6),
            (4, 5),
            (4, 7),
            (5, 8),
            (6, 7),
            (7, 8),
        ];
        assert_eq!(neighbours(&places), expected);
    }

    #[test]
    fn on_a_line_neighbours_follow_one_another() {
        let places = [[0.0, 0.0], [300.0, 0.0], [100.0, 0.0], [200.0, 0.0]];
        assert_eq!(neighbours(&places), [(0, 2), (1, 3), (2, 3)]);
    }

    #[test]
    fn the_outline_makes_no_neighbours_of_sites_that_another_lies_between() {
        // The middle one of the lower row lies a metre inside the outline.
        let places = [[0.0, 0.0], [100.0, 1.0], [200.0, 0.0], [100.0, 150.0]];
        assert!(!neighbours(&places).contains(&(0, 2)));
        assert!(neighbours(&places).contains(&(0, 1)));
    }

    #[test]
    fn one_site_has_no_neighbour() {
        assert!(neighbours(&[[0.0, 0.0]]).is_empty());
    }
}
