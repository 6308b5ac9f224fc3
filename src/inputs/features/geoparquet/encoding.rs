//! How values stand in a page: one after the other, or as places in a dictionary.

use super::kind::{Cell, Kind};
use super::thrift::Reader;

/// Numbers of `width` bits each, in runs and in packs of eight; none where the bytes end before
/// `count` of them.
pub(super) fn read_packed(bytes: &[u8], width: u32, count: usize) -> Option<Vec<u32>> {
    if width > 32 {
        return None;
    }
    let mut reader = Reader(bytes);
    let mut numbers = Vec::new();
    while numbers.len() < count {
        let head = reader.varint()?;
        let left = count - numbers.len();
        let many = usize::try_from(head >> 1).ok()?;
        if head & 1 == 1 {
            let packed = reader.take(many.checked_mul(width as usize)?)?;
            let there = many.checked_mul(8)?.min(left);
            numbers.extend((0..there).map(|at| bits_at(packed, at * width as usize, width)));
        } else {
            let value = reader.take(width.div_ceil(8) as usize)?;
            let value =
                value.iter().rev().fold(0_u32, |number, byte| number << 8 | u32::from(*byte));
            numbers.extend(std::iter::repeat_n(value, many.min(left)));
        }
    }
    Some(numbers)
}

fn bits_at(packed: &[u8], start: usize, width: u32) -> u32 {
    let byte = start / 8;
    let taken = packed.iter().skip(byte).take(5).enumerate();
    let window = taken.fold(0_u64, |sum, (at, byte)| sum | u64::from(*byte) << (8 * at));
    (window >> (start % 8) & ((1_u64 << width) - 1)) as u32
}

/// Values one after the other; none where the bytes end before `count` of them.
pub(super) fn read_plain(bytes: &[u8], kind: Kind, count: usize) -> Option<Vec<Cell>> {
    let mut reader = Reader(bytes);
    // Every value takes a bit at least.
    if count > bytes.len().checked_mul(8)? {
        return None;
    }
    let mut cells = Vec::with_capacity(count.min(bytes.len()));
    for at in 0..count {
        cells.push(match kind {
            Kind::Bool => Cell::Bool(bytes.get(at / 8)? >> (at % 8) & 1 == 1),
            Kind::Whole { bytes: 4, .. } => {
                Cell::Whole(i64::from(i32::from_le_bytes(reader.take(4)?.try_into().ok()?)))
            }
            Kind::Whole { .. } => Cell::Whole(i64::from_le_bytes(reader.take(8)?.try_into().ok()?)),
            Kind::Float => Cell::Float(f32::from_le_bytes(reader.take(4)?.try_into().ok()?)),
            Kind::Double => Cell::Double(f64::from_le_bytes(reader.take(8)?.try_into().ok()?)),
            Kind::Bytes | Kind::Text => {
                let length = u32::from_le_bytes(reader.take(4)?.try_into().ok()?) as usize;
                Cell::Bytes(reader.take(length)?.to_vec())
            }
            Kind::NotRead => return None,
        });
    }
    Some(cells)
}
