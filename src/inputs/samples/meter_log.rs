//! The log of a field meter: buffers that it read, its slope and its temperature, in a table.

use super::cell::{Cell, plain, why_no_number};
use super::header::quoted;
use super::moment::Moment;
use super::table::Samples;
use crate::agronomy::{BufferCheck, LogEntry, LogKind};
use crate::findings::{Finding, Place, Problem, Refusal, clean};
use crate::inputs::ids::{bare, folded};
use crate::inputs::job::{MeterLogColumn, MeterLogPart, TemperatureUnit};
use crate::inputs::open::InputFile;
use crate::inputs::table::Promise;
use crate::inputs::{Table, TableRow, read_table};
use crate::units::{Bounded, bound};

/// The log of a meter, what was found while reading it, and its file.
#[derive(Debug)]
pub struct MeterLog {
    /// Its entries, in the order of time; those of one moment as they stand in the file.
    pub entries: Vec<LogEntry<Moment>>,
    /// The line of each.
    pub lines: Vec<usize>,
    /// What was found.
    pub findings: Vec<Finding>,
    /// The file.
    pub file: InputFile,
}

impl MeterLogColumn {
    /// Headers in use, folded; common practice.
    fn headers(self) -> &'static [&'static str] {
        match self {
            Self::MeasuredAt => {
                &["measuredat", "time", "datetime", "timestamp", "order", "number", "no"]
            }
            Self::Kind => &["kind", "entry", "type"],
            Self::NominalPh => &["nominalph", "bufferph", "buffer", "standardph", "standard"],
            Self::MeterPh => &["meterph", "phmeter", "reading", "readph"],
            Self::Slope => &["slope", "slopepercent"],
            Self::Temperature => {
                &["temperature", "temp", "temperaturec", "tempc", "temperaturef", "tempf"]
            }
        }
    }

    fn is_named_by(self, header: &str) -> bool {
        let name = header.split(['(', '[', '{']).next().unwrap_or(header);
        self.headers().contains(&bare(name).as_str())
    }
}

/// What a header of a log promises by itself.
pub(in crate::inputs) fn promise_of_log(header: &str) -> Promise {
    let known = MeterLogColumn::ALL.into_iter().any(|column| column.is_named_by(header));
    if known { Promise::Something } else { Promise::Nothing }
}

/// Reads the log of a meter; its moments must be of the kind of those of the `samples`.
///
/// # Errors
/// Lists every row with a cell that cannot be taken, or that says nothing; refuses a log without
/// moments, with moments of two kinds, and a temperature whose unit is not known.
pub fn read_meter_log(part: &MeterLogPart, samples: &Samples) -> Result<MeterLog, Refusal> {
    let read = read_table(&part.file, "meter log", &part.style)?;
    let table = &read.table;
    let columns = Columns::find(table, part)?;
    let mut problems = Vec::new();
    let mut entries: Vec<(LogEntry<Moment>, usize)> = Vec::with_capacity(table.rows.len());
    for row in &table.rows {
        match columns.entry(table, row) {
            Ok(entry) => entries.push((entry, row.number)),
            Err(found) => problems.extend(found),
        }
    }
    if table.rows.is_empty() {
        problems.push(
            Problem::at(Place::in_file(&table.file), "the log holds no entry")
                .allowed("a header and one row for each entry"),
        );
    }
    problems.extend(of_two_kinds(table, &entries, samples));
    entries.sort_by(|a, b| a.0.at.cmp(&b.0.at));
    let (entries, lines) = entries.into_iter().unzip();
    Refusal::unless_clean(
        problems,
        MeterLog { entries, lines, findings: read.findings, file: read.file },
    )
}

/// Where each thing stands in a row.
struct Columns {
    measured_at: usize,
    kind: Option<usize>,
    buffer: Option<(usize, usize)>,
    slope: Option<usize>,
    temperature: Option<(usize, TemperatureUnit)>,
}

