//! Unmet need at the head of the results, the most that goes on the ground at once, and the time
//! before the crop, on the field of four cells.

use super::four_cells::ground;
use super::support::{JOB, Job, assert_near};

fn text(arguments: &[&str]) -> String {
    let output = Job::on(&ground()).run(&[&["prescribe", "job.toml"], arguments].concat());
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn unmet_need_is_the_first_thing_that_is_said_with_what_would_meet_it() {
    let outcome = Job::on(&ground()).prescribed(&[]);
    // 237.22 of 2,451.28 lb stay unmet; the acid cell asks for 3.5 ton/ac where 3 are held: two
    // applications, or 3,500 lb of CaCO3 in 3 ton, 58.3 %.
    let unmet = &outcome.summary["unmet"];
    assert_near(unmet["share"].as_f64().unwrap(), 237.22 / 2_451.28, 1e-4, "share");
    assert_eq!(unmet["applications"], 2);
    let effective = unmet["effective_at_least"].as_f64().unwrap();
    assert_near(effective, 3_500.0 / 6_000.0, 1e-9, "effective");
    let first = &outcome.summary["findings"][0];
    assert_eq!(first["key"], "need_left_unmet");
    let said = first["text"].as_str().unwrap();
    assert!(said.starts_with("10 % of the need stays unmet, 0.12 ton of 1.23 ton CaCO3"), "{said}");
    assert!(said.contains("the spreader's greatest of 3 ton/ac: 2 applications"), "{said}");
    assert!(said.contains("at least 58.4 % effective as spread,"), "{said}");
    assert!(text(&[]).starts_with("10 % of the need stays unmet"), "{}", text(&[]));
    // A material of that worth meets it: the cell is no longer capped.
    let strong = Job::on(&ground()).prescribed(&["material.effective=58.4 % as received"]);
    assert_near(strong.value("/ledger/capped"), 0.0, 1e-12, "capped");
    let weaker = Job::on(&ground()).prescribed(&["material.effective=58.3 % as received"]);
    assert!(weaker.value("/ledger/capped") > 0.0);
}

#[test]
fn the_job_says_from_which_part_on_unmet_need_is_told() {
    let outcome = Job::on(&ground()).prescribed(&["need.unmet_told_from=10 %"]);
    assert!(outcome.summary.get("unmet").is_none());
    assert!(outcome.finding("need_left_unmet").is_none());
    assert!(text(&["--set", "need.unmet_told_from=10 %"]).contains("lime prescription\n"));
    let outcome = Job::on(&ground()).prescribed(&["need.unmet_told_from=9 %"]);
    assert_eq!(outcome.summary["unmet"]["told_from"], 0.09);
    let said = Job::on(&ground()).refused(&["need.unmet_told_from=101 %"]);
    assert!(said.contains("101 %"), "{said}");
    // Where nothing is held to the greatest, no more applications would help.
    let sets = ["spreader.max_rate=4 ton/ac", "spreader.below_min=drop"];
    let outcome = Job::on(&ground()).prescribed(&sets);
    let unmet = &outcome.summary["unmet"];
    assert!(unmet.get("applications").is_none() && unmet.get("effective_at_least").is_none());
    assert!(unmet["text"].as_str().unwrap().contains("none is held to the greatest"), "{unmet}");
    // What no material is strong enough for is not named.
    let sets = ["spreader.max_rate=1 ton/ac"];
    let outcome = Job::on(&ground()).prescribed(&sets);
    let unmet = &outcome.summary["unmet"];
    assert_eq!(unmet["applications"], 4);
    let said = unmet["text"].as_str().unwrap();
    assert!(said.contains("at least 175 % effective as spread, which only an oxide"), "{said}");
}

#[test]
fn published_single_rates_are_told_for_their_placement_and_not_imposed() {
    let tilled = Job::on(&ground()).prescribed(&[]);
    // 3 ton/ac are 6.7 t/ha: below 4 ton/ac, and above the 5 t/ha of one publication.
    let told = tilled.finding("more_than_published_single_rates").unwrap();
    assert!(told.contains("United Kingdom 5 t/ha") && told.contains("Lime time"), "{told}");
    assert!(told.contains("split dressings over two years"), "{told}");
    assert!(!told.contains("southern plains") && !told.contains("Missouri"), "{told}");
    let small = Job::on(&ground()).prescribed(&["spreader.max_rate=2 ton/ac"]);
    assert!(small.finding("more_than_published_single_rates").is_none(), "4.5 t/ha");
    let part = &tilled.summary["single_application"];
    assert_eq!(part["placement"], "tilled");
    assert_eq!(part["greatest_rate"]["value"], 3.0);
    assert_eq!(part["greatest_effective_rate"]["value"], 1.5);
    assert!(part.get("held_to").is_none());
    let surface = Job::on(&ground()).prescribed(&["need.placement=no-till"]);
    let told = surface.finding("more_than_published_single_rates").unwrap();
    for said in [
        "up to 3 ton/ac of material (1.50 ton/ac effective) on the ground at once, no-till",
        "Missouri 2 ton/ac of material or of effective lime, which is not said",
        "Victoria (Australia) 2 t/ha",
        "told and not imposed",
        "How much lime to apply",
    ] {
        assert!(told.contains(said), "{said}: {told}");
    }
    assert_eq!(surface.value("/product_total"), tilled.value("/product_total"));
    let published = surface.summary["single_application"]["published"].as_array().unwrap();
    let of = |region: &str| published.iter().find(|limit| limit["region"] == region).unwrap();
    assert_eq!(of("Missouri")["basis"], "not stated");
    assert_eq!(of("Missouri")["exceeded"], true);
    let low =
        Job::on(&ground()).prescribed(&["need.placement=no-till", "spreader.max_rate=2 ton/ac"]);
    let told = low.finding("more_than_published_single_rates").unwrap();
    assert!(told.contains("Victoria") && !told.contains("Missouri"), "{told}");
}

#[test]
fn a_most_that_the_job_states_is_kept_to() {
    let held = Job::on(&ground()).prescribed(&["need.single_application_max=2 ton/ac as spread"]);
    let twice = Job::on(&ground()).prescribed(&["spreader.max_rate=2 ton/ac"]);
    assert_eq!(held.map, twice.map);
    // A rate is one of material as spread unless it says otherwise.
    let bare = Job::on(&ground()).prescribed(&["need.single_application_max=2 ton/ac"]);
    assert_eq!(bare.map, twice.map);
    assert_eq!(held.value("/single_application/held_to"), 2.0);
    let said = held.finding("need_left_unmet").unwrap();
    assert!(said.contains("the job's most in one application of 2 ton/ac"), "{said}");
    // Half effective, a ton of what acts is two of material.
    let acts = Job::on(&ground()).prescribed(&["need.single_application_max=1 ton/ac effective"]);
    assert_eq!(acts.map, twice.map);
    // The greatest of the spreader's steps below it.
    let between =
        Job::on(&ground()).prescribed(&["need.single_application_max=2.4 ton/ac as spread"]);
    assert_eq!(between.map, twice.map);
    for (most, said_of_it) in [
        ("2 as spread", "`ton/ac`"),
        ("0.9 ton/ac as spread", "below the least rate that the spreader holds"),
        ("0.4 ton/ac effective", "below the least rate that the spreader holds"),
    ] {
        let said = Job::on(&ground()).refused(&[&format!("need.single_application_max={most}")]);
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(said_of_it), "{most}: {said}");
    }
}

