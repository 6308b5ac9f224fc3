//! The fields that a list of jobs names, found among those that there are.

use crate::findings::{Place, Problem, Refusal, nearest_of};
use crate::inputs::{AllotmentPart, NamedInPlan};
use crate::roster::FieldRow;

/// The fields that the list names.
pub(super) struct Flags {
    pub(super) must: Vec<usize>,
    pub(super) priority: Vec<usize>,
    pub(super) not_now: Vec<bool>,
    /// Where those that must get lime are named.
    pub(super) must_at: Option<Place>,
}

impl Flags {
    /// Finds them among the finished fields; `failed` are the names of the others.
    ///
    /// # Errors
    /// Refuses names that no field has, or several, and fields that are named twice.
    pub(super) fn of(
        rows: &[&FieldRow],
        failed: &[&str],
        asked: &AllotmentPart,
    ) -> Result<Self, Refusal> {
        let lists = [
            found("must", &asked.must, rows, failed),
            found("priority", &asked.priority, rows, failed),
            found("not_this_year", &asked.not_this_year, rows, failed),
        ];
        let mut problems = Vec::new();
        let mut all = lists.map(|list| {
            list.unwrap_or_else(|refusal| {
                problems.extend(refusal.into_problems());
                Vec::new()
            })
        });
        // A field may be named in two ways.
        let mut named = vec![false; rows.len()];
        for (list, names) in all.iter().zip([&asked.must, &asked.priority, &asked.not_this_year]) {
            for (&at, name) in list.iter().zip(names.iter()) {
                if std::mem::replace(&mut named[at], true) && problems.is_empty() {
                    let what = format!(
                        "`{}` is the field `{}`, which is named twice",
                        name.name, rows[at].id
                    );
                    problems.push(
                        Problem::at(name.place.clone(), what)
                            .allowed("each field once in `must`, `not_this_year` or `priority`")
                            .hint("name fields by their folders"),
                    );
                }
            }
        }
        let mut not_now = vec![false; rows.len()];
        for &at in &all[2] {
            not_now[at] = true;
        }
        let must_at = asked.must.first().map(|name| name.place.clone());
        let flags = Self {
            must: std::mem::take(&mut all[0]),
            priority: std::mem::take(&mut all[1]),
            not_now,
            must_at,
        };
        Refusal::unless_clean(problems, flags)
    }
}

/// The numbers of the fields that `names` names, by their ids, or by their own names where one field
/// alone has it.
///
/// # Errors
/// Refuses names that no field has, and those that several have.
fn found(
    list: &str,
    names: &[NamedInPlan],
    rows: &[&FieldRow],
    failed: &[&str],
) -> Result<Vec<usize>, Refusal> {
    let mut problems = Vec::new();
    let mut numbers = Vec::new();
    for NamedInPlan { name, place } in names {
        let by_id = rows.iter().position(|row| row.id == *name);
        let by_name: Vec<usize> =
            (0..rows.len()).filter(|&at| rows[at].field.name == *name).collect();
        match (by_id, by_name.as_slice()) {
            (Some(at), _) => numbers.push(at),
            (None, [at]) => numbers.push(*at),
            (None, []) if failed.contains(&name.as_str()) => {
                let what =
                    format!("`allotment.{list}` names `{name}`, and that field has no result");
                problems.push(
                    Problem::at(place.clone(), what)
                        .allowed("the names of fields that were prescribed")
                        .hint(
                            "put right why it failed and run it again, or take it out of the list",
                        ),
                );
            }
            (None, []) => {
                let ids: Vec<&str> = rows.iter().map(|row| row.id.as_str()).collect();
                let hint = nearest_of(name, &ids).map_or_else(
                    || "the names of the folders of the fields are taken".to_owned(),
                    |near| format!("did you mean `{near}`?"),
                );
                let what = format!("`allotment.{list}` names `{name}`, and no field is called so");
                problems.push(
                    Problem::at(place.clone(), what)
                        .allowed("the names of fields that were prescribed")
                        .hint(hint),
                );
            }
            (None, several) => {
                let ids: Vec<&str> = several.iter().map(|&at| rows[at].id.as_str()).collect();
                let what = format!(
                    "`allotment.{list}` names `{name}`, and {} fields are called so",
                    several.len()
                );
                problems.push(
                    Problem::at(place.clone(), what)
                        .allowed(format!("one of them: {}", ids.join(", ")))
                        .hint("name it by its folder"),
                );
            }
        }
    }
    Refusal::unless_clean(problems, numbers)
}
