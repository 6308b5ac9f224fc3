//! Reading ISO 11783-10 task data: the rate maps of its tasks, and what is wrong with the files.
//!
//! Elements and attributes are those of ISO 11783-10:2015, annex D, as the schema
//! `ISO11783_TaskFile_V4-3.xsd` of 2018-06-04 (isobus.net) has them. The coordinates are WGS 84.

mod document;
mod element;
mod faults;
mod grid;
mod inside;
mod model;
mod rates;
mod references;
#[cfg(test)]
mod tests;

use self::document::read_document;
use self::faults::Faults;
use self::model::TaskFile;
use self::rates::maps_of;
use super::{ExportFiles, ReadExport};
use crate::findings::{Place, Problem, Refusal, clean};

/// The name of the main file, in the letter case that it must have (ISO 11783-10:2015, 8.5).
const MAIN_FILE: &str = "TASKDATA.XML";

/// The main file among `names`, whatever its letter case: the one that lies least deep.
pub fn task_data_among<'n>(names: impl IntoIterator<Item = &'n str>) -> Option<&'n str> {
    let main = |name: &&str| !is_stray(name) && parts(name).1.eq_ignore_ascii_case(MAIN_FILE);
    names.into_iter().filter(main).min_by_key(|name| (name.matches('/').count(), *name))
}

/// Reads the task data among `files`. What a task spreads stands in `maps`, in mg/m2, one for each
/// product of each task. Of a grid, cells whose centre lies outside the boundary of the task's
/// field hold nothing, and nor do those of the zone for ground outside the field.
///
/// # Errors
/// Refuses files without task data, and a main file that is not XML of a task data file. All else
/// that is wrong is told among the faults.
pub fn read_iso(files: &mut dyn ExportFiles) -> Result<ReadExport, Refusal> {
    let names = files.names();
    let Some(main) = task_data_among(names.iter().map(String::as_str)) else {
        return Err(Problem::at(Place::default(), "there is no task data among the files")
            .allowed("a file TASKDATA.XML, by itself or in a folder TASKDATA")
            .hint("name the folder or the zip archive that holds the folder TASKDATA")
            .into());
    };
    let mut faults = Faults::default();
    tell_of_names(&names, main, &mut faults);
    let mut file = TaskFile::default();
    read_document(&files.bytes(main)?, main, &mut file, &mut faults)?;
    read_external(&names, main, &mut file, files, &mut faults)?;
    references::check(&file, &mut faults);
    let folder = Folder { path: parts(main).0, names: &names };
    let mut maps = Vec::new();
    let mut kinds = Vec::new();
    for task in &file.tasks {
        maps.extend(maps_of(task, &file, &folder, files, &mut faults, &mut kinds)?);
    }
    kinds.sort_unstable();
    kinds.dedup();
    let format = match kinds.as_slice() {
        [] => "ISO 11783-10".to_owned(),
        kinds => format!("ISO 11783-10, {}", kinds.join(" and ")),
    };
    Ok(ReadExport { format, maps, faults: faults.into_findings() })
}

/// The folder that task data lie in.
pub(super) struct Folder<'n> {
    /// With a slash at its end, or nothing.
    path: &'n str,
    names: &'n [String],
}

impl<'n> Folder<'n> {
    /// The file in the folder with this name in any letter case: the one that has it as it stands,
    /// else the first.
    fn find(&self, name: &str) -> Option<&'n str> {
        let here = |found: &&str| parts(found).0 == self.path;
        let alike = self.names.iter().map(String::as_str).filter(here);
        let alike: Vec<&str> =
            alike.filter(|found| parts(found).1.eq_ignore_ascii_case(name)).collect();
        alike.iter().find(|found| parts(found).1 == name).or(alike.first()).copied()
    }
}

/// The folder of a name with its slash, and the name in it.
fn parts(name: &str) -> (&str, &str) {
    name.split_at(name.rfind('/').map_or(0, |at| at + 1))
}

/// Left by a system that keeps its own notes beside the files of others.
fn is_stray(name: &str) -> bool {
    parts(name).1.starts_with("._") || name.split('/').any(|part| part == "__MACOSX")
}

fn tell_of_names(names: &[String], main: &str, faults: &mut Faults) {
    for name in names.iter().filter(|name| is_stray(name)) {
        let text = "It is not of the task data: a computer left it there. Some controllers stop at \
                    it; delete it.";
        faults.tell("iso_stray_file", Place::in_file(name.as_str()), text);
    }
    let again = |name: &&String| {
        name.as_str() != main && !is_stray(name) && parts(name).1.eq_ignore_ascii_case(MAIN_FILE)
    };
    for name in names.iter().filter(again) {
        let text = format!("It is another main file and was not read; {} was.", clean(main));
        faults.tell("iso_second_main_file", Place::in_file(name.as_str()), text);
    }
    let (folder, name) = parts(main);
    let within = folder.trim_end_matches('/').rsplit('/').next().unwrap_or_default();
    if name != MAIN_FILE {
        faults.tell_case(main, MAIN_FILE);
    }
    if within != "TASKDATA" && within.eq_ignore_ascii_case("TASKDATA") {
        faults.tell_case(within, "TASKDATA");
    }
}

/// Reads the files that the main one refers to.
fn read_external(
    names: &[String],
    main: &str,
    file: &mut TaskFile,
    files: &mut dyn ExportFiles,
    faults: &mut Faults,
) -> Result<(), Refusal> {
    let folder = Folder { path: parts(main).0, names };
    for (stem, place) in std::mem::take(&mut file.external) {
        let wanted = format!("{stem}.XML");
        let Some(found) = folder.find(&wanted) else {
            let text = format!(
                "It refers to a file {}, which is not there; what stands in it is missing.",
                clean(&wanted)
            );
            faults.tell("iso_external_file_missing", place, text);
            continue;
        };
        if parts(found).1 != wanted {
            faults.tell_case(found, &wanted);
        }
        read_document(&files.bytes(found)?, found, file, faults)?;
    }
    if let Some((_, place)) = file.external.first() {
        let text =
            "It refers to further files, which only the main file may do; they were not read.";
        faults.tell("iso_external_file_nested", place.clone(), text);
    }
    Ok(())
}
