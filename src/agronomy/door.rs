//! The door of a method: a pH as measured is converted into the method's own medium, and told.

use super::MethodMedium;
use super::door_step::{Curve, DoorStep, shortest_way};
use crate::findings::{Finding, Place, Problem};
use crate::units::PhMedium;

/// The way from a pH as measured to a pH in another medium, by published equations.
#[derive(Clone, Debug, PartialEq)]
pub struct Door {
    steps: Vec<DoorStep>,
}

/// A reading beyond the range of an equation that it is converted by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeyondRange {
    /// The medium in which the equation takes the reading.
    pub medium: PhMedium,
    /// Lowest and highest pH that it is taken for.
    pub range: [f64; 2],
    /// Where the range comes from.
    pub basis: &'static str,
}

impl Door {
    /// The reading is taken as it is.
    pub(super) const AS_READ: Self = Self { steps: Vec::new() };

    /// The way from one medium to another. Every conversion, and every reading taken as it is for
    /// want of one, is told in `findings`.
    ///
    /// # Errors
    /// Where no equation at hand leads there.
    pub fn between(
        from: PhMedium,
        to: PhMedium,
        findings: &mut Vec<Finding>,
    ) -> Result<Self, Problem> {
        Self::open(from, MethodMedium::Stated(to), findings)
    }

    /// The way from the medium the laboratory used to the method's, told as
    /// [`between`](Self::between) does.
    pub(super) fn open(
        from: PhMedium,
        to: MethodMedium,
        findings: &mut Vec<Finding>,
    ) -> Result<Self, Problem> {
        let to = match to {
            MethodMedium::Stated(medium) if medium == from => return Ok(Self::AS_READ),
            MethodMedium::AnyWater if from.is_water() => return Ok(Self::AS_READ),
            MethodMedium::Any => return Ok(Self::AS_READ),
            MethodMedium::Stated(medium) => Some(medium),
            MethodMedium::AnyWater => None,
        };
        let start = stands_for(from);
        let end = to.map(stands_for);
        let is_end = |medium: PhMedium| end.map_or(medium.is_water(), |end| medium == end);
        let Some(steps) = shortest_way(start, is_end) else {
            return Err(no_way(from, to));
        };
        findings.extend(steps.iter().map(|step| Finding::new("ph_converted", &*step.told)));
        if let Some(to) = to.filter(|to| start != from || stands_for(*to) != *to) {
            findings.push(as_read(from, to));
        }
        Ok(Self { steps })
    }

    /// Where the line begins, and its slope; `None` where the way is no straight line.
    pub(super) fn line(&self) -> Option<(f64, f64)> {
        self.steps.iter().try_fold((0.0, 1.0), |(begins, rises), step| match step.curve {
            Curve::Line { intercept, slope } => Some((intercept + slope * begins, slope * rises)),
            Curve::Log10 { .. } | Curve::Antilog { .. } => None,
        })
    }

    /// `ph` in the medium that the door leads to.
    pub fn convert(&self, ph: f64) -> f64 {
        self.steps.iter().fold(ph, |ph, step| step.curve.convert(ph))
    }

    /// The first equation on the way that is not taken for the reading; `None` where all are.
    pub fn beyond_range(&self, ph: f64) -> Option<BeyondRange> {
        let mut ph = ph;
        for step in &self.steps {
            if let Some((range @ [low, high], basis)) = step.range
                // A hundredth more or less is the rounding of readings that were converted.
                && !(low - 0.005..=high + 0.005).contains(&ph)
            {
                return Some(BeyondRange { medium: step.from, range, basis });
            }
            ph = step.curve.convert(ph);
        }
        None
    }
}

/// Water pairs with salt solutions at 1:2.5 in the literature at hand, and proportions without an
/// equation of their own are taken as that.
fn stands_for(medium: PhMedium) -> PhMedium {
    match medium {
        PhMedium::Water1To1 | PhMedium::Water1To2 => PhMedium::Water1To2Point5,
        other => other,
    }
}

fn as_read(from: PhMedium, to: PhMedium) -> Finding {
    let text = format!(
        "pH is wanted in {}, and the laboratory read it in {}; no published conversion for that \
         proportion of water is at hand, and it is taken as it is. The proportion shifts a pH by \
         some hundredths to a tenth (common practice).",
        to.words(),
        from.words()
    );
    Finding::new("ph_proportion_taken_as_read", text)
}

/// Only potassium chloride of an unknown proportion has no equation.
fn no_way(from: PhMedium, to: Option<PhMedium>) -> Problem {
    let to = to.map_or("water", PhMedium::words);
    let what = format!("no conversion from pH in {} to pH in {to} is at hand", from.words());
    let all = PhMedium::ALL.into_iter().filter(|medium| *medium != PhMedium::PotassiumChloride);
    let allowed: Vec<_> = all.map(PhMedium::words).collect();
    Problem::at(Place::default(), what).allowed(format!("pH in {}", allowed.join(", "))).hint(
        "ask the laboratory for the proportion of soil to KCl (KCl 1 M 1:2.5 and 1:5 are \
         converted), have the samples read in water or in CaCl2 0.01 M, or choose a method made \
         for this medium",
    )
}

#[cfg(test)]
mod tests;
