//! What compositions are worth, and which are refused.

use super::*;
use crate::material::kind_named;

fn made(parts: &[(&str, f64)]) -> Vec<(String, Share)> {
    let share = |percent: f64| Share::from_number(percent / 100.0).expect("a percentage");
    parts.iter().map(|&(name, percent)| (name.to_owned(), share(percent))).collect()
}

fn read(
    kind: &str,
    oxides: Option<Oxides>,
    parts: &[(&str, f64)],
) -> Result<Composition, Vec<Problem>> {
    let kind = kind_named(kind, Place::default()).expect("limes");
    composition_of(&made(parts), oxides, kind, Basis::Dry, &Place::default())
}

fn percent_of(kind: &str, oxides: Option<Oxides>, parts: &[(&str, f64)]) -> f64 {
    read(kind, oxides, parts).expect("sound").cce.to_percent()
}

fn refused(kind: &str, oxides: Option<Oxides>, parts: &[(&str, f64)]) -> String {
    let problems = read(kind, oxides, parts).expect_err("refused");
    problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

#[test]
fn a_limestone_of_two_carbonates_is_worth_their_sum() {
    // 85 + 8 x 100.086 / 84.313 = 94.497, from the standard atomic weights.
    let percent = percent_of("limestone", None, &[("CaCO3", 85.0), ("MgCO3", 8.0)]);
    assert!((percent - 94.496_6).abs() < 1e-3, "{percent}");
    let found = read("limestone", None, &[("CaCO3", 85.0), ("MgCO3", 8.0), ("SiO2", 7.0)]);
    let found = found.expect("sound");
    assert!(found.findings.is_empty(), "sand is not taken for lime");
    assert!(found.step.words.contains("85 % CaCO3 x 1 + 8 % MgCO3 x 1.1871"), "{:?}", found.step);
    assert!(found.step.source.as_ref().is_some_and(|source| source.contains("atomic weights")));
}

#[test]
fn what_is_made_of_salts_alone_is_refused_with_its_chemistry() {
    for (formula, chemistry) in [
        ("CaSO4·2H2O", "sulfate is not a base"),
        ("gypsum", "sulfate is not a base"),
        ("CaCl2", "chloride is not a base"),
        ("Ca(NO3)2", "nitrate is not a base"),
        ("insoluble", "does not dissolve"),
    ] {
        let said = refused("limestone", None, &[(formula, 90.0)]);
        assert!(said.contains("is not a liming material"), "{said}");
        assert!(said.contains(chemistry) && said.contains("calcium as such does not"), "{said}");
    }
    let both = refused("limestone", None, &[("CaSO4", 50.0), ("CaCl2", 50.0), ("CaCO3", 0.0)]);
    assert!(both.contains("sulfate") && both.contains("chloride"), "{both}");
}

#[test]
fn what_makes_acid_is_refused_beside_lime_too() {
    for (formula, chemistry) in
        [("S", "sulfuric acid"), ("elemental sulfur", "sulfuric acid"), ("Al2(SO4)3", "frees acid")]
    {
        let said = refused("limestone", None, &[("CaCO3", 90.0), (formula, 5.0)]);
        assert!(said.contains(chemistry) && said.contains("have the CCE measured"), "{said}");
    }
    // None of it is none of it.
    assert!(read("limestone", None, &[("CaCO3", 90.0), ("S", 0.0)]).is_ok());
}

#[test]
fn lime_with_gypsum_counts_the_lime_and_says_so() {
    let found = read("limestone", None, &[("CaCO3", 60.0), ("gypsum", 40.0)]).expect("sound");
    assert!((found.cce.to_percent() - 60.0).abs() < 1e-9);
    assert_eq!(found.findings.len(), 1);
    let text = &found.findings[0].text;
    assert!(text.contains("40 % of the material is CaSO4·2H2O") && text.contains("60 %"), "{text}");
}

#[test]
fn an_oxide_is_read_as_neither_until_it_is_said_which() {
    let parts = [("CaO", 50.0), ("MgO", 3.0)];
    for kind in ["limestone", "burnt lime", "wood ash"] {
        let said = refused(kind, None, &parts);
        assert!(said.contains("`free` or `expressed`"), "{said}");
    }
    let said = refused("limestone", Some(Oxides::Free), &parts);
    assert!(said.contains("calcitic limestone holds no free"), "{said}");
    for kind in ["wood ash", "kiln dust", "slag", "water-treatment lime"] {
        let said = refused(kind, Some(Oxides::Expressed), &parts);
        assert!(said.contains("does not tell what the calcium"), "{said}");
        assert!(read(kind, Some(Oxides::Free), &parts).is_ok(), "{kind}");
    }
    // The moles are the same, whatever the calcium is bound to.
    let expressed = percent_of("limestone", Some(Oxides::Expressed), &parts);
    assert!((expressed - percent_of("burnt lime", Some(Oxides::Free), &parts)).abs() < 1e-12);
    assert!((expressed - (50.0 * 1.784_80 + 3.0 * 2.483_27)).abs() < 1e-2, "{expressed}");
}

#[test]
fn an_analysis_by_oxides_counts_no_calcium_twice() {
    let expressed = Some(Oxides::Expressed);
    // The same calcium, told as carbonate and as oxide.
    for other in ["CaCO3", "Ca(OH)2", "CaMg(CO3)2", "gypsum"] {
        let said = refused("limestone", expressed, &[("CaO", 22.4), (other, 40.0)]);
        assert!(said.contains("would count twice"), "{said}");
    }
    assert!(read("limestone", expressed, &[("CaO", 50.0), ("CaCO3", 0.0)]).is_ok());
    let said = refused("limestone", expressed, &[("CaCO3", 90.0), ("SO3", 2.0)]);
    assert!(said.contains("SO3 beside CaO or MgO"), "{said}");
    let said = refused("limestone", expressed, &[("CaCO3", 90.0)]);
    assert!(said.contains("neither CaO nor MgO"), "{said}");
}

#[test]
fn oxides_without_sulfur_may_hide_gypsum_and_that_is_told() {
    let findings = |parts: &[(&str, f64)]| {
        read("limestone", Some(Oxides::Expressed), parts).expect("sound").findings
    };
    assert_eq!(findings(&[("CaO", 50.0)])[0].key, "oxides_may_hide_gypsum");
    assert!(findings(&[("CaO", 50.0), ("SO3", 0.0)]).is_empty(), "none is told to be none");
}

#[test]
fn sulfur_of_an_oxide_analysis_takes_its_calcium_away() {
    let with = |sulfur: f64| {
        let parts = [("CaO", 50.0), ("SO3", sulfur)];
        percent_of("limestone", Some(Oxides::Expressed), &parts)
    };
    // One mole of SO3, 80.057 g, binds the calcium of one mole of CaCO3, 100.086 g.
    assert!((with(0.0) - with(8.0) - 8.0 * 100.086 / 80.057).abs() < 1e-9);
    // Gypsum by oxides: 32.57 % CaO and 46.51 % SO3 leave nothing.
    let gypsum = [("CaO", 32.57), ("SO3", 46.51)];
    let said = refused("limestone", Some(Oxides::Expressed), &gypsum);
    assert!(said.contains("binds all the calcium as sulfate"), "{said}");
    let said = refused("limestone", None, &[("CaCO3", 90.0), ("SO3", 2.0)]);
    assert!(said.contains("oxides = \"expressed\""), "{said}");
}

#[test]
fn what_is_mostly_salt_or_hardly_neutralises_is_no_lime() {
    let salts: [&[(&str, f64)]; 2] =
        [&[("CaCO3", 2.0), ("CaSO4", 95.0)], &[("CaCO3", 5.0), ("CaCl2", 95.0)]];
    for parts in salts {
        let said = refused("limestone", None, parts);
        assert!(said.contains("is not a base") && said.contains("more than 50 %"), "{said}");
    }
    let said = refused("limestone", None, &[("CaCO3", 0.5)]);
    assert!(said.contains("its CCE is 0.5 %"), "{said}");
    // 46 % SO3 is 78 % CaSO4, and 33 % CaO leave 1.4 % of it as carbonate.
    let gypsum = [("CaO", 33.0), ("SO3", 46.0)];
    let said = refused("limestone", Some(Oxides::Expressed), &gypsum);
    assert!(said.contains("binds most of the calcium"), "{said}");
    assert!(read("limestone", None, &[("CaCO3", 1.0), ("SiO2", 90.0)]).is_ok());
}

#[test]
fn parts_never_make_more_than_the_whole() {
    assert!(refused("limestone", None, &[("CaCO3", 95.0), ("SiO2", 6.0)]).contains("101 %"));
    assert!(read("limestone", None, &[("CaCO3", 94.0), ("SiO2", 6.0)]).is_ok());
    // Pure CaCO3 holds 56.03 % CaO; rounding may pass it, and no more.
    let of = |percent| read("limestone", Some(Oxides::Expressed), &[("CaO", percent)]);
    assert!(of(56.1).is_ok());
    let said = of(57.0).expect_err("too much")[0].to_string();
    assert!(said.contains("as carbonates the composition adds up to 101.73 %"), "{said}");
}

#[test]
fn unknown_and_repeated_compounds_are_refused_together() {
    let said =
        refused("limestone", None, &[("CaCO3", 50.0), ("calcium carbonate", 40.0), ("H2O", 5.0)]);
    assert!(said.contains("CaCO3 stands in the composition twice"), "{said}");
    assert!(said.contains("`H2O` is not a compound known here"), "{said}");
}

#[test]
fn caustic_parts_of_a_mild_kind_are_told() {
    let caustic = |kind, oxides, parts: &[(&str, f64)]| {
        let findings = read(kind, oxides, parts).expect("sound").findings;
        findings.iter().any(|finding| finding.key == "material_holds_caustic_parts")
    };
    assert!(caustic("limestone", None, &[("CaCO3", 80.0), ("Ca(OH)2", 10.0)]));
    assert!(caustic("slag", Some(Oxides::Free), &[("CaSiO3", 80.0), ("CaO", 10.0)]));
    assert!(!caustic("limestone", Some(Oxides::Expressed), &[("CaO", 50.0)]));
    assert!(!caustic("hydrated lime", None, &[("Ca(OH)2", 95.0)]), "the kind says so already");
}
