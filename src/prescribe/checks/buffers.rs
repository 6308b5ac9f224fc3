//! pH and buffer pH that contradict each other.
//!
//! Soil in a buffer comes to a pH between its own and the buffer's. So a reading above the
//! buffer's own pH cannot come from a soil that is more acid than the buffer, and one below the
//! soil's own pH can only come from the salts of the buffer, which lower a soil's pH by up to about
//! one unit. A high buffer reading on an acid soil is no contradiction by itself: a sand has little
//! reserve acidity. It is one only against the field's own line from pH to buffer pH.

use super::super::by_zone::ByZone;
use super::{LayerData, NAMED};
use crate::agronomy::Buffer;
use crate::findings::Finding;
use crate::prescription::BufferReadings;
use crate::surfaces::{Robust, median};
use crate::units::{PhMedium, plain};

/// What a reading may lie above the buffer's own pH by error (ours: laboratories repeat a buffer
/// pH within about a tenth).
const ABOVE_OWN_PH: f64 = 0.15;
/// What the salts of a buffer lower the pH of a soil by, at most (common practice: pH in salt is
/// 0.5 to 1 below that in water).
const SALT_LOWERS_BY: f64 = 1.0;
/// The least scale of the distances from the field's line (ours): 0.7 is the least that is told.
const LINE_FLOOR: f64 = 0.2;
/// Fewer samples make no line (ours).
const FEWEST_ON_LINE: usize = 10;

/// What is wrong with a pair of readings.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Contradiction {
    AboveOwnPh,
    BelowSoil,
    OffLine { line_says: f64 },
}

/// One finding for each kind of contradiction, with the samples named.
pub(super) fn told(data: &LayerData<'_>) -> Vec<Finding> {
    let Some(buffer) = data.job.samples.buffer else { return Vec::new() };
    let (ids, pairs): (Vec<&str>, Vec<[f64; 2]>) = pairs_of(data).into_iter().unzip();
    let found = contradictions(&pairs, buffer, data.job.samples.ph_medium);
    let named = |kind: fn(&Contradiction) -> bool| -> Option<String> {
        let mut names: Vec<String> = Vec::new();
        let all = found.iter().filter(|(_, contradiction)| kind(contradiction));
        let count = all.clone().count();
        for (at, contradiction) in all.take(NAMED) {
            let [ph, reading] = pairs[*at];
            let line = match contradiction {
                Contradiction::OffLine { line_says } => format!(", its line says {line_says:.2}"),
                _ => String::new(),
            };
            let id = crate::findings::clean(ids[*at]);
            let ph = plain(ph, 0, 3);
            let reading = plain(reading, 0, 3);
            names.push(format!("{id} (pH {ph}, buffer pH {reading}{line})"));
        }
        let more =
            if count > NAMED { format!(" and {} more", count - NAMED) } else { String::new() };
        (count > 0).then(|| format!("{}{more}", names.join(", ")))
    };
    let mut findings = Vec::new();
    if let Some(names) = named(|kind| *kind == Contradiction::AboveOwnPh) {
        findings.push(Finding::new(
            "buffer_above_its_own_ph",
            format!(
                "The {} buffer itself has pH {}, and soil more acid than that cannot raise it: \
                 {names}. Check the column, and which buffer the laboratory ran.",
                buffer.words(),
                buffer.own_ph()
            ),
        ));
    }
    if let Some(names) = named(|kind| *kind == Contradiction::BelowSoil) {
        findings.push(Finding::new(
            "buffer_below_soil_ph",
            format!(
                "Soil in a buffer comes to a pH between its own and the buffer's, and these read \
                 more than {SALT_LOWERS_BY} below both: {names}. Check both columns."
            ),
        ));
    }
    if let Some(names) = named(|kind| matches!(kind, Contradiction::OffLine { .. })) {
        findings.push(Finding::new(
            "buffer_unlike_ph",
            format!(
                "In this field buffer pH follows pH along a line, and these lie far off it: \
                 {names}. A sandy or a peaty spot may read so, and so may a mistyped number."
            ),
        ));
    }
    findings
}

/// The pairs of pH and buffer pH, named: one for each sample; one for each zone where a zone gives
/// one of the two, whose composite stands for the mean of the samples in it.
fn pairs_of<'a>(data: &LayerData<'a>) -> Vec<(&'a str, [f64; 2])> {
    let LayerData { samples, layer, .. } = data;
    let measured =
        |buffer: &BufferReadings, at: usize| buffer.readings[at].filter(|_| !buffer.blank[at]);
    let by_zone = layer.by_zone.as_ref();
    let zones =
        by_zone.filter(|ByZone { results, .. }| results.ph.is_some() || results.buffer.is_some());
    let Some(zones) = zones else {
        let (Some(buffer), Some(ph)) = (&samples.buffer, &samples.ph) else { return Vec::new() };
        let pair = |at: usize| Some((samples.ids[at].as_str(), [ph[at], measured(buffer, at)?]));
        return (0..samples.ids.len()).filter_map(pair).collect();
    };
    let in_zone =
        |zone: usize| (0..samples.ids.len()).filter(move |&sample| zones.of_sample[sample] == zone);
    let mean =
        |all: Vec<f64>| (!all.is_empty()).then(|| all.iter().sum::<f64>() / all.len() as f64);
    let results = &zones.results;
    let pair = |zone: usize| {
        let ph = match (&results.ph, &samples.ph) {
            (Some(of_zones), _) => of_zones[zone],
            (None, Some(ph)) => mean(in_zone(zone).map(|sample| ph[sample]).collect())?,
            (None, None) => return None,
        };
        let buffer_ph = match (&results.buffer, &samples.buffer) {
            (Some(of_zones), _) => measured(of_zones, zone)?,
            (None, Some(own)) => {
                mean(in_zone(zone).filter_map(|sample| measured(own, sample)).collect())?
            }
            (None, None) => return None,
        };
        Some((results.ids[zone].as_str(), [ph, buffer_ph]))
    };
    (0..results.ids.len()).filter_map(pair).collect()
}

