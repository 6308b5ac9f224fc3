//! The checks of the parts of a table that limes to a share of the soil's charge.

use super::super::card::MethodMedium;
use super::super::reads::Reads;
use super::check::Check;
use super::{AcidityByBuffer, MethodTable};
use crate::units::SoilValue;

/// The charges that may be summed as bases.
const BASES: [SoilValue; 4] =
    [SoilValue::Calcium, SoilValue::Magnesium, SoilValue::Potassium, SoilValue::Sodium];

impl Check {
    pub(super) fn base_saturation(&mut self, table: &MethodTable) {
        let Some(rule) = &table.base_saturation else {
            self.refuse("`base_saturation` is missing", "the numbers of the rule");
            return;
        };
        self.above_nothing("base_saturation.need_per_charge", rule.need_per_charge, 1e6);
        let acidity = match &rule.acidity {
            None => Reads::Value(SoilValue::PotentialAcidity),
            Some(curve) => {
                self.acidity(curve);
                Reads::BufferPh
            }
        };
        self.charges("base_saturation.bases", &rule.bases, acidity, table);
    }

    pub(super) fn aluminium_saturation(&mut self, table: &MethodTable) {
        let Some(rule) = &table.aluminium_saturation else {
            self.refuse("`aluminium_saturation` is missing", "the numbers of the rule");
            return;
        };
        self.above_nothing("aluminium_saturation.need_per_charge", rule.need_per_charge, 1e6);
        self.above_nothing("aluminium_saturation.factor", rule.factor, 100.0);
        if let Some(beyond) = rule.factor_beyond_aluminium {
            self.above_nothing("aluminium_saturation.factor_beyond_aluminium", beyond, 100.0);
        }
        let aluminium = Reads::Value(SoilValue::Aluminium);
        self.charges("aluminium_saturation.bases", &rule.bases, aluminium, table);
    }

    /// A curve that falls at first, and is straight or bends upward.
    fn acidity(&mut self, curve: &AcidityByBuffer) {
        self.above_nothing("base_saturation.acidity.fixed", curve.fixed, 1e6);
        self.above_nothing("-base_saturation.acidity.per_unit", -curve.per_unit, 1e6);
        if !(0.0..1e6).contains(&curve.per_square) {
            let found = curve.per_square;
            self.refuse(
                format!("`base_saturation.acidity.per_square` is {found}"),
                "from 0 to below 1000000: the curve may turn upward only",
            );
        }
        for (field, text) in [("source", &curve.source), ("locator", &curve.locator)] {
            if text.trim().is_empty() {
                self.refuse(format!("`base_saturation.acidity.{field}` is empty"), "words");
            }
        }
    }

    /// The bases, each once, and that the table reads them and `lead` and nothing else.
    fn charges(&mut self, field: &str, bases: &[SoilValue], lead: Reads, table: &MethodTable) {
        let twice = (1..bases.len()).any(|at| bases[..at].contains(&bases[at]));
        if bases.is_empty() || twice || !bases.iter().all(|base| BASES.contains(base)) {
            let all: Vec<&str> = BASES.into_iter().map(SoilValue::key).collect();
            self.refuse(
                format!("`{field}` are missing, double or no bases"),
                format!("each once, of {}", all.join(", ")),
            );
        }
        for reads in bases.iter().copied().map(Reads::Value).chain([lead]) {
            self.reads_also(table, reads);
        }
        if table.reads.lead() != lead {
            let key = lead.key();
            self.refuse(format!("`reads` does not begin with `{key}`"), format!("`{key}` first"));
        }
        if table.reads.iter().count() > bases.len() + 1 {
            self.refuse("`reads` names what the rule does not take", "its readings alone");
        }
        let any = MethodMedium::Any.words();
        if table.ph_medium != any && table.trigger.is_none() {
            let what = format!("`ph_medium` is `{}`, and no pH decides the need", table.ph_medium);
            self.refuse(what, format!("`{any}`, unless there is a `trigger`"));
        }
    }
}
