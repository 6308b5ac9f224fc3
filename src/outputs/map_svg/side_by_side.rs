//! Fields side by side: one scale and one set of shades for all of them, north up.

use std::fmt::Write as _;

use super::legend::fill_of;
use super::page::{INK, Page};
use super::shades::{Shade, shades_of_values};
use super::{hatching, scale_bar};
use crate::summary::SketchPart;
use crate::units::{Length, ProductRate, UnitSystem, plain, tidy};

/// Pixels of the longest side of the largest field: of few fields, and of more than these.
const ROOM: f64 = 230.0;
const FEW: usize = 12;
const ROOM_OF_MANY: f64 = 150.0;
/// White around a field, so that its line is not cut.
const EDGE: f64 = 2.0;
/// The room of the scale bar and the north arrow.
const BAR: [f64; 2] = [260.0, 60.0];
/// A sketch that is larger than these was not written by this program.
const MOST_ROWS: usize = 100;
const MOST_VERTICES: usize = 1_000;
const MOST_UNITS: f64 = 1e6;

/// A field's sketch, ready to be drawn.
#[derive(Clone, Debug)]
pub(in crate::outputs) struct Drawing {
    /// In metres from the south-western corner.
    rings: Vec<Vec<[f64; 2]>>,
    size_m: [f64; 2],
    square_m: f64,
    corner_m: [f64; 2],
    heading_rad: f64,
    /// The rate of each square in the units of the whole, row by row; `None` off the map.
    rows: Vec<Vec<Option<f64>>>,
}

/// Fields drawn.
#[derive(Debug)]
pub(in crate::outputs) struct SideBySide {
    /// One `svg` element each.
    pub(in crate::outputs) svgs: Vec<String>,
    /// What each shade fills, and the rates that it stands for; no colour where nothing is spread.
    pub(in crate::outputs) legend: Vec<(Option<String>, String)>,
    /// The scale bar and the north arrow, an `svg` element.
    pub(in crate::outputs) scale: String,
}

impl Drawing {
    /// The drawing of a sketch whose rates are in `rate_unit`; `None` where it is no sketch of this
    /// program's.
    pub(in crate::outputs) fn of(
        sketch: &SketchPart,
        rate_unit: &str,
        system: UnitSystem,
    ) -> Option<Self> {
        let unit = match sketch.square.unit.as_ref() {
            "ft" => Length::from_feet(1.0),
            "m" => Length::from_metres(1.0),
            _ => return None,
        };
        let unit_m = unit.to_metres();
        let in_bounds = |value: f64| value.is_finite() && value.abs() <= MOST_UNITS;
        let number = |text: &str| text.trim().parse::<f64>().ok().filter(|&value| in_bounds(value));
        let place = |text: &str| {
            let (x, y) = text.trim().split_once(' ')?;
            Some([number(x)? * unit_m, number(y)? * unit_m])
        };
        let rings = sketch
            .outline
            .iter()
            .map(|ring| ring.split(',').map(place).collect::<Option<Vec<[f64; 2]>>>())
            .collect::<Option<Vec<_>>>()?;
        let vertices: usize = rings.iter().map(Vec::len).sum();
        let size_m = rings
            .iter()
            .flatten()
            .fold([0.0_f64; 2], |most, at| [most[0].max(at[0]), most[1].max(at[1])]);
        let rates = sketch
            .rates
            .split_whitespace()
            .map(|text| number(text).and_then(|rate| converted(rate, rate_unit, system)))
            .collect::<Option<Vec<f64>>>()?;
        let square = |letter: char| match letter {
            '.' => Some(None),
            '0' => Some(Some(0.0)),
            _ => rates.get(place_of(letter)?).map(|&rate| Some(rate)),
        };
        let rows = sketch
            .rows
            .iter()
            .map(|row| row.chars().map(square).collect::<Option<Vec<_>>>())
            .collect::<Option<Vec<_>>>()?;
        let bounded = vertices <= MOST_VERTICES
            && rows.len() <= MOST_ROWS
            && rows.iter().all(|row| row.len() <= MOST_ROWS)
            && in_bounds(sketch.square.value)
            && sketch.square.value > 0.0
            && sketch.heading_deg.is_finite()
            && sketch.corner.iter().all(|&place| in_bounds(place as f64));
        (bounded && size_m.iter().all(|&side| side > 0.0)).then(|| Self {
            rings,
            size_m,
            square_m: sketch.square.value * unit_m,
            corner_m: sketch.corner.map(|place| place as f64 * unit_m),
            heading_rad: sketch.heading_deg.to_radians(),
            rows,
        })
    }

