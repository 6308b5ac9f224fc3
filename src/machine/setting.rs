//! The rates that a machine can hold: whole steps between two ends, or a list.

use crate::units::{ControllerUnit, ProductRate};

/// A rate as the job file writes it: a number in a unit of `unit_si` kg/m2. Kept beside the SI
/// value so that a whole number of steps prints as the number that the operator types in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WrittenRate {
    /// The number as written.
    pub number: f64,
    /// The unit as written: `ton/ac`, `lb/ac`, `t/ha` or `kg/ha`.
    pub unit: &'static str,
}

impl WrittenRate {
    /// The rate itself. A unit that is none of the four is a fault of the caller and counts as 0.
    pub fn rate(self) -> ProductRate {
        match self.unit {
            "ton/ac" => ProductRate::from_short_tons_per_acre(self.number),
            "lb/ac" => ProductRate::from_pounds_per_acre(self.number),
            "t/ha" => ProductRate::from_tonnes_per_hectare(self.number),
            _ => ProductRate::from_kilograms_per_hectare(self.number),
        }
    }
}

/// A rate that the machine can hold: a number of steps, or a place in its list counted from 1.
/// Nothing at all is 0 in both.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MachineRate(pub(in crate::machine) u32);

impl MachineRate {
    /// The spreader is shut.
    pub const NOTHING: Self = Self(0);

    /// Whether anything is spread.
    pub fn spreads(self) -> bool {
        self.0 > 0
    }
}

/// Which rates there are.
#[derive(Clone, Debug, PartialEq)]
pub enum RateLadder {
    /// Whole numbers of one step, from `min_steps` to `max_steps`.
    Steps {
        /// One step.
        step: WrittenRate,
        /// The least rate that the machine holds, in steps.
        min_steps: u32,
        /// The greatest, in steps.
        max_steps: u32,
    },
    /// These rates, above 0 and rising.
    List(Vec<WrittenRate>),
}

/// The rates that a machine can hold, checked.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    ladder: RateLadder,
    /// The rate of each [`MachineRate`] of a list, or of one step.
    si: Vec<ProductRate>,
}

/// Why a machine's rates cannot be taken.
#[derive(Clone, Debug, PartialEq)]
pub enum SettingFault {
    /// A limit that is no whole number of steps, with the numbers below and above it.
    OffTheSteps {
        /// The nearest whole number of steps below, as written in the step's unit.
        below: f64,
        /// The nearest above.
        above: f64,
    },
    /// The least is above the greatest, or the greatest is 0.
    UpsideDown,
    /// A list without a rate above 0, or one that does not rise.
    NotRising,
}

/// How near to a whole number of steps a rate counts as being on it.
pub(in crate::machine) const STEP_SNAP: f64 = 1e-9;

impl Setting {
    /// Whole steps from `min` to `max`.
    ///
    /// # Errors
    /// Returns which of the two limits (`"min_rate"` or `"max_rate"`) is at fault, and why.
    pub fn steps(
        min: ProductRate,
        max: ProductRate,
        step: WrittenRate,
    ) -> Result<Self, (&'static str, SettingFault)> {
        let whole = |name, limit: ProductRate| {
            let steps = limit / step.rate();
            let nearest = steps.round();
            if (steps - nearest).abs() <= STEP_SNAP * nearest.max(1.0) {
                return Ok(nearest as u32);
            }
            let (below, above) = (steps.floor() * step.number, steps.ceil() * step.number);
            Err((name, SettingFault::OffTheSteps { below, above }))
        };
        let (min_steps, max_steps) = (whole("min_rate", min)?, whole("max_rate", max)?);
        if min_steps > max_steps || max_steps == 0 {
            return Err(("max_rate", SettingFault::UpsideDown));
        }
        Ok(Self::from_ladder(RateLadder::Steps { step, min_steps, max_steps }))
    }

    /// The rates of a list; a 0 in it is left out, because the machine can always be shut.
    ///
    /// # Errors
    /// Returns [`SettingFault::NotRising`] where no rate is above 0 or one does not exceed the one
    /// before it.
    pub fn list(rates: &[WrittenRate]) -> Result<Self, SettingFault> {
        let rates: Vec<WrittenRate> =
            rates.iter().copied().filter(|rate| rate.rate() > ProductRate::ZERO).collect();
        let setting = Self::from_ladder(RateLadder::List(rates));
        if setting.si.is_empty() || setting.si.windows(2).any(|pair| pair[0] >= pair[1]) {
            return Err(SettingFault::NotRising);
        }
        Ok(setting)
    }

