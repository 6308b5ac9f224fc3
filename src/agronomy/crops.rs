//! Target pH by crop, as published guides have it.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use serde::Deserialize;

use super::{Citation, MethodMedium};
use crate::findings::{Place, Problem, nearest_of};

/// A published guide to soil pH by crop.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CropGuide {
    /// The name under which a job asks for it.
    pub id: String,
    /// Where it holds.
    pub region: String,
    /// The medium of its pH.
    pub ph_medium: String,
    /// The publication, a key of the bibliography.
    pub source: String,
    /// Where in it.
    pub locator: String,
    /// How far below the target its source begins to lime, where it says so for all crops alike.
    #[serde(default)]
    pub treat_below_target_by: Option<f64>,
    /// What it prints.
    pub rows: Vec<CropRow>,
    /// The pH for most crops that it does not name, where it has one.
    #[serde(default)]
    pub most_other_crops: Option<f64>,
    /// Whether its numbers were written from memory.
    #[serde(default)]
    pub from_memory: bool,
    /// What a user has to know beside the numbers.
    #[serde(default)]
    pub notes: Vec<String>,
}

/// The pH of some crops on one kind of ground.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CropRow {
    /// The crops.
    pub crops: Vec<String>,
    /// The ground, where the guide tells several apart.
    #[serde(default)]
    pub ground: Option<String>,
    /// The pH to lime to.
    pub ph: f64,
    /// The pH below which the source limes, where it says so.
    #[serde(default)]
    pub treat_below: Option<f64>,
}

/// What a guide says of one crop.
#[derive(Clone, Debug, PartialEq)]
pub struct CropTarget {
    /// The crop, as the guide names it, or as it was asked for.
    pub crop: String,
    /// The pH to lime to, in the medium of the guide.
    pub ph: f64,
    /// The pH below which the source limes, where it says so.
    pub treat_below: Option<f64>,
    /// Whether the guide names the crop; else the pH is that of most other crops.
    pub is_named: bool,
}

/// The published guides at hand.
pub fn all_guides() -> &'static [CropGuide] {
    &GUIDES
}

/// The guide called `id`.
///
/// # Errors
/// Refuses a name that no guide has, with the nearest one and all of them.
pub fn crop_guide(id: &str) -> Result<&'static CropGuide, Problem> {
    if let Some(guide) = all_guides().iter().find(|guide| guide.id == id) {
        return Ok(guide);
    }
    let ids: Vec<&str> = all_guides().iter().map(|guide| guide.id.as_str()).collect();
    let hint = nearest_of(id, &ids).map_or_else(
        || "take the guide of your region, or state target.ph".to_owned(),
        |near| format!("did you mean `{near}`?"),
    );
    let what = format!("there is no crop guide `{id}`");
    Err(Problem::at(Place::default(), what).allowed(ids.join(", ")).hint(hint))
}

impl CropGuide {
    /// The medium of its pH.
    pub fn medium(&self) -> Option<MethodMedium> {
        MethodMedium::from_words(&self.ph_medium)
    }

    /// The publication and the place in it.
    pub fn citation(&self) -> Citation {
        Citation { key: self.source.clone(), locator: self.locator.clone() }
    }

