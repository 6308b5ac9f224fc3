//! A surface through sites, prepared once, and the weights of the sites at any point.

use std::fmt;

use rayon::prelude::*;

use crate::field::Point;

use super::hull::Hull;
use super::mesh::Mesh;
use super::sibson::{Patches, Triangles};
use super::sites::{Sites, distance_m};
use super::weighing::{settle, weigh_inside, weigh_on_hull};
use super::weights::{Standing, Weights};

/// With so many sites or fewer there is no surface; the nearest site counts.
pub(super) const NEAREST_UP_TO: usize = 3;

/// Queries are weighed in chunks of so many; the chunks do not depend on the threads.
pub(super) const QUERIES_PER_CHUNK: usize = 4_096;

/// How the values between the sites are found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Sibson's natural-neighbour weights inside the convex hull, its nearest point beyond.
    NaturalNeighbour,
    /// All sites lie on one line: linear between two sites at the nearest point of that line.
    AlongLine,
    /// Three sites that do not lie on a line: the nearest site counts.
    Nearest,
    /// One site: it counts everywhere.
    Single,
}

impl fmt::Display for Way {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NaturalNeighbour => "natural neighbour",
            Self::AlongLine => "linear along the line of the samples",
            Self::Nearest => "nearest sample",
            Self::Single => "one sample everywhere",
        })
    }
}

/// A surface through sites, for any values that were measured there.
pub struct Interpolator {
    pub(super) points: Vec<Point>,
    pub(super) ground: Ground,
}

/// What the weights are found on.
pub(super) enum Ground {
    Nearest(Vec<(usize, Point)>),
    Line(Hull),
    Net { mesh: Mesh, triangles: Triangles, hull: Hull },
}

impl Interpolator {
    /// Prepares a surface through the sites; `None` where there is no site.
    pub fn new(sites: &Sites) -> Option<Self> {
        if sites.is_empty() {
            return None;
        }
        let points = sites.points().to_vec();
        let numbered: Vec<(usize, Point)> = points.iter().copied().enumerate().collect();
        let ground = Ground::without_net(&numbered).unwrap_or_else(|| {
            let mesh = Mesh::through(&points);
            let (triangles, hull) = (mesh.triangles(), mesh.hull());
            Ground::Net { mesh, triangles, hull }
        });
        Some(Self { points, ground })
    }

    /// How the values between the sites are found.
    pub fn way(&self) -> Way {
        match &self.ground {
            Ground::Net { .. } => Way::NaturalNeighbour,
            _ if self.points.len() == 1 => Way::Single,
            Ground::Line(_) => Way::AlongLine,
            Ground::Nearest(_) => Way::Nearest,
        }
    }

    /// The weights of the sites at the query points, in their order; fastest where each query is
    /// near the one before. The result does not depend on the number of threads.
    ///
    /// Without natural neighbours no point is inside: the distance is then that to the line or to
    /// the nearest site.
    ///
    /// # Panics
    /// If a coordinate of a query is not finite, which is a fault of the program.
    pub fn weigh(&self, at: &[Point]) -> Weights {
        let finite = at.iter().all(|point| point.x_m.is_finite() && point.y_m.is_finite());
        assert!(finite, "a query must lie in the frame of a field");
        if rayon::current_num_threads() == 1 {
            let mut all = Weights::for_queries(at.len());
            at.chunks(QUERIES_PER_CHUNK).for_each(|part| self.weigh_part(part, &mut all));
            return all;
        }
        let weigh = |part: &[Point]| {
            let mut weights = Weights::for_queries(part.len());
            self.weigh_part(part, &mut weights);
            weights
        };
        Weights::joined(at.par_chunks(QUERIES_PER_CHUNK).map(weigh).collect())
    }

    /// Adds the weights at some points.
    fn weigh_part(&self, at: &[Point], weights: &mut Weights) {
        let mut entries = Vec::new();
        if let Ground::Net { mesh, triangles, hull } = &self.ground {
            let mut patches = Patches::new(triangles, &self.points);
            let mut own_mesh = None;
            for &point in at {
                if !hull.holds(point) {
                    let distance_m = weigh_on_hull(hull, point, &mut entries);
                    weights.push(&entries, Standing::beyond_m(distance_m), false);
                    continue;
                }
                patches.weigh(point, &mut entries);
                let sound = settle(&mut entries, &self.points, point) || {
                    // A triangulation remembers where it was searched last: each chunk its own.
                    let mesh = own_mesh.get_or_insert_with(|| mesh.clone());
                    weigh_inside(mesh, &self.points, point, &mut entries)
                };
                weights.push(&entries, Standing::Inside, !sound);
            }
        } else {
            for &point in at {
                let distance_m = self.ground.weigh_without_net(point, &mut entries);
                weights.push(&entries, Standing::beyond_m(distance_m), false);
            }
        }
    }
}

impl Ground {
    /// The ground of sites that are too few for a triangulation or lie on a line.
    pub(super) fn without_net(sites: &[(usize, Point)]) -> Option<Self> {
        let line = Hull::along_line(sites).map(Self::Line);
        line.or_else(|| (sites.len() <= NEAREST_UP_TO).then(|| Self::Nearest(sites.to_vec())))
    }

    /// The weights at a point on such a ground, and its distance to the line or site in metres.
    pub(super) fn weigh_without_net(&self, at: Point, entries: &mut Vec<(usize, f64)>) -> f64 {
        match self {
            Self::Line(hull) | Self::Net { hull, .. } => weigh_on_hull(hull, at, entries),
            Self::Nearest(sites) => {
                entries.clear();
                let apart = sites.iter().map(|&(site, point)| (distance_m(at, point), site));
                let nearest = apart.min_by(|a, b| a.0.total_cmp(&b.0));
                entries.extend(nearest.map(|(_, site)| (site, 1.0)));
                nearest.map_or(0.0, |(apart_m, _)| apart_m)
            }
        }
    }
}
