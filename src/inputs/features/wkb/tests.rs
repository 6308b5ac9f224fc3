#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::read_wkb;
use crate::inputs::features::model::RawGeometry;
use crate::units::LIMITS;

/// Bytes of a geometry, least significant first.
struct Bytes(Vec<u8>);

impl Bytes {
    fn of(code: u32) -> Self {
        Self(vec![1]).whole(code)
    }

    fn whole(mut self, number: u32) -> Self {
        self.0.extend(number.to_le_bytes());
        self
    }

    fn numbers(mut self, numbers: &[f64]) -> Self {
        for number in numbers {
            self.0.extend(number.to_le_bytes());
        }
        self
    }

    fn part(mut self, part: &Self) -> Self {
        self.0.extend(&part.0);
        self
    }

    fn read(&self) -> Result<RawGeometry, String> {
        read_wkb(&self.0, 3)
    }
}

fn triangle(code: u32, more: &[f64]) -> Bytes {
    let mut bytes = Bytes::of(code).whole(1).whole(4);
    for [x, y] in [[0.0, 0.0], [4.0, 0.0], [0.0, 3.0], [0.0, 0.0]] {
        bytes = bytes.numbers(&[x, y]).numbers(more);
    }
    bytes
}

#[test]
fn heights_and_measures_are_left_out_however_they_are_flagged() {
    let flat = triangle(3, &[]).read().unwrap();
    assert_eq!(flat.areas[0].outer, [[0.0, 0.0], [4.0, 0.0], [0.0, 3.0], [0.0, 0.0]]);
    assert_eq!(flat.areas[0].feature, 3);
    for (code, more) in [
        (1003, &[7.0][..]),
        (2003, &[7.0]),
        (3003, &[7.0, f64::NAN]),
        (0x8000_0003, &[7.0]),
        (0x4000_0003, &[7.0]),
        (0xC000_0003, &[7.0, 8.0]),
    ] {
        assert_eq!(triangle(code, more).read().unwrap(), flat, "{code}");
    }
}

#[test]
fn the_most_significant_byte_may_come_first() {
    let mut bytes = vec![0, 0, 0, 0, 1];
    bytes.extend(5.5f64.to_be_bytes());
    bytes.extend((-2.25f64).to_be_bytes());
    assert_eq!(read_wkb(&bytes, 1).unwrap().points, [[5.5, -2.25]]);
}

#[test]
fn geometries_of_many_give_all_their_parts() {
    let point = Bytes::of(1).numbers(&[1.0, 2.0]);
    let line = Bytes::of(2).whole(2).numbers(&[1.0, 2.0, 3.0, 4.0]);
    let raw = Bytes::of(7)
        .whole(4)
        .part(&Bytes::of(4).whole(2).part(&point).part(&point))
        .part(&Bytes::of(5).whole(1).part(&line))
        .part(&Bytes::of(6).whole(2).part(&triangle(3, &[])).part(&triangle(3, &[])))
        .part(&Bytes::of(7).whole(1).part(&point))
        .read()
        .unwrap();
    assert_eq!((raw.points.len(), raw.lines.len(), raw.areas.len()), (3, 1, 2));
}

#[test]
fn empty_geometries_are_empty() {
    let nan = f64::NAN;
    for empty in [
        Bytes::of(1).numbers(&[nan, nan]),
        Bytes::of(2).whole(0),
        Bytes::of(3).whole(0),
        Bytes::of(3).whole(1).whole(0),
        Bytes::of(6).whole(0),
        Bytes::of(7).whole(0),
    ] {
        assert!(empty.read().unwrap().is_empty());
    }
}

#[test]
fn what_is_not_read_is_refused_with_its_reason() {
    let far = f64::INFINITY;
    for (bytes, reason) in [
        (Bytes::of(10).whole(0), "a curve or surface (type 10)"),
        (Bytes::of(4).whole(1).part(&triangle(3, &[])), "of the wrong type 3"),
        (Bytes::of(3).whole(1).whole(u32::MAX), "cut off"),
        (Bytes::of(7).whole(u32::MAX), "cut off"),
        (Bytes::of(1).numbers(&[1.0]), "cut off"),
        (Bytes::of(1).numbers(&[1.0, far]), "not finite"),
        (Bytes::of(1).numbers(&[1.0, f64::NAN]), "not finite"),
        (Bytes::of(1).numbers(&[1.0, 2.0, 3.0]), "8 bytes follow"),
        (Bytes::of(0x2000_0001).whole(4326).numbers(&[1.0, 2.0]), "a coordinate system of its own"),
        (Bytes::of(99), "unknown type 99"),
        (Bytes::of(5003), "unknown type 5003"),
        (Bytes(vec![7, 1, 0, 0, 0]), "byte order 7"),
        (Bytes(Vec::new()), "cut off"),
    ] {
        let refused = bytes.read().unwrap_err();
        assert!(refused.contains(reason), "{refused}: {reason}");
    }
}

#[test]
fn nesting_beyond_the_limit_is_refused() {
    let nested = |deep: usize| {
        let mut bytes = Bytes::of(7).whole(0);
        for _ in 1..deep {
            bytes = Bytes::of(7).whole(1).part(&bytes);
        }
        bytes.read()
    };
    assert!(nested(LIMITS.nesting).is_ok());
    assert!(nested(LIMITS.nesting + 1).unwrap_err().contains("nested more than"));
    assert!(nested(5_000).is_err());
}

proptest! {
    #[test]
    fn no_bytes_panic(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let _ = read_wkb(&bytes, 1);
    }

    #[test]
    fn flipped_and_cut_bytes_do_not_panic(
        at in 0usize..200, with in 1u8.., cut in 0usize..200,
    ) {
        let inner = Bytes::of(6).whole(1).part(&triangle(1003, &[1.0]));
        let mut bytes = Bytes::of(7).whole(2).part(&inner).part(&triangle(3, &[])).0;
        prop_assert!(read_wkb(&bytes[..cut], 1).is_err());
        let at = at % bytes.len();
        bytes[at] ^= with;
        let _ = read_wkb(&bytes, 1);
        bytes.truncate(cut);
        let _ = read_wkb(&bytes, 1);
    }
}
