//! Texts in tables for programs and spreadsheets (RFC 4180).

/// What a line ends in.
pub(super) const LINE_END: &[u8] = b"\r\n";

/// A text as a cell: one that a spreadsheet would take for a formula gets an apostrophe before it,
/// one with a comma, a quote or a line break stands in quotes.
pub(super) fn write_text(out: &mut Vec<u8>, text: &str) {
    let risky = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let text = if risky { format!("'{text}") } else { text.to_owned() };
    if text.contains([',', '"', '\r', '\n']) {
        out.extend(format!("\"{}\"", text.replace('"', "\"\"")).bytes());
    } else {
        out.extend(text.bytes());
    }
}
