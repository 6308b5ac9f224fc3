//! The legend: every rate with its fill, its area and what it takes.

use std::fmt::Write as _;

use super::page::{COLUMN, From, INK, LABEL, LINE, PLAIN, Page, RIGHT, Type};
use super::shades::Shade;
use crate::findings::clean;
use crate::summary::{Quantity, RatePart, Summary};

/// Rates that have a row each; where there are more, a row holds all rates of a shade.
const MOST_ROWS: usize = 25;
/// Letters of a caveat in one line.
const CAVEAT_LETTERS: usize = 44;
/// The height of a row.
const ROW: f64 = 22.0;
/// The width of a swatch.
pub(super) const SWATCH: f64 = 26.0;
/// Where the columns end.
const RATE_ENDS: f64 = 826.0;
const AREA_ENDS: f64 = 900.0;

/// Draws the legend from `y` downwards and returns the y below it.
pub(super) fn draw(page: &mut Page, summary: &Summary, shades: &[Shade], y: f64) -> f64 {
    let rates = &summary.rates;
    let Some(first) = rates.first() else { return y };
    for (x, name, unit) in [
        (RATE_ENDS, "Rate", &first.rate.unit),
        (AREA_ENDS, "Area", &first.area.unit),
        (RIGHT, "Product", &first.product.unit),
    ] {
        page.text([x, y + 10.0], From::Right, LABEL, name);
        page.text([x, y + 25.0], From::Right, LABEL, unit);
    }
    page.level(COLUMN, RIGHT, y + 33.0);
    let mut top = y + 37.0;
    let rows_of_a_rate = rates.len() <= MOST_ROWS;
    let places = decimals_of(rates);
    page.put("<g id=\"legend\">");
    for shade in shades {
        let part = &rates[shade.rates.clone()];
        let rows = if rows_of_a_rate { part.len() } else { 1 };
        page.put(&format!(
            "<rect x=\"{COLUMN:.1}\" y=\"{:.1}\" width=\"{SWATCH}\" height=\"{:.1}\" \
             fill=\"{}\" stroke=\"{LINE}\"/>",
            top + 2.0,
            ROW * rows as f64 - 4.0,
            fill_of(shade, "nothing"),
        ));
        for row in part.chunks(part.len().div_ceil(rows)) {
            draw_row(page, &row_words(row, places), row, top);
            top += ROW;
        }
    }
    page.put("</g>");
    page.level(COLUMN, RIGHT, top + 4.0);
    let bold = Type { bold: true, ..PLAIN };
    let base = top + 23.0;
    page.text([COLUMN, base], From::Left, bold, "Total");
    page.text([AREA_ENDS, base], From::Right, bold, &two_places(&summary.ledger.cell_area));
    page.text([RIGHT, base], From::Right, bold, &two_places(&summary.product_total));
    top + 40.0
}

/// Draws whose numbers the needs are, where that must be known, and returns the y below.
pub(super) fn draw_caveat(page: &mut Page, summary: &Summary, y: f64) -> f64 {
    let Some(caveat) = &summary.method.caveat else { return y };
    let mut base = y + 18.0;
    let mut line = String::new();
    let words = clean(caveat);
    for word in words.split_whitespace() {
        // About so many small letters fit into the column.
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > CAVEAT_LETTERS {
            page.text([COLUMN, base], From::Left, LABEL, &line);
            base += 15.0;
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    page.text([COLUMN, base], From::Left, LABEL, &line);
    base + 8.0
}

/// What a shape of this shade is filled with; `pattern` is the hatching for nothing.
pub(super) fn fill_of(shade: &Shade, pattern: &str) -> String {
    match shade.colour {
        Some([red, green, blue]) => format!("#{red:02x}{green:02x}{blue:02x}"),
        None => format!("url(#{pattern})"),
    }
}

fn draw_row(page: &mut Page, words: &str, rates: &[RatePart], top: f64) {
    let base = top + 16.0;
    page.text([RATE_ENDS, base], From::Right, PLAIN, words);
    let sum = |value: fn(&RatePart) -> f64| rates.iter().map(value).sum::<f64>();
    let area = format!("{:.2}", sum(|part| part.area.value));
    page.text([AREA_ENDS, base], From::Right, PLAIN, &area);
    let product = format!("{:.2}", sum(|part| part.product.value));
    page.text([RIGHT, base], From::Right, PLAIN, &product);
}

/// One rate, or the least and the greatest of several.
fn row_words(rates: &[RatePart], places: usize) -> String {
    let mut words = String::new();
    for (index, part) in [rates.first(), rates.last()].into_iter().flatten().enumerate() {
        if index > 0 && rates.len() == 1 {
            break;
        }
        let between = if index > 0 { " \u{2013} " } else { "" };
        // Writing to a String cannot fail.
        let _ = write!(words, "{between}{:.places$}", part.rate.value);
    }
    words
}

/// The fewest decimals, three at the most, that show every rate as it is.
pub(super) fn decimals_of(rates: &[RatePart]) -> usize {
    let shown = |places: &usize| {
        let power = [1.0, 10.0, 100.0][*places];
        rates.iter().all(|part| {
            let scaled = part.rate.value * power;
            (scaled - scaled.round()).abs() < 1e-6
        })
    };
    (0..3).find(shown).unwrap_or(3)
}

fn two_places(quantity: &Quantity) -> String {
    format!("{:.2}", quantity.value)
}

/// Writes words beside a swatch whose row begins at `y`, and returns the y below the row.
pub(super) fn draw_row_words(page: &mut Page, words: &str, y: f64) -> f64 {
    page.text([COLUMN + SWATCH + 10.0, y + 10.0], From::Left, PLAIN, words);
    y + ROW
}

/// Draws what the dots and the line of the map are, from `y` downwards, and returns the y below.
pub(super) fn draw_key(page: &mut Page, samples: &str, dot: Option<f64>, y: f64) -> f64 {
    let mut base = y + 18.0;
    page.put(&format!(
        "<path d=\"M{COLUMN:.1} {:.1}h{SWATCH}\" stroke=\"{INK}\" stroke-width=\"1.6\"/>",
        base - 5.0
    ));
    page.text([COLUMN + SWATCH + 10.0, base], From::Left, PLAIN, "Field boundary");
    base += ROW;
    if let Some(radius) = dot {
        page.put(&format!(
            "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"{radius:.2}\" fill=\"#ffffff\" stroke=\"{INK}\"/>",
            COLUMN + SWATCH / 2.0,
            base - 5.0
        ));
    }
    page.text([COLUMN + SWATCH + 10.0, base], From::Left, PLAIN, samples);
    base + 8.0
}
