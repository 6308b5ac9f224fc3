//! Reading samples from a table; every row that cannot be taken is listed.

use std::collections::BTreeMap;

use super::columns::Columns;
use super::header::quoted;
use super::index::{IndexColumn, index_of};
use super::row::Rows;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::job::SamplesPart;
use crate::inputs::{CoordinateSystem, RawPoint, Table};
use crate::units::{DepthInterval, LIMITS, Length};

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
    /// Where they were taken; empty where they are composites of zones.
    pub points: Vec<RawPoint>,
    /// Soil pH, in the medium that the job states.
    pub ph: Vec<f64>,
    /// Buffer pH; `None` for the whole table where it has no such column, and for a sample where
    /// the lab ran no buffer.
    pub buffer_ph: Option<Vec<Option<f64>>>,
    /// Exchangeable acidity, meq/100 g, where the job says that the table has it.
    pub acidity: Option<Vec<f64>>,
}

impl Samples {
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
    if part.zones.is_some() && columns.id.is_none() {
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
        from_map: table.points.is_some(),
        buffer_lines: None,
        points: Vec::new(),
        ph: Vec::new(),
        buffer_ph: columns.buffer_ph.map(|_| Vec::new()),
        acidity: columns.acidity.map(|_| Vec::new()),
    };
    let mut rows = Rows::new(table, &columns, part, index.is_some());
    let mut depths = BTreeMap::new();
    for (number, row) in table.rows.iter().enumerate() {
        if let Some(at) = columns.depth {
            *depths.entry(row.cells[at].as_str()).or_insert(0) += 1;
        }
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
    problems.extend(depth_problem(table, &columns, &depths, part.sampled_depth));
    if samples.ids.is_empty() && problems.is_empty() {
        problems.push(
            Problem::at(Place::in_file(given), "the table holds no sample")
                .allowed("a header and one row for each sample"),
        );
    }
    let mut findings = columns.findings(table, &samples);
    findings.extend(index.map(IndexColumn::told));
    findings.extend(told);
    Refusal::unless_clean(problems, (samples, findings))
}

/// What is wrong with the depths of the samples against the one that the job states.
fn depth_problem(
    table: &Table,
    columns: &Columns,
    depths: &BTreeMap<&str, usize>,
    stated: DepthInterval,
) -> Option<Problem> {
    let named: Vec<&str> = depths.keys().copied().collect();
    let place = table.place_of_column(columns.depth?);
    match named.as_slice() {
        [] => None,
        [only] if !contradicts_depth(only, stated) => None,
        [only] => Some(
            Problem::at(
                place,
                format!("the samples come from the depth `{only}`, and the job states another"),
            )
            .allowed("the depth that samples.sampled_depth states")
            .hint("correct samples.sampled_depth, or take the right file"),
        ),
        _ => Some(
            Problem::at(
                place,
                format!("the samples come from several depths: {}", quoted(named.into_iter())),
            )
            .allowed("one depth, which samples.sampled_depth states")
            .hint("keep the rows of one depth in the file"),
        ),
    }
}

/// Whether a depth as a table writes it, such as `6-12 in` or `0-20`, is not the stated one. Without
/// a unit it may be in either of the two that are in use.
fn contradicts_depth(cell: &str, stated: DepthInterval) -> bool {
    let numbers: Vec<f64> = cell
        .split(|c: char| !(c.is_ascii_digit() || c == '.'))
        .filter_map(|number| number.parse().ok())
        .collect();
    let ends = match numbers.as_slice() {
        [bottom] => [0.0, *bottom],
        [top, bottom] => [*top, *bottom],
        _ => return false,
    };
    let metric = cell.contains("cm");
    let inches = cell.contains("in") || cell.contains('"');
    let same = |of: fn(Length) -> f64| {
        (of(stated.top()) - ends[0]).abs() < 0.06 && (of(stated.bottom()) - ends[1]).abs() < 0.06
    };
    let as_inches = !metric && same(Length::to_inches);
    let as_centimetres = !inches && same(Length::to_centimetres);
    !(as_inches || as_centimetres)
}
