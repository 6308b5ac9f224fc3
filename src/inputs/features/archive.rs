//! Zip archives, unpacked in memory and within limits; nothing is ever unpacked to the disk.

use std::io::{Cursor, Read};

use zip::ZipArchive;

use crate::findings::{Place, Problem, Refusal, clean};
use crate::units::LIMITS;

/// What starts the record that ends an archive, and where the count of entries stands in it: PKWARE,
/// .ZIP File Format Specification (APPNOTE.TXT), section 4.3.16 (from memory).
const END_RECORD: &[u8] = b"PK\x05\x06";
const END_RECORD_COUNT_AT: usize = 10;
/// The longest end record: 22 bytes and a comment of 65,535.
const END_RECORD_LONGEST: usize = 22 + 65_535;
/// A member of so many bytes or fewer may unpack at any ratio: blank columns pack very well (ours).
const HARMLESS_BYTES: u64 = 1 << 20;

/// An opened archive.
#[derive(Debug)]
pub(super) struct Archive {
    zip: ZipArchive<Cursor<Vec<u8>>>,
    /// The place of each member in the archive, by its name with forward slashes.
    members: Vec<(String, usize)>,
    /// Bytes that may still be unpacked.
    left: u64,
}

impl Archive {
    /// Opens an archive and lists its members.
    ///
    /// # Errors
    /// Refuses a damaged archive, one of too many entries, members of one name, and names that
    /// lead out of the archive.
    pub(super) fn open(bytes: Vec<u8>, place: &Place) -> Result<Self, Refusal> {
        refuse_many_entries(&bytes, place)?;
        let mut zip = ZipArchive::new(Cursor::new(bytes)).map_err(|e| damaged(place, &e))?;
        if zip.len() > LIMITS.archive_entries {
            return Err(too_many_entries(place));
        }
        let mut members = Vec::new();
        for index in 0..zip.len() {
            let entry = zip.by_index_raw(index).map_err(|e| damaged(place, &e))?;
            let name = entry.name().map_err(|e| damaged(place, &e))?.replace('\\', "/");
            if leads_out(&name) {
                let what = format!("a member of the archive is named `{}`", clean(&name));
                return Err(Problem::at(place.clone(), what)
                    .allowed(
                        "names that stay inside the archive: no `..`, no leading slash or drive",
                    )
                    .hint("do not trust the archive; ask for another one")
                    .into());
            }
            if entry.is_file() {
                members.push((name, index));
            }
        }
        members.sort();
        let twice = members.windows(2).find(|pair| pair[0].0 == pair[1].0);
        if let Some([(name, _), _]) = twice {
            let what = format!("the archive holds two members named `{}`", clean(name));
            return Err(Problem::at(place.clone(), what)
                .allowed("each name once")
                .hint("pack the files again")
                .into());
        }
        Ok(Self { zip, members, left: LIMITS.unpacked_bytes })
    }

    /// The names of the members, sorted.
    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        self.members.iter().map(|(name, _)| name.as_str())
    }

    /// The unpacked bytes of a member; none where there is no such member.
    ///
    /// # Errors
    /// Refuses a member that is damaged, encrypted or packed in a way that is not read, and one
    /// that unpacks to more than the limits allow.
    pub(super) fn read(&mut self, name: &str, place: &Place) -> Result<Vec<u8>, Refusal> {
        let Some(&(_, index)) = self.members.iter().find(|(member, _)| member == name) else {
            return Ok(Vec::new());
        };
        let entry = self.zip.by_index(index).map_err(|e| damaged(place, &e))?;
        let by_ratio = entry.compressed_size().saturating_mul(LIMITS.unpacked_ratio);
        let most = by_ratio.max(HARMLESS_BYTES).min(self.left);
        let mut bytes = Vec::new();
        entry.take(most + 1).read_to_end(&mut bytes).map_err(|e| damaged(place, &e))?;
        if bytes.len() as u64 > most {
            return Err(Problem::at(
                place.clone(),
                "the archive unpacks to more than this program takes on",
            )
            .allowed(format!(
                "{} bytes in all, and {} times the packed size of a member",
                LIMITS.unpacked_bytes, LIMITS.unpacked_ratio
            ))
            .hint("do not trust the archive; ask for another one")
            .into());
        }
        self.left -= bytes.len() as u64;
        Ok(bytes)
    }
}

/// The count in the end record is looked at before the archive is opened, because opening it takes
/// memory for each entry that it claims.
fn refuse_many_entries(bytes: &[u8], place: &Place) -> Result<(), Refusal> {
    let tail = &bytes[bytes.len().saturating_sub(END_RECORD_LONGEST)..];
    let record = tail.windows(END_RECORD.len()).rposition(|window| window == END_RECORD);
    let count =
        record.and_then(|at| tail.get(at + END_RECORD_COUNT_AT..at + END_RECORD_COUNT_AT + 2));
    match count {
        Some(&[low, high])
            if usize::from(u16::from_le_bytes([low, high])) > LIMITS.archive_entries =>
        {
            Err(too_many_entries(place))
        }
        _ => Ok(()),
    }
}

fn too_many_entries(place: &Place) -> Refusal {
    let what = format!("the archive holds more than {} entries", LIMITS.archive_entries);
    Problem::at(place.clone(), what)
        .allowed(format!("{} entries", LIMITS.archive_entries))
        .hint("pack only the files of the field")
        .into()
}

fn leads_out(name: &str) -> bool {
    name.starts_with('/')
        || name.as_bytes().get(1) == Some(&b':')
        || name.contains('\0')
        || name.split('/').any(|part| part == "..")
}

fn damaged(place: &Place, error: &dyn std::error::Error) -> Refusal {
    let what = format!("the archive cannot be read: {}", clean(&error.to_string()));
    Problem::at(place.clone(), what)
        .allowed("a zip archive without a password, stored or deflated")
        .hint("pack the files again, or name the unpacked file or folder")
        .into()
}
