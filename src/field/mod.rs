//! The field on the ground: its frame, its true area, its outline, and the cells that it is cut
//! into.
//!
//! Everything behind this room is in metres in the field's own [`Frame`]. Coordinates in a
//! declared system go through PROJ, so the host's PROJ settings (`PROJ_DATA`, `PROJ_LIB`) count.

mod among;
mod areas;
mod borders;
mod box_tree;
mod causes;
mod cells;
mod crossings;
mod datum;
mod degrees;
mod densify;
mod door;
mod edges;
mod fit;
mod frame;
mod headings;
mod nesting;
mod other_systems;
mod outline;
mod place;
mod regions;
mod ring;
mod ring_tree;
mod rings;
mod runs;
mod thrown;
mod ways;
mod whereabouts;

pub use among::fields_around;
pub use areas::{
    AreaOutlines, Border, Borders, OutlineFault, find_borders, outline_areas, polygons_of,
};
pub(crate) use box_tree::{BoxTree, Reach, widened};
pub use cells::{Cell, Cells, PieceRings, Shape, Vertex, lay_cells};
pub use datum::{check_layer_system, check_stated, check_system};
pub use degrees::degrees_of;
pub use fit::{Samples, check_fit, lie_inside, place_points};
pub use frame::Frame;
pub use headings::{Along, LikelyHeading, likely_headings, passes_at};
pub use outline::{Field, lay_out};
pub use place::{LonLat, Point};

pub use regions::{KeepOut, OverrideArea, Partition, Region, Rounds, Zone, ZoneAreas, part_field};
pub use runs::{Run, runs_along};
pub use thrown::{Thrown, thrown_beyond};
pub use whereabouts::{Whereabouts, whereabouts};

#[cfg(test)]
pub(crate) use areas::tests as area_tests;

#[cfg(test)]
mod real_data_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod torture_tests;
