//! The `[target]` table of a job: what to lime to, stated or by the crops.

use super::check::Checker;
use super::file::{JobFile, TargetTable};
use super::written::At;
use super::{CropAim, JobTarget};
use crate::agronomy::{CropTarget, Target, crop_guide};
use crate::findings::{Place, Problem};
use crate::units::bound;

impl Checker<'_> {
    pub(super) fn target(&mut self, file: &JobFile) -> Option<JobTarget> {
        let empty = TargetTable::default();
        let table = file.target.as_ref().map_or(&empty, |table| &table.value);
        let treat_below =
            table.treat_below.as_ref().and_then(|ph| self.ph(ph, &bound::TREAT_BELOW));
        let crops = self.crops(table)?;
        let stated = [
            ("target.ph", table.ph.as_ref().map(|it| &it.span)),
            ("target.crop", table.crop.as_ref().map(|it| &it.span)),
            ("target.rotation", table.rotation.as_ref().map(|it| &it.span)),
            ("target.base_saturation", table.base_saturation.as_ref().map(|it| &it.span)),
            ("target.aluminium_saturation", table.aluminium_saturation.as_ref().map(|it| &it.span)),
        ];
        let stated: Vec<_> =
            stated.into_iter().filter_map(|(key, span)| Some((key, span?))).collect();
        if let [_, (key, span), ..] = stated.as_slice() {
            let what = format!("`{key}` and `{}` are two targets", stated[0].0);
            self.problems.push(
                Problem::at(self.text.place(span), what)
                    .allowed("one of target.ph, crop, rotation and the saturations")
                    .hint("leave all but one of them out"),
            );
            return None;
        }
        if crops.is_empty() {
            self.guide_without_crop(table);
        }
        if let Some(share) = &table.base_saturation {
            let share = self.quantity(share, &bound::BASE_SATURATION)?;
            return Some(JobTarget {
                aim: Target::BaseSaturation(share),
                treat_below,
                by_crop: None,
            });
        }
        if let Some(share) = &table.aluminium_saturation {
            let share = self.quantity(share, &bound::ALUMINIUM_SATURATION)?;
            let aim = Target::AluminiumSaturation(share);
            return Some(JobTarget { aim, treat_below, by_crop: None });
        }
        if !crops.is_empty() {
            let by_crop = self.most_demanding(table, &crops)?;
            let CropTarget { ph, treat_below: of_guide, .. } = by_crop.deciding;
            let treat_below = treat_below.or(of_guide);
            return Some(JobTarget { aim: Target::Ph(ph), treat_below, by_crop: Some(by_crop) });
        }
        let ph = self.required(
            "target.ph",
            "the pH to lime to, or target.crop with target.guide; it changes the tons and has no \
             default",
            table.ph.as_ref(),
        );
        let ph = self.ph(ph?, &bound::TARGET_PH)?;
        Some(JobTarget { aim: Target::Ph(ph), treat_below, by_crop: None })
    }

    /// The crops that the job names, each where it stands.
    fn crops(&mut self, table: &TargetTable) -> Option<Vec<At<String>>> {
        let Some(rotation) = &table.rotation else {
            return Some(table.crop.iter().cloned().collect());
        };
        if rotation.value.is_empty() {
            self.problems.push(
                Problem::at(self.text.place(&rotation.span), "`target.rotation` names no crop")
                    .allowed("the crops of the rotation, such as [\"corn\", \"alfalfa\"]")
                    .hint("name them, or state target.ph"),
            );
            return None;
        }
        Some(rotation.value.clone())
    }

    /// The crop with the highest target, and the one first named of several.
    fn most_demanding(&mut self, table: &TargetTable, crops: &[At<String>]) -> Option<CropAim> {
        let named = self.required(
            "target.guide",
            "the guide whose targets are taken, by the region of the field: `limewright methods \
             --crops` lists them",
            table.guide.as_ref(),
        )?;
        let guide = crop_guide(&named.value)
            .map_err(|problem| self.problems.push(self.placed(&named.span, problem)))
            .ok()?;
        let ground = table.ground.as_ref().map(|ground| ground.value.as_str());
        let mut found: Vec<CropTarget> = Vec::new();
        let before = self.problems.len();
        for crop in crops {
            match guide.target(&crop.value, ground) {
                Ok(target) => found.push(target),
                Err(problem) => {
                    let problem = self.placed(&crop.span, problem);
                    if !self.problems[before..].contains(&problem) {
                        self.problems.push(problem);
                    }
                }
            }
        }
        if self.problems.len() > before {
            return None;
        }
        let mut rest = found.iter();
        let first = rest.next()?;
        let deciding = rest.fold(first, |most, next| if next.ph > most.ph { next } else { most });
        let crops = crops.iter().map(|crop| crop.value.clone()).collect();
        Some(CropAim { crops, deciding: deciding.clone(), guide })
    }

    fn guide_without_crop(&mut self, table: &TargetTable) {
        for (key, written) in [("target.guide", &table.guide), ("target.ground", &table.ground)] {
            if let Some(written) = written {
                let what = format!("`{key}` says nothing without a crop");
                self.problems.push(
                    Problem::at(self.text.place(&written.span), what)
                        .allowed("target.crop or target.rotation beside it")
                        .hint("name the crop, or leave the key out"),
                );
            }
        }
    }

    /// A problem that knows no file, at its place in the job.
    fn placed(&self, span: &std::ops::Range<usize>, problem: Problem) -> Problem {
        let place = self.text.place(span);
        Problem { place: Place { ..place }, ..problem }
    }
}
