//! What a table holds beside pH and buffer pH: each in a unit that its header or the job states, or
//! not at all.

use super::cell::Cell;
use super::header::{Role, find_column};
use crate::findings::{Finding, Place, Problem, clean};
use crate::inputs::Table;
use crate::inputs::ids::bare;
use crate::inputs::job::SamplesPart;
use crate::inputs::table::is_unit;
use crate::units::{SoilValue, TextureClass};

/// A column that is read.
#[derive(Clone, Copy, Debug)]
pub(super) struct ValueColumn {
    pub(super) value: SoilValue,
    pub(super) at: usize,
    pub(super) unit: &'static str,
}

/// The columns that are read, and what is to be told of others.
#[derive(Debug, Default)]
pub(super) struct ValuesFound {
    pub(super) numbers: Vec<ValueColumn>,
    pub(super) texture: Option<usize>,
    pub(super) not_used: Vec<Finding>,
}

/// Finds the columns. One that the job does not ask for, by its unit or its name, never stops the
/// job: it is told why it is not read.
pub(super) fn find_values(
    table: &Table,
    part: &SamplesPart,
    head: &Place,
    problems: &mut Vec<Problem>,
) -> ValuesFound {
    let mut found = ValuesFound::default();
    for value in SoilValue::ALL {
        match number_column(table, part, head, value) {
            Ok(Some(column)) => found.numbers.push(column),
            Ok(None) => {}
            Err(problem) if is_asked(part, value) => problems.push(problem),
            Err(problem) => found.not_used.push(not_used(value, problem)),
        }
    }
    let mapped = part.columns.texture.as_deref();
    match find_column(&table.headers, Role::Texture, mapped, head) {
        Ok(Some(at)) => match first_without_texture(table, at) {
            None => found.texture = Some(at),
            Some(problem) if mapped.is_some() => problems.push(problem),
            Some(problem) => {
                let text = format!("The texture class is not used: {}.", problem.what);
                found.not_used.push(Finding::at("texture_not_used", problem.place, text));
            }
        },
        Ok(None) => {}
        Err(problem) if mapped.is_some() => problems.push(problem),
        Err(problem) => {
            let text = format!("The texture class is not used: {}.", problem.what);
            found.not_used.push(Finding::at("texture_not_used", problem.place, text));
        }
    }
    found
}

/// Whether the job names the column or its unit.
fn is_asked(part: &SamplesPart, value: SoilValue) -> bool {
    part.units.get(value).is_some() || part.columns.values.contains_key(&value)
}

fn number_column(
    table: &Table,
    part: &SamplesPart,
    head: &Place,
    value: SoilValue,
) -> Result<Option<ValueColumn>, Problem> {
    let mapped = part.columns.values.get(&value).map(String::as_str);
    let Some(at) = find_column(&table.headers, Role::Value(value), mapped, head)? else {
        if is_asked(part, value) {
            return Err(super::columns::missing(Role::Value(value), &table.headers, head, false));
        }
        return Ok(None);
    };
    let unit = unit_of(&table.headers[at], value, part.units.get(value)).map_err(|what| {
        Problem::at(table.place_of_header(at), what)
            .allowed(format!("one of {}", value.bounded().kind.words()))
            .hint(format!(
                "ask the laboratory, and state the unit as samples.units.{}",
                value.key()
            ))
    })?;
    let column = ValueColumn { value, at, unit };
    match first_without_number(table, column).filter(|_| !is_asked(part, value)) {
        Some(problem) => Err(problem),
        None => Ok(Some(column)),
    }
}

/// The unit by what the header and the job say, or why there is none.
fn unit_of(
    header: &str,
    value: SoilValue,
    stated: Option<&'static str>,
) -> Result<&'static str, String> {
    let factor = |unit: &str| value.bounded().kind.factor(unit);
    match (named_in(header, value), stated) {
        (Named::Otherwise(words), _) => {
            Err(format!("the column names {words}, which is no unit of {}", value.words()))
        }
        (Named::Unit(named), Some(stated))
            if factor(named) != factor(stated)
                || crate::units::is_by_volume(named) != crate::units::is_by_volume(stated) =>
        {
            Err(format!("the column names {named}, and the job says {stated}"))
        }
        (Named::Nothing, Some(unit)) | (Named::Unit(unit), _) => Ok(unit),
        (Named::Nothing, None) => {
            Err(format!("neither the header nor the job says the unit of {}", value.words()))
        }
    }
}

/// The unit that a header names, as jobs write it.
pub(super) fn unit_in_header(header: &str, value: SoilValue) -> Option<&'static str> {
    match named_in(header, value) {
        Named::Unit(unit) => Some(unit),
        Named::Nothing | Named::Otherwise(_) => None,
    }
}

