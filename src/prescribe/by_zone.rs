//! Samples at points beside zones that give the rest: the zones' results in the field, and what is
//! known at each sample from both.

use super::layers::Stratum;
use super::notes::shown;
use super::reading::{PlacedSamples, ReadLayer};
use super::soils::ZoneReadings;
use super::zones::{ZoneSamples, match_samples};
use crate::agronomy::{Reads, ValueUnits};
use crate::field::{Cells, Partition, Point};
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::{Job, Samples};
use crate::prescription::BufferReadings;
use crate::units::{Area, SoilAttribute, SoilValue, TextureClass};

/// What zones give of one layer, beside samples at points.
#[derive(Debug)]
pub(super) struct ByZone {
    /// The file with it.
    pub(super) file: String,
    /// One result for each zone that has ground in the field.
    pub(super) results: PlacedSamples,
    /// For each sample the number of the result that holds where it was taken: that of its zone, or
    /// of the nearest.
    pub(super) of_sample: Vec<usize>,
}

/// The same before the method was fitted to it.
#[derive(Clone)]
pub(super) struct PlacedResults {
    pub(super) matched: ZoneSamples,
    pub(super) of_sample: Vec<usize>,
}

impl PlacedResults {
    pub(super) fn settled(self, buffer: Option<BufferReadings>) -> ByZone {
        let ZoneSamples { samples, points, of_zone, .. } = self.matched;
        let file = samples.file.clone();
        let results = PlacedSamples::of(samples, points, buffer, Some(of_zone));
        ByZone { file, results, of_sample: self.of_sample }
    }
}

/// Finds the result of every zone in the field, and the zone of every sample; `None` where zones
/// give nothing.
///
/// # Errors
/// Refuses as [`match_samples`] does, and samples from which nothing is read.
pub(super) fn place_results(
    job: &Job,
    partition: &Partition,
    samples: &Samples,
    points: &[Point],
    results: Option<&Samples>,
) -> Result<(Option<PlacedResults>, Vec<Finding>), Refusal> {
    let (Some(results), Some(zones)) = (results, &job.samples.zones) else {
        return Ok((None, Vec::new()));
    };
    if samples.ph.is_none()
        && samples.buffer_ph.is_none()
        && samples.values.is_empty()
        && samples.textures.is_none()
    {
        let what = "samples.by_zone leaves nothing to the samples at points";
        return Err(Problem::at(Place::in_file(&samples.file), what)
            .allowed("attributes of the samples that zones do not give")
            .hint(
                "where zones give everything, name their table as samples.file and leave \
                 samples.by_zone out",
            )
            .into());
    }
    let mut matched = match_samples(job, zones, partition, results)?;
    let findings = std::mem::take(&mut matched.findings);
    let of_point = |&point: &Point| {
        let (zone, _) = partition.zone_near(point)?;
        matched.of_zone[zone]
    };
    let of_sample: Option<Vec<usize>> = points.iter().map(of_point).collect();
    let of_sample = of_sample.ok_or_else(|| {
        let what = "a sample has no zone near it";
        Problem::at(Place::in_file(&samples.file), what)
            .allowed("zones that cover the field")
            .hint("check samples.zones")
    })?;
    Ok((Some(PlacedResults { matched, of_sample }), findings))
}

/// The samples of a layer as they were read, each with what its zone gives.
pub(super) struct Together<'a> {
    pub(super) samples: &'a Samples,
    pub(super) by_zone: Option<&'a PlacedResults>,
}

impl Together<'_> {
    fn read<T>(&self, sample: usize, of: impl Fn(&Samples, usize) -> Option<T>) -> Option<T> {
        let of_zone = || {
            let zones = self.by_zone?;
            of(&zones.matched.samples, zones.of_sample[sample])
        };
        of(self.samples, sample).or_else(of_zone)
    }

    /// The pH where a sample was taken.
    pub(super) fn ph(&self, sample: usize) -> Option<f64> {
        self.read(sample, |read, row| read.ph.as_ref().map(|all| all[row]))
    }

    /// The buffer pH; `None` where it is blank, too.
    pub(super) fn buffer_ph(&self, sample: usize) -> Option<f64> {
        self.read(sample, |read, row| read.buffer_ph.as_ref().and_then(|all| all[row]))
    }

    /// Whether the reading was made of every sample; a buffer pH may be blank.
    pub(super) fn has(&self, reads: Reads) -> bool {
        let zones = self.by_zone.map(|zones| &zones.matched.samples);
        let in_any = |is: fn(&Samples) -> bool| is(self.samples) || zones.is_some_and(is);
        match reads {
            Reads::Ph => in_any(|read| read.ph.is_some()),
            Reads::BufferPh => in_any(|read| read.buffer_ph.is_some()),
            Reads::Texture => self.textures().is_some(),
            Reads::Value(value) => self.units().get(value).is_some(),
        }
    }

    /// Another number, as reported.
    pub(super) fn value(&self, value: SoilValue, sample: usize) -> Option<f64> {
        self.read(sample, |read, row| read.column(value).map(|all| all[row]))
    }

    /// The texture class of each sample; `None` where they have none.
    pub(super) fn textures(&self) -> Option<Vec<TextureClass>> {
        let samples = 0..self.samples.ids.len();
        let of = |read: &Samples, row: usize| read.textures.as_ref().map(|all| all[row]);
        samples.map(|sample| self.read(sample, of)).collect()
    }

    /// The unit of each value that was read.
    pub(super) fn units(&self) -> ValueUnits {
        let mut units = ValueUnits::default();
        let zones = self.by_zone.map(|zones| &zones.matched.samples);
        for all in [Some(self.samples), zones].into_iter().flatten().flat_map(|read| &read.values) {
            units.set(all.value, all.unit);
        }
        units
    }
}

