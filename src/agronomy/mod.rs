//! Lime need of one soil, by a published method. This room has never heard of a map.

mod aim;
mod aluminium_saturation;
mod applications;
mod at_hand;
mod base_saturation;
mod built_in;
mod by_volume;
mod capacity;
mod card;
mod classes;
mod conversion;
mod crops;
mod door;
mod door_step;
mod equation;
mod history;
mod layers;
mod lines;
mod lookup;
mod meter;
mod meter_log;
mod method;
mod need;
mod own_table;
mod readings;
mod reads;
mod recommended;
mod registry;
mod retest;
mod rise;
mod risk;
mod rule;
mod rule_words;
mod saturation;
mod saturation_words;
mod schema;
mod soil;
mod step;
mod table;
mod tabled;
mod target;
mod textures;
mod trace;
mod upkeep;
mod values;
mod worked;

pub use applications::{
    ApplicationLimit, LimitBasis, ReactionTime, SingleRate, application_limits, reaction_time,
};
pub use built_in::built_in_agronomy;
pub use capacity::CapacityReading;
pub use card::{Basis, Citation, MethodCard, MethodMedium};
pub use conversion::{ConversionExample, ConversionShape, PhConversion, all_conversions};
pub use crops::{CropGuide, CropRow, CropTarget, all_guides, crop_guide};
pub use door::{BeyondRange, Door};
pub use history::{CreditedLime, LimeCredit, PastLime, SoilClass};
pub use layers::{parts_of_limed_depth, same_depth_within};
pub use meter::{
    Correction, FAR_OFFSET, LINE_PAIRS, LINE_SPAN, MeterCheck, MeterLine, OFFSET_PAIRS,
};
pub use meter_log::{BufferCheck, LogCheck, LogEntry, LogFault, LogKind, LogLimits, Touched};
pub use method::{Ask, Given, LimeMethod};
pub use need::{Missing, Need, Prepared, Why};
pub use own_table::{OWN_TABLE, own_table_file};
pub use readings::{AlExtract, Buffer, BufferReading, Layer, Placement};
pub use reads::{ReadSet, Reads};
pub use recommended::{LAB_RECOMMENDATION, LabRecommendation, Recommended};
pub use registry::{all_methods, method};
pub use retest::{RETEST_FROM_MONTHS, RETEST_TOLD_FROM_MONTHS};
pub use risk::{
    AluminiumEvidence, AluminiumRisk, HERBICIDES_PH, RiskJudge, RiskLimits, SoilRisk,
    aluminium_saturation,
};
pub use schema::method_table_schema;
pub use step::{Step, StepNumber};
pub use table::{
    AcidityByBuffer, Addition, AluminiumSaturationRule, BaseSaturationRule, Between,
    BufferEquation, CapacityRule, CarriedToZero, ClassRow, ClassTable, Credit, DerivedLine,
    Example, ExampleReadings, Line, MethodTable, MonthlyLoss, NeedUnit, Rise, Row,
    SaturationEquation, Shape, WeaklyBuffered,
};
pub use tabled::TabledMethod;
pub use target::{Aim, Target};
pub use trace::{BetweenTargets, Trace};
pub use upkeep::{Upkeep, YearlyUse, nitrogen_forms, removed_products};
pub use values::{SoilValues, ValueUnits};
pub use worked::{Worked, check_examples, work_example};

#[cfg(test)]
mod method_tests;
#[cfg(test)]
mod rule_tests;
#[cfg(test)]
mod saturation_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod trial_tests;
