//! The rate map as GeoJSON (RFC 7946): longitude and latitude, right-hand rings, seven decimals.

use std::io::{self, Write};

use rayon::prelude::*;

use super::number::write_e7;
use super::rate_map_keys::{Keys, ReadingKeys};
use crate::agronomy::SoilRisk;
use crate::field::{Cell, Cells, PieceRings, Shape, Vertex};
use crate::machine::Limit;
use crate::prescription::ValueColumns;
use crate::units::{SoilValue, UnitSystem};

/// Whose numbers the needs are, where that must be known.
pub(super) const CAVEAT: &str = "caveat";
/// The name of a cell.
pub(super) const CELL: &str = "cell";
/// The sample zone.
pub(super) const SAMPLE_ZONE: &str = "sample_zone";
/// Soil pH.
pub(super) const PH: &str = "ph";
/// Buffer pH.
pub(super) const BUFFER_PH: &str = "buffer_ph";
/// Texture class of the soil.
pub(super) const TEXTURE: &str = "texture";
/// What the machine did.
pub(super) const LIMIT: &str = "limit";
/// Where the reading lay beyond the method's rows.
pub(super) const TABLE_LIMIT: &str = "table_limit";
/// Where the cell lies to the samples' hull.
pub(super) const SAMPLES: &str = "samples";
/// What the soil puts at risk.
pub(super) const RISK: &str = "risk";
/// The words of [`SAMPLES`]: within the hull, and on or beyond it.
pub(super) const SAMPLES_WORDS: [&str; 2] = ["inside", "outside"];

/// The property names of a rate map in one system of units; a name ends in its unit.
#[derive(Debug)]
pub struct MapUnits {
    pub(super) area: &'static str,
    pub(super) need: &'static str,
    pub(super) rate: &'static str,
    pub(super) product: &'static str,
    pub(super) unmet: &'static str,
}

impl MapUnits {
    /// The names of `system`.
    pub fn of(system: UnitSystem) -> Self {
        match system {
            UnitSystem::Us => Self {
                area: "area_ac",
                need: "need_ton_ac",
                rate: "rate_ton_ac",
                product: "product_ton",
                unmet: "unmet_need_ton_ac",
            },
            UnitSystem::Metric => Self {
                area: "area_ha",
                need: "need_t_ha",
                rate: "rate_t_ha",
                product: "product_t",
                unmet: "unmet_need_t_ha",
            },
        }
    }
}

/// Beyond which end of a method's rows a reading lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TableLimit {
    /// Beyond none.
    None,
    /// Below the lowest.
    Below,
    /// Above the highest.
    Above,
}

impl TableLimit {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::None, Self::Below, Self::Above];

    /// As the rate map writes it.
    pub fn words(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Below => "below",
            Self::Above => "above",
        }
    }
}

/// The property names of one of several layers of soil.
#[derive(Debug)]
pub struct LayerNames {
    pub(super) ph: String,
    pub(super) buffer_ph: String,
    pub(super) values: Vec<String>,
    pub(super) texture: String,
    pub(super) need: String,
    pub(super) table_limit: String,
}

impl LayerNames {
    /// The names of the layer from a depth in words, such as `0-6 in`.
    ///
    /// `values` are the names of the soil's values without a layer, as [`value_name`] has them.
    pub fn of(depth: &str, units: &MapUnits, values: &[String]) -> Self {
        Self::with_key(&depth.replace(['-', ' '], "_").replace('.', "p"), units, values)
    }

    /// The names with `key` for the depth.
    pub(super) fn with_key(key: &str, units: &MapUnits, values: &[String]) -> Self {
        // A name ends in the unit of its value.
        let before_unit = |name: &str, stem: &str| format!("{stem}_{key}{}", &name[stem.len()..]);
        Self {
            ph: format!("{PH}_{key}"),
            buffer_ph: format!("{BUFFER_PH}_{key}"),
            values: values
                .iter()
                .map(|name| {
                    let known = SoilValue::ALL.map(SoilValue::key);
                    let stem = known.into_iter().filter(|stem| name.starts_with(stem));
                    before_unit(name, stem.max_by_key(|stem| stem.len()).unwrap_or(name))
                })
                .collect(),
            texture: format!("{TEXTURE}_{key}"),
            need: before_unit(units.need, "need"),
            table_limit: format!("{TABLE_LIMIT}_{key}"),
        }
    }
}

