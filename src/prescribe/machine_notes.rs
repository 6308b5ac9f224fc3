//! What the spreader's own limits tell of a map, each with what to change. All of it is told and
//! changes no rate.

use super::notes::shown;
use crate::findings::Finding;
use crate::inputs::Job;
use crate::machine::{FlowFit, MachineRate};
use crate::prescription::{Prescription, RateTotal};
use crate::summary::{ChangeParts, MachineParts, ThrowParts, written_rate};
use crate::units::{Area, Heading, Length, ProductRate, Speed, TimeTaken, counted, plain};

/// What the spreader's limits tell of the map.
pub(super) fn of_machine(job: &Job, told: &MachineParts, map: &Prescription) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(too_much_to_flow(job, map));
    findings.extend(too_little_to_flow(job, map));
    findings.extend(told.change.as_ref().and_then(|change| short_runs(job, change, map.area)));
    findings.extend(narrow_cells(job));
    if let Some(throw) = &told.throw {
        findings.extend(thrown_into_keep_out(job, throw));
        findings.extend(thrown_off_the_field(job, throw));
    }
    findings.extend(heading(job, told));
    findings
}

fn written(job: &Job, rate: MachineRate) -> String {
    let amount = written_rate(job, rate);
    format!("{} {}", plain(amount.value, 0, 4), amount.unit)
}

fn area_of(totals: &[&RateTotal]) -> Area {
    totals.iter().map(|total| total.total.area).sum()
}

