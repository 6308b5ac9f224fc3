//! Saying what many fields come to together.

use limewright::findings::clean_long;
use limewright::outputs::{
    fields_text, order_sheet_text, plan_text, suppliers_text, write_fields_json,
};
use limewright::roster::{FieldsResult, SortBy};

use super::{Status, talk};

/// What the comparison told.
pub(super) fn findings(result: &FieldsResult) {
    for told in &result.comparison.findings {
        talk::note(&clean_long(&format!("finding: {}", told.text)));
    }
}

/// The result for people, or as JSON for programs.
pub(super) fn say(result: &FieldsResult, order: SortBy, json: bool) -> Status {
    if json {
        return talk::say_by(|out| write_fields_json(result, out));
    }
    let parts = [
        Some(fields_text(result, order)),
        result.plan.as_ref().map(plan_text),
        result.order.as_ref().map(order_sheet_text),
        result.suppliers.as_ref().map(suppliers_text),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    talk::say(&parts.join("\n"))
}
