//! The columns of a comparison: what each is called, where its value stands, and sorting by it.

use std::borrow::Cow;

use super::shape::ComparedField;
use crate::summary::Quantity;
use crate::units::UnitSystem;

/// What a value is.
#[derive(Clone, Debug, PartialEq)]
pub enum ColumnValue<'a> {
    /// Words.
    Text(Cow<'a, str>),
    /// A value with its unit.
    Amount(&'a Quantity),
    /// A count.
    Count(u64),
    /// A share of 1, a pH.
    Number(f64),
}

/// What the values of a column are in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ColumnUnit {
    /// None: words, counts, shares, pH; money, whose currency has a column of its own.
    None,
    /// An area.
    Area,
    /// A mass of CaCO3 or of product.
    Mass,
    /// A rate.
    Rate,
    /// A distance on the road.
    Road,
    /// Mass times distance.
    Hauled,
    /// Money over an area.
    PerArea,
}

impl ColumnUnit {
    /// The ending of a column's name, where it has a unit.
    pub fn ending(self, system: UnitSystem) -> &'static str {
        let [us, metric] = match self {
            Self::None => ["", ""],
            Self::Area | Self::PerArea => ["ac", "ha"],
            Self::Mass => ["ton", "t"],
            Self::Rate => ["ton_ac", "t_ha"],
            Self::Road => ["mi", "km"],
            Self::Hauled => ["ton_mile", "t_km"],
        };
        match system {
            UnitSystem::Us => us,
            UnitSystem::Metric => metric,
        }
    }
}

/// Declares the columns: variant, key, unit, and the value in a field.
macro_rules! columns {
    ($($(#[$meta:meta])* $variant:ident, $key:literal, $unit:ident, |$field:ident| $value:expr;)+) => {
        /// A column of a comparison.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Column { $($(#[$meta])* $variant,)+ }

        impl Column {
            /// All of them, in the order in which tables for programs have them.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)+];

            /// Its name, without a unit.
            pub fn key(self) -> &'static str {
                match self { $(Self::$variant => $key,)+ }
            }

            /// What its values are in.
            pub fn unit(self) -> ColumnUnit {
                match self { $(Self::$variant => ColumnUnit::$unit,)+ }
            }

            /// The value of a field; `None` where it has none.
            pub fn value(self, field: &ComparedField) -> Option<ColumnValue<'_>> {
                match self { $(Self::$variant => { let $field = field; $value })+ }
            }
        }
    };
}

