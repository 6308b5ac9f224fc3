//! The jobs of a list, its patterns looked up on the disk.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use super::job::{At, EFFECTIVE_JOB_FILE, FieldsFile};
use crate::findings::{Finding, Place, Problem, Refusal, clean};

/// A job of a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedJob {
    /// As the list has it, or as its pattern found it: from the folder of the list, with `/`
    /// between the parts.
    pub given: String,
    /// Where it lies.
    pub path: PathBuf,
}

/// The jobs of a list, in its order; what a pattern found is sorted by its path.
#[derive(Clone, Debug, PartialEq)]
pub struct ListedJobs {
    /// The jobs, each once.
    pub jobs: Vec<ListedJob>,
    /// What there is to tell: jobs that are named twice.
    pub findings: Vec<Finding>,
}

/// Looks up the jobs of the list `path`.
///
/// In a pattern `*` stands for any part of a name, `?` for one character, and `**` for any folders.
/// A pattern finds no hidden files, not the list itself, and no `job.effective.toml`, which is a
/// result. A file that is named need not exist: that is for whoever reads it.
///
/// # Errors
/// Refuses a pattern that finds no file, the list where it is named as a job, and a folder that
/// cannot be read; each with its line.
pub fn list_jobs(path: &Path, fields: &FieldsFile) -> Result<ListedJobs, Refusal> {
    let list = Listing { path, folder: path.parent().unwrap_or(Path::new("")), fields };
    let mut told = ListedJobs { jobs: Vec::new(), findings: Vec::new() };
    let mut problems = Vec::new();
    let mut known = BTreeSet::new();
    for entry in &fields.jobs {
        match list.found(entry) {
            Err(problem) => problems.push(problem),
            Ok(found) => {
                for job in found {
                    if known.insert(identity(&job.path)) {
                        told.jobs.push(job);
                    } else {
                        told.findings.push(twice(list.place(entry), &job.given));
                    }
                }
            }
        }
    }
    let drawn = fields.settings.drawn();
    Refusal::unless_clean(problems, told).map_err(|refusal| refusal.drawn_on(drawn))
}

fn twice(place: Place, given: &str) -> Finding {
    let text = format!("The job `{}` is named twice in the list and counts once.", clean(given));
    Finding::at("job_listed_twice", place, text)
}

/// What tells one file from another, by whatever path it is named.
fn identity(path: &Path) -> PathBuf {
    path.canonicalize().unwrap_or_else(|_| path.to_owned())
}

struct Listing<'a> {
    path: &'a Path,
    folder: &'a Path,
    fields: &'a FieldsFile,
}

impl Listing<'_> {
    fn place(&self, entry: &At<String>) -> Place {
        self.fields.settings.place(&entry.span)
    }

    /// The files of one entry.
    fn found(&self, entry: &At<String>) -> Result<Vec<ListedJob>, Problem> {
        let written = entry.value.trim();
        if !is_pattern(written) {
            let path = self.folder.join(written);
            if identity(&path) == identity(self.path) {
                let what = "the list names itself as a job";
                return Err(Problem::at(self.place(entry), what)
                    .allowed("job files")
                    .hint("name the job files of the fields, one for each field"));
            }
            return Ok(vec![ListedJob { given: written.to_owned(), path }]);
        }
        let parts: Vec<&str> = written.split('/').filter(|part| !part.is_empty()).collect();
        let fixed = parts.iter().take_while(|part| !is_pattern(part)).count();
        let mut start = parts[..fixed].join("/");
        if written.starts_with('/') {
            start.insert(0, '/');
        }
        let mut found = Vec::new();
        let folder = self.folder.join(&start);
        gather(&folder, &start, &parts[fixed..], &mut found).map_err(|(folder, error)| {
            let what = format!("`{}` cannot be read: {error}", folder.display());
            Problem::at(self.place(entry), what)
                .hint("check the path, which is from this file's folder, and who may read it")
        })?;
        let own = identity(self.path);
        found.retain(|job| identity(&job.path) != own);
        found.sort_by(|a, b| a.given.split('/').cmp(b.given.split('/')));
        found.dedup();
        if found.is_empty() {
            let what = format!("no job file is found by `{}`", clean(written));
            return Err(Problem::at(self.place(entry), what)
                .allowed(
                    "a pattern that finds at least one file: * for any part of a name, ? for \
                          one character, ** for any folders",
                )
                .hint(
                    "check the path; it is from this file's folder, and ends in the name of a \
                       file, as in jobs/*.toml",
                ));
        }
        Ok(found)
    }
}

