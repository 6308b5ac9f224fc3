//! How long a soil test holds.

/// Soil is tested again every three to four years (common practice): from so many months on the age
/// of samples is told.
pub const RETEST_TOLD_FROM_MONTHS: u32 = 36;

/// From so many months on a new test is advised.
pub const RETEST_FROM_MONTHS: u32 = 48;
