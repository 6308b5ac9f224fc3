//! Worked examples, computed anew by the method that they belong to.

use super::table::Example;
use super::{Ask, Given, LimeMethod, MethodMedium, SoilValues, Target, ValueUnits};
use crate::findings::{Place, Problem, Refusal};
use crate::units::{DepthInterval, Length, PhMedium, SoilValue};

/// An example as the method computes it now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worked {
    /// The need, in the unit and on the material basis of the method's card.
    pub need: f64,
    /// Whether it agrees with what the source prints, within the example's tolerance.
    pub agrees: bool,
}

/// Computes an example anew, for the method's own depth, medium and buffer.
///
/// # Errors
/// Refuses an example that lacks a reading or asks for a target that the method does not serve.
pub fn work_example(method: &dyn LimeMethod, example: &Example) -> Result<Worked, Refusal> {
    let card = method.card();
    // Where the source states no depth nothing is scaled, and any depth will do.
    let depth = card.depth.unwrap_or(Length::from_centimetres(20.0));
    let Some(sampled_depth) = DepthInterval::down_to(depth) else {
        let what = format!("`{}` has no depth below the surface", card.id);
        return Err(Problem::at(Place::default(), what).into());
    };
    let ph_medium = match card.ph_medium {
        MethodMedium::Stated(medium) => medium,
        MethodMedium::AnyWater => PhMedium::Water1To1,
    };
    let units = ValueUnits::default();
    let given = Given {
        sampled_depth,
        ph_medium,
        buffer: card.buffer,
        al_extract: None,
        bulk_density: None,
        units,
    };
    let ask = Ask {
        target: Target::Ph(example.target),
        treat_below: None,
        limed_depth: depth,
        part: None,
    };
    let (prepared, _) = method.prepare(&ask, &given)?;
    let ph = example
        .given
        .ph
        .or_else(|| card.buffer.map(|_| prepared.trigger().map_or(5.0, |trigger| trigger - 1.0)));
    let values = example.given.acidity.map_or_else(SoilValues::default, |acidity| {
        SoilValues::default().with(SoilValue::Acidity, acidity)
    });
    let layer = given.layer(ph, example.given.buffer_ph).with_values(values);
    let need = prepared.need(&layer).map_err(|missing| {
        let what = format!("an example of `{}` has {missing}", card.id);
        Problem::at(Place::default(), what)
    })?;
    let need = card.need_unit.number(need.need) / card.basis.carbonate_share();
    Ok(Worked { need, agrees: (need - example.expect).abs() <= example.tolerance })
}

/// Holds every example of a method against what it computes now; for a user's own table.
///
/// # Errors
/// Refuses the examples that the method does not reproduce, each with both numbers.
pub fn check_examples(method: &dyn LimeMethod) -> Result<(), Refusal> {
    let card = method.card();
    let mut problems = Vec::new();
    for (at, example) in card.examples.iter().enumerate() {
        match work_example(method, example) {
            Ok(worked) if worked.agrees => {}
            Ok(worked) => {
                let unit = card.need_unit.words();
                let what = format!("`examples[{at}]` comes out as {} {unit}", worked.need);
                let allowed = format!("{} {unit} within {}", example.expect, example.tolerance);
                problems.push(Problem::at(Place::default(), what).allowed(allowed));
            }
            Err(refusal) => problems.extend(refusal.into_problems()),
        }
    }
    Refusal::unless_clean(problems, ())
}
