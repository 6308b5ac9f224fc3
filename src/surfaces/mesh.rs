//! The Delaunay triangulation of the sites and the natural-neighbour weights that come of it.

use spade::handles::FixedVertexHandle;
use spade::{DelaunayTriangulation, HasPosition, Point2, PositionInTriangulation, Triangulation};

use crate::field::Point;

use super::hull::Hull;
use super::weighing::{settle, weigh_in_triangle};

/// The triangulation of sites that do not coincide.
#[derive(Clone)]
pub(super) struct Mesh {
    net: DelaunayTriangulation<Vertex>,
}

/// A site as the triangulation holds it.
#[derive(Clone, Copy)]
struct Vertex {
    position: Point2<f64>,
    site: usize,
}

impl HasPosition for Vertex {
    type Scalar = f64;

    fn position(&self) -> Point2<f64> {
        self.position
    }
}

impl Mesh {
    /// # Panics
    /// If a coordinate is not finite, which [`super::merge_coincident`] refuses.
    pub(super) fn through(points: &[Point]) -> Self {
        let vertices = points
            .iter()
            .enumerate()
            .map(|(site, &point)| Vertex { position: position(point), site });
        let net = DelaunayTriangulation::bulk_load(vertices.collect())
            .expect("the coordinates of sites are checked when these are made");
        Self { net }
    }

    /// The outline of the sites that the triangulation holds, which do not all lie on a line.
    pub(super) fn hull(&self) -> Hull {
        let mut corners: Vec<(usize, Point)> =
            self.net.convex_hull().map(|edge| site_at(edge.from().data())).collect();
        // They come clockwise.
        corners.reverse();
        Hull::around(&corners, &self.sites())
    }

    /// The sites that the triangulation holds, in the order of its vertices.
    pub(super) fn sites(&self) -> Vec<(usize, Point)> {
        self.net.vertices().map(|vertex| site_at(vertex.data())).collect()
    }

    /// Prepares to weigh; the scratch space in it is for one thread.
    pub(super) fn weigher<'a>(&'a self, points: &'a [Point]) -> Weigher<'a> {
        Weigher { mesh: self, points, neighbours: self.net.natural_neighbor(), found: Vec::new() }
    }

    /// Takes a vertex out. The last vertex takes its number: the site there is returned.
    pub(super) fn remove(&mut self, vertex: usize) -> Option<usize> {
        let vertex = FixedVertexHandle::from_index(vertex);
        self.net.remove(vertex);
        self.net.get_vertex(vertex).map(|moved| moved.data().site)
    }

    /// Puts a site in, and returns the number of its vertex.
    ///
    /// # Panics
    /// If a coordinate is not finite.
    pub(super) fn insert(&mut self, site: usize, point: Point) -> usize {
        let inserted = self.net.insert(Vertex { position: position(point), site });
        inserted.expect("the coordinates of sites are checked when these are made").index()
    }
}

/// Finds the weights of the sites at points inside their hull, one after the other.
pub(super) struct Weigher<'a> {
    mesh: &'a Mesh,
    points: &'a [Point],
    neighbours: spade::NaturalNeighbor<'a, DelaunayTriangulation<Vertex>>,
    found: Vec<(FixedVertexHandle, f64)>,
}

impl Weigher<'_> {
    /// The weights at a point inside the hull by more than the hull's margin. False where the
    /// natural-neighbour weights failed their check and those of the triangle stand in.
    pub(super) fn weigh(&mut self, at: Point, entries: &mut Vec<(usize, f64)>) -> bool {
        let net = &self.mesh.net;
        self.neighbours.get_weights(position(at), &mut self.found);
        entries.clear();
        entries.extend(self.found.iter().map(|&(v, weight)| (net.vertex(v).data().site, weight)));
        if settle(entries, self.points, at) {
            return true;
        }
        let corner = |vertex: FixedVertexHandle| site_at(net.vertex(vertex).data());
        let corners = match net.locate(position(at)) {
            PositionInTriangulation::OnVertex(vertex) => [corner(vertex); 3],
            PositionInTriangulation::OnEdge(edge) => {
                let [from, to] = net.directed_edge(edge).vertices().map(|v| site_at(v.data()));
                [from, to, to]
            }
            PositionInTriangulation::OnFace(face) => {
                net.face(face).vertices().map(|vertex| site_at(vertex.data()))
            }
            PositionInTriangulation::OutsideOfConvexHull(_)
            | PositionInTriangulation::NoTriangulation => return false,
        };
        weigh_in_triangle(corners, at, self.points, entries);
        false
    }
}

fn position(point: Point) -> Point2<f64> {
    spade::mitigate_underflow(Point2::new(point.x_m, point.y_m))
}

fn site_at(vertex: &Vertex) -> (usize, Point) {
    (vertex.site, Point { x_m: vertex.position.x, y_m: vertex.position.y })
}
