//! The schemes against the examples of their sources, and what is refused of a sieve analysis.

use super::*;

fn shares(passing: &[(&str, f64)]) -> BTreeMap<String, Share> {
    let share = |percent: f64| Share::from_number(percent / 100.0).expect("a percentage");
    passing.iter().map(|&(mesh, percent)| (mesh.to_owned(), share(percent))).collect()
}

fn iowa() -> &'static FinenessScheme {
    fineness_scheme("iowa", Place::default()).expect("known")
}

fn refused(passing: &[(&str, f64)]) -> Vec<Problem> {
    fineness_of(iowa(), &shares(passing), &Place::default()).expect_err("refused")
}

#[test]
fn every_scheme_reproduces_the_worked_examples_of_its_source() {
    for scheme in all_fineness_schemes() {
        assert!(!scheme.examples().is_empty(), "{}", scheme.id());
        for example in scheme.examples() {
            let passing: Vec<(&str, f64)> =
                example.passing.iter().map(|(mesh, part)| (mesh.as_str(), *part)).collect();
            let place = Place::default();
            let horizon = scheme.horizon(example.horizon.as_deref(), &place).expect("known");
            let analysis = if passing.is_empty() {
                SieveAnalysis::None
            } else {
                SieveAnalysis::Passing(shares(&passing))
            };
            let fineness = fineness_from(scheme, horizon, &analysis, &place).expect("sound");
            let percent = fineness.efficiency.to_percent();
            let id = scheme.id();
            assert!((percent - example.efficiency).abs() <= example.tolerance, "{id}: {percent}");
            // The same material, told by its classes: nothing else may come of it.
            let parts = fineness.class_parts();
            let classes = scheme.classes();
            let between: BTreeMap<String, Share> = classes
                .iter()
                .map(|class| class.replace(" mesh", "").replace(" to ", "-"))
                .zip(parts.iter().map(|part| Share::from_number(*part).expect("a share")))
                .collect();
            let names = scheme.sieves().map(str::to_owned).chain(["pan".to_owned()]);
            let retained: BTreeMap<String, Share> = names
                .zip(parts.iter().map(|part| Share::from_number(*part).expect("a share")))
                .collect();
            if classes.len() > 1 {
                for analysis in [SieveAnalysis::Between(between), SieveAnalysis::Retained(retained)]
                {
                    let same = fineness_from(scheme, horizon, &analysis, &place).expect("sound");
                    let (same, first) = (same.efficiency.to_number(), percent / 100.0);
                    assert!((same - first).abs() < 1e-12, "{id}: {analysis:?}");
                }
            }
        }
    }
}

#[test]
fn each_sieve_of_iowa_has_its_own_factor() {
    // University of Wisconsin, Liming terminology: 0.1, 0.3 and 0.6 of what passes 4, 8 and 60.
    for (passing, percent) in [
        ([100.0, 0.0, 0.0], 10.0),
        ([100.0, 100.0, 0.0], 40.0),
        ([100.0, 100.0, 100.0], 100.0),
        ([0.0, 0.0, 0.0], 0.0),
    ] {
        let named: Vec<(&str, f64)> = ["4", "8", "60"].into_iter().zip(passing).collect();
        let fineness = fineness_of(iowa(), &shares(&named), &Place::default()).expect("sound");
        assert!((fineness.efficiency.to_percent() - percent).abs() < 1e-9, "{percent}");
        assert_eq!(fineness.passing.len(), 3);
    }
}

#[test]
fn an_unknown_scheme_is_refused_with_all_there_are() {
    let problem = fineness_scheme("iowaa", Place::default()).expect_err("unknown");
    assert!(problem.what.contains("`iowaa`"), "{problem}");
    assert!(problem.allowed.starts_with("iowa, new-york, rnv-10-50"), "{problem}");
    assert_eq!(problem.hint, "did you mean `iowa`?");
    assert_eq!(fineness_scheme(" Iowa ", Place::default()).expect("known").id(), "iowa");
}

#[test]
fn a_sieve_too_many_and_a_sieve_too_few_are_told_together() {
    let problems = refused(&[("4", 100.0), ("8", 90.0), ("100", 40.0)]);
    assert_eq!(problems.len(), 2);
    assert!(problems[0].what.contains("no sieve `100`"), "{}", problems[0]);
    assert!(problems[1].what.contains("`60` is missing"), "{}", problems[1]);
    for problem in &problems {
        assert!(problem.allowed.contains("4, 8, 60"), "{problem}");
    }
}

