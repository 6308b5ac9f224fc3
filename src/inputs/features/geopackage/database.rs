//! A stranger's SQLite database, opened so that nothing in it can act.
//!
//! It is read only and taken as unchanging, its schema is not trusted, triggers and changes to it are
//! switched off, and no view is asked. What bounds the work are the queries: each is one walk over one
//! plain table with a limit on its rows, and each page of a table holds at least one row; the bytes
//! of all values together are bounded here.

use std::path::Path;

use rusqlite::config::DbConfig;
use rusqlite::types::{Value, ValueRef};
use rusqlite::{Connection, OpenFlags, params_from_iter};

use crate::findings::{Place, Problem, Refusal, clean};
use crate::inputs::features::model::MapFile;
use crate::inputs::open::{has_content, read_bytes};
use crate::units::LIMITS;

/// What a database begins with (SQLite, "Database File Format", section 1.3).
pub(in crate::inputs::features) const MAGIC: &[u8] = b"SQLite format 3\0";
/// The header of a database; the places of what is read of it are from the same section.
const HEADER_BYTES: usize = 100;
/// Application numbers of a GeoPackage: since version 1.2, and of 1.0 and 1.1 (OGC 12-128r19,
/// clause 1.1.1).
const APPLICATIONS: [&[u8]; 3] = [b"GPKG", b"GP10", b"GP11"];

/// An opened database.
pub(super) struct Database {
    connection: Connection,
    file: String,
}

/// A column of a table.
pub(super) struct Column {
    pub(super) name: String,
    /// Its type as it was declared.
    pub(super) kind: String,
}

impl Database {
    /// Opens the database of a GeoPackage.
    ///
    /// # Errors
    /// Refuses a file that is none, is cut off, or has changes waiting beside it.
    pub(super) fn open(file: &MapFile) -> Result<Self, Refusal> {
        check_header(file)?;
        for ending in ["-wal", "-journal"] {
            if has_content(&file.path, ending) {
                let what = format!("there are changes to it in a file beside it (`…{ending}`)");
                return Err(Problem::at(Place::in_file(&file.name), what)
                    .allowed("a GeoPackage that no program has open")
                    .hint("close it in the program that uses it, or export the layer again")
                    .into());
            }
        }
        let database = |connection| Self { connection, file: file.name.clone() };
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
            | OpenFlags::SQLITE_OPEN_URI
            | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let opened = uri_of(&file.path).and_then(|uri| {
            let connection = Connection::open_with_flags(uri, flags).ok()?;
            harden(&connection).ok()?;
            Some(database(connection))
        });
        opened.ok_or_else(|| {
            Problem::at(Place::in_file(&file.name), "the database cannot be opened")
                .hint("copy it to a folder with a plain name, or export the layer again")
                .into()
        })
    }

    /// The file.
    pub(super) fn place(&self) -> Place {
        Place::in_file(&self.file)
    }

