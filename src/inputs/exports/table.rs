//! Rates in a table of text with the area of each row.

use super::open::FoundExport;
use super::rates::{ExportAsked, number, rate_column};
use super::{ReadExport, ReadGround, ReadMap, ReadRow};
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::CoordinateSystem;
use crate::inputs::features::MapFile;
use crate::inputs::table::{DecimalMark, Promise, TableStyle, table_of_bytes};
use crate::units::{M2_PER_ACRE, M2_PER_HECTARE};

/// The columns of areas that are known, with the square metres of their units.
const AREAS: [(&str, f64); 2] = [("area_ac", M2_PER_ACRE), ("area_ha", M2_PER_HECTARE)];

/// The most ground that a row may be of, in square metres (ours): the whole Earth has 5.1e14.
const MOST_M2: f64 = 1e15;

/// Reads a table as this program writes it.
pub(super) fn read_cells(file: MapFile, asked: &ExportAsked) -> Result<FoundExport, Refusal> {
    let style = TableStyle {
        encoding: None,
        decimal: Some(DecimalMark::Point),
        repeats: None,
        names: vec!["name".to_owned()],
        others: AREAS.iter().map(|(name, _)| (*name).to_owned()).collect(),
        labels: Vec::new(),
        select: Vec::new(),
        promise: |_| Promise::Nothing,
    };
    let given = file.name;
    let (table, faults) = table_of_bytes(file.bytes, &given, &style)?;
    let place = Place::in_file(&given);
    let area = AREAS
        .iter()
        .find_map(|(name, m2)| Some((table.headers.iter().position(|header| header == name)?, m2)));
    let Some((area_column, m2)) = area else {
        let what = "the table does not say how large the ground of each row is";
        return Err(Problem::at(place, what)
            .allowed("a table with a column `area_ac` or `area_ha`")
            .hint("name a file that this program wrote with `--export csv`, or a map file")
            .into());
    };
    let cell = |row: usize, column: usize| table.rows[row].cells[column].as_str();
    let column = rate_column(&table.headers, table.rows.len(), cell, asked, place)?;
    let name = column.map_or_else(String::new, |column| table.headers[column].clone());
    let mut rows = Vec::with_capacity(table.rows.len());
    let mut problems = Vec::new();
    for row in &table.rows {
        match number(&row.cells[area_column]).filter(|area| *area >= 0.0 && area * m2 <= MOST_M2) {
            Some(area) => rows.push(ReadRow {
                area_m2: area * m2,
                rate: column.and_then(|column| number(&row.cells[column])),
            }),
            None => problems.push(
                Problem::at(table.place(row, Some(area_column)), "the row has no area")
                    .allowed("a number from 0 upward, less than the area of the Earth"),
            ),
        }
    }
    Refusal::unless_clean(problems, ())?;
    let unit = column.and_then(|_| asked.unit_of(&name));
    let maps = vec![ReadMap { name, unit, ground: ReadGround::Rows(rows) }];
    let export = ReadExport { format: "table of cells".to_owned(), maps, faults };
    Ok(FoundExport { file: given, system: CoordinateSystem::Wgs84Degrees, export })
}
