//! Choosing features by their attributes.

use super::{data, read_as, read_wanted, said};
use crate::findings::Refusal;
use crate::inputs::features::{ReadFeatures, Wanted};

fn fields() -> String {
    let feature = |name: &str, year: u32| {
        format!(
            "{{\"type\":\"Feature\",\"properties\":{{\"Field\":\"{name} \",\"year\":{year}}},\"geometry\":null}}"
        )
    };
    let features = [feature("North", 2024), feature("North", 2025), feature("South", 2025)];
    format!("{{\"type\":\"FeatureCollection\",\"features\":[{}]}}", features.join(","))
}

fn select(pairs: &[(&str, &str)]) -> Result<ReadFeatures, Refusal> {
    let folder = super::folder_of(&[("f.json", fields().as_bytes())]);
    let select = pairs.iter().map(|(c, v)| ((*c).to_owned(), (*v).to_owned())).collect();
    read_wanted(&folder.path().join("f.json"), &Wanted { select, ..Wanted::default() })
}

#[test]
fn all_wanted_values_must_match() {
    let numbers = |read: ReadFeatures| -> Vec<usize> {
        read.layer.features.iter().map(|feature| feature.number).collect()
    };
    assert_eq!(numbers(select(&[("Field", "North")]).unwrap()), [1, 2]);
    assert_eq!(numbers(select(&[("field", " North "), ("year", "2025")]).unwrap()), [2]);
    assert_eq!(numbers(read_as("f.json", fields().as_bytes()).unwrap()), [1, 2, 3]);
}

#[test]
fn what_is_not_there_lists_the_choices() {
    let said_of = |pairs: &[(&str, &str)]| said(select(pairs));
    let value = said_of(&[("Field", "East")]);
    assert!(value.contains("`North`, `South`") && value.contains("Field = \"East\""), "{value}");
    let column = said_of(&[("Fields", "North")]);
    assert!(column.contains("did you mean `Field`"), "{column}");
    let second = said_of(&[("Field", "North"), ("year", "1999")]);
    assert!(second.contains("`2024`, `2025`"), "{second}");
    let apart = said_of(&[("Field", "South"), ("year", "2024")]);
    assert!(apart.contains("Field = \"South\" and year = \"2024\""), "{apart}");
}

#[test]
fn at_most_twenty_choices_are_listed() {
    let features: Vec<String> = (0..25)
        .map(|n| format!("{{\"type\":\"Feature\",\"properties\":{{\"n\":{n}}},\"geometry\":null}}"))
        .collect();
    let text = format!("{{\"type\":\"FeatureCollection\",\"features\":[{}]}}", features.join(","));
    let folder = super::folder_of(&[("f.json", text.as_bytes())]);
    let select = vec![("n".to_owned(), "99".to_owned())];
    let said =
        said(read_wanted(&folder.path().join("f.json"), &Wanted { select, ..Wanted::default() }));
    assert!(said.contains("`19`, and 5 more") && !said.contains("`20`"), "{said}");
}

#[test]
fn a_layer_that_a_single_file_does_not_have_is_refused() {
    let wanted = |layer: &str| Wanted { layer: Some(layer.to_owned()), ..Wanted::default() };
    let path = data("pain/square.geojson");
    assert!(read_wanted(&path, &wanted("square")).is_ok());
    assert!(said(read_wanted(&path, &wanted("circle"))).contains("`square`"));
}
