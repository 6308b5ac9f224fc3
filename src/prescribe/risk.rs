//! What the soils of the cells put at risk.

use super::reading::ReadLayer;
use super::soils::Soils;
use crate::agronomy::{
    AlExtract, AluminiumRisk, Given, MethodCard, RiskJudge, RiskLimits, SoilRisk,
};
use crate::field::Cells;
use crate::findings::{Finding, Problem};
use crate::inputs::Job;
use crate::summary::RiskAreas;
use crate::units::{Area, SoilValue};

/// The risk of every cell, its areas, and what is told.
#[derive(Debug)]
pub(super) struct Risks {
    /// One for each cell; the worst of its layers.
    pub(super) cells: Vec<SoilRisk>,
    /// What the summary tells.
    pub(super) areas: RiskAreas,
    pub(super) findings: Vec<Finding>,
}

/// Judges every cell, with what is told; `None` where the pH has no way to water.
pub(super) fn risks_told(
    job: &Job,
    card: &MethodCard,
    cells: &Cells,
    soils: &Soils,
    layers: &[ReadLayer],
) -> (Option<Risks>, Vec<Finding>) {
    match risks(job, card, cells, soils, layers) {
        Ok(risks) => {
            let told = risks.findings.clone();
            (Some(risks), told)
        }
        Err(told) => (None, vec![told]),
    }
}

/// Judges every cell; what is told in its place where the pH has no way to water.
fn risks(
    job: &Job,
    card: &MethodCard,
    cells: &Cells,
    soils: &Soils,
    layers: &[ReadLayer],
) -> Result<Risks, Finding> {
    // The layers have one medium and one set of columns.
    let (judge, findings) = judge_of(job, card, &layers[0].given).map_err(|problem| {
        let text = format!("The risks of the soil are not told: {}.", problem.what);
        Finding::new("risk_not_told", text)
    })?;
    let of_cell = |at: usize| {
        let of_layer = soils.layers.iter().zip(layers).map(|(of_layer, layer)| {
            let values = layer.given.units.canonical(&of_layer.values.at(at));
            judge.judge(of_layer.cells[at].ph, &values)
        });
        of_layer.reduce(SoilRisk::or).unwrap_or(SoilRisk {
            aluminium: AluminiumRisk::None,
            manganese: false,
            overliming: false,
        })
    };
    let of_cells: Vec<SoilRisk> = (0..cells.list.len()).map(of_cell).collect();
    let area = |is: &dyn Fn(&SoilRisk) -> bool| -> Area {
        cells
            .list
            .iter()
            .zip(&of_cells)
            .filter(|(_, risk)| is(risk))
            .map(|(cell, _)| cell.area)
            .sum()
    };
    let areas = RiskAreas {
        aluminium_possible: area(&|risk| risk.aluminium == AluminiumRisk::Possible),
        aluminium_likely: area(&|risk| risk.aluminium == AluminiumRisk::Likely),
        evidence: judge.evidence(),
        manganese: area(&|risk| risk.manganese),
        overliming: area(&|risk| risk.overliming),
        limits: judge.limits().clone(),
    };
    Ok(Risks { cells: of_cells, areas, findings })
}

/// The judge of soils with these readings.
pub(super) fn judge_of(
    job: &Job,
    card: &MethodCard,
    given: &Given,
) -> Result<(RiskJudge, Vec<Finding>), Problem> {
    let target = job.target.aim.ph().filter(|_| card.ph_medium.is_water());
    let published = RiskLimits::for_target(target);
    let ask = &job.risk;
    let limits = RiskLimits {
        aluminium_ph: ask.aluminium_ph.unwrap_or(published.aluminium_ph),
        aluminium_kcl: ask.aluminium.unwrap_or(published.aluminium_kcl),
        aluminium_cacl2: ask.aluminium.unwrap_or(published.aluminium_cacl2),
        aluminium_saturation: ask.aluminium_saturation.unwrap_or(published.aluminium_saturation),
        manganese_ph: ask.manganese_ph.unwrap_or(published.manganese_ph),
        overliming_ph: ask.overliming_ph.unwrap_or(published.overliming_ph),
        own_source: ask.source.clone(),
    };
    let (judge, mut findings) = RiskJudge::new(given, limits)?;
    if ask.aluminium_saturation.is_some() && !judge.evidence().has_saturation() {
        findings.push(limit_not_used(given));
    }
    Ok((judge, findings))
}

/// A limit of the job's own that nothing is held against.
fn limit_not_used(given: &Given) -> Finding {
    let needed = [SoilValue::Aluminium, SoilValue::Calcium, SoilValue::Magnesium];
    let lacking: Vec<&str> = needed
        .into_iter()
        .filter(|value| given.units.get(*value).is_none())
        .map(SoilValue::words)
        .collect();
    let why = if !lacking.is_empty() {
        format!("the samples do not hold {}", lacking.join(", "))
    } else if given.al_extract == Some(AlExtract::PotassiumChloride) {
        "some of aluminium, calcium and magnesium were reported by volume of soil and some by \
         mass"
            .to_owned()
    } else {
        "samples.al_extract does not say that the aluminium was extracted by KCl 1 M".to_owned()
    };
    let text = format!("The limit risk.aluminium_saturation is not used: {why}.");
    Finding::new("saturation_limit_not_used", text)
}
