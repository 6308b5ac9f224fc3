//! The compact protocol of Thrift, in which a Parquet file describes itself: numbers, bytes, lists
//! and structures, each part bounded by the bytes that are there.

use crate::units::LIMITS;

/// A value; text and bytes stand as they are in the file.
#[derive(Debug)]
pub(super) enum Value<'b> {
    Bool(bool),
    Whole(i64),
    Real,
    Bytes(&'b [u8]),
    List(Vec<Self>),
    /// Its fields with their numbers.
    Struct(Vec<(i64, Self)>),
}

impl<'b> Value<'b> {
    pub(super) fn field(&self, number: i64) -> Option<&Self> {
        match self {
            Self::Struct(fields) => {
                fields.iter().find(|(at, _)| *at == number).map(|(_, value)| value)
            }
            _ => None,
        }
    }

    pub(super) fn whole(&self, number: i64) -> Option<i64> {
        if let Some(Self::Whole(whole)) = self.field(number) { Some(*whole) } else { None }
    }

    pub(super) fn bytes(&self, number: i64) -> Option<&'b [u8]> {
        if let Some(Self::Bytes(bytes)) = self.field(number) { Some(bytes) } else { None }
    }

    pub(super) fn flag(&self, number: i64) -> Option<bool> {
        if let Some(Self::Bool(flag)) = self.field(number) { Some(*flag) } else { None }
    }

    pub(super) fn list(&self, number: i64) -> &[Self] {
        if let Some(Self::List(list)) = self.field(number) { list } else { &[] }
    }
}

/// Bytes that are read from their start.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reader<'b>(pub(super) &'b [u8]);

impl<'b> Reader<'b> {
    /// Reads a structure with all its fields; none where the bytes are no such thing.
    pub(super) fn structure(&mut self) -> Option<Value<'b>> {
        self.structure_at(1)
    }

    fn structure_at(&mut self, depth: usize) -> Option<Value<'b>> {
        if depth > LIMITS.nesting {
            return None;
        }
        let mut fields = Vec::new();
        let mut number: i64 = 0;
        loop {
            let head = self.byte()?;
            if head == 0 {
                return Some(Value::Struct(fields));
            }
            number = match head >> 4 {
                0 => self.zigzag()?,
                step => number.checked_add(i64::from(step))?,
            };
            let value = match head & 15 {
                1 => Value::Bool(true),
                2 => Value::Bool(false),
                kind => self.value(kind, depth)?,
            };
            fields.push((number, value));
        }
    }

    fn value(&mut self, kind: u8, depth: usize) -> Option<Value<'b>> {
        Some(match kind {
            1 | 2 => Value::Bool(self.byte()? == 1),
            3 => Value::Whole(i64::from(self.byte()?.cast_signed())),
            4..=6 => Value::Whole(self.zigzag()?),
            7 => {
                self.take(8)?;
                Value::Real
            }
            8 => {
                let length = usize::try_from(self.varint()?).ok()?;
                Value::Bytes(self.take(length)?)
            }
            9 | 10 => {
                let head = self.byte()?;
                let count = match head >> 4 {
                    15 => self.varint()?,
                    few => u64::from(few),
                };
                // Every element takes a byte at least.
                if count > self.0.len() as u64 || depth >= LIMITS.nesting {
                    return None;
                }
                let mut list = Vec::new();
                for _ in 0..count {
                    list.push(self.value(head & 15, depth + 1)?);
                }
                Value::List(list)
            }
            12 => self.structure_at(depth + 1)?,
            _ => return None,
        })
    }

    pub(super) fn varint(&mut self) -> Option<u64> {
        let mut number: u64 = 0;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            number |= u64::from(byte & 127) << shift;
            if byte & 128 == 0 {
                return Some(number);
            }
        }
        None
    }

    fn zigzag(&mut self) -> Option<i64> {
        let number = self.varint()?;
        Some((number >> 1).cast_signed() ^ -(number & 1).cast_signed())
    }

    fn byte(&mut self) -> Option<u8> {
        self.take(1).map(|bytes| bytes[0])
    }

    pub(super) fn take(&mut self, count: usize) -> Option<&'b [u8]> {
        let (taken, left) = self.0.split_at_checked(count)?;
        self.0 = left;
        Some(taken)
    }
}
