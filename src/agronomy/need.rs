//! A method fitted to one job: from one soil to its lime need.

use std::sync::Arc;

use super::by_volume::CHARGE_BY_VOLUME;
use super::door::{BeyondRange, Door};
use super::rule::Rule;
use super::soil::Soil;
use super::trace::Printed;
use super::{BetweenTargets, Buffer, Layer, LimeCredit, ReadSet, Reads, Target};
use crate::units::{Length, LimeNeed, PhMedium, PhReading, SoilValue, TextureClass, is_by_volume};

/// Readings closer than this on a pH scale are the same reading; the rest is rounding.
pub(super) const SAME_READING: f64 = 1e-9;

/// A method fitted to one job: a pure function from one soil to its need.
///
/// It is made once a run by [`LimeMethod::prepare`](super::LimeMethod::prepare), called for every
/// cell, allocates nothing and may be shared by threads.
#[derive(Clone, Debug)]
pub struct Prepared {
    pub(super) ph_medium: PhMedium,
    pub(super) door: Door,
    pub(super) buffer: Option<Buffer>,
    pub(super) trigger: Option<f64>,
    pub(super) reads: ReadSet,
    /// The texture classes that it has needs for, where it goes by texture.
    pub(super) textures: Vec<TextureClass>,
    /// Whether the bulk density of the soil counts in the need.
    pub(super) takes_density: bool,
    pub(super) rule: Rule,
    pub(super) table_depth: Option<Length>,
    pub(super) depth_factor: f64,
    /// What the need does not take and a trace of it tells.
    pub(super) printed: Arc<Printed>,
}

impl Prepared {
    /// The need of the soil with these readings, over the limed depth.
    ///
    /// # Errors
    /// Returns what is [`Missing`] where the layer lacks a reading that decides the need, in the
    /// medium or buffer that the method was prepared for. A buffer pH may be missing where the
    /// soil's pH already says that nothing is needed.
    pub fn need(&self, layer: &Layer) -> Result<Need, Missing> {
        let ph = self.to_method_medium(self.measured_ph(layer)?);
        if self.is_at_trigger(ph) {
            return Ok(Need { need: LimeNeed::ZERO, why: Why::AtTrigger });
        }
        self.rule.look_up(&self.soil(layer, ph)?)
    }

    /// The layer's pH as it was measured.
    pub(super) fn measured_ph(&self, layer: &Layer) -> Result<f64, Missing> {
        let measured = layer.ph.filter(|reading| reading.medium() == self.ph_medium);
        measured.map(PhReading::number).ok_or(Missing::Ph(self.ph_medium))
    }

    /// Whether a pH in the method's own medium says that nothing is needed.
    pub(super) fn is_at_trigger(&self, ph: f64) -> bool {
        self.trigger.is_some_and(|trigger| ph >= trigger - SAME_READING)
    }

