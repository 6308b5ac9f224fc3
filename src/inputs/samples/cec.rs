//! The cation exchange capacity: in a unit that the header or the job states, or not at all.

use super::cell::Cell;
use super::header::{Role, find_column};
use crate::findings::{Finding, Place, Problem, clean};
use crate::inputs::Table;
use crate::inputs::job::SamplesPart;
use crate::inputs::table::folded_unit;
use crate::units::bound;

/// The column that is read.
#[derive(Clone, Copy, Debug)]
pub(super) struct CecColumn {
    pub(super) at: usize,
    /// So many of the column's unit are one meq/100 g.
    pub(super) per_meq: f64,
    unit: &'static str,
}

/// What a header says of the unit.
enum Named {
    Nothing,
    ByMass(&'static str),
    Otherwise(&'static str),
}

/// The column with the capacity, or what is to be told of one that is not read: a job that does not
/// ask for it is not stopped by it.
///
/// # Errors
/// Where the job asks for it: a column that is missing, ambiguous, or in no unit that is stated.
pub(super) fn cec_column(
    table: &Table,
    part: &SamplesPart,
    head: &Place,
) -> Result<(Option<CecColumn>, Option<Finding>), Problem> {
    let mapped = part.columns.cec.as_deref();
    let is_asked = part.cec_unit.is_some() || mapped.is_some();
    let at = match find_column(&table.headers, Role::Cec, mapped, head) {
        Ok(Some(at)) => at,
        Ok(None) if is_asked => {
            return Err(super::columns::missing(Role::Cec, &table.headers, head, false));
        }
        Ok(None) => return Ok((None, None)),
        Err(problem) if is_asked => return Err(problem),
        Err(problem) => return Ok((None, Some(not_used(problem.place, &problem.what)))),
    };
    match unit_of(&table.headers[at], part.cec_unit) {
        Ok(unit) => {
            let per_meq = bound::CEC.kind.factor(unit).map_or(1.0, |factor| 1.0 / factor);
            let column = CecColumn { at, per_meq, unit };
            match blank_in(table, column).filter(|_| !is_asked) {
                Some((place, what)) => Ok((None, Some(not_used(place, &what)))),
                None => Ok((Some(column), None)),
            }
        }
        Err(what) if is_asked => Err(Problem::at(table.place_of_header(at), what)
            .allowed(format!("by mass of soil: {}", bound::CEC.kind.words()))
            .hint("ask the laboratory, and state the unit as samples.cec_unit")),
        Err(what) => Ok((None, Some(not_used(table.place_of_header(at), &what)))),
    }
}

impl CecColumn {
    /// What is told of a capacity that was converted.
    pub(super) fn told(self, table: &Table) -> Option<Finding> {
        let (from, number) =
            table.rows.iter().find_map(|row| match Cell::read(&row.cells[self.at]) {
                Cell::Number(number) => Some((row.cells[self.at].as_str(), number)),
                _ => None,
            })?;
        let text = format!(
            "The cation exchange capacity is in {}; {from} is {} meq/100 g.",
            self.unit,
            number / self.per_meq
        );
        let is_same = (self.per_meq - 1.0).abs() < f64::EPSILON;
        (!is_same).then(|| Finding::at("cec_converted", table.place_of_column(self.at), text))
    }
}

/// The unit by what the header and the job say, or why there is none.
fn unit_of(header: &str, stated: Option<&'static str>) -> Result<&'static str, String> {
    let factor = |unit: &str| bound::CEC.kind.factor(unit);
    match (named_in(header), stated) {
        (Named::Otherwise(words), _) => {
            Err(format!("the column names {words}, which is no capacity by mass of soil"))
        }
        (Named::ByMass(named), Some(stated)) if factor(named) != factor(stated) => {
            Err(format!("the column names {named}, and the job says {stated}"))
        }
        (Named::ByMass(unit), _) | (Named::Nothing, Some(unit)) => Ok(unit),
        (Named::Nothing, None) => {
            Err("neither the header nor the job says the unit of the cation exchange capacity"
                .to_owned())
        }
    }
}

fn named_in(header: &str) -> Named {
    let folded = folded_unit(header).replace('_', "");
    let has = |parts: &[&str]| parts.iter().any(|part| folded.contains(part));
    if has(&["cm3", "ml", "dm3", "/l"]) {
        Named::Otherwise("a volume of soil")
    } else if has(&["mg/kg", "ppm", "%", "lb/"]) {
        Named::Otherwise("a mass or a part")
    } else if has(&["mmol"]) {
        Named::ByMass("mmol/kg")
    } else if has(&["cmol"]) {
        Named::ByMass("cmol/kg")
    } else if has(&["meq", "me/100", "me100"]) {
        Named::ByMass("meq/100 g")
    } else {
        Named::Nothing
    }
}

/// The first cell that holds no capacity, with what is to be said of it.
fn blank_in(table: &Table, column: CecColumn) -> Option<(Place, String)> {
    let is_good = |text: &str| match Cell::read(text) {
        Cell::Number(number) => bound::CEC.check(number / column.per_meq, text).is_ok(),
        _ => false,
    };
    let in_doubt = table.in_doubt.contains(&column.at);
    let row = table.rows.iter().find(|row| in_doubt || !is_good(&row.cells[column.at]))?;
    let what = format!("`{}` is no value of it", clean(&row.cells[column.at]));
    Some((table.place(row, Some(column.at)), what))
}

fn not_used(place: Place, what: &str) -> Finding {
    let text = format!(
        "The cation exchange capacity is not used: {what}. No method here reads it; to carry it \
         into the map, state its unit as samples.cec_unit, with a value for every sample."
    );
    Finding::at("cec_not_used", place, text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_comes_from_the_header_or_the_job_and_never_from_nowhere() {
        for (header, unit) in [
            ("CEC (meq/100g)", "meq/100 g"),
            ("CEC [me/100 g]", "meq/100 g"),
            ("CEC_meq_100g", "meq/100 g"),
            ("CEC cmol(+)/kg", "cmol/kg"),
            ("CEC (cmolc/kg)", "cmol/kg"),
            ("CEC (mmol/kg)", "mmol/kg"),
        ] {
            assert_eq!(unit_of(header, None).as_deref(), Ok(unit), "{header}");
        }
        assert_eq!(unit_of("CEC", Some("mmol/kg")), Ok("mmol/kg"));
        assert_eq!(unit_of("CEC (meq/100g)", Some("cmol/kg")), Ok("meq/100 g"), "the same");
        for (header, stated, part) in [
            ("CEC", None, "neither"),
            ("CEC (mmol/kg)", Some("cmol/kg"), "names mmol/kg, and the job says cmol/kg"),
            ("CEC (meq/100 cm3)", Some("cmol/kg"), "a volume"),
            ("CEC (mmolc/dm3)", None, "a volume"),
            ("CEC (mg/kg)", None, "no capacity"),
        ] {
            let said = unit_of(header, stated).unwrap_err();
            assert!(said.contains(part), "{header}: {said}");
        }
    }
}
