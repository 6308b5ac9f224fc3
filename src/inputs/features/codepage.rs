//! Code pages of the texts in a shapefile: what its `.cpg` file or a byte of its table says.

use std::borrow::Cow;

use encoding_rs::Encoding;

/// How bytes above 127 are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum CodePage {
    /// One of the encodings of the WHATWG Encoding Standard.
    Standard(&'static Encoding),
    /// A code page of the time before, by its characters from 128 to 255.
    Old(&'static str),
}

/// The characters from 128 to 255 of code pages 437 and 850 (Unicode Consortium, mapping tables
/// CP437.TXT and CP850.TXT, version 2.00 of 1996; as Python's codecs have them).
const CP437: &str = "ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜ¢£¥₧ƒáíóúñÑªº¿⌐¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐└┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u{a0}";
const CP850: &str = "ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜø£Ø×ƒáíóúñÑªº¿®¬½¼¡«»░▒▓│┤ÁÂÀ©╣║╗╝¢¥┐└┴┬├─┼ãÃ╚╔╩╦╠═╬¤ðÐÊËÈıÍÎÏ┘┌█▄¦Ì▀ÓßÔÒõÕµþÞÚÛÙýÝ¯´\u{ad}±‗¾¶§÷¸°¨·¹³²■\u{a0}";

impl CodePage {
    /// The code page that a `.cpg` file names: `UTF-8`, `1252`, `ANSI 1252`, `ISO-8859-1`, `88591`.
    pub(super) fn of_cpg(text: &str) -> Option<Self> {
        let name = text.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}' || c == '\0');
        let upper = name.to_uppercase();
        let number = ["ANSI", "OEM", "CP", "IBM", "WINDOWS-"]
            .iter()
            .find_map(|prefix| upper.strip_prefix(prefix))
            .unwrap_or(&upper)
            .trim();
        match number.parse() {
            Ok(number) => Self::of_number(number),
            Err(_) => Encoding::for_label(name.as_bytes()).map(Self::Standard),
        }
    }

    /// The code page of a table's language byte (the numbers from memory; common practice of dBase
    /// and its kin). None where the byte says nothing.
    pub(super) fn of_language_byte(byte: u8) -> Option<Self> {
        let number = match byte {
            0x01 | 0x09 | 0x0b | 0x0d | 0x0f | 0x11 | 0x15 | 0x18 | 0x19 | 0x1b => 437,
            0x02 | 0x0a | 0x0e | 0x10 | 0x12 | 0x14 | 0x16 | 0x1a | 0x1d | 0x25 | 0x37 => 850,
            0x03 | 0x57 | 0x58 | 0x59 => 1252,
            0x04 => 10_000,
            0x13 | 0x7b => 932,
            0x26 | 0x65 => 866,
            0x4d | 0x7a => 936,
            0x4e | 0x79 => 949,
            0x4f | 0x78 => 950,
            0x50 | 0x7c => 874,
            0x7d => 1255,
            0x7e => 1256,
            0xc8 => 1250,
            0xc9 => 1251,
            0xca => 1254,
            0xcb => 1253,
            0xcc => 1257,
            _ => return None,
        };
        Self::of_number(number)
    }

    fn of_number(number: u32) -> Option<Self> {
        let label = match number {
            437 => return Some(Self::Old(CP437)),
            850 => return Some(Self::Old(CP850)),
            65_001 => "utf-8".to_owned(),
            1250..=1258 => format!("windows-{number}"),
            866 => "ibm866".to_owned(),
            874 => "windows-874".to_owned(),
            932 => "shift_jis".to_owned(),
            936 => "gbk".to_owned(),
            949 => "euc-kr".to_owned(),
            950 => "big5".to_owned(),
            10_000 => "macintosh".to_owned(),
            28_591..=28_599 => format!("iso-8859-{}", number - 28_590),
            88_591..=88_599 => format!("iso-8859-{}", number - 88_590),
            885_910..=885_916 => format!("iso-8859-{}", number - 885_900),
            _ => return None,
        };
        Encoding::for_label(label.as_bytes()).map(Self::Standard)
    }

    /// The text in `bytes`, and whether all of them have a meaning in this code page.
    pub(super) fn decode(self, bytes: &[u8]) -> (Cow<'_, str>, bool) {
        match self {
            Self::Standard(encoding) => {
                let (text, faults) = encoding.decode_without_bom_handling(bytes);
                (text, !faults)
            }
            Self::Old(upper) => {
                let high = |byte: u8| upper.chars().nth(usize::from(byte & 0x7f)).unwrap_or('?');
                let text = bytes.iter().map(|&b| if b < 128 { char::from(b) } else { high(b) });
                (Cow::Owned(text.collect()), true)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_read_by_the_code_page_that_is_stated() {
        let read =
            |page: Option<CodePage>, bytes: &[u8]| page.unwrap().decode(bytes).0.into_owned();
        for cpg in ["1252", "ANSI 1252", "cp1252", "ISO-8859-1", "88591\r\n"] {
            assert_eq!(read(CodePage::of_cpg(cpg), b"N\xf8rd"), "Nørd", "{cpg}");
        }
        assert_eq!(read(CodePage::of_cpg("\u{feff}UTF-8"), "Nørd".as_bytes()), "Nørd");
        assert_eq!(read(CodePage::of_cpg("OEM 850"), b"N\x9brd"), "Nørd");
        assert_eq!(read(CodePage::of_language_byte(0x01), b"M\x81hle"), "Mühle");
        assert_eq!(read(CodePage::of_language_byte(0xc9), b"\xcf\xee\xeb\xe5"), "Поле");
        assert_eq!(CodePage::of_cpg("no such page"), None);
        assert_eq!(CodePage::of_language_byte(0), None);
    }

    #[test]
    fn the_old_code_pages_are_complete() {
        for page in [CP437, CP850] {
            assert_eq!(page.chars().count(), 128);
        }
    }
}