    fn rates(&self) -> impl Iterator<Item = f64> + '_ {
        self.rows.iter().flatten().flatten().copied()
    }

    /// The `svg` element of the field that is drawn as the one of that number.
    fn draw(&self, number: usize, scale: f64, rates: &[f64], shades: &[Shade]) -> String {
        let [width, height] = self.size_m.map(|side| side * scale + 2.0 * EDGE);
        let mut outline = String::new();
        for ring in &self.rings {
            for (at, [x, y]) in ring.iter().enumerate() {
                let step = if at == 0 { 'M' } else { 'L' };
                let (x, y) = (EDGE + x * scale, height - EDGE - y * scale);
                // Writing to a String cannot fail.
                let _ = write!(outline, "{step}{x:.1} {y:.1}");
            }
            outline.push('Z');
        }
        let side = self.square_m * scale;
        let (sin, cos) = self.heading_rad.sin_cos();
        let [east, north] = self.corner_m.map(|place| place * scale);
        // From columns and rows of squares to pixels, downwards.
        let matrix =
            [side * cos, side * sin, side * sin, -side * cos, EDGE + east, height - EDGE - north]
                .map(|part| plain(part, 0, 4))
                .join(" ");
        let pattern = format!("nothing-{number}");
        let mut squares = String::new();
        for shade in shades {
            let path = self.path_of(&rates[shade.rates.clone()]);
            if !path.is_empty() {
                let fill = fill_of(shade, &pattern);
                let _ = write!(squares, "<path fill=\"{fill}\" d=\"{path}\"/>");
            }
        }
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.1}\" height=\"{height:.1}\" \
             aria-hidden=\"true\"><defs>{}<clipPath id=\"inside-{number}\"><path \
             id=\"outline-{number}\" clip-rule=\"evenodd\" d=\"{outline}\"/></clipPath></defs>\
             <g clip-path=\"url(#inside-{number})\"><g shape-rendering=\"crispEdges\" \
             transform=\"matrix({matrix})\">{squares}</g></g><use href=\"#outline-{number}\" \
             fill=\"none\" stroke=\"{INK}\" stroke-width=\"1.2\"/></svg>",
            hatching(&pattern, 1.0 / side).trim_end(),
        )
    }

    /// The squares whose rate is one of `rates`, which rise: a run of them in a row is one
    /// rectangle.
    fn path_of(&self, rates: &[f64]) -> String {
        let (Some(&least), Some(&most)) = (rates.first(), rates.last()) else {
            return String::new();
        };
        let alike =
            |square: &Option<f64>| square.is_some_and(|rate| (least..=most).contains(&rate));
        let mut path = String::new();
        for (number, row) in self.rows.iter().enumerate() {
            let mut column = 0;
            while column < row.len() {
                let run = row[column..].iter().take_while(|square| alike(square)).count();
                if run > 0 {
                    // Writing to a String cannot fail.
                    let _ = write!(path, "M{column} {number}h{run}v1h-{run}z");
                }
                column += run.max(1);
            }
        }
        path
    }
}

/// Draws fields at one scale, the largest as large as there is room for.
pub(in crate::outputs) fn draw_side_by_side(
    drawings: &[&Drawing],
    system: UnitSystem,
) -> SideBySide {
    let longest = drawings.iter().flat_map(|drawing| drawing.size_m).fold(1.0, f64::max);
    let room = if drawings.len() > FEW { ROOM_OF_MANY } else { ROOM };
    let scale = room / longest;
    let mut rates: Vec<f64> = drawings.iter().flat_map(|drawing| drawing.rates()).collect();
    rates.sort_by(f64::total_cmp);
    rates.dedup();
    let shades = shades_of_values(&rates);
    let draw = |(number, drawing): (usize, &&Drawing)| drawing.draw(number, scale, &rates, &shades);
    let words = |shade: &Shade| {
        let some = &rates[shade.rates.clone()];
        match (some.first(), some.last()) {
            (Some(&least), Some(&most)) if most > least => {
                format!("{} to {}", plain(least, 0, 3), plain(most, 0, 3))
            }
            (Some(&rate), _) => plain(rate, 0, 3),
            _ => String::new(),
        }
    };
    let mut page = Page::default();
    scale_bar::draw(&mut page, system, scale, 6.0, BAR[0] - 4.0, 0.0);
    SideBySide {
        svgs: drawings.iter().enumerate().map(draw).collect(),
        legend: shades
            .iter()
            .map(|shade| (shade.colour.map(|_| fill_of(shade, "")), words(shade)))
            .collect(),
        scale: format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}\" height=\"{}\" role=\"img\" \
             aria-label=\"Scale bar; north is up\">\n{}</svg>",
            BAR[0], BAR[1], page.out
        ),
    }
}

