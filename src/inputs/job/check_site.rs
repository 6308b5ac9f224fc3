//! What stands on and beside the field: the pile, and what a driver must mind.

use super::check::Checker;
use super::file::FieldTable;
use super::written::At;
use crate::findings::Problem;

/// What stands on and beside a field.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SitePart {
    /// Longitude and latitude of the pile, WGS 84 degrees.
    pub pile_deg: Option<[f64; 2]>,
    /// What a driver must mind, each in a few words.
    pub hazards: Vec<String>,
}

/// Hazards that one page has room for, and characters of one (ours).
const MOST_HAZARDS: usize = 6;
const LONGEST_HAZARD: usize = 120;

impl Checker<'_> {
    pub(super) fn site(&mut self, table: &FieldTable) -> SitePart {
        let hazards = table.hazards.as_ref().map_or(&[][..], |list| &list.value);
        if let (true, Some(list)) = (hazards.len() > MOST_HAZARDS, &table.hazards) {
            let what = format!("`field.hazards` has {} entries", hazards.len());
            let problem = Problem::at(self.text.place(&list.span), what)
                .allowed(format!("at most {MOST_HAZARDS}: they stand on one page"))
                .hint("keep those that a driver must know before the first pass");
            self.problems.push(problem);
        }
        for hazard in hazards {
            let length = hazard.value.trim().chars().count();
            if !(1..=LONGEST_HAZARD).contains(&length) {
                let what = format!("an entry of `field.hazards` has {length} characters");
                let problem = Problem::at(self.text.place(&hazard.span), what)
                    .allowed(format!("1 to {LONGEST_HAZARD} characters"))
                    .hint("for example \"power line along the north side\"");
                self.problems.push(problem);
            }
        }
        SitePart {
            pile_deg: table.pile.as_ref().and_then(|pile| self.degrees_of("field.pile", pile)),
            hazards: hazards.iter().map(|hazard| hazard.value.trim().to_owned()).collect(),
        }
    }

    /// A place that a list of two numbers is.
    pub(super) fn degrees_of(&mut self, key: &str, place: &At<Vec<At<f64>>>) -> Option<[f64; 2]> {
        if let [lon, lat] = place.value.as_slice()
            && lon.value.abs() <= 180.0
            && lat.value.abs() <= 90.0
        {
            return Some([lon.value, lat.value]);
        }
        let what = format!("`{key}` is no place");
        let problem = Problem::at(self.text.place(&place.span), what)
            .allowed("longitude and latitude in WGS 84 degrees, two numbers")
            .hint("write it as [-93.2168, 42.0893]; longitude comes first");
        self.problems.push(problem);
        None
    }
}