    /// The pH for a crop on this ground; case, blanks and a plural `s` aside.
    ///
    /// # Errors
    /// Refuses a crop that no guide knows, with those that this one does; a crop that this one does
    /// not serve, with the guides that do; and a ground that is missing or unknown, with those
    /// that the guide tells apart.
    pub fn target(&self, crop: &str, ground: Option<&str>) -> Result<CropTarget, Problem> {
        let wanted = folded(crop);
        let named = |row: &&CropRow| row.crops.iter().any(|known| folded(known) == wanted);
        let rows: Vec<&CropRow> = self.rows.iter().filter(named).collect();
        if rows.is_empty() {
            return self.of_most_others(crop);
        }
        let grounds: Vec<&str> = rows.iter().filter_map(|row| row.ground.as_deref()).collect();
        let row = match (ground, rows.as_slice()) {
            (None, [only]) => Some(*only),
            (None, _) => None,
            (Some(ground), [only]) if only.ground.is_none() => {
                return Err(self.one_ground(ground));
            }
            (Some(ground), several) => several
                .iter()
                .find(|row| row.ground.as_deref().map(folded) == Some(folded(ground)))
                .copied(),
        };
        let Some(row) = row else {
            let what = match ground {
                None => format!(
                    "`{}` has a target for {crop} on each of several kinds of ground",
                    self.id
                ),
                Some(ground) => format!("`{}` has no target for {crop} on `{ground}`", self.id),
            };
            return Err(Problem::at(Place::default(), what)
                .allowed(grounds.join("; "))
                .hint("state the ground as target.ground"));
        };
        let name = row.crops.iter().find(|known| folded(known) == wanted);
        Ok(CropTarget {
            crop: name.cloned().unwrap_or_else(|| crop.to_owned()),
            ph: row.ph,
            treat_below: row.treat_below.or(self.treat_below_target_by.map(|by| row.ph - by)),
            is_named: true,
        })
    }

    fn of_most_others(&self, crop: &str) -> Result<CropTarget, Problem> {
        let wanted = folded(crop);
        let knows = |guide: &CropGuide| {
            guide.rows.iter().flat_map(|row| &row.crops).any(|known| folded(known) == wanted)
        };
        let others: Vec<&str> = all_guides()
            .iter()
            .filter(|guide| knows(guide))
            .map(|guide| guide.id.as_str())
            .collect();
        match self.most_other_crops {
            Some(ph) if !others.is_empty() => {
                let treat_below = self.treat_below_target_by.map(|by| ph - by);
                Ok(CropTarget { crop: crop.to_owned(), ph, treat_below, is_named: false })
            }
            _ => Err(self.unknown(crop, &others)),
        }
    }

    fn unknown(&self, crop: &str, others: &[&str]) -> Problem {
        let all: BTreeSet<&str> = match self.most_other_crops {
            Some(_) => all_guides().iter().flat_map(CropGuide::crops).collect(),
            None => self.crops().collect(),
        };
        let known: Vec<&str> = all.into_iter().collect();
        let hint = if others.is_empty() {
            let near = nearest_of(crop, &known);
            near.map_or_else(
                || "take one of these crops, or state target.ph".to_owned(),
                |near| format!("did you mean `{near}`? Or state target.ph"),
            )
        } else {
            format!("these guides have it: {}; or state target.ph", others.join(", "))
        };
        let what = format!("the guide `{}` does not know the crop `{crop}`", self.id);
        Problem::at(Place::default(), what).allowed(known.join(", ")).hint(hint)
    }

    fn one_ground(&self, ground: &str) -> Problem {
        let what = format!("`{}` does not tell `{ground}` from other ground", self.id);
        Problem::at(Place::default(), what)
            .allowed("a guide that tells several kinds of ground apart")
            .hint("leave target.ground out, or choose another guide or target.ph")
    }

    /// The crops that it names.
    pub fn crops(&self) -> impl Iterator<Item = &str> {
        self.rows.iter().flat_map(|row| &row.crops).map(String::as_str)
    }
}

/// A name without blanks, capitals and a plural `s`; maize is corn.
fn folded(name: &str) -> String {
    let letters = name.chars().filter(|c| c.is_alphanumeric());
    let name: String = letters.flat_map(char::to_lowercase).collect();
    match name.as_str() {
        "maize" => "corn".to_owned(),
        "lucerne" => "alfalfa".to_owned(),
        "soya" | "soyabean" | "soyabeans" => "soybean".to_owned(),
        _ => name.strip_suffix("ies").map_or_else(
            || name.strip_suffix('s').unwrap_or(&name).to_owned(),
            |stem| format!("{stem}y"),
        ),
    }
}

/// The file as it lies in the source tree.
pub(super) const CROP_GUIDES: &str = include_str!("crop_guides.json");