#[test]
fn passing_that_rises_with_finer_sieves_is_refused() {
    let problems = refused(&[("4", 100.0), ("8", 35.0), ("60", 55.0)]);
    assert_eq!(problems.len(), 1);
    assert!(problems[0].what.contains("`60`") && problems[0].what.contains("55 %"));
    assert!(problems[0].hint.contains("between two sieves"), "{}", problems[0]);
    // The same part through two sieves is nothing odd.
    assert!(
        fineness_of(iowa(), &shares(&[("4", 90.0), ("8", 90.0), ("60", 55.0)]), &Place::default())
            .is_ok()
    );
}

#[test]
fn a_scheme_with_a_fault_is_no_scheme() {
    let sound = TABLES[0];
    for (from, to, why) in [
        ("0.3, 0.6]", "0.3, 0.7]", "add up"),
        ("0.3, 0.6]", "0.3, 0]", "above 0"),
        ("0.3, 0.6]", "0.3]", "3 factors are needed, not 2"),
        ("[{ \"factors\": [0.1, 0.3, 0.6] }]", "[]", "needs factors"),
        ("\"weighted-passing\"", "\"class-factors\"", "4 factors are needed"),
        ("[\"4\", \"8\", \"60\"]", "[\"8\", \"4\", \"60\"]", "coarsest"),
        ("[\"4\", \"8\", \"60\"]", "[\"4\", \"9\", \"60\"]", "no sieve `9`"),
        ("\"ecce\"", "\"best\"", "no figure `best`"),
        ("wisconsin_liming_terminology", "nobody_1900", "bibliography"),
        ("\"id\"", "\"colour\": 1, \"id\"", "unknown field"),
        ("cumulative passing", "retained", "unknown variant"),
    ] {
        assert!(sound.contains(from), "{from}");
        let said = FinenessScheme::from_json(&sound.replace(from, to)).expect_err(why);
        assert!(said.contains(why), "{said}");
    }
    assert!(FinenessScheme::from_json(sound).is_ok());
}

#[test]
fn factors_may_pass_the_whole_by_a_rounding_error_and_no_material_does() {
    let with_last = |factor: &str| {
        let text = TABLES[0].replace("0.3, 0.6]", &format!("0.3, {factor}]"));
        FinenessScheme::from_json(&text)
    };
    assert!(with_last("0.60000001").is_err());
    let all = [Share::from_number(1.0).expect("a share"); 3];
    let of_all = |scheme: &FinenessScheme| {
        let horizon = scheme.horizon(None, &Place::default()).expect("the only one");
        scheme.efficiency(horizon, &all).to_number()
    };
    let scheme = with_last("0.6000000005").expect("a rounding error");
    assert_eq!(of_all(&scheme), 1.0);
    let scheme = with_last("1e-12").expect("above 0");
    assert!((of_all(&scheme) - 0.4).abs() < 1e-9);
}

#[test]
fn class_factors_never_fall_toward_the_finer_and_stay_within_the_whole() {
    let sound = TABLES[5];
    assert!(FinenessScheme::from_json(sound).is_ok());
    for (factors, why) in [
        ("[0, 0.6, 0.25, 1]", "counts for more than a finer one"),
        ("[0, 0.25, 0.6, 1.1]", "from 0 to 1"),
        ("[-0.1, 0.25, 0.6, 1]", "from 0 to 1"),
    ] {
        assert!(sound.contains("[0, 0.25, 0.6, 1]"));
        let text = sound.replace("[0, 0.25, 0.6, 1]", factors);
        let said = FinenessScheme::from_json(&text).expect_err(why);
        assert!(said.contains(why), "{said}");
    }
}

fn missouri(analysis: &SieveAnalysis) -> Result<Fineness, Vec<Problem>> {
    let scheme = fineness_scheme("missouri", Place::default()).expect("known");
    let horizon = scheme.horizon(None, &Place::default()).expect("the only one");
    fineness_from(scheme, horizon, analysis, &Place::default())
}

