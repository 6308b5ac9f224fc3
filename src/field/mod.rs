//! The field's own frame; metres from its centre.

/// A place in the frame of one field, in metres from its centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Metres to the east of the frame's centre.
    pub x_m: f64,
    /// Metres to the north of the frame's centre.
    pub y_m: f64,
}
