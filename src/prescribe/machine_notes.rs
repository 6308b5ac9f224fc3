//! What the spreader's own limits tell of a map, each with what to change. All of it is told and
//! changes no rate.

use super::notes::shown;
use super::{flow_notes, throw_notes};
use crate::findings::Finding;
use crate::inputs::Job;
use crate::prescription::{Prescription, rates_at_once};
use crate::summary::{ChangeParts, MachineParts};
use crate::units::{Area, Heading, Length, ProductRate, Speed, TimeTaken, counted, plain};

/// What the spreader's limits tell of the map.
pub(super) fn of_machine(
    job: &Job,
    told: &MachineParts,
    map: &Prescription,
    applications: &[Prescription],
) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(flow_notes::of_flow(job, &rates_at_once(applications)));
    findings.extend(told.change.as_ref().and_then(|change| short_runs(job, change, map.area)));
    if let Some(throw) = &told.throw {
        findings.extend(throw_notes::of_throw(job, throw));
    }
    findings.extend(heading(job, told));
    findings.extend(above_the_greatest(job));
    findings
}

/// Rates for where the map has none that the spreader does not hold either.
fn above_the_greatest(job: &Job) -> Option<Finding> {
    let export = &job.export;
    if !export.files.iter().any(|format| format.is_task_data()) {
        return None;
    }
    let single = job.machine.single();
    let (greatest, unit) = (single.rate(single.greatest()), job.machine.setting.unit());
    let words = |rate: ProductRate| format!("{} {}", plain(unit.number(rate), 0, 4), unit.words());
    let stated = [
        ("export.out_of_field_rate", export.out_of_field_rate),
        ("export.signal_lost_rate", export.signal_lost_rate),
    ];
    let above: Vec<String> = stated
        .into_iter()
        .filter_map(|(key, rate)| Some((key, rate?)))
        .filter(|(_, rate)| *rate > greatest * (1.0 + ROUNDING))
        .map(|(key, rate)| format!("`{key}` is {}", words(rate)))
        .collect();
    let text = format!(
        "{}, and the spreader's greatest rate is {}: a controller that goes over to it asks for \
         what the spreader does not hold. State that much or less.",
        above.join(" and "),
        words(greatest)
    );
    (!above.is_empty()).then(|| Finding::new("export_rate_above_the_greatest", text))
}

/// How far above the greatest rate another one is still the same, written in another unit.
const ROUNDING: f64 = 1e-9;

/// A speed, to a tenth: on the slow side where it is a most, on the fast side where it is a least.
pub(super) fn speed_words(job: &Job, speed: Speed, round: fn(f64) -> f64) -> String {
    let amount = job.units.speed(speed);
    // A speed that is a whole tenth but for a rounding error stays that.
    let tenths = amount.value * 10.0;
    let tenths =
        if (tenths - tenths.round()).abs() < 1e-6 { tenths.round() } else { round(tenths) };
    format!("{} {}", plain(tenths / 10.0, 1, 1), amount.unit)
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
