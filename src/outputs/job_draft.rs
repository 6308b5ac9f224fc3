//! The text of a job file that is still to be filled in.

use std::fmt::Write as _;

use crate::inputs::BLANK;

/// A job file to be written, in the order of its tables.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct JobDraft {
    /// The file with its schema, for editors that look for it beside the job.
    pub schema: &'static str,
    /// What stands at the head, one paragraph each.
    pub head: Vec<String>,
    /// Its tables; the first is that of the file itself.
    pub tables: Vec<DraftTable>,
}

/// A table of a job file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DraftTable {
    /// Its head, as `[samples]`; empty for the file itself.
    pub header: String,
    /// What there is to say of the whole table, one paragraph each.
    pub about: Vec<String>,
    /// Its keys.
    pub lines: Vec<DraftLine>,
    /// Whether the whole table is only offered.
    pub offered: bool,
}

/// A key of a job file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DraftLine {
    /// The key without its table.
    pub key: String,
    /// Its value.
    pub value: DraftValue,
    /// What there is to say of it, one paragraph each.
    pub says: Vec<String>,
}

/// The value of a key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DraftValue {
    /// It is known, as TOML.
    Known(String),
    /// It has to be filled in.
    Blank,
    /// It may be left out; a value as TOML to show how it is written.
    Offered(String),
}

/// Characters in a line of comment.
const WIDTH: usize = 96;

/// The text of the job file.
pub fn job_draft_text(draft: &JobDraft) -> String {
    let mut out = format!("#:schema {}\n", draft.schema);
    for paragraph in &draft.head {
        comment(&mut out, "# ", paragraph);
    }
    for table in &draft.tables {
        out.push('\n');
        for paragraph in &table.about {
            comment(&mut out, "# ", paragraph);
        }
        if !table.header.is_empty() {
            let mark = if table.offered { "# " } else { "" };
            // Writing to a String cannot fail.
            let _ = writeln!(out, "{mark}{}", table.header);
        }
        for line in &table.lines {
            write_line(&mut out, line);
        }
    }
    out
}

fn write_line(out: &mut String, line: &DraftLine) {
    let DraftLine { key, value, says } = line;
    let text = match value {
        DraftValue::Known(value) => format!("{key} = {value}"),
        DraftValue::Blank => format!("{key} = \"{BLANK}\""),
        DraftValue::Offered(value) => format!("# {key} = {value}"),
    };
    if *value == DraftValue::Blank {
        out.push('\n');
        for (at, paragraph) in says.iter().enumerate() {
            let mark = if at == 0 { "FILL IN: " } else { "" };
            comment(out, "# ", &format!("{mark}{paragraph}"));
        }
        out.push_str(&text);
    } else {
        let beside = says.join(" ");
        if beside.is_empty() {
            out.push_str(&text);
        } else if text.chars().count() + beside.chars().count() + 4 <= WIDTH {
            let _ = write!(out, "{text:<38} # {}", one_line(&beside));
        } else {
            comment(out, "# ", &beside);
            out.push_str(&text);
        }
    }
    out.push('\n');
}

/// A paragraph as lines of comment; what is in it can never end the comment.
fn comment(out: &mut String, mark: &str, paragraph: &str) {
    let mut line = String::from(mark);
    for word in one_line(paragraph).split(' ') {
        let length = line.chars().count() + word.chars().count();
        if length >= WIDTH && line.len() > mark.len() {
            out.push_str(line.trim_end());
            out.push('\n');
            line = String::from(mark);
        }
        line.push_str(word);
        line.push(' ');
    }
    out.push_str(line.trim_end());
    out.push('\n');
}

fn one_line(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_from_data_ends_a_comment() {
        let line = |value, says: &str| DraftLine {
            key: "file".to_owned(),
            value,
            says: vec![says.to_owned()],
        };
        let long = "word ".repeat(60) + "x\ny = 1\r\nz = 2";
        let draft = JobDraft {
            schema: "job.schema.json",
            head: vec![long.clone()],
            tables: vec![DraftTable {
                header: "[samples]".to_owned(),
                about: vec![long.clone()],
                lines: vec![
                    line(DraftValue::Known("\"a.csv\"".to_owned()), "short\n# or not"),
                    line(DraftValue::Offered("1".to_owned()), &long),
                ],
                offered: false,
            }],
        };
        let text = job_draft_text(&draft);
        assert!(text.starts_with("#:schema job.schema.json\n"), "{text}");
        for line in text.lines().filter(|line| !line.is_empty()) {
            let known = line.starts_with("[samples]") || line.starts_with("file = \"a.csv\"");
            assert!(line.starts_with('#') || known, "{line}");
            assert!(line.chars().count() <= WIDTH, "{line}");
        }
    }
}
