//! One soil as a rule meets it: its pH in the method's own medium, and what else the need goes by.

use super::{Missing, SoilValues};
use crate::units::{SoilValue, TextureClass};

/// One soil below the trigger, with what decides its need.
#[derive(Clone, Copy, Debug)]
pub(super) struct Soil<'a> {
    /// The pH in the method's own medium.
    pub(super) ph: f64,
    /// The reading that leads: of the rows, the lines or the equation.
    pub(super) reading: f64,
    /// What else was read, each in the unit in which methods take it.
    pub(super) values: &'a SoilValues,
}

impl Soil<'_> {
    /// A number beside pH and buffer pH.
    pub(super) fn value(&self, value: SoilValue) -> Result<f64, Missing> {
        self.values.get(value).ok_or(Missing::Value(value))
    }

    /// The texture class.
    pub(super) fn texture(&self) -> Result<TextureClass, Missing> {
        self.values.texture().ok_or(Missing::Texture)
    }
}
