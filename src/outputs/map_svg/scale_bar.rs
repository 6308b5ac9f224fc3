//! The scale bar and the north arrow.

use super::page::{From, INK, LABEL, Page};
use crate::units::{Length, UnitSystem};

/// The bar is no longer than this, in pixels.
const LONGEST: f64 = 190.0;

/// Draws both, the bar from `left` and the arrow up to `right`, and returns the y below them.
/// `scale` is pixels a metre.
pub(super) fn draw(
    page: &mut Page,
    units: UnitSystem,
    scale: f64,
    left: f64,
    right: f64,
    y: f64,
) -> f64 {
    let bar = round_bar(units, LONGEST / scale);
    let long = bar.length.to_metres() * scale;
    let top = y + 40.0;
    page.put(&format!(
        "<g id=\"scale-bar\" stroke=\"{INK}\"><rect x=\"{left:.1}\" y=\"{top:.1}\" \
         width=\"{:.2}\" height=\"6\" fill=\"{INK}\"/><rect x=\"{:.2}\" y=\"{top:.1}\" \
         width=\"{:.2}\" height=\"6\" fill=\"#ffffff\"/></g>",
        long / 2.0,
        left + long / 2.0,
        long / 2.0,
    ));
    let words = format!("{} {}", bar.number, bar.unit);
    let half = (bar.number / 2.0).to_string();
    for (share, from, words) in
        [(0.0, From::Left, "0"), (0.5, From::Middle, &half), (1.0, From::Middle, &words)]
    {
        page.text([left + long * share, top - 6.0], from, LABEL, words);
    }
    let x = right - 14.0;
    page.put(&format!(
        "<g id=\"north\" stroke=\"{INK}\" stroke-linejoin=\"round\"><path d=\"M{x:.1} {:.1}l-9 30l9 -7Z\" \
         fill=\"{INK}\"/><path d=\"M{x:.1} {:.1}l9 30l-9 -7Z\" fill=\"#ffffff\"/></g>",
        y + 18.0,
        y + 18.0,
    ));
    page.text([x, y + 12.0], From::Middle, super::page::PLAIN, "N");
    top + 14.0
}

/// A round length of a scale bar.
#[derive(Debug)]
struct Bar {
    number: f64,
    unit: &'static str,
    length: Length,
}

/// The longest bar of 1, 2 or 5 times a power of ten within `most_m` metres: feet up to 2,000, else
/// miles; metres up to 500, else kilometres.
fn round_bar(units: UnitSystem, most_m: f64) -> Bar {
    let (near, far, near_up_to): (_, _, f64) = match units {
        UnitSystem::Us => {
            (("ft", Length::from_feet(1.0)), ("mi", Length::from_miles(1.0)), 2_000.0)
        }
        UnitSystem::Metric => {
            (("m", Length::from_metres(1.0)), ("km", Length::from_kilometres(1.0)), 500.0)
        }
    };
    let within = |(unit, one): (&'static str, Length)| {
        let number = round_below(most_m / one.to_metres());
        Bar { number, unit, length: one * number }
    };
    let long = within(far);
    if long.number >= 1.0 {
        return long;
    }
    let short = within(near);
    if short.number <= near_up_to {
        return short;
    }
    Bar { number: near_up_to, unit: near.0, length: near.1 * near_up_to }
}

/// The greatest of 1, 2 and 5 times a power of ten that is not above `most`.
fn round_below(most: f64) -> f64 {
    let mut number = 1.0;
    while number * 10.0 <= most {
        number *= 10.0;
    }
    while number > most {
        number /= 10.0;
    }
    [5.0, 2.0].into_iter().map(|times| times * number).find(|&n| n <= most).unwrap_or(number)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_is_a_round_length_in_the_jobs_units() {
        for (units, most_m, number, unit) in [
            (UnitSystem::Us, 250.0, 500.0, "ft"),
            (UnitSystem::Us, 1_500.0, 2_000.0, "ft"),
            (UnitSystem::Us, 1_700.0, 1.0, "mi"),
            (UnitSystem::Us, 9_000.0, 5.0, "mi"),
            (UnitSystem::Metric, 250.0, 200.0, "m"),
            (UnitSystem::Metric, 999.0, 500.0, "m"),
            (UnitSystem::Metric, 2_100.0, 2.0, "km"),
            (UnitSystem::Metric, 1.5, 1.0, "m"),
        ] {
            let bar = round_bar(units, most_m);
            assert!((bar.number - number).abs() < 1e-9 && bar.unit == unit, "{bar:?}");
            assert!(bar.length.to_metres() <= most_m);
        }
        // 500 ft of 0.3048 m.
        assert!((round_bar(UnitSystem::Us, 250.0).length.to_metres() - 152.4).abs() < 1e-9);
    }
}
