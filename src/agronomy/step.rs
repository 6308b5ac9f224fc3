//! One step of a computation, told so that a specialist can redo it by hand.

use serde::Serialize;

/// One step: in words with its numbers, and the same numbers by name.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Step {
    /// A short stable name of what is done.
    pub key: &'static str,
    /// The step in words, its numbers among them.
    pub words: String,
    /// The numbers in full precision.
    pub numbers: Vec<StepNumber>,
    /// The publication that the step rests on, and the place in it; left out where it rests on
    /// none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
}

/// A number of a step.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StepNumber {
    /// What it is.
    pub name: &'static str,
    /// The number.
    pub value: f64,
    /// Its unit; left out for a share, a count and a value on a pH scale.
    #[serde(skip_serializing_if = "str::is_empty")]
    pub unit: &'static str,
}

impl Step {
    /// A step without numbers.
    pub fn new(key: &'static str, words: impl Into<String>) -> Self {
        Self { key, words: words.into(), numbers: Vec::new(), source: None }
    }

    /// The same with one more number.
    #[must_use]
    pub fn with(mut self, name: &'static str, value: f64, unit: &'static str) -> Self {
        self.numbers.push(StepNumber { name, value, unit });
        self
    }

    /// The same, resting on `source`.
    #[must_use]
    pub fn resting_on(mut self, source: String) -> Self {
        self.source = Some(source);
        self
    }

    /// The number called `name`.
    pub fn number(&self, name: &str) -> Option<f64> {
        self.numbers.iter().find(|number| number.name == name).map(|number| number.value)
    }
}
