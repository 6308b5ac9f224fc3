//! What the spreader can do: its limits, its steps, its spacing, what it carries, what flows out of
//! it, how wide it throws and how fast it changes.
//!
//! The room knows rates of material and nothing of soils, needs or places.

mod abilities;
mod applications;
mod fit;
mod flow;
mod near;
mod overrides;
mod rate_change;
mod setting;
mod work_times;

pub use abilities::{Abilities, FlowFit, FlowRates, RateSpeeds};
pub use applications::{Applications, Split};
pub use fit::{Fitted, Limit};
pub use flow::{flow_at, rate_at, speed_at};
pub use overrides::Override;
pub use rate_change::{RATE_CHANGE_SOURCE, RateChange};
pub use setting::{MachineRate, RateLadder, Setting, SettingFault, WrittenRate};
pub use work_times::WorkTimes;

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
    /// The rates of the map: those that it can hold, or the sums of several applications.
    pub setting: Setting,
    /// What becomes of a rate below its least.
    pub below_min: BelowMin,
    /// Distance between driving lines.
    pub pass_spacing: Length,
    /// The mass that it carries.
    pub payload: ProductMass,
    /// The volume of its box, where it is known.
    pub box_volume: Option<Volume>,
    /// The volume of the bucket that it is loaded with, where it is known.
    pub bucket_volume: Option<Volume>,
    /// Its speed while spreading, where it is known.
    pub speed: Option<Speed>,
    /// Over how many applications the rates of the map are spread.
    pub applications: Applications,
    /// What else it can do.
    pub abilities: Abilities,
    /// What its work takes beside driving its passes.
    pub times: WorkTimes,
}

#[cfg(test)]
impl Machine {
    /// A machine of which little more than its rates is known: 40 ft between passes, 16 short tons.
    pub(crate) fn plain(setting: Setting) -> Self {
        Self {
            setting,
            below_min: BelowMin::Nearest,
            pass_spacing: Length::from_feet(40.0),
            payload: ProductMass::from_short_tons(16.0),
            box_volume: None,
            bucket_volume: None,
            speed: None,
            abilities: Abilities::default(),
            times: WorkTimes::default(),
            applications: Applications::One,
        }
    }
}
