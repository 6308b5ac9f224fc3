//! The text of an XML file, whatever it is encoded in.

use encoding_rs::Encoding;

use crate::findings::{Place, Problem, Refusal, clean};

/// How far into the file the declaration of its encoding is looked for.
const DECLARATION_BYTES: usize = 200;

/// The bytes of the file named so as text: by its byte order mark, else by what its first line
/// declares, else UTF-8.
///
/// # Errors
/// Refuses an encoding that is not known, and bytes that are not in it.
pub(in crate::inputs) fn text_of(bytes: &[u8], name: &str) -> Result<String, Refusal> {
    let refuse = |what: String| -> Refusal {
        Problem::at(Place::in_file(name), what)
            .allowed("UTF-8, or an encoding that the first line of the file declares")
            .hint("save the file again as UTF-8")
            .into()
    };
    let (encoding, mark) = match Encoding::for_bom(bytes) {
        Some((encoding, mark)) => (encoding, mark),
        None => match declared(bytes) {
            None => (encoding_rs::UTF_8, 0),
            Some(label) => match Encoding::for_label(label.as_bytes()) {
                Some(encoding) => (encoding, 0),
                None => {
                    return Err(refuse(format!("its encoding `{}` is not known", clean(&label))));
                }
            },
        },
    };
    let (text, faults) = encoding.decode_without_bom_handling(&bytes[mark..]);
    if faults {
        return Err(refuse(format!("some of its bytes are not {}", encoding.name())));
    }
    Ok(text.into_owned())
}

/// The line of the byte `at`, from 1.
pub(in crate::inputs) fn line_at(text: &str, at: u64) -> usize {
    let at = usize::try_from(at).unwrap_or(usize::MAX).min(text.len());
    text.as_bytes()[..at].split(|&byte| byte == b'\n').count()
}

fn declared(bytes: &[u8]) -> Option<String> {
    let head = String::from_utf8_lossy(&bytes[..bytes.len().min(DECLARATION_BYTES)]);
    let declaration = head.split_once("?>")?.0;
    let after = declaration.split_once("encoding")?.1.split_once('=')?.1.trim_start();
    let quote = after.chars().next().filter(|c| matches!(c, '"' | '\''))?;
    after[1..].split(quote).next().map(str::to_owned)
}
