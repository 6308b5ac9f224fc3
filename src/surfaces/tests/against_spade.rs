//! Our own weights against those of the triangulation's library.

use super::{Point, point, scattered, turned_grid};
use crate::surfaces::mesh::Mesh;
use crate::surfaces::sibson::Patches;
use crate::surfaces::weighing::settle;

fn by_site(entries: &[(usize, f64)], count: usize) -> Vec<f64> {
    let mut weights = vec![0.0; count];
    for &(site, weight) in entries {
        weights[site] += weight;
    }
    weights
}

#[test]
fn weights_agree_with_spade() {
    let (mut compared, mut unsound) = (0, 0);
    for points in [scattered(64, 500.0, 2), scattered(400, 500.0, 9), turned_grid(9, 50.0, 17.0)] {
        let mesh = Mesh::through(&points);
        let (triangles, hull) = (mesh.triangles(), mesh.hull());
        let mut patches = Patches::new(&triangles, &points);
        let (mut ours, mut theirs) = (Vec::new(), Vec::new());
        let mut queries: Vec<Point> = scattered(500, 500.0, 12);
        queries.extend(
            (0..4_000).map(|i| point(f64::from(i % 80) * 6.0 - 3.0, f64::from(i / 80) * 9.0)),
        );
        for at in queries.into_iter().filter(|at| hull.holds(*at)) {
            patches.weigh(at, &mut ours);
            mesh.weigh(at, &mut theirs);
            if !settle(&mut ours, &points, at) {
                unsound += 1;
                continue;
            }
            assert!(settle(&mut theirs, &points, at));
            let pairs =
                by_site(&ours, points.len()).into_iter().zip(by_site(&theirs, points.len()));
            for (site, (our, their)) in pairs.enumerate() {
                assert!((our - their).abs() < 1e-12, "{site} at {at:?}: {our} {their}");
            }
            compared += 1;
        }
    }
    assert!(compared > 5_000 && unsound == 0, "{compared} {unsound}");
}
