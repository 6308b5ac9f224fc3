//! What a table of samples shows by itself, before a job says anything of it.

use std::collections::BTreeSet;

use super::cell::{Cell, stands_for_no_reading};
use super::degrees::{Axis, read_degrees};
use super::depths::unit_in_header as unit_of_depth;
use super::header::{Role, buffer_named, candidates, find_column, liquid_named};
use super::media_by_row::medium_named;
use super::values::unit_in_header;
use crate::findings::{Place, Refusal};
use crate::inputs::job::JobSettings;
use crate::inputs::{CoordinateSystem, Promise, RawPoint, Table, TableRow};
use crate::units::{PhMedium, SoilValue};

/// More different depths are no layers (ours).
const MOST_DEPTHS: usize = 20;

/// What was recognised in a table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Recognised {
    /// What is known of each thing that a table may hold.
    pub columns: Vec<RecognisedColumn>,
    /// Headers of columns that were taken for nothing.
    pub others: Vec<String>,
    /// The samples' rows.
    pub rows: usize,
    /// The medium that the header of the pH names, as jobs write it.
    pub ph_medium: Option<&'static str>,
    /// Whether that header names water without its proportion.
    pub in_water: bool,
    /// The buffer that the header of the buffer pH names, as jobs write it.
    pub buffer: Option<&'static str>,
    /// The values that were recognised beside pH and buffer pH, each with the unit that its header
    /// names, as jobs write it.
    pub units: Vec<(SoilValue, Option<&'static str>)>,
    /// The depths that stand in the column of the depth, as written there; or in the two columns with
    /// its ends, from the top down.
    pub depths: Vec<String>,
    /// What the cells of the pH hold.
    pub ph: Option<Readings>,
    /// What the cells of the buffer pH hold.
    pub buffer_ph: Option<Readings>,
    /// The lowest pH of a sample without and the highest of one with a buffer pH, where some lack it.
    pub buffer_ends: Option<(f64, f64)>,
}

/// A thing that a table may hold, and its column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecognisedColumn {
    /// The key by which a job names the column.
    pub key: &'static str,
    /// What it is called in a sentence.
    pub words: &'static str,
    /// The headers that name it best: none, the one, or several that do so equally well.
    pub headers: Vec<String>,
}

/// What the cells of a column hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Readings {
    /// Cells with a number.
    pub numbers: usize,
    /// Cells that hold only a limit, such as `<5.0`.
    pub limits: usize,
    /// Cells that hold no reading.
    pub without: usize,
    /// The least number.
    pub least: f64,
    /// The greatest number.
    pub most: f64,
}

impl Recognised {
    /// The header of the column that a key names, where one is known.
    pub fn header(&self, key: &str) -> Option<&str> {
        match self.candidates(key) {
            [only] => Some(only),
            _ => None,
        }
    }

    /// The headers that could be meant by a key.
    pub fn candidates(&self, key: &str) -> &[String] {
        let column = self.columns.iter().find(|column| column.key == key);
        column.map_or(&[], |column| column.headers.as_slice())
    }
}

/// Recognises the columns of a table by their headers, as a job does, where the settings do not
/// name them.
///
/// # Errors
/// Refuses columns that the settings name and the table lacks.
pub fn recognise(table: &Table, settings: &JobSettings) -> Result<Recognised, Refusal> {
    let headers = &table.headers;
    let head = Place { line: table.header_line, ..Place::in_file(table.file.clone()) };
    let mut found = Recognised { rows: table.rows.len(), ..Recognised::default() };
    let mut taken = BTreeSet::new();
    let mut problems = Vec::new();
    for (role, named) in roles(table, settings) {
        let columns = match named {
            None => candidates(headers, role),
            named => match find_column(headers, role, named, &head) {
                Ok(column) => column.into_iter().collect(),
                Err(problem) => {
                    problems.push(problem);
                    continue;
                }
            },
        };
        taken.extend(columns.iter().copied());
        let names = columns.iter().map(|&at| headers[at].clone()).collect();
        let column = RecognisedColumn { key: role.key(), words: role.words(), headers: names };
        if let [only] = columns.as_slice() {
            look_into(table, role, *only, &mut found);
        }
        found.columns.push(column);
    }
    found.buffer_ends = buffer_ends(table, &found);
    if let Some(depths) = depths_of_two_columns(table, &found) {
        found.depths = depths;
    }
    let is_label = |header: &str| settings.style.promise_of(header) == Promise::Labels;
    let free =
        headers.iter().enumerate().filter(|(at, header)| !taken.contains(at) && !is_label(header));
    found.others = free.map(|(_, header)| header.clone()).collect();
    Refusal::unless_clean(problems, found)
}