/// The name of a value of the soil: its key and its unit, such as `cec_meq_100g`.
pub fn value_name(value: SoilValue, unit: &str) -> String {
    let unit = match unit {
        "%" => "pct".to_owned(),
        unit => unit.replace("100 ", "100").replace(['/', ' '], "_").to_lowercase(),
    };
    format!("{}_{unit}", value.key())
}

/// What a map says of one layer of the soil of a cell.
#[derive(Clone, Copy, Debug)]
pub struct MapLayer<'a> {
    /// Soil pH, in the medium that it was measured in.
    pub ph: f64,
    /// Buffer pH.
    pub buffer_ph: Option<f64>,
    /// What else is known of the layer in every cell, as reported.
    pub values: &'a ValueColumns,
    /// The number of this cell.
    pub cell: usize,
    /// What the layer needs.
    pub need: f64,
    /// Beyond which end of the method's rows its reading lies.
    pub table_limit: TableLimit,
}

/// What a map says of one cell, in the units of the map.
#[derive(Clone, Copy, Debug)]
pub struct MapCell<'a> {
    /// Its sample zone, where the samples are of zones; `None` where it lies in none.
    pub zone: Option<&'a str>,
    /// Its area.
    pub area: f64,
    /// What it needs.
    pub need: f64,
    /// The rate that it gets.
    pub rate: f64,
    /// The product that it gets.
    pub product: f64,
    /// The part of the need that is left out.
    pub unmet: f64,
    /// What the machine did.
    pub limit: Limit,
    /// Whether it lies on or beyond the samples' hull.
    pub beyond: bool,
    /// What its soil puts at risk, where that is told.
    pub risk: Option<SoilRisk>,
}

/// Tells what a map says of its cells, so that of a large field no list of it is held.
#[derive(Clone, Copy)]
pub struct MapValues<'a> {
    /// What it says of a cell.
    pub of_cell: &'a (dyn Fn(usize) -> MapCell<'a> + Sync),
    /// How many layers of soil there are; at least one.
    pub layers: usize,
    /// What it says of a cell and a layer of it, counted from the top down.
    pub of_layer: &'a (dyn Fn(usize, usize) -> MapLayer<'a> + Sync),
}

/// Which columns a map has beyond those of every map.
#[derive(Clone, Copy, Debug)]
pub struct MapColumns<'a> {
    /// Whose numbers the needs are, where that must be known.
    pub caveat: Option<&'a str>,
    /// Buffer pH.
    pub buffer: bool,
    /// Sample zones.
    pub zones: bool,
    /// The names of the soil's values, in the order of [`MapLayer::values`].
    pub values: &'a [String],
    /// The layers of soil, from the top down; empty where there is one.
    pub layers: &'a [LayerNames],
}

/// Cells that one thread writes at a time; it changes nothing but speed. Their text stays in the
/// processor's cache until it is hashed and written.
const CELLS_AT_A_TIME: usize = 256;
/// Bytes that one cell takes, about.
const BYTES_PER_CELL: usize = 640;

/// Writes the map: one feature for each cell, in the order of the cells.
///
/// # Errors
/// Returns the error of `out`.
pub fn write_rate_map(
    out: &mut dyn Write,
    cells: &Cells,
    values: MapValues<'_>,
    with: MapColumns<'_>,
    units: &MapUnits,
) -> io::Result<()> {
    let corners = Corners::format(cells);
    let keys = &Keys::of(with, units);
    out.write_all(&map_head(bounding_box(cells), with.caveat))?;
    let write_features = |text: &mut Vec<u8>, first: usize, cells: &[Cell]| {
        text.clear();
        let mut layers = Vec::with_capacity(values.layers);
        for (at, cell) in (first..).zip(cells) {
            layers.clear();
            layers.extend((0..values.layers).map(|layer| (values.of_layer)(at, layer)));
            write_feature(text, cell, (&(values.of_cell)(at), &layers), with, keys);
            corners.write_shape(text, &cell.shape);
            text.extend_from_slice(b"},\n");
        }
    };
    // A batch is written while the next is still cells, so that memory stays flat; each takes the
    // room of the one before.
    let threads = rayon::current_num_threads();
    let batch = CELLS_AT_A_TIME * threads;
    let room = || Vec::with_capacity(CELLS_AT_A_TIME.min(cells.list.len()) * BYTES_PER_CELL);
    let mut texts: Vec<Vec<u8>> = (0..threads).map(|_| room()).collect();
    let mut done = 0;
    for cells_of_batch in cells.list.chunks(batch) {
        texts.par_iter_mut().zip(cells_of_batch.par_chunks(CELLS_AT_A_TIME)).enumerate().for_each(
            |(index, (text, cells))| {
                write_features(text, done + index * CELLS_AT_A_TIME, cells);
            },
        );
        done += cells_of_batch.len();
        let count = cells_of_batch.len().div_ceil(CELLS_AT_A_TIME);
        for (index, text) in texts[..count].iter().enumerate() {
            let last = done == cells.list.len() && index + 1 == count;
            // No comma stands behind the last feature.
            out.write_all(if last { &text[..text.len() - 2] } else { text })?;
        }
    }
    out.write_all(b"\n]}\n")
}

