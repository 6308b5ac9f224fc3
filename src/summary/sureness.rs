//! What hangs on the readings and how sure the totals are, in a summary.

use super::build::{Builder, Parts, rate_as_written};
use super::{AreaProduct, IntervalPart, Quantity, RangePart, SensitivityPart};
use crate::machine::RateLadder;
use crate::prescription::{Interval, TAIL};

impl Builder<'_> {
    pub(super) fn sensitivity(&self) -> SensitivityPart {
        let Parts { job, sensitivity, .. } = self.parts;
        let step = match job.machine.setting.ladder() {
            RateLadder::Steps { step, .. } => Some(rate_as_written(self.system, *step).into()),
            RateLadder::List(_) => None,
        };
        let prepared = self.top().prepared;
        let lead = prepared.reads().lead();
        SensitivityPart {
            reading: lead.key().to_owned(),
            step: Quantity { value: lead.acid_step(), unit: prepared.lead_unit().into() },
            need_per_tenth: self.system.need(sensitivity.need_per_tenth).into(),
            needing_area: self.area(sensitivity.needing_area),
            rate_per_tenth: self.rate(sensitivity.need_per_tenth / job.material.effective),
            machine_step: step,
            below_trigger: AreaProduct {
                area: self.area(sensitivity.below_area),
                product: self.product(sensitivity.below_product),
            },
            below_trigger_limed_area: self.area(sensitivity.below_limed_area),
            above_trigger_limed_area: self.area(sensitivity.above_limed_area),
            above_trigger: AreaProduct {
                area: self.area(sensitivity.above_area),
                product: self.product(sensitivity.above_product),
            },
        }
    }

    pub(super) fn interval(&self) -> IntervalPart {
        let Parts { intervals, doubts, .. } = self.parts;
        IntervalPart {
            draws: intervals.draws,
            tail: TAIL,
            need_total: range(intervals.need, |mass| self.carbonate(mass)),
            product_total: range(intervals.product, |mass| self.product(mass)),
            readings: doubts.to_vec(),
        }
    }
}

fn range<T>(of: Interval<T>, quantity: impl Fn(T) -> Quantity) -> RangePart {
    RangePart { low: quantity(of.low), middle: quantity(of.middle), high: quantity(of.high) }
}