/// What a table may hold, each with the column that the settings name.
fn roles<'s>(table: &Table, settings: &'s JobSettings) -> Vec<(Role, Option<&'s str>)> {
    let JobSettings { key, columns, system, .. } = settings;
    let mut roles = vec![Role::Id];
    if table.points.is_none() && !settings.are_composites {
        if system.is_none() {
            roles.extend([Role::Lon, Role::Lat]);
        }
        roles.extend([Role::Easting, Role::Northing]);
    }
    roles.extend([Role::Ph, Role::BufferPh]);
    roles.extend(SoilValue::ALL.map(Role::Value));
    roles.push(Role::Texture);
    roles.extend([Role::Depth, Role::DepthTop, Role::DepthBottom]);
    let named = |role: Role| match role {
        Role::Id => key.as_deref(),
        role => role.mapped(columns),
    };
    roles.into_iter().map(|role| (role, named(role))).collect()
}

/// What a column says by its header and its cells.
fn look_into(table: &Table, role: Role, at: usize, found: &mut Recognised) {
    let header = table.headers[at].as_str();
    match role {
        Role::Ph => {
            found.ph = Some(readings(table, at));
            let liquid = liquid_named(header);
            found.in_water = liquid == Some("water");
            found.ph_medium = liquid.and(medium_named(header)).map(PhMedium::words);
        }
        Role::BufferPh => {
            found.buffer_ph = Some(readings(table, at));
            found.buffer = buffer_named(header);
        }
        Role::Value(value) => found.units.push((value, unit_in_header(header, value))),
        Role::Depth => {
            let cells = table.rows.iter().map(|row| row.cells[at].as_str());
            let depths: BTreeSet<&str> = cells.filter(|cell| !cell.is_empty()).collect();
            let unit = ["in", "cm"].into_iter().find(|unit| {
                header.split(|c: char| !c.is_alphanumeric()).skip(1).any(|word| word == *unit)
            });
            let with_unit = |depth: &str| match unit {
                Some(unit) if !depth.contains(char::is_alphabetic) => format!("{depth} {unit}"),
                _ => depth.to_owned(),
            };
            found.depths = depths.into_iter().map(with_unit).collect();
        }
        _ => {}
    }
}

/// The depths that two columns with their ends hold, from the top down; `None` where the table has
/// no two such columns, or a cell in them is no number.
fn depths_of_two_columns(table: &Table, found: &Recognised) -> Option<Vec<String>> {
    let [top, bottom] = [Role::DepthTop, Role::DepthBottom].map(|role| {
        let header = found.header(role.key())?;
        table.headers.iter().position(|known| known == header)
    });
    let (top, bottom) = (top?, bottom?);
    let unit = unit_of_depth(&table.headers[top]);
    let mut depths: Vec<[f64; 2]> = Vec::new();
    for row in &table.rows {
        let [Cell::Number(top), Cell::Number(bottom)] =
            [top, bottom].map(|at| Cell::read(&row.cells[at]))
        else {
            return None;
        };
        if !depths.contains(&[top, bottom]) {
            depths.push([top, bottom]);
        }
        if depths.len() > MOST_DEPTHS {
            return None;
        }
    }
    depths.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let unit = unit.map_or_else(String::new, |unit| format!(" {unit}"));
    Some(depths.into_iter().map(|[top, bottom]| format!("{top}-{bottom}{unit}")).collect())
}

/// Where each row of the table lies, in the system of its coordinates; `None` for one without a
/// coordinate that can be read, and for the table where it has no known system or columns.
pub fn places_of(
    table: &Table,
    found: &Recognised,
    settings: &JobSettings,
) -> Option<(CoordinateSystem, Vec<Option<RawPoint>>)> {
    if let Some((system, points)) = &table.points {
        return Some((system.clone(), points.iter().copied().map(Some).collect()));
    }
    let system = settings.system.clone().unwrap_or(CoordinateSystem::Wgs84Degrees);
    let (x, y) = Role::of_axes(&system);
    let at = |role: Role| {
        let header = found.header(role.key())?;
        table.headers.iter().position(|known| known == header)
    };
    let (x, y) = (at(x)?, at(y)?);
    let in_degrees = system == CoordinateSystem::Wgs84Degrees;
    let read = |text: &str, axis: Axis| match Cell::read(text) {
        Cell::Number(number) => Some(number),
        _ if in_degrees => read_degrees(text, axis).ok(),
        _ => None,
    };
    let of_row =
        |row: &TableRow| Some([read(&row.cells[x], Axis::Lon)?, read(&row.cells[y], Axis::Lat)?]);
    let places = table.rows.iter().map(of_row).collect();
    Some((system, places))
}

