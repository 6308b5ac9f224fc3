//! Reading KML (OGC 07-147r2, KML 2.2): placemarks with their names, extended data and geometry.
//!
//! The document is read as a stream of tags with a stack of our own, so that no nesting can
//! exhaust the program's; entities beyond those of XML itself are refused, not expanded.

use std::collections::BTreeMap;

use quick_xml::Reader;
use quick_xml::events::{BytesRef, BytesStart, Event};

use super::choose::the_only_layer;
use super::kml_placemark::Placemark;
use super::model::{Feature, MapFile, OwnSystem, Parsed};
use super::read::Wanted;
use crate::findings::{Finding, Place, Problem, Refusal, clean};
use crate::inputs::CoordinateSystem;
use crate::inputs::xml_text::{line_at, text_of};
use crate::units::LIMITS;

/// Columns that every file has: the placemark's name, and that of the folder it lies in.
const NAME: &str = "name";
const FOLDER: &str = "folder";
/// Elements with a geometry of their own that is no place on the ground.
const NOT_READ: &[&str] = &["Model", "Track", "MultiTrack"];

/// Reads all placemarks of a KML file. Heights are left out.
///
/// # Errors
/// Refuses what is not KML, unknown entities, too deep nesting, and geometry that is incomplete,
/// each with its line.
pub(super) fn read_kml(file: &MapFile, wanted: &Wanted) -> Result<Parsed, Refusal> {
    the_only_layer(&file.name, wanted)?;
    let text = text_of(&file.bytes, &file.name)?;
    let mut document = Document::new(file);
    let mut reader = Reader::from_str(&text);
    loop {
        let event = reader.read_event();
        let at = reader.buffer_position();
        let step = match event {
            Ok(Event::Eof) => break,
            Ok(Event::Start(start)) => document.open(&start),
            Ok(Event::Empty(start)) => document.open(&start).and_then(|()| document.close()),
            Ok(Event::End(_)) => document.close(),
            Ok(Event::Text(text)) => {
                document.text.push_str(&text.into_inner());
                Ok(())
            }
            Ok(Event::CData(text)) => {
                document.text.push_str(&text.into_inner());
                Ok(())
            }
            Ok(Event::GeneralRef(entity)) => document.resolve(&entity),
            Ok(Event::Comment(_) | Event::Decl(_) | Event::PI(_) | Event::DocType(_)) => Ok(()),
            Err(error) => {
                let line = line_at(&text, reader.error_position());
                return Err(document.refuse(line, &format!("it is not XML: {error}")).into());
            }
        };
        step.map_err(|what| document.refuse(line_at(&text, at), &what))?;
    }
    document.finish(line_at(&text, text.len() as u64))
}

/// What was read of the document so far.
struct Document<'f> {
    file: &'f MapFile,
    /// The names of the open elements, without prefixes.
    open: Vec<String>,
    /// The text of the innermost open element.
    text: String,
    /// The open folders with their names.
    folders: Vec<(usize, String)>,
    /// The column that the open `Data` or `SimpleData` is of.
    key: Option<String>,
    placemark: Option<Placemark>,
    columns: Vec<String>,
    by_name: BTreeMap<String, usize>,
    features: Vec<Placemark>,
    not_read: usize,
    links: usize,
}

impl<'f> Document<'f> {
    fn new(file: &'f MapFile) -> Self {
        let columns = [NAME, FOLDER].map(str::to_owned);
        Self {
            file,
            open: Vec::new(),
            text: String::new(),
            folders: Vec::new(),
            key: None,
            placemark: None,
            by_name: columns.iter().cloned().zip(0..).collect(),
            columns: columns.to_vec(),
            features: Vec::new(),
            not_read: 0,
            links: 0,
        }
    }

    fn open(&mut self, start: &BytesStart<'_>) -> Result<(), String> {
        let local = start.local_name();
        let name: &str = local.as_ref();
        if self.open.is_empty() && name != "kml" {
            return Err(format!("its outermost element is `{}`, not `kml`", clean(name)));
        }
        if self.open.len() >= LIMITS.nesting {
            return Err(format!("its elements are nested more than {} deep", LIMITS.nesting));
        }
        self.text.clear();
        match name {
            "Placemark" if self.placemark.is_some() => {
                return Err("a placemark lies in another one".into());
            }
            "Placemark" => {
                let number = self.features.len() + 1;
                if number > LIMITS.features {
                    return Err(format!("it holds more than {} placemarks", LIMITS.features));
                }
                self.placemark = Some(Placemark::new(number));
            }
            "Data" | "SimpleData" => {
                let key = start.try_get_attribute("name").map_err(|error| error.to_string())?;
                let key = key.map(|key| {
                    key.normalized_value(quick_xml::XmlVersion::Implicit1_0)
                        .map(std::borrow::Cow::into_owned)
                });
                self.key = key.transpose().map_err(|error| error.to_string())?;
            }
            "NetworkLink" => self.links += 1,
            _ => {}
        }
        if let Some(placemark) = &mut self.placemark {
            placemark.open(name)?;
            if NOT_READ.contains(&name)
                && self.open.last().is_none_or(|outer| outer != "MultiTrack")
            {
                self.not_read += 1;
            }
        }
        self.open.push(name.to_owned());
        Ok(())
    }

