//! How long lime may last: what nitrogen and crops use of it in a year, by publications that
//! disagree, and what a long trial lost.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::sources::source;
use crate::units::LimeNeed;

/// What happens on the field each year.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Upkeep {
    /// Nitrogen that is given, by its form, in kilograms of N a hectare.
    pub nitrogen_kg_per_ha: Vec<(&'static str, f64)>,
    /// What is carried off, by its product, in tonnes a hectare.
    pub removal_t_per_ha: Vec<(&'static str, f64)>,
}

/// What one publication says is used in a year.
#[derive(Clone, Debug, PartialEq)]
pub struct YearlyUse {
    /// The publications, and the places in them.
    pub source: String,
    /// What is counted.
    pub counts: &'static str,
    /// What is used, as CaCO3; `None` where the publication has no figure for a form of nitrogen
    /// that is given.
    pub used: Option<LimeNeed>,
}

impl YearlyUse {
    /// The years after which `supplied` is used up; `None` where nothing is used or that is not
    /// known.
    pub fn years(&self, supplied: LimeNeed) -> Option<f64> {
        self.used.filter(|used| *used > LimeNeed::ZERO).map(|used| supplied / used)
    }
}

impl Upkeep {
    /// What is used in a year by each publication: nitrogen and removal by those that have
    /// figures for nitrogen, removal alone where none is given, and the losses of a long trial, its
    /// least and its greatest.
    pub fn yearly_uses(&self) -> Vec<YearlyUse> {
        let table = &*TABLE;
        let per_ha = LimeNeed::from_kilograms_per_hectare;
        let removal: f64 = self
            .removal_t_per_ha
            .iter()
            .filter_map(|(product, tonnes)| {
                Some(table.removal.kg_for_a_tonne.get(*product)? * tonnes)
            })
            .sum();
        let by_removal = cited(&table.removal.source, &table.removal.locator);
        let mut uses = Vec::new();
        for entry in table.nitrogen.iter().filter(|_| !self.nitrogen_kg_per_ha.is_empty()) {
            let lime: Option<f64> = self
                .nitrogen_kg_per_ha
                .iter()
                .map(|(form, kilograms)| Some(entry.lime_for_nitrogen.get(*form)? * kilograms))
                .sum();
            let mut source = cited(&entry.source, &entry.locator);
            if removal > 0.0 {
                source = format!("{source}; removal: {by_removal}");
            }
            let counts = if removal > 0.0 { "nitrogen and removal" } else { "nitrogen" };
            uses.push(YearlyUse { source, counts, used: lime.map(|lime| per_ha(lime + removal)) });
        }
        if uses.is_empty() && removal > 0.0 {
            uses.push(YearlyUse {
                source: by_removal,
                counts: "removal",
                used: Some(per_ha(removal)),
            });
        }
        let losses = &table.losses;
        for (counts, kilograms) in [
            ("all losses of a long trial, its least", losses.least_kg_per_ha),
            ("all losses of a long trial, its greatest", losses.most_kg_per_ha),
        ] {
            let source = cited(&losses.source, &losses.locator);
            uses.push(YearlyUse { source, counts, used: Some(per_ha(kilograms)) });
        }
        uses
    }
}

/// The forms of nitrogen that a publication has a figure for.
pub fn nitrogen_forms() -> Vec<&'static str> {
    let mut forms: Vec<&'static str> = Vec::new();
    for form in TABLE.nitrogen.iter().flat_map(|entry| entry.lime_for_nitrogen.keys()) {
        if !forms.contains(&form.as_str()) {
            forms.push(form);
        }
    }
    forms.sort_unstable();
    forms
}

