//! Texts in tables for programs and spreadsheets (RFC 4180).

use crate::findings::clean_long;

/// What a line ends in.
pub(super) const LINE_END: &[u8] = b"\r\n";

/// A text as a cell: one that a spreadsheet would take for a formula gets an apostrophe before it,
/// one with a comma, a quote or a line break stands in quotes. What would steer a terminal is
/// marked, since a table may be printed on one.
pub(super) fn write_text(out: &mut Vec<u8>, text: &str) {
    let text = clean_long(text);
    let risky = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let text = if risky { format!("'{text}") } else { text };
    if text.contains([',', '"', '\r', '\n']) {
        out.extend(format!("\"{}\"", text.replace('"', "\"\"")).bytes());
    } else {
        out.extend(text.bytes());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_a_terminal_is_marked_and_formulas_are_none() {
        let written = |text: &str| {
            let mut out = Vec::new();
            write_text(&mut out, text);
            String::from_utf8(out).unwrap()
        };
        assert_eq!(written("a\u{1b}[31m\u{202e}b"), "a\u{fffd}[31m\u{fffd}b");
        assert_eq!(written("\t=1"), "\u{fffd}=1");
        assert_eq!(written("=1, \"2\"\n"), "\"'=1, \"\"2\"\"\n\"");
        assert_eq!(written("M\u{fc}ller 3"), "M\u{fc}ller 3");
    }
}
