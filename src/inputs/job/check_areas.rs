//! The map files that a job names beside its boundary.

use std::collections::BTreeMap;

use super::area_file::{AreaTable, KeepOutTable, OneOrMore, PathOr};
use super::check::Checker;
use super::file::FieldTable;
use super::written::{At, Choice};
use super::{AreaFile, KeepOutPart};
use crate::findings::Problem;
use crate::inputs::Wanted;
use crate::units::{Length, bound};

/// The keys of a table that say which features of a file are wanted.
type WantedKeys<'t> =
    (Option<&'t At<String>>, Option<&'t At<BTreeMap<String, At<Choice>>>>, Option<&'t At<String>>);

impl Checker<'_> {
    /// A map file by its path or its table; `key` is where the job names it.
    pub(super) fn area_file(
        &mut self,
        given: &At<PathOr<AreaTable>>,
        key: &str,
    ) -> Option<AreaFile> {
        match &given.value {
            PathOr::Path(path) => Some(self.bare(path, &given.span, key)),
            PathOr::Table(table) => {
                let wanted =
                    (table.layer.as_ref(), table.select.as_ref(), table.coordinate_system.as_ref());
                self.of_table(given, table.file.as_ref(), wanted, key)
            }
        }
    }

    /// What is kept out, file by file.
    pub(super) fn keep_out(&mut self, table: &FieldTable) -> Option<Vec<KeepOutPart>> {
        const KEY: &str = "field.keep_out";
        let for_all = match &table.setback {
            None => None,
            Some(written) => Some(self.quantity(written, &bound::SETBACK)?),
        };
        let Some(given) = &table.keep_out else {
            if let Some(written) = &table.setback {
                let what = "`field.setback` is given and `field.keep_out` is not";
                let problem = Problem::at(self.text.place(&written.span), what)
                    .allowed("a setback around what `field.keep_out` holds")
                    .hint("name the file with what is to be kept out, or leave the setback out");
                self.problems.push(problem);
            }
            return Some(Vec::new());
        };
        let one;
        let entries: &[At<PathOr<KeepOutTable>>] = match &given.value {
            OneOrMore::More(entries) => entries,
            OneOrMore::One(entry) => {
                one = [At { value: entry.clone(), span: given.span.clone() }];
                &one
            }
        };
        if entries.is_empty() {
            let problem =
                Problem::at(self.text.place(&given.span), format!("`{KEY}` is an empty list"))
                    .allowed("at least one file")
                    .hint("leave the key out where nothing is kept out");
            self.problems.push(problem);
        }
        let all_have_their_own = entries
            .iter()
            .all(|entry| matches!(&entry.value, PathOr::Table(table) if table.setback.is_some()));
        if let (Some(written), true) = (&table.setback, all_have_their_own && !entries.is_empty()) {
            let what = "`field.setback` is for no file: each has its own setback";
            let problem = Problem::at(self.text.place(&written.span), what)
                .allowed("`field.setback` for the files that state none")
                .hint("leave it out");
            self.problems.push(problem);
        }
        let read: Vec<Option<KeepOutPart>> =
            entries.iter().map(|entry| self.keep_out_part(entry, for_all, KEY)).collect();
        read.into_iter().collect()
    }

    fn keep_out_part(
        &mut self,
        entry: &At<PathOr<KeepOutTable>>,
        for_all: Option<f64>,
        key: &str,
    ) -> Option<KeepOutPart> {
        let (area, own) = match &entry.value {
            PathOr::Path(path) => (self.bare(path, &entry.span, key), None),
            PathOr::Table(table) => {
                let wanted =
                    (table.layer.as_ref(), table.select.as_ref(), table.coordinate_system.as_ref());
                let own = match &table.setback {
                    None => None,
                    Some(written) => Some(self.quantity(written, &bound::SETBACK)?),
                };
                (self.of_table(entry, table.file.as_ref(), wanted, key)?, own)
            }
        };
        let setback = Length::from_metres(own.or(for_all).unwrap_or(0.0));
        Some(KeepOutPart { area, setback })
    }

    fn bare(&self, path: &str, span: &std::ops::Range<usize>, key: &str) -> AreaFile {
        let given = At { value: path.to_owned(), span: span.clone() };
        let wanted = Wanted { said_in: said_in(key), ..Wanted::default() };
        AreaFile { file: self.named_file(&given), wanted }
    }

    fn of_table<T>(
        &mut self,
        entry: &At<T>,
        file: Option<&At<String>>,
        (layer, select, system): WantedKeys<'_>,
        key: &str,
    ) -> Option<AreaFile> {
        let Some(file) = file else {
            let what = format!("the table of `{key}` has no `file`");
            let problem = Problem::at(self.text.place(&entry.span), what)
                .allowed("`file`, and beside it `layer`, `select` and `coordinate_system`")
                .hint("name the map file: file = \"areas.geojson\"");
            self.problems.push(problem);
            return None;
        };
        let wanted = Wanted { said_in: said_in(key), ..wanted_of(layer, select, system) };
        Some(AreaFile { file: self.named_file(file), wanted })
    }
}

/// Where in a job it is said what is wanted of a file.
fn said_in(key: &str) -> String {
    format!("the table of `{key}`, as in {{ file = \"areas.gpkg\", layer = \"wells\" }}")
}

/// What is wanted of a map file.
pub(super) fn wanted_of(
    layer: Option<&At<String>>,
    select: Option<&At<BTreeMap<String, At<Choice>>>>,
    system: Option<&At<String>>,
) -> Wanted {
    let text = |value: Option<&At<String>>| value.map(|text| text.value.clone());
    let select = select.iter().flat_map(|select| &select.value);
    Wanted {
        layer: text(layer),
        select: select.map(|(column, choice)| (column.clone(), choice.value.0.clone())).collect(),
        system: text(system),
        ..Wanted::default()
    }
}
