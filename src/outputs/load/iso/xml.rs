//! The text of a task data file: elements with attributes, and nothing between them.

use crate::outputs::map_svg::escaped;

/// What stands before the root element (ISO 11783-10:2015, 8.5: XML 1.0 in UTF-8).
const DECLARATION: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
/// The most characters of a designator, as `ISO11783_Common_V4-3.xsd` has it.
const DESIGNATOR: usize = 32;

/// A document that is being written.
pub(super) struct Xml {
    text: String,
    depth: usize,
}

impl Xml {
    pub(super) fn new() -> Self {
        Self { text: DECLARATION.to_owned(), depth: 0 }
    }

    /// Writes an element with those of its attributes that have a value, and what `inner` writes
    /// into it.
    pub(super) fn element(
        &mut self,
        name: &str,
        attributes: &[(&str, Option<String>)],
        inner: impl FnOnce(&mut Self),
    ) {
        self.indent();
        self.text.push('<');
        self.text.push_str(name);
        for (key, value) in attributes {
            if let Some(value) = value {
                self.text.push(' ');
                self.text.push_str(key);
                self.text.push_str("=\"");
                self.text.push_str(&escaped(value));
                self.text.push('"');
            }
        }
        self.text.push('>');
        let open = self.text.len();
        self.text.push('\n');
        self.depth += 1;
        inner(self);
        self.depth -= 1;
        if self.text.len() == open + 1 {
            self.text.truncate(open - 1);
            self.text.push_str("/>\n");
            return;
        }
        self.indent();
        self.text.push_str("</");
        self.text.push_str(name);
        self.text.push_str(">\n");
    }

    /// Writes an element without any in it.
    pub(super) fn leaf(&mut self, name: &str, attributes: &[(&str, Option<String>)]) {
        self.element(name, attributes, |_| {});
    }

    pub(super) fn into_bytes(self) -> Vec<u8> {
        self.text.into_bytes()
    }

    fn indent(&mut self) {
        self.text.extend(std::iter::repeat_n(' ', 2 * self.depth));
    }
}

/// A name in as many characters as a designator may have, without those that XML cannot hold.
pub(super) fn designator(name: &str) -> String {
    let printable = |c: char| if c.is_control() { ' ' } else { c };
    let printed: String =
        name.chars().filter(|c| !matches!(c, '\u{fffe}' | '\u{ffff}')).map(printable).collect();
    let cut: String = printed.trim().chars().take(DESIGNATOR).collect();
    cut.trim_end().to_owned()
}

/// A coordinate or a distance of whole steps of 1e-7 degree, in degrees.
pub(super) fn degrees(e7: i32) -> String {
    let mut out = Vec::new();
    crate::outputs::number::write_e7(&mut out, e7);
    out.into_iter().map(char::from).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn elements_close_and_names_are_escaped() {
        let mut xml = Xml::new();
        xml.element("A", &[("B", Some("x\"<&>'".into())), ("C", None)], |xml| {
            xml.leaf("D", &[("E", Some("1".into()))]);
        });
        let text = String::from_utf8(xml.into_bytes()).unwrap();
        let expected = "<A B=\"x&quot;&lt;&amp;&gt;&#39;\">\n  <D E=\"1\"/>\n</A>\n";
        assert_eq!(text, DECLARATION.to_owned() + expected);
    }

    #[test]
    fn names_have_32_characters_at_most() {
        assert_eq!(designator("  North\n40\u{0} "), "North 40");
        assert_eq!(designator(&"ä".repeat(40)).chars().count(), 32);
        // 31 letters and a blank: a name does not end in one.
        assert_eq!(designator(&format!("{} second", "a".repeat(31))), "a".repeat(31));
    }

    #[test]
    fn degrees_are_exact() {
        assert_eq!(degrees(-932_000_001), "-93.2000001");
        assert_eq!(degrees(269), "0.0000269");
        assert_eq!(degrees(-5), "-0.0000005");
    }
}
