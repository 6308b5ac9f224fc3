//! The page that everything is drawn on, in pixels from its upper left corner.

use super::text::escaped;

/// Its width.
pub(super) const WIDTH: f64 = 1000.0;
/// White kept free at each side.
pub(super) const MARGIN: f64 = 24.0;
/// Where the column to the right of the map begins.
pub(super) const COLUMN: f64 = 696.0;
/// Where lines of text end at the right.
pub(super) const RIGHT: f64 = WIDTH - MARGIN;

/// The colour of text and of strong lines.
pub(super) const INK: &str = "#222222";
/// The colour of words that name a value.
pub(super) const FAINT: &str = "#555555";
/// The colour of lines that only order the page.
pub(super) const LINE: &str = "#bbbbbb";

/// What is drawn so far.
#[derive(Debug, Default)]
pub(super) struct Page {
    pub(super) out: String,
}

/// How a line of text looks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Type {
    pub(super) size: f64,
    pub(super) bold: bool,
    pub(super) colour: &'static str,
}

/// Plain text of the page.
pub(super) const PLAIN: Type = Type { size: 14.0, bold: false, colour: INK };
/// Small words that name a value.
pub(super) const LABEL: Type = Type { size: 12.0, bold: false, colour: FAINT };

/// On which side of its place a text stands.
#[derive(Clone, Copy, Debug)]
pub(super) enum From {
    Left,
    Middle,
    Right,
}

impl Page {
    /// Writes `words` in one line; words from data are cut before they come here.
    pub(super) fn text(&mut self, at: [f64; 2], from: From, look: Type, words: &str) {
        let anchor = match from {
            From::Left => "",
            From::Middle => " text-anchor=\"middle\"",
            From::Right => " text-anchor=\"end\"",
        };
        let weight = if look.bold { " font-weight=\"bold\"" } else { "" };
        let words = escaped(words);
        let ([x, y], Type { size, colour, .. }) = (at, look);
        self.put(&format!(
            "<text x=\"{x:.1}\" y=\"{y:.1}\" font-size=\"{size}\" fill=\"{colour}\"\
             {anchor}{weight}>{words}</text>"
        ));
    }

    /// Draws a level line.
    pub(super) fn level(&mut self, from: f64, to: f64, y: f64) {
        self.put(&format!("<path d=\"M{from:.1} {y:.1}H{to:.1}\" stroke=\"{LINE}\"/>"));
    }

    /// Appends one line of SVG.
    pub(super) fn put(&mut self, svg: &str) {
        self.out.push_str(svg);
        self.out.push('\n');
    }
}
