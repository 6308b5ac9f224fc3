//! Samples parted by the layer of soil that they come from.

use super::zones::{picked, some_of};
use crate::field::Point;
use crate::findings::{Finding, Place, Problem, Refusal, first_of};
use crate::inputs::{Job, JobLayer, LayersPart, Samples};
use crate::surfaces::merge_coincident;
use crate::units::{DepthInterval, UnitSystem, counted};

/// One of several layers of soil.
#[derive(Clone, Debug)]
pub(super) struct Stratum {
    /// The depth that it was sampled from.
    pub(super) depth: DepthInterval,
    /// The part of the limed depth that it stands for.
    pub(super) part: DepthInterval,
    /// The depth in words.
    pub(super) words: String,
}

impl Stratum {
    /// What was found in this layer alone, named so.
    pub(super) fn tell(stratum: Option<&Self>, finding: Finding) -> Finding {
        Finding { text: Self::tell_of(stratum, finding.text), ..finding }
    }

    /// A sentence about this layer alone, which it names.
    pub(super) fn tell_of(stratum: Option<&Self>, text: String) -> String {
        match stratum {
            None => text,
            Some(Self { words, .. }) => format!("Layer {words}: {text}"),
        }
    }
}

/// The rows of one layer.
pub(super) struct Parted {
    /// Which layer it is, where there are several.
    pub(super) stratum: Option<Stratum>,
    /// Its number among the layers of the job.
    pub(super) number: usize,
    /// Its samples.
    pub(super) samples: Samples,
    /// Their numbers among all samples.
    pub(super) rows: Vec<usize>,
}

/// The samples of each layer that counts, from the top down; all of them where the job has one
/// depth.
///
/// # Errors
/// Refuses a layer of the job that the table does not hold.
pub(super) fn parted(job: &Job, samples: &Samples) -> Result<Vec<Parted>, Refusal> {
    let Some(LayersPart { list, .. }) = &job.samples.layers else {
        let rows = (0..samples.ids.len()).collect();
        return Ok(vec![Parted { stratum: None, number: 0, samples: samples.clone(), rows }]);
    };
    let (mut counted, mut problems) = (Vec::new(), Vec::new());
    for (number, &JobLayer { depth, part }) in list.iter().enumerate() {
        let rows: Vec<usize> =
            (0..samples.ids.len()).filter(|&row| samples.layers[row] == number).collect();
        let words = job.units.depths(depth);
        if rows.is_empty() {
            let what = format!("no row is of the layer {words}");
            let place = Place::in_file(samples.file.clone());
            let problem = Problem::at(place, what).allowed("the layers that samples.layers lists");
            problems.push(problem.hint("correct samples.layers, or take the right file"));
        }
        if let Some(part) = part {
            let stratum = Some(Stratum { depth, part, words });
            counted.push(Parted { stratum, number, samples: picked(samples, &rows), rows });
        }
    }
    Refusal::unless_clean(problems, counted)
}

/// Holds the points of the layers against each other: each should have every layer.
///
/// # Errors
/// Refuses points that lack a layer, unless the job says that it is drawn without them.
pub(super) fn complete(
    job: &Job,
    layers: &[Parted],
    points: &[Point],
    all: &Samples,
) -> Result<Vec<Finding>, Refusal> {
    let Some(LayersPart { missing, .. }) = &job.samples.layers else { return Ok(Vec::new()) };
    let rows: Vec<usize> = layers.iter().flat_map(|layer| layer.rows.iter().copied()).collect();
    let taken: Vec<Point> = rows.iter().map(|&row| points[row]).collect();
    let sites = merge_coincident(&taken);
    let (mut findings, mut problems) = (Vec::new(), Vec::new());
    for layer in layers {
        let without: Vec<&str> = sites
            .groups()
            .iter()
            .filter(|group| !group.iter().any(|&at| all.layers[rows[at]] == layer.number))
            .map(|group| all.ids[rows[group[0]]].as_str())
            .collect();
        let (Some(Stratum { words, .. }), false) = (&layer.stratum, without.is_empty()) else {
            continue;
        };
        let what = format!(
            "{} of {} without the layer {words}",
            without.len(),
            counted(sites.len() as u64, "point is", "points are"),
        );
        let place = Place::in_file(all.file.clone());
        if missing.is_some() {
            let text = format!(
                "{what}: {}. It is drawn between the other points, as samples.layer_missing \
                 says.",
                some_of(&without)
            );
            findings.push(Finding::at("points_without_a_layer", place, text));
        } else {
            problems.push(
                Problem::at(place, format!("{what}: {}", first_of(&without, without.len())))
                    .allowed("every layer at every point, unless samples.layer_missing is stated")
                    .hint(
                        "add the rows, or have the layer drawn between the other points with \
                         layer_missing = \"leave out\"",
                    ),
            );
        }
    }
    Refusal::unless_clean(problems, findings)
}

/// Which layers count, and with how much.
pub(super) fn told(job: &Job) -> Option<Finding> {
    let LayersPart { list, .. } = job.samples.layers.as_ref()?;
    let system = job.units;
    let of_layer = |layer: &JobLayer| in_words(system, layer);
    let (counted, below): (Vec<&JobLayer>, Vec<&JobLayer>) =
        list.iter().partition(|layer| layer.part.is_some());
    let counted: Vec<String> = counted.into_iter().map(of_layer).collect();
    let mut text = format!(
        "The need is the sum over the layers, each at its own reading and held against the pH \
         below which is limed by itself: {}.",
        counted.join("; ")
    );
    if !below.is_empty() {
        let below: Vec<String> = below.into_iter().map(of_layer).collect();
        text = format!(
            "{text} Below the ground that the lime acts on, and without need: {}.",
            below.join(", ")
        );
    }
    Some(Finding::new("layers_counted", text))
}

fn in_words(system: UnitSystem, JobLayer { depth, part }: &JobLayer) -> String {
    let words = system.depths(*depth);
    let Some(part) = part else { return words };
    let stretched = part.top() < depth.top() || part.bottom() > depth.bottom();
    let share = system.depths(*part);
    if share == words {
        format!("{words} as a whole")
    } else if stretched {
        format!("{words} standing for {share}")
    } else {
        format!("{words} with {share}")
    }
}