/// A map up to its first feature.
pub(super) fn map_head(around: [i32; 4], caveat: Option<&str>) -> Vec<u8> {
    let mut head = b"{\"type\":\"FeatureCollection\",".to_vec();
    if let Some(caveat) = caveat {
        for part in ["\"", CAVEAT, "\":"] {
            head.extend_from_slice(part.as_bytes());
        }
        write_text(&mut head, caveat);
        head.push(b',');
    }
    head.extend_from_slice(b"\"bbox\":[");
    for (index, e7) in around.into_iter().enumerate() {
        if index > 0 {
            head.push(b',');
        }
        write_e7(&mut head, e7);
    }
    head.extend_from_slice(b"],\"features\":[\n");
    head
}

/// A feature up to its geometry.
fn write_feature(
    out: &mut Vec<u8>,
    cell: &Cell,
    (value, layers): (&MapCell<'_>, &[MapLayer<'_>]),
    with: MapColumns<'_>,
    keys: &Keys,
) {
    out.extend_from_slice(&keys.start);
    let mut digits = itoa::Buffer::new();
    out.extend_from_slice(digits.format(cell.row).as_bytes());
    out.push(b'-');
    out.extend_from_slice(digits.format(cell.column).as_bytes());
    if cell.part > 0 {
        out.extend_from_slice(cell.letters().as_bytes());
    }
    out.push(b'"');
    if with.zones {
        out.extend_from_slice(&keys.zone.0);
        match value.zone {
            Some(name) => write_text(out, name),
            None => out.extend_from_slice(b"null"),
        }
    }
    keys.area.write(out, value.area);
    write_readings(out, &layers[0], with.buffer, &keys.readings);
    for (layer, keys) in layers.iter().zip(&keys.layers) {
        write_readings(out, layer, with.buffer, &keys.readings);
        keys.need.write(out, layer.need);
        keys.table_limit.write_word(out, layer.table_limit.words());
    }
    keys.need.write(out, value.need);
    keys.rate.write(out, value.rate);
    keys.product.write(out, value.product);
    keys.unmet.write(out, value.unmet);
    // Of several layers the topmost one that lies beyond the rows tells.
    let limits = layers.iter().map(|layer| layer.table_limit);
    let beyond_rows = limits.into_iter().find(|limit| *limit != TableLimit::None);
    keys.limit.write_word(out, value.limit.words());
    keys.table_limit.write_word(out, beyond_rows.unwrap_or(TableLimit::None).words());
    keys.samples.write_word(out, SAMPLES_WORDS[usize::from(value.beyond)]);
    if let Some(risk) = value.risk {
        keys.risk.write_word(out, risk.words());
    }
    out.extend_from_slice(b"},\"geometry\":");
}

/// What was read of a layer.
fn write_readings(out: &mut Vec<u8>, layer: &MapLayer<'_>, buffer: bool, keys: &ReadingKeys) {
    keys.ph.write(out, layer.ph);
    match layer.buffer_ph {
        Some(reading) => keys.buffer_ph.write(out, reading),
        None if buffer => {
            out.extend_from_slice(&keys.buffer_ph.0);
            out.extend_from_slice(b"null");
        }
        None => {}
    }
    for (key, (_, numbers)) in keys.values.iter().zip(&layer.values.numbers) {
        key.write(out, numbers[layer.cell]);
    }
    if let Some(classes) = &layer.values.textures {
        keys.texture.write_word(out, classes[layer.cell].words());
    }
}

/// A text as JSON has it.
pub(super) fn write_text(out: &mut Vec<u8>, text: &str) {
    // A text can be written as JSON, and into a vector.
    out.extend_from_slice(serde_json::Value::from(text).to_string().as_bytes());
}

