//! How far the sites are from the places that are mapped.

use std::ops::Range;

use rayon::prelude::*;

use super::interpolator::{Ground, Interpolator, QUERIES_PER_CHUNK};
use super::mesh::Mesh;
use super::weights::{Standing, Weights};
use crate::field::Point;
use crate::units::Length;

impl Interpolator {
    /// The largest distance from one of the query points to the site nearest to it; nothing where
    /// there is no query point. `weights` are those of this surface at the points.
    ///
    /// # Panics
    /// If there are fewer points than weights.
    pub fn farthest_from_sites(&self, at: &[Point], weights: &Weights) -> Length {
        let chunks: Vec<usize> = (0..at.len()).step_by(QUERIES_PER_CHUNK).collect();
        let farthest_m = chunks
            .into_par_iter()
            // A triangulation remembers where it was searched last: each thread its own.
            .map_init(
                || None,
                |own_mesh, first| {
                    let last = at.len().min(first + QUERIES_PER_CHUNK);
                    self.farthest_of(first..last, at, weights, own_mesh)
                },
            )
            .reduce(|| 0.0, f64::max);
        Length::from_metres(farthest_m)
    }

    fn farthest_of(
        &self,
        queries: Range<usize>,
        at: &[Point],
        weights: &Weights,
        own_mesh: &mut Option<Mesh>,
    ) -> f64 {
        let mut farthest_m: f64 = 0.0;
        for query in queries {
            let point = at[query];
            let weighed_m = weights
                .entries(query)
                .map(|(site, _)| squared_m(point, self.points[site]))
                .fold(f64::INFINITY, f64::min)
                .sqrt();
            // The sites that count are no nearer than the nearest one.
            if weighed_m <= farthest_m {
                continue;
            }
            // Inside, and on a line, the nearest site is one of those that count. Beyond the
            // outline only the sites on it count, and one within may be nearer.
            let nearest_m = match &self.ground {
                Ground::Net { mesh, .. } if weights.standing(query) != Standing::Inside => {
                    let mesh = own_mesh.get_or_insert_with(|| mesh.clone());
                    mesh.nearest(point).map_or(weighed_m, |site| point.distance_m(site))
                }
                _ => weighed_m,
            };
            farthest_m = farthest_m.max(nearest_m);
        }
        farthest_m
    }
}

fn squared_m(a: Point, b: Point) -> f64 {
    (a.x_m - b.x_m).powi(2) + (a.y_m - b.y_m).powi(2)
}

#[cfg(test)]
mod tests {
    use crate::field::Point;
    use crate::surfaces::{Interpolator, merge_coincident};

    #[test]
    fn the_farthest_place_is_found_inside_beyond_and_on_a_line() {
        let site_sets: [&[[f64; 2]]; 4] = [
            // The fifth lies just within the long lower edge of the outline.
            &[[0.0, 0.0], [400.0, 0.0], [400.0, 300.0], [0.0, 300.0], [200.0, 5.0]],
            &[[0.0, 0.0], [50.0, 50.0], [200.0, 200.0], [300.0, 300.0]],
            &[[0.0, 0.0], [400.0, 0.0], [200.0, 300.0]],
            &[[10.0, 20.0]],
        ];
        for places in site_sets {
            let sites: Vec<Point> = places.iter().map(|&[x_m, y_m]| Point { x_m, y_m }).collect();
            let surface = Interpolator::new(&merge_coincident(&sites)).unwrap();
            let windows = [(-150.0, 600.0), (20.0, 250.0), (150.0, 90.0)];
            for (south, side) in windows {
                let mut at = Vec::new();
                for step in 0..400 {
                    let (row, column) = (f64::from(step / 20), f64::from(step % 20));
                    at.push(Point { x_m: column * side / 19.0, y_m: south + row * side / 19.0 });
                }
                let found = surface.farthest_from_sites(&at, &surface.weigh(&at)).to_metres();
                let nearest = |point: &Point| {
                    sites.iter().map(|site| point.distance_m(*site)).fold(f64::INFINITY, f64::min)
                };
                let expected = at.iter().map(nearest).fold(0.0, f64::max);
                assert!((found - expected).abs() < 1e-9, "{places:?}: {found}, {expected}");
            }
        }
    }
}
