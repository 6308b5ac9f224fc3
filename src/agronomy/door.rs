//! The door of a method: a pH as measured is converted into the method's own medium, and told.

use super::MethodMedium;
use super::conversion::{PhConversion, all_conversions};
use crate::findings::{Finding, Place, Problem};
use crate::units::PhMedium;

/// The straight line from a pH as measured to a pH in the method's own medium.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Door {
    intercept: f64,
    slope: f64,
}

impl Door {
    /// The reading is taken as it is.
    pub(super) const AS_READ: Self = Self { intercept: 0.0, slope: 1.0 };

    /// The way from the medium the laboratory used to the method's. Every conversion, and every
    /// reading taken as it is for want of one, is told in `findings`.
    pub(super) fn open(
        from: PhMedium,
        to: MethodMedium,
        findings: &mut Vec<Finding>,
    ) -> Result<Self, Problem> {
        // Water pairs with salt solutions at 1:2.5 in the literature at hand.
        let hub = PhMedium::Water1To2Point5;
        let to = match to {
            MethodMedium::Stated(medium) => medium,
            MethodMedium::AnyWater if from.is_water() => return Ok(Self::AS_READ),
            MethodMedium::AnyWater => hub,
        };
        if from == to {
            return Ok(Self::AS_READ);
        }
        if from == PhMedium::PotassiumChloride || to == PhMedium::PotassiumChloride {
            return Err(no_way(from, to));
        }
        if let Some(door) = published(from, to, findings) {
            return Ok(door);
        }
        let first = published(from, hub, findings);
        let second = published(hub, to, findings);
        let taken_as_read: Vec<_> = [(from, first), (to, second)]
            .into_iter()
            .filter(|(medium, step)| *medium != hub && step.is_none())
            .map(|(medium, _)| medium)
            .collect();
        if !taken_as_read.is_empty() {
            findings.push(as_read(from, to));
        }
        Ok(first.unwrap_or(Self::AS_READ).then(second.unwrap_or(Self::AS_READ)))
    }

    fn along(line: &PhConversion) -> Self {
        Self { intercept: line.intercept, slope: line.slope }
    }

    fn against(line: &PhConversion) -> Self {
        Self { intercept: -line.intercept / line.slope, slope: 1.0 / line.slope }
    }

    /// Where the line begins, and its slope.
    pub(super) fn line(self) -> (f64, f64) {
        (self.intercept, self.slope)
    }

    /// `ph` in the method's own medium.
    pub(super) fn convert(self, ph: f64) -> f64 {
        self.intercept + self.slope * ph
    }

    /// This way, and then the other.
    fn then(self, next: Self) -> Self {
        Self {
            intercept: next.intercept + next.slope * self.intercept,
            slope: next.slope * self.slope,
        }
    }
}

/// The published conversion from one medium to another, in either direction, and its finding.
fn published(from: PhMedium, to: PhMedium, findings: &mut Vec<Finding>) -> Option<Door> {
    all_conversions().iter().find_map(|conversion| {
        let media = (conversion.start()?, conversion.end()?);
        let (door, line) = if media == (from, to) {
            (Door::along(conversion), conversion.in_words())
        } else if media == (to, from) {
            (
                Door::against(conversion),
                format!("{}, solved for the pH in {}", conversion.in_words(), to.words()),
            )
        } else {
            return None;
        };
        let text = format!(
            "pH in {} is converted to pH in {} for the method, by {line}; the equation holds for \
             {} ({}).",
            from.words(),
            to.words(),
            conversion.soils,
            conversion.citation().words()
        );
        findings.push(Finding::new("ph_converted", text));
        Some(door)
    })
}

fn as_read(from: PhMedium, to: PhMedium) -> Finding {
    let text = format!(
        "The method is made for pH in {}, and the laboratory read it in {}; no published \
         conversion for that proportion of water is at hand, and it is taken as it is. The \
         proportion shifts a pH by some hundredths to a tenth (common practice).",
        to.words(),
        from.words()
    );
    Finding::new("ph_proportion_taken_as_read", text)
}

fn no_way(from: PhMedium, to: PhMedium) -> Problem {
    let what =
        format!("no conversion from pH in {} to pH in {} is at hand", from.words(), to.words());
    let all = PhMedium::ALL.into_iter().filter(|medium| *medium != PhMedium::PotassiumChloride);
    let allowed: Vec<_> = all.map(PhMedium::words).collect();
    Problem::at(Place::default(), what).allowed(format!("pH in {}", allowed.join(", "))).hint(
        "have the samples read in water or in CaCl2 0.01 M, or choose a method made for this medium",
    )
}

#[cfg(test)]
mod tests;
