//! The text of a table's bytes, whatever code page they are in.

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

use crate::findings::{Finding, Place, Problem};

/// How many bytes are looked at to tell text from what is none.
const LOOKED_AT: usize = 8 << 10;

/// How the files begin that people mistake for tables.
const NO_TEXT: &[(&[u8], &str)] = &[
    (b"PK\x03\x04", "a spreadsheet or an archive"),
    (b"PK\x05\x06", "an archive"),
    (b"\xd0\xcf\x11\xe0", "a spreadsheet of the older kind"),
    (b"%PDF", "a page for printing"),
    (b"SQLite format 3\0", "a database"),
    (b"\x1f\x8b", "a compressed file"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
];

/// The text of `bytes`, and what is to be told of its encoding.
///
/// A byte order mark decides; else the encoding that is `stated`; else UTF-8 or UTF-16 where the
/// bytes can be nothing else; else Windows-1252, which is told.
///
/// # Errors
/// Refuses what is no text, and bytes that the encoding does not know.
pub(super) fn decode(
    bytes: Vec<u8>,
    stated: Option<&'static Encoding>,
    given: &str,
) -> Result<(String, Vec<Finding>), Problem> {
    if let Some((_, what)) = NO_TEXT.iter().find(|(start, _)| bytes.starts_with(start)) {
        return Err(no_table(given, what));
    }
    let marked = Encoding::for_bom(&bytes).map(|(encoding, _)| encoding);
    let Some(encoding) = marked.or(stated).or_else(|| utf_16_of(&bytes)) else {
        return undeclared(bytes, given);
    };
    if encoding == UTF_8 {
        return match String::from_utf8(bytes) {
            Ok(text) => plain(text, given).map(|text| (text, Vec::new())),
            Err(error) => {
                Err(broken(given, encoding, error.utf8_error().valid_up_to(), error.as_bytes()))
            }
        };
    }
    let (text, used, had_errors) = encoding.decode(&bytes);
    if had_errors {
        return Err(broken(given, used, 0, &[]));
    }
    let text = plain(text.into_owned(), given)?;
    let mut findings = Vec::new();
    if marked.is_none() && stated.is_none() {
        let told = format!("The file has no byte order mark and was read as {}.", used.name());
        findings.push(Finding::at("table_encoding", Place::in_file(given), told));
    }
    Ok((text, findings))
}

/// Bytes that nobody said anything of: UTF-8 if they can be, else Windows-1252.
fn undeclared(bytes: Vec<u8>, given: &str) -> Result<(String, Vec<Finding>), Problem> {
    match String::from_utf8(bytes) {
        Ok(text) => plain(text, given).map(|text| (text, Vec::new())),
        Err(error) => {
            let (text, _) = WINDOWS_1252.decode_without_bom_handling(error.as_bytes());
            let text = plain(text.into_owned(), given)?;
            let told = "The file is not UTF-8 and was read as Windows-1252; where letters look \
                        wrong, state its code page with `samples.encoding`.";
            Ok((text, vec![Finding::at("table_encoding", Place::in_file(given), told)]))
        }
    }
}

/// UTF-16 without a mark: in text of Latin letters every other byte is nothing, and no other is.
fn utf_16_of(bytes: &[u8]) -> Option<&'static Encoding> {
    let start = &bytes[..bytes.len().min(LOOKED_AT) / 2 * 2];
    if start.is_empty() || bytes.len() % 2 == 1 {
        return None;
    }
    let pairs = start.len() / 2;
    let nothing_at =
        |at: usize| start.iter().skip(at).step_by(2).filter(|&&byte| byte == 0).count();
    match (nothing_at(0), nothing_at(1)) {
        (0, high) if high * 10 >= pairs * 8 => Some(UTF_16LE),
        (high, 0) if high * 10 >= pairs * 8 => Some(UTF_16BE),
        _ => None,
    }
}

