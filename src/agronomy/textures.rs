//! Printed rows with a column for each texture class.

use super::Missing;
use super::lookup::Column;
use super::need::Need;
use super::soil::Soil;
use crate::units::TextureClass;

/// One column for each texture class, fitted to one job.
#[derive(Clone, Debug)]
pub(super) struct Textures(pub(super) Vec<(TextureClass, Column)>);

impl Textures {
    /// The need of a soil.
    pub(super) fn look_up(&self, soil: &Soil<'_>) -> Result<Need, Missing> {
        let class = soil.texture()?;
        let column = self.0.iter().find(|(known, _)| *known == class);
        let (_, column) = column.ok_or(Missing::NeedsOf(class))?;
        Ok(column.look_up(soil.reading))
    }

    /// Lowest and highest reading covered; all columns cover the same.
    pub(super) fn range(&self) -> (f64, f64) {
        self.0.first().map_or((0.0, 0.0), |(_, column)| column.range())
    }

    /// The least reading from which on no class needs anything.
    pub(super) fn zero_need_reading(&self) -> Option<f64> {
        let all: Option<Vec<f64>> =
            self.0.iter().map(|(_, column)| column.zero_need_reading()).collect();
        all?.into_iter().reduce(f64::max)
    }
}
