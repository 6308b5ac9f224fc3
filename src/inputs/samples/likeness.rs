//! How well a header names what a column can hold.

use super::header::Role;
use crate::inputs::ids::bare;

/// How well a header names a role; the least wins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Likeness {
    /// The header is the role's own name, or a name in use, as a whole.
    Exact,
    /// It is so once a unit or a note in brackets is taken off.
    WithUnit,
    /// Its first word is, and the others say how or in what it was measured.
    Longer,
}

/// Words that may follow a name without changing what the column holds.
const QUALIFIERS: &[&str] = &[
    "ise", "lab", "field", "water", "h2o", "w", "cacl2", "kcl", "ca", "deg", "dd", "degrees",
    "wgs84", "m", "ft", "units", "su", "1", "2", "5", "11", "12", "15", "125", "no", "number",
    "meq", "me", "100", "100g", "g", "cmol", "cmolc", "mmol", "mmolc", "kg", "mg", "ppm", "dm3",
    "cm3", "ml", "percent", "pct",
];

/// Units that may follow the name of a depth.
const DEPTH_UNITS: &[&str] = &["cm", "in", "inch", "inches", "m", "ft"];

/// A header in the ways in which it may name a role, each made once for all roles.
pub(super) struct Header {
    /// The whole of it.
    bare: String,
    /// Without a unit or a note in brackets, where it has one.
    without_unit: Option<String>,
    /// Its first word, where nothing but qualifiers follows it.
    qualified: Option<String>,
    /// All but its last word, where that is a unit of depth: `depth_cm`, `top depth in`.
    of_depth: Option<String>,
}

impl Header {
    pub(super) fn of(header: &str) -> Self {
        let without_unit = header.split(['(', '[', '{']).next().unwrap_or(header);
        let words = header.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
        let words: Vec<String> = words.map(bare).collect();
        let (qualified, of_depth) = match words.as_slice() {
            [first, rest @ .., last] => {
                let is_qualifier = |word: &String| QUALIFIERS.contains(&word.as_str());
                let qualified = is_qualifier(last) && rest.iter().all(is_qualifier);
                let is_unit = DEPTH_UNITS.contains(&last.as_str());
                (
                    qualified.then(|| first.clone()),
                    is_unit.then(|| words[..words.len() - 1].concat()),
                )
            }
            _ => (None, None),
        };
        Self {
            bare: bare(header),
            without_unit: (without_unit.len() < header.len()).then(|| bare(without_unit)),
            qualified,
            of_depth,
        }
    }

    pub(super) fn likeness(&self, role: Role) -> Option<Likeness> {
        let known = |text: &Option<String>| {
            text.as_ref().is_some_and(|text| role.headers().contains(&text.as_str()))
        };
        let is_depth = matches!(role, Role::Depth | Role::DepthTop | Role::DepthBottom);
        if role.headers().contains(&self.bare.as_str()) {
            Some(Likeness::Exact)
        } else if known(&self.without_unit) {
            Some(Likeness::WithUnit)
        } else if known(if is_depth { &self.of_depth } else { &self.qualified }) {
            Some(Likeness::Longer)
        } else {
            None
        }
    }
}

/// Whether the first letter or digit of a text is a letter.
pub(super) fn begins_with_letter(text: &str) -> bool {
    text.chars().find(|c| c.is_alphanumeric()).is_some_and(char::is_alphabetic)
}
