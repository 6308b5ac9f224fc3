//! Fields together: a set that merges in any order and grouping.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::sync::Arc;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::row::FieldRow;
use crate::summary::part;

part! {
    /// A field that could not be prescribed.
    FailedField {
        /// What its folder would be called.
        id: String,
        /// Its job file, as the list names it.
        job: String,
        /// Why, each problem with its place.
        reasons: Vec<String>,
    }
}

/// A set of finished and failed fields, by their ids. Rows are shared by all that hold them: of
/// thousands of fields one copy is in memory.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fields {
    rows: BTreeMap<String, Arc<FieldRow>>,
    failed: BTreeMap<String, FailedField>,
}

/// Two different results are called the same.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("two different results are called `{0}`")]
pub struct SameName(pub String);

impl Fields {
    /// A set of one finished field.
    pub fn done(row: impl Into<Arc<FieldRow>>) -> Self {
        let row = row.into();
        Self { rows: BTreeMap::from([(row.id.clone(), row)]), ..Self::default() }
    }

    /// A set of one failed field.
    pub fn failed(failed: FailedField) -> Self {
        Self { failed: BTreeMap::from([(failed.id.clone(), failed)]), ..Self::default() }
    }

    /// Both sets in one. A field that is the same in both counts once; one that failed in either
    /// counts as failed, because its other result is older than what its job says now.
    ///
    /// # Errors
    /// Returns the id that two different finished results have.
    pub fn merge(mut self, other: Self) -> Result<Self, SameName> {
        for (id, failed) in other.failed {
            self.rows.remove(&id);
            match self.failed.entry(id) {
                Entry::Vacant(free) => {
                    free.insert(failed);
                }
                Entry::Occupied(mut taken) => taken.get_mut().and(failed),
            }
        }
        for (id, row) in other.rows {
            if self.failed.contains_key(&id) {
                continue;
            }
            match self.rows.entry(id) {
                Entry::Vacant(free) => {
                    free.insert(row);
                }
                Entry::Occupied(taken) if *taken.get() == row => {}
                Entry::Occupied(taken) => return Err(SameName(taken.key().clone())),
            }
        }
        Ok(self)
    }

    /// The finished fields, by their ids.
    pub fn rows(&self) -> impl Iterator<Item = &FieldRow> {
        self.rows.values().map(Arc::as_ref)
    }

    /// The same, to be held on to.
    pub fn shared_rows(&self) -> Vec<Arc<FieldRow>> {
        self.rows.values().cloned().collect()
    }

    /// The finished fields that `wanted` holds for.
    #[must_use]
    pub fn only(&self, wanted: impl Fn(&str) -> bool) -> Self {
        let rows = self.rows.iter().filter(|(id, _)| wanted(id));
        let rows = rows.map(|(id, row)| (id.clone(), Arc::clone(row))).collect();
        Self { rows, ..Self::default() }
    }

    /// The same fields with other rows in the place of those that `other` gives one for.
    #[must_use]
    pub(super) fn changed(
        &self,
        mut other: impl FnMut(&FieldRow) -> Option<Arc<FieldRow>>,
    ) -> Self {
        let rows = self.rows.iter();
        let rows =
            rows.map(|(id, row)| (id.clone(), other(row).unwrap_or_else(|| Arc::clone(row))));
        Self { rows: rows.collect(), failed: self.failed.clone() }
    }

    /// The failed fields, by their ids.
    pub fn failures(&self) -> impl Iterator<Item = &FailedField> {
        self.failed.values()
    }
}

impl FailedField {
    /// The reasons of both; of two job files the one whose name comes first stands.
    fn and(&mut self, other: Self) {
        if other.job < self.job {
            self.job = other.job;
        }
        // The same reasons keep the order in which they were found.
        if self.reasons != other.reasons {
            self.reasons.extend(other.reasons);
            self.reasons.sort_unstable();
            self.reasons.dedup();
        }
    }
}
