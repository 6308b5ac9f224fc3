//! The Delaunay triangulation of the sites and the natural-neighbour weights that come of it.

use spade::handles::FixedVertexHandle;
use spade::{DelaunayTriangulation, HasPosition, Point2, PositionInTriangulation, Triangulation};

use crate::field::Point;

use super::hull::Hull;
use super::sibson::{Circle, NO_EDGE, Triangles};

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

    /// Its triangles and their circles.
    pub(super) fn triangles(&self) -> Triangles {
        let mut triangles = Triangles::default();
        let mut numbers = vec![NO_EDGE; self.net.num_directed_edges()];
        for face in self.net.inner_faces() {
            for edge in face.adjacent_edges() {
                numbers[edge.fix().index()] = triangles.starts.len();
                triangles.starts.push(edge.from().data().site);
            }
            let corners = face.vertices().map(|vertex| site_at(vertex.data()).1);
            triangles.circles.push(Circle::through(corners));
        }
        for edge in self.net.inner_faces().flat_map(|face| face.adjacent_edges()) {
            triangles.across.push(numbers[edge.rev().fix().index()]);
        }
        triangles
    }

    /// The natural-neighbour weights at a point inside the hull, unchecked.
    pub(super) fn weigh(&self, at: Point, entries: &mut Vec<(usize, f64)>) {
        let mut found = Vec::new();
        self.net.natural_neighbor().get_weights(position(at), &mut found);
        entries.clear();
        entries.extend(found.iter().map(|&(v, weight)| (self.net.vertex(v).data().site, weight)));
    }

    /// The triangle around a point; where the point lies on an edge or a site, that edge or site
    /// as a triangle without area. `None` outside the hull.
    pub(super) fn triangle_around(&self, at: Point) -> Option<[(usize, Point); 3]> {
        let net = &self.net;
        match net.locate(position(at)) {
            PositionInTriangulation::OnVertex(vertex) => {
                Some([site_at(net.vertex(vertex).data()); 3])
            }
            PositionInTriangulation::OnEdge(edge) => {
                let [from, to] = net.directed_edge(edge).vertices().map(|v| site_at(v.data()));
                Some([from, to, to])
            }
            PositionInTriangulation::OnFace(face) => {
                Some(net.face(face).vertices().map(|vertex| site_at(vertex.data())))
            }
            PositionInTriangulation::OutsideOfConvexHull(_)
            | PositionInTriangulation::NoTriangulation => None,
        }
    }

    /// Every edge: the two sites that it joins, and the third corners of the triangles beside it.
    pub(super) fn edges(&self) -> Vec<([usize; 2], Vec<Point>)> {
        self.net
            .undirected_edges()
            .map(|edge| {
                let edge = edge.as_directed();
                let corners = [edge.opposite_vertex(), edge.rev().opposite_vertex()];
                let beside = corners.into_iter().flatten().map(|v| site_at(v.data()).1).collect();
                ([edge.from().data().site, edge.to().data().site], beside)
            })
            .collect()
    }

    /// The site nearest to a point; fastest where each point is near the one before.
    pub(super) fn nearest(&self, at: Point) -> Option<Point> {
        self.net.nearest_neighbor(position(at)).map(|vertex| site_at(vertex.data()).1)
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

fn position(point: Point) -> Point2<f64> {
    spade::mitigate_underflow(Point2::new(point.x_m, point.y_m))
}

fn site_at(vertex: &Vertex) -> (usize, Point) {
    (vertex.site, Point { x_m: vertex.position.x, y_m: vertex.position.y })
}
