//! Files that lie together, in a folder or an archive, found by names in any capitals.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::archive::Archive;
use super::choose::{choose_layer, listed, stem_of};
use super::format::{ALLOWED, extension_of};
use super::model::MapFile;
use super::read::Wanted;
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::open::{InputFile, list_folder, read_bytes};
use crate::units::LIMITS;

/// Extensions of files that hold features by themselves.
const MAPS: &[&str] = &["shp", "geojson", "kml", "gpkg", "parquet", "geoparquet"];
/// The member that a packed KML file is read from where it holds several.
const MAIN_KML: &str = "doc.kml";

/// A folder or an archive of files.
#[derive(Debug)]
pub(in crate::inputs) struct Bundle {
    /// The folder or archive, as the user named it.
    shown: String,
    path: PathBuf,
    role: &'static str,
    /// The names of the files in it, sorted; what operating systems add is left out.
    members: Vec<String>,
    /// What operating systems added, sorted.
    litter: Vec<String>,
    held: Held,
}

/// Where the members of a bundle are.
#[derive(Debug)]
enum Held {
    Folder,
    Archive(Archive),
    Memory(BTreeMap<String, Vec<u8>>),
}

impl Bundle {
    /// The files that lie in a folder.
    ///
    /// # Errors
    /// Refuses a folder that cannot be read.
    pub(in crate::inputs) fn of_folder(
        path: &Path,
        given: &str,
        role: &'static str,
    ) -> Result<Self, Refusal> {
        let (litter, members) =
            list_folder(path, given, role)?.into_iter().partition(|name| is_litter(name));
        Ok(Self {
            shown: given.trim_end_matches(['/', '\\']).to_owned(),
            path: path.to_owned(),
            role,
            members,
            litter,
            held: Held::Folder,
        })
    }

    /// Adds the files of a folder in this one.
    ///
    /// # Errors
    /// Refuses a folder that cannot be read.
    pub(in crate::inputs) fn add_folder(&mut self, inner: &str) -> Result<(), Refusal> {
        let given = format!("{}/{inner}", self.shown);
        for name in list_folder(&self.path.join(inner), &given, self.role)? {
            let name = format!("{inner}/{name}");
            if is_litter(&name) { &mut self.litter } else { &mut self.members }.push(name);
        }
        Ok(())
    }

    /// The files that are packed in an archive.
    ///
    /// # Errors
    /// Refuses an archive that cannot be read or is beyond the limits.
    pub(in crate::inputs) fn of_archive(file: MapFile) -> Result<Self, Refusal> {
        let MapFile { name, path, role, bytes } = file;
        let archive = Archive::open(bytes, &Place::in_file(&name))?;
        let (litter, members) =
            archive.names().map(str::to_owned).partition(|name| is_litter(name));
        Ok(Self { shown: name, path, role, members, litter, held: Held::Archive(archive) })
    }

    /// Files that are not on the disk yet.
    pub(in crate::inputs) fn of_memory(
        files: BTreeMap<String, Vec<u8>>,
        role: &'static str,
    ) -> Self {
        Self {
            shown: String::new(),
            path: PathBuf::new(),
            role,
            members: files.keys().cloned().collect(),
            litter: Vec::new(),
            held: Held::Memory(files),
        }
    }

    /// The names of its files, sorted; what operating systems add is left out.
    pub(in crate::inputs) fn members(&self) -> &[String] {
        &self.members
    }

    /// The names of the files that operating systems added.
    pub(in crate::inputs) fn litter(&self) -> &[String] {
        &self.litter
    }

    /// The member that holds the wanted layer, or the only one that can hold any.
    ///
    /// # Errors
    /// Refuses where there is none, and where there are several and none is named.
    pub(super) fn choose_map(&self, wanted: &Wanted) -> Result<String, Refusal> {
        let maps: Vec<&String> = self
            .members
            .iter()
            .filter(|name| MAPS.contains(&extension_of(name).as_str()))
            .collect();
        if maps.is_empty() {
            let what = if self.members.is_empty() {
                format!("the {} holds no file", self.kind())
            } else {
                format!("the {} holds no map file, but {}", self.kind(), listed(&self.members))
            };
            return Err(Problem::at(Place::in_file(&self.shown), what)
                .allowed(ALLOWED)
                .hint("check that it is the right one; all files of a shapefile belong together")
                .into());
        }
        if wanted.layer.is_none()
            && maps.iter().all(|name| extension_of(name) == "kml")
            && let Some(main) = maps.iter().find(|name| name.as_str() == MAIN_KML)
        {
            return Ok((*main).clone());
        }
        let stems: Vec<String> = maps.iter().map(|name| stem_of(name)).collect();
        let stem_is_enough = (1..stems.len()).all(|at| !stems[..at].contains(&stems[at]));
        let names =
            if stem_is_enough { stems } else { maps.iter().map(|&name| name.clone()).collect() };
        let chosen = choose_layer(&names, wanted, &self.shown)?;
        Ok(maps[chosen].clone())
    }

    /// The member beside `member` that has the same name with another extension: in the same
    /// capitals where there is one, else in any.
    pub(in crate::inputs) fn beside(&self, member: &str, extension: &str) -> Option<String> {
        let (folder, file) = member.rsplit_once('/').unwrap_or(("", member));
        let stem = stem_of(file);
        let exact = format!("{stem}.{extension}");
        let candidates = self.members.iter().filter_map(|name| {
            let (its_folder, its_file) = name.rsplit_once('/').unwrap_or(("", name));
            (its_folder == folder && its_file.eq_ignore_ascii_case(&exact))
                .then_some((name, its_file))
        });
        let mut candidates: Vec<_> = candidates.collect();
        candidates.sort_by_key(|(_, file)| !file.starts_with(&stem));
        candidates.first().map(|(name, _)| (*name).clone())
    }

    /// Reads a member; a file of a folder is added to `files`.
    ///
    /// # Errors
    /// Refuses a member that cannot be read or is too large.
    pub(in crate::inputs) fn read(
        &mut self,
        member: &str,
        files: &mut Vec<InputFile>,
    ) -> Result<MapFile, Refusal> {
        let name = if self.shown.is_empty() {
            member.to_owned()
        } else {
            format!("{}/{member}", self.shown)
        };
        let (path, bytes) = match &mut self.held {
            Held::Archive(archive) => {
                (self.path.clone(), archive.read(member, &Place::in_file(&name))?)
            }
            // A file that is not there is as one without a byte.
            Held::Memory(held) => (PathBuf::new(), held.remove(member).unwrap_or_default()),
            Held::Folder => {
                let path = self.path.join(member);
                let (bytes, input) = read_bytes(&path, &name, self.role, LIMITS.data_file_bytes)?;
                files.push(input);
                (path, bytes)
            }
        };
        Ok(MapFile { name, path, role: self.role, bytes })
    }

    /// Whether its members are packed.
    pub(in crate::inputs) fn is_archive(&self) -> bool {
        matches!(self.held, Held::Archive(_))
    }

    fn kind(&self) -> &'static str {
        if self.is_archive() { "archive" } else { "folder" }
    }
}

/// Whether a file is one of those that operating systems put beside the user's own.
fn is_litter(name: &str) -> bool {
    let file = name.rsplit('/').next().unwrap_or(name);
    file.starts_with("._") || file == ".DS_Store" || name.split('/').any(|part| part == "__MACOSX")
}
