//! What the flow of the spreader tells of the rates of a map.

use super::machine_notes::speed_words;
use super::notes::shown;
use crate::findings::Finding;
use crate::inputs::Job;
use crate::machine::{FlowFit, MachineRate};
use crate::prescription::RateTotal;
use crate::summary::rate_as_written;
use crate::units::{Area, ProductRate, Speed, plain};

/// Rates of an application that flow too much or too little.
pub(super) fn of_flow(job: &Job, rates: &[RateTotal]) -> Vec<Finding> {
    too_much_to_flow(job, rates).into_iter().chain(too_little_to_flow(job, rates)).collect()
}

fn written(job: &Job, rate: MachineRate) -> String {
    let amount = rate_as_written(job.units, job.machine.single().written(rate));
    format!("{} {}", plain(amount.value, 0, 4), amount.unit)
}

fn area_of(totals: &[&RateTotal]) -> Area {
    totals.iter().map(|total| total.total.area).sum()
}

fn driven(job: &Job, speed: Speed) -> String {
    let spacing = job.units.length(job.machine.pass_spacing);
    format!(
        "At {} and {} {} between passes",
        speed_words(job, speed, f64::round),
        plain(spacing.value, 0, 1),
        spacing.unit
    )
}

/// Rates that ask for more than the most flow at the job's speed.
fn too_much_to_flow(job: &Job, rates: &[RateTotal]) -> Option<Finding> {
    let machine = &job.machine;
    let (speed, most) = (machine.speed?, machine.abilities.max_flow?);
    let rate_of = |total: &RateTotal| machine.single().rate(total.rate);
    let beyond: Vec<&RateTotal> = rates
        .iter()
        .filter(|total| total.rate.spreads())
        .filter(|total| machine.flow_fit(rate_of(total), speed) == FlowFit::TooMuch)
        .collect();
    let greatest = beyond.last()?;
    let held = machine.flow_rates(speed).greatest?;
    let fastest = machine.rate_speeds(rate_of(greatest)).fastest?;
    let instead = machine.single().at_most(held).map_or_else(String::new, |setting| {
        let rate = written(job, setting.greatest());
        format!(", or hold the map to {rate}, the greatest of its rates that flows at that speed")
    });
    let text = format!(
        "{} the spreader's most flow of {} comes to {}. The map asks for more on {}, up to {}, \
         which would take {}. Drive no faster than {} there{instead}; the summary has the fastest \
         speed of each rate.",
        driven(job, speed),
        shown(job.units.flow(most), 0),
        rate_words(job, held),
        shown(job.units.area(area_of(&beyond)), 2),
        written(job, greatest.rate),
        shown(job.units.flow(machine.flow(rate_of(greatest), speed)), 0),
        speed_words(job, fastest, f64::floor),
    );
    Some(Finding::new("rate_above_the_flow", text))
}

/// Rates that ask for less than the least flow: at the job's speed, or at any that the spreader
/// drives.
fn too_little_to_flow(job: &Job, rates: &[RateTotal]) -> Option<Finding> {
    let machine = &job.machine;
    let least = machine.abilities.min_flow?;
    let rate_of = |total: &RateTotal| machine.single().rate(total.rate);
    let too_little = |total: &&RateTotal| {
        let rate = rate_of(total);
        machine.speed.is_some_and(|speed| machine.flow_fit(rate, speed) == FlowFit::TooLittle)
            || !machine.rate_speeds(rate).is_held()
    };
    let beyond: Vec<&RateTotal> =
        rates.iter().filter(|total| total.rate.spreads()).filter(too_little).collect();
    let lowest = beyond.first()?;
    let speeds = machine.rate_speeds(rate_of(lowest));
    let slowest = speeds.slowest?;
    let comes_to = machine.speed.map_or_else(
        || format!("The spreader's least flow is {}.", shown(job.units.flow(least), 0)),
        |speed| {
            let held = machine.flow_rates(speed).least.unwrap_or(ProductRate::ZERO);
            format!(
                "{} the spreader's least flow of {} comes to {}.",
                driven(job, speed),
                shown(job.units.flow(least), 0),
                rate_words(job, held)
            )
        },
    );
    let drive = speed_words(job, slowest, f64::ceil);
    let remedy = match machine.abilities.top_speed {
        Some(top) if !speeds.is_held() => {
            let held = machine.flow_rates(top).least.unwrap_or(ProductRate::ZERO);
            format!(
                "It would have to drive {drive} or more there, beyond its top speed of {}, at which \
                 the least flow comes to {}: raise `spreader.min_rate` to that or more.",
                speed_words(job, top, f64::round),
                rate_words(job, held)
            )
        }
        _ => format!("Drive {drive} or more there, or raise `spreader.min_rate`."),
    };
    let text = format!(
        "{comes_to} The map asks for less on {}, down to {}. {remedy}",
        shown(job.units.area(area_of(&beyond)), 2),
        written(job, lowest.rate),
    );
    Some(Finding::new("rate_below_the_flow", text))
}

fn rate_words(job: &Job, rate: ProductRate) -> String {
    shown(job.units.rate(rate), 2)
}
