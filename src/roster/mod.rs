//! Many fields: what one finished field comes to among others, and fields together.
//!
//! Fields are independent. A [`FieldRow`] holds what is needed of one, in the units of its own
//! summary; [`Fields`] is a set of them that merges in any order and grouping. Everything that is
//! said of many fields is worked out from the sorted set, so that it does not matter which machine
//! ran which of them.

mod amounts;
mod fields;
mod of_summary;
mod plan;
mod result;
mod row;

pub use amounts::{area_of, carbonate_of, ph_m2_of, product_of, rate_of};
pub use fields::{FailedField, Fields, SameName};
pub use plan::{
    Plan, PlanError, PlanGap, PlanLedger, PlanResponse, PlannedField, PoolPart, PoolYear, RulePart,
    allot,
};
pub use result::{FIELDS_SHAPE, FieldsAsk, FieldsResult, fields_result_schema};
pub use row::{
    FieldRow, RowApplication, RowCheck, RowComposite, RowHaul, RowLoads, RowMachine, RowMaterial,
    RowPh,
};
