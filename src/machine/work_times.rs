//! What the work of a spreader takes beside driving its passes.

use crate::units::{Speed, TimeTaken};

/// What the work of a spreader takes beside driving its passes; what is not known is `None`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WorkTimes {
    /// To load it once.
    pub load: Option<TimeTaken>,
    /// To turn from one pass into the next.
    pub turn: Option<TimeTaken>,
    /// Its speed between the pile and the ground, while it does not spread.
    pub running_speed: Option<Speed>,
    /// What the straight line from the pile to the ground is multiplied by to stand for the way
    /// that is driven; there is no published one, so it is never taken for granted.
    pub run_factor: Option<f64>,
}
