//! What a caller knows of a table before it is read.

use encoding_rs::Encoding;

use super::long::is_part_of_long_tables;
use super::repeats::RepeatRule;

/// What stands between the whole and the parts of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DecimalMark {
    /// `5.2`
    Point,
    /// `5,2`
    Comma,
}

impl DecimalMark {
    /// Both, as jobs write them.
    pub const ALL: [Self; 2] = [Self::Comma, Self::Point];

    /// As jobs write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Point => "point",
            Self::Comma => "comma",
        }
    }
}

/// What the header of a column promises.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Promise {
    /// Nothing that the caller knows.
    Nothing,
    /// Names: texts that are never taken for numbers.
    Names,
    /// Texts that are never taken for numbers either, and tell samples of one name apart.
    Labels,
    /// Something else that the caller reads.
    Something,
}

/// How a table is to be read, as far as the job says so.
#[derive(Clone, Debug)]
pub struct TableStyle {
    /// The code page, where the job states it.
    pub encoding: Option<&'static Encoding>,
    /// The decimal mark, where the job states it.
    pub decimal: Option<DecimalMark>,
    /// What becomes of several results of one sample, where the job states it.
    pub repeats: Option<RepeatRule>,
    /// Headers that the job names itself, of columns with names.
    pub names: Vec<String>,
    /// Headers that the job names itself, of other columns.
    pub others: Vec<String>,
    /// The columns by which rows are chosen or sorted, such as that of the field.
    pub labels: Vec<String>,
    /// Columns with the value that a row must have in each of them; the others are not read.
    pub select: Vec<(String, String)>,
    /// What a header promises by itself: it tells the header from the lines above it.
    pub promise: fn(&str) -> Promise,
}

impl TableStyle {
    pub(in crate::inputs) fn promise_of(&self, header: &str) -> Promise {
        let named = |list: &[String]| list.iter().any(|name| is_same_name(name, header));
        if header.is_empty() {
            Promise::Nothing
        } else if named(&self.names) {
            Promise::Names
        } else if named(&self.others) {
            Promise::Something
        } else {
            match (self.promise)(header) {
                Promise::Nothing if named(&self.labels) => Promise::Labels,
                Promise::Nothing if is_part_of_long_tables(header) => Promise::Something,
                promise => promise,
            }
        }
    }
}

/// Whether two names are the same, case and blanks around them aside.
fn is_same_name(a: &str, b: &str) -> bool {
    let (a, b) = (a.trim(), b.trim());
    if a.is_ascii() && b.is_ascii() {
        return a.eq_ignore_ascii_case(b);
    }
    a.to_lowercase() == b.to_lowercase()
}
