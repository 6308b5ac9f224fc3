//! Sets of fields merge in any order and grouping.

use proptest::prelude::*;

use super::*;
use crate::roster::{FailedField, FieldsAsk, FieldsResult, HeldResult, read_result};

/// Any row, its id a letter.
fn any_row() -> impl Strategy<Value = FieldRow> {
    const COVERS: [&[&str]; 2] = [&["product", "haul"], &["haul"]];
    let words = (
        0..24_u8,
        any::<bool>(),
        prop::option::of((4.0_f64..8.0, prop::sample::select(vec!["water 1:1", "KCl 1 M"]))),
        prop::sample::select(vec![("Pit 4", 0.5), ("Pit 4", 0.6), ("Beet", 0.5)]),
        prop::option::of(prop::sample::select(vec!["Quarry", "Mill"])),
        prop::option::of(prop::sample::select(vec!["Fen", "Moor", "Heath"])),
        prop::option::of((
            0.0_f64..1e5,
            prop::sample::select(vec!["$", "USD", "EUR"]),
            prop::sample::select(COVERS.to_vec()),
        )),
    );
    let numbers = (0.1_f64..1e3, 0.0_f64..1e3, 0.0_f64..1e4, 1..4_usize, any::<bool>());
    (words, numbers).prop_map(
        |(
            (letter, metric, ph, material, supplier, customer, cost),
            (area, need, product, applications, iowa),
        )| {
            let method = if iowa { "smp-iowa" } else { "ph-uk-arable" };
            let made = Made {
                metric,
                area,
                need,
                product: product + 5.0,
                ph,
                material,
                supplier,
                customer,
                cost,
                applications,
                method,
            };
            row(&char::from(b'a' + letter).to_string(), &made)
        },
    )
}

/// The whole of `fields.json`.
fn bytes(fields: &Fields) -> String {
    let units = units_of_most(fields);
    let result = FieldsResult::of(fields, &FieldsAsk { units, list: None }).unwrap();
    serde_json::to_string_pretty(&result).unwrap()
}

/// The set as another machine would read it from the file of this one.
fn through_text(fields: &Fields) -> Fields {
    match read_result(&bytes(fields), "fields.json", "").unwrap() {
        HeldResult::Many(fields) => fields,
        other => panic!("{other:?}"),
    }
}

fn merged(mut sets: impl Iterator<Item = Fields>) -> Fields {
    sets.try_fold(Fields::default(), Fields::merge).expect("no clash")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// However the fields of a list are shared out among machines, in whatever order and grouping
    /// their results are put together, in memory or from the files that they wrote, and however often
    /// one of them comes: the result is the same to the byte.
    #[test]
    fn results_merge_in_any_order_and_grouping(
        rows in prop::collection::vec(any_row(), 0..14),
        failing in prop::collection::vec((0..24_u8, "[a-c]{1,3}", "[a-c]\\.toml"), 0..4),
        shuffled in any::<prop::sample::Index>(),
        parts in prop::collection::vec((1..5_usize, any::<bool>(), any::<prop::sample::Index>()), 1..20),
    ) {
        // Two rows of one id would be a clash.
        let unique: std::collections::BTreeMap<String, FieldRow> =
            rows.into_iter().map(|row| (row.id.clone(), row)).collect();
        let mut singles: Vec<Fields> = unique.into_values().map(Fields::done).collect();
        singles.extend(failing.into_iter().map(|(letter, why, job)| Fields::failed(FailedField {
            id: char::from(b'a' + letter).to_string(),
            job,
            reasons: vec![why],
        })));
        let expected = bytes(&merged(singles.iter().cloned()));

        // Some come twice, all in another order, in groups of their own, each perhaps by its file.
        let mut all = singles.clone();
        let again = parts.iter().filter(|_| !singles.is_empty()).map(|(_, _, at)| at.get(&singles));
        all.extend(again.cloned());
        if !all.is_empty() {
            let turn = shuffled.index(all.len());
            all.rotate_left(turn);
            for (at, (_, _, index)) in parts.iter().enumerate() {
                let (one, other) = (index.index(all.len()), at % all.len());
                all.swap(one, other);
            }
        }
        let mut groups = Vec::new();
        let mut rest = all.as_slice();
        for (size, by_file, _) in parts.iter().cycle() {
            if rest.is_empty() {
                break;
            }
            let (some, left) = rest.split_at((*size).min(rest.len()));
            let group = merged(some.iter().cloned());
            groups.push(if *by_file { through_text(&group) } else { group });
            rest = left;
        }
        // From the end, so that the grouping is not that of a plain fold.
        let found = groups.into_iter().rev().fold(Fields::default(), |all, group| {
            group.merge(all).expect("no clash")
        });
        prop_assert_eq!(bytes(&through_text(&found)), expected);
    }

    #[test]
    fn two_different_results_of_one_name_are_a_clash_in_any_order(a in any_row(), b in any_row()) {
        let (mut a, mut b) = (a, b);
        a.id = "heron".to_owned();
        b.id = "heron".to_owned();
        let clash = Fields::done(a.clone()).merge(Fields::done(b.clone())).is_err();
        prop_assert_eq!(clash, a != b);
        prop_assert_eq!(Fields::done(b).merge(Fields::done(a)).is_err(), clash);
    }
}
