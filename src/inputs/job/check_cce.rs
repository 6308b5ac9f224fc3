//! The calcium carbonate equivalent of a job's material: stated, as a neutralising value, or from
//! its composition; where it is stated and there is a composition, one is held against the other.

use std::ops::Range;

use super::check::Checker;
use super::check_worth::whole_share;
use super::material_file::MaterialTable;
use super::written::At;
use crate::agronomy::Step;
use crate::findings::{Finding, Problem};
use crate::material::{
    Basis, Composition, Kind, Oxides, Stated, calcite_as_oxide, composition_of,
    effective_as_spread, effective_dry,
};
use crate::units::{EffectiveFraction, Share, bound, plain};

/// A calcium carbonate equivalent and where it comes from.
#[derive(Debug)]
pub(super) struct Cce {
    pub(super) stated: Stated,
    pub(super) steps: Vec<Step>,
    pub(super) composition: Option<Composition>,
    pub(super) findings: Vec<Finding>,
    pub(super) span: Range<usize>,
}

/// How far a measured calcium carbonate equivalent may lie from that of the composition, in parts
/// of pure CaCO3: three points of a percent figure. Our own figure, without a source.
const CCE_TOLERANCE: f64 = 0.03;

/// What a neutralising value may be counted as.
pub(super) const NV_BASES: [&str; 2] = ["CaCO3", "CaO"];

