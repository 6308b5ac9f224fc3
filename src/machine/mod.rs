//! What the spreader can do: its limits, its steps, its spacing and what it carries.
//!
//! The room knows rates of material and nothing of soils, needs or places.

mod fit;
mod near;
mod overrides;
mod setting;

pub use fit::{Fitted, Limit};
pub use overrides::Override;
pub use setting::{MachineRate, RateLadder, Setting, SettingFault, WrittenRate};

use crate::units::{Length, ProductMass, Speed, Volume};

/// What becomes of a rate above 0 and below the machine's least.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BelowMin {
    /// The nearer of 0 and the least: half the least and more goes up.
    Nearest,
    /// The least rate.
    Raise,
    /// Nothing.
    Drop,
}

impl BelowMin {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Nearest, Self::Raise, Self::Drop];

    /// As job files and reports write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Nearest => "nearest",
            Self::Raise => "raise",
            Self::Drop => "drop",
        }
    }
}

/// A spreader as the job describes it.
#[derive(Clone, Debug)]
pub struct Machine {
    /// The rates that it can hold.
    pub setting: Setting,
    /// What becomes of a rate below its least.
    pub below_min: BelowMin,
    /// Distance between driving lines.
    pub pass_spacing: Length,
    /// The mass that it carries.
    pub payload: ProductMass,
    /// The volume of its box, where it is known.
    pub box_volume: Option<Volume>,
    /// Its speed while spreading, where it is known.
    pub speed: Option<Speed>,
}
