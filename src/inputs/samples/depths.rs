//! The depth that a row of a table comes from, and which layer of the job that is.

use super::columns::Columns;
use super::header::quoted;
use crate::findings::{Place, Problem};
use crate::inputs::ids::damage;
use crate::inputs::job::{JobLayer, LayersPart, SamplesPart};
use crate::inputs::{Table, TableRow};
use crate::units::{DepthInterval, Length, bound};

/// Depths of a row and of a layer that differ by less are the same: a millimetre, for rounding.
const SAME_WITHIN_M: f64 = 1e-3;

/// Where the depth of a row stands.
#[derive(Clone, Copy, Debug)]
pub(super) enum DepthColumns {
    /// In one column, as in `0-6 in`.
    One(usize),
    /// Its ends in two.
    Ends(usize, usize),
}

impl DepthColumns {
    /// The column that a problem with the depth is told at.
    pub(super) fn first(self) -> usize {
        match self {
            Self::One(at) | Self::Ends(at, _) => at,
        }
    }

    /// All of them.
    pub(super) fn list(self) -> Vec<usize> {
        match self {
            Self::One(at) => vec![at],
            Self::Ends(top, bottom) => vec![top, bottom],
        }
    }

    /// The depth as the row writes it.
    pub(super) fn text(self, row: &TableRow) -> String {
        match self {
            Self::One(at) => row.cells[at].clone(),
            Self::Ends(top, bottom) => format!("{}-{}", row.cells[top], row.cells[bottom]),
        }
    }
}

/// Tells which layer of a job a row is of.
pub(super) struct RowLayers<'t> {
    layers: &'t [JobLayer],
    columns: DepthColumns,
    /// The unit of cells that have none.
    unit: Option<&'static str>,
    /// Whether it was told that there is no such unit: it is so for many rows or for none.
    told_of_no_unit: bool,
}

impl<'t> RowLayers<'t> {
    /// `None` where the job has no layers; what is wrong with the heads of the columns goes to
    /// `problems`.
    pub(super) fn of(
        table: &Table,
        columns: &Columns,
        part: &'t SamplesPart,
        problems: &mut Vec<Problem>,
    ) -> Option<Self> {
        let LayersPart { list, unit: stated, .. } = part.layers.as_ref()?;
        let columns = columns.depth?;
        let header = &table.headers[columns.first()];
        let named = unit_in_header(header);
        if let (Some(named), Some(stated)) = (named, *stated)
            && named != stated
        {
            let place = table.place_of_header(columns.first());
            let what = format!("the column names `{named}`, and the job says `{stated}`");
            problems.push(
                Problem::at(place, what)
                    .allowed("the unit that samples.depth_unit states")
                    .hint("correct samples.depth_unit, or leave it out"),
            );
        }
        let unit = named.or(*stated);
        Some(Self { layers: list, columns, unit, told_of_no_unit: false })
    }

    /// The number of the row's layer, or what is wrong with its depth; `Ok(None)` where that was
    /// told of another row.
    pub(super) fn layer_of(
        &mut self,
        row: &TableRow,
        place: impl Fn(usize) -> Place,
    ) -> Result<Option<usize>, Problem> {
        let text = self.columns.text(row);
        let ends = match self.columns {
            DepthColumns::One(_) => split(&text),
            DepthColumns::Ends(top, bottom) => {
                Some((row.cells[top].clone(), row.cells[bottom].clone()))
            }
        };
        let ends = ends.and_then(|(top, bottom)| Some((End::read(&top)?, End::read(&bottom)?)));
        let at = place(self.columns.first());
        let Some((top, bottom)) = ends else {
            let what = match damage(&text) {
                Some(_) => format!(
                    "`{text}` is no depth; a spreadsheet seems to have made a date of it, as it \
                     does with 6-12"
                ),
                None if text.trim_matches(['-', ' ']).is_empty() => {
                    "the row has no depth".to_owned()
                }
                None => format!("`{text}` is no depth"),
            };
            return Err(Problem::at(at, what)
                .allowed("upper and lower end, as in 0-6 or 0-6 in")
                .hint("write the depth with its unit, or name the column with samples.columns"));
        };
        let Some(unit) = bottom.unit.or(top.unit).or(self.unit) else {
            if std::mem::replace(&mut self.told_of_no_unit, true) {
                return Ok(None);
            }
            let what = format!("the depth `{text}` has no unit, and the job states none");
            return Err(Problem::at(at, what)
                .allowed(bound::DEPTH.kind.words())
                .hint("state the unit of all such rows as samples.depth_unit"));
        };
        // A unit behind one end holds for both.
        let [top, bottom] = [top, bottom].map(|end| end.depth(unit));
        let found = self.layers.iter().position(|JobLayer { depth, .. }| {
            is_same(depth.top(), top) && is_same(depth.bottom(), bottom)
        });
        found.map(Some).ok_or_else(|| {
            Problem::at(at, format!("the depth `{text}` is none of the layers of the job"))
                .allowed({
                    let all: Vec<String> =
                        self.layers.iter().map(|l| shown(l.depth, unit)).collect();
                    quoted(all.iter().map(String::as_str))
                })
                .hint("list it among samples.layers, even if it lies below the limed depth")
        })
    }
}

fn is_same(depth: Length, other: Length) -> bool {
    (depth - other).abs() < Length::from_metres(SAME_WITHIN_M)
}