    /// What decides the need of a layer of pH `ph` in the method's own medium.
    pub(super) fn soil<'l>(&self, layer: &'l Layer, ph: f64) -> Result<Soil<'l>, Missing> {
        let values = &layer.values;
        let reading = match (self.reads.lead(), self.buffer) {
            (Reads::Value(value), _) => values.get(value).ok_or(Missing::Value(value))?,
            (_, Some(buffer)) => layer
                .buffer_ph
                .filter(|reading| reading.buffer == buffer)
                .map(|reading| reading.ph.reading())
                .ok_or(Missing::BufferPh(buffer))?,
            (_, None) => ph,
        };
        Ok(Soil { ph, reading, values })
    }

    /// What earlier lime is still worth by the source's own rule, where the job lists some and
    /// the source credits it.
    pub fn credit(&self) -> Option<&LimeCredit> {
        self.printed.credit.as_ref()
    }

    /// The printed targets that the job's target lies between, where it is none of them.
    pub fn between_targets(&self) -> Option<BetweenTargets> {
        self.printed.between_targets()
    }

    /// The readings that decide the need, where the pH does not already say that there is none.
    pub fn reads(&self) -> &ReadSet {
        &self.reads
    }

    /// Whether this value decides the need, beside pH and buffer pH.
    pub fn reads_value(&self, value: SoilValue) -> bool {
        self.reads.has(Reads::Value(value))
    }

    /// The texture classes that the method has needs for; none where it does not go by texture.
    pub fn textures(&self) -> &[TextureClass] {
        &self.textures
    }

    /// The number that a value has to lie below, in the unit in which methods take it, where the
    /// method holds below it only.
    pub fn holds_below(&self, value: SoilValue) -> Option<f64> {
        let weakly = self.printed.table.weakly.as_ref();
        weakly.filter(|_| value == SoilValue::Cec).map(|rule| rule.cec_below)
    }

    /// The unit of the [step](Reads::acid_step) of the reading that leads: charge that was reported
    /// by volume of soil is counted so.
    pub fn lead_unit(&self) -> &'static str {
        let lead = self.reads.lead();
        let reported = match lead {
            Reads::Value(value) => self.printed.units.get(value),
            Reads::Ph | Reads::BufferPh | Reads::Texture => None,
        };
        let is_charge = lead.unit() == "cmol/kg" && reported.is_some_and(is_by_volume);
        if is_charge { CHARGE_BY_VOLUME } else { lead.unit() }
    }

    /// Whether the soil's own pH counts in the need: as one of its readings, or as the trigger.
    pub fn goes_by_ph(&self) -> bool {
        self.trigger.is_some() || self.reads.has(Reads::Ph)
    }

    /// What the lime is to bring about.
    pub fn target(&self) -> Target {
        self.printed.target
    }

    /// Whether the bulk density of the soil, where the job states it, counts in the need.
    pub fn takes_density(&self) -> bool {
        self.takes_density
    }

    /// Whether a buffer pH decides the need, beside the soil's pH.
    pub fn reads_buffer(&self) -> bool {
        self.buffer.is_some()
    }

    /// The buffer whose reading decides the need, where one does.
    pub fn buffer(&self) -> Option<Buffer> {
        self.buffer
    }

    /// The medium in which the soils' pH was measured.
    pub fn ph_medium(&self) -> PhMedium {
        self.ph_medium
    }

    /// The least reading (buffer pH, or pH in the method's own medium) from which the target's
    /// column or equation needs nothing, or `None` where it does not reach zero.
    pub fn zero_need_reading(&self) -> Option<f64> {
        self.rule.zero_need_reading()
    }

    /// Lowest and highest reading that the target's column covers, as
    /// [`zero_need_reading`](Self::zero_need_reading) is read. Lines and equations cover all that
    /// may be read.
    pub fn range(&self) -> (f64, f64) {
        self.rule.range(self.reads.lead())
    }

    /// The pH, in the method's own medium, at and above which nothing is needed; `None` where no pH
    /// says so.
    pub fn trigger(&self) -> Option<f64> {
        self.trigger
    }

    /// A pH as measured, in the method's own medium.
    pub fn to_method_medium(&self, ph: f64) -> f64 {
        self.door.convert(ph)
    }

    /// The equation that the reading lies beyond, where a conversion on the way is not taken for it.
    pub fn beyond_conversion(&self, ph: f64) -> Option<BeyondRange> {
        self.door.beyond_range(ph)
    }

    /// The depth that the table's needs are stated for, or `None` where the source does not say.
    pub fn table_depth(&self) -> Option<Length> {
        self.table_depth
    }

    /// Limed depth over table depth: what the table's needs are multiplied by (already in
    /// [`need`](Self::need)). 1 where the table's depth is not stated.
    pub fn depth_factor(&self) -> f64 {
        self.depth_factor
    }
}

/// A lime need, and how the method came to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Need {
    /// How much pure calcium carbonate, over the limed depth.
    pub need: LimeNeed,
    /// How the method came to it.
    pub why: Why,
}

/// How a method came to a need.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Why {
    /// The pH is at or above the trigger: nothing is needed.
    AtTrigger,
    /// A printed row, between two of them, or a printed line or equation.
    Table,
    /// On the line that carries the printed rows on to the target.
    Derived,
    /// The computed need is below the least that the source limes for: nothing.
    BelowLeast,
    /// The reading is below the lowest row: the lowest row's need was taken.
    BelowTable,
    /// The reading is above the highest row: the highest row's need was taken.
    AboveTable,
}

impl Why {
    /// Whether the reading lies beyond the table, so that an end value stands in for the need.
    pub fn is_table_limit(self) -> bool {
        matches!(self, Self::BelowTable | Self::AboveTable)
    }
}

/// The reading for want of which a need cannot be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Missing {
    /// The soil has no pH in the medium that the method was prepared for.
    #[error("no pH in {}", .0.words())]
    Ph(PhMedium),
    /// The soil has no reading of the buffer that the method was prepared for.
    #[error("no {} buffer pH", .0.words())]
    BufferPh(Buffer),
    /// The soil has no number of this kind.
    #[error("no {}", .0.words())]
    Value(SoilValue),
    /// The soil has no texture class.
    #[error("no texture class")]
    Texture,
    /// The method has no needs for soils of this texture class.
    #[error("a texture class, {}, that the method has no needs for", .0.words())]
    NeedsOf(TextureClass),
    /// The method has no needs for soils with so much of this.
    #[error("more {} than the method holds for", .0.words())]
    NeedsAt(SoilValue),
}
