//! Areas made of cells: which cells share a border, and the polygons around the cells of one area.

mod borders;
mod outline;
mod straight;

pub use borders::{Border, Borders, find_borders};
pub use outline::{AreaOutlines, OutlineFault, outline_areas, polygons_of};

#[cfg(test)]
pub(crate) mod tests;
