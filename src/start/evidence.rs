//! Which attribute of the boundaries names the fields: the one in which the names are found that the
//! samples give.

use crate::findings::{Place, Problem, Refusal, clean, first_of};
use crate::inputs::{FeatureLayer, match_names};

/// Values of an attribute that are shown.
const SHOWN: usize = 5;

/// An attribute, and how it was found.
pub(super) struct NamingAttribute {
    /// Its place among the attributes.
    pub(super) at: usize,
    /// How many of the names stand in it.
    pub(super) hits: usize,
}

/// The attribute in which most of `names` are found, as they are matched.
///
/// # Errors
/// Refuses where none has any of them, and where several have as many and are not the same in every
/// feature.
pub(super) fn naming_attribute(
    layer: &FeatureLayer,
    names: &[&str],
    (column, samples): (&str, &str),
) -> Result<NamingAttribute, Refusal> {
    let place = Place::in_file(&layer.file);
    let hits_of = |at: usize| {
        let matches = match_names(names, &distinct(layer, at));
        let certain = matches.of_wanted.iter().flatten().count();
        let in_doubt: usize = matches.clashes.iter().map(|clash| clash.wanted.len()).sum();
        certain + in_doubt
    };
    let hits: Vec<usize> = (0..layer.columns.len()).map(hits_of).collect();
    let most = hits.iter().copied().max().unwrap_or(0);
    if most == 0 {
        let what = format!(
            "no attribute holds a name of the fields in the column `{}` of {}: {}",
            clean(column),
            clean(samples),
            first_of(names, SHOWN)
        );
        return Err(Problem::at(place, what)
            .allowed(attributes_in_words(layer, 0..layer.columns.len()))
            .hint("write the names alike in both files, or name another column with --field-column")
            .into());
    }
    let best: Vec<usize> = (0..hits.len()).filter(|&at| hits[at] == most).collect();
    let first = best[0];
    let same = |&at: &usize| layer.features.iter().all(|f| value(f, at) == value(f, first));
    if best.iter().all(same) {
        return Ok(NamingAttribute { at: first, hits: most });
    }
    let what = format!("several attributes hold {most} of the names of the fields");
    Err(Problem::at(place, what)
        .allowed(attributes_in_words(layer, best))
        .hint("say which one with --field-attribute")
        .into())
}

fn value(feature: &crate::inputs::Feature, at: usize) -> &str {
    feature.attributes.get(at).map_or("", |text| text.trim())
}

/// The different values of an attribute, in order.
fn distinct(layer: &FeatureLayer, at: usize) -> Vec<&str> {
    let mut values: Vec<&str> = layer.features.iter().map(|feature| value(feature, at)).collect();
    values.sort_unstable();
    values.dedup();
    values.retain(|value| !value.is_empty());
    values
}

fn attributes_in_words(layer: &FeatureLayer, columns: impl IntoIterator<Item = usize>) -> String {
    let words: Vec<String> = columns
        .into_iter()
        .map(|at| {
            let values = first_of(&distinct(layer, at), SHOWN);
            format!("`{}` ({values})", clean(&layer.columns[at]))
        })
        .collect();
    if words.is_empty() { "features with attributes".to_owned() } else { words.join(", ") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inputs::{CoordinateSystem, Feature, RawGeometry};

    fn layer(columns: &[&str], rows: &[&[&str]]) -> FeatureLayer {
        let feature = |(at, cells): (usize, &&[&str])| Feature {
            number: at + 1,
            geometry: RawGeometry::default(),
            attributes: cells.iter().map(|&cell| cell.to_owned()).collect(),
        };
        FeatureLayer {
            file: "f.geojson".to_owned(),
            system: CoordinateSystem::Wgs84Degrees,
            columns: columns.iter().map(|&column| column.to_owned()).collect(),
            features: rows.iter().enumerate().map(feature).collect(),
        }
    }

    fn found(layer: &FeatureLayer, names: &[&str]) -> Result<usize, String> {
        let found = naming_attribute(layer, names, ("Field", "s.csv"));
        found.map(|found| found.at).map_err(|refusal| refusal.to_string())
    }

    #[test]
    fn the_attribute_with_most_of_the_names_is_taken_and_a_tie_is_refused() {
        let rows: &[&[&str]] = &[&["1", "North", "7"], &["2", "SOUTH ", "1"], &["3", "West", "9"]];
        let three = layer(&["no", "name", "key"], rows);
        assert_eq!(found(&three, &["north", "South", "2"]), Ok(1));
        let said = found(&three, &["1"]).unwrap_err();
        assert!(said.contains("`no` (1, 2, 3), `key` (1, 7, 9)"), "{said}");
        assert!(said.contains("--field-attribute"), "{said}");
        let said = found(&three, &["East"]).unwrap_err();
        assert!(said.contains("of the fields in the column `Field` of s.csv: East"), "{said}");
        let twins = layer(&["a", "b"], &[&["North", "North"], &["South", "South"]]);
        assert_eq!(found(&twins, &["North"]), Ok(0), "the same in every feature");
    }
}