/// The contradictions among pairs of pH and buffer pH, in their order; each pair has one at most.
fn contradictions(
    pairs: &[[f64; 2]],
    buffer: Buffer,
    medium: PhMedium,
) -> Vec<(usize, Contradiction)> {
    let own = buffer.own_ph();
    // In salt a soil reads lower than in water, and may still be less acid than the buffer.
    let to_water = match medium {
        PhMedium::CalciumChloride
        | PhMedium::PotassiumChloride
        | PhMedium::PotassiumChloride1To2Point5
        | PhMedium::PotassiumChloride1To5 => SALT_LOWERS_BY,
        _ => 0.0,
    };
    let off_line = off_the_line(pairs);
    let judge = |(at, &[ph, reading]): (usize, &[f64; 2])| {
        if reading > own + ABOVE_OWN_PH && ph + to_water < own {
            Some((at, Contradiction::AboveOwnPh))
        } else if reading < ph.min(own) - SALT_LOWERS_BY - 1e-9 {
            Some((at, Contradiction::BelowSoil))
        } else {
            off_line[at].map(|line_says| (at, Contradiction::OffLine { line_says }))
        }
    };
    pairs.iter().enumerate().filter_map(judge).collect()
}

/// For each pair that lies far off the line through most of them, what that line says.
///
/// The line is the incomplete one of H. Theil, "A rank-invariant method of linear and polynomial
/// regression analysis", 1950 (from memory): the median of the slopes between each point of the
/// lower half and its counterpart in the upper one, through the median of what is left.
fn off_the_line(pairs: &[[f64; 2]]) -> Vec<Option<f64>> {
    let nothing = vec![None; pairs.len()];
    if pairs.len() < FEWEST_ON_LINE {
        return nothing;
    }
    let mut sorted = pairs.to_vec();
    sorted.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let half = sorted.len() / 2;
    let upper = &sorted[sorted.len() - half..];
    let slopes: Vec<f64> = sorted[..half]
        .iter()
        .zip(upper)
        .filter(|(low, high)| high[0] > low[0])
        .map(|(low, high)| (high[1] - low[1]) / (high[0] - low[0]))
        .collect();
    let Some(slope) = median(&slopes) else { return nothing };
    let left: Vec<f64> = pairs.iter().map(|[ph, reading]| reading - slope * ph).collect();
    let Some(robust) = Robust::of(&left, LINE_FLOOR) else { return nothing };
    pairs
        .iter()
        .zip(&left)
        .map(|([ph, _], &left)| robust.stands_out(left).then(|| slope * ph + robust.middle))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(pairs: &[[f64; 2]]) -> Vec<(usize, Contradiction)> {
        contradictions(pairs, Buffer::Smp, PhMedium::Water1To1)
    }

    /// Twenty soils on a line: buffer pH 6.0 at pH 5.0, 6.9 at pH 6.9.
    fn line() -> Vec<[f64; 2]> {
        let at = |step: i32| 5.0 + 0.1 * f64::from(step);
        (0..20).map(|step| [at(step), 6.0 + 0.9 / 1.9 * (at(step) - 5.0)]).collect()
    }

    #[test]
    fn soils_along_a_line_contradict_nothing() {
        assert_eq!(found(&line()), []);
        assert_eq!(found(&[]), []);
    }

    #[test]
    fn an_acid_soil_does_not_raise_the_buffer() {
        assert_eq!(found(&[[5.0, 7.6]]), [], "within the error of a reading");
        assert_eq!(found(&[[5.0, 7.7]]), [(0, Contradiction::AboveOwnPh)]);
        assert_eq!(found(&[[8.1, 7.7]]), [], "a limy soil may");
        let in_salt = |ph| contradictions(&[[ph, 7.7]], Buffer::Smp, PhMedium::CalciumChloride);
        assert_eq!(in_salt(7.0), [], "8.0 in water");
        assert_eq!(in_salt(5.0), [(0, Contradiction::AboveOwnPh)]);
    }

    #[test]
    fn a_buffer_far_below_both_soil_and_buffer_is_a_contradiction() {
        assert_eq!(found(&[[6.5, 5.5]]), [], "salt lowers the pH of a soil");
        assert_eq!(found(&[[6.5, 5.4]]), [(0, Contradiction::BelowSoil)]);
        assert_eq!(found(&[[8.2, 6.6]]), [], "a limy soil in a buffer of 7.5");
    }

    #[test]
    fn a_low_buffer_on_a_soil_of_high_ph_is_told_against_the_line_of_the_field() {
        let mut pairs = line();
        pairs[17][1] = 5.8;
        let [(17, Contradiction::OffLine { line_says })] = found(&pairs)[..] else {
            panic!("{:?}", found(&pairs))
        };
        assert!((line_says - 6.805).abs() < 0.05, "{line_says}");
        pairs.truncate(9);
        pairs[8][1] = 7.3;
        assert_eq!(found(&pairs), [], "nine samples make no line");
    }

    #[test]
    fn a_sandy_field_with_high_buffers_on_acid_soil_contradicts_nothing() {
        let pairs: Vec<[f64; 2]> =
            (0..20).map(|step| [4.5 + 0.02 * f64::from(step), 7.0]).collect();
        assert_eq!(found(&pairs), []);
    }

    #[test]
    fn equal_ph_everywhere_makes_no_line() {
        let mut pairs = vec![[6.0, 6.6]; 20];
        pairs[3][1] = 5.6;
        assert_eq!(found(&pairs), []);
    }
}
