//! The map for the driver's page: few things, all large. Rates are written into the patches, spots
//! to check and the pile are marked.

use super::ground::Ground;
use super::page::{From, INK, Page, Type};
use super::shades::shades_of;
use super::text::escaped;
use super::{Dots, Drawn, Picture, draw_map, fill_of, hatching, marks, scale_bar};
use crate::field::Point;
use crate::prescription::{PatchMiddle, Prescription};
use crate::summary::{RatePart, Sheet};

/// The map of one application for its driver.
#[derive(Debug)]
pub(in crate::outputs) struct DriverMap {
    /// The drawing, one `svg` element.
    pub(in crate::outputs) svg: String,
    /// What fills a swatch of each rate of the sheet: a colour, or `None` where nothing is spread.
    pub(in crate::outputs) fills: Vec<Option<String>>,
}

/// Width of the map and of the room below it for the scale, in pixels.
const WIDTH: f64 = 640.0;
const BELOW: f64 = 62.0;
/// Letters of the rates, in pixels; on paper about five millimetres.
const LARGE: f64 = 30.0;
const SMALL: f64 = 19.0;
/// Half the width of a letter, as a share of its height (our reading of common typefaces).
const HALF_LETTER: f64 = 0.3;
/// White between two numbers in pixels.
const APART: f64 = 24.0;
/// White above and below a number, and between it and the edge of the map.
const ABOVE: f64 = 4.0;
const EDGE: f64 = 2.0;
/// More patches than these are not labelled one by one.
const MOST_LABELS: usize = 30;

/// Draws the map of an application whose cells get what `spread` says; `words` are the rates of its
/// sheet as they are written everywhere on the page.
pub(in crate::outputs) fn driver_map(
    picture: &Picture<'_>,
    sheet: &Sheet,
    spread: &Prescription,
    words: &[String],
) -> DriverMap {
    let rates: Vec<RatePart> = sheet
        .rates
        .iter()
        .map(|rate| RatePart {
            rate: rate.rate.clone(),
            area: rate.area.clone(),
            product: rate.product.clone(),
        })
        .collect();
    let shades = shades_of(&rates);
    let ground = Ground::around(picture.field);
    let mut page = Page::default();
    let drawn = Drawn { rates: &rates, shades: &shades, area_rates: false };
    draw_map(&mut page, [0.0, 0.0], picture, &drawn, &ground, &Dots::none());
    let marker = Marker { picture, ground: &ground };
    draw_labels(&mut page, &marker, (sheet, spread), words);
    draw_spots(&mut page, &marker, sheet);
    draw_pile(&mut page, &marker, sheet);
    let below = ground.height() - 10.0;
    scale_bar::draw(&mut page, picture.units, ground.scale, 6.0, WIDTH - 6.0, below);
    let height = ground.height() + BELOW;
    let title = escaped("Map of the rates, north up");
    let defs = [
        hatching("nothing-on-the-map", 1.0 / ground.scale),
        marks::pattern(picture.partition, "kept-out-on-the-map", 1.0 / ground.scale),
    ];
    let fills = shades
        .iter()
        .flat_map(|shade| {
            let fill = shade.colour.map(|_| fill_of(shade, ""));
            shade.rates.clone().map(move |_| fill.clone())
        })
        .collect();
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH:.0} {height:.0}\" \
         role=\"img\" aria-label=\"{title}\" font-family=\"Helvetica, Arial, sans-serif\">\n\
         <defs>\n{}</defs>\n{}</svg>\n",
        defs.concat(),
        page.out
    );
    DriverMap { svg, fills }
}

/// Turns places of the frame into pixels of the drawing.
struct Marker<'a> {
    picture: &'a Picture<'a>,
    ground: &'a Ground,
}

impl Marker<'_> {
    fn at(&self, point: Point) -> [f64; 2] {
        let [x, y] = self.ground.origin();
        [x + point.x_m * self.ground.scale, y - point.y_m * self.ground.scale]
    }

    fn cell(&self, cell: usize) -> [f64; 2] {
        self.at(self.picture.cells.list[cell].value_point)
    }

    /// Pixels from the middle of a patch to its edge, about.
    fn room(&self, patch: &PatchMiddle) -> f64 {
        let side = self.picture.cells.cell_area.to_square_metres().sqrt();
        (f64::from(patch.depth) - 0.5) * side * self.ground.scale
    }
}

/// A number on the map: its middle, and half its width and height.
#[derive(Clone, Copy, Debug)]
struct Label {
    middle: [f64; 2],
    half: [f64; 2],
}

impl Label {
    /// Room for so many letters of that size, moved to where it lies on the map with all of them.
    fn on_map([x, y]: [f64; 2], letters: usize, size: f64, [width, height]: [f64; 2]) -> Self {
        let half = [letters as f64 * size * HALF_LETTER, size * 0.45];
        let inside = |at: f64, half: f64, end: f64| at.min(end - half - EDGE).max(half + EDGE);
        Self { middle: [inside(x, half[0], width), inside(y, half[1], height)], half }
    }

    /// Whether two are so close that they may be read as one, or one hides the other.
    fn clashes(&self, other: &Self) -> bool {
        let apart = |axis: usize| (self.middle[axis] - other.middle[axis]).abs();
        apart(0) < self.half[0] + other.half[0] + APART
            && apart(1) < self.half[1] + other.half[1] + ABOVE
    }
}

