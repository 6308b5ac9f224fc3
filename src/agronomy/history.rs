//! What lime that was applied before is still worth.

use std::sync::Arc;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::rule::Rule;
use super::trace::Printed;
use super::{Citation, Credit, MonthlyLoss, Prepared};
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::units::{LimeNeed, counted};

/// The class of a soil, by how much of it is organic.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum SoilClass {
    /// Mineral.
    Mineral,
    /// Between mineral and organic.
    MineralOrganic,
    /// Organic.
    Organic,
}

impl SoilClass {
    /// All of them, in the order in which they are listed to a user.
    pub const ALL: [Self; 3] = [Self::Mineral, Self::MineralOrganic, Self::Organic];

    /// As it is written in job files and tables.
    pub fn words(self) -> &'static str {
        match self {
            Self::Mineral => "mineral",
            Self::MineralOrganic => "mineral-organic",
            Self::Organic => "organic",
        }
    }

    /// The class written so.
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|class| class.words() == words.trim())
    }
}

/// Lime that was applied before the samples were taken.
#[derive(Clone, Debug, PartialEq)]
pub struct PastLime {
    /// The day, as `YYYY-MM-DD`.
    pub applied: String,
    /// What was applied, as effective lime: pure calcium carbonate equivalent.
    pub rate: LimeNeed,
    /// Whole months from then to the day of sampling.
    pub months: u32,
}

impl Prepared {
    /// Whether the method's source credits lime that was applied before.
    pub fn credits_earlier_lime(&self) -> bool {
        self.credit_rule().is_some()
    }

    fn credit_rule(&self) -> Option<&Credit> {
        match &self.rule {
            Rule::Equation(equation) => equation.table().credit.as_ref(),
            _ => None,
        }
    }

    /// The same method, less what earlier lime is still worth by the source's own rule. The
    /// finding says how much that is, or that the method credits none.
    ///
    /// # Errors
    /// Refuses a history where the method credits it by the class of the soil and none is stated.
    pub fn with_history(
        self,
        past: &[PastLime],
        soil_class: Option<SoilClass>,
    ) -> Result<(Self, Option<Finding>), Refusal> {
        if past.is_empty() {
            return Ok((self, None));
        }
        let Some(rule) = self.credit_rule().cloned() else {
            let text = "The source of the method gives no credit for earlier lime: what the job's \
                        [[history]] tells is not in the needs.";
            return Ok((self, Some(Finding::new("history_not_credited", text))));
        };
        let classes: Vec<&str> =
            rule.per_month.iter().map(|loss| loss.soil_class.words()).collect();
        let loss = rule.per_month.iter().find(|loss| Some(loss.soil_class) == soil_class);
        let Some(loss) = loss else {
            let what = "earlier lime is credited by the class of the soil, and none is stated";
            return Err(Problem::at(Place::default(), what)
                .allowed(classes.join(", "))
                .hint("state it as `need.soil_class`; the laboratory's report names it")
                .into());
        };
        let credit = credited(past, loss, &rule);
        let text = if credit.total == LimeNeed::ZERO {
            format!(
                "Of the earlier lime nothing is left by the method's source, so nothing is \
                 credited: {}. Each whole month until sampling takes off {:.0} % of what was \
                 applied on {} soil ({}).",
                credit.in_words(),
                100.0 * credit.monthly_loss,
                credit.soil_class.words(),
                credit.source.words()
            )
        } else {
            format!(
                "Earlier lime, as effective lime (100 % CCE), is credited with {:.2} ton/ac ({:.2} \
             t/ha) on every cell: {}. Each whole month until sampling takes off {:.0} % of \
             what was applied on {} soil, down to nothing at the least ({}).",
                credit.total.to_short_tons_per_acre(),
                credit.total.to_tonnes_per_hectare(),
                credit.in_words(),
                100.0 * credit.monthly_loss,
                credit.soil_class.words(),
                credit.source.words()
            )
        };
        let rule = match self.rule {
            Rule::Equation(equation) => Rule::Equation(equation.with_credit(credit.total)),
            other => other,
        };
        let printed = Arc::new(Printed { credit: Some(credit), ..(*self.printed).clone() });
        let finding = Finding::new("history_credited", text);
        Ok((Self { rule, printed, ..self }, Some(finding)))
    }
}

/// What earlier lime is still worth, and how that came about.
#[derive(Clone, Debug, PartialEq)]
pub struct LimeCredit {
    /// The class of soil that it was counted for.
    pub soil_class: SoilClass,
    /// The part of the applied rate that each month takes off.
    pub monthly_loss: f64,
    /// Each lime of the job.
    pub each: Vec<CreditedLime>,
    /// All of them together; pure calcium carbonate.
    pub total: LimeNeed,
    /// The publication of the rule.
    pub source: Citation,
}

/// What one earlier lime is still worth.
#[derive(Clone, Debug, PartialEq)]
pub struct CreditedLime {
    /// The lime.
    pub lime: PastLime,
    /// The share of it that is left.
    pub left: f64,
    /// What that is; pure calcium carbonate.
    pub worth: LimeNeed,
}

impl LimeCredit {
    fn in_words(&self) -> String {
        let words: Vec<String> = self
            .each
            .iter()
            .map(|CreditedLime { lime, left, .. }| {
                format!(
                    "{:.2} ton/ac of {} after {} x {left:.2}",
                    lime.rate.to_short_tons_per_acre(),
                    lime.applied,
                    counted(lime.months.into(), "month", "months")
                )
            })
            .collect();
        words.join("; ")
    }
}

/// What is left of each lime when each month takes off the same part of it.
///
/// The loss is linear by the source; that nothing is the end of it is ours.
fn credited(past: &[PastLime], loss: &MonthlyLoss, rule: &Credit) -> LimeCredit {
    let mut total = LimeNeed::ZERO;
    let mut each = Vec::new();
    for lime in past {
        let left = (1.0 - loss.part * f64::from(lime.months)).max(0.0);
        let worth = lime.rate * left;
        total += worth;
        each.push(CreditedLime { lime: lime.clone(), left, worth });
    }
    LimeCredit {
        soil_class: loss.soil_class,
        monthly_loss: loss.part,
        each,
        total,
        source: Citation { key: rule.source.clone(), locator: rule.locator.clone() },
    }
}