    fn close(&mut self) -> Result<(), String> {
        let Some(name) = self.open.pop() else { return Ok(()) };
        let text = std::mem::take(&mut self.text);
        let outer = self.open.last().map_or("", String::as_str);
        match (name.as_str(), outer) {
            ("name", "Placemark") => self.attribute(0, &text),
            ("name", "Folder") => self.folders.push((self.open.len(), text.trim().to_owned())),
            ("SimpleData", _) | ("value", "Data") => {
                if let Some(key) = self.key.take() {
                    let column = self.column(&key)?;
                    self.attribute(column, &text);
                }
            }
            ("Placemark", _) => {
                if let Some(placemark) = self.placemark.take() {
                    self.features.push(placemark);
                    let folder = self.folders.last().map(|(_, name)| name.clone());
                    if let (Some(folder), Some(placemark)) = (folder, self.features.last_mut()) {
                        placemark.attributes.push((1, folder));
                    }
                }
            }
            ("Folder", _) => self.folders.retain(|&(depth, _)| depth <= self.open.len()),
            _ => {}
        }
        match &mut self.placemark {
            Some(placemark) => placemark.close(&name, &self.open, &text),
            None => Ok(()),
        }
    }

    fn resolve(&mut self, entity: &BytesRef<'_>) -> Result<(), String> {
        let of_xml = || quick_xml::escape::resolve_predefined_entity(entity);
        match entity.resolve_char_ref() {
            Ok(Some(character)) => self.text.push(character),
            Ok(None) => match of_xml() {
                Some(text) => self.text.push_str(text),
                None => return Err(format!("the entity `&{};` is not known", clean(entity))),
            },
            Err(error) => return Err(format!("it is not XML: {error}")),
        }
        Ok(())
    }

    /// The number of the column named so, which is added where it is new.
    fn column(&mut self, name: &str) -> Result<usize, String> {
        if let Some(&at) = self.by_name.get(name) {
            return Ok(at);
        }
        if self.columns.len() >= LIMITS.columns {
            return Err(format!("it has more than {} columns of extended data", LIMITS.columns));
        }
        self.columns.push(name.to_owned());
        self.by_name.insert(name.to_owned(), self.columns.len() - 1);
        Ok(self.columns.len() - 1)
    }

    fn attribute(&mut self, column: usize, text: &str) {
        if let Some(placemark) = &mut self.placemark {
            placemark.attributes.push((column, text.trim().to_owned()));
        }
    }

    fn refuse(&self, line: usize, what: &str) -> Problem {
        let place = Place { line: Some(line), ..Place::in_file(&self.file.name) };
        Problem::at(place, format!("the {} cannot be read as KML: {}", self.file.role, clean(what)))
            .allowed(format!(
                "KML 2.2: placemarks with points, lines and polygons, positions as \
                 longitude,latitude, nested at most {} deep",
                LIMITS.nesting
            ))
            .hint("export it again as KML, or as GeoJSON")
    }

    fn finish(self, last_line: usize) -> Result<Parsed, Refusal> {
        if !self.open.is_empty() {
            return Err(self.refuse(last_line, "it ends before its elements are closed").into());
        }
        let place = Place::in_file(&self.file.name);
        if self.features.is_empty() {
            let what = match self.links {
                0 => "it holds no placemark",
                _ => "it holds no placemark, only links to other files",
            };
            return Err(self.refuse(last_line, what).into());
        }
        super::choose::refuse_too_many_attributes(self.features.len(), self.columns.len(), &place)?;
        let mut findings = Vec::new();
        let mut tell = |count: usize, what: &str| {
            if count > 0 {
                let text = format!("{count} {what} of the file were left out.");
                findings.push(Finding::at("kml_parts_left_out", place.clone(), text));
            }
        };
        tell(self.not_read, "tracks and models");
        tell(self.links, "links to other files");
        let columns = self.columns.len();
        let features = self.features.into_iter().map(|placemark| placemark.into_feature(columns));
        Ok(Parsed {
            file: self.file.name.clone(),
            system: OwnSystem::Named(CoordinateSystem::Wgs84Degrees),
            columns: self.columns,
            features: features.collect::<Vec<Feature>>(),
            findings,
        })
    }
}
