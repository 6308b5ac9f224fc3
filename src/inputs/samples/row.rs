//! The rows of a table of samples, one by one: a row is taken whole or not at all.

use super::cell::{Cell, stands_for_no_reading, why_no_number};
use super::columns::Columns;
use super::degrees::{Axis, decimals_of, read_degrees};
use super::depths::RowLayers;
use super::media_by_row::MediaByRow;
use super::moment::Moment;
use super::policy::{Censored, Missing};
use super::table::Samples;
use super::told::Told;
use super::values::ValueColumn;
use crate::findings::{Finding, Place, Problem};
use crate::inputs::job::SamplesPart;
use crate::inputs::table::{has_a_decimal_comma, two_readings};
use crate::inputs::{CoordinateSystem, RawPoint, Table, TableRow};
use crate::units::{Bounded, TextureClass, bound, tidy};

/// What came of a cell that should hold a reading.
enum Taken {
    Reading(f64),
    /// There is none, and the job says what then.
    Nothing,
    /// It was refused, and the problem was listed.
    Refused,
}

impl Taken {
    /// The reading, or that there is none; `None` where it was refused.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    fn option(self) -> Option<Option<f64>> {
        match self {
            Self::Reading(value) => Some(Some(value)),
            Self::Nothing => Some(None),
            Self::Refused => None,
        }
    }
}

/// A cell on its way to a reading.
#[derive(Clone, Copy)]
struct Asked<'t> {
    row: &'t TableRow,
    at: usize,
    id: &'t str,
    bounded: &'static Bounded,
    /// By what the number is divided.
    divisor: f64,
}

/// Reads rows, and keeps what is to be told of them.
pub(super) struct Rows<'t> {
    table: &'t Table,
    columns: &'t Columns,
    part: &'t SamplesPart,
    by_index: bool,
    layers: Option<RowLayers<'t>>,
    pub(super) problems: Vec<Problem>,
    /// For each sample that was taken, the line of the other file that was joined to it.
    pub(super) joined_lines: Vec<Option<usize>>,
    told: Told,
    /// The media of the rows, where each has its own.
    media: Option<MediaByRow>,
}

impl<'t> Rows<'t> {
    pub(super) fn new(
        table: &'t Table,
        columns: &'t Columns,
        part: &'t SamplesPart,
        by_index: bool,
    ) -> Self {
        let (mut problems, joined_lines) = (Vec::new(), Vec::new());
        let layers = RowLayers::of(table, columns, part, &mut problems);
        let told = Told::default();
        let media = match columns.ph {
            Some(_) => {
                let head = Place { line: table.header_line, ..Place::in_file(&table.file) };
                MediaByRow::of(table, part, columns.id, &head).unwrap_or_else(|found| {
                    problems.extend(found);
                    None
                })
            }
            None => None,
        };
        Self { table, columns, part, by_index, layers, problems, joined_lines, told, media }
    }

    /// What is to be told of the rows that were read.
    pub(super) fn findings(&self) -> Vec<Finding> {
        let mut findings = self.told.findings(self.table);
        findings.extend(self.media.iter().flat_map(|media| media.findings(&self.table.file)));
        findings
    }

    /// Reads a row into `samples`, or lists what is wrong with it.
    pub(super) fn read(&mut self, number: usize, samples: &mut Samples) {
        let row = &self.table.rows[number];
        let columns = self.columns;
        let id = columns.id.map(|at| row.cells[at].clone()).filter(|id| !id.is_empty());
        let row_is = if self.table.points.is_some() { "feature" } else { "line" };
        let id = id.unwrap_or_else(|| format!("{row_is} {}", row.number));
        let asked = |at, bounded, divisor| Asked { row, at, id: &id, bounded, divisor };
        let layer = self.layer(row, &id);
        // A composite has a zone in place of a point.
        let placed = !self.part.are_composites();
        let point = if placed { self.point(number, &id) } else { None };
        let zone = columns.zone.map(|at| self.zone(row, at, &id));
        let ph = columns.ph.map(|at| self.reading(asked(at, &bound::SOIL_PH, 1.0)));
        let divisor = if self.by_index { 10.0 } else { 1.0 };
        let buffer_ph = match columns.buffer_ph {
            Some(at) if !self.is_blank_buffer(&row.cells[at]) => {
                self.reading(asked(at, &bound::BUFFER_PH, divisor)).option()
            }
            _ => Some(None),
        };
        let mut others = Vec::with_capacity(columns.values.numbers.len());
        for &ValueColumn { value, at, unit } in &columns.values.numbers {
            // The limits are in the unit that methods take; the number stays as reported.
            let bounded = value.bounded();
            let divisor = bounded.kind.factor(unit).map_or(1.0, |factor| 1.0 / factor);
            if let Taken::Reading(number) = self.reading(asked(at, bounded, divisor)) {
                others.push(tidy(number * divisor));
            }
        }
        let measured_at = columns.measured_at.map(|at| self.moment(row, at, &id));
        let texture =
            columns.values.texture.and_then(|at| TextureClass::from_words(&row.cells[at]));
        let ph = match ph {
            Some(Taken::Reading(ph)) => Some(ph),
            Some(Taken::Nothing | Taken::Refused) => return,
            None => None,
        };
        let Some(buffer_ph) = buffer_ph else { return };
        let Some(layer) = layer else { return };
        if (placed && point.is_none()) || zone == Some(None) || measured_at == Some(None) {
            return;
        }
        if others.len() < columns.values.numbers.len() {
            return;
        }
        let media = self.media.as_mut();
        let ph = ph.map(|ph| media.map_or(ph, |media| media.convert(number, &id, ph)));
        samples.ids.push(id);
        samples.lines.push(row.number);
        self.joined_lines.push(row.joined_line);
        samples.layers.push(layer);
        samples.points.extend(point);
        if let (Some(column), Some(zone)) = (&mut samples.zones, zone) {
            column.extend(zone);
        }
        if let Some(column) = &mut samples.ph {
            column.extend(ph);
        }
        if let Some(column) = &mut samples.buffer_ph {
            column.push(buffer_ph);
        }
        if let (Some(column), Some(at)) = (&mut samples.measured_at, measured_at) {
            column.extend(at);
        }
        for (column, number) in samples.values.iter_mut().zip(others) {
            column.numbers.push(number);
        }
        if let Some(column) = &mut samples.textures {
            column.extend(texture);
        }
    }

