//! What can be typed behind `fields`.

use std::path::PathBuf;

use clap::Args as ClapArgs;

use super::args::key_and_value;

#[derive(Debug, ClapArgs)]
pub(super) struct FieldsArgs {
    /// The list of the jobs, with what they share.
    #[arg(value_name = "FIELDS.toml")]
    pub(super) list: PathBuf,
    /// The folder to write to: a folder in it for each field, and the files of all together.
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<PathBuf>,
    /// Put a value over every job's, such as `target.ph=6.5`; may be given more than once.
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = key_and_value)]
    pub(super) sets: Vec<String>,
    /// Only these fields: ranges of the list counted from 1, such as `1-250`, names of their
    /// folders, or jobs as the list has them, with commas between; may be given more than once. The
    /// files of all together are then not written: `limewright compare DIR --with FIELDS.toml --out
    /// DIR` makes them at the end.
    #[arg(long, value_name = "FIELDS")]
    pub(super) only: Vec<String>,
    /// Run the fields of which nothing changed, too.
    #[arg(long)]
    pub(super) again: bool,
    /// Allow methods whose numbers were written from memory.
    #[arg(long)]
    pub(super) allow_unverified: bool,
    #[command(flatten)]
    pub(super) told: ToldArgs,
}

/// How the result is told.
#[derive(Clone, Copy, Debug, ClapArgs)]
pub(super) struct ToldArgs {
    /// Print what the fields come to as JSON, for programs.
    #[arg(long)]
    pub(super) json: bool,
    /// Exit with status 3 where there are findings.
    #[arg(long)]
    pub(super) strict: bool,
}
