//! What the folders of fields are called.

use std::collections::BTreeMap;

use crate::inputs::FAILED_FOLDER;
use crate::store::slugs;

/// The stem that says nothing of a field.
const PLAIN: &str = "job";

/// A name for the folder of each field, from the paths of the jobs as their list has them, and
/// from nothing else, so that machines that share a list agree.
///
/// It is made from the name of the job file, or of its folder where the file is called `job.toml`,
/// with as many folders before it as it takes to be another than all others.
pub(super) fn ids(jobs: &[&str]) -> Vec<String> {
    let parts: Vec<Vec<&str>> = jobs.iter().map(|job| parts_of(job)).collect();
    let mut taken = vec![1_usize; jobs.len()];
    loop {
        let names: Vec<String> =
            parts.iter().zip(&taken).map(|(parts, &taken)| tail(parts, taken)).collect();
        let mut of_name: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (at, name) in names.iter().enumerate() {
            of_name.entry(slugs(&[name.as_str()], &[]).concat()).or_default().push(at);
        }
        let mut longer = false;
        for &at in of_name.values().filter(|same| same.len() > 1).flatten() {
            if taken[at] < parts[at].len() {
                taken[at] += 1;
                longer = true;
            }
        }
        if !longer {
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            return slugs(&names, &[FAILED_FOLDER]);
        }
    }
}

fn parts_of(job: &str) -> Vec<&str> {
    let mut parts: Vec<&str> =
        job.split(['/', '\\']).filter(|part| !matches!(*part, "" | "." | "..")).collect();
    if let Some(file) = parts.pop() {
        let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
        if parts.is_empty() || !stem.eq_ignore_ascii_case(PLAIN) {
            parts.push(stem);
        }
    }
    parts
}

fn tail(parts: &[&str], taken: usize) -> String {
    parts[parts.len().saturating_sub(taken)..].join("-")
}

#[cfg(test)]
mod tests {
    use super::ids;

    #[test]
    fn a_field_is_called_by_the_shortest_tail_of_its_path_that_is_its_own() {
        for (jobs, expected) in [
            (&["Heron Flat.toml", "jobs/linden.toml"][..], &["heron-flat", "linden"][..]),
            (&["heron/job.toml", "linden/job.toml"], &["heron", "linden"]),
            (&["a/north.toml", "b/north.toml", "b/south.toml"], &["a-north", "b-north", "south"]),
            (&["x/a/job.toml", "y/a/job.toml", "job.toml"], &["x-a", "y-a", "job"]),
            (&["north.toml", "a/north.toml"], &["north", "a-north"]),
            (&["../north.toml", "/data/./south.toml"], &["north", "south"]),
            (&["a b.toml", "a-b.toml", "failed.toml"], &["a-b", "a-b-2", "failed-2"]),
            (&["b/a-x.toml", "c/b-a/x.toml", "d/x.toml"], &["a-x", "b-a-x", "d-x"]),
        ] {
            assert_eq!(ids(jobs), expected);
        }
    }
}