impl Checker<'_> {
    pub(super) fn cce(
        &mut self,
        table: &MaterialTable,
        kind: Option<&'static Kind>,
        moisture: Option<Share>,
    ) -> Option<Cce> {
        self.keys_with_their_own(table);
        let had = self.problems.len();
        let measured = self.measured(table);
        let composition = self.composition(table, kind);
        if self.problems.len() > had {
            return None;
        }
        match (measured, composition) {
            (None, None) if table.composition.is_some() => None,
            (None, None) => {
                self.required::<()>(
                    "material.cce",
                    "the calcium carbonate equivalent, such as \"92 % dry\"; or `nv`, or \
                     `composition`",
                    None,
                );
                None
            }
            (Some((stated, steps, span)), None) => {
                Some(Cce { stated, steps, composition: None, findings: Vec::new(), span })
            }
            (None, Some((composition, span))) => Some(Cce {
                stated: Stated { fraction: composition.cce, basis: composition.basis },
                steps: vec![composition.step.clone()],
                findings: composition.findings.clone(),
                composition: Some(composition),
                span,
            }),
            (Some((stated, mut steps, span)), Some((composition, _))) => {
                steps.push(composition.step.clone());
                steps.push(self.held_together(stated, &composition, moisture, &span)?);
                let findings = composition.findings.clone();
                Some(Cce { stated, steps, findings, composition: Some(composition), span })
            }
        }
    }

    /// The figure that was measured, as `cce` or as `nv`, with the step that turns it into the former.
    fn measured(&mut self, table: &MaterialTable) -> Option<(Stated, Vec<Step>, Range<usize>)> {
        match (&table.cce, &table.nv) {
            (None, None) => None,
            (Some(cce), None) => {
                Some((self.stated(cce, &bound::CCE)?, Vec::new(), cce.span.clone()))
            }
            (Some(_), Some(nv)) => {
                let problem = Problem::at(
                    self.text.place(&nv.span),
                    "the material has both a `cce` and a neutralising value, `nv`",
                )
                .allowed("one of the two")
                .hint("leave `nv` out, or take it in place of `cce`");
                self.problems.push(problem);
                None
            }
            (None, Some(nv)) => {
                let stated = self.stated(nv, &bound::NEUTRALISING_VALUE);
                let counted = self.one_of("material.nv_basis", table.nv_basis.as_ref(), &NV_BASES);
                let (stated, counted) = (stated?, counted?);
                if counted == NV_BASES[0] {
                    return Some((stated, Vec::new(), nv.span.clone()));
                }
                let number = stated.fraction.to_number() / calcite_as_oxide();
                let Some(fraction) = EffectiveFraction::from_number(number) else {
                    let what = format!(
                        "a neutralising value of {} % as CaO is more than any material has",
                        plain(stated.fraction.to_percent(), 0, 2)
                    );
                    let problem = Problem::at(self.text.place(&nv.span), what)
                        .allowed("140 % as CaO at the most, which pure MgO nearly has")
                        .hint("check the figure and `nv_basis`");
                    self.problems.push(problem);
                    return None;
                };
                let words = format!(
                    "Neutralising value {} % as CaO over the {} % of pure CaCO3 = CCE {} %",
                    plain(stated.fraction.to_percent(), 0, 2),
                    plain(100.0 * calcite_as_oxide(), 0, 2),
                    plain(fraction.to_percent(), 0, 2)
                );
                let step = Step::new("neutralising_value", words)
                    .with("neutralising_value", stated.fraction.to_number(), "")
                    .with("cce", number, "");
                Some((Stated { fraction, basis: stated.basis }, vec![step], nv.span.clone()))
            }
        }
    }

    fn composition(
        &mut self,
        table: &MaterialTable,
        kind: Option<&'static Kind>,
    ) -> Option<(Composition, Range<usize>)> {
        let written = table.composition.as_ref()?;
        let bases = Basis::ALL.map(Basis::words);
        let basis =
            self.one_of("material.composition_basis", table.composition_basis.as_ref(), &bases);
        let oxides = match &table.oxides {
            None => None,
            Some(given) => {
                let words = Oxides::ALL.map(Oxides::words);
                let word = self.one_of("material.oxides", Some(given), &words)?;
                Oxides::ALL.into_iter().find(|one| one.words() == word)
            }
        };
        let parts: Vec<Option<(String, Share)>> = written
            .value
            .iter()
            .map(|(name, part)| {
                let share = self.quantity(part, &bound::COMPOUND).and_then(whole_share)?;
                Some((name.clone(), share))
            })
            .collect();
        let parts: Option<Vec<(String, Share)>> = parts.into_iter().collect();
        let basis = Basis::ALL.into_iter().find(|one| Some(one.words()) == basis);
        let place = self.text.place(&written.span);
        let composition = composition_of(&parts?, oxides, kind?, basis?, &place)
            .map_err(|problems| self.problems.extend(problems))
            .ok()?;
        Some((composition, written.span.clone()))
    }

    /// The step that holds a measured figure against the composition.
    fn held_together(
        &mut self,
        stated: Stated,
        composition: &Composition,
        moisture: Option<Share>,
        span: &Range<usize>,
    ) -> Option<Step> {
        let found = Stated { fraction: composition.cce, basis: composition.basis };
        let on_its_basis = match (found.basis, stated.basis) {
            (Basis::Dry, Basis::AsReceived) => effective_as_spread(found, moisture),
            (Basis::AsReceived, Basis::Dry) => effective_dry(found, moisture),
            _ => Some(found.fraction),
        };
        let Some(from_composition) = on_its_basis else {
            let what = "`cce` and `composition` are on different bases, and there is no moisture \
                        that turns one into the other";
            let problem = Problem::at(self.text.place(span), what)
                .allowed("both on one basis, or `material.moisture`")
                .hint("add the moisture of the pile from the supplier's analysis");
            self.problems.push(problem);
            return None;
        };
        let (measured, made) = (stated.fraction.to_percent(), from_composition.to_percent());
        if (measured - made).abs() > 100.0 * CCE_TOLERANCE + 1e-9 {
            let what = format!(
                "the CCE is stated as {} %, and the composition makes {} % ({})",
                plain(measured, 0, 2),
                plain(made, 0, 2),
                stated.basis.words()
            );
            let problem = Problem::at(self.text.place(span), what)
                .allowed(format!("the two within {} points", plain(100.0 * CCE_TOLERANCE, 0, 0)))
                .hint("check which of the two is of this lot; leave the other out");
            self.problems.push(problem);
            return None;
        }
        let words = format!(
            "The stated CCE of {} % counts; the composition makes {} %, within the {} points that \
             are allowed",
            plain(measured, 0, 2),
            plain(made, 0, 2),
            plain(100.0 * CCE_TOLERANCE, 0, 0)
        );
        let step = Step::new("cce_held_against_composition", words);
        Some(step.with("stated", measured / 100.0, "").with("composition", made / 100.0, ""))
    }

    /// Keys that say something of another key, which is not there.
    fn keys_with_their_own(&mut self, table: &MaterialTable) {
        let alone: [(&str, Option<&At<String>>, &str, bool); 3] = [
            ("nv_basis", table.nv_basis.as_ref(), "nv", table.nv.is_some()),
            (
                "composition_basis",
                table.composition_basis.as_ref(),
                "composition",
                table.composition.is_some(),
            ),
            ("oxides", table.oxides.as_ref(), "composition", table.composition.is_some()),
        ];
        for (key, written, other, is_there) in alone {
            if let (Some(written), false) = (written, is_there) {
                let what = format!("`material.{key}` stands without `material.{other}`");
                let problem = Problem::at(self.text.place(&written.span), what)
                    .allowed(format!("`{key}` beside `{other}`"))
                    .hint(format!("leave it out, or add `{other}`"));
                self.problems.push(problem);
            }
        }
    }
}
