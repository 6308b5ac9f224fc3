//! Decimal commas and marks between thousands, settled column by column: a column is turned into
//! plain numbers only where all of it is written in one way.

use super::marks::plain_number;
use super::model::Table;
use super::style::{DecimalMark, Promise, TableStyle};
use crate::findings::{Finding, Place};

/// What the cells of one column say about its decimal mark.
#[derive(Clone, Copy, Debug, Default)]
#[expect(clippy::struct_excessive_bools, reason = "each is one thing that was seen or not")]
struct Evidence {
    /// A cell that is a number by commas only, or by points only.
    comma: bool,
    point: bool,
    /// A cell such as `5,200` or `5.200`, which is another number by the other mark.
    open_comma: bool,
    open_point: bool,
    /// A cell that can only have this mark between its thousands.
    comma_groups: bool,
    point_groups: bool,
}

impl Evidence {
    fn of(cells: impl Iterator<Item = impl AsRef<str>>) -> Self {
        let mut seen = Self::default();
        for cell in cells {
            let cell = cell.as_ref();
            let by = |mark| plain_number(cell, mark);
            match (by(DecimalMark::Comma), by(DecimalMark::Point)) {
                (Some(_), None) => {
                    seen.comma = true;
                    seen.point_groups |= cell.contains('.');
                }
                (None, Some(_)) => {
                    seen.point = true;
                    seen.comma_groups |= cell.contains(',');
                }
                (Some(a), Some(b)) if a != b => {
                    seen.open_comma |= cell.contains(',');
                    seen.open_point |= cell.contains('.');
                }
                _ => {}
            }
        }
        seen
    }

    /// Whether all its numbers have decimal commas.
    fn has_commas(self) -> bool {
        self.comma && !self.point
    }

    /// Whether each cell that has a mark is one number by points and another by commas, as
    /// `713.733` is.
    fn is_open_by_points(self) -> bool {
        self.open_point && !self.open_comma && !self.comma && !self.point
    }

    /// The mark of the column, where there is no doubt: `elsewhere` says that other columns of the
    /// table have decimal commas, and that a comma is no delimiter in it.
    fn mark(self, elsewhere: bool) -> Option<DecimalMark> {
        match (self.comma, self.point) {
            (true, true) => None,
            (true, false) => (!self.open_point || self.point_groups).then_some(DecimalMark::Comma),
            (false, true) => (!self.open_comma || self.comma_groups).then_some(DecimalMark::Point),
            (false, false) if self.open_comma => {
                (elsewhere && !self.open_point).then_some(DecimalMark::Comma)
            }
            // Whole numbers, thousands set apart or not, read the same either way.
            (false, false) => Some(DecimalMark::Point),
        }
    }
}

/// How the cells of a table are kept apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Separated {
    /// By commas.
    ByCommas,
    /// By another mark.
    Otherwise,
    /// They are attributes of a map file, in which most numbers are no texts: a column without any
    /// comma has decimal points.
    AsAttributes,
}

/// Writes the numbers of `table` plainly, and tells in which columns it did. What is in doubt stays
/// as it is and is no plain number, or its column is marked as in doubt, so that whoever reads the
/// column refuses it.
pub(super) fn settle_numbers(
    table: &mut Table,
    how: &TableStyle,
    separated: Separated,
) -> Vec<Finding> {
    let has_a_comma = |at: usize| table.rows.iter().any(|row| row.cells[at].contains(','));
    let columns: Vec<usize> = (0..table.headers.len())
        .filter(|&at| {
            !matches!(how.promise_of(&table.headers[at]), Promise::Names | Promise::Labels)
        })
        .filter(|&at| separated != Separated::AsAttributes || has_a_comma(at))
        .collect();
    let evidence: Vec<Evidence> = columns
        .iter()
        .map(|&at| Evidence::of(table.rows.iter().map(|row| &row.cells[at])))
        .collect();
    let any_commas = evidence.iter().any(|seen| seen.has_commas());
    let elsewhere = separated != Separated::ByCommas && any_commas;
    let (mut commas, mut thousands) = (Vec::new(), Vec::new());
    for (&at, seen) in columns.iter().zip(&evidence) {
        if how.decimal.is_none() && any_commas && seen.is_open_by_points() {
            table.in_doubt.insert(at);
            continue;
        }
        let Some(mark) = how.decimal.map_or_else(|| seen.mark(elsewhere), Some) else { continue };
        if how.decimal.is_some() && !fits(table, at, mark) {
            continue;
        }
        if let Some(example) = rewrite(table, at, mark) {
            let list = if mark == DecimalMark::Comma && example.0.contains(',') {
                &mut commas
            } else {
                &mut thousands
            };
            list.push((at, example));
        }
    }
    let mut findings = Vec::new();
    for (key, what, list) in [
        ("decimal_commas", "Decimal commas", commas),
        ("thousands_marks", "Marks between thousands", thousands),
    ] {
        if let Some((_, (from, to))) = list.first() {
            let names: Vec<String> =
                list.iter().map(|&(at, _)| format!("`{}`", table.headers[at])).collect();
            let text =
                format!("{what} were read in the columns {}: `{from}` is {to}.", names.join(", "));
            findings.push(Finding::at(key, Place::in_file(table.file.clone()), text));
        }
    }
    findings
}

