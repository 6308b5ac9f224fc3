//! Reading samples from a CSV table; every row that cannot be taken is listed.

use std::collections::BTreeMap;

use super::columns::{Columns, check_headers};
use super::header::quoted;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::job::SamplesPart;
use crate::inputs::open::{InputFile, read_text};
use crate::inputs::{CoordinateSystem, RawPoint};
use crate::units::{Bounded, DepthInterval, LIMITS, Length, bound};

/// Soil samples, column by column: entry `i` of each list belongs to sample `i`.
#[derive(Clone, Debug, PartialEq)]
pub struct Samples {
    /// The file, as the user named it.
    pub file: String,
    /// The system of the coordinates.
    pub system: CoordinateSystem,
    /// Their names.
    pub ids: Vec<String>,
    /// The line of the file that each came from.
    pub lines: Vec<usize>,
    /// Where they were taken.
    pub points: Vec<RawPoint>,
    /// Soil pH, in the medium that the job states.
    pub ph: Vec<f64>,
    /// Buffer pH; `None` for the whole table where it has no such column, and for a sample where
    /// the lab ran no buffer.
    pub buffer_ph: Option<Vec<Option<f64>>>,
    /// Exchangeable acidity, meq/100 g, where the job says that the table has it.
    pub acidity: Option<Vec<f64>>,
}

/// Samples, what was found while reading them, and the file they came from.
#[derive(Debug)]
pub struct ReadSamples {
    /// The samples.
    pub samples: Samples,
    /// What was found.
    pub findings: Vec<Finding>,
    /// The file.
    pub file: InputFile,
}

/// Reads the samples of a job.
///
/// # Errors
/// Refuses a file that cannot be read or is no comma-separated table with a header, columns that
/// are missing, doubled or ambiguous, and lists every row with a cell that is no number, lies
/// outside its limits or is blank where it may not be.
pub fn read_samples(part: &SamplesPart) -> Result<ReadSamples, Refusal> {
    let given = &part.file.given;
    let (text, file) = read_text(&part.file.path, given, "samples", LIMITS.data_file_bytes)?;
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(text.as_bytes());
    let head = Place { line: Some(1), ..Place::in_file(given) };
    let headers: Vec<String> = reader
        .headers()
        .map_err(|error| not_csv(given, &error))?
        .iter()
        .map(|header| header.trim().to_owned())
        .collect();
    check_headers(&headers, &head)?;
    let columns = Columns::find(&headers, part, &head)?;
    let mut table = Table { columns: &columns, headers: &headers, given, problems: Vec::new() };
    let mut samples = Samples {
        file: given.clone(),
        system: part.system.clone(),
        ids: Vec::new(),
        lines: Vec::new(),
        points: Vec::new(),
        ph: Vec::new(),
        buffer_ph: columns.buffer_ph.map(|_| Vec::new()),
        acidity: columns.acidity.map(|_| Vec::new()),
    };
    let mut depths = BTreeMap::new();
    for record in reader.records() {
        let record = record.map_err(|error| not_csv(given, &error))?;
        let line = record.position().map_or(0, |position| position.line() as usize);
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        table.row(&record, line, &mut samples, &mut depths);
        if samples.ids.len() > LIMITS.samples {
            table.problems.push(
                Problem::at(Place::in_file(given), "the file holds more samples than can be taken")
                    .allowed(format!("{} samples", LIMITS.samples)),
            );
            break;
        }
    }
    let Table { mut problems, .. } = table;
    if let [only] = depths.keys().collect::<Vec<_>>().as_slice()
        && contradicts_depth(only, part.sampled_depth)
    {
        problems.push(
            Problem::at(
                Place {
                    column: columns.depth.map(|at| headers[at].clone()),
                    ..Place::in_file(given)
                },
                format!("the samples come from the depth `{only}`, and the job states another"),
            )
            .allowed("the depth that samples.sampled_depth states")
            .hint("correct samples.sampled_depth, or take the right file"),
        );
    }
    if depths.len() > 1 {
        let named: Vec<&str> = depths.keys().map(String::as_str).collect();
        problems.push(
            Problem::at(
                Place {
                    column: columns.depth.map(|at| headers[at].clone()),
                    ..Place::in_file(given)
                },
                format!("the samples come from several depths: {}", quoted(named.into_iter())),
            )
            .allowed("one depth, which samples.sampled_depth states")
            .hint("keep the rows of one depth in the file"),
        );
    }
    if samples.ids.is_empty() && problems.is_empty() {
        problems.push(
            Problem::at(Place::in_file(given), "the table holds no sample")
                .allowed("a header and one row for each sample"),
        );
    }
    let findings = columns.findings(&headers, &samples, given);
    Refusal::unless_clean(problems, ReadSamples { samples, findings, file })
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

fn not_csv(given: &str, error: &csv::Error) -> Problem {
    let line = error.position().map(|position| position.line() as usize);
    Problem::at(
        Place { line, ..Place::in_file(given) },
        format!("the samples are not a comma-separated table: {error}"),
    )
    .hint("save the sheet again as \"CSV UTF-8\"")
}

struct Table<'t> {
    columns: &'t Columns,
    headers: &'t [String],
    given: &'t str,
    problems: Vec<Problem>,
}

