//! One number as a table writes it, read with a decimal point or with a decimal comma.

use super::style::DecimalMark;

/// Signs before a number that say that it is a limit.
const LIMIT_SIGNS: &[char] = &['<', '>', '≤', '≥'];

/// The plain number that `text` is if `mark` is its decimal mark, blanks, apostrophes or the other
/// mark standing between its thousands; `None` where it cannot be one.
///
/// The sign of a limit before it stays where it is.
pub(super) fn plain_number(text: &str, mark: DecimalMark) -> Option<String> {
    let body = text.trim_start_matches(LIMIT_SIGNS).trim_start();
    let limit = text[..text.len() - body.len()].trim_end();
    let (sign, body) = match body.chars().next()? {
        '-' | '\u{2212}' => ("-", &body[body.chars().next()?.len_utf8()..]),
        '+' => ("", &body[1..]),
        _ => ("", body),
    };
    let (decimal, other) = match mark {
        DecimalMark::Point => ('.', ','),
        DecimalMark::Comma => (',', '.'),
    };
    let (whole, parts) = match body.split_once(decimal) {
        Some((whole, parts)) => (whole, Some(parts)),
        None => (body, None),
    };
    let digits_only = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let whole = without_thousands(whole, other)?;
    if !parts.is_none_or(digits_only) || (whole.is_empty() && parts.is_none_or(str::is_empty)) {
        return None;
    }
    Some(match parts {
        Some(parts) if !parts.is_empty() => format!("{limit}{sign}{whole}.{parts}"),
        _ => format!("{limit}{sign}{whole}"),
    })
}

/// Digits whose thousands are set apart by one kind of mark, or by none.
fn without_thousands(whole: &str, other: char) -> Option<String> {
    let is_mark =
        |c: char| c == other || matches!(c, '\'' | '\u{2019}' | ' ' | '\u{a0}' | '\u{202f}');
    let Some(mark) = whole.chars().find(|&c| is_mark(c)) else {
        return whole.bytes().all(|byte| byte.is_ascii_digit()).then(|| whole.to_owned());
    };
    let groups: Vec<&str> = whole.split(mark).collect();
    let fits = groups.iter().enumerate().all(|(at, group)| {
        let as_long = if at == 0 { (1..=3).contains(&group.len()) } else { group.len() == 3 };
        as_long && group.bytes().all(|byte| byte.is_ascii_digit())
    });
    (fits && !whole.starts_with('0')).then(|| groups.concat())
}

/// Both readings of a text that is one number by decimal points and another by decimal commas.
pub(in crate::inputs) fn two_readings(text: &str) -> Option<(String, String)> {
    let by_comma = plain_number(text, DecimalMark::Comma)?;
    let by_point = plain_number(text, DecimalMark::Point)?;
    (by_comma != by_point).then_some((by_comma, by_point))
}

/// Whether a text is a number with a decimal comma, and none with a point.
pub(in crate::inputs) fn has_a_decimal_comma(text: &str) -> bool {
    plain_number(text, DecimalMark::Comma).is_some()
        && plain_number(text, DecimalMark::Point).is_none()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_reads_by_either_mark_or_not_at_all() {
        for (text, by_comma, by_point) in [
            ("5,2", Some("5.2"), None),
            ("5.2", None, Some("5.2")),
            ("5,200", Some("5.200"), Some("5200")),
            ("5.200", Some("5200"), Some("5.200")),
            ("0,123", Some("0.123"), None),
            ("-89,0022357", Some("-89.0022357"), None),
            ("1,234,567", None, Some("1234567")),
            ("713.733,825", Some("713733.825"), None),
            ("8 178 299,5", Some("8178299.5"), None),
            ("8'178'299.5", None, Some("8178299.5")),
            ("12 345", Some("12345"), Some("12345")),
            ("<5,0", Some("<5.0"), None),
            ("\u{2212}3", Some("-3"), Some("-3")),
            ("39 59.67175", None, None),
            ("12,34.5", None, None),
            ("1,2,3", None, None),
            (",", None, None),
            ("-", None, None),
            ("5 ", None, None),
            ("n/a", None, None),
            ("٣", None, None),
        ] {
            assert_eq!(plain_number(text, DecimalMark::Comma).as_deref(), by_comma, "{text}");
            assert_eq!(plain_number(text, DecimalMark::Point).as_deref(), by_point, "{text}");
        }
    }
}