impl Columns {
    fn find(table: &Table, part: &MeterLogPart) -> Result<Self, Refusal> {
        let mut problems = Vec::new();
        let mut find = |column: MeterLogColumn| {
            column_of(table, part, column).unwrap_or_else(|problem| {
                problems.push(problem);
                None
            })
        };
        let measured_at = find(MeterLogColumn::MeasuredAt);
        let kind = find(MeterLogColumn::Kind);
        let nominal = find(MeterLogColumn::NominalPh);
        let read = find(MeterLogColumn::MeterPh);
        let slope = find(MeterLogColumn::Slope);
        let temperature = find(MeterLogColumn::Temperature);
        let head = || Place { line: table.header_line, ..Place::in_file(&table.file) };
        let headers = || quoted(table.headers.iter().map(String::as_str));
        if measured_at.is_none() && problems.is_empty() {
            let what = "no column is known to hold when each entry of the log was made";
            problems.push(
                Problem::at(head(), what)
                    .allowed(headers())
                    .hint("say which column it is with `samples.meter_log.measured_at`"),
            );
        }
        if nominal.is_some() != read.is_some() && problems.is_empty() {
            let (there, lacks, key) = match nominal {
                Some(_) => ("the pH of the buffers", "what the meter read of them", "meter_ph"),
                None => ("what the meter read of buffers", "their pH", "nominal_ph"),
            };
            problems.push(
                Problem::at(head(), format!("the log has {there}, and not {lacks}"))
                    .allowed(headers())
                    .hint(format!("say which column it is with `samples.meter_log.{key}`")),
            );
        }
        if nominal.is_none() && slope.is_none() && temperature.is_none() && problems.is_empty() {
            problems.push(
                Problem::at(head(), "the log has neither buffers nor slopes nor temperatures")
                    .allowed(headers())
                    .hint("name their columns in [samples.meter_log]"),
            );
        }
        let temperature = temperature.and_then(|at| {
            let unit = unit_of(&table.headers[at], part.temperature_unit);
            if unit.is_none() {
                let what = "the unit of the temperatures is not known";
                let problem = Problem::at(table.place_of_header(at), what)
                    .allowed("`C` or `F`, in brackets behind the header or in the job")
                    .hint("state samples.meter_log.temperature_unit = \"C\"");
                problems.push(problem);
            }
            Some((at, unit?))
        });
        Refusal::unless_clean(problems, ())?;
        let Some(measured_at) = measured_at else {
            return Err(Problem::at(head(), "the log lacks a column").into());
        };
        Ok(Self { measured_at, kind, buffer: nominal.zip(read), slope, temperature })
    }

    /// One row, or all that is wrong with it.
    fn entry(&self, table: &Table, row: &TableRow) -> Result<LogEntry<Moment>, Vec<Problem>> {
        let mut problems = Vec::new();
        let mut take = |at: usize, bounded: &Bounded, from: fn(f64) -> f64| {
            number(table, row, at, bounded, from).unwrap_or_else(|problem| {
                problems.push(problem);
                None
            })
        };
        let same = |number| number;
        let buffer = self.buffer.map(|(nominal, read)| {
            (
                take(nominal, &bound::BUFFER_SOLUTION, same),
                take(read, &bound::BUFFER_SOLUTION, same),
            )
        });
        let slope_percent =
            self.slope.and_then(|at| take(at, &bound::METER_SLOPE, |percent| percent / 100.0));
        let temperature_c = self.temperature.and_then(|(at, unit)| {
            let to_celsius = match unit {
                TemperatureUnit::Celsius => same,
                TemperatureUnit::Fahrenheit => |number| (number - 32.0) * 5.0 / 9.0,
            };
            take(at, &bound::TEMPERATURE, to_celsius)
        });
        let is_whole = problems.is_empty();
        let mut refuse = |at: Option<usize>, what: String, allowed: &str, hint: &str| {
            problems.push(Problem::at(table.place(row, at), what).allowed(allowed).hint(hint));
        };
        let at = Moment::read(&row.cells[self.measured_at]).map_err(|why| {
            let hint = "write the local time, without a zone, as in 2026-09-18T10:32";
            refuse(Some(self.measured_at), why, Moment::ALLOWED, hint);
        });
        let kind = self.kind.map_or(Some(LogKind::Check), |at| {
            let kind = kind_of(&row.cells[at]);
            if kind.is_none() {
                let what = format!("`{}` is no kind of entry", clean(&row.cells[at]));
                let hint = "leave the cell blank for a check";
                refuse(Some(at), what, "`calibration`, `check` or a blank", hint);
            }
            kind
        });
        let buffer = match (buffer, self.buffer) {
            (Some((Some(nominal), Some(read))), _) => Some(BufferCheck { nominal, read }),
            (Some((nominal, read)), Some(columns))
                if is_whole && nominal.is_some() != read.is_some() =>
            {
                let (at, what) = match nominal {
                    Some(_) => (columns.1, "the buffer has no reading"),
                    None => (columns.0, "the reading has no buffer"),
                };
                let allowed = "the pH of a buffer and what the meter read of it, both or neither";
                refuse(Some(at), what.to_owned(), allowed, "fill it in, or take the other out");
                None
            }
            _ => None,
        };
        let says_something = buffer.is_some() || slope_percent.is_some() || temperature_c.is_some();
        if !says_something && kind != Some(LogKind::Calibration) && problems.is_empty() {
            problems.push(
                Problem::at(table.place(row, None), "the entry says nothing")
                    .allowed("a buffer with its reading, a slope or a temperature in every check")
                    .hint("fill it in, or take the row out"),
            );
        }
        match (at, kind) {
            (Ok(at), Some(kind)) if problems.is_empty() => {
                let slope_percent = slope_percent.map(|slope| slope * 100.0);
                Ok(LogEntry { at, kind, buffer, slope_percent, temperature_c })
            }
            _ => Err(problems),
        }
    }
}