    /// A ladder whose rates rise.
    pub(in crate::machine) fn from_ladder(ladder: RateLadder) -> Self {
        let si = match &ladder {
            RateLadder::Steps { step, .. } => vec![step.rate()],
            RateLadder::List(rates) => rates.iter().map(|rate| rate.rate()).collect(),
        };
        Self { ladder, si }
    }

    /// The same rates without those above `most`; `None` where none above 0 is left.
    pub fn at_most(&self, most: ProductRate) -> Option<Self> {
        match &self.ladder {
            &RateLadder::Steps { step, min_steps, max_steps } => {
                let held = (most / step.rate() + STEP_SNAP).floor();
                let max_steps = if held < f64::from(max_steps) { held as u32 } else { max_steps };
                let ladder = RateLadder::Steps { step, min_steps, max_steps };
                (max_steps >= min_steps.max(1)).then(|| Self { ladder, si: self.si.clone() })
            }
            RateLadder::List(rates) => {
                let most = most * (1.0 + STEP_SNAP);
                let left: Vec<WrittenRate> =
                    rates.iter().copied().filter(|rate| rate.rate() <= most).collect();
                Self::list(&left).ok()
            }
        }
    }

    /// Which rates there are, as written.
    pub fn ladder(&self) -> &RateLadder {
        &self.ladder
    }

    /// The unit that its rates are written in.
    pub fn unit(&self) -> ControllerUnit {
        let written = self.written(MachineRate::NOTHING).unit;
        ControllerUnit::of_words(written)
    }

    /// What rates are snapped by: one step, or the least rate of a list.
    pub(in crate::machine) fn unit_rate(&self) -> ProductRate {
        self.si[0]
    }

    /// The rate `rate`.
    pub fn rate(&self, rate: MachineRate) -> ProductRate {
        match (&self.ladder, rate.0) {
            (_, 0) => ProductRate::ZERO,
            (RateLadder::Steps { .. }, steps) => self.si[0] * f64::from(steps),
            (RateLadder::List(_), place) => self.si[place as usize - 1],
        }
    }

    /// The rate `rate` as the job file would write it.
    pub fn written(&self, rate: MachineRate) -> WrittenRate {
        match &self.ladder {
            RateLadder::Steps { step, .. } => {
                WrittenRate { number: step.number * f64::from(rate.0), unit: step.unit }
            }
            RateLadder::List(rates) if rate.spreads() => rates[rate.0 as usize - 1],
            RateLadder::List(rates) => WrittenRate { number: 0.0, unit: rates[0].unit },
        }
    }

    /// The machine's own rate that is `rate`, as near as the snap; nothing is one of them.
    ///
    /// # Errors
    /// Returns the nearest rates that the machine holds: one below, and one above where there is
    /// one.
    pub fn held(&self, rate: ProductRate) -> Result<MachineRate, Vec<WrittenRate>> {
        let (least, greatest) = (self.least(), self.greatest());
        let snap = self.si[0] * STEP_SNAP;
        let all =
            std::iter::once(MachineRate::NOTHING).chain((least.0..=greatest.0).map(MachineRate));
        let mut below = None;
        for held in all {
            let si = self.rate(held);
            if (si - rate).abs() <= snap {
                return Ok(held);
            }
            if si > rate {
                return Err(below.into_iter().chain([self.written(held)]).collect());
            }
            below = Some(self.written(held));
        }
        Err(below.into_iter().collect())
    }

    /// The greatest rate that the machine holds and that is not above `rate`; nothing where there is
    /// none above 0.
    pub fn at_or_below(&self, rate: ProductRate) -> MachineRate {
        let snapped = rate + self.si[0] * STEP_SNAP;
        let rates = (self.least().0..=self.greatest().0).map(MachineRate);
        match &self.ladder {
            RateLadder::Steps { .. } => {
                let steps = MachineRate((snapped / self.si[0]).floor() as u32);
                if steps < self.least() { MachineRate::NOTHING } else { steps.min(self.greatest()) }
            }
            RateLadder::List(_) => rates
                .take_while(|&held| self.rate(held) <= snapped)
                .last()
                .unwrap_or(MachineRate::NOTHING),
        }
    }

    /// The least rate above 0 that the machine holds.
    pub fn least(&self) -> MachineRate {
        match &self.ladder {
            RateLadder::Steps { min_steps, .. } => MachineRate((*min_steps).max(1)),
            RateLadder::List(_) => MachineRate(1),
        }
    }

    /// The greatest rate that the machine holds.
    pub fn greatest(&self) -> MachineRate {
        match &self.ladder {
            RateLadder::Steps { max_steps, .. } => MachineRate(*max_steps),
            RateLadder::List(rates) => MachineRate(rates.len() as u32),
        }
    }
}