fn readings(table: &Table, at: usize) -> Readings {
    let mut found = Readings {
        numbers: 0,
        limits: 0,
        without: 0,
        least: f64::INFINITY,
        most: f64::NEG_INFINITY,
    };
    for row in &table.rows {
        match Cell::read(&row.cells[at]) {
            Cell::Number(number) if !stands_for_no_reading(number) => {
                found.numbers += 1;
                found.least = found.least.min(number);
                found.most = found.most.max(number);
            }
            Cell::Below(_) | Cell::Above(_) => found.limits += 1,
            _ => found.without += 1,
        }
    }
    found
}

/// The lowest pH of a sample without and the highest of one with a buffer pH.
fn buffer_ends(table: &Table, found: &Recognised) -> Option<(f64, f64)> {
    let at = |key| {
        let header = found.header(key)?;
        table.headers.iter().position(|known| known == header)
    };
    let (ph, buffer) = (at(Role::Ph.key())?, at(Role::BufferPh.key())?);
    let (mut least_without, mut most_with) = (f64::INFINITY, f64::NEG_INFINITY);
    for row in &table.rows {
        let Cell::Number(ph) = Cell::read(&row.cells[ph]) else { continue };
        match Cell::read(&row.cells[buffer]) {
            Cell::Number(number) if !stands_for_no_reading(number) => most_with = most_with.max(ph),
            Cell::Missing | Cell::Number(_) => least_without = least_without.min(ph),
            _ => {}
        }
    }
    (least_without.is_finite() && most_with.is_finite()).then_some((least_without, most_with))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inputs::job::read_settings;

    fn table(text: &str) -> Table {
        let mut lines = text.lines().map(|line| line.split(',').map(str::to_owned).collect());
        let headers: Vec<String> = lines.next().unwrap();
        let rows = lines
            .enumerate()
            .map(|(at, cells)| TableRow { number: at + 2, cells, joined_line: None })
            .collect();
        let file = "t.csv".to_owned();
        let in_doubt = BTreeSet::new();
        Table { file, headers, header_line: Some(1), rows, points: None, joined: None, in_doubt }
    }

    fn known(text: &str, sets: &[&str]) -> Result<Recognised, Refusal> {
        let sets: Vec<String> = sets.iter().map(|&set| set.to_owned()).collect();
        recognise(&table(text), &read_settings(&sets).unwrap())
    }

    #[test]
    fn headers_and_cells_tell_what_they_can() {
        let text = "Sample ID,lon,lat,pH CaCl2,SMP pH,Depth (in),Lab No,Acidity (meq/100 g)\n\
                    S1,1,2,5.1,6.2,0-6,7,1\nS2,1,2,6.9,,0-6,8,2\nS3,1,2,<5,6.0,0-6,9,3\n";
        let found = known(text, &[]).unwrap();
        assert_eq!(found.header("samples.key"), Some("Sample ID"));
        assert_eq!(found.ph_medium, Some("CaCl2 0.01 M"));
        assert_eq!(found.buffer, Some("smp"));
        assert_eq!(found.units, [(SoilValue::Acidity, Some("meq/100 g"))]);
        assert_eq!(found.depths, ["0-6 in"]);
        assert_eq!(found.others, ["Lab No"]);
        assert_eq!(found.buffer_ends, Some((6.9, 5.1)));
        let ph = found.ph.unwrap();
        assert_eq!((ph.numbers, ph.limits, ph.without), (2, 1, 0));
        assert_eq!((ph.least, ph.most), (5.1, 6.9));
    }

    #[test]
    fn water_without_a_proportion_is_not_settled() {
        assert_eq!(known("pH water 1:2.5\n5\n", &[]).unwrap().ph_medium, Some("water 1:2.5"));
        let found = known("water pH\n5\n", &[]).unwrap();
        assert!(found.in_water && found.ph_medium.is_none());
        let found = known("pH 1:1\n5\n", &[]).unwrap();
        assert!(!found.in_water && found.ph_medium.is_none());
    }

    #[test]
    fn what_is_in_doubt_has_candidates_and_what_is_named_is_taken() {
        let text = "id,lon,lat,soil pH,waterpH\nA,1,2,5,6\n";
        let found = known(text, &[]).unwrap();
        assert_eq!(found.header("samples.columns.ph"), None);
        assert_eq!(found.candidates("samples.columns.ph"), ["soil pH", "waterpH"]);
        let found = known(text, &["samples.columns.ph=waterpH"]).unwrap();
        assert_eq!(found.header("samples.columns.ph"), Some("waterpH"));
        assert_eq!(found.others, ["soil pH"]);
        let refused = known(text, &["samples.columns.ph=pH2"]).unwrap_err().to_string();
        assert!(refused.contains("`waterpH`"), "{refused}");
    }
}
