//! Words from data inside a picture: cut to the room there is, and escaped.

/// How much wider bold letters are (our own reading of common sans-serif typefaces).
const BOLD: f64 = 1.12;

/// `text` without control characters and with the five characters escaped that mean something in
/// XML.
pub(in crate::outputs) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // XML 1.0 has no place for these, not even escaped.
            '\u{fffe}' | '\u{ffff}' => {}
            _ if c.is_control() => out.push(' '),
            _ => out.push(c),
        }
    }
    out
}

/// `text`, or as much of it as surely fits `room` at the size `size`, both in pixels, with an
/// ellipsis.
pub(super) fn cut(text: &str, size: f64, bold: bool, room: f64) -> String {
    let letter = |c: char| letter_width(c) * size * if bold { BOLD } else { 1.0 };
    let mut width = 0.0;
    let mut fits = 0;
    for (at, c) in text.char_indices() {
        if width + letter('\u{2026}') <= room {
            fits = at;
        }
        width += letter(c);
    }
    if width <= room { text.to_owned() } else { format!("{}\u{2026}", text[..fits].trim_end()) }
}

/// A width, as a share of the type's size, that few typefaces exceed (our own reading of common
/// sans-serif typefaces): a picture is drawn with whatever its reader has.
fn letter_width(c: char) -> f64 {
    match c {
        'W' | 'M' | 'm' | 'w' | '@' | '%' | '\u{2e80}'.. => 1.05,
        'A'..='Z' | '\u{a0}'.. => 0.8,
        _ => 0.64,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_of_a_name_is_read_as_xml() {
        let hostile = "</text><script>alert('1')</script>&amp;\"\u{0}\u{1b}[2J\u{ffff}";
        let text = escaped(hostile);
        assert!(!text.contains(['<', '>', '"', '\'', '\u{0}', '\u{1b}', '\u{ffff}']), "{text}");
        assert!(text.contains("&lt;script&gt;") && text.contains("&amp;amp;"), "{text}");
    }

    #[test]
    fn a_name_is_cut_only_where_it_must_be() {
        assert_eq!(cut("Heron Flat 3", 22.0, true, 900.0), "Heron Flat 3");
        let long = "Long Field ".repeat(30);
        let text = cut(&long, 22.0, true, 300.0);
        assert!(text.ends_with('\u{2026}') && text.chars().count() > 10, "{text}");
        // 20 pixels a letter is less than 22 times any width, so no more than 15 letters can fit.
        assert!(cut(&"W".repeat(40), 22.0, false, 300.0).chars().count() <= 15);
        let wide = cut(&"\u{571f}".repeat(40), 22.0, false, 300.0);
        assert!(wide.chars().count() <= 15, "{wide}");
    }
}
