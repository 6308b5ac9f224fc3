//! The roll of the fields: which features are whose boundary, and which rows whose samples.

use std::collections::BTreeMap;

use crate::findings::{Finding, Place, Problem, Refusal, clean, first_of};
use crate::inputs::{Differ, FeatureLayer, Table, match_names};
use crate::units::counted;

/// Names told in one finding before the rest is only counted.
const NAMED: usize = 20;

/// A name, and where it stands: features or rows, by their places.
pub(super) type Called = (String, Vec<usize>);

/// A field with a boundary and samples.
pub(super) struct Entry {
    /// The boundary's name and features.
    pub(super) boundary: Called,
    /// The samples' name for it and their rows.
    pub(super) samples: Called,
}

/// All fields that boundaries or samples name.
pub(super) struct Roll {
    /// Those with both, in the order of the boundaries.
    pub(super) fields: Vec<Entry>,
    /// Boundaries whose name no sample has.
    pub(super) without_samples: Vec<Called>,
    /// Samples whose name no boundary has; under a blank name those that name no field.
    pub(super) without_boundary: Vec<Called>,
    /// What there is to tell.
    pub(super) findings: Vec<Finding>,
}

/// Calls the roll: `column` names the fields among the samples, `attribute` among the features.
///
/// # Errors
/// Refuses names that differ only in how they are written and are not one on each side, and names of
/// which none is on the other side.
pub(super) fn call_the_roll(
    (table, column): (&Table, usize),
    (layer, attribute): (&FeatureLayer, usize),
) -> Result<Roll, Refusal> {
    let cells = table.rows.iter().map(|row| row.cells[column].as_str());
    let samples = by_name(cells);
    let features = &layer.features;
    let names = features.iter().map(|f| f.attributes.get(attribute).map_or("", |text| text.trim()));
    let mut boundaries = by_name(names);
    let mut findings = Vec::new();
    let header = &layer.columns[attribute];
    if let Some(at) = boundaries.iter().position(|(name, _)| name.is_empty()) {
        let (_, nameless) = boundaries.remove(at);
        let text = format!(
            "{} no name in `{}` and {} no field here.",
            match nameless.len() {
                1 => "1 feature has".to_owned(),
                count => format!("{count} features have"),
            },
            clean(header),
            if nameless.len() == 1 { "is" } else { "are" }
        );
        findings.push(Finding::at("boundaries_without_names", Place::in_file(&layer.file), text));
    }
    let wanted: Vec<&str> =
        samples.iter().map(|(name, _)| name.as_str()).filter(|name| !name.is_empty()).collect();
    let offered: Vec<&str> = boundaries.iter().map(|(name, _)| name.as_str()).collect();
    let matches = match_names(&wanted, &offered);
    let sides = Sides { table, column, layer, attribute };
    let mut problems: Vec<Problem> = matches
        .clashes
        .iter()
        .map(|clash| {
            let here: Vec<&str> = clash.wanted.iter().map(|&at| wanted[at]).collect();
            sides.clash(clash.differ, &here, &clash.offered)
        })
        .collect();
    if problems.is_empty() && matches.of_wanted.iter().all(Option::is_none) {
        problems.push(sides.nothing_matches(&wanted, &offered));
    }
    Refusal::unless_clean(problems, ())?;
    for (differ, pairs) in &matches.respelled {
        findings.push(sides.respelled(*differ, pairs, &wanted, &matches.of_wanted));
    }
    let of_boundary: BTreeMap<&str, &str> = wanted
        .iter()
        .zip(&matches.of_wanted)
        .filter_map(|(&sample, boundary)| Some(((*boundary)?, sample)))
        .collect();
    let mut rows: BTreeMap<&str, &Called> =
        samples.iter().map(|called| (called.0.as_str(), called)).collect();
    let (mut fields, mut without_samples) = (Vec::new(), Vec::new());
    for boundary in &boundaries {
        let name = of_boundary.get(boundary.0.as_str());
        match name.and_then(|name| rows.remove(name)) {
            Some(samples) => {
                fields.push(Entry { boundary: boundary.clone(), samples: samples.clone() });
            }
            None => without_samples.push(boundary.clone()),
        }
    }
    let left = samples.iter().filter(|(name, _)| rows.contains_key(name.as_str()));
    let without_boundary = left.cloned().collect();
    Ok(Roll { fields, without_samples, without_boundary, findings })
}

/// The different names in the order in which they first stand, each with its places.
fn by_name<'n>(names: impl Iterator<Item = &'n str>) -> Vec<Called> {
    let mut called: Vec<Called> = Vec::new();
    let mut known: BTreeMap<&str, usize> = BTreeMap::new();
    for (place, name) in names.enumerate() {
        let at = *known.entry(name).or_insert(called.len());
        if at == called.len() {
            called.push((name.to_owned(), Vec::new()));
        }
        called[at].1.push(place);
    }
    called
}

/// The two files that name the fields.
struct Sides<'a> {
    table: &'a Table,
    column: usize,
    layer: &'a FeatureLayer,
    attribute: usize,
}

impl Sides<'_> {
    fn of_boundaries(&self) -> String {
        format!("`{}` of {}", clean(&self.layer.columns[self.attribute]), clean(&self.layer.file))
    }

    fn clash(&self, differ: Differ, here: &[&str], there: &[&str]) -> Problem {
        let what = format!(
            "names of fields differ only by {} and cannot be told apart: {} among the samples, {} \
             in {}",
            differ.words(),
            first_of(here, NAMED),
            first_of(there, NAMED),
            self.of_boundaries()
        );
        Problem::at(self.table.place_of_column(self.column), what)
            .allowed("names that match as they stand, or one on each side")
            .hint("write the names alike in both files")
    }

    fn nothing_matches(&self, here: &[&str], there: &[&str]) -> Problem {
        let what = format!(
            "no field that the samples name has a boundary: they name {}, {} has {}",
            if here.is_empty() { "none".to_owned() } else { first_of(here, NAMED) },
            self.of_boundaries(),
            first_of(there, NAMED)
        );
        Problem::at(self.table.place_of_column(self.column), what)
            .allowed("names of fields that the boundaries have too")
            .hint("name the right ones with --field-column and --field-attribute")
    }

    fn respelled(
        &self,
        differ: Differ,
        pairs: &[usize],
        wanted: &[&str],
        of_wanted: &[Option<&str>],
    ) -> Finding {
        let named: Vec<String> = pairs
            .iter()
            .filter_map(|&at| Some(format!("{} = {}", wanted[at], of_wanted[at]?)))
            .collect();
        let (key, words) = match differ {
            Differ::CaseOrBlanks => ("fields_matched_without_case", differ.words()),
            Differ::LeadingZeros => ("fields_matched_without_zeros", differ.words()),
        };
        let text = format!(
            "{} that samples and boundaries write differently only by {words}, matched: {}.",
            counted(named.len() as u64, "field", "fields"),
            first_of(&named, NAMED)
        );
        Finding::at(key, self.table.place_of_column(self.column), text)
    }
}