fn converted(rate: f64, unit: &str, system: UnitSystem) -> Option<f64> {
    let exact = match unit {
        "ton/ac" => ProductRate::from_short_tons_per_acre(rate),
        "t/ha" => ProductRate::from_tonnes_per_hectare(rate),
        _ => return None,
    };
    let amount = system.rate(exact);
    Some(if amount.unit == unit { rate } else { tidy(amount.value) })
}

/// The place in the list of rates that a letter stands for.
fn place_of(letter: char) -> Option<usize> {
    let digit = letter.to_digit(36)? as usize;
    let place = if letter.is_ascii_lowercase() { digit + 26 } else { digit };
    place.checked_sub(1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::summary::Quantity;

    fn sketch() -> SketchPart {
        let length = |value| Quantity { value, unit: "m".into() };
        SketchPart {
            outline: vec!["0 0, 400 0, 400 200, 0 200".to_owned()],
            tolerance: length(0.4),
            square: length(100.0),
            heading_deg: 0.0,
            corner: [0, 0],
            rates: "1.5 2 4".to_owned(),
            rows: vec!["1123".to_owned(), "00.3".to_owned()],
        }
    }

    #[test]
    fn letters_are_places_in_the_list() {
        let places: Vec<Option<usize>> = ['1', '9', 'A', 'Z', 'a', 'z'].map(place_of).into();
        assert_eq!(places, [Some(0), Some(8), Some(9), Some(34), Some(35), Some(60)]);
        assert_eq!((place_of('0'), place_of('!')), (None, None));
    }

    #[test]
    fn fields_have_one_scale_and_one_set_of_shades() {
        let wide = Drawing::of(&sketch(), "t/ha", UnitSystem::Metric).unwrap();
        let mut small = sketch();
        small.outline = vec!["0 0, 100 0, 100 100".to_owned()];
        small.rates = "2 3 4".to_owned();
        let small = Drawing::of(&small, "t/ha", UnitSystem::Metric).unwrap();
        let drawn = draw_side_by_side(&[&wide, &small], UnitSystem::Metric);
        let words: Vec<&str> = drawn.legend.iter().map(|(_, words)| words.as_str()).collect();
        assert_eq!(words, ["0", "1.5", "2", "3", "4"]);
        assert!(drawn.legend[0].0.is_none() && drawn.legend[4].0.is_some());
        assert!(drawn.svgs[0].contains("width=\"234.0\" height=\"119.0\""), "{}", drawn.svgs[0]);
        assert!(drawn.svgs[1].contains("width=\"61.5\" height=\"61.5\""), "{}", drawn.svgs[1]);
        // A run of one rate is one rectangle, in the colour of its rate.
        let fill = drawn.legend[1].0.as_ref().unwrap();
        let path = format!("<path fill=\"{fill}\" d=\"M0 0h2v1h-2z\"/>");
        assert!(drawn.svgs[0].contains(&path), "{}", drawn.svgs[0]);
        // The first row is the southernmost, and y runs downwards.
        assert!(drawn.svgs[0].contains("matrix(57.5 0 0 -57.5 2 117)"), "{}", drawn.svgs[0]);
        assert!(drawn.scale.contains("200 m"), "{}", drawn.scale);
    }

    #[test]
    fn rates_are_converted_and_what_is_no_sketch_is_not_drawn() {
        let us = Drawing::of(&sketch(), "t/ha", UnitSystem::Us).unwrap();
        // 4 t/ha of 2,241.702 kg/ha a short ton an acre.
        assert!((us.rows[0][3].unwrap() - 4_000.0 / 2_241.702_311).abs() < 1e-6);
        let refused = |change: fn(&mut SketchPart)| {
            let mut sketch = sketch();
            change(&mut sketch);
            Drawing::of(&sketch, "t/ha", UnitSystem::Metric).is_none()
        };
        assert!(refused(|sketch| sketch.rows[0] = "1124".to_owned()));
        assert!(refused(|sketch| sketch.outline = vec!["0 0, <x> 1".to_owned()]));
        assert!(refused(|sketch| sketch.outline.clear()));
        assert!(refused(|sketch| sketch.square.value = 0.0));
        assert!(refused(|sketch| sketch.rows = vec!["0".to_owned(); 101]));
        assert!(refused(|sketch| sketch.outline = vec!["0 0, 1e9 0, 1 1".to_owned()]));
        assert!(Drawing::of(&sketch(), "lb/ac", UnitSystem::Us).is_none());
    }
}