/// The text without a byte order mark; refused where it holds what no text holds.
fn plain(text: String, given: &str) -> Result<String, Problem> {
    let looked_at = text.as_bytes().iter().take(LOOKED_AT);
    let strange =
        looked_at.filter(|&&byte| byte < 0x20 && !b"\t\n\r\x0b\x0c\x1a".contains(&byte)).count();
    if text.as_bytes().contains(&0) || strange * 100 > text.len().min(LOOKED_AT) {
        return Err(no_table(given, "no text"));
    }
    Ok(match text.strip_prefix('\u{feff}') {
        Some(rest) => rest.to_owned(),
        None => text,
    })
}

fn no_table(given: &str, what: &str) -> Problem {
    Problem::at(
        Place::in_file(given),
        format!("the file is no table of text: it looks like {what}"),
    )
    .allowed("text with commas, semicolons or tabs between the columns")
    .hint("open it with the program that made it, and save the sheet as CSV")
}

fn broken(given: &str, encoding: &'static Encoding, upto: usize, bytes: &[u8]) -> Problem {
    let line = bytes.get(..upto).map(|good| good.split(|&byte| byte == b'\n').count());
    let line = line.filter(|_| !bytes.is_empty());
    let place = Place { line, ..Place::in_file(given) };
    Problem::at(place, format!("the file is not {} text throughout", encoding.name()))
        .allowed("UTF-8, UTF-16, or the code page that `samples.encoding` states")
        .hint("correct `samples.encoding`, or save the sheet again as \"CSV UTF-8\"")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(bytes: &[u8]) -> Result<(String, Vec<Finding>), Problem> {
        decode(bytes.to_vec(), None, "t.csv")
    }

    fn utf_16(text: &str, mark: bool, big: bool) -> Vec<u8> {
        let marked = if mark { format!("\u{feff}{text}") } else { text.to_owned() };
        marked
            .encode_utf16()
            .flat_map(|unit| if big { unit.to_be_bytes() } else { unit.to_le_bytes() })
            .collect()
    }

    #[test]
    fn every_way_to_write_the_same_letters_reads_the_same() {
        let text = "id,ph\nFläche °,5.2\n";
        assert_eq!(read(text.as_bytes()).unwrap(), (text.to_owned(), Vec::new()));
        assert_eq!(read(format!("\u{feff}{text}").as_bytes()).unwrap().0, text);
        for (mark, big) in [(true, true), (true, false), (false, true), (false, false)] {
            let (read, told) = read(&utf_16(text, mark, big)).unwrap();
            assert_eq!((read.as_str(), told.is_empty()), (text, mark), "{mark} {big}");
        }
        let (latin, told) = read(b"id,ph\nFl\xe4che \xb0,5.2\n").unwrap();
        assert_eq!(latin, text);
        assert!(told[0].text.contains("Windows-1252"));
    }

    #[test]
    fn a_stated_code_page_is_taken() {
        let stated = Encoding::for_label(b"windows-1250");
        let (text, told) = decode(b"id\n\xb3\n".to_vec(), stated, "t.csv").unwrap();
        assert_eq!((text.as_str(), told.len()), ("id\nł\n", 0));
        let wrong = decode(b"id\nok\n\xb3\n".to_vec(), Some(UTF_8), "t.csv").unwrap_err();
        assert_eq!(wrong.place.line, Some(3));
    }

    #[test]
    fn what_is_no_text_is_refused_by_its_looks() {
        for (bytes, part) in [
            (&b"PK\x03\x04rest"[..], "spreadsheet"),
            (b"\xd0\xcf\x11\xe0\xa1", "spreadsheet"),
            (b"id,ph\n1,\0\0\0\n", "no text"),
            (b"\x01\x02\x03\x04\x05", "no text"),
        ] {
            let problem = read(bytes).unwrap_err();
            assert!(problem.what.contains(part) && problem.hint.contains("CSV"), "{problem}");
        }
    }
}