    /// Gives every row of the query to `take`.
    ///
    /// # Errors
    /// Refuses a damaged database, values of more bytes than the limits allow, and what `take`
    /// refuses.
    pub(super) fn each_row(
        &self,
        query: &str,
        parameters: &[Value],
        mut take: impl FnMut(&[ValueRef<'_>]) -> Result<(), Refusal>,
    ) -> Result<(), Refusal> {
        let damaged = |error| self.damaged(&error);
        let mut statement = self.connection.prepare(query).map_err(damaged)?;
        let columns = statement.column_count();
        let mut rows = statement.query(params_from_iter(parameters)).map_err(damaged)?;
        let mut left = LIMITS.unpacked_bytes;
        while let Some(row) = rows.next().map_err(damaged)? {
            let mut values = Vec::with_capacity(columns);
            for at in 0..columns {
                let value = row.get_ref(at).map_err(damaged)?;
                let bytes = match value {
                    ValueRef::Text(bytes) | ValueRef::Blob(bytes) => bytes.len(),
                    _ => 0,
                };
                left = left.checked_sub(bytes as u64).ok_or_else(|| self.too_much())?;
                values.push(value);
            }
            take(&values)?;
        }
        Ok(())
    }

    /// The plain columns of a table; computed ones are left out.
    ///
    /// # Errors
    /// Refuses a damaged database.
    pub(super) fn columns(&self, table: &str) -> Result<Vec<Column>, Refusal> {
        let text = |value: ValueRef<'_>| match value {
            ValueRef::Text(bytes) => String::from_utf8_lossy(bytes).into_owned(),
            _ => String::new(),
        };
        let mut columns = Vec::new();
        // Its columns: number, name, type, not null, default, key, and 0 for a plain one.
        self.each_row(&format!("PRAGMA table_xinfo({})", quoted(table)), &[], |row| {
            if row[6] == ValueRef::Integer(0) {
                columns.push(Column { name: text(row[1]), kind: text(row[2]) });
            }
            Ok(())
        })?;
        Ok(columns)
    }

    /// Refuses what is not there, and what is not stored but computed.
    ///
    /// # Errors
    /// As said.
    pub(super) fn refuse_unless_a_table(&self, table: &str) -> Result<(), Refusal> {
        let mut kind = None;
        // Only what is stored has a page that it begins on.
        let query = "SELECT type, rootpage > 0 FROM sqlite_master NOT INDEXED \
                     WHERE type IN ('table', 'view') AND lower(name) = lower(?1) LIMIT 1";
        self.each_row(query, &[table.to_owned().into()], |row| {
            let is_view = row[0] == ValueRef::Text(b"view");
            kind = Some((is_view, row[1] == ValueRef::Integer(1)));
            Ok(())
        })?;
        let name = clean(table);
        let what = match kind {
            Some((false, true)) => return Ok(()),
            Some((true, _)) => format!("`{name}` is a view, a query stored in the file"),
            Some((false, false)) => format!("`{name}` is a virtual table, computed when read"),
            None => format!("the GeoPackage lacks its table `{name}`"),
        };
        Err(Problem::at(self.place(), what)
            .allowed("tables; nothing in the file is run")
            .hint("export the layer again as a GeoPackage of its own")
            .into())
    }

    /// Refuses a file that is no longer what was read and hashed first.
    ///
    /// # Errors
    /// As said.
    pub(super) fn refuse_if_changed(self, file: &MapFile) -> Result<(), Refusal> {
        drop(self.connection);
        let (now, _) = read_bytes(&file.path, &file.name, file.role, LIMITS.data_file_bytes)?;
        if now == file.bytes {
            return Ok(());
        }
        Err(Problem::at(Place::in_file(&file.name), "the file was changed while it was read")
            .hint("close it in the program that uses it, and run again")
            .into())
    }

    fn damaged(&self, error: &rusqlite::Error) -> Refusal {
        let what = format!("the database cannot be read: {}", clean(&error.to_string()));
        Problem::at(self.place(), what)
            .allowed("an undamaged GeoPackage")
            .hint("copy or export it again")
            .into()
    }

    fn too_much(&self) -> Refusal {
        Problem::at(self.place(), "the layer holds more than this program takes on")
            .allowed(format!("{} bytes", LIMITS.unpacked_bytes))
            .hint("export only what belongs to the field")
            .into()
    }
}

/// A name for a query.
pub(super) fn quoted(name: &str) -> String {
    format!("\"{}\"", name.replace('"', "\"\""))
}

fn harden(connection: &Connection) -> rusqlite::Result<()> {
    for (config, on) in [
        (DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true),
        (DbConfig::SQLITE_DBCONFIG_ENABLE_TRIGGER, false),
    ] {
        connection.set_db_config(config, on)?;
    }
    connection.execute_batch(
        "PRAGMA trusted_schema = 0; PRAGMA query_only = 1; PRAGMA cell_size_check = 1; PRAGMA mmap_size = 0; \
         PRAGMA temp_store = 2;",
    )
}

fn check_header(file: &MapFile) -> Result<(), Refusal> {
    let refuse = |what: String, hint: &str| -> Result<(), Refusal> {
        Err(Problem::at(Place::in_file(&file.name), what)
            .allowed("a GeoPackage (OGC 12-128)")
            .hint(hint)
            .into())
    };
    let bytes = &file.bytes;
    let Some(header) = bytes.first_chunk::<HEADER_BYTES>().filter(|head| head.starts_with(MAGIC))
    else {
        let what = format!("the {} file is no GeoPackage: it is no SQLite database", file.role);
        return refuse(what, "check that it is the right file and was copied completely");
    };
    let whole = |at: usize| u32::from_be_bytes([at, at + 1, at + 2, at + 3].map(|at| header[at]));
    if !APPLICATIONS.contains(&&header[68..72]) {
        let what = format!("the {} file is an SQLite database, but no GeoPackage", file.role);
        return refuse(what, "export the layer as a GeoPackage");
    }
    // A page size of 65,536 does not fit and is written as 1.
    let page_bytes = match u16::from_be_bytes([header[16], header[17]]) {
        1 => 65_536,
        bytes => u64::from(bytes),
    };
    let stated = page_bytes * u64::from(whole(28));
    // Old writers left the count of pages as it was; then the two change counters differ.
    if whole(24) == whole(92) && stated > bytes.len() as u64 {
        let what = format!("the GeoPackage is cut off: {} of its {stated} bytes", bytes.len());
        return refuse(what, "copy or download it again");
    }
    Ok(())
}

/// The address by which SQLite takes the file as unchanging: it then locks nothing and writes
/// nothing beside it. None where the path is no text.
fn uri_of(path: &Path) -> Option<String> {
    let path = path.to_str()?;
    let path = if cfg!(windows) { path.replace('\\', "/") } else { path.to_owned() };
    let mut uri = String::from("file:");
    if path.starts_with('/') {
        uri.push_str("//");
    } else if cfg!(windows) && path.as_bytes().get(1) == Some(&b':') {
        uri.push_str("///");
    }
    for byte in path.bytes() {
        match byte {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'/' | b'.' | b'-' | b'_' | b':' => {
                uri.push(char::from(byte));
            }
            _ => {
                uri.push('%');
                for digit in [byte >> 4, byte & 15] {
                    uri.extend(char::from_digit(u32::from(digit), 16));
                }
            }
        }
    }
    uri.push_str("?immutable=1");
    Some(uri)
}