/// What a header says of the unit.
enum Named {
    Nothing,
    Unit(&'static str),
    Otherwise(String),
}

fn named_in(header: &str, value: SoilValue) -> Named {
    // `cmolc` and `cmol(+)` say that it is charge that is counted, and `me` is `meq`.
    let spelled = |text: &str| -> String {
        let text = bare(&text.replace('%', "percent").replace('³', "3"));
        text.replace("molc", "mol").replace("meq", "me").replace("100ml", "100cm3")
    };
    let header_spelled = spelled(header);
    let units = value.bounded().kind.units.iter();
    let named = units.filter(|(unit, _)| header_spelled.ends_with(&spelled(unit)));
    if let Some((unit, _)) = named.max_by_key(|(unit, _)| unit.len()) {
        return Named::Unit(unit);
    }
    // The bracket behind the name, or what follows it.
    let bracket =
        header.split(['(', '[', '{']).nth(1).map(|unit| unit.trim_end_matches([')', ']', '}']));
    let tail = header.split_once(|c: char| c.is_whitespace() || c == '_').map(|(_, tail)| tail);
    let other = bracket.into_iter().chain(tail).find(|text| is_unit(&text.replace('_', "/")));
    match other {
        Some(text) if text.contains("cm3") || text.contains("ml") || text.contains("dm3") => {
            Named::Otherwise(format!("{}, a volume of soil", clean(text)))
        }
        Some(text) => Named::Otherwise(clean(text)),
        None => Named::Nothing,
    }
}

/// The first cell that holds no number within the limits.
fn first_without_number(table: &Table, column: ValueColumn) -> Option<Problem> {
    let bounded = column.value.bounded();
    let factor = bounded.kind.factor(column.unit).unwrap_or(1.0);
    let is_good = |text: &str| match Cell::read(text) {
        Cell::Number(number) => bounded.check(number * factor, text).is_ok(),
        _ => false,
    };
    let in_doubt = table.in_doubt.contains(&column.at);
    let row = table.rows.iter().find(|row| in_doubt || !is_good(&row.cells[column.at]))?;
    let what = format!("`{}` is no value of it", clean(&row.cells[column.at]));
    Some(Problem::at(table.place(row, Some(column.at)), what))
}

/// The first cell that names no texture class.
fn first_without_texture(table: &Table, at: usize) -> Option<Problem> {
    let row = table.rows.iter().find(|row| TextureClass::from_words(&row.cells[at]).is_none())?;
    let what = format!("`{}` is no texture class", clean(&row.cells[at]));
    let known: Vec<&str> = TextureClass::ALL.iter().map(|class| class.words()).collect();
    Some(
        Problem::at(table.place(row, Some(at)), what)
            .allowed(known.join(", "))
            .hint("write the class in full, or leave the column out"),
    )
}

fn not_used(value: SoilValue, problem: Problem) -> Finding {
    let (words, key) = (value.words(), value.key());
    let text = format!(
        "The column with {words} is not used: {}. To carry it into the map, state its unit as \
         samples.units.{key}, with a value for every sample.",
        problem.what
    );
    Finding::at("soil_value_not_used", problem.place, text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_comes_from_the_header_or_the_job_and_never_from_nowhere() {
        for (header, value, unit) in [
            ("CEC (meq/100g)", SoilValue::Cec, "meq/100 g"),
            ("CEC [me/100 g]", SoilValue::Cec, "meq/100 g"),
            ("CEC_meq_100g", SoilValue::Cec, "meq/100 g"),
            ("CEC cmol(+)/kg", SoilValue::Cec, "cmol/kg"),
            ("CEC (cmolc/kg)", SoilValue::Cec, "cmol/kg"),
            ("CEC (mmol/kg)", SoilValue::Cec, "mmol/kg"),
            ("Al ppm", SoilValue::Aluminium, "ppm"),
            ("Al (cmolc/dm3)", SoilValue::Aluminium, "cmol/dm3"),
            ("Mg_mg_kg", SoilValue::Magnesium, "mg/kg"),
            ("Ca (mmolc/dm³)", SoilValue::Calcium, "mmol/dm3"),
            ("H+Al (meq/100 mL)", SoilValue::PotentialAcidity, "meq/100 cm3"),
            ("OC (%)", SoilValue::OrganicCarbon, "%"),
            ("Clay (g/kg)", SoilValue::Clay, "g/kg"),
        ] {
            assert_eq!(unit_of(header, value, None).as_deref(), Ok(unit), "{header}");
        }
        assert_eq!(unit_of("CEC", SoilValue::Cec, Some("mmol/kg")), Ok("mmol/kg"));
        let same = unit_of("CEC (meq/100g)", SoilValue::Cec, Some("cmol/kg"));
        assert_eq!(same, Ok("meq/100 g"));
        for (header, stated, part) in [
            ("CEC", None, "neither"),
            ("CEC (mmol/kg)", Some("cmol/kg"), "names mmol/kg, and the job says cmol/kg"),
            ("CEC (meq/100 cm3)", Some("cmol/kg"), "a volume"),
            ("CEC (mmolc/dm3)", None, "a volume"),
            ("CEC (mg/kg)", None, "no unit of"),
        ] {
            let said = unit_of(header, SoilValue::Cec, stated).unwrap_err();
            assert!(said.contains(part), "{header}: {said}");
        }
        let by_volume = unit_of("Al cmol/dm3", SoilValue::Aluminium, Some("cmol/kg")).unwrap_err();
        assert!(by_volume.contains("names cmol/dm3"), "{by_volume}");
    }
}
