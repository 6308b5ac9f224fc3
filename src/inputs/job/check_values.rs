//! The units and columns of what the samples hold beside pH and buffer pH.

use std::collections::BTreeMap;

use super::check::Checker;
use super::file::{ColumnsTable, SamplesTable, UnitsTable};
use super::written::At;
use crate::agronomy::{AlExtract, CapacityReading, ValueUnits};
use crate::findings::Problem;
use crate::units::SoilValue;

impl Checker<'_> {
    /// The units that `[samples.units]` states.
    pub(super) fn value_units(&mut self, table: &SamplesTable) -> Option<ValueUnits> {
        let mut units = ValueUnits::default();
        let Some(At { value: stated, .. }) = &table.units else { return Some(units) };
        let mut is_clean = true;
        for value in SoilValue::ALL {
            let Some(written) = unit_of(stated, value) else { continue };
            if let Some(unit) = value.unit_written(&written.value) {
                units.set(value, unit);
                continue;
            }
            is_clean = false;
            let what = format!("`samples.units.{}` is `{}`", value.key(), written.value);
            let problem = Problem::at(self.text.place(&written.span), what)
                .allowed(value.bounded().kind.words())
                .hint("ask the laboratory; a value by volume of soil (per 100 cm3) is another one");
            self.problems.push(problem);
        }
        is_clean.then_some(units)
    }

    /// The extract of the aluminium; `Some(None)` where the job states none.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn al_extract(&mut self, table: &SamplesTable) -> Option<Option<AlExtract>> {
        let known = AlExtract::ALL.map(AlExtract::words);
        self.word("samples.al_extract", table.al_extract.as_ref(), AlExtract::from_words, &known)
    }

    /// After what time the lime buffer capacity was read; `Some(None)` where the job does not say.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn capacity_read(
        &mut self,
        table: &SamplesTable,
    ) -> Option<Option<CapacityReading>> {
        let known = CapacityReading::ALL.map(CapacityReading::words);
        let key = "samples.buffer_capacity_read";
        let written = table.buffer_capacity_read.as_ref();
        self.word(key, written, CapacityReading::from_words, &known)
    }
}

/// The key of a value in a table that has one key for each, whatever the table is of.
macro_rules! key_of {
    ($table:expr, $value:expr) => {
        match $value {
            SoilValue::Acidity => $table.acidity.as_ref(),
            SoilValue::Cec => $table.cec.as_ref(),
            SoilValue::Aluminium => $table.aluminium.as_ref(),
            SoilValue::Calcium => $table.calcium.as_ref(),
            SoilValue::Magnesium => $table.magnesium.as_ref(),
            SoilValue::Potassium => $table.potassium.as_ref(),
            SoilValue::Sodium => $table.sodium.as_ref(),
            SoilValue::PotentialAcidity => $table.potential_acidity.as_ref(),
            SoilValue::OrganicCarbon => $table.organic_carbon.as_ref(),
            SoilValue::OrganicMatter => $table.organic_matter.as_ref(),
            SoilValue::Clay => $table.clay.as_ref(),
            SoilValue::BufferCapacity => $table.buffer_capacity.as_ref(),
            SoilValue::LabRecommendation => $table.lab_recommendation.as_ref(),
        }
    };
}

fn unit_of(table: &UnitsTable, value: SoilValue) -> Option<&At<String>> {
    key_of!(table, value)
}

/// The columns that the job maps.
pub(super) fn mapped_values(table: &ColumnsTable) -> BTreeMap<SoilValue, String> {
    let named = |value: SoilValue| {
        let column: Option<&At<String>> = key_of!(table, value);
        Some((value, column?.value.clone()))
    };
    SoilValue::ALL.into_iter().filter_map(named).collect()
}
