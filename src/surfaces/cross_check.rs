//! How far a surface is to be trusted: every site estimated from the others.

use crate::field::{BoxTree, Point};

use super::hull::Hull;
use super::interpolator::{Ground, NEAREST_UP_TO};
use super::mesh::Mesh;
use super::sites::Sites;
use super::weighing::{weigh_at, weigh_inside};
use super::weights::weighted_value;

/// With fewer sites the map of the others and the mean of the others are the same.
const FEWEST_SITES: usize = 3;

/// The errors of estimating each site from the others, in the unit of the values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CrossCheck {
    /// How many sites were left out, one after the other.
    pub samples: usize,
    /// Root of the mean square error of the map of the others.
    pub rmse: f64,
    /// Root of the mean square error of the mean of the others.
    pub mean_rmse: f64,
}

impl CrossCheck {
    /// The errors of the estimates that [`leave_one_out`] has for the values.
    ///
    /// # Panics
    /// If there are fewer values than estimates.
    pub fn of(values: &[f64], estimates: &[f64]) -> Self {
        let count = estimates.len();
        let total: f64 = values[..count].iter().sum();
        let (mut map, mut mean) = (0.0, 0.0);
        for (&value, estimate) in values.iter().zip(estimates) {
            map += (estimate - value).powi(2);
            mean += ((total - value) / (count - 1) as f64 - value).powi(2);
        }
        let root = |sum: f64| (sum / count as f64).sqrt();
        Self { samples: count, rmse: root(map), mean_rmse: root(mean) }
    }

    /// Whether the map estimates a site that it does not know better than the mean does.
    pub fn map_beats_mean(&self) -> bool {
        self.rmse < self.mean_rmse
    }
}

/// Leaves one site out at a time and compares its value with that which the map of the other
/// sites has there, and with their mean. A site that lies outside the hull of the others takes the
/// value of its nearest point, as any place beyond the hull does.
///
/// `None` below three sites.
///
/// # Panics
/// If there are fewer values than sites.
pub fn cross_check(sites: &Sites, values: &[f64]) -> Option<CrossCheck> {
    leave_one_out(sites, values).map(|estimates| CrossCheck::of(values, &estimates))
}

/// For each site, the value that the map of the other sites has there; see [`cross_check`].
///
/// `None` below three sites.
///
/// # Panics
/// If there are fewer values than sites.
pub fn leave_one_out(sites: &Sites, values: &[f64]) -> Option<Vec<f64>> {
    (sites.len() >= FEWEST_SITES).then(|| estimate_each_from_others(sites, values))
}

/// For each site, the value that the map of the other sites has there.
pub(super) fn estimate_each_from_others(sites: &Sites, values: &[f64]) -> Vec<f64> {
    let points = sites.points();
    let numbered: Vec<(usize, Point)> = points.iter().copied().enumerate().collect();
    let mut entries = Vec::new();
    let mut estimates = vec![0.0; points.len()];
    let ground = Ground::without_net(&numbered);
    if let Some(Ground::Line(line)) = &ground
        && points.len() > 1
    {
        for (site, nearest) in line.nearest_along_line_without() {
            weigh_at(nearest, &mut entries);
            estimates[site] = weighted_value(entries.iter().copied(), values);
        }
        return estimates;
    }
    let mut mesh = Mesh::through(points);
    let mut vertex_of = vec![0; points.len()];
    for (vertex, (site, _)) in mesh.sites().into_iter().enumerate() {
        vertex_of[site] = vertex;
    }
    let whole = ground.is_none().then(|| mesh.hull());
    let tree = BoxTree::of(points.iter().map(|at| [at.x_m, at.y_m, at.x_m, at.y_m]));
    let mut on_outline = vec![false; points.len()];
    for (site, _) in whole.iter().flat_map(Hull::chain) {
        on_outline[site] = true;
    }
    for site in in_rows(points) {
        let at = points[site];
        // Only a site on the hull can change the hull or leave the others without an inside.
        let on_hull =
            whole.as_ref().filter(|_| points.len() <= NEAREST_UP_TO + 1 || on_outline[site]);
        let bare = if whole.is_none() || on_hull.is_some() {
            let others: Vec<(usize, Point)> =
                numbered.iter().copied().filter(|other| other.0 != site).collect();
            Ground::without_net(&others)
        } else {
            None
        };
        let beyond = on_hull.and_then(|hull| hull.nearest_without(site, at, points, &tree));
        if let Some(ground) = bare {
            ground.weigh_without_net(at, &mut entries);
        } else if let Some(nearest) = beyond {
            weigh_at(nearest, &mut entries);
        } else {
            let vertex = vertex_of[site];
            if let Some(moved) = mesh.remove(vertex) {
                vertex_of[moved] = vertex;
            }
            weigh_inside(&mesh, points, at, &mut entries);
            vertex_of[site] = mesh.insert(site, at);
        }
        estimates[site] = weighted_value(entries.iter().copied(), values);
    }
    estimates
}

/// The sites row by row, to and fro, so that each lies near the one before: the triangulation is
/// searched from where it was searched last.
fn in_rows(points: &[Point]) -> Vec<usize> {
    let rows = (points.len() as f64).sqrt().ceil();
    let south = points.iter().map(|at| at.y_m).fold(f64::INFINITY, f64::min);
    let north = points.iter().map(|at| at.y_m).fold(f64::NEG_INFINITY, f64::max);
    let height_m = ((north - south) / rows).max(f64::MIN_POSITIVE);
    let row = |site: usize| ((points[site].y_m - south) / height_m).floor() as i64;
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|&a, &b| {
        let along = points[a].x_m.total_cmp(&points[b].x_m);
        row(a).cmp(&row(b)).then(if row(a) % 2 == 0 { along } else { along.reverse() })
    });
    order
}
