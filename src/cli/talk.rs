//! Talking to the person at the terminal: results to standard output, the rest to standard error.

use std::io::{self, IsTerminal, Write};
use std::path::Path;

use limewright::Error;
use limewright::findings::{Drawn, Finding, Problem, Refusal, clean, clean_long};
use miette::{
    GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteDiagnostic, NamedSource, Report,
};

use super::Status;

/// Prints a result. A reader that went away is no fault of ours.
pub(super) fn say(text: &str) -> Status {
    say_by(|out| out.write_all(text.as_bytes()))
}

/// Prints a result as it is made.
pub(super) fn say_by(write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Status {
    let mut out = io::stdout().lock();
    match write(&mut out).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            note(&format!("The result could not be printed: {error}"));
            Status::Refused
        }
        _ => Status::Done,
    }
}

/// Prints a message.
pub(super) fn note(text: &str) {
    // Where standard error is gone there is nobody left to tell.
    let _ = writeln!(io::stderr().lock(), "{text}");
}

/// Says where the results are.
pub(super) fn written(folder: &Path) {
    if folder == Path::new(".") {
        note("Written to this folder.");
    } else {
        note(&format!("Written to {}.", folder.display()));
    }
}

/// Prints the findings, one a line.
pub(super) fn findings(findings: &[Finding]) {
    for finding in findings {
        note(&clean_long(&format!("finding: {finding}")));
    }
}

/// Prints why a run gave no result, and says which status that is.
pub(super) fn refuse(error: &Error) -> Status {
    match error {
        Error::Refused(refusal) => {
            refusal_told(refusal);
            note("Refused; nothing was written.");
            Status::Refused
        }
        Error::Store(error) => {
            note(&format!("error: {error}"));
            Status::Refused
        }
        Error::Unbalanced(_) | Error::Fault(_) => {
            note(&format!("error: {error}"));
            Status::Fault
        }
    }
}

/// Prints why one of several things failed, and nothing of what was written.
pub(super) fn why(error: &Error) {
    match error {
        Error::Refused(refusal) => refusal_told(refusal),
        other => note(&clean_long(&format!("error: {other}"))),
    }
}

/// Prints why files could not be read by a command that writes none.
pub(super) fn refuse_reading(error: &Error) -> Status {
    let Error::Refused(refusal) = error else { return refuse(error) };
    refusal_told(refusal);
    note("Refused: these could not be read.");
    Status::Refused
}

fn refusal_told(refusal: &Refusal) {
    let shown = limewright::units::LIMITS.problems_shown;
    for problem in refusal.problems().iter().take(shown) {
        let drawn = refusal.drawn_for(problem).and_then(|drawn| draw(problem, drawn));
        note(&drawn.unwrap_or_else(|| in_words(problem)));
    }
    if let Some(more) = refusal.problems().len().checked_sub(shown).filter(|&more| more > 0) {
        note(&format!("and {more} more"));
    }
}

fn in_words(problem: &Problem) -> String {
    let place = problem.place.to_string();
    let mut lines = vec![format!("error: {}", clean_long(&problem.what))];
    for (word, part) in [("where", &place), ("allowed", &problem.allowed), ("try", &problem.hint)] {
        if !part.is_empty() {
            lines.push(format!("  {word}: {}", clean_long(part)));
        }
    }
    lines.join("\n")
}

/// The problem drawn under the line of the text that it stands in.
fn draw(problem: &Problem, drawn: &Drawn) -> Option<String> {
    let span = problem.place.span.clone()?;
    let help: Vec<String> = [("allowed", &problem.allowed), ("try", &problem.hint)]
        .into_iter()
        .filter(|(_, part)| !part.is_empty())
        .map(|(word, part)| format!("{word}: {}", clean_long(part)))
        .collect();
    let label = LabeledSpan::new_with_span(None, span);
    let diagnostic = MietteDiagnostic::new(clean_long(&problem.what))
        .with_label(label)
        .with_help(help.join("\n"));
    let source = NamedSource::new(clean(&drawn.name), drawn.text.replace('\u{1b}', "\u{fffd}"));
    let report = Report::new(diagnostic).with_source_code(source);
    let theme =
        if colour() { GraphicalTheme::unicode() } else { GraphicalTheme::unicode_nocolor() };
    let mut text = String::new();
    GraphicalReportHandler::new_themed(theme)
        .with_links(false)
        .render_report(&mut text, report.as_ref())
        .ok()?;
    Some(text)
}

/// Colour on a terminal only, and not where `NO_COLOR` is set to anything.
fn colour() -> bool {
    io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|set| set.is_empty())
}