/// The rates in the controller's unit: in each patch with room for it, and in the deepest patch of
/// every rate in which it meets no other number.
fn draw_labels(
    page: &mut Page,
    marker: &Marker<'_>,
    (sheet, spread): (&Sheet, &Prescription),
    words: &[String],
) {
    let place = |patch: &PatchMiddle| spread.rates.partition_point(|total| total.rate < patch.rate);
    let mut patches: Vec<&PatchMiddle> = sheet.patches.iter().collect();
    patches.sort_by(|a, b| b.depth.cmp(&a.depth).then(b.area.total_cmp(&a.area)));
    let mut labelled = vec![false; sheet.rates.len()];
    let mut taken: Vec<Label> = Vec::new();
    let map = [WIDTH, marker.ground.height()];
    page.put(
        "<g id=\"rates-in-words\" stroke=\"#ffffff\" paint-order=\"stroke\" \
              stroke-linejoin=\"round\">",
    );
    for patch in patches {
        if taken.len() == MOST_LABELS {
            break;
        }
        let rate = place(patch);
        let Some(words) = words.get(rate) else { continue };
        let at = |size| Label::on_map(marker.cell(patch.cell), words.chars().count(), size, map);
        let room = marker.room(patch);
        let size = if room >= at(LARGE).half[0] { LARGE } else { SMALL };
        let label = at(size);
        let fits = room >= label.half[0];
        // A rate whose label clashes everywhere is left to the table.
        if (!fits && labelled[rate]) || taken.iter().any(|other| other.clashes(&label)) {
            continue;
        }
        taken.push(label);
        labelled[rate] = true;
        let [x, y] = label.middle;
        page.put(&format!(
            "<text x=\"{x:.1}\" y=\"{:.1}\" font-size=\"{size}\" font-weight=\"bold\" \
             fill=\"{INK}\" stroke-width=\"{:.1}\" text-anchor=\"middle\">{}</text>",
            y + size * 0.35,
            size / 5.0,
            escaped(words)
        ));
    }
    page.put("</g>");
}

/// A ring with the letter of each place that is checked.
fn draw_spots(page: &mut Page, marker: &Marker<'_>, sheet: &Sheet) {
    for spot in &sheet.spots {
        // Below the number that is written in the middle of the patch.
        let [x, y] = marker.cell(spot.cell);
        let y = y + LARGE * 0.95;
        page.put(&format!(
            "<circle class=\"spot\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"11\" fill=\"#ffffff\" \
             stroke=\"{INK}\" stroke-width=\"1.6\"/>"
        ));
        let look = Type { size: 15.0, bold: true, colour: INK };
        page.text([x, y + 5.2], From::Middle, look, &spot.name.to_string());
    }
}

/// The pile: a heap where it lies, or at the edge of the map in its direction.
fn draw_pile(page: &mut Page, marker: &Marker<'_>, sheet: &Sheet) {
    let Some(pile) = sheet.pile else { return };
    let [x, y] = marker.at(Point { x_m: pile.x_m, y_m: pile.y_m });
    let height = marker.ground.height();
    let held = [x.clamp(30.0, WIDTH - 30.0), y.clamp(24.0, height - 12.0)];
    let off_the_map = (held[0] - x).hypot(held[1] - y) > 1.0;
    let words = if off_the_map { "to the pile" } else { "pile" };
    page.put(&format!(
        "<path id=\"pile\" d=\"M{:.1} {:.1}l13 -22l13 22Z\" fill=\"{INK}\" stroke=\"#ffffff\" \
         stroke-width=\"2\"/>",
        held[0] - 13.0,
        held[1]
    ));
    let from = if held[0] > WIDTH / 2.0 { From::Right } else { From::Left };
    let beside = if held[0] > WIDTH / 2.0 { -18.0 } else { 18.0 };
    let look = Type { size: 17.0, bold: true, colour: INK };
    page.put("<g stroke=\"#ffffff\" stroke-width=\"4\" paint-order=\"stroke\">");
    page.text([held[0] + beside, held[1] - 2.0], from, look, words);
    page.put("</g>");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_label_stays_on_the_map_and_away_from_others() {
        let map = [WIDTH, 400.0];
        let at_edge = Label::on_map([3.0, 399.0], 5, SMALL, map);
        assert_eq!(at_edge.half, [5.0 * SMALL * HALF_LETTER, SMALL * 0.45]);
        assert!(at_edge.middle[0] - at_edge.half[0] >= 0.0, "{at_edge:?}");
        assert!(at_edge.middle[1] + at_edge.half[1] <= 400.0, "{at_edge:?}");
        let in_it = Label::on_map([300.0, 200.0], 1, LARGE, map);
        assert_eq!(in_it.middle, [300.0, 200.0]);
        let beside = |off: f64| Label::on_map([300.0 + off, 200.0], 4, SMALL, map);
        let least = in_it.half[0] + beside(0.0).half[0] + APART;
        assert!(in_it.clashes(&beside(least - 1.0)) && !in_it.clashes(&beside(least + 1.0)));
        let below = Label::on_map([300.0, 240.0], 4, SMALL, map);
        assert!(!in_it.clashes(&below));
    }
}
