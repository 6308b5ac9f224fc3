//! What jobs share that would hold beside the material and the haul of a supplier.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::alternatives::leave_out_others;
use super::file::JobFile;

/// Keys of `[haul]` that are the field's own, whoever supplies it.
const OF_THE_FIELD: [&str; 3] = ["haul.one_way_distance", "haul.drop_site", "haul.spreading_cost"];

/// The keys of the shared `[material]` and `[haul]` that stay where a job has the tables in `own`,
/// which are laid over the shared ones key by key; such as `material.moisture`.
pub(super) fn shared_beside(shared: &JobFile, own: &str) -> Vec<String> {
    let of_both = JobFile {
        material: shared.material.clone(),
        haul: shared.haul.clone(),
        ..JobFile::default()
    };
    let Ok(text) = toml::to_string(&of_both) else { return Vec::new() };
    let (Ok(mut shared), Ok(own)) = (DeTable::parse(&text), DeTable::parse(own)) else {
        return Vec::new();
    };
    leave_out_others(shared.get_mut(), own.get_ref());
    let mut keys = Vec::new();
    left(shared.get_ref(), Some(own.get_ref()), "", &mut keys);
    keys.retain(|key| !OF_THE_FIELD.contains(&key.as_str()));
    keys
}

/// The keys of `shared` that `own` does not state; tables are gone through.
fn left(shared: &DeTable<'_>, own: Option<&DeTable<'_>>, above: &str, keys: &mut Vec<String>) {
    for (key, value) in shared {
        let key = key.get_ref().as_ref();
        let beside = own.and_then(|own| own.get(key)).map(Spanned::get_ref);
        let path = if above.is_empty() { key.to_owned() } else { format!("{above}.{key}") };
        match (value.get_ref(), beside) {
            (DeValue::Table(inner), Some(DeValue::Table(own))) => {
                left(inner, Some(own), &path, keys);
            }
            (DeValue::Table(inner), None) if above.is_empty() => left(inner, None, &path, keys),
            (_, Some(_)) => {}
            (_, None) => keys.push(path),
        }
    }
}
