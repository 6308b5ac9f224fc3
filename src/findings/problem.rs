//! Problems, findings and places: one grammar for everything that is said about a user's data.

use std::fmt;
use std::ops::Range;

use crate::units::{LIMITS, Misread};

/// Where in a user's files something was found. Every part is optional; what is known is said.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Place {
    /// The file, as the user named it.
    pub file: Option<String>,
    /// The byte range in the file's text, for files that are drawn with a marked line.
    pub span: Option<Range<usize>>,
    /// Line, from 1.
    pub line: Option<usize>,
    /// Character in the line, from 1.
    pub character: Option<usize>,
    /// The column of a table, by the name in its header.
    pub column: Option<String>,
    /// The sample, by its own name.
    pub sample: Option<String>,
    /// The feature of a map file, from 1.
    pub feature: Option<usize>,
}

impl Place {
    /// A place in the file named so.
    pub fn in_file(file: impl Into<String>) -> Self {
        Self { file: Some(file.into()), ..Self::default() }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut parts = Vec::new();
        if let Some(file) = &self.file {
            parts.push(clean(file));
        }
        if let Some(line) = self.line {
            parts.push(format!("line {line}"));
        }
        if let Some(character) = self.character {
            parts.push(format!("character {character}"));
        }
        if let Some(feature) = self.feature {
            parts.push(format!("feature {feature}"));
        }
        if let Some(sample) = &self.sample {
            parts.push(format!("sample {}", clean(sample)));
        }
        if let Some(column) = &self.column {
            parts.push(format!("column {}", clean(column)));
        }
        f.write_str(&parts.join(", "))
    }
}

/// Something about the input that stops the run: where, what was found, what is allowed, what to
/// try. Empty parts are left out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problem {
    /// Where it was found.
    pub place: Place,
    /// What is wrong, as one sentence without a full stop.
    pub what: String,
    /// What is allowed there.
    pub allowed: String,
    /// What to try.
    pub hint: String,
}

impl Problem {
    /// A problem at `place`.
    pub fn at(place: Place, what: impl Into<String>) -> Self {
        Self { place, what: what.into(), ..Self::default() }
    }

    /// The same problem, saying what is allowed.
    #[must_use]
    pub fn allowed(mut self, allowed: impl Into<String>) -> Self {
        self.allowed = allowed.into();
        self
    }

    /// The same problem, saying what to try.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }

    /// The problem of a text that could not be read as the quantity `subject`.
    pub fn misread(place: Place, subject: &str, misread: Misread) -> Self {
        Self::at(place, format!("{subject} is {}", misread.found))
            .allowed(misread.allowed)
            .hint(misread.hint)
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = self.place.to_string();
        if !place.is_empty() {
            write!(f, "{place}: ")?;
        }
        f.write_str(&self.what)?;
        if !self.allowed.is_empty() {
            write!(f, "; allowed: {}", self.allowed)?;
        }
        if !self.hint.is_empty() {
            write!(f, "; try: {}", self.hint)?;
        }
        Ok(())
    }
}

/// A text that problems point into, so that they can be drawn with the line they stand in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drawn {
    /// The file, as the user named it.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// All the problems for which an input is refused; never empty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    problems: Vec<Problem>,
    drawn: Vec<Drawn>,
}

impl Refusal {
    /// `Ok(value)` where there is no problem, the refusal where there is one.
    ///
    /// # Errors
    /// Returns the refusal that holds all of `problems`, unless there are none.
    pub fn unless_clean<T>(problems: Vec<Problem>, value: T) -> Result<T, Self> {
        if problems.is_empty() { Ok(value) } else { Err(Self { problems, drawn: Vec::new() }) }
    }

    /// The problems, in the order in which they were found.
    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    /// The same refusal, whose problems in the file of that name point into `drawn`.
    #[must_use]
    pub fn drawn_on(mut self, drawn: Drawn) -> Self {
        self.drawn.push(drawn);
        self
    }

