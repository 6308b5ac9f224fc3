//! What the material of a job is worth: one figure, or its analysis.

use std::collections::BTreeMap;
use std::ops::Range;

use super::check::Checker;
use super::material_file::{FinenessTable, MaterialTable};
use super::written::{At, Written};
use crate::findings::{Finding, Problem};
use crate::material::{
    Analysis, Basis, Fineness, Kind, Rating, SieveAnalysis, Stated, all_ratings,
    analysis_by_size_class, fineness_from, fineness_scheme,
};
use crate::units::{Bounded, EffectiveFraction, Share, bound};

/// What a material is worth, as the job tells it.
#[derive(Debug)]
pub(super) struct Worth {
    pub(super) stated: Stated,
    pub(super) rating: Option<&'static Rating>,
    pub(super) analysis: Option<Analysis>,
    pub(super) findings: Vec<Finding>,
    /// Where the figure stands that the worth begins with.
    pub(super) span: Range<usize>,
}

/// Figures under the names of their sieves or classes.
type Parts = At<BTreeMap<String, At<Written>>>;

/// One figure that counts the fineness already: under its rating, or as a plain effective part.
type Figure<'t> = (Option<&'static Rating>, &'t At<Written>);

impl MaterialTable {
    /// All figures that count the fineness already; one at the most may be there.
    fn figures(&self) -> Vec<Figure<'_>> {
        let given = |rating: &'static Rating| {
            let written = match rating.key {
                "ecce" => &self.ecce,
                "env" => &self.env,
                "rnv" => &self.rnv,
                "ecc" => &self.ecc,
                "prnt" => &self.prnt,
                "enp" => &self.enp,
                "enm" => &self.enm,
                _ => &None,
            };
            written.as_ref().map(|written| (Some(rating), written))
        };
        let plain = self.effective.as_ref().map(|written| (None, written));
        plain.into_iter().chain(all_ratings().iter().filter_map(given)).collect()
    }

    fn has_analysis(&self) -> bool {
        let parts = self.cce.is_some() || self.nv.is_some() || self.composition.is_some();
        parts || self.fineness.is_some()
    }
}

