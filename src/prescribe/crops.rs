//! A target that the crops decide: told with its guide, and held against the method.

use super::Allowed;
use crate::agronomy::{MethodCard, MethodMedium};
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::{CropAim, Job};
use crate::units::ph_words;

/// What is told of a target that crops decide; nothing where the job states the target itself.
///
/// # Errors
/// Refuses a guide from memory that is not allowed, and one whose pH is in another medium than the
/// method's.
pub(super) fn target_of_crops(
    job: &Job,
    card: &MethodCard,
    allowed: Allowed,
) -> Result<Option<Finding>, Refusal> {
    let Some(by_crop) = &job.target.by_crop else { return Ok(None) };
    let CropAim { crops, deciding, guide } = by_crop;
    let place = Place::in_file(job.file.clone());
    let mut problems = Vec::new();
    if guide.from_memory && !allowed.unverified {
        let what = format!("the numbers of the guide `{}` were written from memory", guide.id);
        problems.push(
            Problem::at(place.clone(), what)
                .allowed("guides whose numbers were seen in their source")
                .hint("state target.ph, or allow it with --allow-unverified"),
        );
    }
    if let Some(medium) = guide.medium().filter(|&medium| !are_alike(medium, card.ph_medium)) {
        let what = format!(
            "the guide `{}` states pH in {}, and the method `{}` takes its target in {}",
            guide.id,
            medium.words(),
            card.id,
            card.ph_medium.words()
        );
        problems.push(
            Problem::at(place.clone(), what)
                .allowed("a guide in the method's own medium")
                .hint("state the target in the method's medium as target.ph"),
        );
    }
    let of = if crops.len() > 1 {
        format!("{}, the most demanding of {}", deciding.crop, crops.join(", "))
    } else {
        deciding.crop.clone()
    };
    let named = if deciding.is_named {
        String::new()
    } else {
        " The guide does not name it: this is its pH for most other crops.".to_owned()
    };
    let memory = if guide.from_memory { " Its numbers were written from memory." } else { "" };
    let trigger = job.target.treat_below.map_or_else(String::new, |ph| {
        format!(" Limed is where the pH is below {}.", ph_words(ph))
    });
    let notes =
        if guide.notes.is_empty() { String::new() } else { format!(" {}", guide.notes.join(" ")) };
    let text = format!(
        "The target pH {} is that of {of}, by the guide `{}` ({}; {}).{named}{trigger}{memory}{notes}",
        ph_words(deciding.ph),
        guide.id,
        guide.region,
        guide.citation().words()
    );
    Refusal::unless_clean(problems, Some(Finding::at("target_of_crops", place, text)))
}

/// Whether a target in one medium may stand for one in the other: water of any proportion is
/// water.
pub(super) fn are_alike(one: MethodMedium, other: MethodMedium) -> bool {
    // A method that goes by no pH refuses the target itself.
    let is_any = [one, other].contains(&MethodMedium::Any);
    one == other || is_any || (one.is_water() && other.is_water())
}
