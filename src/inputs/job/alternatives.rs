//! Keys that say the same in different ways: where a job says it in one, what it shares with
//! others in another way is not for it.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::shared::is_blank;

/// A table, and the ways in which one thing may be said in it, by their keys.
type Ways = (&'static [&'static str], &'static [&'static [&'static str]]);

const WAYS: [Ways; 7] = [
    (
        &["target"],
        &[&["ph"], &["crop"], &["rotation"], &["base_saturation"], &["aluminium_saturation"]],
    ),
    (&["samples"], &[&["sampled_depth"], &["layers"]]),
    (
        &["material"],
        &[
            &["effective"],
            &["ecce"],
            &["env"],
            &["rnv"],
            &["ecc"],
            &["prnt"],
            &["enp"],
            &["enm"],
            &["cce", "nv", "nv_basis", "composition", "composition_basis", "oxides", "fineness"],
        ],
    ),
    (
        &["material"],
        &[&["cce"], &["nv", "nv_basis"], &["composition", "composition_basis", "oxides"]],
    ),
    (&["material", "fineness"], &[&["passing"], &["between"], &["retained"]]),
    (&["spreader"], &[&["min_rate", "max_rate", "step"], &["rates"]]),
    (&["rate_areas"], &[&["rates_at_most"], &["tolerance"]]),
];

/// What says which entry of a list a material is, and what may stand beside that.
const FROM: &str = "from";
const OF_AN_ENTRY: [&str; 2] = ["name", "lot"];
const BESIDE: [&str; 3] = ["name", "lot", "quality"];

/// Leaves out of what is `shared` all that `job` says in another way.
pub(super) fn leave_out_others(shared: &mut DeTable<'_>, job: &DeTable<'_>) {
    for (path, ways) in WAYS {
        let (Some(own), Some(shared)) = (inner(job, path), inner_mut(shared, path)) else {
            continue;
        };
        let said: Vec<bool> = ways.iter().map(|way| states_any(own, way)).collect();
        for (at, way) in ways.iter().enumerate() {
            if !said[at] && said.contains(&true) {
                remove(shared, way);
            }
        }
    }
    if let (Some(own), Some(shared)) = (inner(job, &["material"]), inner_mut(shared, &["material"]))
    {
        leave_out_other_material(shared, own);
    }
}

/// A material is taken from a list or described, and not both.
fn leave_out_other_material(shared: &mut DeTable<'_>, own: &DeTable<'_>) {
    let describes = |key: &str| key != FROM && !BESIDE.contains(&key);
    if states_any(own, &[FROM]) {
        let others: Vec<String> = keys(shared).filter(|key| describes(key)).collect();
        for key in others {
            shared.remove(key.as_str());
        }
    } else if keys(own).any(|key| describes(&key) && states_any(own, &[&key]))
        && states_any(shared, &[FROM])
    {
        remove(shared, &[FROM]);
        remove(shared, &OF_AN_ENTRY);
    }
}

fn keys(table: &DeTable<'_>) -> impl Iterator<Item = String> {
    table.keys().map(|key| key.get_ref().to_string()).collect::<Vec<_>>().into_iter()
}

fn states_any(table: &DeTable<'_>, keys: &[&str]) -> bool {
    keys.iter().any(|key| table.get(*key).is_some_and(|value| !is_blank(value.get_ref())))
}

fn remove(table: &mut DeTable<'_>, keys: &[&str]) {
    for key in keys {
        table.remove(*key);
    }
}

fn inner<'a, 't>(table: &'a DeTable<'t>, path: &[&str]) -> Option<&'a DeTable<'t>> {
    path.iter().try_fold(table, |table, key| match table.get(*key)?.get_ref() {
        DeValue::Table(inner) => Some(inner),
        _ => None,
    })
}

fn inner_mut<'a, 't>(table: &'a mut DeTable<'t>, path: &[&str]) -> Option<&'a mut DeTable<'t>> {
    path.iter().try_fold(table, |table, key| match Spanned::get_mut(table.get_mut(*key)?) {
        DeValue::Table(inner) => Some(inner),
        _ => None,
    })
}

#[cfg(test)]
mod tests {
    use super::super::file::job_file_schema;
    use super::super::parse::properties;
    use super::*;
    use crate::material::all_ratings;

    fn left(shared: &str, job: &str) -> Vec<String> {
        let mut shared = DeTable::parse(shared).unwrap();
        let job = DeTable::parse(job).unwrap();
        leave_out_others(shared.get_mut(), job.get_ref());
        let mut left = Vec::new();
        for (table, value) in shared.get_ref() {
            let DeValue::Table(inner) = value.get_ref() else { continue };
            left.extend(keys(inner).map(|key| format!("{}.{key}", table.get_ref())));
        }
        left.sort();
        left
    }

    #[test]
    fn what_a_job_says_in_another_way_is_not_shared_with_it() {
        let shared = "[target]\nph = 6.5\ntreat_below = 6\n[spreader]\nmin_rate = \"1 ton/ac\"\n\
                      step = \"1 ton/ac\"\npayload = \"16 ton\"\n";
        assert_eq!(
            left(shared, "[target]\ncrop = \"alfalfa\"\n[spreader]\nrates = []\n"),
            ["spreader.payload", "target.treat_below"]
        );
        assert_eq!(left(shared, "[target]\ncrop = \"?\"\n[spreader]\nmax_rate = \"x\"\n").len(), 5);
        assert_eq!(left(shared, "units = \"us\"\n").len(), 5);
    }

    #[test]
    fn a_material_is_one_thing() {
        let listed = "[material]\nfrom = \"m.toml\"\nname = \"A\"\nlot = \"1\"\nquality = \"q\"\n";
        let own = "[material]\nkind = \"calcitic limestone\"\neffective = \"50 % dry\"\n";
        assert_eq!(left(listed, own), ["material.quality"]);
        assert_eq!(left(listed, "[material]\nname = \"B\"\n").len(), 4);
        let described = "[material]\nname = \"A\"\nkind = \"x\"\ncce = \"90 % dry\"\n\
                         moisture = \"5 %\"\nfineness = {}\n";
        assert_eq!(left(described, "[material]\nfrom = \"m.toml\"\n"), ["material.name"]);
        assert_eq!(left(described, own), ["material.kind", "material.moisture", "material.name"]);
        let nv = "[material]\nnv = \"50 % dry\"\n";
        assert!(!left(described, nv).contains(&"material.cce".to_owned()));
        assert!(left(described, nv).contains(&"material.fineness".to_owned()));
    }

    #[test]
    fn every_key_is_one_and_every_rating_has_its_way() {
        let schema = job_file_schema();
        for (path, ways) in WAYS {
            let table = path
                .iter()
                .fold(schema.clone(), |at, key| properties(&at, &schema).unwrap()[*key].clone());
            let known = properties(&table, &schema).unwrap();
            for key in ways.iter().copied().flatten() {
                assert!(known.contains_key(*key), "{path:?} {key}");
            }
        }
        let of_material = WAYS[2].1;
        for rating in all_ratings() {
            assert!(of_material.contains(&&[rating.key][..]), "{}", rating.key);
        }
    }
}
