//! Files that lie together, in a folder or an archive, found by names in any capitals.

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
pub(super) struct Bundle {
    /// The folder or archive, as the user named it.
    shown: String,
    path: PathBuf,
    role: &'static str,
    /// The names of the files in it, sorted; what operating systems add is left out.
    members: Vec<String>,
    archive: Option<Archive>,
}

impl Bundle {
    /// The files that lie in a folder.
    ///
    /// # Errors
    /// Refuses a folder that cannot be read.
    pub(super) fn of_folder(path: &Path, given: &str, role: &'static str) -> Result<Self, Refusal> {
        let members = list_folder(path, given, role)?;
        Ok(Self {
            shown: given.trim_end_matches(['/', '\\']).to_owned(),
            path: path.to_owned(),
            role,
            members: members.into_iter().filter(|name| !is_litter(name)).collect(),
            archive: None,
        })
    }

    /// The files that are packed in an archive.
    ///
    /// # Errors
    /// Refuses an archive that cannot be read or is beyond the limits.
    pub(super) fn of_archive(file: MapFile) -> Result<Self, Refusal> {
        let MapFile { name, path, role, bytes } = file;
        let archive = Archive::open(bytes, &Place::in_file(&name))?;
        let members = archive.names().filter(|name| !is_litter(name)).map(str::to_owned).collect();
        Ok(Self { shown: name, path, role, members, archive: Some(archive) })
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
    pub(super) fn beside(&self, member: &str, extension: &str) -> Option<String> {
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
    pub(super) fn read(
        &mut self,
        member: &str,
        files: &mut Vec<InputFile>,
    ) -> Result<MapFile, Refusal> {
        let name = if self.shown.is_empty() {
            member.to_owned()
        } else {
            format!("{}/{member}", self.shown)
        };
        let (path, bytes) = if let Some(archive) = &mut self.archive {
            (self.path.clone(), archive.read(member, &Place::in_file(&name))?)
        } else {
            let path = self.path.join(member);
            let (bytes, input) = read_bytes(&path, &name, self.role, LIMITS.data_file_bytes)?;
            files.push(input);
            (path, bytes)
        };
        Ok(MapFile { name, path, role: self.role, bytes })
    }

    /// Whether its members are packed.
    pub(super) fn is_archive(&self) -> bool {
        self.archive.is_some()
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