/// Whether every number of a column can have the stated mark.
fn fits(table: &Table, at: usize, mark: DecimalMark) -> bool {
    let other = match mark {
        DecimalMark::Comma => DecimalMark::Point,
        DecimalMark::Point => DecimalMark::Comma,
    };
    table
        .rows
        .iter()
        .map(|row| &row.cells[at])
        .all(|cell| plain_number(cell, mark).is_some() || plain_number(cell, other).is_none())
}

/// Writes a column plainly; returns the first cell that changed, before and after.
fn rewrite(table: &mut Table, at: usize, mark: DecimalMark) -> Option<(String, String)> {
    let mut first = None;
    for row in &mut table.rows {
        let cell = &mut row.cells[at];
        if is_plain(cell) && (mark == DecimalMark::Point || !cell.contains('.')) {
            continue;
        }
        if let Some(plain) = plain_number(cell, mark)
            && plain != *cell
        {
            let before = std::mem::replace(cell, plain);
            // A decimal comma tells more than a mark between thousands.
            if first.as_ref().is_none_or(|(from, _): &(String, String)| !from.contains(',')) {
                first = Some((before, cell.clone()));
            }
        }
    }
    first
}

/// Whether a cell is a number already, so that `+5` and `5.` stay as they were written.
fn is_plain(cell: &str) -> bool {
    cell.bytes().all(|byte| byte.is_ascii_digit() || b"+-.".contains(&byte))
        && cell.matches('.').count() < 2
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inputs::table::tests::{read, style, table};

    fn column(cells: &[&str], decimal: Option<DecimalMark>) -> Vec<String> {
        let rows: Vec<String> = cells.iter().map(|cell| format!("S\t{cell}\n")).collect();
        let how = TableStyle { decimal, ..style() };
        let read = read(format!("sample_id\tvalue x\n{}", rows.concat()).as_bytes(), &how).unwrap();
        read.0.rows.into_iter().map(|row| row.cells[1].clone()).collect()
    }

    #[test]
    fn a_column_in_one_way_is_written_plainly() {
        assert_eq!(column(&["5,2", "6", "n/a", "<5,0"], None), ["5.2", "6", "n/a", "<5.0"]);
        assert_eq!(column(&["5,2", "5,200"], None), ["5.2", "5.200"]);
        assert_eq!(column(&["1,200.5", "1,200"], None), ["1200.5", "1200"]);
        assert_eq!(column(&["1.200,5", "1.200"], None), ["1200.5", "1200"]);
        assert_eq!(column(&["12 345", "6"], None), ["12345", "6"]);
        assert_eq!(column(&["5.20", "+6", "1e3"], None), ["5.20", "+6", "1e3"]);
    }

    #[test]
    fn what_is_in_doubt_stays_and_is_no_number() {
        for cells in [["5,200", "6,100"], ["5,2", "5.4"], ["950.5", "1,200"], ["5,2", "5.200"]] {
            assert_eq!(column(&cells, None), cells);
        }
        assert_eq!(column(&["5,2", "5.4"], Some(DecimalMark::Comma)), ["5,2", "5.4"]);
    }

    #[test]
    fn three_places_behind_a_point_are_in_doubt_where_other_columns_have_commas() {
        let text = |ph: &str, x: &str| format!("sample_id\tph\tvalue x\nS1\t{ph}\t{x}\n");
        let in_doubt = |ph: &str, x: &str, decimal| {
            let how = TableStyle { decimal, ..style() };
            let table = read(text(ph, x).as_bytes(), &how).unwrap().0;
            (table.in_doubt.contains(&2), table.rows[0].cells[2].clone())
        };
        assert_eq!(in_doubt("5,2", "713.733", None), (true, "713.733".to_owned()));
        assert_eq!(in_doubt("5,2", "713.733", Some(DecimalMark::Comma)), (false, "713733".into()));
        assert_eq!(in_doubt("5.2", "713.733", None), (false, "713.733".to_owned()));
        // Four places, or one, can only be parts; two marks can only be thousands.
        for x in ["713.7335", "713.7", "713733"] {
            assert_eq!(in_doubt("5,2", x, None), (false, x.to_owned()));
        }
        assert_eq!(in_doubt("5,2", "8.713.733", None), (false, "8713733".to_owned()));
    }

    #[test]
    fn a_stated_mark_settles_it() {
        assert_eq!(column(&["5,200"], Some(DecimalMark::Comma)), ["5.200"]);
        assert_eq!(column(&["5,200"], Some(DecimalMark::Point)), ["5200"]);
        assert_eq!(column(&["5,2", "5.200"], Some(DecimalMark::Comma)), ["5.2", "5200"]);
        assert_eq!(column(&["5.2"], Some(DecimalMark::Comma)), ["5.2"]);
    }

    #[test]
    fn names_are_never_numbers_and_other_columns_are_told() {
        let text = "sample_id;lat;value x\n3,1;39,9945;5,200\n3,2;39,9946;6,100\n";
        let (read, told) = read(text.as_bytes(), &style()).unwrap();
        assert_eq!(
            read.rows,
            table(&[(2, &["3,1", "39.9945", "5.200"]), (3, &["3,2", "39.9946", "6.100"])])
        );
        assert!(told[1].text.contains("`lat`, `value x`: `39,9945` is 39.9945"), "{told:?}");
    }
}
