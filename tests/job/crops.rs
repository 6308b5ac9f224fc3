//! Targets by crop: the most demanding of a rotation, its guide and trigger, and what is refused.

use super::cases::{JOB, SQUARE, plain};
use super::support::Job;

/// The job of the cases with another target.
fn job(target: &str) -> Job {
    let with = JOB.replace("ph = 6.7\n", target);
    assert!(with.contains(target), "the target was put in");
    Job::new(&with, SQUARE, &plain())
}

#[test]
fn the_most_demanding_crop_of_a_rotation_sets_the_target_and_is_named() {
    let rotation =
        "rotation = [\"grass\", \"Wheat\"]\nguide = \"united-kingdom\"\nground = \"mineral\"\n";
    let outcome = job(rotation).prescribed(&[]);
    let told = outcome.finding("target_of_crops").unwrap();
    assert!(told.contains("6.7 is that of wheat, the most demanding of grass, Wheat"), "{told}");
    assert!(told.contains("RB209") && told.contains("below 6.5"), "{told}");
    let method = &outcome.summary["method"];
    assert_eq!(method["target_ph"], 6.7);
    assert_eq!(method["crops"]["deciding"], "wheat");
    assert_eq!(method["treat_below"], 6.5, "the guide's own trigger");
    let stated = job("ph = 6.7\ntreat_below = 6.5\n").prescribed(&[]);
    assert_eq!(outcome.value("/product_total"), stated.value("/product_total"));
    assert!(stated.finding("target_of_crops").is_none());
    let outcome = job(rotation).prescribed(&["target.treat_below=6.0"]);
    assert_eq!(outcome.summary["method"]["treat_below"], 6.0, "the job's comes before it");
}

#[test]
fn a_crop_that_is_unknown_or_without_guide_or_ground_is_refused_with_what_is_known() {
    for (target, parts) in [
        ("crop = \"alfalfa\"\n", &["`target.guide` is missing", "--crops"][..]),
        (
            "crop = \"alfalfaa\"\nguide = \"minnesota\"\n",
            &["job.toml:10", "did you mean `alfalfa`?"],
        ),
        ("crop = \"corn\"\nguide = \"tri-state-1995\"\n", &["target.ground", "organic"]),
        ("crop = \"corn\"\nguide = \"minesota\"\n", &["did you mean `minnesota`"]),
        ("ph = 6.7\ncrop = \"corn\"\nguide = \"minnesota\"\n", &["are two targets"]),
        ("ph = 6.7\nguide = \"minnesota\"\n", &["says nothing without a crop"]),
        ("rotation = []\nguide = \"minnesota\"\n", &["names no crop"]),
        ("crop = \"sunflower\"\nguide = \"unseen\"\n", &["from memory", "--allow-unverified"]),
        (
            "crop = \"wheat\"\nguide = \"western-australia\"\n",
            &["states pH in CaCl2 0.01 M", "target.ph"],
        ),
        ("base_saturation = \"60 %\"\n", &["limes to a pH", "a base saturation"]),
    ] {
        let said = job(target).refused(&[]);
        for part in parts {
            assert!(said.contains(part), "{target}: {said}");
        }
    }
}

#[test]
fn the_guides_are_listed_with_their_sources() {
    let said = job("ph = 6.7\n").run(&["methods", "--crops"]);
    let text = String::from_utf8(said.stdout).unwrap();
    for part in ["tri-state-1995", "7.0: alfalfa, barley", "6.7, limed below 6.5", "RB209"] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let said = job("ph = 6.7\n").run(&["methods", "--crops", "--json"]);
    let guides: serde_json::Value = serde_json::from_slice(&said.stdout).unwrap();
    assert!(guides.as_array().unwrap().iter().any(|guide| guide["id"] == "pennsylvania"));
}
