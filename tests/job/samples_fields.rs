//! The sample fields, and the README's own example.

use std::fs;

use super::support::{assert_near, limewright, root};

const BLESS: &str = "LIMEWRIGHT_BLESS";

/// Holds the block of the README that shows the output of `command` against it.
fn hold_readme(command: &str, printed: &str) {
    let begin = format!("<!-- output of: limewright {command} -->\n```text\n");
    let path = root().join("README.md");
    let readme = fs::read_to_string(&path).unwrap();
    let begin = readme.find(&begin).expect("the mark of the block") + begin.len();
    let end = begin + readme[begin..].find("```\n").expect("the end of the block");
    if std::env::var_os(BLESS).is_some() {
        let blessed = format!("{}{printed}{}", &readme[..begin], &readme[end..]);
        fs::write(&path, blessed).unwrap();
        return;
    }
    assert_eq!(&readme[begin..end], printed, "run the tests once with {BLESS}=1 and look at it");
}

#[test]
fn the_readme_shows_what_its_commands_print() {
    const PRESCRIBE: &str = "prescribe sample_fields/heron_flat/job.toml";
    const START: &str = "start --boundary boundary.geojson --samples samples.csv --out job.toml";
    let folder = tempfile::tempdir().unwrap();
    for file in ["boundary.geojson", "samples.csv"] {
        let from = root().join("sample_fields/heron_flat").join(file);
        fs::copy(from, folder.path().join(file)).unwrap();
    }
    for (command, place) in [(PRESCRIBE, root()), (START, folder.path())] {
        let run = limewright().current_dir(place).args(command.split(' ')).output().unwrap();
        assert!(run.status.success(), "{command}");
        hold_readme(command, &String::from_utf8(run.stdout).unwrap());
    }
}

#[test]
fn the_picture_in_the_readme_is_what_the_program_draws() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let output = limewright()
        .current_dir(root())
        .args(["prescribe", "sample_fields/heron_flat/job.toml", "--out"])
        .arg(&out)
        .output()
        .unwrap();
    assert!(output.status.success());
    let drawn = fs::read_to_string(out.join("map.svg")).unwrap();
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    assert!(readme.contains("(sample_fields/heron_flat/map.svg)"), "the README shows it");
    let path = root().join("sample_fields/heron_flat/map.svg");
    if std::env::var_os(BLESS).is_some() {
        fs::write(&path, drawn).unwrap();
        return;
    }
    let kept = fs::read_to_string(&path).unwrap();
    assert!(kept == drawn, "run the tests once with {BLESS}=1 and look at it");
}

#[test]
fn both_sample_fields_run_and_are_what_their_page_says() {
    for (field, unit, area, within) in
        [("heron_flat", "ac", 160.0, 2.0), ("linden_bank", "ha", 16.0, 4.0)]
    {
        let output = limewright()
            .arg("prescribe")
            .arg(root().join("sample_fields").join(field).join("job.toml"))
            .arg("--json")
            .output()
            .unwrap();
        assert!(output.status.success());
        let summary: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(summary["area"]["unit"], unit);
        assert_near(summary["area"]["value"].as_f64().unwrap(), area, within, field);
    }
    let page = fs::read_to_string(root().join("sample_fields/README.md")).unwrap();
    assert!(page.contains("invented"), "the page must say that the fields are invented");
}
