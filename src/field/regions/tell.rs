//! What there is to say about features that do not touch the field.

use super::cause::likely_cause;
use super::shapes::{Shape, distance_m};
use crate::field::outline::Field;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::FeatureLayer;
use crate::units::{Length, UnitSystem};

/// Features named in one finding before the rest is only counted.
const NAMED: usize = 10;

/// A layer that was laid over the field.
pub(super) struct Laid<'a> {
    pub(super) features: &'a FeatureLayer,
    pub(super) what: What,
    /// Its features on the ground, in their order.
    pub(super) shapes: Vec<Shape>,
}

/// What the features of a layer are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum What {
    KeepOut,
    Zones,
    Override,
}

impl What {
    fn words(self) -> &'static str {
        match self {
            Self::KeepOut => "areas to keep out",
            Self::Zones => "sample zones",
            Self::Override => "areas of an override",
        }
    }

    /// What it means that none of them touches the field, where that may be so.
    fn without_any(self) -> Option<&'static str> {
        match self {
            Self::KeepOut => Some("nothing is kept out by this file"),
            Self::Override => Some("the override changes nothing"),
            Self::Zones => None,
        }
    }
}

/// Tells which features do not touch the field; `touched` holds, in order, the layer and the
/// feature of those that do.
///
/// # Errors
/// Refuses a layer of which no feature touches the field where its coordinates look mixed up, or
/// where its features are sample zones.
pub(super) fn of_layers(
    layers: &[Laid<'_>],
    touched: &[(usize, usize)],
    field: &Field,
    units: UnitSystem,
) -> Result<Vec<Finding>, Refusal> {
    let mut problems = Vec::new();
    let mut findings = Vec::new();
    for (number, Laid { features, what, shapes }) in layers.iter().enumerate() {
        let place = Place::in_file(&features.file);
        let words = what.words();
        let away: Vec<usize> = (0..shapes.len())
            .filter(|&feature| touched.binary_search(&(number, feature)).is_err())
            .collect();
        if away.is_empty() && !shapes.is_empty() {
            continue;
        }
        if shapes.is_empty() {
            problems.push(
                Problem::at(place, format!("there are no {words} in it"))
                    .allowed("at least one feature that touches the field")
                    .hint("leave the file out of the job if there is nothing in it"),
            );
        } else if away.len() == shapes.len() {
            let away_m = distance_m(shapes, field);
            let nearest = units.distance(Length::from_metres(away_m));
            let none = format!("one of the {} {words} touches the field", shapes.len());
            match (likely_cause(features, shapes, &away, field), what.without_any()) {
                (Some(cause), _) => problems.push(
                    Problem::at(place, format!("n{none}; with {}, {} do", cause.words, cause.hits))
                        .allowed("features on the field, in the coordinate system of their file")
                        .hint("correct the coordinates in the file, or the system that it names or that the job states for it"),
                ),
                (None, None) => problems.push(
                    Problem::at(place, format!("n{none}; the nearest is {nearest} away"))
                        .allowed("at least one feature that touches the field")
                        .hint("check that the file is of this field, and its coordinate system"),
                ),
                (None, Some(so)) => {
                    let text = format!("N{none}; the nearest is {nearest} away: {so}.");
                    findings.push(Finding::at("areas_outside_field", place, text));
                }
            }
        } else {
            let named = away.iter().take(NAMED).map(|&at| features.features[at].number.to_string());
            let more = if away.len() > NAMED { ", …" } else { "" };
            let text = format!(
                "{} of {} {words} do not touch the field and change nothing: feature {}{more}.",
                away.len(),
                shapes.len(),
                named.collect::<Vec<_>>().join(", ")
            );
            findings.push(Finding::at("areas_outside_field", place, text));
        }
    }
    Refusal::unless_clean(problems, findings)
}
