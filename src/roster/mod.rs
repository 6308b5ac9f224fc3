//! Many fields: what one finished field comes to among others, and fields together.
//!
//! Fields are independent. A [`FieldRow`] holds what is needed of one, in the units of its own
//! summary; [`Fields`] is a set of them that merges in any order and grouping. Everything that is
//! said of many fields is worked out from the sorted set, so that it does not matter which machine
//! ran which of them.

mod amounts;
mod fields;
#[cfg(test)]
mod made;
mod of_summary;
mod order;
mod result;
mod row;
mod supply;

pub use amounts::{area_of, carbonate_of, product_of, rate_of};
pub use fields::{FailedField, Fields, SameName};
pub use order::{
    OrderAsk, OrderCalendar, OrderDrop, OrderLine, OrderSheet, OrderVisit, SupplyLimit, order_sheet,
};
pub use result::{FIELDS_SHAPE, FieldsAsk, FieldsResult, fields_result_schema};
pub use row::{
    FieldRow, RowApplication, RowCheck, RowComposite, RowHaul, RowLoads, RowMachine, RowMaterial,
    RowPh,
};
pub use supply::{
    SuppliedField, SupplierLack, SupplierPlan, SupplierShare, SupplierUse, SuppliersAsk, suppliers,
};
