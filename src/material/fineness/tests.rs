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
            let fineness =
                fineness_of(scheme, &shares(&passing), &Place::default()).expect("sound");
            let percent = fineness.efficiency.to_percent();
            assert!((percent - example.efficiency).abs() <= example.tolerance, "{percent}");
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
    assert_eq!(problem.allowed, "iowa");
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
        ("\"factor\": 0.6", "\"factor\": 0.7", "add up"),
        ("\"factor\": 0.6", "\"factor\": 0", "above 0"),
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
        let text = TABLES[0].replace("\"factor\": 0.6", &format!("\"factor\": {factor}"));
        FinenessScheme::from_json(&text)
    };
    assert!(with_last("0.60000001").is_err());
    let scheme = with_last("0.6000000005").expect("a rounding error");
    let all = [Share::from_number(1.0).expect("a share"); 3];
    assert_eq!(scheme.efficiency(&all).to_number(), 1.0);
    let scheme = with_last("1e-12").expect("above 0");
    assert!((scheme.efficiency(&all).to_number() - 0.4).abs() < 1e-9);
}
