//! The checks of the parts of a table that go by what a soil is made of.

use super::super::reads::Reads;
use super::check::Check;
use super::{MethodTable, Rise};
use crate::units::{SoilValue, bound};

impl Check {
    /// The range of targets of a rule that serves all between two.
    pub(super) fn target_range(&mut self, table: &MethodTable) {
        if !table.targets.is_empty() {
            self.refuse("`targets` stand beside a rule for all targets", "`target_range` alone");
        }
        let Some([least, most]) = table.target_range else {
            self.refuse("`target_range` is missing", "the lowest and the highest target");
            return;
        };
        // A saturation stands here in percent, as its limits do.
        let bounds = table.shape.aim().bounded();
        for (field, target) in [("target_range[0]", least), ("target_range[1]", most)] {
            if !(bounds.least..=bounds.most).contains(&target) {
                self.refuse(format!("`{field}` is {target}"), bounds.allowed());
            }
        }
        if least >= most {
            self.refuse("`target_range` does not rise", "the lowest target, then the highest");
        }
    }

    pub(super) fn classes(&mut self, table: &MethodTable) {
        let Some(classes) = &table.classes else {
            self.refuse("`classes` are missing", "the printed classes");
            return;
        };
        self.only_targets(table, 1);
        self.reads_also(table, Reads::Ph);
        self.reads_also(table, Reads::Value(classes.value));
        self.unit("classes.value_unit", classes.value, &classes.value_unit);
        for (field, decimals) in [
            ("classes.ph_decimals", classes.ph_decimals),
            ("classes.value_decimals", classes.value_decimals),
        ] {
            if decimals > 4 {
                self.refuse(format!("`{field}` is {decimals}"), "from 0 to 4");
            }
        }
        let rises = |ends: &[f64]| {
            ends.iter().all(|end| end.is_finite()) && ends.is_sorted_by(|a, b| a < b)
        };
        if !rises(&classes.value_up_to) || classes.value_up_to.is_empty() {
            self.refuse("`classes.value_up_to` do not rise", "the end of each class but the last");
        }
        let ends: Vec<f64> = classes.rows.iter().filter_map(|row| row.ph_up_to).collect();
        let last_is_open = classes.rows.last().is_some_and(|row| row.ph_up_to.is_none());
        if !rises(&ends) || ends.len() + 1 != classes.rows.len() || !last_is_open {
            let allowed = "an end for each class of pH but the last, each above the one before";
            self.refuse("`classes.rows` do not rise", allowed);
        }
        let columns = classes.value_up_to.len() + 1;
        for (at, row) in classes.rows.iter().enumerate() {
            if row.needs.len() != columns {
                self.refuse(
                    format!("`classes.rows[{at}].needs` has {} numbers", row.needs.len()),
                    format!("{columns}, one for each class"),
                );
            }
            for (column, &need) in row.needs.iter().enumerate() {
                self.need(&format!("classes.rows[{at}].needs[{column}]"), need, table);
            }
        }
    }

    pub(super) fn texture_columns(&mut self, table: &MethodTable) {
        self.only_targets(table, 1);
        self.reads_also(table, Reads::Texture);
        let twice =
            (1..table.textures.len()).any(|at| table.textures[..at].contains(&table.textures[at]));
        if table.textures.is_empty() || twice {
            self.refuse("`textures` are missing or double", "one texture class for each column");
        }
        self.rows_of(table, table.textures.len(), "texture class");
        let highest = table.rows.iter().map(|row| row.reading).fold(f64::MIN, f64::max);
        if let Some(end) = &table.carried
            && !(end.zero_at > highest && end.zero_at <= 14.0)
        {
            self.refuse(
                format!("`carried.zero_at` is {}", end.zero_at),
                format!("a reading above the highest row, {highest}"),
            );
        }
    }

