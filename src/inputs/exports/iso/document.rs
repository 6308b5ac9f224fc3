//! The XML of a main file, and of the files that it refers to, as a stream of elements.

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

use super::element::Element;
use super::faults::Faults;
use super::model::{Grid, GridKind, LonLatDeg, Rings, Task, TaskFile, TreatmentZone, Value};
use super::references;
use crate::findings::{Place, Problem, Refusal, clean};
use crate::inputs::xml_text::text_of;
use crate::units::LIMITS;

/// The outermost element of a main file, and of one that it refers to.
const ROOTS: [&str; 2] = ["ISO11783_TaskData", "XFC"];
/// The polygon type of a field's boundary, and the line types of the rings of a polygon.
const BOUNDARY: u8 = 1;
const OUTSIDE: u8 = 1;
const HOLE: u8 = 2;

/// Reads the document in `bytes`, named `name`, into `file`.
///
/// # Errors
/// Refuses what is not XML, ends before its elements are closed, or is no task data, with its line.
pub(super) fn read_document(
    bytes: &[u8],
    name: &str,
    file: &mut TaskFile,
    faults: &mut Faults,
) -> Result<(), Refusal> {
    let text = text_of(bytes, name)?;
    let mut reader = Reader::from_str(&text);
    let mut document = Document { file, faults, open: Vec::new(), parts: Parts::default() };
    // Lines are counted while the reader goes on, because each element has its place.
    let (mut line, mut counted) = (1, 0);
    loop {
        let event = reader.read_event();
        let at = usize::try_from(reader.buffer_position()).unwrap_or(text.len()).min(text.len());
        line += text.as_bytes()[counted..at].split(|&byte| byte == b'\n').count() - 1;
        counted = at;
        let place = Place { line: Some(line), ..Place::in_file(name) };
        let step = match event {
            Ok(Event::Eof) => break,
            Ok(Event::Start(start)) => document.open(&start, &place),
            Ok(Event::Empty(start)) => document.open(&start, &place).map(|()| document.close()),
            Ok(Event::End(_)) => {
                document.close();
                Ok(())
            }
            Ok(_) => Ok(()),
            Err(error) => Err(format!("it is not XML: {error}")),
        };
        step.map_err(|what| refuse(place, &what))?;
    }
    let place = Place { line: Some(line), ..Place::in_file(name) };
    if let Some(inner) = document.open.last() {
        let what = format!("it ends before its element {} is closed", clean(inner));
        return Err(refuse(place, &what).into());
    }
    if !document.parts.root {
        return Err(refuse(place, "it has no elements").into());
    }
    Ok(())
}

fn refuse(place: Place, what: &str) -> Problem {
    Problem::at(place, format!("the task data cannot be read: {}", clean(what)))
        .allowed("XML whose outermost element is ISO11783_TaskData, as ISO 11783-10 describes it")
        .hint("copy the files once more from where they were made; this one may have been cut off")
}

struct Document<'f> {
    file: &'f mut TaskFile,
    faults: &'f mut Faults,
    /// The names of the open elements.
    open: Vec<String>,
    parts: Parts,
}

/// What is open.
#[derive(Default)]
struct Parts {
    root: bool,
    field: Option<(String, Vec<Rings>)>,
    task: Option<Task>,
    zone: Option<TreatmentZone>,
    polygon: Option<Polygon>,
    ring: Option<Ring>,
}

struct Polygon {
    kind: Option<u8>,
    outer: Vec<Vec<LonLatDeg>>,
    holes: Vec<Vec<LonLatDeg>>,
    place: Place,
}

struct Ring {
    kind: Option<u8>,
    points: Vec<LonLatDeg>,
    /// Whether one of its points could not be read.
    broken: bool,
}

