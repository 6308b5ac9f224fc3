//! A bar that says how far a run of many fields is, on a terminal.

use std::fmt::Write;
use std::io::{self, IsTerminal};

use indicatif::{ProgressBar, ProgressState, ProgressStyle};
use limewright::prescribe::Progress;

const BAR: &str = "{bar:30} {pos} of {len} fields, {pace}{msg}";

/// The bar; nothing is drawn where standard error is no terminal.
pub(super) struct Bar {
    bar: Option<ProgressBar>,
}

impl Bar {
    /// A bar of which nothing is seen before it is told of fields.
    pub(super) fn new() -> Self {
        let pace = |state: &ProgressState, out: &mut dyn Write| {
            // What cannot be drawn is left out.
            let _ = write!(out, "{:.1}/s", state.per_sec());
        };
        let style = ProgressStyle::with_template(BAR).ok();
        let style = style.map(|style| style.with_key("pace", pace));
        let bar = style.filter(|_| io::stderr().is_terminal()).map(|style| {
            // It is drawn some times a second at the most, however fast the fields are.
            ProgressBar::new(0).with_style(style)
        });
        Self { bar }
    }

    /// Moves it to where the run is.
    pub(super) fn show(&self, now: Progress) {
        let Some(bar) = &self.bar else { return };
        bar.set_length(now.all as u64);
        bar.set_position((now.done + now.unchanged + now.failed) as u64);
        let more = [(now.failed, "failed"), (now.unchanged, "not changed")];
        let more = more.iter().filter(|(count, _)| *count > 0);
        let more: Vec<String> = more.map(|(count, what)| format!(", {count} {what}")).collect();
        bar.set_message(more.concat());
    }

    /// Takes it off the terminal.
    pub(super) fn end(&self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}