impl Checker<'_> {
    /// The effective part as stated, or from the analysis and together with it.
    pub(super) fn worth(
        &mut self,
        table: &MaterialTable,
        kind: Option<&'static Kind>,
        moisture: Option<Share>,
    ) -> Option<Worth> {
        let figures = table.figures();
        if let [first, second, ..] = figures.as_slice() {
            let what = format!(
                "the material has two figures of its effect: {} and {}",
                key(first),
                key(second)
            );
            let problem = Problem::at(self.text.place(&second.1.span), what)
                .allowed("one of them, from which the other follows")
                .hint("take the one that the supplier guarantees");
            self.problems.push(problem);
            return None;
        }
        let figure = figures.first();
        if !table.has_analysis() {
            if let Some(&(rating, written)) = figure {
                return self.figure(rating, written);
            }
            self.required::<Written>(
                "material.effective",
                "the part that neutralises as pure CaCO3 does, such as \"63 % as received\"; or \
                 `cce`, `moisture` and `fineness` from the analysis",
                None,
            );
            return None;
        }
        if let Some((_, written)) = figure {
            let problem = Problem::at(
                self.text.place(&written.span),
                "the material has both an effective part and `cce` or `fineness`",
            )
            .allowed("either `effective`, or `cce` and `fineness`, from which it follows")
            .hint("leave one of the two out: fineness must not be counted twice");
            self.problems.push(problem);
            return None;
        }
        self.analysed(table, kind, moisture)
    }

    /// A figure that counts the fineness already.
    fn figure(&mut self, rating: Option<&'static Rating>, written: &At<Written>) -> Option<Worth> {
        let bounded = rating.map_or(&bound::EFFECTIVE, |rating| rating.bounded);
        let (number, basis) = self.number_and_basis(written, bounded)?;
        let fraction = match rating {
            None => EffectiveFraction::from_number(number),
            Some(rating) => rating.effective(number),
        };
        let stated = Stated { fraction: fraction?, basis };
        Some(Worth {
            stated,
            rating,
            analysis: None,
            findings: Vec::new(),
            span: written.span.clone(),
        })
    }

    fn analysed(
        &mut self,
        table: &MaterialTable,
        kind: Option<&'static Kind>,
        moisture: Option<Share>,
    ) -> Option<Worth> {
        let of_class = table.fineness.as_ref().and_then(|fineness| fineness.value.cce.as_ref());
        let cce = match of_class {
            Some(of_class) => {
                self.no_cce_beside(table, of_class);
                None
            }
            None => self.cce(table, kind, moisture),
        };
        let written = self.required(
            "material.fineness",
            "the sieve analysis; a figure that already counts it is written as `effective`",
            table.fineness.as_ref(),
        );
        let (fineness, mut findings) = written.and_then(|table| self.fineness(table))?;
        let (analysis, span) = if let Some(of_class) = of_class {
            (self.by_class(fineness, of_class)?, of_class.span.clone())
        } else {
            let cce = cce?;
            findings.extend(cce.findings);
            let mut analysis = Analysis::stated(cce.stated, fineness);
            (analysis.cce_steps, analysis.composition) = (cce.steps, cce.composition);
            (analysis, cce.span)
        };
        let Some(stated) = analysis.effective() else {
            let span = table.fineness.as_ref().map_or(0..0, |fineness| fineness.span.clone());
            let what = "by this sieve analysis nothing of the material counts";
            let problem = Problem::at(self.text.place(&span), what)
                .allowed("an efficiency above 0")
                .hint("check that the figures are parts that pass the sieves");
            self.problems.push(problem);
            return None;
        };
        Some(Worth { stated, rating: None, analysis: Some(analysis), findings, span })
    }

    /// Each size class with a calcium carbonate equivalent of its own.
    fn by_class(&mut self, fineness: Fineness, written: &Parts) -> Option<Analysis> {
        let place = self.text.place(&written.span);
        let mut of_class = vec![None; fineness.scheme.classes().len()];
        let mut bases = Vec::new();
        for (class, figure) in &written.value {
            let at = SieveAnalysis::class_index(fineness.scheme, class, &place);
            let stated = self.stated(figure, &bound::CCE);
            match at {
                Err(problem) => self.problems.push(problem),
                Ok(at) => {
                    let stated = stated?;
                    of_class[at] = Some(stated.fraction);
                    bases.push(stated.basis);
                }
            }
        }
        let basis = *bases.first()?;
        if bases.iter().any(|other| *other != basis) {
            let problem = Problem::at(place, "the classes are stated on different bases")
                .allowed("all `dry`, or all `as received`")
                .hint("turn them to one basis with the moisture");
            self.problems.push(problem);
            return None;
        }
        let analysis = analysis_by_size_class(fineness, &of_class, basis);
        if analysis.is_none() {
            let what = "a size class that holds material has no calcium carbonate equivalent";
            let problem = Problem::at(place, what)
                .allowed("a figure for each class with a part above 0")
                .hint("ask the laboratory for it, or give `cce` of the whole in its place");
            self.problems.push(problem);
        }
        analysis
    }

    fn no_cce_beside(&mut self, table: &MaterialTable, of_class: &Parts) {
        if table.cce.is_none() && table.nv.is_none() && table.composition.is_none() {
            return;
        }
        let what = "the material has a calcium carbonate equivalent of the whole and of each class";
        let problem = Problem::at(self.text.place(&of_class.span), what)
            .allowed("either one for the whole, or `fineness.cce` for each class")
            .hint("leave one of the two out");
        self.problems.push(problem);
    }

    /// `63 % as received` or `67 % dry`.
    pub(super) fn stated(&mut self, written: &At<Written>, bounded: &Bounded) -> Option<Stated> {
        let (number, basis) = self.number_and_basis(written, bounded)?;
        Some(Stated { fraction: EffectiveFraction::from_number(number)?, basis })
    }

    fn number_and_basis(
        &mut self,
        written: &At<Written>,
        bounded: &Bounded,
    ) -> Option<(f64, Basis)> {
        let text = written.value.0.trim();
        let split = Basis::ALL.into_iter().find_map(|basis| {
            text.strip_suffix(basis.words()).map(|number| (number.trim(), basis))
        });
        let Some((number, basis)) = split else {
            let number = bounded.example;
            let problem = Problem::at(
                self.text.place(&written.span),
                format!("{} is `{text}`, which does not say of what", bounded.words),
            )
            .allowed("a figure with its unit, followed by `dry` or by `as received`")
            .hint(format!(
                "write \"{number} as received\", or \"{number} dry\" together with a moisture"
            ));
            self.problems.push(problem);
            return None;
        };
        let part = At { value: Written(number.to_owned()), span: written.span.clone() };
        Some((self.quantity(&part, bounded)?, basis))
    }

    fn fineness(&mut self, table: &At<FinenessTable>) -> Option<(Fineness, Vec<Finding>)> {
        let scheme = self.required(
            "material.fineness.scheme",
            "the scheme that turns the sieve analysis into one efficiency",
            table.value.scheme.as_ref(),
        );
        let scheme = scheme.and_then(|written| {
            fineness_scheme(&written.value, self.text.place(&written.span))
                .map_err(|problem| self.problems.push(problem))
                .ok()
        });
        let horizon = scheme.and_then(|scheme| {
            let written = table.value.horizon.as_ref();
            let span = written.map_or_else(|| table.span.clone(), |written| written.span.clone());
            scheme
                .horizon(written.map(|written| written.value.as_str()), &self.text.place(&span))
                .map_err(|problem| self.problems.push(problem))
                .ok()
        });
        let counts_fineness = scheme.is_none_or(|scheme| !scheme.sieve_list().is_empty());
        let (analysis, span) = self.sieve_analysis(table, counts_fineness)?;
        let fineness = fineness_from(scheme?, horizon?, &analysis, &self.text.place(&span))
            .map_err(|problems| self.problems.extend(problems))
            .ok()?;
        let findings = fineness.findings(&analysis);
        Some((fineness, findings))
    }

    /// The sieve analysis under the one key of three that it stands under.
    fn sieve_analysis(
        &mut self,
        table: &At<FinenessTable>,
        is_needed: bool,
    ) -> Option<(SieveAnalysis, Range<usize>)> {
        type Build = fn(BTreeMap<String, Share>) -> SieveAnalysis;
        let of = &table.value;
        let keys: [(&Option<Parts>, Build); 3] = [
            (&of.passing, SieveAnalysis::Passing),
            (&of.between, SieveAnalysis::Between),
            (&of.retained, SieveAnalysis::Retained),
        ];
        let given: Vec<_> =
            keys.into_iter().filter_map(|(key, build)| Some((key.as_ref()?, build))).collect();
        match given.as_slice() {
            [] if is_needed => {
                self.required::<Written>(
                    "material.fineness.passing",
                    "the part that passes each sieve, such as { \"8\" = \"90 %\" }; or `between` \
                     or `retained`, for parts between two sieves",
                    None,
                );
                None
            }
            [] => Some((SieveAnalysis::None, table.span.clone())),
            [(written, build)] => {
                let read: Vec<Option<(String, Share)>> = written
                    .value
                    .iter()
                    .map(|(mesh, part)| {
                        let share = self.quantity(part, &bound::PASSING).and_then(whole_share)?;
                        Some((mesh.trim().to_owned(), share))
                    })
                    .collect();
                let read: Option<BTreeMap<String, Share>> = read.into_iter().collect();
                Some((build(read?), written.span.clone()))
            }
            [_, (written, _), ..] => {
                let what = "the sieve analysis is written in two ways";
                let problem = Problem::at(self.text.place(&written.span), what)
                    .allowed("one of `passing`, `between` and `retained`")
                    .hint("leave all but the laboratory's own figures out");
                self.problems.push(problem);
                None
            }
        }
    }
}

/// The key of a figure, as a message quotes it.
fn key((rating, _): &Figure<'_>) -> String {
    format!("`{}`", rating.map_or("effective", |rating| rating.key))
}

/// A hundred percent may come back a rounding error above 1.
pub(super) fn whole_share(number: f64) -> Option<Share> {
    Share::from_number(number.min(1.0))
}
