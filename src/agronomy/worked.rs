//! Worked examples, computed anew by the method that they belong to.

use super::table::{Example, ExampleReadings};
use super::{Aim, Ask, CapacityReading, Given, LimeMethod, SoilValues, ValueUnits};
use crate::findings::{Place, Problem, Refusal};
use crate::units::{DepthInterval, Length, SoilValue, bound, read_number_with_unit};

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
    let (values, units) = values_of(&example.given)?;
    let given = Given {
        sampled_depth,
        ph_medium: card.ph_medium.example(),
        buffer: card.buffer,
        al_extract: card.al_extract,
        bulk_density: density_of(&example.given)?,
        units,
        // An example gives the capacity at equilibrium.
        capacity_read: Some(CapacityReading::Equilibrium),
    };
    let ask = Ask {
        target: card.aim.target(example.target),
        treat_below: None,
        limed_depth: depth,
        part: None,
    };
    let (prepared, _) = method.prepare(&ask, &given)?;
    // A pH that only says that the soil is limed may be any that does.
    let is_any = card.buffer.is_some() || card.aim != Aim::Ph;
    let below = || prepared.trigger().map_or(5.0, |trigger| trigger - 1.0);
    let ph = example.given.ph.or_else(|| is_any.then(below));
    let layer = given.layer(ph, example.given.buffer_ph).with_values(values);
    let need = prepared.need(&layer).map_err(|missing| {
        let what = format!("an example of `{}` has {missing}", card.id);
        Problem::at(Place::default(), what)
    })?;
    let need = card.need_unit.number(need.need) / card.basis.carbonate_share();
    Ok(Worked { need, agrees: (need - example.expect).abs() <= example.tolerance })
}

/// What an example gives beside pH and buffer pH, each in the unit in which methods take it, and the
/// unit that it is written in.
fn values_of(given: &ExampleReadings) -> Result<(SoilValues, ValueUnits), Refusal> {
    let mut units = ValueUnits::default();
    let mut values = SoilValues::of_texture(given.texture);
    if let Some(acidity) = given.acidity {
        values = values.with(SoilValue::Acidity, acidity);
    }
    for (&value, text) in &given.values {
        let misread = |misread| Problem::misread(Place::default(), value.words(), misread);
        let bounded = value.bounded();
        let number = bounded.read(text).map_err(misread)?;
        let (_, unit) = read_number_with_unit(text, bounded.kind).map_err(misread)?;
        values = values.with(value, number);
        if let Some(unit) = value.unit_written(unit) {
            units.set(value, unit);
        }
    }
    Ok((values, units))
}

/// The bulk density that an example gives, kg/dm3.
fn density_of(given: &ExampleReadings) -> Result<Option<f64>, Refusal> {
    let Some(text) = &given.bulk_density else { return Ok(None) };
    let words = bound::SOIL_DENSITY.words;
    let kg_m3 = bound::SOIL_DENSITY
        .read(text)
        .map_err(|misread| Problem::misread(Place::default(), words, misread))?;
    Ok(Some(kg_m3 / 1_000.0))
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
