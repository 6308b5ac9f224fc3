//! The table of a shapefile (dBase III; layout from memory, common practice). Written by hand: the
//! day in its head is that of the map, and the package at hand would put today's there.

use super::names::LONGEST_DBF_NAME;

/// Bytes of a text in a row at the most.
const LONGEST_TEXT: usize = 254;
/// Characters of a number at the most that every reader takes (dBase III).
const LONGEST_NUMBER: usize = 19;
const FIELD_BYTES: usize = 32;
const END_OF_FIELDS: u8 = 0x0d;
const END_OF_FILE: u8 = 0x1a;
const KEPT: u8 = b' ';

/// One column: its name and what stands in it.
pub(super) struct DbfColumn<'a> {
    pub(super) name: &'a str,
    pub(super) values: DbfValues<'a>,
}

/// What stands in a column, a row each.
pub(super) enum DbfValues<'a> {
    /// Numbers, with so many decimals at the most.
    Numbers(Vec<f64>, usize),
    /// Texts.
    Texts(Vec<&'a str>),
}

/// A column as it is written: as wide as its widest value.
struct Field {
    kind: u8,
    width: usize,
    decimals: usize,
    texts: Vec<Vec<u8>>,
}

/// The table as a file, with the day `YYYY-MM-DD` in its head.
///
/// # Errors
/// Returns what does not fit: a name, a number, or all of it.
pub(super) fn dbf_bytes(columns: &[DbfColumn<'_>], day: &str) -> Result<Vec<u8>, String> {
    let fields: Vec<Field> = columns.iter().map(field_of).collect::<Result<_, _>>()?;
    let rows = fields.first().map_or(0, |field| field.texts.len());
    let row_bytes = 1 + fields.iter().map(|field| field.width).sum::<usize>();
    let head_bytes = FIELD_BYTES * (fields.len() + 1) + 1;
    let mut out = Vec::with_capacity(head_bytes + rows * row_bytes + 1);
    out.push(3);
    out.extend(day_bytes(day).ok_or_else(|| format!("`{day}` is no day"))?);
    out.extend(number::<u32>(rows)?.to_le_bytes());
    out.extend(number::<u16>(head_bytes)?.to_le_bytes());
    out.extend(number::<u16>(row_bytes)?.to_le_bytes());
    out.resize(FIELD_BYTES, 0);
    for (column, field) in columns.iter().zip(&fields) {
        let start = out.len();
        out.extend(column.name.as_bytes());
        out.resize(start + 11, 0);
        out.extend([field.kind, 0, 0, 0, 0]);
        out.extend([number::<u8>(field.width)?, number::<u8>(field.decimals)?]);
        out.resize(start + FIELD_BYTES, 0);
    }
    out.push(END_OF_FIELDS);
    for row in 0..rows {
        out.push(KEPT);
        for field in &fields {
            let text = &field.texts[row];
            let blanks = std::iter::repeat_n(b' ', field.width - text.len());
            if field.kind == b'N' {
                out.extend(blanks);
                out.extend(text);
            } else {
                out.extend(text);
                out.extend(blanks);
            }
        }
    }
    out.push(END_OF_FILE);
    Ok(out)
}

fn field_of(column: &DbfColumn<'_>) -> Result<Field, String> {
    if column.name.len() > LONGEST_DBF_NAME || !column.name.is_ascii() {
        return Err(format!("`{}` is no name for a column of a shapefile", column.name));
    }
    let (kind, decimals, texts) = match &column.values {
        DbfValues::Texts(texts) => (b'C', 0, texts.iter().map(|text| short_text(text)).collect()),
        DbfValues::Numbers(numbers, most) => {
            let decimals = decimals_of(numbers, *most);
            let text = |number: &f64| plain_number(*number, decimals).into_bytes();
            (b'N', decimals, numbers.iter().map(text).collect::<Vec<_>>())
        }
    };
    let width = texts.iter().map(Vec::len).max().unwrap_or(1).max(1);
    if kind == b'N' && width > LONGEST_NUMBER {
        return Err(format!("a number of `{}` has {width} characters", column.name));
    }
    Ok(Field { kind, width, decimals, texts })
}

/// The fewest decimals that show every number as it is, and `most` where none do.
pub(super) fn decimals_of(numbers: &[f64], most: usize) -> usize {
    let fits = |decimals: usize| {
        let scale = (0..decimals).fold(1.0, |scale, _| scale * 10.0);
        numbers.iter().all(|number| {
            let scaled = number * scale;
            (scaled - scaled.round()).abs() <= 1e-9 * scaled.abs().max(1.0)
        })
    };
    (0..most).find(|&decimals| fits(decimals)).unwrap_or(most)
}

/// A number with its decimals, and never a negative nothing.
pub(super) fn plain_number(number: f64, decimals: usize) -> String {
    super::super::summary_text::decimals(number, decimals)
}

/// A text cut between characters to what a column holds.
fn short_text(text: &str) -> Vec<u8> {
    let mut end = text.len().min(LONGEST_TEXT);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    text.as_bytes()[..end].to_vec()
}

/// Year since 1900, month and day of `YYYY-MM-DD`.
fn day_bytes(day: &str) -> Option<[u8; 3]> {
    let mut parts = day.split('-').map(|part| part.parse::<u32>().ok());
    let (year, month, day) = (parts.next()??, parts.next()??, parts.next()??);
    let year = u8::try_from(year.checked_sub(1900)?).ok()?;
    Some([year, u8::try_from(month).ok()?, u8::try_from(day).ok()?])
}

fn number<T: TryFrom<usize>>(number: usize) -> Result<T, String> {
    T::try_from(number).map_err(|_beyond| format!("{number} is more than a shapefile holds"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Fixed widths cut such numbers to others: `12345.67` in six characters became `12345.`
    /// (GeospatialPython/pyshp, pull request 442). The reader is the `dbase` package.
    #[test]
    fn every_number_comes_back_whatever_its_width() {
        let numbers = vec![123_456.0, 12_345.67, 0.0, 2.25, 0.5];
        let texts = vec!["a", "", "Æ", "d", "e"];
        let columns = [
            DbfColumn { name: "rate_lb_ac", values: DbfValues::Numbers(numbers.clone(), 5) },
            DbfColumn { name: "whole", values: DbfValues::Numbers(vec![7.0; 5], 5) },
            DbfColumn { name: "name", values: DbfValues::Texts(texts) },
        ];
        let bytes = dbf_bytes(&columns, "2026-10-20").unwrap();
        assert_eq!(bytes[1..4], [126, 10, 20]);
        // Two decimals are enough for all of the first column, none for the second.
        assert_eq!((bytes[32 + 16], bytes[32 + 17]), (9, 2));
        assert_eq!((bytes[64 + 16], bytes[64 + 17]), (1, 0));
        let mut reader = shapefile::dbase::Reader::new(std::io::Cursor::new(bytes)).unwrap();
        let rows = reader.read().unwrap();
        for (row, expected) in rows.iter().zip(numbers) {
            let value = row.get("rate_lb_ac").unwrap();
            assert_eq!(*value, shapefile::dbase::FieldValue::Numeric(Some(expected)));
        }
    }

    #[test]
    fn what_does_not_fit_is_refused_and_not_cut() {
        let of = |name: &'static str, number: f64| {
            let values = DbfValues::Numbers(vec![number], 2);
            dbf_bytes(&[DbfColumn { name, values }], "2026-10-20")
        };
        assert!(of("rate_ton_ac", 1.0).unwrap_err().contains("no name"));
        assert!(of("rate", 1e20).unwrap_err().contains("characters"));
        assert!(of("rate", 1.0).is_ok());
        assert!(dbf_bytes(&[], "20 October").is_err());
    }
}