#[test]
fn parts_that_look_like_another_kind_than_their_key_says_are_named_for_what_they_look_like() {
    let held = |parts: &[(&str, f64)]| SieveAnalysis::Retained(shares(parts));
    let passing = |parts: &[(&str, f64)]| SieveAnalysis::Passing(shares(parts));
    for (analysis, what, looks_like) in [
        // Cumulative passing under `retained`.
        (held(&[("8", 95.0), ("40", 60.0), ("60", 45.0)]), "add up to 200 %", "cumulative passing"),
        // All that was held down to each sieve.
        (
            held(&[("8", 5.0), ("40", 40.0), ("60", 55.0), ("pan", 100.0)]),
            "add up to 200 %",
            "all sieves down to each have held back",
        ),
        // The part below the finest sieve forgotten.
        (held(&[("8", 5.0), ("40", 35.0), ("60", 15.0)]), "add up to 55 %", "below the finest"),
        // Parts under `passing`.
        (
            passing(&[("8", 20.0), ("40", 30.0), ("60", 50.0)]),
            "more passes the sieve `40`",
            "under `between` or `retained`",
        ),
    ] {
        let problems = missouri(&analysis).expect_err(what);
        assert!(problems[0].what.contains(what), "{}", problems[0]);
        assert!(problems[0].hint.contains(looks_like), "{}", problems[0]);
    }
    // Monotone and yet adding up to the whole: taken at its word, and told.
    let doubtful = passing(&[("8", 50.0), ("40", 30.0), ("60", 20.0)]);
    assert!(missouri(&doubtful).expect("sound").findings(&doubtful).len() == 1);
    let plain = passing(&[("8", 95.0), ("40", 60.0), ("60", 45.0)]);
    assert!(missouri(&plain).expect("sound").findings(&plain).is_empty());
}

#[test]
fn a_sieve_is_known_by_its_opening_too_and_stands_there_once() {
    let by_opening =
        SieveAnalysis::Passing(shares(&[("2.36 mm", 95.0), ("425 um", 60.0), ("0.25 mm", 45.0)]));
    let percent = missouri(&by_opening).expect("the same sieves").efficiency.to_percent();
    assert!((percent - 62.75).abs() < 1e-9, "{percent}");
    let twice = SieveAnalysis::Passing(shares(&[
        ("8", 95.0),
        ("40", 60.0),
        ("60", 45.0),
        ("0.25 mm", 45.0),
    ]));
    assert!(missouri(&twice).expect_err("twice")[0].what.contains("twice"));
}

#[test]
fn a_class_that_the_scheme_does_not_have_is_refused_with_those_it_has() {
    for class in ["8-60", "40-8-60", "over 40", "through 40", "8-20", "fine"] {
        let analysis = SieveAnalysis::Between(shares(&[(class, 40.0), ("through 60", 60.0)]));
        let problems = missouri(&analysis).expect_err(class);
        assert!(
            problems[0].allowed.contains("over 8 mesh, 8-40 mesh, 40-60 mesh, through 60 mesh")
        );
    }
    // A class that holds nothing may be left out.
    let analysis = SieveAnalysis::Between(shares(&[("40-60", 40.0), ("through 60", 60.0)]));
    let percent = missouri(&analysis).expect("the whole").efficiency.to_percent();
    assert!((percent - 84.0).abs() < 1e-9, "{percent}");
}

#[test]
fn a_scheme_with_two_horizons_asks_for_one() {
    let illinois = fineness_scheme("illinois", Place::default()).expect("known");
    let problem = illinois.horizon(None, &Place::default()).expect_err("two");
    assert_eq!(problem.allowed, "1 year, 4 years");
    assert!(illinois.horizon(Some("4 year"), &Place::default()).is_ok());
    assert!(illinois.horizon(Some("2 years"), &Place::default()).is_err());
    assert!(iowa().horizon(Some("1 year"), &Place::default()).is_err());
}

#[test]
fn what_was_not_seen_says_so_wherever_its_source_is_printed() {
    let unseen: Vec<&str> = all_fineness_schemes()
        .iter()
        .filter(|scheme| scheme.from_memory())
        .map(FinenessScheme::id)
        .collect();
    assert_eq!(unseen, ["ohio-minnesota", "illinois", "brazil"]);
    for scheme in all_fineness_schemes() {
        assert_eq!(scheme.source_words().contains("from memory"), scheme.from_memory());
    }
}

#[test]
fn rounded_parts_never_make_more_of_a_material_than_there_is() {
    for whole in [99.6, 100.4] {
        let analysis =
            SieveAnalysis::Between(shares(&[("over 8", whole - 60.0), ("through 60", 60.0)]));
        let percent = missouri(&analysis).expect("rounded").efficiency.to_percent();
        assert!((percent - 60.0_f64.min(160.0 - whole)).abs() < 1e-9, "{whole}: {percent}");
    }
}
