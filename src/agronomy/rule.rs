//! The rule that a method comes down to for one job: rows, lines, classes or an equation.

use super::Missing;
use super::aluminium_saturation::AluminiumSaturation;
use super::base_saturation::BaseSaturation;
use super::capacity::Capacity;
use super::classes::Classes;
use super::equation::Equation;
use super::lines::Lines;
use super::lookup::Column;
use super::need::Need;
use super::reads::Reads;
use super::rise::{Rises, Weakly};
use super::saturation::Saturation;
use super::soil::Soil;
use super::table::AcidityByBuffer;
use super::textures::Textures;
use crate::units::{Bounded, bound};

/// One of the few shapes, fitted to one job.
#[derive(Clone, Debug)]
pub(super) enum Rule {
    /// The printed rows of one target.
    Rows(Column),
    /// A few lines.
    Lines(Lines),
    /// An equation in soil pH and buffer pH.
    Equation(Equation),
    /// An equation in the acid saturation and buffer pH.
    Saturation(Saturation),
    /// Classes of pH and of another value.
    Classes(Classes),
    /// Rows of pH for each texture class.
    Textures(Textures),
    /// A rise of the pH for so much lime.
    Rises(Rises),
    /// The same on weakly buffered soils.
    Weakly(Weakly),
    /// A rise of the pH by each soil's own capacity.
    Capacity(Capacity),
    /// What bases lack to a share of the capacity.
    BaseSaturation(BaseSaturation),
    /// What aluminium holds beyond a share of the effective capacity.
    AluminiumSaturation(AluminiumSaturation),
}

impl Rule {
    /// The need of a soil below the trigger.
    ///
    /// # Errors
    /// Returns what is missing of it, or what the method has no needs for.
    pub(super) fn look_up(&self, soil: &Soil<'_>) -> Result<Need, Missing> {
        let &Soil { ph, reading, .. } = soil;
        match self {
            Self::Rows(column) => Ok(column.look_up(reading)),
            Self::Lines(lines) => Ok(lines.look_up(ph, reading)),
            Self::Equation(equation) => Ok(equation.look_up(ph, reading)),
            Self::Saturation(equation) => Ok(equation.look_up(ph, reading)),
            Self::Classes(classes) => classes.look_up(soil),
            Self::Textures(textures) => textures.look_up(soil),
            Self::Rises(rises) => rises.look_up(soil),
            Self::Weakly(weakly) => weakly.look_up(soil),
            Self::Capacity(capacity) => capacity.look_up(soil),
            Self::BaseSaturation(rule) => rule.look_up(soil),
            Self::AluminiumSaturation(rule) => rule.look_up(soil),
        }
    }

    /// The least reading from which on nothing is needed, whatever the pH; where there is one.
    pub(super) fn zero_need_reading(&self) -> Option<f64> {
        match self {
            Self::Rows(column) => column.zero_need_reading(),
            // More acidity needs more, and no printed acidity is low enough to need nothing.
            Self::Lines(lines) => lines.zero_need_reading(),
            Self::Equation(equation) => Some(equation.table().no_acidity_at),
            Self::Saturation(equation) => Some(equation.table().no_acidity_at),
            Self::Textures(textures) => textures.zero_need_reading(),
            // Without acidity the bases hold all of the capacity.
            Self::BaseSaturation(rule) => rule.curve().and_then(AcidityByBuffer::zero_at),
            Self::Classes(_)
            | Self::Rises(_)
            | Self::Weakly(_)
            | Self::Capacity(_)
            | Self::AluminiumSaturation(_) => None,
        }
    }

    /// Lowest and highest reading covered. Lines, classes and equations end only where the input
    /// does, and a bent curve where it turns.
    pub(super) fn range(&self, reads: Reads) -> (f64, f64) {
        let (least, most) = (bounds_of(reads).least, bounds_of(reads).most);
        match self {
            Self::Rows(column) => column.range(),
            Self::Textures(textures) => textures.range(),
            Self::BaseSaturation(rule) => {
                let turn = rule.curve().and_then(AcidityByBuffer::turns_at);
                (least, turn.map_or(most, |turn| turn.min(most)))
            }
            _ => (least, most),
        }
    }
}

/// The limits of a reading.
pub(super) fn bounds_of(reads: Reads) -> &'static Bounded {
    match reads {
        Reads::Ph | Reads::Texture => &bound::SOIL_PH,
        Reads::BufferPh => &bound::BUFFER_PH,
        Reads::Value(value) => value.bounded(),
    }
}