    /// The same refusal, with `file` as the place of every problem that names none.
    #[must_use]
    pub fn in_file(mut self, file: &str) -> Self {
        for problem in &mut self.problems {
            problem.place.file.get_or_insert_with(|| file.to_owned());
        }
        self
    }

    /// The problems of both.
    #[must_use]
    pub fn and(mut self, other: Self) -> Self {
        self.problems.extend(other.problems);
        self.drawn.extend(other.drawn);
        self
    }

    /// The text that a problem points into, where there is one.
    pub fn drawn_for(&self, problem: &Problem) -> Option<&Drawn> {
        let file = problem.place.file.as_ref()?;
        self.drawn.iter().find(|drawn| drawn.name == *file)
    }

    /// The problems themselves.
    pub fn into_problems(self) -> Vec<Problem> {
        self.problems
    }
}

impl From<Problem> for Refusal {
    fn from(problem: Problem) -> Self {
        Self { problems: vec![problem], drawn: Vec::new() }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let shown = self.problems.len().min(LIMITS.problems_shown);
        for (index, problem) in self.problems.iter().take(shown).enumerate() {
            if index > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{problem}")?;
        }
        if self.problems.len() > shown {
            write!(f, "\nand {} more of the same kind", self.problems.len() - shown)?;
        }
        Ok(())
    }
}

impl std::error::Error for Refusal {}

/// Both values, or all the problems of both.
///
/// # Errors
/// Returns the problems of whichever was refused.
pub fn both<A, B>(a: Result<A, Refusal>, b: Result<B, Refusal>) -> Result<(A, B), Refusal> {
    match (a, b) {
        (Ok(a), Ok(b)) => Ok((a, b)),
        (Err(refusal), Ok(_)) | (Ok(_), Err(refusal)) => Err(refusal),
        (Err(a), Err(b)) => Err(a.and(b)),
    }
}

/// Something that the data told us and that does not stop the run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// A short stable key, for programs that read the summary: `samples_outside_field`.
    pub key: &'static str,
    /// Where it was found.
    pub place: Place,
    /// What was found, as full sentences.
    pub text: String,
}

impl Finding {
    /// A finding about the whole run.
    pub fn new(key: &'static str, text: impl Into<String>) -> Self {
        Self { key, place: Place::default(), text: text.into() }
    }

    /// A finding at a place.
    pub fn at(key: &'static str, place: Place, text: impl Into<String>) -> Self {
        Self { key, place, text: text.into() }
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = self.place.to_string();
        if !place.is_empty() {
            write!(f, "{place}: ")?;
        }
        f.write_str(&self.text)
    }
}

/// `text` without control characters, which could otherwise steer the reader's terminal; cut to
/// 200 characters.
pub fn clean(text: &str) -> String {
    let mut cleaned: String = text.chars().map(harmless).take(200).collect();
    if text.chars().nth(200).is_some() {
        cleaned.push('…');
    }
    cleaned
}

/// The whole of `text` without what [`clean`] takes out, but for line feeds.
pub fn clean_long(text: &str) -> String {
    text.chars().map(|c| if c == '\n' { c } else { harmless(c) }).collect()
}

/// The character itself, or a mark in place of one that steers a terminal or turns what follows.
pub fn harmless(c: char) -> char {
    let turns = matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    if c.is_control() || turns { '\u{fffd}' } else { c }
}

#[cfg(test)]
mod tests {
    use super::clean;

    #[test]
    fn what_steers_a_terminal_or_turns_the_text_is_marked() {
        assert_eq!(clean("a\u{1b}[31m\u{7}"), "a\u{fffd}[31m\u{fffd}");
        assert_eq!(
            clean("\u{202a}b\u{202e}\u{2066}c\u{2069}"),
            "\u{fffd}b\u{fffd}\u{fffd}c\u{fffd}"
        );
        assert_eq!(clean("Müller 3"), "Müller 3");
    }
}
