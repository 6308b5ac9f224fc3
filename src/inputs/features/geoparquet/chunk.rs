//! The values of one column in one group of rows: its pages, unpacked and decoded.

use super::encoding::{read_packed, read_plain};
use super::footer::{Chunk, Column};
use super::kind::{Cell, Kind};
use super::thrift::{Reader, Value};
use super::unpack::unpack;

const DATA_PAGE: i64 = 0;
const DICTIONARY_PAGE: i64 = 2;
const DATA_PAGE_2: i64 = 3;
const PLAIN: i64 = 0;
const PLAIN_DICTIONARY: i64 = 2;
const RUNS: i64 = 3;
const DICTIONARY: i64 = 8;

/// Reads the values of `rows` rows. `left` are the bytes that may still be unpacked and kept.
///
/// # Errors
/// Says what is damaged, not read, or beyond the bytes that are left.
pub(super) fn read_chunk(
    file: &[u8],
    chunk: Chunk,
    column: &Column,
    rows: usize,
    left: &mut u64,
) -> Result<Vec<Option<Cell>>, String> {
    let cut_off = || String::from("its pages are cut off or damaged");
    let bytes = file.get(chunk.start..chunk.start + chunk.bytes).ok_or_else(cut_off)?;
    let mut reader = Reader(bytes);
    let mut dictionary: Vec<Cell> = Vec::new();
    let mut cells = Vec::new();
    while cells.len() < rows {
        let head = reader.structure().ok_or_else(cut_off)?;
        let size = |number| head.whole(number).and_then(|size| usize::try_from(size).ok());
        let packed = size(3).and_then(|size| reader.take(size)).ok_or_else(cut_off)?;
        let unpacked = size(2).ok_or_else(cut_off)?;
        let mut page = Page { column, codec: chunk.codec, packed, unpacked, left: &mut *left };
        match head.whole(1) {
            Some(DICTIONARY_PAGE) => {
                let described = head.field(7).ok_or_else(cut_off)?;
                let count = count_in(described).ok_or_else(cut_off)?;
                let bytes = page.unpack(page.packed, page.unpacked)?;
                dictionary = read_plain(&bytes, column.kind, count).ok_or_else(cut_off)?;
            }
            Some(DATA_PAGE) => {
                let described = head.field(5).ok_or_else(cut_off)?;
                let count = count_in(described).ok_or_else(cut_off)?;
                let bytes = page.unpack(page.packed, page.unpacked)?;
                page.read(&bytes, described.whole(2), count, rows, &dictionary, &mut cells)?;
            }
            Some(DATA_PAGE_2) => {
                let described = head.field(8).ok_or_else(cut_off)?;
                let (bytes, count) = page.unpack_second(described)?;
                page.read(&bytes, described.whole(4), count, rows, &dictionary, &mut cells)?;
            }
            // An index of pages.
            Some(1) => {}
            _ => return Err(cut_off()),
        }
    }
    Ok(cells)
}

fn count_in(described: &Value<'_>) -> Option<usize> {
    described.whole(1).and_then(|count| usize::try_from(count).ok())
}

struct Page<'p> {
    column: &'p Column,
    codec: i64,
    packed: &'p [u8],
    unpacked: usize,
    left: &'p mut u64,
}

impl Page<'_> {
    /// The bytes of a page of the second kind, whose levels are never packed, brought into the form
    /// of the first; and its count of values.
    fn unpack_second(&mut self, described: &Value<'_>) -> Result<(Vec<u8>, usize), String> {
        let cut_off = || String::from("its pages are cut off or damaged");
        let size = |number| described.whole(number).and_then(|size| usize::try_from(size).ok());
        let (count, levels) = size(1).zip(size(5)).ok_or_else(cut_off)?;
        let mut reader = Reader(self.packed);
        size(6).and_then(|size| reader.take(size)).ok_or_else(cut_off)?;
        let taken = reader.take(levels).ok_or_else(cut_off)?;
        let rest = size(6)
            .and_then(|repetition| self.unpacked.checked_sub(levels)?.checked_sub(repetition))
            .ok_or_else(cut_off)?;
        let values = if described.flag(7).unwrap_or(true) {
            self.unpack(reader.0, rest)?
        } else {
            reader.0.to_vec()
        };
        let mut bytes = Vec::new();
        if self.column.optional {
            bytes.extend(u32::try_from(levels).unwrap_or(u32::MAX).to_le_bytes());
            bytes.extend(taken);
        }
        bytes.extend(values);
        Ok((bytes, count))
    }

    fn unpack(&mut self, packed: &[u8], unpacked: usize) -> Result<Vec<u8>, String> {
        self.spend(unpacked)?;
        unpack(self.codec, packed, unpacked)
    }

    /// Decodes the levels and values of a page and adds them to `cells`.
    fn read(
        &mut self,
        bytes: &[u8],
        encoding: Option<i64>,
        count: usize,
        rows: usize,
        dictionary: &[Cell],
        cells: &mut Vec<Option<Cell>>,
    ) -> Result<(), String> {
        let cut_off = || String::from("its pages are cut off or damaged");
        if count > rows - cells.len() {
            return Err(cut_off());
        }
        let mut reader = Reader(bytes);
        let sized = |reader: &mut Reader<'_>| -> Option<Vec<u32>> {
            let length = u32::from_le_bytes(reader.take(4)?.try_into().ok()?) as usize;
            read_packed(reader.take(length)?, 1, count)
        };
        let there = if self.column.optional {
            sized(&mut reader).ok_or_else(cut_off)?
        } else {
            vec![1; count]
        };
        let values = there.iter().filter(|level| **level == 1).count();
        let read = match (encoding, self.column.kind) {
            (Some(PLAIN), kind) => read_plain(reader.0, kind, values).ok_or_else(cut_off)?,
            (Some(PLAIN_DICTIONARY | DICTIONARY), _) => self.look_up(reader, dictionary, values)?,
            (Some(RUNS), Kind::Bool) => {
                reader.take(4).ok_or_else(cut_off)?;
                let bits = read_packed(reader.0, 1, values).ok_or_else(cut_off)?;
                bits.into_iter().map(|bit| Cell::Bool(bit == 1)).collect()
            }
            (Some(encoding), _) => {
                return Err(format!(
                    "its values stand in the encoding {encoding}, which is not read"
                ));
            }
            (None, _) => return Err(cut_off()),
        };
        let mut read = read.into_iter();
        cells.extend(there.iter().map(|level| if *level == 1 { read.next() } else { None }));
        Ok(())
    }

    fn look_up(
        &mut self,
        mut reader: Reader<'_>,
        dictionary: &[Cell],
        values: usize,
    ) -> Result<Vec<Cell>, String> {
        let cut_off = || String::from("its pages are cut off or damaged");
        if values == 0 {
            return Ok(Vec::new());
        }
        let width = reader.take(1).ok_or_else(cut_off)?[0];
        let places = read_packed(reader.0, u32::from(width), values).ok_or_else(cut_off)?;
        let mut cells = Vec::with_capacity(places.len());
        for place in places {
            let cell = dictionary.get(place as usize).ok_or_else(cut_off)?;
            self.spend(cell.bytes())?;
            cells.push(cell.clone());
        }
        Ok(cells)
    }

    fn spend(&mut self, bytes: usize) -> Result<(), String> {
        *self.left = self
            .left
            .checked_sub(bytes as u64)
            .ok_or("it unpacks to more than this program takes on")?;
        Ok(())
    }
}
