//! The methods that come with the program.

use std::path::Path;
use std::sync::{Arc, LazyLock};

use super::{Aim, LAB_RECOMMENDATION, LimeMethod, MethodCard, MethodTable, Target};
use crate::findings::{Place, Problem, Refusal, nearest_of};

/// All methods that come with the program, in the order in which they are listed to a user.
pub fn all_methods() -> &'static [Arc<dyn LimeMethod>] {
    &METHODS
}

/// The method called `id`.
///
/// # Errors
/// Refuses a name that no method has, with the nearest one and all of them.
pub fn method(id: &str) -> Result<&'static Arc<dyn LimeMethod>, Refusal> {
    if let Some(method) = all_methods().iter().find(|method| method.card().id == id) {
        return Ok(method);
    }
    let ids: Vec<&str> = all_methods().iter().map(|method| method.card().id.as_str()).collect();
    let hint = match nearest_of(id, &ids) {
        _ if is_a_table_file(id) => {
            format!("a table of your own is asked for as `file:{id}`")
        }
        _ if id == LAB_RECOMMENDATION => {
            "it has no table: a job that takes it states in [need.lab] what is recommended"
                .to_owned()
        }
        Some(near) => format!("did you mean `{near}`?"),
        None => "`limewright methods` lists them".to_owned(),
    };
    let what = format!("there is no lime-need method `{id}`");
    Err(Problem::at(Place::default(), what).allowed(ids.join(", ")).hint(hint).into())
}

/// Whether a name is that of a file that may hold a table.
fn is_a_table_file(name: &str) -> bool {
    let ending = Path::new(name).extension();
    ending.is_some_and(|it| it.eq_ignore_ascii_case("toml") || it.eq_ignore_ascii_case("json"))
}

/// The names of the methods that serve this target; a pH each in its own medium.
pub(super) fn ids_serving(target: Target) -> Vec<&'static str> {
    proposed(|card| card.serves(target))
}

/// The names of the methods that lime to targets of this kind.
pub(super) fn ids_taking(aim: Aim) -> Vec<&'static str> {
    proposed(|card| card.aim == aim)
}

/// The names of the methods whose sources state the depth that their needs are for.
pub(super) fn ids_with_a_depth() -> Vec<&'static str> {
    proposed(|card| card.depth.is_some())
}

/// The names of the methods of which something holds; one written from memory is never proposed.
fn proposed(holds: impl Fn(&MethodCard) -> bool) -> Vec<&'static str> {
    let cards = all_methods().iter().map(|method| method.card());
    let fit = cards.filter(|card| !card.from_memory && holds(card));
    fit.map(|card| card.id.as_str()).collect()
}

/// A table under its file name.
macro_rules! table {
    ($name:literal) => {
        ($name, include_str!(concat!("tables/", $name)))
    };
}

/// The tables as they lie in the source tree, each under its file name; those from memory last.
pub(super) const TABLES: [(&str, &str); 25] = [
    table!("iowa2002_smp.json"),
    table!("buyinggroup_undated_ph_arable.json"),
    table!("buyinggroup_undated_ph_grass.json"),
    table!("oregon2025_sikora.json"),
    table!("pennsylvania_undated_acidity.json"),
    table!("northcarolina_undated_mehlich.json"),
    table!("pennsylvania_undated_turf.json"),
    table!("vermont_undated_aluminium.json"),
    table!("undated_ph_texture.json"),
    table!("southernfarming_undated_texture.json"),
    table!("australia_undated_texture.json"),
    table!("greatlakes_undated_weakly.json"),
    table!("westerngreece_2012_titration.json"),
    table!("georgia_2010_titration.json"),
    table!("brazil2010_base_saturation.json"),
    table!("brazil_paraiba_base_saturation.json"),
    table!("brazil_pernambuco_base_saturation.json"),
    table!("brazil2003_caiua_base_saturation.json"),
    table!("tropical1980_aluminium_saturation.json"),
    table!("minnesota_undated_sikora.json"),
    table!("adamsevans_1962_equation.json"),
    table!("northcentral_1980s_smp.json"),
    table!("brazilsouth_2016_smp.json"),
    table!("kansas_undated_smp.json"),
    table!("michigan_1995_smp.json"),
];

/// The tables are part of the program, so a fault in one is a fault of the program, which the
/// tests find before a user can.
static METHODS: LazyLock<Vec<Arc<dyn LimeMethod>>> = LazyLock::new(|| {
    let read = |(_, text): (&str, &str)| -> Arc<dyn LimeMethod> {
        let method = MethodTable::from_json(text).and_then(MethodTable::into_method);
        Arc::new(method.expect("the program's own tables are well formed"))
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
