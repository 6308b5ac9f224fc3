//! The vertices of the map, each rounded once.

use super::Vertex;
use super::grid::Grid;
use super::nodes::place_nodes;
use super::walk::{Walk, Windings};
use crate::field::frame::Frame;
use crate::field::place::Point;

/// No vertex: the number of a node that no cell of the field has.
const UNUSED: u32 = u32::MAX;

/// All vertices, and how corners of the walk and nodes of the grid find theirs.
pub(super) struct Pool {
    /// The corners of the walk first, with their own numbers; then the nodes of the grid.
    pub(super) vertices: Vec<Vertex>,
    /// For each corner of the walk the vertex that stands for it.
    pub(super) stands_for: Vec<u32>,
    /// For each node of the grid its vertex; only to be asked for nodes of cells in the field.
    pub(super) node_vertices: Vec<u32>,
    /// The nodes of touched cells, in order, each with its place in steps before rounding.
    pub(super) close_steps: Vec<(usize, [f64; 2])>,
}

impl Pool {
    /// Gathers and rounds the vertices. Those of touched cells that round to the same place
    /// become one: a vertex of the boundary goes before a crossing, a crossing before a node.
    pub(super) fn gather(
        walk: &Walk,
        grid: &Grid,
        frame: &Frame,
        windings: &Windings,
        touched: &[(usize, Vec<u32>)],
    ) -> Self {
        let mut vertices: Vec<Vertex> =
            walk.corners.iter().map(|corner| rounded(corner.point, corner.steps)).collect();
        let mut node_vertices = vec![UNUSED; grid.node_count()];
        let mut close_nodes: Vec<usize> = Vec::with_capacity(touched.len() * 2);
        for &(cell, _) in touched {
            let (column, row) = grid.column_and_row(cell);
            for (right, up) in [(0, 0), (1, 0), (0, 1), (1, 1)] {
                close_nodes.push(grid.node(column + right, row + up));
            }
        }
        close_nodes.sort_unstable();
        close_nodes.dedup();
        // Nodes are numbered in the order of the grid.
        let mut close = close_nodes.iter().copied().peekable();
        let mut nodes = Vec::new();
        for (node, &winding) in windings.counts().iter().enumerate() {
            let is_close = close.next_if_eq(&node).is_some();
            if is_close || winding > 0 {
                node_vertices[node] = (vertices.len() + nodes.len()) as u32;
                nodes.push(node);
            }
        }
        let places = place_nodes(&nodes, grid, frame);
        vertices.extend(nodes.iter().zip(&places).map(|(&node, &steps)| {
            let (column, row) = (node % (grid.columns + 1), node / (grid.columns + 1));
            rounded(grid.point([column as f64, row as f64]), steps)
        }));
        // Close nodes are among all nodes, and both are in order.
        let mut all = nodes.iter().zip(&places);
        let close_steps: Vec<(usize, [f64; 2])> = close_nodes
            .iter()
            .filter_map(|close| all.find(|(node, _)| *node == close))
            .map(|(&node, &steps)| (node, steps))
            .collect();
        let corners = walk.corners.len();
        let close_vertices = close_nodes.iter().map(|&node| node_vertices[node]);
        let mut order: Vec<u32> = (0..corners as u32).chain(close_vertices).collect();
        let key = |vertex: u32| {
            let vertex = &vertices[vertex as usize];
            (vertex.lon_e7, vertex.lat_e7)
        };
        order.sort_unstable_by_key(|&vertex| (key(vertex), vertex));
        let mut stands_for: Vec<u32> = (0..corners as u32).collect();
        let mut merged_nodes: Vec<(u32, u32)> = Vec::new();
        for same in order.chunk_by(|&a, &b| key(a) == key(b)) {
            for &vertex in &same[1..] {
                match stands_for.get_mut(vertex as usize) {
                    Some(stands) => *stands = same[0],
                    None => merged_nodes.push((vertex, same[0])),
                }
            }
        }
        merged_nodes.sort_unstable();
        for &node in &close_nodes {
            let own = node_vertices[node];
            if let Ok(found) = merged_nodes.binary_search_by_key(&own, |&(vertex, _)| vertex) {
                node_vertices[node] = merged_nodes[found].1;
            }
        }
        Self { vertices, stands_for, node_vertices, close_steps }
    }
}

fn rounded(point: Point, steps: [f64; 2]) -> Vertex {
    let [lon_e7, lat_e7] = steps.map(|step| step.round() as i32);
    Vertex { point, lon_e7, lat_e7 }
}