/// The column that the job names, or the one that is known by its header.
fn column_of(
    table: &Table,
    part: &MeterLogPart,
    column: MeterLogColumn,
) -> Result<Option<usize>, Problem> {
    let head = || Place { line: table.header_line, ..Place::in_file(&table.file) };
    let key = format!("samples.meter_log.{}", column.key());
    if let Some(wanted) = part.columns.get(&column) {
        let exact = table.headers.iter().position(|header| header == wanted.trim());
        let found =
            exact.or_else(|| table.headers.iter().position(|header| bare(header) == bare(wanted)));
        return found.map(Some).ok_or_else(|| {
            Problem::at(
                head(),
                format!("there is no column `{}`, which `{key}` names", clean(wanted)),
            )
            .allowed(quoted(table.headers.iter().map(String::as_str)))
            .hint("copy the name from the head of the table")
        });
    }
    let is_it = |&at: &usize| column.is_named_by(&table.headers[at]);
    let found: Vec<usize> = (0..table.headers.len()).filter(is_it).collect();
    match found.as_slice() {
        [] => Ok(None),
        [only] => Ok(Some(*only)),
        several => {
            let names = quoted(several.iter().map(|&at| table.headers[at].as_str()));
            Err(Problem::at(head(), format!("several columns could be meant: {names}"))
                .allowed("one column for each")
                .hint(format!("say which one with `{key}`")))
        }
    }
}

/// The unit that the header names, or the job states.
fn unit_of(header: &str, stated: Option<TemperatureUnit>) -> Option<TemperatureUnit> {
    let last = header.split(|c: char| !c.is_alphanumeric()).rfind(|word| !word.is_empty());
    let named = match last.map(folded).as_deref() {
        Some("c" | "celsius" | "degc" | "tempc" | "temperaturec") => Some(TemperatureUnit::Celsius),
        Some("f" | "fahrenheit" | "degf" | "tempf" | "temperaturef") => {
            Some(TemperatureUnit::Fahrenheit)
        }
        _ => None,
    };
    named.or(stated)
}

fn kind_of(text: &str) -> Option<LogKind> {
    if text.is_empty() {
        return Some(LogKind::Check);
    }
    LogKind::ALL.into_iter().find(|kind| kind.words() == folded(text))
}

/// The number in a cell, `None` where it holds none; `from` turns it into what is bounded.
fn number(
    table: &Table,
    row: &TableRow,
    at: usize,
    bounded: &Bounded,
    from: fn(f64) -> f64,
) -> Result<Option<f64>, Problem> {
    let text = row.cells[at].as_str();
    let place = || table.place(row, Some(at));
    let unmarked = text.strip_suffix('%').map_or(text, str::trim_end);
    match (Cell::read(text), plain(unmarked)) {
        (Cell::Missing, _) => Ok(None),
        (_, Some(number)) => bounded
            .check(from(number), &format!("`{}`", clean(text)))
            .map(Some)
            .map_err(|misread| Problem::misread(place(), bounded.words, misread)),
        _ => {
            let [what, allowed, hint] = why_no_number(text);
            Err(Problem::at(place(), what).allowed(allowed).hint(hint))
        }
    }
}

/// Times and running numbers cannot be put in one order.
fn of_two_kinds(
    table: &Table,
    entries: &[(LogEntry<Moment>, usize)],
    samples: &Samples,
) -> Option<Problem> {
    let (first, line) = entries.first().map(|(entry, line)| (&entry.at, *line))?;
    let hint = "write both files by local times, or both by running numbers of one count";
    let refuse = |place: Place, other: &Moment| {
        let what = format!(
            "{} stands beside {}: `{other}`, and `{first}` in line {line} of the log",
            other.kind(),
            first.kind()
        );
        Problem::at(place, what).allowed("moments of one kind throughout").hint(hint)
    };
    if let Some((other, line)) = entries.iter().find(|(entry, _)| !entry.at.is_like(first)) {
        let place = Place { line: Some(*line), ..Place::in_file(&table.file) };
        return Some(refuse(place, &other.at));
    }
    let read_at = samples.measured_at.as_ref()?;
    let of_sample = |sample: usize| read_at[sample].as_ref().filter(|at| !at.is_like(first));
    let sample = (0..read_at.len()).find(|&sample| of_sample(sample).is_some())?;
    Some(refuse(samples.place(sample), of_sample(sample)?))
}