/// A depth in one of the units that depths are written in.
fn shown(depth: DepthInterval, unit: &str) -> String {
    let factor = bound::DEPTH.kind.units.iter().find(|(known, _)| *known == unit);
    let factor = factor.map_or(1.0, |(_, factor)| *factor);
    let end = |depth: Length| crate::units::plain(depth.to_metres() / factor, 0, 2);
    format!("{}-{} {unit}", end(depth.top()), end(depth.bottom()))
}

/// One end of a depth, as it is written.
struct End {
    number: f64,
    unit: Option<&'static str>,
}

impl End {
    fn read(text: &str) -> Option<Self> {
        let text = text.trim();
        let is_number = |c: char| c.is_ascii_digit() || c == '.' || c == ',';
        let end = text.find(|c| !is_number(c)).unwrap_or(text.len());
        let (number, unit) = text.split_at(end);
        // No depth is so great that a comma could stand between its thousands.
        let number = number.replace(',', ".").parse().ok().filter(|n: &f64| n.is_finite())?;
        let unit = if unit.trim().is_empty() { None } else { Some(unit_written(unit)?) };
        Some(Self { number, unit })
    }

    fn depth(&self, unit: &str) -> Length {
        let unit = self.unit.unwrap_or(unit);
        let factor = bound::DEPTH.kind.units.iter().find(|(known, _)| *known == unit);
        Length::from_metres(self.number * factor.map_or(1.0, |(_, factor)| *factor))
    }
}

/// Upper and lower end of a depth in one cell.
fn split(text: &str) -> Option<(String, String)> {
    let text = text.replace(['–', '—', '−'], "-").replace("to", "-");
    let (top, bottom) = text.split_once('-')?;
    Some((top.to_owned(), bottom.to_owned()))
}

/// The unit of depth that is written so.
fn unit_written(text: &str) -> Option<&'static str> {
    let text = text.trim().trim_end_matches('.').to_lowercase();
    match text.as_str() {
        "in" | "inch" | "inches" | "\"" | "″" | "”" => Some("in"),
        "ft" | "foot" | "feet" | "'" => Some("ft"),
        "cm" => Some("cm"),
        "m" => Some("m"),
        _ => None,
    }
}

/// The unit that a header ends in, such as `depth (cm)` or `top_in`.
pub(super) fn unit_in_header(header: &str) -> Option<&'static str> {
    let words = header.split(|c: char| !(c.is_alphanumeric() || c == '"'));
    words.filter(|word| !word.is_empty()).skip(1).last().and_then(unit_written)
}

/// What is wrong with the depths of the samples against the one that the job states.
pub(super) fn depth_problem(
    table: &Table,
    columns: &Columns,
    named: &[&str],
    stated: DepthInterval,
) -> Option<Problem> {
    let place = table.place_of_column(columns.depth?.first());
    match named {
        [] => None,
        [only] if !contradicts(only, stated) => None,
        [only] => {
            let what =
                format!("the samples come from the depth `{only}`, and the job states another");
            let problem = Problem::at(place, what);
            let problem = problem.allowed("the depth that samples.sampled_depth states");
            Some(problem.hint("correct samples.sampled_depth, or take the right file"))
        }
        _ => {
            let names = quoted(named.iter().copied());
            let what = format!("the samples come from several depths: {names}");
            let problem = Problem::at(place, what);
            let problem = problem.allowed("one depth, which samples.sampled_depth states");
            Some(problem.hint(
                "list the depths as samples.layers in place of sampled_depth, or keep the rows of \
                 one depth in the file",
            ))
        }
    }
}

/// Whether a depth as a table writes it, such as `6-12 in` or `0-20`, is not the stated one. Without
/// a unit it may be in either of the two that are in use.
fn contradicts(cell: &str, stated: DepthInterval) -> bool {
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Top and bottom of a cell in centimetres, numbers without a unit being in `unit`.
    fn read(text: &str, unit: &str) -> Option<[f64; 2]> {
        let (top, bottom) = split(text)?;
        let (top, bottom) = (End::read(&top)?, End::read(&bottom)?);
        let last = bottom.unit.unwrap_or(unit);
        let depths = [top.depth(last), bottom.depth(last)];
        Some(depths.map(|depth| (depth.to_centimetres() * 1e6).round() / 1e6))
    }

    #[test]
    fn a_depth_is_read_however_its_ends_and_its_unit_are_written() {
        for text in ["0-6 in", "0 - 6in", "0–6 inches", "0 to 6 in", "0 in - 6 in", "0\"-6\""] {
            assert_eq!(read(text, "cm"), Some([0.0, 15.24]), "{text}");
        }
        assert_eq!(read("7,5-15", "cm"), Some([7.5, 15.0]));
        assert_eq!(read("18-30", "in"), Some([45.72, 76.2]));
        assert_eq!(read("0.5-1 ft", "cm"), Some([15.24, 30.48]));
    }

    #[test]
    fn what_is_no_depth_is_not_read() {
        for text in ["", "-", "top", "6", "6-Dec", "2026-06-12", "A", "0-6 rods", "0-6-12", "-6"] {
            assert_eq!(read(text, "in"), None, "{text}");
        }
    }

    #[test]
    fn a_header_says_its_unit_behind_its_name_only() {
        for (header, unit) in [
            ("depth (cm)", Some("cm")),
            ("depth_cm", Some("cm")),
            ("Depth, in", Some("in")),
            ("depth", None),
            ("layer", None),
            ("in", None),
            ("Depth [ft]", Some("ft")),
        ] {
            assert_eq!(unit_in_header(header), unit, "{header}");
        }
    }
}