fn is_pattern(text: &str) -> bool {
    text.contains(['*', '?'])
}

/// Adds the files below `folder` that the `parts` of a pattern find; `given` is how it is named.
fn gather(
    folder: &Path,
    given: &str,
    parts: &[&str],
    found: &mut Vec<ListedJob>,
) -> Result<(), (PathBuf, std::io::Error)> {
    let Some((part, rest)) = parts.split_first() else { return Ok(()) };
    let here = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    let named = |name: &str| match given {
        "" => name.to_owned(),
        given if given.ends_with('/') => format!("{given}{name}"),
        given => format!("{given}/{name}"),
    };
    if *part == "**" {
        gather(folder, given, rest, found)?;
    } else if !is_pattern(part) {
        let next = folder.join(part);
        if rest.is_empty() {
            if is_file(&next)? {
                found.push(ListedJob { given: named(part), path: next });
            }
            return Ok(());
        }
        return if next.is_dir() { gather(&next, &named(part), rest, found) } else { Ok(()) };
    }
    let failed = |error| (folder.to_owned(), error);
    for entry in fs::read_dir(here).map_err(failed)? {
        let entry = entry.map_err(failed)?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let next = folder.join(entry.file_name());
        if *part == "**" {
            // A link to a folder above would never end.
            let is_folder = entry.file_type().map_err(failed)?.is_dir();
            if is_folder && !name.starts_with('.') {
                gather(&next, &named(&name), parts, found)?;
            }
        } else if fits(part, &name) {
            if !rest.is_empty() {
                if next.is_dir() {
                    gather(&next, &named(&name), rest, found)?;
                }
            } else if name != EFFECTIVE_JOB_FILE && is_file(&next)? {
                found.push(ListedJob { given: named(&name), path: next });
            }
        }
    }
    Ok(())
}

/// Whether there is a file; a folder that does not let itself be looked into is an error, so that no
/// field goes missing without a word.
fn is_file(path: &Path) -> Result<bool, (PathBuf, std::io::Error)> {
    match fs::metadata(path) {
        Ok(found) => Ok(found.is_file()),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err((path.to_owned(), error)),
    }
}

