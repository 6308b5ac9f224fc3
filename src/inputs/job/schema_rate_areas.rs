//! What the checks of `[rate_areas]` ask beyond its types, for the schema of a job file.

use super::check_rate_areas::COUNTS;
use super::schema::Says;
use crate::units::bound;

pub(super) fn says_of_rate_areas() -> Vec<(&'static str, Says)> {
    let mut says = vec![
        ("rate_areas.tolerance", Says::Quantity(&bound::RATE_TOLERANCE)),
        ("rate_areas.least_area", Says::Quantity(&bound::LEAST_AREA)),
        ("rate_areas.least_width", Says::Quantity(&bound::LEAST_WIDTH)),
    ];
    says.extend(COUNTS.map(|(key, (least, most))| (key, Says::Count(least, most))));
    says
}
