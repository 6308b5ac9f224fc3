//! The shape of `fields.json`: all that is known of many fields.

use std::sync::Arc;

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::compare::{Comparison, compare};
use super::fields::{FailedField, Fields};
use super::holds::Held;
use super::order::{OrderAsk, OrderSheet, calendar_findings, order_sheet};
use super::plan::{Plan, PlanError, Planned, allot};
use super::row::FieldRow;
use super::supply::{SupplierPlan, SuppliersAsk, suppliers};
use super::too_little::{tells_too_little, too_little};
use crate::inputs::FieldsFile;
use crate::summary::{Program, part};
use crate::units::UnitSystem;

/// The name and version of the shape of `fields.json`.
pub const FIELDS_SHAPE: &str = "limewright-fields-1";

part! {
    /// Many fields.
    FieldsResult {
        /// The name and version of this shape.
        schema: String,
        /// The program that made it.
        program: Program,
        /// The system of units of everything that is of more than one field: `us` or `metric`.
        units: String,
        /// The finished fields, by their ids.
        fields: Vec<Arc<FieldRow>>,
        /// The fields that failed, by their ids.
        failed: Vec<FailedField>,
        /// The finished fields side by side, and their totals.
        comparison: Comparison,
        /// What is ordered for them; left out where it was not asked for.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        order: Option<OrderSheet>,
        /// Who supplies them; left out where the list names no supplier.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        suppliers: Option<SupplierPlan>,
        /// Why there is no plan, in sentences, where one was asked for and refused; then the order is
        /// of all fields.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        plan_refused: Vec<String>,
        /// Which fields get lime where there is not enough; left out where it was not asked for.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        plan: Option<Plan>,
    }
}

/// What is asked of many fields.
#[derive(Clone, Copy, Debug)]
pub struct FieldsAsk<'a> {
    /// The units of everything that is of more than one field.
    pub units: UnitSystem,
    /// The list whose own tables hold for all of them; without one there is no order sheet.
    pub list: Option<&'a FieldsFile>,
}

impl FieldsResult {
    /// What a set of fields comes to.
    ///
    /// # Errors
    /// Returns why there is no plan, where the list asks for one.
    pub fn of(fields: &Fields, asked: &FieldsAsk<'_>) -> Result<Self, PlanError> {
        let allotment = asked.list.and_then(|list| list.allotment.as_ref());
        let united = fields.with_names_united();
        let plan = allotment.map(|allotment| allot(&united, allotment, asked.units)).transpose()?;
        Ok(Self::with(fields, &united, asked, plan, Vec::new()))
    }

    /// The same without the plan that the list asks for, because of `why`.
    pub fn without_plan(fields: &Fields, asked: &FieldsAsk<'_>, why: &PlanError) -> Self {
        Self::with(fields, &fields.with_names_united(), asked, None, why.reasons())
    }

    /// `united` are the fields with one spelling of each name.
    fn with(
        fields: &Fields,
        united: &Fields,
        asked: &FieldsAsk<'_>,
        mut plan: Option<Plan>,
        plan_refused: Vec<String>,
    ) -> Self {
        let units = asked.units;
        let planned = plan.as_ref().map(|plan| Planned::of(united, plan));
        let ordered = planned.as_ref().map_or(united, |planned| &planned.fields);
        let suppliers = asked.list.filter(|list| !list.supply.suppliers.is_empty()).map(|list| {
            let road_factor = list.calendar.road_factor;
            suppliers(ordered, &SuppliersAsk { units, supply: &list.supply, road_factor })
        });
        let held = Held {
            ordered,
            planned: planned.as_ref(),
            refused: !plan_refused.is_empty(),
            suppliers: suppliers.as_ref(),
            units,
        };
        let order = asked.list.map(|list| {
            let ask = OrderAsk::of(units, &list.calendar, &list.supply);
            let mut sheet = order_sheet(ordered, &ask);
            sheet.holds = held.sentences(&sheet);
            if let Some(planned) = &planned {
                sheet.not_known.extend(planned.in_parts());
            }
            sheet
        });
        if let (Some(plan), Some(sheet)) = (&mut plan, &order) {
            plan.notes.extend(held.stays_over(sheet));
        }
        let mut comparison = compare(fields, units);
        comparison.findings.extend(too_little(plan.as_ref(), suppliers.as_ref()));
        if let Some(list) = asked.list {
            comparison.findings.extend(calendar_findings(fields, &list.calendar));
        }
        Self {
            schema: FIELDS_SHAPE.to_owned(),
            program: Program::this(),
            units: units.words().to_owned(),
            fields: fields.shared_rows(),
            failed: fields.failures().cloned().collect(),
            comparison,
            order,
            suppliers,
            plan_refused,
            plan,
        }
    }

    /// Whether it tells that suppliers have too little, or that the plan limes nothing.
    pub fn has_too_little(&self) -> bool {
        tells_too_little(&self.comparison.findings)
    }

    /// The system of units of everything that is of more than one field.
    pub fn system(&self) -> UnitSystem {
        if self.units == UnitSystem::Metric.words() { UnitSystem::Metric } else { UnitSystem::Us }
    }
}

/// The JSON Schema of `fields.json`, in draft 2020-12.
pub fn fields_result_schema() -> Value {
    let generator = SchemaSettings::draft2020_12().for_serialize().into_generator();
    let mut schema = generator.into_root_schema_for::<FieldsResult>().to_value();
    let systems = [UnitSystem::Us, UnitSystem::Metric].map(UnitSystem::words);
    for (pointer, keyword, value) in [
        ("/properties/schema", "const", json!(FIELDS_SHAPE)),
        ("/properties/units", "enum", json!(systems)),
        ("/$defs/FieldRow/properties/units", "enum", json!(systems)),
    ] {
        if let Some(property) = schema.pointer_mut(pointer).and_then(Value::as_object_mut) {
            property.insert(keyword.to_owned(), value);
        }
    }
    schema
}
