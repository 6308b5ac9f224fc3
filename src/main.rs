//! The `limewright` command.

mod cli;

use std::process::ExitCode;

fn main() -> ExitCode {
    shield_from_other_projs();
    cli::run()
}

/// PROJ is built into this program together with its database; settings that point at another
/// PROJ on the machine would make it open that one's database instead, and fail.
fn shield_from_other_projs() {
    let foreign: Vec<std::ffi::OsString> = std::env::vars_os()
        .map(|(name, _)| name)
        .filter(|name| name.as_encoded_bytes().starts_with(b"PROJ_"))
        .collect();
    // SAFETY: this is the first thing that the program does; no other thread exists yet that
    // could read the environment while it changes.
    unsafe {
        for name in foreign {
            std::env::remove_var(name);
        }
        std::env::set_var("PROJ_DEBUG", "0");
    }
}
