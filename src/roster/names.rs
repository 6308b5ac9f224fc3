//! Names that differ in capitals and blanks alone, as people write them in many jobs, are one name.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::fields::Fields;
use super::row::FieldRow;

/// Gives names the spelling in which each was met first, with single blanks between its words.
#[derive(Default)]
pub(super) struct Spellings(BTreeMap<String, String>);

impl Spellings {
    /// The spelling of a name.
    pub(super) fn of(&mut self, name: &str) -> &str {
        let name = one_blank(name).unwrap_or_default();
        self.0.entry(name.to_lowercase()).or_insert(name)
    }
}

/// A name with one blank between its words and none around them; `None` where it has no word.
pub(super) fn one_blank(name: &str) -> Option<String> {
    let words: Vec<&str> = name.split_whitespace().collect();
    (!words.is_empty()).then(|| words.join(" "))
}

impl Fields {
    /// The same fields with one spelling of each material and supplier, that of the first field in
    /// the order of the ids: what is ordered of a pit is one order however the jobs write it.
    #[must_use]
    pub(super) fn with_names_united(&self) -> Self {
        let (mut materials, mut suppliers) = (Spellings::default(), Spellings::default());
        self.changed(|row| {
            let name = materials.of(&row.material.name);
            let supplier = row.material.supplier.as_deref().map(|name| suppliers.of(name));
            let same = name == row.material.name && supplier == row.material.supplier.as_deref();
            (!same).then(|| {
                let mut united: FieldRow = FieldRow::clone(row);
                name.clone_into(&mut united.material.name);
                united.material.supplier = supplier.map(str::to_owned);
                Arc::new(united)
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::roster::made::{fields, made};

    #[test]
    fn the_first_spelling_holds_for_all_and_other_names_stay() {
        let mut others = [made("b", 10.0, false), made("c", 10.0, false), made("d", 10.0, false)];
        others[0].material.name = "PIT  4 ".to_owned();
        others[1].material.supplier = Some("QUARRY".to_owned());
        others[2].material.name = "Pit 5".to_owned();
        let set = fields([made("a", 10.0, false)].into_iter().chain(others).collect());
        let united = set.with_names_united();
        let names: Vec<&str> = united.rows().map(|row| row.material.name.as_str()).collect();
        assert_eq!(names, ["Pit 4", "Pit 4", "Pit 4", "Pit 5"]);
        assert!(united.rows().all(|row| row.material.supplier.as_deref() == Some("Quarry")));
        // The set itself keeps what the jobs write, and rows that are as they were are not copied.
        assert_eq!(set.rows().nth(1).unwrap().material.name, "PIT  4 ");
        let shared = set.shared_rows().into_iter().zip(united.shared_rows());
        assert_eq!(shared.filter(|(one, other)| Arc::ptr_eq(one, other)).count(), 2);
    }
}
