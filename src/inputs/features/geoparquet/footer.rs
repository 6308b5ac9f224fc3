//! What a Parquet file says of itself at its end: columns, groups of rows, and where their bytes
//! lie.
//!
//! Apache Parquet format 2.10, `parquet.thrift`; the numbers of fields and kinds are from there
//! (written from memory, and held against files of other writers in tests).

use super::kind::{Kind, kind_of};
use super::thrift::{Reader, Value};
use crate::inputs::features::format::PARQUET_MAGIC as MAGIC;

/// Bytes after the description: its length and the magic.
const TAIL_BYTES: usize = 8;
/// A description takes up to forty times its bytes in memory; those of field maps have kilobytes.
const MOST_FOOTER_BYTES: usize = 8 << 20;

/// A column that is neither nested nor repeated.
#[derive(Debug)]
pub(super) struct Column {
    pub(super) name: String,
    pub(super) kind: Kind,
    /// Whether values may be missing.
    pub(super) optional: bool,
    /// Its place among all columns of a group, nested ones counted.
    at: usize,
}

/// The bytes of one column in one group of rows.
#[derive(Clone, Copy, Debug)]
pub(super) struct Chunk {
    pub(super) start: usize,
    pub(super) bytes: usize,
    pub(super) codec: i64,
}

/// The description of a file.
#[derive(Debug)]
pub(super) struct Footer {
    pub(super) columns: Vec<Column>,
    /// For each group, its rows and the chunk of each of `columns`.
    pub(super) groups: Vec<(usize, Vec<Chunk>)>,
    /// The text under the key `geo`.
    pub(super) geo: Option<String>,
}

/// Reads the description at the end of the file.
///
/// # Errors
/// Says what is wrong with it.
pub(super) fn read_footer(file: &[u8]) -> Result<Footer, String> {
    let cut_off = || String::from("it is cut off or damaged");
    let body = file
        .strip_prefix(MAGIC)
        .and_then(|rest| rest.strip_suffix(MAGIC))
        .and_then(|rest| rest.split_last_chunk::<4>());
    let (body, length) = body.ok_or_else(cut_off)?;
    let length = u32::from_le_bytes(*length) as usize;
    if length > MOST_FOOTER_BYTES {
        return Err(format!("its description has {length} bytes, of at most {MOST_FOOTER_BYTES}"));
    }
    let start = body.len().checked_sub(length).ok_or_else(cut_off)?;
    let described = Reader(&body[start..]).structure().ok_or_else(cut_off)?;
    let columns = columns_of(described.list(2)).ok_or_else(cut_off)?;
    let mut groups = Vec::new();
    for group in described.list(4) {
        groups.push(group_of(group, &columns, file.len()).ok_or_else(cut_off)?);
    }
    let rows: usize = groups.iter().map(|(rows, _)| *rows).fold(0, usize::saturating_add);
    if described.whole(3).and_then(|rows| usize::try_from(rows).ok()) != Some(rows) {
        return Err(cut_off());
    }
    let geo = described.list(5).iter().find(|pair| pair.bytes(1) == Some(b"geo"));
    let geo = geo.and_then(|pair| pair.bytes(2));
    Ok(Footer { columns, groups, geo: geo.map(|text| String::from_utf8_lossy(text).into_owned()) })
}

/// The plain columns of the schema, which stands as a tree: each element before its children.
fn columns_of(schema: &[Value<'_>]) -> Option<Vec<Column>> {
    let (_, mut elements) = schema.split_first()?;
    let mut columns = Vec::new();
    let mut at = 0;
    while let Some((element, rest)) = elements.split_first() {
        elements = rest;
        let mut open = element.whole(5).unwrap_or(0);
        let repetition = element.whole(3).unwrap_or(0);
        if open <= 0 {
            if repetition < 2 {
                let name = String::from_utf8_lossy(element.bytes(4)?).into_owned();
                columns.push(Column {
                    name,
                    kind: kind_of(element),
                    optional: repetition == 1,
                    at,
                });
            }
            at += 1;
        }
        // A group: all that is in it is counted and left out.
        while open > 0 {
            let (inner, rest) = elements.split_first()?;
            elements = rest;
            let children = inner.whole(5).unwrap_or(0).max(0);
            at += usize::from(children == 0);
            open = open.checked_add(children)? - 1;
        }
    }
    Some(columns)
}

fn group_of(
    group: &Value<'_>,
    columns: &[Column],
    file_bytes: usize,
) -> Option<(usize, Vec<Chunk>)> {
    let rows = usize::try_from(group.whole(3)?).ok()?;
    let chunks = group.list(1);
    let chunk = |column: &Column| {
        let described = chunks.get(column.at)?;
        // A path would name another file.
        if described.bytes(1).is_some_and(|path| !path.is_empty()) {
            return None;
        }
        let described = described.field(3)?;
        let data = described.whole(9)?;
        // Without a dictionary some writers put 0 for its place.
        let start = described.whole(11).filter(|at| *at > 0).map_or(data, |at| at.min(data));
        let start = usize::try_from(start).ok()?;
        let bytes = usize::try_from(described.whole(7)?).ok()?;
        let end = start.checked_add(bytes)?;
        (end <= file_bytes - TAIL_BYTES).then_some(Chunk {
            start,
            bytes,
            codec: described.whole(4)?,
        })
    };
    let chunks = columns.iter().map(chunk).collect::<Option<Vec<_>>>()?;
    Some((rows, chunks))
}
