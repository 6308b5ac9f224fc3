//! Names of files that are made from data.

use std::collections::BTreeSet;

use deunicode::deunicode;

/// Characters of a name that is made from data.
const LONGEST: usize = 60;

/// Names that some systems keep for devices, whatever their extension.
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];

/// For each of `names` one of small letters, digits and hyphens, each another, and none of `taken`;
/// letters of other alphabets are written in Latin ones.
pub fn slugs(names: &[&str], taken: &[&str]) -> Vec<String> {
    let mut used: BTreeSet<String> = taken.iter().map(|&name| name.to_owned()).collect();
    names
        .iter()
        .map(|name| {
            let plain = slug(name);
            let mut unique = plain.clone();
            let mut number = 2;
            while !used.insert(unique.clone()) {
                unique = format!("{plain}-{number}");
                number += 1;
            }
            unique
        })
        .collect()
}

fn slug(name: &str) -> String {
    let mut slug = String::new();
    for c in deunicode(name).chars().flat_map(char::to_lowercase) {
        if slug.len() == LONGEST {
            break;
        }
        if c.is_ascii_alphanumeric() {
            slug.push(c);
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    let slug = slug.trim_end_matches('-');
    let is_port = ["com", "lpt"]
        .iter()
        .any(|port| slug.strip_prefix(port).is_some_and(|rest| rest.len() == 1 && rest != "-"));
    if slug.is_empty() {
        "field".to_owned()
    } else if is_port || DEVICES.contains(&slug) {
        format!("field-{slug}")
    } else {
        slug.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_leaves_its_folder_or_is_that_of_another() {
        let names =
            ["North 3", "north_3", "../..", "C:\\x", "", "  ", "Æ", "CON", "com1", "fields"];
        let expected = [
            "north-3",
            "north-3-2",
            "field",
            "c-x",
            "field-2",
            "field-3",
            "ae",
            "field-con",
            "field-com1",
            "fields-2",
        ];
        assert_eq!(slugs(&names, &["fields"]), expected);
        let names = ["Fazenda São João", "Große Wiese", "Łąka 3", "Поле 7", "北田"];
        let expected = ["fazenda-sao-joao", "grosse-wiese", "laka-3", "pole-7", "bei-tian"];
        assert_eq!(slugs(&names, &[]), expected);
        let long = "ab ".repeat(500);
        let slug = &slugs(&[&long], &[])[0];
        assert!(slug.len() <= LONGEST && slug.ends_with('b'), "{slug}");
    }

    proptest::proptest! {
        #[test]
        fn any_name_becomes_a_plain_one(names in proptest::collection::vec(".{0,80}", 1..6)) {
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            let slugs = slugs(&names, &[]);
            let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
            let is_plain = |slug: &String| {
                !slug.is_empty() && !slug.starts_with('-') && slug.chars().all(plain)
            };
            proptest::prop_assert!(slugs.iter().all(is_plain));
            let different: BTreeSet<&String> = slugs.iter().collect();
            proptest::prop_assert_eq!(different.len(), slugs.len());
        }
    }
}
