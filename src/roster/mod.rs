//! Many fields: what one finished field comes to among others, and fields together.
//!
//! Fields are independent. A [`FieldRow`] holds what is needed of one, in the units of its own
//! summary; [`Fields`] is a set of them that merges in any order and grouping. Everything that is
//! said of many fields is worked out from the sorted set, so that it does not matter which machine
//! ran which of them.

mod amounts;
mod compare;
mod fields;
mod holds;
mod listed;
#[cfg(test)]
mod made;
mod names;
mod of_summary;
mod only;
mod order;
mod plan;
mod read_back;
mod result;
mod row;
mod run;
mod run_record;
mod supply;
mod too_little;

pub use amounts::{
    area_of, carbonate_of, kilogram_metres_of, money_of, ph_m2_of, product_of, rate_of, road_of,
};
pub use compare::{
    ApplicationProduct, ApplicationTotal, Column, ColumnUnit, ColumnValue, ComparedField,
    Comparison, CostTotal, CoveredCost, GroupTotal, KnownCount, KnownTotal, MapGain, MeanPh,
    NoAmount, ProductTotal, SavingPart, SortBy, TotalsPart, compare, head_of, material_in_words,
    units_of_most,
};
pub use fields::{FailedField, Fields, SameName};
pub use only::{Called, only};
pub use order::{
    OrderAsk, OrderCalendar, OrderDrop, OrderLine, OrderSheet, OrderVisit, SupplyLimit,
    check_named, order_sheet,
};
pub use plan::{
    Plan, PlanError, PlanGap, PlanLedger, PlanResponse, PlannedField, PoolPart, PoolYear, RulePart,
    allot,
};
pub use read_back::{HeldResult, read_result};
pub use result::{FIELDS_SHAPE, FieldsAsk, FieldsResult, fields_result_schema};
pub use row::{
    FieldRow, RowApplication, RowCheck, RowComposite, RowHaul, RowLoads, RowMachine, RowMaterial,
    RowPh,
};
pub use run::{Ended, run_tasks};
pub use run_record::{RUN_FILE, RUN_SHAPE, RunRecord, run_record_schema};
pub use supply::{
    SuppliedField, SupplierLack, SupplierPlan, SupplierShare, SupplierUse, SuppliersAsk, suppliers,
};
