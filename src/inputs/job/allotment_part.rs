//! The checked `[allotment]` of a list of jobs.

use crate::findings::Place;
use crate::units::{Currency, Day, Money, ProductMass};

/// Which fields get lime first where there is not enough.
#[derive(Clone, Debug, PartialEq)]
pub struct AllotmentPart {
    /// The table.
    pub place: Place,
    /// What there is.
    pub limits: Limits,
    /// What is chosen.
    pub take: Take,
    /// The least that a field gets where it does not get all.
    pub least_per_field: Option<ProductMass>,
    /// The fields that must get lime.
    pub must: Vec<NamedInPlan>,
    /// The fields that get none this year.
    pub not_this_year: Vec<NamedInPlan>,
    /// The fields that come before others, in this order.
    pub priority: Vec<NamedInPlan>,
    /// What a gain of pH is worth.
    pub response: Option<ResponsePart>,
    /// The first day of spreading, where the calendar of the list states it.
    pub first_day: Option<Day>,
}

/// What there is.
#[derive(Clone, Debug, PartialEq)]
pub enum Limits {
    /// So much for all fields.
    ForAll(YearLimits),
    /// So much of each material.
    OfMaterials(Vec<OfMaterial>),
}

/// What there is of one material.
#[derive(Clone, Debug, PartialEq)]
pub struct OfMaterial {
    /// The material.
    pub material: NamedInPlan,
    /// How much.
    pub limits: YearLimits,
}

/// What there is, in one year or in each of several.
#[derive(Clone, Debug, PartialEq)]
pub struct YearLimits {
    /// Where it stands.
    pub place: Place,
    /// As written, for each year.
    pub written: Vec<String>,
    /// How much.
    pub amounts: PlanAmounts,
}

impl YearLimits {
    /// Over how many years.
    pub fn years(&self) -> usize {
        self.written.len()
    }
}

/// Amounts of one kind, one for each year.
#[derive(Clone, Debug, PartialEq)]
pub enum PlanAmounts {
    /// Of material as spread.
    Product(Vec<ProductMass>),
    /// Of money.
    Money(Vec<Money>, Currency),
}

/// What is chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Take {
    /// Whole fields.
    Fields,
    /// Areas of one rate, as far as a field has some.
    RateAreas,
    /// The same, each field's as whole trucks carry them.
    Trucks,
}

impl Take {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Fields, Self::RateAreas, Self::Trucks];

    /// As a list of jobs writes it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Fields => "fields",
            Self::RateAreas => "rate areas",
            Self::Trucks => "trucks",
        }
    }
}

/// A field or material that a plan names.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedInPlan {
    /// As written.
    pub name: String,
    /// Where.
    pub place: Place,
}

/// What a gain of pH is worth, by someone's own figures.
#[derive(Clone, Debug, PartialEq)]
pub struct ResponsePart {
    /// Where the figures come from.
    pub source: String,
    /// From the lowest pH up.
    pub bands: Vec<ResponseBand>,
    /// Their currency.
    pub currency: Currency,
}

/// What one pH more is worth on ground of some pH.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ResponseBand {
    /// Below so many tenths of a pH, and not below those of the band before.
    pub below_tenths: i32,
    /// Money for a pH more on a square metre.
    pub per_ph_m2: f64,
}
