//! A user's own method table: it comes in by the same door as the program's, with its check cells.

use serde_json::Value;

use super::table::{Example, MethodTable};
use super::{TabledMethod, check_examples};
use crate::findings::{Place, Problem, Refusal, both, clean, harmless};
use crate::sources::source;
use crate::units::{LimeNeed, plain};

/// What stands before the name of the file where a user's own table is asked for.
pub const OWN_TABLE: &str = "file:";

/// The most of a printed need by which a check cell may be off (ours).
const MOST_TOLERANCE: f64 = 0.05;

/// What a check cell may always be off by, for printed needs of nothing, kg/ha (ours).
const LEAST_TOLERANCE: f64 = 1.0;

/// The file of a user's own table, where `method` asks for one.
pub fn own_table_file(method: &str) -> Option<&str> {
    method.trim().strip_prefix(OWN_TABLE).map(str::trim)
}

impl MethodTable {
    /// The method that this table of a user's is, under the name of the file it was read from.
    ///
    /// # Errors
    /// Returns every field that does not make sense, a source without its year, a table without a
    /// check cell, and each check cell that does not come out, with both numbers.
    pub fn into_own_method(self, file: &str) -> Result<TabledMethod, Refusal> {
        let table = self.in_plain_words()?;
        let missing = [table.without_year(), table.without_check_cell()].into_iter().flatten();
        let missing = Refusal::unless_clean(missing.chain(table.loose_cells()).collect(), ());
        let ((), method) = both(missing, table.into_method())?;
        if let Err(refusal) = check_examples(&method) {
            let told = refusal.into_problems().into_iter().map(with_a_way_out);
            Refusal::unless_clean(told.collect(), ())?;
        }
        Ok(method.owned_by_user(&clean(file)))
    }

    /// The same without the characters that a terminal obeys: a table may come from anywhere.
    fn in_plain_words(self) -> Result<Self, Refusal> {
        let cleaned = serde_json::to_value(self).and_then(|mut value| {
            clean_all(&mut value);
            serde_json::from_value(value)
        });
        cleaned.map_err(|error| Problem::at(Place::default(), error.to_string()).into())
    }

    fn without_year(&self) -> Option<Problem> {
        let text = self.source.trim();
        let mut parts = text.split(|c: char| !c.is_ascii_digit());
        let dated = parts.any(|part| part.len() == 4) || text.contains("undated");
        if text.is_empty() || dated || source(text).is_some() {
            return None;
        }
        let what = format!("`source` is `{text}`, which states no year");
        let allowed = "title, author or publisher, and year, or the word `undated`";
        Some(Problem::at(Place::default(), what).allowed(allowed))
    }

    fn without_check_cell(&self) -> Option<Problem> {
        let problem = Problem::at(Place::default(), "`examples` has no check cell")
            .allowed("at least one printed cell or worked example of the source")
            .hint(
                "copy one from the publication, such as given = { buffer_ph = 6.4 }, target = 6.5, \
                 expect = 3500, tolerance = 0.5, locator = \"row 6.4\"; it is computed whenever \
                 the table is read",
            );
        self.examples.is_empty().then_some(problem)
    }

    /// Check cells that nearly any need would meet.
    fn loose_cells(&self) -> Vec<Problem> {
        let unit = self.need_unit.words();
        let least = self.need_unit.number(LimeNeed::from_kilograms_per_hectare(LEAST_TOLERANCE));
        let loose = |(at, example): (usize, &Example)| {
            let most = least.max(MOST_TOLERANCE * example.expect.abs());
            let what = format!("`examples[{at}].tolerance` is {}", example.tolerance);
            (example.tolerance > most).then(|| {
                Problem::at(Place::default(), what)
                    .allowed(format!("at most {} {unit}", plain(most, 0, 4)))
                    .hint("state half of the last printed digit, so that the cell checks something")
            })
        };
        self.examples.iter().enumerate().filter_map(loose).collect()
    }
}

fn clean_all(value: &mut Value) {
    match value {
        Value::String(text) => *text = text.chars().map(harmless).collect(),
        Value::Array(list) => list.iter_mut().for_each(clean_all),
        Value::Object(fields) => fields.values_mut().for_each(clean_all),
        _ => {}
    }
}

/// A check cell that does not come out, with what to do about it.
fn with_a_way_out(problem: Problem) -> Problem {
    if !problem.hint.is_empty() {
        return problem;
    }
    problem.hint(
        "hold the rows, the unit and this cell against the publication: a number was copied \
         wrongly, or the rows are to be read in another way (`between`)",
    )
}

#[cfg(test)]
mod tests {
    use super::super::registry::TABLES;
    use super::*;
    use crate::agronomy::LimeMethod;

    fn table() -> MethodTable {
        let mut table = MethodTable::from_json(TABLES[0].1).unwrap();
        table.source = "Lime by buffer, Example Institute, 2001".to_owned();
        table
    }

    #[test]
    fn an_own_table_is_called_by_its_file() {
        let method = table().into_own_method("my.toml").unwrap();
        assert_eq!(method.card().id, "file:my.toml");
        assert_eq!(method.card().title, "SMP buffer pH, Iowa (your own table my.toml)");
        assert_eq!(method.card().own_table.as_deref(), Some("my.toml"));
        assert_eq!(own_table_file("file: my.toml"), Some("my.toml"));
        assert_eq!(own_table_file("smp-iowa"), None);
    }

    #[test]
    fn what_is_missing_or_does_not_come_out_is_refused_together() {
        let mut bare = table();
        bare.source = "A leaflet".to_owned();
        bare.examples.clear();
        bare.basis = "lime".to_owned();
        let said = bare.into_own_method("my.toml").unwrap_err().to_string();
        for part in ["states no year", "no check cell", "`basis` is `lime`"] {
            assert!(said.contains(part), "{part}: {said}");
        }
        let mut off = table();
        off.rows[3].needs[0] = 3600.0;
        let said = off.into_own_method("my.toml").unwrap_err().to_string();
        assert!(said.contains("`examples[0]` comes out as 3600"), "{said}");
        assert!(said.contains("3500 lb/ac") && said.contains("publication"), "{said}");
    }

    #[test]
    fn a_check_cell_reads_what_can_be_read_and_checks_something() {
        let refused = |change: fn(&mut Example)| {
            let mut table = table();
            change(&mut table.examples[0]);
            table.into_own_method("my.toml").unwrap_err().to_string()
        };
        let said = refused(|cell| cell.given.buffer_ph = Some(1e308));
        assert!(said.contains("`examples[0].given.buffer_ph` is 1"), "{said}");
        let said = refused(|cell| cell.tolerance = 0.06 * cell.expect);
        assert!(said.contains("`examples[0].tolerance` is 210") && said.contains("175"), "{said}");
        let said = refused(|cell| cell.expect = 1e9);
        assert!(said.contains("`examples[0].expect` is 1"), "{said}");
    }

    #[test]
    fn what_a_terminal_obeys_is_taken_out_of_its_words() {
        let mut table = table();
        table.notes.push("red \u{1b}[31m".to_owned());
        let method = table.into_own_method("my.toml").unwrap();
        assert!(method.card().notes.iter().all(|note| !note.contains('\u{1b}')));
    }
}
