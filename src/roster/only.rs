//! Which fields of a list are asked for.

use crate::findings::{Place, Problem, Refusal, clean, nearest_of};

/// A field as it may be asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Called<'a> {
    /// The name of its folder.
    pub id: &'a str,
    /// Its job, as the list has it.
    pub job: &'a str,
}

/// The places in the list, from 0 and in its order, of the fields that are asked for: all of them
/// where nothing is.
///
/// Each of `asked` holds, with commas between, places (`7`), ranges of them (`1-250`) counted from
/// 1, ids, and job paths as the list has them.
///
/// # Errors
/// Refuses what is none of these with the nearest, and a number that is a place and an id.
pub fn only(asked: &[String], fields: &[Called<'_>]) -> Result<Vec<usize>, Refusal> {
    if asked.is_empty() {
        return Ok((0..fields.len()).collect());
    }
    let mut wanted = vec![false; fields.len()];
    let mut problems = Vec::new();
    for word in asked.iter().flat_map(|text| words_of(text, fields)) {
        match places(word, fields) {
            Ok(places) => places.for_each(|at| wanted[at] = true),
            Err(problem) => problems.push(problem),
        }
    }
    if problems.is_empty() && !wanted.contains(&true) {
        problems.push(no_field(""));
    }
    let found = (0..fields.len()).filter(|&at| wanted[at]).collect();
    Refusal::unless_clean(problems, found)
}

/// The parts between commas; a job whose path has a comma is asked for alone.
fn words_of<'t>(text: &'t str, fields: &[Called<'_>]) -> Vec<&'t str> {
    if fields.iter().any(|field| field.job == text) {
        return vec![text];
    }
    text.split(',').map(str::trim).filter(|word| !word.is_empty()).collect()
}

fn places(word: &str, fields: &[Called<'_>]) -> Result<std::ops::Range<usize>, Problem> {
    let named = fields.iter().position(|field| field.id == word || field.job == word);
    let Some((from, to)) = range_of(word) else {
        return named.map(|at| at..at + 1).ok_or_else(|| unknown(word, fields));
    };
    if from == 0 || to < from || to > fields.len() {
        // A field may be called by a number, and no place is.
        return named.map(|at| at..at + 1).ok_or_else(|| beyond(word, fields.len()));
    }
    match named {
        Some(at) if (at + 1, at + 1) != (from, to) => Err(both(word, from, to, &fields[at])),
        _ => Ok(from - 1..to),
    }
}

fn range_of(word: &str) -> Option<(usize, usize)> {
    let number = |text: &str| {
        let digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
        // A number that no machine holds is beyond any list.
        digits.then(|| text.parse().unwrap_or(usize::MAX))
    };
    match word.split_once('-') {
        Some((from, to)) => Some((number(from.trim())?, number(to.trim())?)),
        None => number(word).map(|at| (at, at)),
    }
}

fn unknown(word: &str, fields: &[Called<'_>]) -> Problem {
    let names: Vec<&str> = fields.iter().flat_map(|field| [field.id, field.job]).collect();
    let hint = nearest_of(word, &names).map_or_else(
        || {
            "`limewright fields FIELDS.toml` prints the fields with the names of their folders"
                .to_owned()
        },
        |near| format!("did you mean `{near}`?"),
    );
    no_field(word).hint(hint)
}

fn no_field(word: &str) -> Problem {
    let what = match word {
        "" => "no field of the list is asked for".to_owned(),
        word => format!("no field of the list is called `{}`", clean(word)),
    };
    Problem::at(Place::in_file("--only"), what)
        .allowed("ranges of the list such as 1-250, names of fields, and jobs as the list has them")
}

fn beyond(word: &str, count: usize) -> Problem {
    let what = format!("`{}` is no range of a list of {count}", clean(word));
    Problem::at(Place::in_file("--only"), what)
        .allowed(format!("places from 1 to {count}, the smaller first"))
        .hint(format!("write 1-{count} for all of them"))
}

fn both(word: &str, from: usize, to: usize, field: &Called<'_>) -> Problem {
    let what = format!("`{word}` is a place in the list and the name of another field");
    let hint = if from == to {
        format!("write {from}-{to} for the place, `{}` for the field", clean(field.job))
    } else {
        format!("write `{}` for the field", clean(field.job))
    };
    Problem::at(Place::in_file("--only"), what).allowed("what can mean one of them only").hint(hint)
}

#[cfg(test)]
mod tests {
    use super::*;

    const FIELDS: [Called<'static>; 5] = [
        Called { id: "heron", job: "heron.toml" },
        Called { id: "linden", job: "jobs/linden.toml" },
        Called { id: "2", job: "2.toml" },
        Called { id: "4", job: "4.toml" },
        Called { id: "77", job: "a,b.toml" },
    ];

    fn found(asked: &[&str]) -> Result<Vec<usize>, String> {
        let asked: Vec<String> = asked.iter().map(|&word| word.to_owned()).collect();
        only(&asked, &FIELDS).map_err(|refusal| refusal.to_string())
    }

    #[test]
    fn ranges_and_names_are_found_in_the_order_of_the_list() {
        assert_eq!(found(&[]).unwrap(), [0, 1, 2, 3, 4]);
        assert_eq!(found(&["4-5, 1"]).unwrap(), [0, 3, 4]);
        assert_eq!(found(&["linden,heron", "heron.toml"]).unwrap(), [0, 1]);
        assert_eq!(found(&["jobs/linden.toml"]).unwrap(), [1]);
        assert_eq!(found(&["4"]).unwrap(), [3], "the place and the name are of one field");
        assert_eq!(found(&["77"]).unwrap(), [4]);
        assert_eq!(found(&["a,b.toml"]).unwrap(), [4]);
        assert_eq!(found(&["2-2"]).unwrap(), [1]);
    }

    #[test]
    fn what_is_not_there_is_refused_with_the_nearest() {
        for (asked, part) in [
            ("herron", "did you mean `heron`?"),
            ("0-3", "no range of a list of 5"),
            ("3-2", "places from 1 to 5"),
            ("6", "write 1-5"),
            ("99999999999999999999999", "no range"),
            ("2", "write 2-2 for the place, `2.toml` for the field"),
            (",", "no field of the list"),
            ("", "no field of the list"),
        ] {
            let said = found(&[asked]).unwrap_err();
            assert!(said.contains(part), "{asked}: {said}");
        }
        assert_eq!(found(&["x1", "y2"]).unwrap_err().lines().count(), 2);
    }
}
