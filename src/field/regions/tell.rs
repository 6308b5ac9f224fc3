//! What there is to say about features that do not touch the field.

use super::shapes::{Shape, distance_m};
use crate::field::outline::Field;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::FeatureLayer;

/// Features named in one finding before the rest is only counted.
const NAMED: usize = 10;

/// A layer that was laid over the field.
pub(super) struct Laid<'a> {
    pub(super) features: &'a FeatureLayer,
    /// What its features are, in words.
    pub(super) what: &'static str,
    /// Its features on the ground, in their order.
    pub(super) shapes: Vec<Shape>,
}

/// Tells which features do not touch the field; `touched` holds, in order, the layer and the
/// feature of those that do.
///
/// # Errors
/// Refuses every layer of which no feature touches the field, with its distance.
pub(super) fn of_layers(
    layers: &[Laid<'_>],
    touched: &[(usize, usize)],
    field: &Field,
) -> Result<Vec<Finding>, Refusal> {
    let mut problems = Vec::new();
    let mut findings = Vec::new();
    for (number, Laid { features, what, shapes }) in layers.iter().enumerate() {
        let place = Place::in_file(&features.file);
        let away: Vec<usize> = (0..shapes.len())
            .filter(|&feature| touched.binary_search(&(number, feature)).is_err())
            .collect();
        if away.is_empty() && !shapes.is_empty() {
            continue;
        }
        if shapes.is_empty() {
            problems.push(
                Problem::at(place, format!("there are no {what} in it"))
                    .allowed("at least one feature that touches the field")
                    .hint("leave the file out of the job if there is nothing in it"),
            );
        } else if away.len() == shapes.len() {
            let metres = distance_m(shapes, field);
            let what = format!(
                "none of the {} {what} touches the field; the nearest is {metres:.0} m away",
                shapes.len()
            );
            problems.push(Problem::at(place, what)
                .allowed("at least one feature that touches the field")
                .hint("check that the file is of this field, and its coordinate system; leave it out of the job if it is of another"));
        } else {
            let named = away.iter().take(NAMED).map(|&at| features.features[at].number.to_string());
            let more = if away.len() > NAMED { ", …" } else { "" };
            let text = format!(
                "{} of {} {what} do not touch the field and change nothing: feature {}{more}.",
                away.len(),
                shapes.len(),
                named.collect::<Vec<_>>().join(", ")
            );
            findings.push(Finding::at("areas_outside_field", place, text));
        }
    }
    Refusal::unless_clean(problems, findings)
}
