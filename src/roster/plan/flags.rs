//! The fields that a list of jobs names, found among those that there are.

use crate::findings::{Problem, Refusal, nearest_of};
use crate::inputs::NamedInPlan;
use crate::roster::FieldRow;

/// The numbers of the fields that `names` names, by their ids, or by their own names where one field
/// alone has it.
///
/// # Errors
/// Refuses names that no field has, and those that several have.
pub(super) fn found(
    list: &str,
    names: &[NamedInPlan],
    rows: &[&FieldRow],
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
