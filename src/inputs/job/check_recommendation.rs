//! The `[need.lab]` table of a job: what the laboratory's recommendations are recommendations of.

use super::check::Checker;
use super::file::{JobFile, LabNeedTable, TargetTable};
use super::{JobTarget, RecommendationPart};
use crate::agronomy::{LAB_RECOMMENDATION, Target};
use crate::findings::Problem;
use crate::material::recommendation_basis;
use crate::units::{bound, ph_words};

/// Targets closer than this are the same; the rest is rounding.
const SAME_PH: f64 = 1e-9;

impl Checker<'_> {
    /// What is stated of the recommendations, where they are the method; all of it is asked for.
    pub(super) fn recommendation(&mut self, file: &JobFile) -> Option<RecommendationPart> {
        let need = file.need.as_ref().map(|table| &table.value);
        let written = need.and_then(|table| table.lab.as_ref());
        if !is_asked(file) {
            if let Some(written) = written {
                self.problems.push(
                    Problem::at(
                        self.text.place(&written.span),
                        "`[need.lab]` says what a laboratory's recommendation is of, and \
                         need.method takes none",
                    )
                    .allowed(format!("need.method = \"{LAB_RECOMMENDATION}\" beside it"))
                    .hint("take the table out, or take the recommendations as the need"),
                );
            }
            return None;
        }
        let empty = LabNeedTable::default();
        let table = written.map_or(&empty, |table| &table.value);
        let basis = self.required(
            "need.lab.basis",
            "what the recommended amount is an amount of, as the report states it: `100 % CCE`, \
             `ECCE 80 %`, `lb ENP` and so on",
            table.basis.as_ref(),
        );
        let basis = basis.and_then(|basis| {
            recommendation_basis(&basis.value, self.text.place(&basis.span))
                .map_err(|problem| self.problems.push(problem))
                .ok()
        });
        let depth = self.required(
            "need.lab.depth",
            "the depth of soil that the laboratory limed, as its report states it",
            table.depth.as_ref(),
        );
        let depth = depth.filter(|depth| self.quantity(depth, &bound::LIMED_DEPTH).is_some());
        let target = self.required(
            "need.lab.target",
            "the pH that the laboratory limed to, as its report states it",
            table.target.as_ref(),
        );
        let target_ph = target.and_then(|target| self.ph(target, &bound::TARGET_PH));
        let depth = depth?.value.0.trim().to_owned();
        Some(RecommendationPart { basis: basis?, depth, target_ph: target_ph? })
    }

    /// The job's target, which is the laboratory's where it gives the need.
    pub(super) fn target_or_recommended(
        &mut self,
        file: &JobFile,
        stated: Option<&RecommendationPart>,
    ) -> Option<JobTarget> {
        if !is_asked(file) {
            return self.target(file);
        }
        let table = file.target.as_ref().map(|table| table.value.clone()).unwrap_or_default();
        if !has_an_aim(&table) {
            let treat_below =
                table.treat_below.as_ref().and_then(|ph| self.ph(ph, &bound::TREAT_BELOW));
            let aim = Target::Ph(stated?.target_ph);
            return Some(JobTarget { aim, treat_below, by_crop: None });
        }
        let target = self.target(file)?;
        let stated = stated?;
        if target.aim.ph().is_some_and(|ph| (ph - stated.target_ph).abs() <= SAME_PH) {
            return Some(target);
        }
        let span = file.target.as_ref().map_or(0..0, |table| table.span.clone());
        let limed_to = ph_words(stated.target_ph);
        let what = format!(
            "the job limes to {}, and the laboratory's recommendations are for pH {limed_to}",
            target.aim.words()
        );
        self.problems.push(
            Problem::at(self.text.place(&span), what)
                .allowed(format!("target.ph = {limed_to}, as need.lab.target, or no [target]"))
                .hint(
                    "a recommendation cannot be turned into one for another target; take a \
                     method that reads what the laboratory measured",
                ),
        );
        None
    }
}

fn is_asked(file: &JobFile) -> bool {
    let method = file.need.as_ref().and_then(|table| table.value.method.as_ref());
    method.is_some_and(|method| method.value.trim() == LAB_RECOMMENDATION)
}

fn has_an_aim(table: &TargetTable) -> bool {
    table.ph.is_some()
        || table.crop.is_some()
        || table.rotation.is_some()
        || table.base_saturation.is_some()
        || table.aluminium_saturation.is_some()
        || table.guide.is_some()
}
