//! What was mended, in words.

use super::super::place::LonLat;
use super::super::ring::Ring;
use super::mend::Mended;
use crate::findings::{Finding, Place};

/// Places named in one finding before the rest is only counted.
const NAMED: usize = 10;
/// A change of area below this is not worth a number, in square metres: it is less than the
/// coordinates themselves say.
const NO_CHANGE_M2: f64 = 1e-3;

/// What there is to tell about the rings of a boundary; each place with the feature it is in.
#[derive(Debug, Default)]
pub(in crate::field) struct Told {
    /// Vertices that stand twice in a row.
    pub(in crate::field) repeated: Vec<(usize, LonLat)>,
    /// Rings of fewer than three places, which were left out.
    pub(in crate::field) no_rings: Vec<(usize, LonLat)>,
    pub(super) touched: Vec<(usize, LonLat)>,
    pub(super) spikes: Vec<(usize, LonLat)>,
    pub(super) moved_m2: f64,
    pub(super) tiny: Vec<(usize, LonLat)>,
    pub(super) tiny_m2: f64,
    pub(super) united: Vec<United>,
}

/// Polygons that were made one.
#[derive(Debug)]
pub(super) struct United {
    /// The features that they are from, in order.
    pub(super) features: Vec<usize>,
    pub(super) overlap_m2: f64,
    /// Whether the union is no more than the largest of them.
    pub(super) one_in_another: bool,
}

impl Told {
    pub(super) fn mended(&mut self, ring: &Ring, mended: &Mended) {
        self.touched.extend(mended.touched.iter().map(|at| (ring.feature, at.place)));
        self.spikes.extend(mended.spikes.iter().map(|at| (ring.feature, at.place)));
        self.moved_m2 += mended.moved_m2;
        if mended.loops.is_empty() {
            self.no_rings.extend(ring.places.first().map(|&at| (ring.feature, at)));
        }
    }

    /// The findings, about the boundary in `file`.
    pub(in crate::field) fn into_findings(self, file: &str) -> Vec<Finding> {
        let mut findings = Vec::new();
        let mut tell = |key, text: String| {
            findings.push(Finding::at(key, Place::in_file(file), text));
        };
        if !self.repeated.is_empty() {
            let (count, places) = (self.repeated.len(), in_words(&self.repeated));
            let text = if count == 1 {
                format!("One vertex stands twice in a row and counts once: {places}.")
            } else {
                format!("{count} vertices repeat the one before them and were left out: {places}.")
            };
            tell("repeated_vertices", text);
        }
        if !self.no_rings.is_empty() {
            let text = format!(
                "{} that hold no ground were left out: {}.",
                counted(self.no_rings.len(), "ring"),
                in_words(&self.no_rings)
            );
            tell("rings_without_area", text);
        }
        if !self.spikes.is_empty() {
            let text = format!(
                "{} that run out and come back the same way hold no ground and were cut off; they \
                 begin at {}.",
                counted(self.spikes.len(), "line"),
                in_words(&self.spikes)
            );
            tell("spikes_cut", text);
        }
        if !self.touched.is_empty() {
            let change = if self.moved_m2.abs() < NO_CHANGE_M2 {
                "The area stays as it was.".to_owned()
            } else {
                format!(
                    "Edges that cross by 2 cm or less were led through the vertex that is so near, \
                     which changes the area by {:.3} m2.",
                    self.moved_m2
                )
            };
            let text = format!(
                "The outline touches itself at {}, and was parted there into rings that do not: \
                 {}. {change}",
                counted(self.touched.len(), "place"),
                in_words(&self.touched)
            );
            tell("rings_mended", text);
        }
        if !self.tiny.is_empty() {
            let text = format!(
                "{} smaller than 1 m2 were left out of the field, {:.4} m2 together: {}.",
                counted(self.tiny.len(), "part"),
                self.tiny_m2,
                in_words(&self.tiny)
            );
            tell("tiny_parts_dropped", text);
        }
        for united in &self.united {
            tell("parts_united", united.in_words());
        }
        findings
    }
}

impl United {
    fn in_words(&self) -> String {
        let who = match self.features.as_slice() {
            [one] => format!("Parts of feature {one} overlap"),
            many => {
                let names: Vec<String> = many.iter().take(NAMED).map(ToString::to_string).collect();
                let more = if many.len() > NAMED { ", …" } else { "" };
                format!("The features {}{more} overlap", names.join(", "))
            }
        };
        let within = if self.one_in_another {
            " One covers all of the others: if one of those is meant as a hole, draw it as a hole \
             of the polygon, or name it as an area to keep out of."
        } else {
            ""
        };
        format!(
            "{who} by {:.2} m2 ({:.4} ha), which counts once.{within}",
            self.overlap_m2,
            self.overlap_m2 / 10_000.0
        )
    }
}

fn counted(count: usize, noun: &str) -> String {
    if count == 1 { format!("1 {noun}") } else { format!("{count} {noun}s") }
}

fn in_words(places: &[(usize, LonLat)]) -> String {
    let named: Vec<String> = places
        .iter()
        .take(NAMED)
        .map(|(feature, place)| format!("{} (feature {feature})", place.in_words()))
        .collect();
    let more = if places.len() > NAMED { "; …" } else { "" };
    format!("{}{more}", named.join("; "))
}
