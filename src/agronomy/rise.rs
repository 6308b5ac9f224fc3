//! A need from how far lime raises the pH, by texture class or for all soils alike.

use super::Missing;
use super::need::{Need, Why};
use super::soil::Soil;
use super::table::{Addition, Rise, WeaklyBuffered};
use crate::units::{LimeNeed, SoilValue, TextureClass};

/// The rises of a table, fitted to one job.
#[derive(Clone, Debug)]
pub(super) struct Rises {
    all: Vec<Rise>,
    addition: Option<Addition>,
    target_ph: f64,
    /// What one printed unit of need is, as pure calcium carbonate over the limed depth.
    one: LimeNeed,
}

impl Rises {
    pub(super) fn new(
        rises: &[Rise],
        addition: Option<&Addition>,
        target_ph: f64,
        one: LimeNeed,
    ) -> Self {
        Self { all: rises.to_vec(), addition: addition.cloned(), target_ph, one }
    }

    /// The need of a soil below the target.
    pub(super) fn look_up(&self, soil: &Soil<'_>) -> Result<Need, Missing> {
        let rise = rise_of(&self.all, soil)?;
        let mut printed = (self.target_ph - soil.ph).max(0.0) / rise.rise * rise.by;
        if let Some(addition) = &self.addition
            && soil.value(addition.value)? > addition.limit()
        {
            printed += addition.need;
        }
        Ok(Need { need: self.one * printed, why: Why::Table })
    }
}

/// The rise that holds for a soil.
pub(super) fn rise_of<'r>(rises: &'r [Rise], soil: &Soil<'_>) -> Result<&'r Rise, Missing> {
    if let [only @ Rise { texture: None, .. }] = rises {
        return Ok(only);
    }
    let class = soil.texture()?;
    let of_class = rises.iter().find(|rise| rise.texture == Some(class));
    of_class.ok_or(Missing::NeedsOf(class))
}

/// The texture classes of a table of rises; none where one holds for all.
pub(super) fn classes_of(rises: &[Rise]) -> Vec<TextureClass> {
    rises.iter().filter_map(|rise| rise.texture).collect()
}

impl Addition {
    /// The number above which more is needed, in the unit in which methods take it; what lies a
    /// rounding error above it is no more than it.
    pub(super) fn limit(&self) -> f64 {
        // The check of the table refuses a unit without a factor.
        let limit = self.value.canonical(self.above, &self.unit).unwrap_or(self.above);
        limit * (1.0 + 1e-12)
    }
}

/// The rule for weakly buffered soils, fitted to one job.
#[derive(Clone, Debug)]
pub(super) struct Weakly {
    table: WeaklyBuffered,
    target_ph: f64,
    /// What one printed unit of need is, as pure calcium carbonate over the limed depth.
    one: LimeNeed,
}

impl Weakly {
    pub(super) fn new(table: WeaklyBuffered, target_ph: f64, one: LimeNeed) -> Self {
        Self { table, target_ph, one }
    }

    /// The need of a soil below the target.
    pub(super) fn look_up(&self, soil: &Soil<'_>) -> Result<Need, Missing> {
        let table = &self.table;
        if soil.value(SoilValue::Cec)? >= table.cec_below {
            return Err(Missing::NeedsAt(SoilValue::Cec));
        }
        let printed = (self.target_ph - soil.ph).max(0.0) / table.taken_rise * table.by;
        Ok(Need { need: self.one * printed.min(table.most), why: Why::Table })
    }
}