/// A speed, to a tenth: on the slow side where it is a most, on the fast side where it is a least.
fn speed_words(job: &Job, speed: Speed, round: fn(f64) -> f64) -> String {
    let amount = job.units.speed(speed);
    // A speed that is a whole tenth but for a rounding error stays that.
    let tenths = amount.value * 10.0;
    let tenths =
        if (tenths - tenths.round()).abs() < 1e-6 { tenths.round() } else { round(tenths) };
    format!("{} {}", plain(tenths / 10.0, 1, 1), amount.unit)
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
fn too_much_to_flow(job: &Job, map: &Prescription) -> Option<Finding> {
    let machine = &job.machine;
    let (speed, most) = (machine.speed?, machine.abilities.max_flow?);
    let rate_of = |total: &RateTotal| machine.setting.rate(total.rate);
    let beyond: Vec<&RateTotal> = map
        .rates
        .iter()
        .filter(|total| total.rate.spreads())
        .filter(|total| machine.flow_fit(rate_of(total), speed) == FlowFit::TooMuch)
        .collect();
    let greatest = beyond.last()?;
    let held = machine.flow_rates(speed).greatest?;
    let fastest = machine.rate_speeds(rate_of(greatest)).fastest?;
    let instead = machine.setting.at_most(held).map_or_else(String::new, |setting| {
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
fn too_little_to_flow(job: &Job, map: &Prescription) -> Option<Finding> {
    let machine = &job.machine;
    let least = machine.abilities.min_flow?;
    let rate_of = |total: &RateTotal| machine.setting.rate(total.rate);
    let too_little = |total: &&RateTotal| {
        let rate = rate_of(total);
        machine.speed.is_some_and(|speed| machine.flow_fit(rate, speed) == FlowFit::TooLittle)
            || !machine.rate_speeds(rate).is_held()
    };
    let beyond: Vec<&RateTotal> =
        map.rates.iter().filter(|total| total.rate.spreads()).filter(too_little).collect();
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
        Some(top) if !speeds.is_held() => format!(
            "It would have to drive {drive} or more there, beyond its top speed of {}, so it does \
             not hold that rate: raise `spreader.min_rate`.",
            speed_words(job, top, f64::round)
        ),
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

/// The part of the mapped ground in runs that are too short from which on it is a finding (ours).
const SHORT_RUNS_TOLD_FROM: f64 = 0.01;

/// Patches along the travel that are over before the rate has changed.
fn short_runs(job: &Job, change: &ChangeParts, mapped: Area) -> Option<Finding> {
    let [of_least, of_most] = change.short;
    if of_most / mapped <= SHORT_RUNS_TOLD_FROM {
        return None;
    }
    let [least, most] = change.distances;
    let length = |length: Length| shown(job.units.length(length), 0);
    let area = |area: Area| shown(job.units.area(area), 2);
    let seconds = |time: TimeTaken| plain(time.to_seconds(), 0, 1);
    let at = speed_words(job, job.machine.speed?, f64::round);
    let (time, short, own) = if change.time.is_own {
        (
            format!(
                "The spreader's rate change takes {} s, {} at {at}.",
                seconds(change.time.most),
                length(most)
            ),
            format!("{} of the ground lies", area(of_most)),
            "",
        )
    } else {
        (
            format!(
                "A rate change of a spinner spreader takes {} to {} s [{}], {} to {} at {at}.",
                seconds(change.time.least),
                seconds(change.time.most),
                change.source,
                length(least),
                length(most)
            ),
            format!(
                "{} of the ground lies in patches that are shorter than {} along the travel, and {}",
                area(of_least),
                length(least),
                area(of_most)
            ),
            " State the machine's own time as `spreader.rate_change_time` where it is known.",
        )
    };
    let shortest = change.shortest.map_or_else(String::new, |shortest| {
        format!(" (the shortest is {} long)", length(shortest))
    });
    let amount = job.units.length(most);
    let text = format!(
        "{time} {short} in patches shorter than {} along the travel{shortest}: there the rate is \
         not reached before the next one begins. Drive slower, make the cells at least {:.0} {} \
         long (`grid.cell`), or take fewer rates with a larger `spreader.step`.{own}",
        length(most),
        amount.value.ceil(),
        amount.unit
    );
    Some(Finding::new("patches_shorter_than_the_rate_change", text))
}

/// Cells that the throw reaches across.
fn narrow_cells(job: &Job) -> Option<Finding> {
    let throw = job.machine.abilities.throw_width?;
    if job.cell + Length::from_metres(1e-6) >= throw {
        return None;
    }
    let text = format!(
        "Cells of {} are narrower than the throw width of {}: product from the passes beside it \
         falls on each cell, so that rates side by side run into each other. Make the cells {} or \
         wider (`grid.cell`) to give each its own rate.",
        shown(job.units.length(job.cell), 1),
        shown(job.units.length(throw), 1),
        shown(job.units.length(throw), 1)
    );
    Some(Finding::new("cells_narrower_than_the_throw", text))
}

/// Where product comes from that flies beyond an edge.
fn flies(job: &Job, throw: &ThrowParts) -> String {
    let length = |length: Length| shown(job.units.length(length), 1);
    let half = if job.machine.abilities.outermost_line.is_some() {
        ""
    } else {
        " (half the pass spacing)"
    };
    format!(
        "The spreader throws {} to each side. With the outermost driving line {}{half} inside the \
         edge of what is spread, product flies {} beyond that edge",
        length(throw.width / 2.0),
        length(job.machine.outermost_line()),
        length(throw.beyond)
    )
}

/// The least ground that is told as reached, in square metres (ours).
const LEAST_REACHED_M2: f64 = 1.0;

fn thrown_into_keep_out(job: &Job, throw: &ThrowParts) -> Option<Finding> {
    let reached = throw.thrown.kept_out;
    if reached.to_square_metres() < LEAST_REACHED_M2 {
        return None;
    }
    let length = |length: Length| shown(job.units.length(length), 1);
    // A setback that is wider keeps product off the things themselves, but not off the setback.
    let itself = job.field.keep_out.iter().any(|part| part.setback < throw.beyond);
    let onto = if itself { ", and onto the wells, water or yards themselves" } else { "" };
    let now: Vec<String> =
        job.field.keep_out.iter().map(|part| length(part.setback + throw.beyond)).collect();
    let setback = match now.as_slice() {
        [one] => format!("`field.setback = \"{one}\"`"),
        all => format!("setbacks of {}", all.join(", ")),
    };
    let text = format!(
        "{}: it reaches {} of ground that is kept out, setback included{onto}. Drive the outermost \
         line {} from there, or throw to one side only, and state the line as \
         `spreader.outermost_line`; or add {} of setback ({setback}), which then takes what flies. \
         Around wells and water the distances of label and local rules are for product on the \
         ground, wherever the wheels are.",
        flies(job, throw),
        shown(job.units.area(reached), 2),
        length(throw.width / 2.0),
        length(throw.beyond),
    );
    Some(Finding::new("throw_reaches_keep_out", text))
}

fn thrown_off_the_field(job: &Job, throw: &ThrowParts) -> Option<Finding> {
    let reached = throw.thrown.off_field;
    if reached.to_square_metres() < LEAST_REACHED_M2 {
        return None;
    }
    let text = format!(
        "{}: it reaches {} outside the boundary, holes of the field included. Drive the outermost \
         line {} inside the boundary, {} further in, or throw to one side only along there, and \
         state the line as `spreader.outermost_line`. Beyond the boundary may lie a neighbour's \
         crop, a road, a ditch or a well.",
        flies(job, throw),
        shown(job.units.area(reached), 2),
        shown(job.units.length(throw.width / 2.0), 1),
        shown(job.units.length(throw.beyond), 1)
    );
    Some(Finding::new("throw_reaches_over_the_boundary", text))
}

/// Another heading is told where it takes at least this part of the passes fewer, and at least
/// this many (both ours).
const FEWER_PASSES_SHARE: f64 = 0.1;
const FEWER_PASSES: usize = 2;

fn heading(job: &Job, told: &MachineParts) -> Option<Finding> {
    let (likely, fewest) = told.fewest?;
    let fewer = told.passes - fewest;
    if fewer < FEWER_PASSES || (fewer as f64) < FEWER_PASSES_SHARE * told.passes as f64 {
        return None;
    }
    let stated = job.effective.grid.as_ref().is_some_and(|grid| grid.value.heading.is_some());
    let degrees = |heading: Heading| format!("{} deg", plain(heading.to_degrees(), 0, 1));
    let now = if stated {
        format!("the stated heading of {}", degrees(job.heading))
    } else {
        format!("a heading of {}, which is the default", degrees(job.heading))
    };
    let passes = |count: usize| {
        let turns = counted(count.saturating_sub(1) as u64, "turn", "turns");
        format!("{} and {turns}", counted(count as u64, "pass", "passes"))
    };
    let text = format!(
        "Driven at {now}, the field takes {}; at {}, along {} of {}, it takes {}. Where slope, \
         drainage and rows allow it, set `grid.heading = \"{}\"`; the cells line up with it, so \
         that the rates come out a little different.",
        passes(told.passes),
        degrees(likely.heading),
        likely.along.words(),
        shown(job.units.length(likely.length), 0),
        passes(fewest),
        degrees(likely.heading)
    );
    Some(Finding::new("heading_takes_more_passes", text))
}
