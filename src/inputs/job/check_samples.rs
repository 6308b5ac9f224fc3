//! The `[samples]` table of a job.

use encoding_rs::Encoding;

use super::check::Checker;
use super::check_areas::wanted_of;
use super::check_layers::Limed;
use super::check_values::mapped_values;
use super::file::{ColumnsTable, JobFile, SamplesTable};
use super::written::{At, Written};
use super::{Attributes, MappedColumns, SamplesPart};
use crate::agronomy::Buffer;
use crate::findings::Problem;
use crate::inputs::samples::promise_of;
use crate::inputs::{
    CellPolicy, Censored, CoordinateSystem, DecimalMark, Missing, TableStyle, Wanted,
};
use crate::units::{DepthInterval, Length, PhMedium, bound};

/// How far outside the boundary a sample may lie where the job does not say (common practice:
/// headlands, and receivers without correction).
pub(super) const OUTSIDE_WITHIN: &str = "100 m";

/// The same as a length.
pub fn outside_within() -> Length {
    let metres = bound::OUTSIDE_WITHIN.read(OUTSIDE_WITHIN);
    Length::from_metres(metres.unwrap_or(bound::OUTSIDE_WITHIN.least))
}

/// A kilogram a litre in kilograms a cubic metre.
const KG_M3_PER_KG_DM3: f64 = 1_000.0;

/// How a job says that a column holds the medium of each pH.
pub(super) const PH_BY_ROW: &str = "column";

fn is_by_row(words: &str) -> bool {
    words.trim().eq_ignore_ascii_case(PH_BY_ROW)
}

