//! Identifiers, and what refers to them.

use super::element::Element;
use super::faults::Faults;
use super::model::{Grid, GridKind, Task, TaskFile};
use crate::findings::clean;

/// Elements that have an identifier, in their attribute A, that others refer to.
const NAMED: &[&str] = &[
    "CLD", "CPC", "CTP", "CTR", "CVT", "DET", "DVC", "FRM", "OTQ", "PDT", "PFD", "PGP", "TSK",
    "VPN", "WKR",
];

/// Element, attribute, and the element that it refers to.
const REFERENCES: &[(&str, &str, &str)] = &[
    ("FRM", "I", "CTR"),
    ("OTP", "A", "CPC"),
    ("OTP", "B", "OTQ"),
    ("PDT", "C", "PGP"),
    ("PDT", "D", "VPN"),
    ("PDV", "C", "PDT"),
    ("PDV", "D", "DET"),
    ("PDV", "E", "VPN"),
    ("PFD", "E", "CTR"),
    ("PFD", "F", "FRM"),
    ("PFD", "G", "CTP"),
    ("PFD", "H", "CVT"),
    ("PFD", "I", "PFD"),
    ("TSK", "C", "CTR"),
    ("TSK", "D", "FRM"),
    ("TSK", "E", "PFD"),
    ("TSK", "F", "WKR"),
    ("VPN", "F", "CLD"),
];

/// Notes the identifier of an element and what it refers to.
pub(super) fn note(element: &Element, file: &mut TaskFile, faults: &mut Faults) {
    if let Some(&name) = NAMED.iter().find(|name| **name == element.name)
        && let Some(id) = element.get("A")
        && !file.ids.insert((name, id.to_owned()))
    {
        let text = format!("The identifier {} stands twice.", clean(id));
        faults.tell("iso_identifier_twice", element.place.clone(), text);
    }
    for &(from, key, to) in REFERENCES.iter().filter(|(from, ..)| *from == element.name) {
        if let Some(id) = element.get(key) {
            let noted = file
                .references
                .entry((to, id.to_owned()))
                .or_insert_with(|| (element.place.clone(), from, 0));
            noted.2 += 1;
        }
    }
}

/// Tells of references to what is not there.
pub(super) fn check(file: &TaskFile, faults: &mut Faults) {
    for ((to, id), (place, from, count)) in &file.references {
        if !file.ids.contains(&(*to, id.clone())) {
            let times = if *count > 1 { format!(", {count} times in all") } else { String::new() };
            let text = format!(
                "A {from} refers to {}{times}, but there is no {to} of that identifier.",
                clean(id)
            );
            faults.tell("iso_dangling_reference", place.clone(), text);
        }
    }
    for task in &file.tasks {
        check_codes(task, faults);
    }
}

/// Tells of codes of treatment zones that the task does not have, or has twice.
fn check_codes(task: &Task, faults: &mut Faults) {
    let mut zones = [0_usize; 256];
    for code in task.zones.iter().filter_map(|zone| zone.code) {
        zones[usize::from(code)] += 1;
    }
    let template = |grid: &Grid| match grid.kind {
        GridKind::Values(code) => code.map(|code| (code, "the values of its grid")),
        GridKind::Codes => None,
    };
    let of_grids = task.grids.iter().filter_map(template);
    for (code, words) in task.special.iter().copied().chain(of_grids) {
        if zones[usize::from(code)] == 0 {
            let text = format!(
                "Task {} refers to treatment zone {code} for {words}, but has no zone of that code.",
                clean(&task.id)
            );
            faults.tell("iso_dangling_reference", task.place.clone(), text);
        }
    }
    for (code, _) in zones.iter().enumerate().filter(|(_, count)| **count > 1) {
        let text = format!("Task {} has treatment zone {code} more than once.", clean(&task.id));
        faults.tell("iso_identifier_twice", task.place.clone(), text);
    }
}
