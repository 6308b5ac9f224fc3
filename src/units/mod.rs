//! Quantities with a meaning, exact constants, and the words and limits of every bounded input.
//!
//! Two quantities of the same dimension but of different meaning are different types: a
//! [`LimeNeed`] is pure calcium carbonate, a [`ProductRate`] is material as spread, and the
//! compiler refuses to add them. All types hold SI units behind a private field; a number only
//! enters or leaves through a constructor or a reader that names its unit.

mod area;
mod bounds;
mod charge;
mod controller;
mod day;
mod depth;
mod flow;
mod fraction;
mod length;
mod limits;
mod mass;
mod money;
mod ph;
mod quantity;
mod rate;
mod soil_attribute;
mod soil_value;
mod system;
mod text;
mod texture;
mod time;

pub use self::time::TimeTaken;
pub use area::{Area, M2_PER_ACRE, M2_PER_HECTARE};
pub use bounds::{Bounded, all_bounds, bound};
pub use charge::{HaulCharge, SpreadingCharge};
pub use controller::ControllerUnit;
pub use day::{Day, Weekday};
pub use depth::DepthInterval;
pub use flow::ProductFlow;
pub use fraction::{EffectiveFraction, Share};
pub use length::{Heading, Length, M_PER_FOOT, M_PER_INCH, M_PER_MILE, Speed};
pub use limits::LIMITS;
pub use mass::{
    BulkDensity, CarbonateMass, KG_PER_POUND, KG_PER_SHORT_TON, KG_PER_TONNE, ProductMass, Volume,
};
pub use money::{Currency, Money};
pub use ph::{BufferPh, PhMedium, PhReading, SaltPh, WaterPh};
pub use rate::{LimeNeed, ProductRate};
pub use soil_attribute::SoilAttribute;
pub use soil_value::{SoilValue, is_by_volume};
pub use system::{Amount, UnitSystem};
pub use text::{Misread, UnitKind, counted, grouped, ph_words, plain, read_number_with_unit, tidy};
pub use texture::TextureClass;

#[cfg(test)]
mod tests;
