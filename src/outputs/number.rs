//! Numbers as text, fast: a map of a large field holds ten million of them.

use crate::summary::Quantity;
pub(super) use crate::units::grouped;

/// Significant digits of the values in a rate map.
const SIGNIFICANT: usize = 10;
/// Each of these that a value lies below gives it one more decimal place: 12 at the most, so that
/// the scaled number fits an integer.
const BELOW_ONE: [f64; 3] = [1.0, 1.0 / 10.0, 1.0 / 10.0 / 10.0];

/// Appends `value` with [`SIGNIFICANT`] significant digits, without zeros at its end.
///
/// `value` must be finite and its size below 1e6, as areas, rates and readings of a cell are; a
/// larger one is written in full by the standard library.
pub(super) fn write_value(out: &mut Vec<u8>, value: f64) {
    let size = value.abs();
    if size >= 1e6 {
        out.extend_from_slice(value.to_string().as_bytes());
        return;
    }
    let mut decimals = SIGNIFICANT - 1;
    let mut bound = 10.0;
    while size >= bound {
        bound *= 10.0;
        decimals -= 1;
    }
    // Below one a zero behind the point is no significant digit.
    decimals += BELOW_ONE.iter().take_while(|&&least| size < least).count();
    let scaled = rounded(size * POWERS[decimals]);
    write_scaled(out, value < 0.0 && scaled > 0, scaled, decimals, true);
}

/// Appends a coordinate of ten-millionths of a degree with its seven decimals.
pub(super) fn write_e7(out: &mut Vec<u8>, e7: i32) {
    write_scaled(out, e7 < 0, u64::from(e7.unsigned_abs()), 7, false);
}

/// Powers of ten, exact in double precision.
const POWERS: [f64; 13] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12];

/// A number of 0 or more and below 2^53, rounded to the nearest, halves upward.
fn rounded(number: f64) -> u64 {
    let whole = number as u64;
    whole + u64::from(number - whole as f64 >= 0.5)
}

/// All numbers of two digits, one behind the other.
const PAIRS: [u8; 200] = {
    let mut pairs = [0; 200];
    let mut at = 0;
    while at < 100 {
        pairs[2 * at] = b'0' + (at / 10) as u8;
        pairs[2 * at + 1] = b'0' + (at % 10) as u8;
        at += 1;
    }
    pairs
};

/// Room for the digits of any number, a point and a sign.
const ROOM: usize = 24;

/// Two digits at a time into a room of its own, which is appended at once: `itoa` for the two parts
/// and four pieces appended took three times as many instructions.
fn write_scaled(out: &mut Vec<u8>, negative: bool, scaled: u64, decimals: usize, trim: bool) {
    let mut text = [b'0'; ROOM];
    let mut start = ROOM;
    let mut left = scaled;
    while left > 9 {
        let pair = 2 * (left % 100) as usize;
        left /= 100;
        start -= 2;
        text[start..start + 2].copy_from_slice(&PAIRS[pair..pair + 2]);
    }
    if left > 0 {
        start -= 1;
        text[start] = b'0' + left as u8;
    }
    let point = ROOM - decimals;
    // Zeros stand before the digits as far as they are needed: one before the point.
    start = start.min(point - 1);
    let mut end = ROOM;
    while trim && end > point && text[end - 1] == b'0' {
        end -= 1;
    }
    text.copy_within(start..point, start - 1);
    start -= 1;
    text[point - 1] = b'.';
    if end == point {
        end -= 1;
    }
    if negative {
        start -= 1;
        text[start] = b'-';
    }
    out.extend_from_slice(&text[start..end]);
}

/// An amount of money, also of money per something: `$7,350.00`, `$45.94/ac`, `45.94 EUR/ha`.
pub(super) fn money(quantity: &Quantity) -> String {
    let number = grouped(quantity.value, 2);
    let unit = quantity.unit.as_ref();
    let (currency, per) = unit.split_at(unit.find('/').unwrap_or(unit.len()));
    if currency.chars().all(char::is_alphabetic) {
        format!("{number} {currency}{per}")
    } else {
        format!("{currency}{number}{per}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_is_written_as_its_readers_write_it() {
        let money = |value, unit: &'static str| money(&Quantity { value, unit: unit.into() });
        assert_eq!(money(7350.0, "$"), "$7,350.00");
        assert_eq!(money(1_234_567.891, "€/ha"), "€1,234,567.89/ha");
        assert_eq!(money(999.0, "EUR/ton CaCO3"), "999.00 EUR/ton CaCO3");
        assert_eq!(money(45.94, "R$/ac"), "R$45.94/ac");
        assert_eq!(
            (grouped(12_600.0, 0), grouped(-1234.5, 1)),
            ("12,600".into(), "-1,234.5".into())
        );
    }

    fn written(value: f64) -> String {
        let mut out = Vec::new();
        write_value(&mut out, value);
        String::from_utf8(out).expect("digits")
    }

    #[test]
    fn steps_of_a_machine_stay_as_they_are() {
        for (value, text) in
            [(0.0, "0"), (2.25, "2.25"), (4.0, "4"), (0.125, "0.125"), (-0.5, "-0.5")]
        {
            assert_eq!(written(value), text);
        }
    }

    #[test]
    fn a_coordinate_keeps_its_seven_decimals() {
        let mut out = Vec::new();
        write_e7(&mut out, -890_022_357);
        out.push(b' ');
        write_e7(&mut out, -5);
        out.push(b' ');
        write_e7(&mut out, 400_000_000);
        assert_eq!(out, b"-89.0022357 -0.0000005 40.0000000");
    }

    proptest::proptest! {
        #[test]
        fn six_significant_digits_and_more_are_read_back(value in -1e7_f64..1e7) {
            let read: f64 = written(value).parse().expect("a number");
            proptest::prop_assert!((read - value).abs() <= value.abs() * 1e-9 + 1e-12);
        }

        #[test]
        fn small_values_keep_their_digits_too(value in 1e-6_f64..1.0) {
            let read: f64 = written(value).parse().expect("a number");
            proptest::prop_assert!((read - value).abs() <= value * 1e-6);
        }
    }
}