/// Whether a name fits one part of a pattern. Hidden names only fit a part that begins with a point.
fn fits(part: &str, name: &str) -> bool {
    let part: Vec<char> = part.chars().collect();
    let name: Vec<char> = name.chars().collect();
    if name.first() == Some(&'.') && part.first() != Some(&'.') {
        return false;
    }
    // `reached[at]` says whether the part so far can stand for the first `at` characters.
    let mut reached = vec![false; name.len() + 1];
    reached[0] = true;
    for sign in part {
        let before = reached.clone();
        for at in 0..=name.len() {
            let last = at.checked_sub(1);
            reached[at] = match sign {
                '*' => before[at] || last.is_some_and(|last| reached[last]),
                '?' => last.is_some_and(|last| before[last]),
                sign => last.is_some_and(|last| before[last] && name[last] == sign),
            };
        }
    }
    reached[name.len()]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inputs::read_fields_file;

    fn listed(files: &[&str], jobs: &str) -> Result<ListedJobs, String> {
        let place = tempfile::tempdir().unwrap();
        for file in files {
            let path = place.path().join(file);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, "").unwrap();
        }
        let path = place.path().join("fields.toml");
        fs::write(&path, format!("units = \"us\"\njobs = [{jobs}]\n")).unwrap();
        let (fields, _) = read_fields_file(&path).unwrap();
        list_jobs(&path, &fields).map_err(|refusal| refusal.to_string())
    }

    fn given(files: &[&str], jobs: &str) -> Vec<String> {
        listed(files, jobs).unwrap().jobs.into_iter().map(|job| job.given).collect()
    }

    #[test]
    fn patterns_find_files_in_the_order_of_their_paths() {
        let files = ["b.toml", "a.toml", "x/job.toml", "x/y/job.toml", "x/y/z.csv", "z/c1.toml"];
        assert_eq!(given(&files, "\"*.toml\""), ["a.toml", "b.toml"]);
        assert_eq!(given(&files, "\"**/job.toml\""), ["x/job.toml", "x/y/job.toml"]);
        assert_eq!(given(&files, "\"*/job.toml\", \"z/c?.toml\""), ["x/job.toml", "z/c1.toml"]);
        assert_eq!(given(&files, "\"x/**/*\""), ["x/job.toml", "x/y/job.toml", "x/y/z.csv"]);
        assert_eq!(given(&files, "\"b.toml\", \"none.toml\""), ["b.toml", "none.toml"]);
        assert_eq!(given(&files, "\"./x/*.toml\""), ["./x/job.toml"]);
    }

    #[test]
    fn results_hidden_files_and_the_list_itself_are_no_jobs() {
        let files = ["a.toml", ".b.toml", "out/a/job.effective.toml", ".out.x1/new/c.toml"];
        assert_eq!(given(&files, "\"**/*.toml\""), ["a.toml"]);
        assert_eq!(given(&files, "\".*.toml\""), [".b.toml"]);
    }

    #[test]
    fn a_job_that_is_named_twice_counts_once_and_is_told() {
        let told = listed(&["a.toml", "x/b.toml"], "\"*.toml\", \"x/../a.toml\"").unwrap();
        assert_eq!(told.jobs.len(), 1);
        let said = told.findings[0].to_string();
        assert!(said.contains("line 2") && said.contains("`x/../a.toml` is named twice"), "{said}");
    }

    #[test]
    fn what_finds_nothing_is_refused_with_its_line() {
        for (jobs, part) in [
            ("\"a.toml\", \"n*.toml\"", "line 2, character 19: no job file is found by `n*.toml`"),
            ("\"f*.toml\"", "no job file is found"),
            ("\"none/*.toml\"", "cannot be read"),
            ("\"fields.toml\"", "the list names itself"),
            ("\"**\"", "no job file is found"),
        ] {
            let said = listed(&["a.toml"], jobs).unwrap_err();
            assert!(said.contains(part), "{jobs}: {said}");
        }
    }

    /// A link that leads to itself, as a folder that nobody may look into, cannot be looked up.
    #[cfg(unix)]
    #[test]
    fn a_job_that_cannot_be_looked_up_is_refused_and_not_left_out() {
        let place = tempfile::tempdir().unwrap();
        let path = place.path().join("fields.toml");
        fs::write(&path, "jobs = [\"*/job.toml\"]\n").unwrap();
        for field in ["a", "b"] {
            fs::create_dir(place.path().join(field)).unwrap();
        }
        fs::write(place.path().join("a/job.toml"), "").unwrap();
        let (fields, _) = read_fields_file(&path).unwrap();
        assert_eq!(list_jobs(&path, &fields).unwrap().jobs.len(), 1);
        std::os::unix::fs::symlink("job.toml", place.path().join("b/job.toml")).unwrap();
        let said = list_jobs(&path, &fields).unwrap_err().to_string();
        assert!(said.contains("b/job.toml` cannot be read") && said.contains("line 1"), "{said}");
    }

    #[test]
    fn a_star_stands_for_any_part_of_a_name() {
        for (part, name, expected) in [
            ("*", "a", true),
            ("*", ".a", false),
            ("a*b*c", "axxbyyc", true),
            ("a*b*c", "axxbyy", false),
            ("?.toml", "é.toml", true),
            ("?.toml", ".toml", false),
            ("[a]*", "[a]b", true),
            ("", "", true),
        ] {
            assert_eq!(fits(part, name), expected, "{part} {name}");
        }
    }
}