/// Room for a corner with a comma behind it, and for the length of that at its end.
const CORNER_ROOM: usize = 32;

/// Every corner as text, made once; a corner stands in up to four cells. Each has the same room, so
/// that all of it is copied in one piece, which is quicker than to copy as much as there is.
pub(super) struct Corners(Vec<[u8; CORNER_ROOM]>);

impl Corners {
    pub(super) fn format(cells: &Cells) -> Self {
        let mut text = Vec::with_capacity(CORNER_ROOM);
        let of_vertex = |vertex: &Vertex| {
            text.clear();
            text.push(b'[');
            write_e7(&mut text, vertex.lon_e7);
            text.push(b',');
            write_e7(&mut text, vertex.lat_e7);
            text.extend_from_slice(b"],");
            let mut room = [0; CORNER_ROOM];
            room[..text.len()].copy_from_slice(&text);
            room[CORNER_ROOM - 1] = text.len() as u8;
            room
        };
        Self(cells.vertices.iter().map(of_vertex).collect())
    }

    /// A corner with a comma behind it.
    fn write_corner(&self, out: &mut Vec<u8>, vertex: u32) {
        let room = &self.0[vertex as usize];
        let end = out.len() + usize::from(room[CORNER_ROOM - 1]);
        out.extend_from_slice(room);
        out.truncate(end);
    }

    fn write_shape(&self, out: &mut Vec<u8>, shape: &Shape) {
        match shape {
            Shape::Whole(corners) => {
                out.extend_from_slice(b"{\"type\":\"Polygon\",\"coordinates\":[");
                self.write_ring(out, corners);
                out.extend_from_slice(b"]}");
            }
            Shape::Cut(pieces) => self.write_pieces(out, pieces),
        }
    }

    pub(super) fn write_pieces(&self, out: &mut Vec<u8>, pieces: &[PieceRings]) {
        if let [piece] = pieces {
            out.extend_from_slice(b"{\"type\":\"Polygon\",\"coordinates\":");
            self.write_piece(out, piece);
            out.push(b'}');
            return;
        }
        out.extend_from_slice(b"{\"type\":\"MultiPolygon\",\"coordinates\":[");
        for (index, piece) in pieces.iter().enumerate() {
            if index > 0 {
                out.push(b',');
            }
            self.write_piece(out, piece);
        }
        out.extend_from_slice(b"]}");
    }

    fn write_piece(&self, out: &mut Vec<u8>, piece: &PieceRings) {
        out.push(b'[');
        for (index, ring) in piece.rings().enumerate() {
            if index > 0 {
                out.push(b',');
            }
            self.write_ring(out, ring);
        }
        out.push(b']');
    }

    /// A ring of corners, closed by its first.
    fn write_ring(&self, out: &mut Vec<u8>, ring: &[u32]) {
        out.push(b'[');
        for &vertex in ring.iter().chain(ring.first()) {
            self.write_corner(out, vertex);
        }
        // No comma stands behind the last one.
        if out.last() == Some(&b',') {
            out.pop();
        }
        out.push(b']');
    }
}

/// West, south, east, north of the cells; corners of the grid that no cell has do not count.
fn bounding_box(cells: &Cells) -> [i32; 4] {
    cells.list.iter().fold(NOWHERE, |bounds, cell| match &cell.shape {
        Shape::Whole(corners) => widened(bounds, cells, corners),
        Shape::Cut(pieces) => {
            pieces.iter().fold(bounds, |bounds, piece| widened(bounds, cells, &piece.outer))
        }
    })
}

/// The same of rings of vertices of the cells.
pub(super) fn box_around<'r>(
    cells: &Cells,
    rings: impl IntoIterator<Item = &'r [u32]>,
) -> [i32; 4] {
    rings.into_iter().fold(NOWHERE, |bounds, ring| widened(bounds, cells, ring))
}

/// The box that holds nothing.
const NOWHERE: [i32; 4] = [i32::MAX, i32::MAX, i32::MIN, i32::MIN];

fn widened(bounds: [i32; 4], cells: &Cells, ring: &[u32]) -> [i32; 4] {
    ring.iter().fold(bounds, |[west, south, east, north], &corner| {
        let vertex = &cells.vertices[corner as usize];
        [
            west.min(vertex.lon_e7),
            south.min(vertex.lat_e7),
            east.max(vertex.lon_e7),
            north.max(vertex.lat_e7),
        ]
    })
}
