//! The command line: what was typed, what is meant, and the library that does it.

mod args;
mod compare;
mod explain;
mod fields;
mod fields_args;
mod help;
mod materials;
mod methods;
mod progress;
mod read;
mod run;
mod schema;
mod start;
mod talk;
mod together;

use std::process::ExitCode;

use clap::Parser;

use args::{Args, Command};

/// Exit statuses, in one place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Status {
    /// Done.
    Done = 0,
    /// Refused; nothing was written.
    Refused = 1,
    /// Done and written, but there were findings under `--strict`.
    Findings = 3,
    /// Many fields: done, but some of them failed or have no result, or there is no plan.
    SomeFailed = 4,
    /// The ledger does not balance, or another fault of the program.
    Fault = 5,
}

/// Runs what was typed. Wrong usage ends in clap with status 2.
pub(crate) fn run() -> ExitCode {
    let args = Args::parse();
    let status = match args.command {
        None => talk::say(args::FIRST_STEPS),
        Some(Command::Prescribe(typed)) => run::prescribe(&typed),
        Some(Command::Check(typed)) => run::check(&typed),
        Some(Command::Start(typed)) => start::start(&typed),
        Some(Command::Fields(typed)) => fields::fields(&typed),
        Some(Command::Explain(typed)) => explain::explain(&typed),
        Some(Command::Materials(typed)) => materials::materials(&typed),
        Some(Command::Methods(typed)) => methods::methods(&typed),
        Some(Command::Compare(typed)) => compare::compare(&typed),
        Some(Command::Read(typed)) => read::read(&typed),
        Some(Command::Schema(typed)) => schema::schema(&typed),
        Some(Command::Man(typed)) => help::man(&typed),
        Some(Command::Completions(typed)) => help::completions(&typed),
    };
    ExitCode::from(status as u8)
}