/// The products whose removal a publication has a figure for.
pub fn removed_products() -> Vec<&'static str> {
    TABLE.removal.kg_for_a_tonne.keys().map(String::as_str).collect()
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    nitrogen: Vec<NitrogenEntry>,
    removal: RemovalEntry,
    losses: LossesEntry,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct NitrogenEntry {
    source: String,
    locator: String,
    /// Lime for a like mass of N, by its form.
    lime_for_nitrogen: BTreeMap<String, f64>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct RemovalEntry {
    source: String,
    locator: String,
    kg_for_a_tonne: BTreeMap<String, f64>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct LossesEntry {
    source: String,
    locator: String,
    least_kg_per_ha: f64,
    most_kg_per_ha: f64,
}

fn cited(key: &str, locator: &str) -> String {
    let publication = source(key).map_or_else(|| key.to_owned(), ToString::to_string);
    format!("{publication}; {locator}")
}

/// The file as it lies in the source tree.
pub(super) const UPKEEP: &str = include_str!("practice/upkeep.json");

/// The file is part of the program, so a fault in it is a fault of the program, which the tests
/// find before a user can.
static TABLE: LazyLock<Table> =
    LazyLock::new(|| serde_json::from_str(UPKEEP).expect("the figures are sound"));

#[cfg(test)]
mod tests {
    use super::*;

    fn used_kg(upkeep: &Upkeep) -> Vec<Option<f64>> {
        let uses = upkeep.yearly_uses();
        uses.iter()
            .map(|one| one.used.map(|used| used.to_kilograms_per_hectare().round()))
            .collect()
    }

    #[test]
    fn every_figure_has_a_source() {
        let table = &*TABLE;
        let nitrogen = table.nitrogen.iter().map(|entry| &entry.source);
        for key in nitrogen.chain([&table.removal.source, &table.losses.source]) {
            assert!(source(key).is_some(), "{key}");
        }
    }

    #[test]
    fn sources_disagree_on_urea_and_one_lacks_ammonium_nitrate() {
        // 100 kg N a hectare: 4, 3.6 and 5 times that, and the losses of Rothamsted.
        let upkeep =
            |form| Upkeep { nitrogen_kg_per_ha: vec![(form, 100.0)], removal_t_per_ha: Vec::new() };
        let losses = [Some(225.0), Some(852.0)];
        let urea = [Some(400.0), Some(360.0), Some(500.0)];
        assert_eq!(used_kg(&upkeep("urea")), [&urea[..], &losses].concat());
        let sulfate = [Some(700.0), Some(720.0), Some(500.0)];
        assert_eq!(used_kg(&upkeep("ammonium sulfate")), [&sulfate[..], &losses].concat());
        let nitrate = [Some(400.0), None, Some(500.0)];
        assert_eq!(used_kg(&upkeep("ammonium nitrate")), [&nitrate[..], &losses].concat());
    }

    #[test]
    fn removal_is_added_to_nitrogen_and_stands_alone_without_it() {
        // 3 t/ha of wheat carry off 27 kg CaCO3.
        let wheat = vec![("wheat", 3.0)];
        let both =
            Upkeep { nitrogen_kg_per_ha: vec![("urea", 100.0)], removal_t_per_ha: wheat.clone() };
        assert_eq!(used_kg(&both)[0], Some(427.0));
        let alone = Upkeep { nitrogen_kg_per_ha: Vec::new(), removal_t_per_ha: wheat };
        assert_eq!(used_kg(&alone), [Some(27.0), Some(225.0), Some(852.0)]);
        assert_eq!(used_kg(&Upkeep::default()).len(), 2);
    }

    #[test]
    fn years_are_what_is_supplied_over_what_is_used() {
        let supplied = LimeNeed::from_kilograms_per_hectare(2_250.0);
        let uses = Upkeep::default().yearly_uses();
        assert!((uses[0].years(supplied).unwrap() - 10.0).abs() < 1e-9);
        let unknown = YearlyUse { used: None, ..uses[0].clone() };
        let nothing = YearlyUse { used: Some(LimeNeed::ZERO), ..uses[0].clone() };
        assert_eq!((unknown.years(supplied), nothing.years(supplied)), (None, None));
    }
}
