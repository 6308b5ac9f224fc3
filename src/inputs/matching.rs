//! Which name of one list is which of another: as they stand first, then without case and blanks,
//! then without leading zeros, only where that leaves one on each side.

use std::collections::{BTreeMap, BTreeSet};

use super::ids::{folded, without_leading_zeros};

/// By what two ways of writing a name differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Differ {
    /// Capitals, and blanks of any kind.
    CaseOrBlanks,
    /// Zeros that lead a number in it.
    LeadingZeros,
}

impl Differ {
    /// The ways in which names may differ and be the same, in the order in which they are tried.
    const ALL: [Self; 2] = [Self::CaseOrBlanks, Self::LeadingZeros];

    /// After "only by".
    pub fn words(self) -> &'static str {
        match self {
            Self::CaseOrBlanks => "their case or blanks",
            Self::LeadingZeros => "leading zeros",
        }
    }

    /// A name so that two ways of writing it come out alike.
    fn spell(self, name: &str) -> String {
        match self {
            Self::CaseOrBlanks => folded(name),
            Self::LeadingZeros => without_leading_zeros(name),
        }
    }
}

/// What came of matching.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NameMatches<'o> {
    /// For each wanted name the offered one, where there is one.
    pub of_wanted: Vec<Option<&'o str>>,
    /// The wanted names that did not match as they stand, by what they differ.
    pub respelled: Vec<(Differ, Vec<usize>)>,
    /// Names that cannot be told apart.
    pub clashes: Vec<NameClash<'o>>,
}

/// Names that differ only so and are not one on each side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NameClash<'o> {
    /// By what they differ.
    pub differ: Differ,
    /// The wanted ones.
    pub wanted: Vec<usize>,
    /// The offered ones.
    pub offered: Vec<&'o str>,
}

/// Matches each of `wanted` (all different) to one of `offered` (all different).
pub fn match_names<'o>(wanted: &[&str], offered: &[&'o str]) -> NameMatches<'o> {
    let as_they_stand: BTreeMap<&str, &'o str> = offered.iter().map(|&name| (name, name)).collect();
    let mut of_wanted: Vec<Option<&'o str>> =
        wanted.iter().map(|name| as_they_stand.get(name).copied()).collect();
    let (mut respelled, mut clashes) = (Vec::new(), Vec::new());
    let mut refused = BTreeSet::new();
    for differ in Differ::ALL {
        let mut here: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        let mut there: BTreeMap<String, Vec<&'o str>> = BTreeMap::new();
        for (index, name) in wanted.iter().enumerate() {
            here.entry(differ.spell(name)).or_default().push(index);
        }
        for &name in offered {
            there.entry(differ.spell(name)).or_default().push(name);
        }
        let taken: BTreeSet<&str> = of_wanted.iter().flatten().copied().collect();
        let mut pairs = Vec::new();
        for (spelling, indices) in here {
            // Those that matched as they stand are not in doubt.
            let open = indices.iter().copied().filter(|&index| of_wanted[index].is_none());
            let open: Vec<usize> = open.collect();
            let Some(names) = there.get(&spelling) else { continue };
            match (open.as_slice(), indices.as_slice(), names.as_slice()) {
                // Another spelling of a name that matched is one that nobody would see.
                ([], _, names) if names.iter().all(|name| taken.contains(name)) => {}
                (&[index], [_], &[name]) => {
                    of_wanted[index] = Some(name);
                    pairs.push(index);
                }
                _ if refused.insert(indices[0]) => {
                    clashes.push(NameClash { differ, wanted: indices, offered: names.clone() });
                }
                _ => {}
            }
        }
        if !pairs.is_empty() {
            respelled.push((differ, pairs));
        }
    }
    NameMatches { of_wanted, respelled, clashes }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_match_as_they_stand_and_else_only_one_to_one() {
        let found = match_names(
            &["North 3", "west 07", "East", "EAST", "Hill"],
            &["East", "NORTH  3", "West 7", "hill", "Hill "],
        );
        let expected = [Some("NORTH  3"), Some("West 7"), Some("East"), None, None];
        assert_eq!(found.of_wanted, expected);
        let respelled = [(Differ::CaseOrBlanks, vec![0]), (Differ::LeadingZeros, vec![1])];
        assert_eq!(found.respelled, respelled);
        let clashes: Vec<(&[usize], &[&str])> =
            found.clashes.iter().map(|c| (c.wanted.as_slice(), c.offered.as_slice())).collect();
        assert_eq!(clashes, [(&[2, 3][..], &["East"][..]), (&[4], &["hill", "Hill "])]);
    }
}
