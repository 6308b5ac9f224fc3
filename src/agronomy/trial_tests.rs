//! A method's need beside what the plots of a published trial took. Nothing is tuned to it.
//!
//! The numbers stand in `DEVELOPERS.md` as well.

use std::collections::BTreeMap;

use super::*;
use crate::units::{DepthInterval, Length, PhMedium};

/// Rothamsted's liming experiment; see `tests/data/liming_trial/PROVENANCE.md`.
const PLOTS: &str = include_str!("../../tests/data/liming_trial/topsoil_1962_1966.csv");

/// One reading: plot, year, level of lime, lime until then in t CaCO3/ha, and pH.
type Row<'a> = (&'a str, &'a str, &'a str, f64, f64);

fn rows() -> Vec<Row<'static>> {
    let row = |line: &'static str| {
        let mut cells = line.split(',');
        let mut next = || cells.next().unwrap();
        let (plot, year, level) = (next(), next(), next());
        (plot, year, level, next().parse().unwrap(), next().parse().unwrap())
    };
    PLOTS.lines().skip(1).map(row).collect()
}

/// The need of soils by a method that reads pH alone, over its own depth, in t CaCO3/ha.
fn need_of(id: &str, target_ph: f64) -> impl Fn(f64) -> (f64, Why) {
    let method = method(id).unwrap();
    let limed_depth = method.card().depth.unwrap();
    let given = Given {
        sampled_depth: DepthInterval::down_to(Length::from_metres(0.18)).unwrap(),
        ph_medium: PhMedium::Water1To2Point5,
        buffer: None,
        al_extract: None,
        capacity_read: None,
        bulk_density: None,
        units: ValueUnits::default(),
    };
    let ask = Ask { target: Target::Ph(target_ph), treat_below: None, limed_depth, part: None };
    let prepared = method.prepare(&ask, &given).unwrap().0;
    move |ph| {
        let found = prepared.need(&given.layer(Some(ph), None)).unwrap();
        (found.need.to_tonnes_per_hectare(), found.why)
    }
}

/// The mean over the plots of a level in a year: of lime until then, pH, and need.
fn mean_of(level: &str, year: &str, need: impl Fn(f64) -> (f64, Why)) -> [f64; 3] {
    let of_level: Vec<Row<'_>> =
        rows().into_iter().filter(|row| (row.2, row.1) == (level, year)).collect();
    assert_eq!(of_level.len(), 8, "{level} {year}");
    let mean = |of: &dyn Fn(&Row<'_>) -> f64| of_level.iter().map(of).sum::<f64>() / 8.0;
    [mean(&|row| row.3), mean(&|row| row.4), mean(&|row| need(row.4).0)]
}

fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() < within, "{found} for {expected}");
}

#[test]
fn the_trial_took_more_lime_to_the_target_than_the_table_asks_for() {
    let need = need_of("ph-uk-arable", 6.7);
    // Level, lime, pH and need before, pH and need in autumn 1964.
    let expected = [
        ("0", 0.0, 5.06, 7.80, 4.96, 7.80),
        ("L", 5.0, 5.10, 7.80, 5.80, 5.40),
        ("M", 10.0, 5.14, 7.80, 6.79, 0.30),
        ("H", 20.0, 5.20, 7.58, 7.40, 0.00),
    ];
    let mut reached = BTreeMap::new();
    for (level, lime, ph, asked, later, left) in expected {
        let [_, before, first] = mean_of(level, "baseline", &need);
        let [applied, after, rest] = mean_of(level, "1964", &need);
        near(before, ph, 0.006);
        near(first, asked, 0.006);
        near(applied, lime, 1e-9);
        near(after, later, 0.006);
        near(rest, left, 0.006);
        reached.insert(applied as u32, after);
    }
    // The target lies between the plots with 5 and with 10 t/ha.
    let (low, high) = (reached[&5], reached[&10]);
    let took = 5.0 + 5.0 * (6.7 - low) / (high - low);
    near(took, 9.6, 0.06);
    let asked =
        rows().iter().filter(|row| row.1 == "baseline").map(|row| need(row.4).0).sum::<f64>();
    near(took - asked / 32.0, 1.8, 0.06);
}

#[test]
fn most_plots_began_below_the_lowest_row_of_the_table() {
    let need = need_of("ph-uk-arable", 6.7);
    let baseline: Vec<f64> =
        rows().iter().filter(|row| row.1 == "baseline").map(|row| row.4).collect();
    let below = baseline.iter().filter(|&&ph| need(ph).1 == Why::BelowTable).count();
    assert_eq!((below, baseline.len()), (29, 32));
}

/// Common practice, no source: plots near pH 4.8 to 4.9 stood at about 6.2 to 6.3 after 4 short tons
/// of beet lime an acre.
#[test]
fn what_the_methods_by_ph_ask_for_beside_four_tons_of_beet_lime() {
    // Were it 73 % CaCO3 (see DEVELOPERS.md), in t/ha.
    let given = 4.0 * 0.73 * 2.241_702_3;
    near(given, 6.55, 0.005);
    for (id, target, asked, left) in
        [("ph-uk-arable", 6.7, 7.8, 2.7), ("ph-uk-grass", 6.5, 6.6, 1.5)]
    {
        let need = need_of(id, target);
        let (before, why) = need(4.85);
        near(before, asked, 1e-9);
        assert_eq!(why, Why::BelowTable, "{id}");
        near(need(6.25).0, left, 1e-6);
    }
}
