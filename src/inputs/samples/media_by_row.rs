//! A table whose rows were read in different media: a column says which, and each reading is
//! converted to the one medium that the job names.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use super::columns::missing;
use super::header::{Role, find_column, liquid_named, proportion_named};
use crate::agronomy::Door;
use crate::findings::{Finding, Place, Problem, clean, first_of};
use crate::inputs::Table;
use crate::inputs::job::SamplesPart;
use crate::units::{PhMedium, counted, tidy};

/// Samples named in one finding before the rest is only counted.
const NAMED: usize = 20;

/// The media of the rows, the ways out of them, and which samples went which way.
pub(super) struct MediaByRow {
    of_row: Vec<Option<PhMedium>>,
    to: PhMedium,
    doors: BTreeMap<PhMedium, (Door, Vec<Finding>)>,
    went: BTreeMap<PhMedium, Vec<String>>,
    beyond: BTreeMap<PhMedium, Vec<String>>,
}

impl MediaByRow {
    /// `None` where the job says one medium for all rows.
    ///
    /// # Errors
    /// Lists rows whose cell names no medium, and media without a way to the one that is wanted.
    pub(super) fn of(
        table: &Table,
        part: &SamplesPart,
        id: Option<usize>,
        head: &Place,
    ) -> Result<Option<Self>, Vec<Problem>> {
        if !part.ph_by_row {
            return Ok(None);
        }
        let mapped = Role::PhMethod.mapped(&part.columns);
        let at = find_column(&table.headers, Role::PhMethod, mapped, head)
            .and_then(|at| at.ok_or_else(|| missing(Role::PhMethod, &table.headers, head, false)))
            .map_err(|problem| vec![problem])?;
        let to = part.ph_medium;
        let (mut of_row, mut doors) = (Vec::new(), BTreeMap::new());
        let mut problems = Vec::new();
        for row in &table.rows {
            let text = row.cells[at].as_str();
            let medium = medium_named(text);
            of_row.push(medium);
            let sample = id.map(|at| row.cells[at].clone());
            let place = Place { sample, ..table.place(row, Some(at)) };
            let Some(medium) = medium else {
                problems.push(names_none(text, place));
                continue;
            };
            let Entry::Vacant(unseen) = doors.entry(medium) else { continue };
            let mut told = Vec::new();
            match Door::between(medium, to, &mut told) {
                Ok(door) => drop(unseen.insert((door, told))),
                Err(problem) => problems.push(Problem { place, ..problem }),
            }
        }
        let (went, beyond) = (BTreeMap::new(), BTreeMap::new());
        if problems.is_empty() {
            Ok(Some(Self { of_row, to, doors, went, beyond }))
        } else {
            Err(problems)
        }
    }

    /// The pH of a row in the medium that the job names.
    pub(super) fn convert(&mut self, row: usize, id: &str, ph: f64) -> f64 {
        let medium = self.of_row.get(row).copied().flatten().unwrap_or(self.to);
        self.went.entry(medium).or_default().push(id.to_owned());
        let Some((door, _)) = self.doors.get(&medium) else { return ph };
        if door.beyond_range(ph).is_some() {
            self.beyond.entry(medium).or_default().push(format!("{id} ({ph})"));
        }
        tidy(door.convert(ph))
    }

    /// How many samples were read in which medium, and by what each was converted.
    pub(super) fn findings(&self, file: &str) -> Vec<Finding> {
        let place = Place::in_file(file);
        let mut findings = Vec::new();
        for (medium, ids) in &self.went {
            let way = match self.doors.get(medium) {
                Some((_, told)) if !told.is_empty() => {
                    told.iter().map(|told| told.text.as_str()).collect::<Vec<_>>().join(" ")
                }
                _ => {
                    format!("They are taken as they are: the map is of pH in {}.", self.to.words())
                }
            };
            let text = format!(
                "{} by the column read in {}: {}. {way}",
                counted(ids.len() as u64, "sample was", "samples were"),
                medium.words(),
                first_of(ids, NAMED)
            );
            findings.push(Finding::at("ph_media_by_row", place.clone(), text));
        }
        for (medium, ids) in &self.beyond {
            let text = format!(
                "{} in {} beyond the range that the equation is taken for, and the equation is \
                 carried on: {}.",
                counted(ids.len() as u64, "sample reads", "samples read"),
                medium.words(),
                first_of(ids, NAMED)
            );
            findings.push(Finding::at("ph_beyond_conversion", place.clone(), text));
        }
        findings
    }
}

/// The medium that a cell names, with its proportion where it is water.
pub(super) fn medium_named(text: &str) -> Option<PhMedium> {
    if let Some(medium) = PhMedium::from_words(text) {
        return Some(medium);
    }
    let with_proportion = |fits: fn(PhMedium) -> bool| {
        let proportion = proportion_named(text)?;
        PhMedium::ALL
            .into_iter()
            .find(|medium| fits(*medium) && medium.words().ends_with(&format!(" {proportion}")))
    };
    match liquid_named(text)? {
        // What is added to a reading must be said in full.
        "CaCl2" if text.contains('+') => None,
        "CaCl2" => Some(PhMedium::CalciumChloride),
        "KCl" => Some(
            with_proportion(PhMedium::is_potassium_chloride).unwrap_or(PhMedium::PotassiumChloride),
        ),
        _ => with_proportion(PhMedium::is_water),
    }
}

fn names_none(text: &str, place: Place) -> Problem {
    let what = if text.is_empty() {
        "the cell is blank, and the medium of the pH is not known".to_owned()
    } else {
        format!("`{}` does not say in what the pH was read", clean(text))
    };
    let words: Vec<&str> = PhMedium::ALL.iter().map(|medium| medium.words()).collect();
    Problem::at(place, what)
        .allowed(words.join(", "))
        .hint("write the medium of every row, with the proportion of soil to water")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_names_its_medium_in_full_or_not_at_all() {
        for (text, medium) in [
            ("water 1:2.5", Some(PhMedium::Water1To2Point5)),
            ("H2O (1:5)", Some(PhMedium::Water1To5)),
            ("1:2 water", Some(PhMedium::Water1To2)),
            ("water", None),
            ("CaCl2", Some(PhMedium::CalciumChloride)),
            ("0.01 M CaCl2", Some(PhMedium::CalciumChloride)),
            ("cacl2 0.01 m + 0.6", Some(PhMedium::CalciumChlorideRaised)),
            ("CaCl2 + 0.5", None),
            ("KCl", Some(PhMedium::PotassiumChloride)),
            ("KCl 1:2.5", Some(PhMedium::PotassiumChloride1To2Point5)),
            ("pH meter", None),
            ("", None),
        ] {
            assert_eq!(medium_named(text), medium, "{text}");
        }
    }
}