/// The pH of a map that is so little below a cut-off reaches it: readings are made to a tenth (common
/// practice), and what is interpolated between equal ones differs in its last digits.
const AS_READ: f64 = 0.005;

/// Holds the ground of zones without a buffer reading against the pH that the samples show there.
///
/// A blank says that the laboratory ran no buffer because the composite read above its cut-off. It
/// answers for ground that reads so, too; ground at or above the pH below which is limed needs no
/// answer; for the rest there is none.
///
/// # Errors
/// Refuses zones without a reading whose ground is to be limed and reads below that cut-off.
pub(super) fn blank_zones_held(
    job: &Job,
    cells: &Cells,
    layer: &ReadLayer,
    zones: Option<&ZoneReadings>,
    ph: &[f64],
) -> Result<Vec<Finding>, Refusal> {
    let (Some(by_zone), Some(zones)) = (&layer.by_zone, zones) else { return Ok(Vec::new()) };
    let (Some(buffer), None) = (&by_zone.results.buffer, &by_zone.results.ph) else {
        return Ok(Vec::new());
    };
    // Blanks without a stated cut-off were refused.
    let Some(cut) = job.samples.buffer_blank_above else { return Ok(Vec::new()) };
    let (prepared, stratum) = (&layer.prepared, layer.stratum.as_ref());
    let mut answered = Area::ZERO;
    let mut open = vec![(Area::ZERO, f64::INFINITY); by_zone.results.ids.len()];
    for (at, cell) in cells.list.iter().enumerate() {
        let blank =
            zones.weights.entries(at).map(|(zone, _)| zone).find(|&zone| buffer.blank[zone]);
        let Some(zone) = blank else { continue };
        let here = prepared.to_method_medium(ph[at]);
        if prepared.trigger().is_some_and(|trigger| here >= trigger) {
            continue;
        }
        if ph[at] < cut - AS_READ {
            let (area, lowest) = open[zone];
            open[zone] = (area + cell.area, lowest.min(ph[at]));
        } else {
            answered += cell.area;
        }
    }
    let refused = open.iter().enumerate().filter(|(_, (area, _))| *area > Area::ZERO);
    let problems = refused.map(|(zone, &(area, lowest))| {
        let id = by_zone.results.ids[zone].clone();
        let what = format!(
            "the zone's buffer pH is blank, and on {} of its ground the samples read below pH {cut} \
             (down to {lowest:.2}) and may need lime",
            shown(job.units.area(area), 2)
        );
        let place = Place { sample: Some(id), ..Place::in_file(&by_zone.file) };
        Problem::at(place, Stratum::tell_of(stratum, what))
            .allowed(format!(
                "a blank only where the samples read the stated pH of {cut} and above, or where no \
                 lime is needed"
            ))
            .hint(
                "ask the laboratory to run the buffer on this zone's sample, or draw the zone \
                 without that ground",
            )
    });
    Refusal::unless_clean(problems.collect(), ())?;
    let (Some(trigger), true) = (prepared.trigger(), answered > Area::ZERO) else {
        return Ok(Vec::new());
    };
    let text = format!(
        "On {} in zones without a buffer reading the samples read below pH {trigger}, where liming \
         begins; it counts as needing nothing because the job says that the lab ran no buffer above \
         its cut-off.",
        shown(job.units.area(answered), 2)
    );
    Ok(vec![Finding::new("blank_buffer_below_trigger", text)])
}

/// Attributes as a sentence names them.
pub(super) fn in_words(attributes: &[SoilAttribute]) -> String {
    let words: Vec<&str> = attributes.iter().map(|attribute| attribute.words()).collect();
    match words.as_slice() {
        [others @ .., last] if !others.is_empty() => format!("{} and {last}", others.join(", ")),
        _ => words.concat(),
    }
}
