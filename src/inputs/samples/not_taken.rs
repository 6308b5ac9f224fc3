//! What a table holds and a job takes from another one: it is told, because a column that is
//! quietly left aside looks as if it counted.

use super::header::{Role, find_column};
use crate::findings::{Finding, Place, clean};
use crate::inputs::Table;
use crate::inputs::job::{Attributes, SamplesPart};
use crate::units::SoilAttribute;

/// One finding that names all such columns, where there are any.
pub(super) fn not_taken(table: &Table, part: &SamplesPart, head: &Place) -> Option<Finding> {
    let (key, why) = match &part.attributes {
        Attributes::All => return None,
        Attributes::AllBut(_) => (
            "columns_left_to_zones",
            "are taken from the zones, as samples.by_zone says, and these columns of the samples \
             are not used",
        ),
        Attributes::Exactly(_) => (
            "columns_left_to_points",
            "are not named by samples.by_zone, and these columns of the zones' results are not used",
        ),
    };
    let named = |attribute: SoilAttribute| {
        let role = Role::of_attribute(attribute);
        // Of several such columns none is used either.
        let found = find_column(&table.headers, role, None, head).ok().flatten()?;
        Some(format!("{} (`{}`)", attribute.words(), clean(&table.headers[found])))
    };
    let others = SoilAttribute::all().filter(|&attribute| !part.attributes.take(attribute));
    let names: Vec<String> = others.filter_map(named).collect();
    let text = format!("These {why}: {}.", names.join(", "));
    (!names.is_empty()).then(|| Finding::at(key, Place::in_file(&table.file), text))
}
