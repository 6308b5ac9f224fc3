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
use super::{FoundExport, ReadExport};
use crate::findings::{Refusal, clean};
use crate::inputs::CoordinateSystem;
use crate::inputs::features::Bundle;

/// The folder and the name of the main file, in the letter case that they must have (ISO
/// 11783-10:2015, 8.5).
const FOLDER: &str = "TASKDATA";
const MAIN_FILE: &str = "TASKDATA.XML";

/// Whether a folder is that of task data, in any letter case.
pub(super) fn is_task_folder(name: &str) -> bool {
    name.eq_ignore_ascii_case(FOLDER)
}

/// Whether a member of a folder or archive is the main file of task data, in any letter case.
pub(super) fn is_main_file(member: &str) -> bool {
    parts(member).1.eq_ignore_ascii_case(MAIN_FILE)
}

/// Reads the task data whose main file is `main`. What a task spreads stands in its maps, in mg/m2,
/// one for each product of each task. Of a grid, cells whose centre lies outside the boundary of
/// the task's field hold nothing, and nor do those of the zone for ground outside the field.
///
/// # Errors
/// Refuses a main file that is not XML of a task data file, and files that cannot be read. All else
/// that is wrong is told among the faults.
pub(super) fn read_task_data(bundle: &mut Bundle, main: &str) -> Result<FoundExport, Refusal> {
    let mut faults = Faults::default();
    tell_of_names(main, &mut faults);
    let names = bundle.members().to_vec();
    let mut files = Files { folder: parts(main).0, names: &names, bundle };
    let mut file = TaskFile::default();
    let read = files.bundle.read(main, &mut Vec::new())?;
    read_document(&read.bytes, &read.name, &mut file, &mut faults)?;
    read_external(&mut file, &mut files, &mut faults)?;
    references::check(&file, &mut faults);
    let mut maps = Vec::new();
    let mut kinds = Vec::new();
    for task in &file.tasks {
        maps.extend(maps_of(task, &file, &mut files, &mut faults, &mut kinds)?);
    }
    kinds.sort_unstable();
    kinds.dedup();
    let format = match kinds.as_slice() {
        [] => "ISO 11783-10".to_owned(),
        kinds => format!("ISO 11783-10, {}", kinds.join(" and ")),
    };
    let export = ReadExport { format, maps, faults: faults.into_findings() };
    Ok(FoundExport { file: read.name, system: CoordinateSystem::Wgs84Degrees, export })
}

/// The files of the folder that task data lie in.
struct Files<'f> {
    /// With a slash at its end, or nothing.
    folder: &'f str,
    names: &'f [String],
    bundle: &'f mut Bundle,
}

impl<'f> Files<'f> {
    /// The file in the folder with this name in any letter case: the one that has it as it stands,
    /// else the first.
    fn find(&self, name: &str) -> Option<&'f str> {
        let here = |found: &&str| parts(found).0 == self.folder;
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

fn tell_of_names(main: &str, faults: &mut Faults) {
    let (folder, name) = parts(main);
    let folder = folder.trim_end_matches('/').rsplit('/').next().unwrap_or_default();
    if name != MAIN_FILE {
        faults.tell_case(name, MAIN_FILE);
    }
    if folder != FOLDER && is_task_folder(folder) {
        faults.tell_case(folder, FOLDER);
    }
}

/// Reads the files that the main one refers to.
fn read_external(
    file: &mut TaskFile,
    files: &mut Files<'_>,
    faults: &mut Faults,
) -> Result<(), Refusal> {
    for (stem, place) in std::mem::take(&mut file.external) {
        let wanted = format!("{stem}.XML");
        let Some(found) = files.find(&wanted) else {
            let text = format!(
                "It refers to a file {}, which is not there; what stands in it is missing.",
                clean(&wanted)
            );
            faults.tell("iso_external_file_missing", place, text);
            continue;
        };
        if parts(found).1 != wanted {
            faults.tell_case(parts(found).1, &wanted);
        }
        let read = files.bundle.read(found, &mut Vec::new())?;
        read_document(&read.bytes, &read.name, file, faults)?;
    }
    if let Some((_, place)) = file.external.first() {
        let text =
            "It refers to further files, which only the main file may do; they were not read.";
        faults.tell("iso_external_file_nested", place.clone(), text);
    }
    Ok(())
}