    /// The layer that the row is of, by its number; `None` where its depth is refused.
    fn layer(&mut self, row: &TableRow, id: &str) -> Option<usize> {
        let Some(layers) = &mut self.layers else { return Some(0) };
        let sample = self.columns.id.map(|_| id.to_owned());
        let place = |at| Place { sample: sample.clone(), ..self.table.place(row, Some(at)) };
        layers.layer_of(row, place).unwrap_or_else(|problem| {
            self.problems.push(problem);
            None
        })
    }

    /// A laboratory that ran no buffer leaves the cell blank, or says so by a mark.
    fn is_blank_buffer(&self, text: &str) -> bool {
        match Cell::read(text) {
            Cell::Missing => true,
            Cell::Number(number) => {
                self.part.policy.missing.is_some() && stands_for_no_reading(number)
            }
            _ => false,
        }
    }

    fn place(&self, row: &TableRow, at: usize, id: &str) -> Place {
        let sample = self.columns.id.map(|_| id.to_owned());
        Place { sample, ..self.table.place(row, Some(at)) }
    }

    fn refuse(&mut self, asked: Asked<'_>, what: String, allowed: &str, hint: &str) -> Taken {
        let place = self.place(asked.row, asked.at, asked.id);
        self.problems.push(Problem::at(place, what).allowed(allowed).hint(hint));
        Taken::Refused
    }

    /// The name of the zone of a point.
    fn zone(&mut self, row: &TableRow, at: usize, id: &str) -> Option<String> {
        let name = row.cells[at].as_str();
        if name.is_empty() {
            let problem = Problem::at(self.place(row, at, id), "the point has no zone")
                .allowed("the name of a zone in every row, as samples.zone_key has it")
                .hint("fill it in, or take the row out");
            self.problems.push(problem);
            return None;
        }
        Some(name.to_owned())
    }

