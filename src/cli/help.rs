//! `man` and `completions`: the help of all commands in the forms that readers and shells take.
//! Both are made from the one definition of what can be typed.

use clap::{Command, CommandFactory};
use clap_complete::{Shell, generate};
use clap_mangen::Man;
use limewright::Error;

use super::args::{Args, CompletionsArgs, ManArgs};
use super::{Status, talk};

/// What the program is called wherever it is typed.
const PROGRAM: &str = "limewright";

pub(super) fn man(typed: &ManArgs) -> Status {
    match page(typed.command.as_deref()) {
        Ok(text) => talk::say(&text),
        Err(error) => talk::refuse(&Error::Fault(error.to_string())),
    }
}

pub(super) fn completions(typed: &CompletionsArgs) -> Status {
    match completions_text(typed.shell) {
        Ok(text) => talk::say(&text),
        Err(error) => talk::refuse(&Error::Fault(error.to_string())),
    }
}

/// The name of a command, for the argument of `man`.
pub(super) fn command_name(typed: &str) -> Result<String, String> {
    let names = command_names();
    if names.iter().any(|name| name == typed) {
        return Ok(typed.to_owned());
    }
    Err(format!("write one of the commands {}, or none of them", names.join(", ")))
}

fn command_names() -> Vec<String> {
    Args::command().get_subcommands().map(|command| command.get_name().to_owned()).collect()
}

/// The page of the program, or of one of its commands. One that is no command gets the program's.
fn page(name: Option<&str>) -> std::io::Result<String> {
    let mut whole = Args::command()
        .disable_help_subcommand(true)
        .subcommand_help_heading("COMMANDS")
        .subcommand_value_name("COMMAND");
    whole.build();
    let version = whole.get_version().unwrap_or_default().to_owned();
    let of_command = |name| whole.find_subcommand(name).cloned();
    let command: Command = name.and_then(of_command).unwrap_or_else(|| whole.clone());
    let mut text = Vec::new();
    Man::new(command).source(format!("{PROGRAM} {version}")).render(&mut text)?;
    String::from_utf8(text).map_err(std::io::Error::other)
}

/// The script that completes what is typed in a shell.
fn completions_text(shell: Shell) -> std::io::Result<String> {
    let mut text = Vec::new();
    generate(shell, &mut Args::command(), PROGRAM, &mut text);
    String::from_utf8(text).map_err(std::io::Error::other)
}

#[cfg(test)]
mod tests {
    use clap::ValueEnum;

    use super::*;

    /// A page as its reader sees it: the font marks and escapes of roff taken out.
    fn plain(page: &str) -> String {
        [
            ("\\fB", ""),
            ("\\fI", ""),
            ("\\fR", ""),
            ("\\-", "-"),
            ("\\*(Aq", "'"),
            ("\\'", "'"),
            ("\\\\", "\\"),
        ]
        .iter()
        .fold(page.to_owned(), |text, (from, to)| text.replace(from, to))
    }

    #[test]
    fn the_page_of_the_program_names_every_command_with_its_own_page() {
        let page = plain(&page(None).unwrap());
        assert!(page.contains(".TH limewright 1"), "{page}");
        let names = command_names();
        assert!(names.len() > 8, "{names:?}");
        for name in names {
            assert!(page.contains(&format!("limewright-{name}(1)")), "{name}: {page}");
        }
        assert!(page.contains("Exit status: 0 done"), "{page}");
        assert!(!page.contains("limewright-help(1)"), "{page}");
    }

    #[test]
    fn the_page_of_a_command_has_all_that_can_be_typed_behind_it() {
        for command in Args::command().get_subcommands() {
            let name = command.get_name();
            let page = plain(&page(Some(name)).unwrap());
            assert!(page.contains(&format!("limewright-{name} - ")), "{page}");
            assert!(page.contains(&format!("\nlimewright {name} ")), "{page}");
            for argument in command.get_arguments() {
                if let Some(long) = argument.get_long() {
                    assert!(page.contains(&format!("--{long}")), "{name} --{long}: {page}");
                }
                let help = argument.get_help().unwrap().to_string();
                let words: Vec<&str> = help.split_whitespace().take(3).collect();
                assert!(page.contains(&words.join(" ")), "{name}: {words:?}: {page}");
            }
        }
    }

    #[test]
    fn every_shell_completes_every_command() {
        for shell in Shell::value_variants() {
            let text = completions_text(*shell).unwrap();
            for name in command_names() {
                assert!(text.contains(&name), "{shell}: {name}");
            }
            assert!(text.contains("allow-unverified") && text.contains(PROGRAM), "{shell}");
        }
    }

    #[test]
    fn only_a_command_has_a_page() {
        assert_eq!(command_name("check").as_deref(), Ok("check"));
        let refused = command_name("chek").unwrap_err();
        assert!(refused.contains("prescribe, check, start"), "{refused}");
    }
}
