//! Why boundary and samples do not fit: coordinates are taken as they would stand if one slip had
//! been made, and the slip by which the most samples come into the field is the likely cause.

use super::door::{Door, WayBack};
use super::edges::Edges;
use super::fit::Samples;
use super::frame::Frame;
use super::other_systems::other_systems;
use super::outline::Field;
use super::place::LonLat;
use crate::findings::Place;
use crate::inputs::{CoordinateSystem, RawPoint};

/// Samples that are tried, spread over the file: enough to tell, and few enough for any file.
const MOST_TRIED: usize = 300;

/// A slip that explains why the samples are not in the field.
#[derive(Debug)]
pub(super) struct Cause {
    /// What to take the coordinates for, after "with".
    pub(super) words: String,
    /// How many of the samples that were tried then lie in the field.
    pub(super) hits: usize,
    /// How many were tried.
    pub(super) tried: usize,
    /// What to correct.
    pub(super) hint: &'static str,
}

impl Cause {
    /// The cause with its evidence, where there are `count` samples in all.
    pub(super) fn in_words(&self, count: usize) -> String {
        let Self { words, hits, tried, .. } = self;
        if *tried == count {
            format!("with {words}, {hits} do")
        } else {
            format!("with {words}, {hits} of the {tried} that were tried do")
        }
    }
}

/// A way of mixing up a pair of coordinates.
pub(super) type MixUp = fn(RawPoint) -> RawPoint;

/// The ways in which coordinates are mixed up, in the order in which they are tried.
pub(super) const MIX_UPS: [(&str, MixUp); 7] = [
    ("longitude and latitude (or x and y) exchanged", |[x, y]| [y, x]),
    ("the sign of the longitude (or x) turned", |[x, y]| [-x, y]),
    ("the sign of the latitude (or y) turned", |[x, y]| [x, -y]),
    ("both signs turned", |[x, y]| [-x, -y]),
    ("longitude and latitude exchanged and the sign of the longitude turned", |[x, y]| [-y, x]),
    ("longitude and latitude exchanged and the sign of the latitude turned", |[x, y]| [y, -x]),
    ("longitude and latitude exchanged and both signs turned", |[x, y]| [-y, -x]),
];

/// Metres in a US survey foot (1200/3937). The international foot is two parts in a million
/// shorter, which puts no sample into a field or out of it.
const METRES_IN_A_FOOT: f64 = 1_200.0 / 3_937.0;

/// Units of length that are taken for one another, and what the numbers are to be multiplied by.
const UNITS: [(&str, f64); 2] = [
    ("taken as feet where their system is in metres", METRES_IN_A_FOOT),
    ("taken as metres where their system is in feet", 1.0 / METRES_IN_A_FOOT),
];

const OF_THE_SAMPLES: &str =
    "correct the columns or the signs in the samples file, or the names of its columns in the job";
const OF_EITHER: &str = "correct the one that is wrong: the columns or the signs of the samples, \
                         their names in the job, or the boundary file";
const OF_THE_BOUNDARY: &str = "correct the boundary file, or export it again";
const SYSTEM_OF_THE_SAMPLES: &str = "look up which system the samples were written in, and correct \
                                     `coordinate_system` in [samples]; or correct that of the boundary, if it is \
                                     the one that is wrong";
const SYSTEM_OF_THE_BOUNDARY: &str = "look up which system the boundary was written in, and correct \
                                      it in the file, or `coordinate_system` in [field]";

/// The likely cause; none where no slip brings a sample into the field.
pub(super) fn find_cause(field: &Field, samples: &Samples<'_>) -> Option<Cause> {
    let step = samples.raw.len().div_ceil(MOST_TRIED).max(1);
    let raw: Vec<RawPoint> = samples.raw.iter().step_by(step).copied().collect();
    let mut search = Search { frame: field.frame(), outline: field.edges(), raw, best: None };
    search.misread_samples(samples.system, field);
    if field.system() != samples.system {
        search.misread_boundary(samples.system, field);
    }
    search.best
}