impl Checker<'_> {
    pub(super) fn samples(&mut self, file: &JobFile, limed: Limed) -> Option<SamplesPart> {
        let empty = SamplesTable::default();
        let table = file.samples.as_ref().map_or(&empty, |table| &table.value);
        let zones = self.zones(table);
        let in_zones =
            table.zones.as_ref().filter(|_| table.file.is_none() && table.by_zone.is_none());
        let path = match in_zones.map(|zones| (zones.value.file(), &zones.span)) {
            Some((Some(file), span)) => Some(At { value: file.to_owned(), span: span.clone() }),
            // A table without a file was told as such.
            Some((None, _)) => None,
            None => self
                .required("samples.file", "the file with the soil samples", table.file.as_ref())
                .cloned(),
        };
        let layers = self.layers(table, limed);
        let depth = match (&layers, &table.layers) {
            (Some(Some(layers)), _) => layers.whole(),
            (_, Some(_)) => None,
            (_, None) => {
                let depth = self.required(
                    "samples.sampled_depth",
                    "the depth that the samples were taken from, such as \"0-6 in\"; or \
                     samples.layers where the table holds several",
                    table.sampled_depth.as_ref(),
                );
                depth.and_then(|depth| self.depth(depth))
            }
        };
        let medium = self.ph_medium(table);
        let ph_by_row = table.ph_measured_in.as_ref().is_some_and(|said| is_by_row(&said.value));
        let buffer = match &table.buffer {
            None => None,
            Some(written) => {
                let buffers: Vec<&str> = Buffer::ALL.iter().map(|buffer| buffer.words()).collect();
                let name = self.one_of("samples.buffer", Some(written), &buffers)?;
                Buffer::from_words(name)
            }
        };
        let blank_above = match &table.buffer_blank_above {
            None => None,
            Some(reading) => Some(self.ph(reading, &bound::SOIL_PH)?),
        };
        let repeatability = self.repeatability(table);
        let columns = mapped(table.columns.as_ref());
        let units = self.value_units(table)?;
        let al_extract = self.al_extract(table)?;
        let capacity_read = self.capacity_read(table)?;
        let bulk_density = match &table.bulk_density {
            Some(density) => Some(self.quantity(density, &bound::SOIL_DENSITY)? / KG_M3_PER_KG_DM3),
            None => None,
        };
        let system = self.system(table, &columns)?;
        let style = self.style(table, &columns)?;
        let policy = self.policy(table)?;
        let outside_within = match &table.outside_within {
            Some(within) => Length::from_metres(self.quantity(within, &bound::OUTSIDE_WITHIN)?),
            None => outside_within(),
        };
        let zones = zones?;
        let lab = self.lab(table, &style)?;
        let lab_check = self.lab_check(table, &style, ph_by_row)?;
        let meter_log = self.meter_log(table, &style)?;
        let gives = zones.as_ref().and_then(|zones| zones.gives.as_ref());
        let attributes =
            gives.map_or(Attributes::All, |gives| Attributes::AllBut(gives.attributes.clone()));
        Some(SamplesPart {
            file: self.named_file(&path?),
            wanted: Wanted {
                said_in: "[samples]".to_owned(),
                ..wanted_of(
                    table.layer.as_ref(),
                    table.select.as_ref(),
                    table.coordinate_system.as_ref(),
                )
            },
            key: table.key.as_ref().map(|key| key.value.clone()),
            lab,
            lab_check,
            meter_log,
            columns,
            system,
            sampled_depth: depth?,
            layers: layers?,
            ph_medium: medium?,
            ph_by_row,
            buffer,
            buffer_blank_above: blank_above,
            repeatability: repeatability?,
            al_extract,
            bulk_density,
            capacity_read,
            units,
            style,
            policy,
            outside_within,
            attributes,
            zones,
        })
    }

    /// The medium of the samples' pH: the one that all were read in, or are converted to.
    fn ph_medium(&mut self, table: &SamplesTable) -> Option<PhMedium> {
        let media = PhMedium::ALL.map(PhMedium::words);
        let measured_in = table.ph_measured_in.as_ref();
        if measured_in.is_some_and(|said| is_by_row(&said.value)) {
            return self
                .one_of("samples.ph_converted_to", table.ph_converted_to.as_ref(), &media)
                .and_then(PhMedium::from_words);
        }
        for (key, span) in [
            ("samples.ph_converted_to", table.ph_converted_to.as_ref().map(|said| &said.span)),
            (
                "samples.columns.ph_medium",
                table
                    .columns
                    .as_ref()
                    .and_then(|columns| columns.value.ph_medium.as_ref())
                    .map(|said| &said.span),
            ),
        ] {
            let Some(span) = span else { continue };
            let what = format!("`{key}` is stated, and samples.ph_measured_in is one medium");
            let problem = Problem::at(self.text.place(span), what)
                .allowed(format!("`{key}` beside samples.ph_measured_in = \"{PH_BY_ROW}\""))
                .hint("say that the media are in a column, or leave the key out");
            self.problems.push(problem);
        }
        let known: Vec<&str> = media.into_iter().chain([PH_BY_ROW]).collect();
        self.one_of("samples.ph_measured_in", measured_in, &known).and_then(PhMedium::from_words)
    }

    pub(super) fn style(
        &mut self,
        table: &SamplesTable,
        columns: &MappedColumns,
    ) -> Option<TableStyle> {
        let encoding = match &table.encoding {
            None => None,
            Some(written) => {
                let known = Encoding::for_label_no_replacement(written.value.as_bytes());
                if known.is_none() {
                    let what = format!("`samples.encoding` is `{}`", written.value);
                    let problem = Problem::at(self.text.place(&written.span), what)
                        .allowed("a name from the WHATWG Encoding Standard")
                        .hint("write it as in \"windows-1250\" or \"iso-8859-2\"");
                    self.problems.push(problem);
                }
                Some(known?)
            }
        };
        let decimal = self.word(
            "samples.decimal",
            table.decimal.as_ref(),
            |words| DecimalMark::ALL.into_iter().find(|mark| mark.words() == words),
            &DecimalMark::ALL.map(DecimalMark::words),
        )?;
        let repeats = self.repeats(table)?;
        let named = [
            &columns.lon,
            &columns.lat,
            &columns.easting,
            &columns.northing,
            &columns.zone,
            &columns.ph,
            &columns.ph_medium,
            &columns.buffer_ph,
            &columns.texture,
            &columns.depth,
            &columns.depth_top,
            &columns.depth_bottom,
        ];
        let select = table.select.iter().flat_map(|select| &select.value);
        let select: Vec<(String, String)> =
            select.map(|(column, value)| (column.clone(), value.value.0.clone())).collect();
        Some(TableStyle {
            encoding,
            decimal,
            repeats,
            names: [&table.key, &table.zone_results_key]
                .into_iter()
                .flatten()
                .map(|key| key.value.clone())
                .collect(),
            others: named.into_iter().flatten().chain(columns.values.values()).cloned().collect(),
            labels: select.iter().map(|(column, _)| column.clone()).collect(),
            select,
            promise: promise_of,
        })
    }

    fn policy(&mut self, table: &SamplesTable) -> Option<CellPolicy> {
        let censored = self.word(
            "samples.censored",
            table.censored.as_ref(),
            |words| Censored::ALL.into_iter().find(|rule| rule.words() == words),
            &Censored::ALL.map(Censored::words),
        )?;
        let missing = self.word(
            "samples.missing",
            table.missing.as_ref(),
            |words| Missing::ALL.into_iter().find(|rule| rule.words() == words),
            &Missing::ALL.map(Missing::words),
        )?;
        Some(CellPolicy { censored, missing })
    }

    /// One of the known words, `Some(None)` where the key is not there.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn word<T>(
        &mut self,
        key: &str,
        written: Option<&At<String>>,
        of_words: impl Fn(&str) -> Option<T>,
        known: &[&str],
    ) -> Option<Option<T>> {
        match written {
            None => Some(None),
            Some(_) => self.one_of(key, written, known).map(of_words),
        }
    }

    /// `0-6 in`: two ends and one unit.
    pub(super) fn depth(&mut self, written: &At<Written>) -> Option<DepthInterval> {
        let text = written.value.0.trim();
        let interval = text.split_once('-').and_then(|(top, bottom)| {
            let unit: String = bottom
                .chars()
                .skip_while(|c| c.is_ascii_digit() || *c == '.' || *c == ' ')
                .collect();
            let top = bound::DEPTH.read(&format!("{} {unit}", top.trim())).ok()?;
            let bottom = bound::DEPTH.read(bottom).ok()?;
            DepthInterval::new(Length::from_metres(top), Length::from_metres(bottom))
        });
        if interval.is_none() {
            let place = self.text.place(&written.span);
            self.problems.push(
                Problem::at(place, format!("the sampled depth is `{text}`"))
                    .allowed(format!(
                        "upper and lower end and a unit ({}), {}",
                        bound::DEPTH.kind.words(),
                        bound::DEPTH.allowed()
                    ))
                    .hint("write it as in \"0-6 in\" or \"0-20 cm\""),
            );
        }
        interval
    }

    /// Eastings and northings are read where the job states their system, and found by their
    /// headers or by the job's mapping; else the coordinates are longitude and latitude.
    fn system(
        &mut self,
        table: &SamplesTable,
        columns: &MappedColumns,
    ) -> Option<CoordinateSystem> {
        let projected = columns.easting.is_some() || columns.northing.is_some();
        let degrees = columns.lon.is_some() || columns.lat.is_some();
        let span = table.columns.as_ref().map_or(0..0, |columns| columns.span.clone());
        let mut refuse = |what: &str, hint: &str| {
            let problem = Problem::at(self.text.place(&span), what)
                .allowed("lon and lat, or easting and northing with samples.coordinate_system")
                .hint(hint);
            self.problems.push(problem);
            None
        };
        match (&table.coordinate_system, projected) {
            (_, true) if degrees => {
                refuse("the job maps both degrees and eastings", "map one of the two pairs")
            }
            (None, true) => refuse(
                "the job maps eastings and northings without their coordinate system",
                "add coordinate_system = \"EPSG:…\" to [samples]",
            ),
            (Some(_), false) if degrees => refuse(
                "the job states a coordinate system and maps no easting and northing to it",
                "map them in [samples.columns], or leave coordinate_system out for WGS 84 degrees",
            ),
            (Some(system), false) => Some(CoordinateSystem::Declared(system.value.clone())),
            (Some(system), true) if columns.easting.is_some() && columns.northing.is_some() => {
                Some(CoordinateSystem::Declared(system.value.clone()))
            }
            (Some(_), true) => refuse("one of easting and northing is not mapped", "map both"),
            (None, false) => Some(CoordinateSystem::Wgs84Degrees),
        }
    }
}

pub(super) fn mapped(columns: Option<&At<ColumnsTable>>) -> MappedColumns {
    let text = |value: &Option<At<String>>| value.as_ref().map(|text| text.value.clone());
    columns.map_or_else(MappedColumns::default, |At { value, .. }| MappedColumns {
        lon: text(&value.lon),
        lat: text(&value.lat),
        easting: text(&value.easting),
        northing: text(&value.northing),
        zone: text(&value.zone),
        ph: text(&value.ph),
        ph_medium: text(&value.ph_medium),
        measured_at: text(&value.measured_at),
        buffer_ph: text(&value.buffer_ph),
        values: mapped_values(value),
        texture: text(&value.texture),
        depth: text(&value.depth),
        depth_top: text(&value.depth_top),
        depth_bottom: text(&value.depth_bottom),
    })
}
