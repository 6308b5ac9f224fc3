//! The methods that come with the program.

use std::sync::LazyLock;

use super::{LimeMethod, MethodTable};
use crate::findings::{Place, Problem, Refusal, nearest_of};

/// All methods that come with the program, in the order in which they are listed to a user.
pub fn all_methods() -> &'static [Box<dyn LimeMethod>] {
    &METHODS
}

/// The method called `id`.
///
/// # Errors
/// Refuses a name that no method has, with the nearest one and all of them.
pub fn method(id: &str) -> Result<&'static dyn LimeMethod, Refusal> {
    if let Some(method) = all_methods().iter().find(|method| method.card().id == id) {
        return Ok(method.as_ref());
    }
    let ids: Vec<&str> = all_methods().iter().map(|method| method.card().id.as_str()).collect();
    let hint = nearest_of(id, &ids).map_or_else(
        || "`limewright methods` lists them".to_owned(),
        |near| format!("did you mean `{near}`?"),
    );
    let what = format!("there is no lime-need method `{id}`");
    Err(Problem::at(Place::default(), what).allowed(ids.join(", ")).hint(hint).into())
}

/// The names of the methods whose columns serve this target, each in its own medium.
pub(super) fn ids_serving(target_ph: f64) -> Vec<&'static str> {
    let cards = all_methods().iter().map(|method| method.card());
    cards.filter(|card| card.serves(target_ph)).map(|card| card.id.as_str()).collect()
}

/// The names of the methods whose sources state the depth that their needs are for.
pub(super) fn ids_with_a_depth() -> Vec<&'static str> {
    let cards = all_methods().iter().map(|method| method.card());
    cards.filter(|card| card.depth.is_some()).map(|card| card.id.as_str()).collect()
}

/// The tables as they lie in the source tree, each under its file name.
pub(super) const TABLES: [(&str, &str); 6] = [
    ("iowa2002_smp.json", include_str!("tables/iowa2002_smp.json")),
    (
        "buyinggroup_undated_ph_arable.json",
        include_str!("tables/buyinggroup_undated_ph_arable.json"),
    ),
    ("buyinggroup_undated_ph_grass.json", include_str!("tables/buyinggroup_undated_ph_grass.json")),
    ("oregon2025_sikora.json", include_str!("tables/oregon2025_sikora.json")),
    ("pennsylvania_undated_acidity.json", include_str!("tables/pennsylvania_undated_acidity.json")),
    (
        "northcarolina_undated_mehlich.json",
        include_str!("tables/northcarolina_undated_mehlich.json"),
    ),
];

/// The tables are part of the program, so a fault in one is a fault of the program, which the
/// tests find before a user can.
static METHODS: LazyLock<Vec<Box<dyn LimeMethod>>> = LazyLock::new(|| {
    let read = |(_, text): (&str, &str)| -> Box<dyn LimeMethod> {
        let method = MethodTable::from_json(text).and_then(MethodTable::into_method);
        Box::new(method.expect("the program's own tables are well formed"))
    };
    TABLES.into_iter().map(read).collect()
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_method_is_found_by_its_name() {
        assert_eq!(method("smp-iowa").expect("known").card().id, "smp-iowa");
    }

    #[test]
    fn an_unknown_name_is_refused_with_the_nearest_and_all_of_them() {
        let refusal = method("smp-iwoa").expect_err("unknown");
        let problem = &refusal.problems()[0];
        assert_eq!(problem.hint, "did you mean `smp-iowa`?");
        let all: Vec<&str> = all_methods().iter().map(|method| method.card().id.as_str()).collect();
        assert_eq!(problem.allowed, all.join(", "));
        assert!(problem.what.contains("`smp-iwoa`"));
    }
}