impl Document<'_> {
    fn open(&mut self, start: &BytesStart<'_>, place: &Place) -> Result<(), String> {
        let element = Element::read(start, place.clone(), self.faults)?;
        let outer = self.open.last().cloned();
        let outer = outer.as_deref().unwrap_or_default();
        if outer.is_empty() {
            if self.parts.root || !ROOTS.contains(&element.name.as_str()) {
                let name = clean(&element.name);
                return Err(format!("its outermost element is {name}, not {}", ROOTS[0]));
            }
            self.parts.root = true;
        }
        if self.open.len() >= LIMITS.nesting {
            return Err(format!("its elements are nested more than {} deep", LIMITS.nesting));
        }
        references::note(&element, self.file, self.faults);
        if element.name != "PNT" {
            self.file.kept += 1;
            if self.file.kept > LIMITS.features {
                return Err(format!("it has more than {} elements", LIMITS.features));
            }
        }
        self.begin(&element, outer);
        self.open.push(element.name);
        Ok(())
    }

    fn begin(&mut self, element: &Element, outer: &str) {
        let faults = &mut *self.faults;
        let parts = &mut self.parts;
        match element.name.as_str() {
            "PDT" => {
                if let (Some(id), Some(name)) = (element.owned("A"), element.owned("B")) {
                    self.file.products.insert(id, name);
                }
            }
            "PFD" => parts.field = element.owned("A").map(|id| (id, Vec::new())),
            "TSK" => parts.task = Some(task(element, faults)),
            "TZN" if parts.task.is_some() => parts.zone = Some(zone(element, faults)),
            "PDV" if outer == "TZN" => {
                if let Some(zone) = &mut parts.zone {
                    zone.values.push(value(element, faults));
                }
            }
            "PDV" => {
                let text = "A PDV lies in another one: the mixture that it describes was not read.";
                faults.tell("iso_nested_variable", element.place.clone(), text);
            }
            "GRD" => {
                if let Some(task) = &mut parts.task {
                    match grid(element, faults) {
                        Some(grid) => task.grids.push(grid),
                        None => task.unread_grid = true,
                    }
                }
            }
            "PLN" => {
                let (outer, holes, place) = (Vec::new(), Vec::new(), element.place.clone());
                let kind = element.number("A", 0, u8::MAX, faults);
                parts.polygon = Some(Polygon { kind, outer, holes, place });
            }
            "LSG" if parts.polygon.is_some() => {
                let kind = element.number("A", 0, u8::MAX, faults);
                parts.ring = Some(Ring { kind, points: Vec::new(), broken: false });
            }
            "PNT" => {
                if let Some(ring) = &mut parts.ring {
                    ring.add(element, faults);
                }
            }
            "XFR" => {
                if let Some(stem) = element.owned("A") {
                    self.file.external.push((stem, element.place.clone()));
                }
            }
            _ => {}
        }
    }

    fn close(&mut self) {
        let Some(name) = self.open.pop() else { return };
        let parts = &mut self.parts;
        match name.as_str() {
            "LSG" => {
                if let (Some(ring), Some(polygon)) = (parts.ring.take(), &mut parts.polygon) {
                    polygon.add(ring, self.faults);
                }
            }
            "PLN" => {
                let Some(polygon) = parts.polygon.take() else { return };
                let boundary = polygon.kind == Some(BOUNDARY);
                match self.open.last().map(String::as_str) {
                    Some("TZN") => {
                        if let Some(zone) = &mut parts.zone {
                            zone.polygons.extend(polygon.surfaces(self.faults));
                        }
                    }
                    Some("PFD") if boundary => {
                        if let Some((_, polygons)) = &mut parts.field {
                            polygons.extend(polygon.surfaces(self.faults));
                        }
                    }
                    _ => {}
                }
            }
            "PFD" => self.file.fields.extend(parts.field.take()),
            "TZN" => {
                if let (Some(zone), Some(task)) = (parts.zone.take(), &mut parts.task) {
                    task.zones.push(zone);
                }
            }
            "TSK" => self.file.tasks.extend(parts.task.take()),
            _ => {}
        }
    }
}

impl Ring {
    fn add(&mut self, element: &Element, faults: &mut Faults) {
        if element.get("J").is_some() {
            let text = "The points of a line lie in a binary file, which was not read.";
            faults.tell("iso_points_in_file", element.place.clone(), text);
        }
        let lat = element.number("C", -90.0, 90.0, faults);
        let lon = element.number("D", -180.0, 180.0, faults);
        match (lon, lat) {
            (Some(lon), Some(lat)) => self.points.push([lon, lat]),
            _ => self.broken = true,
        }
    }
}

impl Polygon {
    fn add(&mut self, ring: Ring, faults: &mut Faults) {
        let Ring { kind, mut points, broken } = ring;
        // Version 4 closes a ring by its first point; version 3 may leave it out.
        if points.len() > 1 && points.first() == points.last() {
            points.pop();
        }
        match kind {
            Some(OUTSIDE | HOLE) if broken || points.len() < 3 => {
                let text = "A ring of a polygon has fewer than three points that can be read; it \
                            was left out.";
                faults.tell("iso_broken_ring", self.place.clone(), text);
            }
            Some(OUTSIDE) => self.outer.push(points),
            Some(HOLE) => self.holes.push(points),
            _ => {}
        }
    }