columns! {
    /// What its folder is called.
    Id, "id", None, |f| Some(text(&f.id));
    /// What the field is called.
    Field, "field", None, |f| Some(text(&f.field.name));
    /// Whose it is.
    Customer, "customer", None, |f| maybe_text(f.field.customer.as_ref());
    /// The farm.
    Farm, "farm", None, |f| maybe_text(f.field.farm.as_ref());
    /// Inside the boundary less its holes.
    Area, "area", Area, |f| Some(ColumnValue::Amount(&f.area));
    /// That less what is kept out.
    MappedArea, "mapped_area", Area, |f| Some(ColumnValue::Amount(&f.mapped_area));
    /// Where anything is spread.
    TreatedArea, "treated_area", Area, |f| Some(ColumnValue::Amount(&f.treated_area));
    /// The mean pH.
    Ph, "ph", None, |f| f.ph.as_ref().map(|ph| ColumnValue::Number(ph.mean));
    /// What it was measured in.
    PhMeasuredIn, "ph_measured_in", None, |f| maybe_text(f.ph.as_ref().map(|ph| &ph.measured_in));
    /// CaCO3 needed.
    Need, "need", Mass, |f| Some(ColumnValue::Amount(&f.need_total));
    /// CaCO3 supplied.
    Supplied, "supplied", Mass, |f| Some(ColumnValue::Amount(&f.supplied_total));
    /// CaCO3 supplied beyond the need.
    Excess, "excess", Mass, |f| Some(ColumnValue::Amount(&f.excess_total));
    /// CaCO3 left out by limits.
    Unmet, "unmet", Mass, |f| Some(ColumnValue::Amount(&f.unmet_total));
    /// That as a share of the need.
    UnmetShare, "unmet_share", None, |f| f.unmet_share.map(ColumnValue::Number);
    /// Product prescribed.
    Prescribed, "prescribed", Mass, |f| Some(ColumnValue::Amount(&f.product_total));
    /// Product to load.
    ToLoad, "to_load", Mass, |f| Some(ColumnValue::Amount(&f.to_load));
    /// Product to order.
    ToOrder, "to_order", Mass, |f| Some(ColumnValue::Amount(&f.to_order));
    /// The least rate above 0.
    LeastRate, "least_rate", Rate, |f| maybe_amount(f.least_rate.as_ref());
    /// Product over the mapped area.
    MeanRate, "mean_rate", Rate, |f| Some(ColumnValue::Amount(&f.mean_rate));
    /// The greatest rate.
    GreatestRate, "greatest_rate", Rate, |f| maybe_amount(f.greatest_rate.as_ref());
    /// Loads of the spreader.
    SpreaderLoads, "spreader_loads", None, |f| Some(ColumnValue::Count(f.spreader_loads));
    /// Loads of the trucks.
    TruckLoads, "truck_loads", None, |f| f.truck_loads.map(ColumnValue::Count);
    /// From plant to field.
    Distance, "distance", Road, |f| maybe_amount(f.one_way_distance.as_ref());
    /// Mass ordered times distance.
    Hauled, "hauled", Hauled, |f| maybe_amount(f.ton_miles.as_ref());
    /// What hauling costs.
    HaulCost, "haul_cost", None, |f| maybe_amount(f.haul_cost.as_ref());
    /// What is known of all costs.
    Cost, "cost", None, |f| maybe_amount(f.cost_total.as_ref());
    /// What that is over the mapped area.
    CostPerArea, "cost_per_area", PerArea, |f| maybe_amount(f.cost_per_area.as_ref());
    /// The currency of all money.
    Currency, "currency", None, |f| {
        let money = f.cost_total.as_ref().or(f.haul_cost.as_ref());
        money.map(|money| ColumnValue::Text(Cow::Borrowed(&money.unit)))
    };
    /// What costs cover.
    CostCovers, "cost_covers", None, |f| {
        f.cost_total.as_ref().map(|_| ColumnValue::Text(f.cost_covers.join(" + ").into()))
    };
    /// Ground where aluminium may harm roots.
    AluminiumRiskArea, "aluminium_risk_area", Area, |f| {
        maybe_amount(f.aluminium_risk_area.as_ref())
    };
    /// Product spared against the composite's rate.
    SavingPrescribed, "saving_prescribed", Mass, |f| Some(ColumnValue::Amount(&f.saving.product));
    /// The same of what is ordered.
    SavingToOrder, "saving_to_order", Mass, |f| Some(ColumnValue::Amount(&f.saving.to_order));
    /// Money spared.
    SavingCost, "saving_cost", None, |f| maybe_amount(f.saving.cost.as_ref());
    /// How far the map beats the mean.
    MapGain, "map_gain", None, |f| f.map_gain.as_ref().map(|gain| ColumnValue::Number(gain.share));
    /// Of which reading.
    MapGainReading, "map_gain_reading", None, |f| {
        maybe_text(f.map_gain.as_ref().map(|gain| &gain.reading))
    };
    /// The material.
    Material, "material", None, |f| Some(text(&f.material));
    /// Who sells it.
    Supplier, "supplier", None, |f| maybe_text(f.supplier.as_ref());
    /// How many applications.
    Applications, "applications", None, |f| Some(ColumnValue::Count(f.applications as u64));
    /// The method.
    Method, "method", None, |f| Some(text(&f.method));
    /// What is limed to.
    Target, "target", None, |f| Some(text(&f.target));
    /// How many findings.
    Findings, "findings", None, |f| Some(ColumnValue::Count(f.findings as u64));
    /// The units that it was converted from.
    ConvertedFrom, "converted_from", None, |f| maybe_text(f.converted_from.as_ref());
}

fn text(text: &str) -> ColumnValue<'_> {
    ColumnValue::Text(text.into())
}

fn maybe_text(maybe: Option<&String>) -> Option<ColumnValue<'_>> {
    maybe.map(|words| text(words))
}

fn maybe_amount(quantity: Option<&Quantity>) -> Option<ColumnValue<'_>> {
    quantity.map(ColumnValue::Amount)
}

/// The name of a column in a table for programs: its key and its unit.
pub fn head_of(column: Column, system: UnitSystem) -> String {
    let (key, ending) = (column.key(), column.unit().ending(system));
    match column.unit() {
        ColumnUnit::None => key.to_owned(),
        ColumnUnit::PerArea => key.replace("area", ending),
        _ => format!("{key}_{ending}"),
    }
}
