//! What a lime-need method is asked, what it is given, and what every method can do.

use std::fmt;

use super::{
    AlExtract, Buffer, BufferReading, Layer, MethodCard, Prepared, SoilValues, Target, ValueUnits,
};
use crate::findings::{Finding, Refusal};
use crate::units::{BufferPh, DepthInterval, Length, PhMedium};

/// A way to find the lime need of one soil from its readings.
pub trait LimeMethod: fmt::Debug + Send + Sync {
    /// What there is to say about the method: its inputs, units, range, source and examples.
    fn card(&self) -> &MethodCard;

    /// Fits the method to one job: chooses the target's column, converts at the door, scales by
    /// depth. The findings say whatever was converted, scaled or assumed.
    ///
    /// # Errors
    /// Refuses a target, trigger or depth that the method does not serve, a pH that cannot be
    /// converted into its medium, and the reading of a buffer that it was not made for; all
    /// problems at once.
    fn prepare(&self, ask: &Ask, given: &Given) -> Result<(Prepared, Vec<Finding>), Refusal>;
}

/// What is wanted of the lime.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ask {
    /// What to lime to.
    pub target: Target,
    /// Soils at or above this pH, in the method's own medium, are left alone. `None`: the
    /// source's own trigger where it states one, else the target.
    pub treat_below: Option<f64>,
    /// The depth that the lime is to act on.
    pub limed_depth: Length,
    /// The part of it that the soil stands for, where the need is the sum over several layers;
    /// `None`: all of it.
    pub part: Option<DepthInterval>,
}

/// What the laboratory measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Given {
    /// The depth the samples were taken over.
    pub sampled_depth: DepthInterval,
    /// The medium the pH was read in.
    pub ph_medium: PhMedium,
    /// The buffer the laboratory ran, if it ran one.
    pub buffer: Option<Buffer>,
    /// The extract by which it read aluminium, where that is stated.
    pub al_extract: Option<AlExtract>,
    /// The bulk density of the soil, kg/dm3, where the job states it.
    pub bulk_density: Option<f64>,
    /// The units of what else it reported.
    pub units: ValueUnits,
}

impl Given {
    /// One soil's numbers, as measured, as a layer of this depth, medium and buffer. A buffer pH
    /// means nothing without its buffer and is left out where none was named.
    ///
    /// # Panics
    /// If a number is not finite; readings are checked where they are read.
    pub fn layer(&self, ph: Option<f64>, buffer_ph: Option<f64>) -> Layer {
        let read_in =
            |buffer| buffer_ph.map(|reading| BufferReading { buffer, ph: BufferPh::new(reading) });
        Layer {
            depth: self.sampled_depth,
            ph: ph.map(|reading| self.ph_medium.reading(reading)),
            buffer_ph: self.buffer.and_then(read_in),
            values: SoilValues::default(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::PhReading;

    #[test]
    fn numbers_become_a_layer_in_the_medium_and_buffer_they_were_measured_in() {
        let sampled_depth = DepthInterval::down_to(Length::from_inches(6.0)).unwrap();
        let given = Given {
            sampled_depth,
            ph_medium: PhMedium::CalciumChloride,
            buffer: Some(Buffer::Sikora),
            al_extract: None,
            bulk_density: None,
            units: ValueUnits::default(),
        };
        let layer = given.layer(Some(5.2), Some(6.4));
        assert_eq!(layer.ph.map(PhReading::medium), Some(PhMedium::CalciumChloride));
        assert_eq!(layer.ph.map(PhReading::number), Some(5.2));
        assert_eq!(
            layer.buffer_ph.map(|r| (r.buffer, r.ph.reading())),
            Some((Buffer::Sikora, 6.4))
        );
        assert_eq!(layer.depth, sampled_depth);
    }

    #[test]
    fn what_was_not_measured_stays_missing() {
        let sampled_depth = DepthInterval::down_to(Length::from_inches(6.0)).unwrap();
        let given = Given {
            sampled_depth,
            ph_medium: PhMedium::Water1To1,
            buffer: None,
            al_extract: None,
            bulk_density: None,
            units: ValueUnits::default(),
        };
        let layer = given.layer(None, Some(6.4));
        assert_eq!((layer.ph, layer.buffer_ph), (None, None));
    }
}
