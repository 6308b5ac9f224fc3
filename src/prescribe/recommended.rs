//! What the laboratory recommends, told with the arithmetic that turns it into a need.

use super::by_zone::Together;
use crate::agronomy::{LabRecommendation, Recommended};
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::{Job, RecommendationPart};
use crate::units::{SoilValue, ph_words, plain};

/// The recommendations of the job's samples as a method.
///
/// # Errors
/// Refuses what is stated of them where it lies beyond its limits.
pub(super) fn recommended(
    job: &Job,
    stated: &RecommendationPart,
) -> Result<LabRecommendation, Refusal> {
    LabRecommendation::new(&Recommended {
        target_ph: stated.target_ph,
        depth: &stated.depth,
        basis: stated.basis.words(),
        part: stated.basis.part().to_number(),
        ph_medium: job.samples.ph_medium,
    })
}

/// That the amounts are in the unit of mass that their basis names, where it names one.
///
/// # Errors
/// Refuses pounds of a figure over a column in tons or kilograms, and the other way round.
pub(super) fn unit_fits_basis(job: &Job, read: &Together<'_>) -> Result<(), Refusal> {
    let Some(stated) = &job.recommendation else { return Ok(()) };
    let unit = read.units().get(SoilValue::LabRecommendation);
    let Some(what) = unit.and_then(|unit| stated.basis.contradicts(unit)) else { return Ok(()) };
    Err(Problem::at(Place::in_file(&job.file), what)
        .allowed("a basis and a column that speak of one unit of mass, such as `lb CCE` and lb/ac")
        .hint(
            "take the unit of the laboratory's report for both; for tons of a material write what \
             it neutralises, such as `100 % CCE`",
        )
        .into())
}

/// The greatest recommendation of the samples, converted step by step.
pub(super) fn recommendation_told(job: &Job, read: &Together<'_>) -> Option<Finding> {
    let stated = job.recommendation.as_ref()?;
    let value = SoilValue::LabRecommendation;
    let unit = read.units().get(value)?;
    let samples = 0..read.samples.ids.len();
    let greatest = samples.filter_map(|sample| read.value(value, sample)).reduce(f64::max)?;
    let need = greatest * stated.basis.part().to_number();
    let shown = |rate: f64| format!("{} {unit}", plain(rate, 0, 4));
    let effective = job.material.effective.to_number();
    let text = format!(
        "The needs are what the laboratory recommends, for {} to pH {}, as need.lab states. {} In \
         this material, {} % effective as spread, that is {} ({} / {}). This is the greatest of \
         the samples; the others are converted alike.",
        stated.depth,
        ph_words(stated.target_ph),
        stated.basis.sentence(&shown(greatest), &shown(need)),
        plain(effective * 100.0, 0, 2),
        shown(need / effective),
        plain(need, 0, 4),
        plain(effective, 0, 4)
    );
    Some(Finding::new("lab_recommendation_taken", text))
}
