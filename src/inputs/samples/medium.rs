//! A column that says what each pH was read in, held against the medium that the job states.

use super::header::{Role, find_column, fits_medium, liquid_named, proportion_named};
use crate::findings::{Place, Problem, clean};
use crate::inputs::Table;
use crate::inputs::job::SamplesPart;
use crate::units::PhMedium;

/// Whether what is stated names this proportion, or none.
fn fits_proportion(stated: &str, named: &str) -> bool {
    !stated.contains(':') || stated.ends_with(named)
}

/// Every row whose pH was read in another medium than the job's. Words that name none say nothing.
pub(super) fn other_media(
    table: &Table,
    part: &SamplesPart,
    id: Option<usize>,
    head: &Place,
) -> Vec<Problem> {
    if part.ph_by_row {
        return Vec::new();
    }
    // Of several such columns none is known to speak of the pH.
    let Ok(Some(at)) = find_column(&table.headers, Role::PhMethod, None, head) else {
        return Vec::new();
    };
    let stated = part.ph_medium.words();
    let mut problems = Vec::new();
    for row in &table.rows {
        let text = row.cells[at].as_str();
        let Some(liquid) = liquid_named(text) else { continue };
        let proportion = proportion_named(text);
        let fits = fits_medium(liquid, part.ph_medium)
            && (liquid == "CaCl2" || proportion.is_none_or(|named| fits_proportion(stated, named)))
            && (liquid != "CaCl2"
                || PhMedium::from_words(text).is_none_or(|named| named == part.ph_medium));
        if !fits {
            let sample = id.map(|at| row.cells[at].clone());
            let place = Place { sample, ..table.place(row, Some(at)) };
            let what = format!(
                "the pH was read in `{}`, and the job says that all were read in {stated}",
                clean(text)
            );
            problems.push(
                Problem::at(place, what)
                    .allowed("samples whose pH was read in one medium, the one that the job states")
                    .hint(
                        "correct samples.ph_measured_in; or have these samples read again in the \
                         same medium, as what lies between the two is not the same for every \
                         soil; or convert each row by samples.ph_measured_in = \"column\" and \
                         samples.ph_converted_to",
                    ),
            );
        }
    }
    problems
}