    /// Its surfaces. Before version 4 a polygon could have several; a hole is then in the one that
    /// its first point lies in.
    fn surfaces(self, faults: &mut Faults) -> Vec<Rings> {
        let mut surfaces: Vec<Rings> = self.outer.into_iter().map(|ring| vec![ring]).collect();
        for hole in self.holes {
            let around = match surfaces.len() {
                0 => None,
                1 => Some(0),
                _ => surfaces.iter().position(|rings| super::inside::lies_in(hole[0], &rings[0])),
            };
            if let Some(at) = around {
                surfaces[at].push(hole);
            } else {
                let text = "A polygon has a hole that no outer ring is around; it was left out.";
                faults.tell("iso_broken_ring", self.place.clone(), text);
            }
        }
        surfaces
    }
}

fn task(element: &Element, faults: &mut Faults) -> Task {
    let mut code = |key: &str| element.number(key, 0, 254, faults);
    let (default, lost, out_of_field) = (code("H"), code("I"), code("J"));
    let special = [
        (default, "where no other holds"),
        (lost, "a lost position"),
        (out_of_field, "ground outside the field"),
    ];
    Task {
        id: element.owned("A").unwrap_or_else(|| "without identifier".to_owned()),
        name: element.owned("B"),
        field: element.owned("E"),
        special: special.into_iter().filter_map(|(code, words)| Some((code?, words))).collect(),
        out_of_field,
        zones: Vec::new(),
        grids: Vec::new(),
        unread_grid: false,
        place: element.place.clone(),
    }
}

fn zone(element: &Element, faults: &mut Faults) -> TreatmentZone {
    TreatmentZone {
        code: element.number("A", 0, 254, faults),
        values: Vec::new(),
        polygons: Vec::new(),
        place: element.place.clone(),
    }
}

fn value(element: &Element, faults: &mut Faults) -> Value {
    Value {
        ddi: element.get("A").and_then(|text| ddi(text, element, faults)),
        number: element.number("B", i32::MIN, i32::MAX, faults),
        product: element.owned("C"),
        device: element.owned("D"),
        place: element.place.clone(),
    }
}

/// An entity of the data dictionary, which is written in four hexadecimal digits.
fn ddi(text: &str, element: &Element, faults: &mut Faults) -> Option<u16> {
    let hexadecimal = text.bytes().all(|byte| byte.is_ascii_hexdigit());
    let number = if hexadecimal { u16::from_str_radix(text, 16).ok() } else { None };
    if text.len() != 4 || number.is_none() {
        let taken = match number {
            Some(number) => format!("it was taken for {number:04X}"),
            None => "its value was not read".to_owned(),
        };
        let text = format!(
            "The DDI of a variable is `{}`, not four hexadecimal digits; {taken}.",
            clean(text)
        );
        faults.tell("iso_ddi", element.place.clone(), text);
    }
    number
}

fn grid(element: &Element, faults: &mut Faults) -> Option<Grid> {
    let latitude = element.number("A", -90.0, 90.0, faults);
    let longitude = element.number("B", -180.0, 180.0, faults);
    // The schema has cells from 0 to 1 degree; those of 0 have no ground.
    let mut size = |key: &str| element.number(key, f64::MIN_POSITIVE, 1.0, faults);
    let (cell_lat_deg, cell_lon_deg) = (size("C"), size("D"));
    let mut count = |key: &str| element.number(key, 1, u32::MAX, faults);
    let (columns, rows) = (count("E"), count("F"));
    let kind = match element.number("I", 1, 2, faults)? {
        1 => GridKind::Codes,
        _ => GridKind::Values(element.number("J", 0, 254, faults)),
    };
    Some(Grid {
        south_deg: latitude?,
        west_deg: longitude?,
        cell_lat_deg: cell_lat_deg?,
        cell_lon_deg: cell_lon_deg?,
        columns: columns?,
        rows: rows?,
        file: element.owned("G")?,
        bytes: element.number("H", 0, u64::from(u32::MAX), faults),
        kind,
        place: element.place.clone(),
    })
}