/// 100, 90 and 55 % through 4, 8 and 60 mesh.
const SIEVED: [&str; 3] = [
    "material.cce=92 % as received",
    "material.fineness.scheme=iowa",
    "material.fineness.passing={ \"4\" = \"100 %\", \"8\" = \"90 %\", \"60\" = \"55 %\" }",
];

/// The field of four cells with a material of which the sieve analysis is known.
fn sieved() -> Job {
    let text = JOB.replace("effective = \"50 % as received\"\n", "");
    assert_ne!(text, JOB);
    Job::new(&text, &ground().boundary(), &ground().table())
}

#[test]
fn how_fast_a_limestone_acts_is_told_by_what_passes_each_sieve() {
    let reaction = sieved().prescribed(&SIEVED).summary["reaction"].clone();
    // What passes 20 mesh lies between 55 and 90 %, what passes 100 mesh between 0 and 55 %: by
    // Cornell's 0.4, 0.8 and 1 in one year 0.4 x 55 + 0.4 x 55 to 0.4 x 90 + 0.4 x 55 + 0.2 x 55.
    assert_near(reaction["within_a_year"]["least"].as_f64().unwrap(), 0.44, 1e-12, "least");
    assert_near(reaction["within_a_year"]["most"].as_f64().unwrap(), 0.69, 1e-12, "most");
    assert!(reaction["within_a_year"]["source"].as_str().unwrap().contains("Cornell"));
    let sizes = reaction["by_size"].as_array().unwrap();
    let of = |size: &str, source: &str| {
        let is_it = |one: &&serde_json::Value| {
            one["size"] == size && one["source"].as_str().unwrap().contains(source)
        };
        let found = sizes.iter().find(is_it).unwrap_or_else(|| panic!("no {size}: {sizes:?}"));
        (found["least"].as_f64().unwrap(), found["most"].as_f64().unwrap())
    };
    assert_eq!(of("finer than 100 mesh", "Georgia"), (0.0, 0.55));
    assert_eq!(of("finer than 60 mesh", "Georgia"), (0.55, 0.55));
    assert_eq!(of("finer than 60 mesh", "Missouri"), (0.55, 0.55));
    assert_eq!(of("finer than 20 mesh", "Georgia"), (0.55, 0.9));
    assert!(
        reaction.get("months_to_seeding").is_none() && reaction.get("acted_by_seeding").is_none()
    );
    let days = ["dates.spread=2026-04-20", "dates.seeding=2027-04-21"];
    let dated = sieved().prescribed(&[&SIEVED[..], &days].concat());
    assert_eq!(dated.summary["reaction"]["months_to_seeding"], 12);
    assert_eq!(dated.summary["reaction"]["acted_by_seeding"]["size"], "finer than 60 mesh");
    let sets: Vec<&str> = SIEVED.iter().chain(&days).flat_map(|set| ["--set", set]).collect();
    let output = sieved().run(&[&["prescribe", "job.toml"], sets.as_slice()].concat());
    let text = String::from_utf8(output.stdout).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "How fast it acts by its fineness",
        "44.0 % to 69.0 % of it within a year (",
        "55.0 % is finer than 60 mesh: can take up to a year (",
        "sown 12 months after the lime is spread: by then 55.0 % of it, finer than 60 mesh,",
    ] {
        assert!(text.contains(said), "{said} is not in {text}");
    }
    let days = ["dates.spread=2027-03-01", "dates.seeding=2027-04-21"];
    let late = sieved().prescribed(&[&SIEVED[..], &days].concat());
    let told = late.finding("lime_late_for_the_crop").unwrap();
    assert!(told.contains("Of the material 0 % to 55 % is finer than 100 mesh"), "{told}");
    assert!(told.contains("the rest acts later"), "{told}");
    // Of one figure, nothing is known of how fast it acts.
    assert!(Job::on(&ground()).prescribed(&[]).summary.get("reaction").is_none());
}

#[test]
fn lime_that_comes_late_for_the_crop_is_told() {
    let late = |sets: &[&str]| {
        let outcome = Job::on(&ground()).prescribed(&[&["dates.spread=2026-10-20"], sets].concat());
        let of = |key| outcome.finding(key).map(str::to_owned);
        of("lime_late_for_the_crop").or_else(|| of("lime_after_seeding"))
    };
    assert_eq!(late(&[]), None);
    assert_eq!(late(&["dates.seeding=2027-04-20"]), None);
    let told = late(&["dates.seeding=2027-04-19"]).unwrap();
    assert!(told.contains("5 months before the crop is sown on 2027-04-19"), "{told}");
    assert!(told.contains("University of Georgia"), "{told}");
    let legume = late(&["dates.seeding=2027-04-19", "dates.legume=true"]).unwrap();
    assert!(legume.contains("before a legume"), "{legume}");
    assert!(late(&["dates.seeding=2026-10-19"]).unwrap().contains("too late for it"));
    let said = Job::on(&ground()).refused(&["dates.seeding=2026-10-19T06:00:00"]);
    assert!(said.contains("a day without a time"), "{said}");
}