    pub(super) fn rises(&mut self, table: &MethodTable) {
        let for_all = matches!(table.rises.as_slice(), [Rise { texture: None, .. }]);
        let classes: Vec<_> = table.rises.iter().map(|rise| rise.texture).collect();
        let twice = (1..classes.len()).any(|at| classes[..at].contains(&classes[at]));
        if table.rises.is_empty() || twice || !(for_all || classes.iter().all(Option::is_some)) {
            self.refuse(
                "`rises` are not one for all soils or one for each texture class",
                "one without a texture, or several with a texture of their own each",
            );
        }
        self.reads_also(table, Reads::Ph);
        if !for_all {
            self.reads_also(table, Reads::Texture);
        }
        for (at, rise) in table.rises.iter().enumerate() {
            self.above_nothing(&format!("rises[{at}].rise"), rise.rise, 14.0);
            self.above_nothing(&format!("rises[{at}].by"), rise.by, 1e6);
        }
        if let Some(addition) = &table.addition {
            self.reads_also(table, Reads::Value(addition.value));
            self.unit("addition.unit", addition.value, &addition.unit);
            self.need("addition.need", addition.need, table);
            self.above_nothing("addition.above", addition.above, 1e6);
        }
    }

    pub(super) fn weakly(&mut self, table: &MethodTable) {
        let Some(rule) = &table.weakly else {
            self.refuse("`weakly` is missing", "the numbers of the rule");
            return;
        };
        self.reads_also(table, Reads::Ph);
        self.reads_also(table, Reads::Value(SoilValue::Cec));
        self.above_nothing("weakly.cec_below", rule.cec_below, 250.0);
        self.above_nothing("weakly.least_rise", rule.least_rise, 14.0);
        self.above_nothing("weakly.greatest_rise", rule.greatest_rise, 14.0);
        self.above_nothing("weakly.by", rule.by, 1e6);
        self.need("weakly.most", rule.most, table);
        if !(rule.least_rise..=rule.greatest_rise).contains(&rule.taken_rise) {
            let allowed = format!("from {} to {}", rule.least_rise, rule.greatest_rise);
            self.refuse(format!("`weakly.taken_rise` is {}", rule.taken_rise), allowed);
        }
    }

    pub(super) fn capacity(&mut self, table: &MethodTable) {
        let Some(rule) = &table.capacity else {
            self.refuse("`capacity` is missing", "the numbers of the rule");
            return;
        };
        self.reads_also(table, Reads::Ph);
        self.reads_also(table, Reads::Value(SoilValue::BufferCapacity));
        self.above_nothing("capacity.ratio_fixed", rule.ratio_fixed, 100.0);
        if !(0.0..1.0).contains(&rule.ratio_per_unit) {
            let found = rule.ratio_per_unit;
            self.refuse(format!("`capacity.ratio_per_unit` is {found}"), "from 0 to below 1");
        }
        self.above_nothing("capacity.soil_mass", rule.soil_mass, 1e8);
    }

    pub(super) fn saturation(&mut self, table: &MethodTable) {
        let Some(equation) = &table.saturation else {
            self.refuse("`saturation` is missing", "the numbers of the equation");
            return;
        };
        self.reads_also(table, Reads::BufferPh);
        self.number("saturation.no_acidity_at", equation.no_acidity_at, &bound::BUFFER_PH);
        self.number("saturation.ph_at_none", equation.ph_at_none, &bound::SOIL_PH);
        self.above_nothing("saturation.linear", equation.linear, 1e6);
        self.above_nothing("saturation.square", equation.square, 1e6);
        self.above_nothing("saturation.need_per_ph", equation.need_per_ph, 1e6);
        // The rule falls with the pH only up to the pH without saturation.
        if table.target_range.is_some_and(|[_, most]| most >= equation.ph_at_none) {
            let allowed = format!("a highest target below {}", equation.ph_at_none);
            self.refuse("`target_range` goes beyond the equation", allowed);
        }
    }

    fn only_targets(&mut self, table: &MethodTable, count: usize) {
        if table.targets.len() != count {
            let found = table.targets.len();
            self.refuse(format!("`targets` has {found} numbers"), format!("{count} in this shape"));
        }
    }

    pub(super) fn reads_also(&mut self, table: &MethodTable, reads: Reads) {
        if !table.reads.has(reads) {
            let key = reads.key();
            self.refuse(
                format!("`reads` does not have `{key}`"),
                format!("`{key}` among the readings, which this table goes by"),
            );
        }
    }

    fn unit(&mut self, field: &str, value: SoilValue, unit: &str) {
        if value.unit_written(unit).is_none() {
            self.refuse(format!("`{field}` is `{unit}`"), value.bounded().kind.words());
        }
    }

    pub(super) fn above_nothing(&mut self, field: &str, number: f64, most: f64) {
        if !(number.is_finite() && number > 0.0 && number < most) {
            self.refuse(format!("`{field}` is {number}"), format!("above 0 and below {most}"));
        }
    }
}