struct Search<'f> {
    frame: &'f Frame,
    outline: Edges,
    raw: Vec<RawPoint>,
    best: Option<Cause>,
}

impl Search<'_> {
    /// Counts the samples that lie in the field where `place_of` has them.
    fn try_out(
        &mut self,
        words: impl Into<String>,
        hint: &'static str,
        place_of: impl Fn(RawPoint) -> Option<LonLat>,
    ) {
        let places = self.raw.iter().filter_map(|&raw| place_of(raw));
        let hits = places.filter(|&place| self.outline.hold(self.frame.forward(place))).count();
        if hits > self.best.as_ref().map_or(0, |best| best.hits) {
            self.best = Some(Cause { words: words.into(), hits, tried: self.raw.len(), hint });
        }
    }

    /// Slips in the samples, whose numbers are said to be in `system`.
    fn misread_samples(&mut self, system: &CoordinateSystem, field: &Field) {
        let nowhere = Place::default();
        let both = if field.system() == system { OF_EITHER } else { OF_THE_SAMPLES };
        if let Ok(door) = Door::open(system, &nowhere) {
            for (words, mix) in MIX_UPS {
                self.try_out(words, both, |raw| door.place_of(mix(raw)));
            }
            if *system != CoordinateSystem::Wgs84Degrees {
                for (words, times) in UNITS {
                    let words = format!("the coordinates of the samples {words}");
                    self.try_out(words, SYSTEM_OF_THE_SAMPLES, |raw| {
                        door.place_of(raw.map(|number| number * times))
                    });
                }
            }
        }
        for (words, other) in other_systems(system, field.system(), field.frame().centre()) {
            let Ok(door) = Door::open(&other, &nowhere) else { continue };
            let words = format!("the coordinates of the samples taken as {words}");
            self.try_out(words.clone(), SYSTEM_OF_THE_SAMPLES, |raw| door.place_of(raw));
            let words = format!("{words}, and x and y exchanged");
            self.try_out(words, SYSTEM_OF_THE_SAMPLES, |[x, y]| door.place_of([y, x]));
        }
    }

    /// Slips in the boundary, where the samples are right: the true places are put through the same
    /// slip, and have to come to lie where the boundary does.
    fn misread_boundary(&mut self, system: &CoordinateSystem, field: &Field) {
        let nowhere = Place::default();
        let (Ok(samples), Ok(boundary)) =
            (Door::open(system, &nowhere), Door::open(field.system(), &nowhere))
        else {
            return;
        };
        let Some(somewhere) = self.raw.iter().find_map(|&raw| samples.place_of(raw)) else {
            return;
        };
        if let Some(back) = WayBack::open(field.system()) {
            for (words, mix) in MIX_UPS {
                self.try_out(format!("{words} in the boundary"), OF_THE_BOUNDARY, |raw| {
                    boundary.place_of(mix(back.numbers_of(samples.place_of(raw)?)?))
                });
            }
            if *field.system() != CoordinateSystem::Wgs84Degrees {
                for (words, times) in UNITS {
                    let words = format!("the coordinates of the boundary {words}");
                    self.try_out(words, SYSTEM_OF_THE_BOUNDARY, |raw| {
                        let true_numbers = back.numbers_of(samples.place_of(raw)?)?;
                        boundary.place_of(true_numbers.map(|number| number / times))
                    });
                }
            }
        }
        for (words, other) in other_systems(field.system(), system, somewhere) {
            let Some(back) = WayBack::open(&other) else { continue };
            let words = format!("the coordinates of the boundary taken as {words}");
            self.try_out(words, SYSTEM_OF_THE_BOUNDARY, |raw| {
                boundary.place_of(back.numbers_of(samples.place_of(raw)?)?)
            });
        }
    }
}
