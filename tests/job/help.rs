//! The manual pages and the completions as they are printed.

use super::support::limewright;

fn printed(arguments: &[&str]) -> String {
    let output = limewright().args(arguments).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(output.stderr.is_empty());
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_manual_is_printed_whole_and_command_by_command() {
    let page = printed(&["man"]);
    assert!(page.contains(".TH limewright 1"), "{page}");
    assert!(page.contains("limewright\\-prescribe(1)"), "{page}");
    let page = printed(&["man", "explain"]);
    assert!(page.contains("limewright explain") && page.contains("LON,LAT"), "{page}");
    let page = printed(&["fields", "--help"]);
    for table in ["[calendar]", "[allotment]", "[[supplier]]"] {
        assert!(page.contains(table), "{table}: {page}");
    }
    let wrong = limewright().args(["man", "explian"]).output().unwrap();
    assert_eq!(wrong.status.code(), Some(2));
    assert!(
        String::from_utf8_lossy(&wrong.stderr).contains("one of the commands prescribe, check")
    );
}

#[test]
fn completions_are_printed_for_each_shell() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = printed(&["completions", shell]);
        assert!(script.contains("prescribe") && script.contains("limewright"), "{shell}");
    }
    let wrong = limewright().args(["completions", "csh"]).output().unwrap();
    assert_eq!(wrong.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&wrong.stderr).contains("bash"));
}