impl Table<'_> {
    fn row(
        &mut self,
        record: &csv::StringRecord,
        line: usize,
        samples: &mut Samples,
        depths: &mut BTreeMap<String, usize>,
    ) {
        let columns = self.columns;
        let cell = |at: usize| record.get(at).unwrap_or("").trim();
        let id = columns.id.map(cell).filter(|id| !id.is_empty());
        let id = id.map_or_else(|| format!("line {line}"), str::to_owned);
        if record.len() != self.headers.len() {
            let what =
                format!("the row has {} cells and the header {}", record.len(), self.headers.len());
            let place = self.place(line, &id, None);
            self.problems.push(
                Problem::at(place, what)
                    .allowed("one cell for each column")
                    .hint("look for a comma inside a cell or in a number"),
            );
            return;
        }
        if let Some(at) = columns.depth {
            *depths.entry(cell(at).to_owned()).or_insert(0) += 1;
        }
        let x = self.number(cell(columns.x), columns.x, line, &id);
        let y = self.number(cell(columns.y), columns.y, line, &id);
        let ph = self.reading(cell(columns.ph), columns.ph, &bound::SOIL_PH, line, &id);
        let buffer_ph = match columns.buffer_ph.map(|at| (at, cell(at))) {
            None | Some((_, "")) => Some(None),
            Some((at, text)) => self.reading(text, at, &bound::BUFFER_PH, line, &id).map(Some),
        };
        let acidity = match columns.acidity {
            None => Some(None),
            Some(at) => self.reading(cell(at), at, &bound::ACIDITY, line, &id).map(Some),
        };
        if let (Some(x), Some(y), Some(ph), Some(buffer_ph), Some(acidity)) =
            (x, y, ph, buffer_ph, acidity)
        {
            samples.ids.push(id);
            samples.lines.push(line);
            samples.points.push([x, y]);
            samples.ph.push(ph);
            if let Some(column) = &mut samples.buffer_ph {
                column.push(buffer_ph);
            }
            if let Some(column) = &mut samples.acidity {
                column.extend(acidity);
            }
        }
    }

    fn place(&self, line: usize, id: &str, column: Option<usize>) -> Place {
        Place {
            line: Some(line),
            sample: self.columns.id.map(|_| id.to_owned()),
            column: column.map(|at| self.headers[at].clone()),
            ..Place::in_file(self.given)
        }
    }

    fn reading(
        &mut self,
        text: &str,
        at: usize,
        bounded: &Bounded,
        line: usize,
        id: &str,
    ) -> Option<f64> {
        let number = self.number(text, at, line, id)?;
        bounded
            .check(number, &format!("`{text}`"))
            .map_err(|misread| {
                let place = self.place(line, id, Some(at));
                self.problems.push(Problem::misread(place, bounded.words, misread));
            })
            .ok()
    }

    /// A plain number; anything else is a problem, never a number by accident.
    fn number(&mut self, text: &str, at: usize, line: usize, id: &str) -> Option<f64> {
        let plain = text.bytes().all(|b| b.is_ascii_digit() || b"+-.eE".contains(&b));
        if plain
            && let Ok(number) = text.parse::<f64>()
            && number.is_finite()
        {
            return Some(number);
        }
        let place = self.place(line, id, Some(at));
        let problem = if text.is_empty() {
            Problem::at(place, "the cell is blank")
                .allowed("a number in every row")
                .hint("fill it in, or leave the row out if the sample was not analysed")
        } else {
            Problem::at(place, format!("`{text}` is not a number"))
                .allowed("a plain number with a decimal point")
                .hint("correct it, or leave the row out if the sample has no such value")
        };
        self.problems.push(problem);
        None
    }
}