/// The file is part of the program; the tests read it before a user can.
static GUIDES: LazyLock<Vec<CropGuide>> =
    LazyLock::new(|| serde_json::from_str(CROP_GUIDES).expect("the file is well formed"));

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::bound;

    fn ph(guide: &str, crop: &str, ground: Option<&str>) -> f64 {
        crop_guide(guide).unwrap().target(crop, ground).unwrap().ph
    }

    #[test]
    fn every_guide_has_a_source_a_medium_and_numbers_within_limits() {
        for guide in all_guides() {
            assert!(guide.citation().source().is_some(), "{}", guide.id);
            assert!(guide.medium().is_some() && !guide.locator.is_empty(), "{}", guide.id);
            assert_eq!(guide.from_memory, guide.source == "from_memory", "{}", guide.id);
            let printed = guide.rows.iter().map(|row| row.ph).chain(guide.most_other_crops);
            for ph in printed {
                assert!((bound::TARGET_PH.least..=bound::TARGET_PH.most).contains(&ph));
            }
            for row in &guide.rows {
                assert!(row.treat_below.is_none_or(|trigger| trigger < row.ph), "{}", guide.id);
                for crop in &row.crops {
                    let found = guide.target(crop, row.ground.as_deref()).unwrap();
                    assert_eq!((found.ph, found.is_named), (row.ph, true), "{crop}");
                    let same =
                        |other: &&CropRow| other.ground == row.ground && other.crops.contains(crop);
                    assert_eq!(guide.rows.iter().filter(same).count(), 1, "{} {crop}", guide.id);
                }
            }
        }
    }

    /// Goals printed in: Agronomy Guide, Penn State, part 1, section 2; Nutrient Management Guide
    /// RB209, AHDB, optimum pH plus 0.2; Bulletin E-2567, 1995; Forage guide, 2018.
    #[test]
    fn the_printed_goals_come_out() {
        assert_eq!(ph("pennsylvania", "Alfalfa", None), 7.0);
        assert_eq!(ph("pennsylvania", "soybeans", None), 6.5);
        assert_eq!(ph("united-kingdom", "arable", Some("Mineral")), 6.7);
        assert_eq!(ph("united-kingdom", "grass", Some("peaty")), 5.5);
        assert_eq!(ph("tri-state-1995", "alfalfa", Some("mineral, subsoil pH below 6")), 6.8);
        assert_eq!(ph("tri-state-1995", "maize", Some("organic")), 5.3);
        assert_eq!(ph("ireland", "peas", Some("mineral")), 7.0);
        assert_eq!(ph("oregon-west", "blueberries", None), 4.5);
        assert_eq!(ph("western-australia", "wheat", None), 5.5);
        let trigger = crop_guide("united-kingdom").unwrap().target("wheat", Some("mineral"));
        assert_eq!(trigger.unwrap().treat_below, Some(6.5));
        let corn = crop_guide("tri-state-1995").unwrap().target("corn", Some("organic")).unwrap();
        assert!((corn.treat_below.unwrap() - 5.1).abs() < 1e-9);
    }

    #[test]
    fn what_a_guide_does_not_know_is_refused_with_what_it_does() {
        let refused = |guide: &str, crop, ground| {
            let problem = crop_guide(guide).unwrap().target(crop, ground).unwrap_err();
            format!("{problem}")
        };
        let said = refused("oregon-west", "alfalfaa", None);
        assert!(said.contains("did you mean `alfalfa`") && said.contains("blueberry"), "{said}");
        let said = refused("oregon-west", "barley", None);
        assert!(said.contains("these guides have it: pennsylvania, tri-state-1995"), "{said}");
        let said = refused("tri-state-1995", "alfalfa", None);
        assert!(said.contains("several kinds of ground") && said.contains("organic"), "{said}");
        let said = refused("tri-state-1995", "alfalfa", Some("peat"));
        assert!(said.contains("no target for alfalfa on `peat`"), "{said}");
        let said = refused("pennsylvania", "alfalfa", Some("organic"));
        assert!(said.contains("does not tell `organic`"), "{said}");
        let said = refused("pennsylvania", "quinoa", None);
        assert!(said.contains("does not know the crop `quinoa`"), "{said}");
        assert!(crop_guide("ohio").unwrap_err().allowed.contains("iowa-2019"));
    }
}