    /// When the meter read the sample: `None` where the cell is refused, nothing where it holds none.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    fn moment(&mut self, row: &TableRow, at: usize, id: &str) -> Option<Option<Moment>> {
        let text = row.cells[at].as_str();
        if Cell::read(text) == Cell::Missing {
            return Some(None);
        }
        match Moment::read(text) {
            Ok(moment) => Some(Some(moment)),
            Err(why) => {
                let problem = Problem::at(self.place(row, at, id), why)
                    .allowed(Moment::ALLOWED)
                    .hint("correct it, or leave the cell blank where the time is not known");
                self.problems.push(problem);
                None
            }
        }
    }

    /// Where the sample was taken.
    fn point(&mut self, number: usize, id: &str) -> Option<RawPoint> {
        if let Some((_, points)) = &self.table.points {
            return points.get(number).copied();
        }
        let row = &self.table.rows[number];
        let (x, y) = self.columns.xy?;
        let degrees = self.part.system == CoordinateSystem::Wgs84Degrees;
        let mut read = |at: usize, axis: Axis| {
            let text = row.cells[at].as_str();
            let [what, allowed, hint] = match cell_of(self.table, row, at) {
                Cell::Number(number) => {
                    self.told.decimals(axis, decimals_of(text).filter(|_| degrees));
                    return Some(number);
                }
                Cell::Missing if text.is_empty() => {
                    let hint = "fill it in, or take the row out: a sample has its place";
                    ["the cell is blank", "a coordinate in every row", hint].map(str::to_owned)
                }
                _ if degrees && may_be_degrees(text) => match read_degrees(text, axis) {
                    Ok(number) => {
                        self.told.decimals(axis, None);
                        return Some(number);
                    }
                    Err(why) => [
                        format!("`{text}` is no coordinate: {why}"),
                        "degrees as in 39.9945, 39 59.67 N or 39°59'40.2\"N".to_owned(),
                        "correct it, or write decimal degrees".to_owned(),
                    ],
                },
                _ => why_no_number(text),
            };
            let place = self.place(row, at, id);
            self.problems.push(Problem::at(place, what).allowed(allowed).hint(hint));
            None
        };
        let (x, y) = (read(x, Axis::Lon), read(y, Axis::Lat));
        if let (Some(_), Some(y)) = (x, y) {
            self.told.latitude(y);
        }
        Some([x?, y?])
    }

    /// The reading in a cell, by the policy that the job states.
    fn reading(&mut self, asked: Asked<'_>) -> Taken {
        let text = asked.row.cells[asked.at].as_str();
        let words = asked.bounded.words;
        match cell_of(self.table, asked.row, asked.at) {
            Cell::Number(number) => {
                let is_code = stands_for_no_reading(number)
                    && asked.bounded.check(number / asked.divisor, text).is_err();
                if is_code && self.part.policy.missing.is_some() {
                    return self.nothing(asked, text);
                }
                self.bounded(asked, number / asked.divisor)
            }
            Cell::Missing => self.nothing(asked, text),
            cell @ (Cell::Below(limit) | Cell::Above(limit)) => {
                let on_a_ph_scale = asked.bounded.limit_unit.is_empty();
                let halves = matches!(cell, Cell::Below(_)) && !on_a_ph_scale;
                match self.part.policy.censored {
                    None => self.refuse(
                        asked,
                        format!("`{text}` is a limit, not a number that was read"),
                        "a number, or a limit with a word on what it counts as",
                        "samples.censored = \"limit\" takes the limit itself",
                    ),
                    Some(Censored::Half) if !halves => self.refuse(
                        asked,
                        format!("half of `{text}` means nothing for the {words}"),
                        "half of a limit that is a most (`<`), on a scale that begins at 0",
                        "samples.censored = \"limit\" takes the limit itself",
                    ),
                    Some(censored) => {
                        let share = if censored == Censored::Half { 2.0 } else { 1.0 };
                        let taken = self.bounded(asked, limit / asked.divisor / share);
                        if let Taken::Reading(_) = taken {
                            self.told.limit(asked.at, asked.id, words, text, censored);
                        }
                        taken
                    }
                }
            }
            Cell::Other => {
                let [what, allowed, hint] = why_no_number(text);
                self.refuse(asked, what, &allowed, &hint)
            }
        }
    }

    fn bounded(&mut self, asked: Asked<'_>, value: f64) -> Taken {
        let text = asked.row.cells[asked.at].as_str();
        match asked.bounded.check(value, &format!("`{text}`")) {
            Ok(value) => Taken::Reading(value),
            Err(misread) => {
                let place = self.place(asked.row, asked.at, asked.id);
                self.problems.push(Problem::misread(place, asked.bounded.words, misread));
                Taken::Refused
            }
        }
    }

    /// There is no reading: the sample is left out, if the job says so.
    fn nothing(&mut self, asked: Asked<'_>, text: &str) -> Taken {
        if self.part.policy.missing == Some(Missing::LeaveOut) {
            self.told.left_out(asked.at, asked.id, asked.bounded.words, text);
            return Taken::Nothing;
        }
        let what = if text.is_empty() {
            "the cell is blank".to_owned()
        } else {
            format!("`{text}` is not a number, and stands for no reading")
        };
        let hint = "fill it in, or leave out the samples without a reading with samples.missing = \
                    \"leave out\"";
        self.refuse(asked, what, "a number in every row", hint)
    }
}

/// What a cell holds; nothing that can be told where its column is in doubt.
fn cell_of(table: &Table, row: &TableRow, at: usize) -> Cell {
    let text = row.cells[at].as_str();
    match Cell::read(text) {
        Cell::Number(_) | Cell::Below(_) | Cell::Above(_)
            if table.in_doubt.contains(&at) && two_readings(text).is_some() =>
        {
            Cell::Other
        }
        cell => cell,
    }
}

/// Whether a text that is no number may be degrees: one with a comma is in doubt already.
fn may_be_degrees(text: &str) -> bool {
    text.contains(|c: char| c.is_ascii_digit())
        && two_readings(text).is_none()
        && !has_a_decimal_comma(text)
}
