//! What the checks of a list of jobs ask of the tables that are of no single field.

use serde_json::Value;

use super::schema::{Says, property_of, says_of_keys};
use crate::units::{Weekday, bound};

/// Adds to the schema of a list what its types alone do not say of these tables.
pub(super) fn say_of_together(schema: &mut Value) {
    use Says::{Quantity, Reading, Words};
    for (key, says) in [
        ("calendar.road_factor", Reading(&bound::ROAD_FACTOR)),
        ("calendar.hours_a_day", Quantity(&bound::HOURS_A_DAY)),
        ("calendar.moving_speed", Quantity(&bound::RUNNING_SPEED)),
        ("calendar.days_off.[]", Words(Weekday::ALL.map(Weekday::words).to_vec())),
        ("supplier.[].limit", Quantity(&bound::SUPPLY)),
    ] {
        if let Some(property) = property_of(schema, key) {
            says.add_to(property);
        }
    }
    for (key, says) in says_of_keys() {
        let in_supplier = ["material.", "haul."].iter().any(|table| key.starts_with(table));
        if let Some(property) =
            in_supplier.then(|| property_of(schema, &format!("supplier.[].{key}"))).flatten()
        {
            says.add_to(property);
        }
    }
}
