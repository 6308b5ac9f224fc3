//! Reading samples from a table; every row that cannot be taken is listed.

use std::collections::BTreeSet;

use super::columns::Columns;
use super::depths::depth_problem;
use super::header::quoted;
use super::index::{IndexColumn, index_of};
use super::medium::other_media;
use super::moment::Moment;
use super::not_taken::not_taken;
use super::row::Rows;
use super::values::ValueColumn;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::job::SamplesPart;
use crate::inputs::{CoordinateSystem, RawPoint, Table};
use crate::units::{LIMITS, SoilAttribute, SoilValue, TextureClass};

/// Soil samples, column by column: entry `i` of each list belongs to sample `i`.
#[derive(Clone, Debug, PartialEq)]
pub struct Samples {
    /// The file, as the user named it.
    pub file: String,
    /// The system of the coordinates.
    pub system: CoordinateSystem,
    /// Their names.
    pub ids: Vec<String>,
    /// The line of the file that each came from; the number of its feature in a map file.
    pub lines: Vec<usize>,
    /// Whether the file is a map file.
    pub from_map: bool,
    /// The file and the lines of the buffer readings, where they came from another file.
    pub buffer_lines: Option<(String, Vec<Option<usize>>)>,
    /// The layer that each is of, by its number among those of the job; 0 throughout where the job
    /// has one depth.
    pub layers: Vec<usize>,
    /// Where they were taken; empty where they are composites of zones.
    pub points: Vec<RawPoint>,
    /// The zone of each point, where the table has it.
    pub zones: Option<Vec<String>>,
    /// Soil pH, in the medium that the job states; `None` where it is not read of them.
    pub ph: Option<Vec<f64>>,
    /// The same as the meter read it, where `ph` is corrected for the meter.
    pub ph_as_read: Option<Vec<f64>>,
    /// Buffer pH; `None` for the whole table where it has no such column, and for a sample where
    /// the lab ran no buffer.
    pub buffer_ph: Option<Vec<Option<f64>>>,
    /// When a meter read each, where the job names its log; `None` for one of which that is not
    /// known.
    pub measured_at: Option<Vec<Option<Moment>>>,
    /// What else the table holds in a known unit.
    pub values: Vec<SampleValues>,
    /// The texture classes, where the table has them.
    pub textures: Option<Vec<TextureClass>>,
}

/// One value of every sample, as reported.
#[derive(Clone, Debug, PartialEq)]
pub struct SampleValues {
    /// What it is.
    pub value: SoilValue,
    /// The unit of its numbers.
    pub unit: &'static str,
    /// One number for each sample.
    pub numbers: Vec<f64>,
}

impl Samples {
    /// The numbers of one value, as reported.
    pub fn column(&self, value: SoilValue) -> Option<&[f64]> {
        let found = self.values.iter().find(|known| known.value == value);
        found.map(|known| known.numbers.as_slice())
    }

    /// The row of a sample.
    pub fn place(&self, sample: usize) -> Place {
        let place = Place { sample: Some(self.ids[sample].clone()), ..Place::in_file(&self.file) };
        let number = Some(self.lines[sample]);
        if self.from_map {
            Place { feature: number, ..place }
        } else {
            Place { line: number, ..place }
        }
    }

    /// The row with the buffer reading of a sample.
    pub fn place_of_buffer(&self, sample: usize) -> Place {
        let place = self.place(sample);
        match &self.buffer_lines {
            Some((file, lines)) => {
                Place { line: lines[sample], sample: place.sample, ..Place::in_file(file) }
            }
            None => place,
        }
    }
}

/// The samples that a table holds, one in each row, and what was found.
///
/// # Errors
/// Refuses columns that are missing or ambiguous, and lists every row with a cell that is no
/// number, lies outside its limits, or holds no reading and the job does not say what then.
pub fn samples_from_table(
    table: &Table,
    part: &SamplesPart,
) -> Result<(Samples, Vec<Finding>), Refusal> {
    let given = &table.file;
    let head = Place { line: table.header_line, ..Place::in_file(given) };
    let columns = Columns::find(table, part, &head)?;
    if part.are_composites() && columns.id.is_none() {
        let what = "no column is known to hold the names of the sample zones";
        return Err(Problem::at(head, what)
            .allowed(quoted(table.headers.iter().map(String::as_str)))
            .hint("name the column with samples.key")
            .into());
    }
    let index = match columns.buffer_ph {
        Some(at) => index_of(table, at)?,
        None => None,
    };
    let system = table.points.as_ref().map_or(&part.system, |(system, _)| system);
    let mut samples = Samples {
        file: given.clone(),
        system: system.clone(),
        ids: Vec::new(),
        lines: Vec::new(),
        from_map: table.header_line.is_none(),
        buffer_lines: None,
        layers: Vec::new(),
        points: Vec::new(),
        zones: columns.zone.map(|_| Vec::new()),
        ph: columns.ph.map(|_| Vec::new()),
        ph_as_read: None,
        buffer_ph: columns.buffer_ph.map(|_| Vec::new()),
        measured_at: columns.measured_at.map(|_| Vec::new()),
        values: columns
            .values
            .numbers
            .iter()
            .map(|&ValueColumn { value, unit, .. }| SampleValues {
                value,
                unit,
                numbers: Vec::new(),
            })
            .collect(),
        textures: columns.values.texture.map(|_| Vec::new()),
    };
    let mut rows = Rows::new(table, &columns, part, index.is_some());
    let mut depths = BTreeSet::new();
    for (number, row) in table.rows.iter().enumerate() {
        depths.extend(columns.depth.map(|depth| depth.text(row)));
        rows.read(number, &mut samples);
        if samples.ids.len() > LIMITS.samples {
            rows.problems.push(
                Problem::at(Place::in_file(given), "the file holds more samples than can be taken")
                    .allowed(format!("{} samples", LIMITS.samples)),
            );
            break;
        }
    }
    let told = rows.findings();
    if let (Some(at), Some(joined)) = (columns.buffer_ph, &table.joined)
        && at >= joined.from
    {
        samples.buffer_lines = Some((joined.file.clone(), rows.joined_lines.clone()));
    }
    let mut problems = rows.problems;
    if part.attributes.take(SoilAttribute::Ph) {
        problems.extend(other_media(table, part, columns.id, &head));
    }
    if part.layers.is_none() {
        let named: Vec<&str> = depths.iter().map(String::as_str).collect();
        problems.extend(depth_problem(table, &columns, &named, part.sampled_depth));
    }
    if samples.ids.is_empty() && problems.is_empty() {
        problems.push(
            Problem::at(Place::in_file(given), "the table holds no sample")
                .allowed("a header and one row for each sample"),
        );
    }
    let mut findings = columns.findings(table, &samples);
    findings.extend(not_taken(table, part, &head));
    findings.extend(index.map(IndexColumn::told));
    findings.extend(told);
    Refusal::unless_clean(problems, (samples, findings))
}
