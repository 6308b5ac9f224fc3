//! Rates in the cells of a `GeoTIFF` (OGC 19-008r4, *OGC `GeoTIFF` Standard*, version 1.1, 2019).

use std::io::Cursor;

use tiff::decoder::{Decoder, DecodingResult, Limits};
use tiff::tags::Tag;

use super::open::FoundExport;
use super::rates::{ExportAsked, is_rate};
use super::vector::not_wgs84;
use super::{ReadExport, ReadGrid, ReadGround, ReadMap};
use crate::findings::{Finding, Place, Problem, Refusal, clean};
use crate::inputs::CoordinateSystem;
use crate::inputs::features::{MapFile, system_named};
use crate::units::{LIMITS, counted};

/// Bytes that the lists in the head of a file may take, such as the places of its strips.
const MOST_HEAD_BYTES: usize = 16 << 20;

type Source = Decoder<Cursor<Vec<u8>>>;

/// Where the grid lies: its north-west corner, and the sides of a cell.
struct Lies {
    west: f64,
    north: f64,
    width: f64,
    height: f64,
}

/// Reads a grid of one band.
pub(super) fn read_geotiff(file: MapFile, asked: &ExportAsked) -> Result<FoundExport, Refusal> {
    let MapFile { name: given, bytes, .. } = file;
    let place = Place::in_file(&given);
    let damaged = |error: tiff::TiffError| -> Refusal {
        let what = format!("the GeoTIFF cannot be read: {}", clean(&error.to_string()));
        Problem::at(place.clone(), what)
            .allowed("one band, not compressed or by deflate, LZW or PackBits")
            .hint("copy or export it again")
            .into()
    };
    let refused = |what: &str, allowed: &str| -> Refusal {
        Problem::at(place.clone(), what)
            .allowed(allowed)
            .hint("export it again with its coordinate system, north up, the rates alone")
            .into()
    };
    let mut limits = Limits::default();
    limits.decoding_buffer_size = LIMITS.raster_cells.saturating_mul(8);
    limits.intermediate_buffer_size = limits.decoding_buffer_size;
    limits.ifd_value_size = MOST_HEAD_BYTES;
    let mut source = Decoder::new(Cursor::new(bytes)).map_err(damaged)?.with_limits(limits);
    let (columns, rows) = source.dimensions().map_err(damaged)?;
    let (columns, rows) = (columns as usize, rows as usize);
    let cells = columns.checked_mul(rows).filter(|&cells| cells <= LIMITS.raster_cells);
    let Some(cells) = cells.filter(|&cells| cells > 0) else {
        let what = format!("the grid has {columns} by {rows} cells");
        return Err(refused(&what, &format!("1 to {} cells", LIMITS.raster_cells)));
    };
    let bands = source.find_tag_unsigned::<u16>(Tag::SamplesPerPixel).map_err(damaged)?;
    if bands.unwrap_or(1) != 1 {
        return Err(refused("the grid has several bands", "one band, that of the rates"));
    }
    let lies = lies(&mut source)
        .map_err(damaged)?
        .ok_or_else(|| refused("the grid does not say where it lies", "north up, sides stated"))?;
    let system = system(&mut source)
        .map_err(damaged)?
        .ok_or_else(|| refused("the grid names no coordinate system", "one with an EPSG number"))?;
    let declared = ascii(&mut source, Tag::GdalNodata).and_then(|text| text.parse::<f64>().ok());
    let about = ascii(&mut source, Tag::ImageDescription).unwrap_or_default();
    let numbers = numbers(source.read_image().map_err(damaged)?);
    if numbers.len() != cells {
        return Err(refused("the grid has another number of cells than it says", "a whole file"));
    }
    // What is declared has more digits than a cell of 32 bits.
    let is_no_data = |number: f64| {
        declared.is_some_and(|none| {
            (none as f32).total_cmp(&(number as f32)).is_eq() || (none.is_nan() && number.is_nan())
        })
    };
    let mut rates = Vec::with_capacity(cells);
    // An image starts in the north.
    for row in numbers.chunks_exact(columns).rev() {
        rates.extend(row.iter().map(|&n| Some(n).filter(|n| n.is_finite() && !is_no_data(*n))));
    }
    let no_numbers = numbers.iter().filter(|n| !n.is_finite() && !is_no_data(**n)).count();
    let name = name_of(&about, &given);
    let mut faults = cell_faults(&name, declared, no_numbers, &place);
    faults.extend(not_wgs84(&system, &place));
    // What says by its name that it is something else has no unit of a rate.
    let unit = if is_rate(&name) || asked.unit.is_some() { asked.unit_of(&name) } else { None };
    let grid = ReadGrid {
        west_deg: lies.west,
        south_deg: lies.north - lies.height * rows as f64,
        cell_lon_deg: lies.width,
        cell_lat_deg: lies.height,
        columns,
        rows,
        rates,
    };
    let maps = vec![ReadMap { name, unit, ground: ReadGround::Grid(grid) }];
    let export = ReadExport { format: "GeoTIFF".to_owned(), maps, faults };
    Ok(FoundExport { file: given, system, export })
}

/// What is wrong with the cells of the map `name`: with what stands for no data in them, and with
/// `no_numbers` of them.
fn cell_faults(
    name: &str,
    declared: Option<f64>,
    no_numbers: usize,
    place: &Place,
) -> Vec<Finding> {
    let mut faults = Vec::new();
    let mut tell = |key, text: String| faults.push(Finding::at(key, place.clone(), text));
    match declared {
        None => {
            let text = "It does not declare what stands for no data, so that what lies outside the \
                        field may be read as a rate.";
            tell("no_data_not_declared", text.to_owned());
        }
        Some(0.0) if is_rate(name) => {
            let text = "It declares that 0 stands for no data, so that ground with the rate 0 is \
                        read as ground without a rate. Declare a number below 0 instead.";
            tell("no_data_is_zero", text.to_owned());
        }
        Some(_) => {}
    }
    if no_numbers > 0 {
        let cells = counted(no_numbers as u64, "cell", "cells");
        let text = format!(
            "In {cells} stands no finite number (NaN or infinite), and not what it declares to \
             stand for no data; they were read as ground without a rate."
        );
        tell("cells_without_numbers", text);
    }
    faults
}

/// The first word of the description where that is a name with a unit, else the file's own name.
fn name_of(about: &str, file: &str) -> String {
    let first = about.split(';').next().unwrap_or_default().trim();
    let is_name = !first.is_empty() && first.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
    if is_name { first.to_owned() } else { crate::inputs::features::stem_of(file) }
}

fn ascii(source: &mut Source, tag: Tag) -> Option<String> {
    let text = source.get_tag_ascii_string(tag).ok()?;
    Some(text.trim_end_matches('\0').trim().to_owned())
}

/// Where the grid lies; `None` where it does not say or is not north up.
fn lies(source: &mut Source) -> tiff::TiffResult<Option<Lies>> {
    let mut list = |tag| match source.find_tag(tag)? {
        Some(value) => value.into_f64_vec().map(Some),
        None => Ok(None),
    };
    let scale = list(Tag::ModelPixelScaleTag)?;
    let tie = list(Tag::ModelTiepointTag)?;
    let matrix = list(Tag::ModelTransformationTag)?;
    let found = match (scale.as_deref(), tie.as_deref(), matrix.as_deref()) {
        (Some([width, height, ..]), Some([i, j, _, x, y, ..]), _) => {
            Some([x - i * width, y + j * height, *width, *height])
        }
        (_, _, Some([width, skew, _, x, other_skew, height, _, y, ..]))
            if *skew == 0.0 && *other_skew == 0.0 =>
        {
            Some([*x, *y, *width, -*height])
        }
        _ => None,
    };
    let Some([mut west, mut north, width, height]) = found else { return Ok(None) };
    if geo_key(source, 1025)? == Some(2) {
        // Numbers of points: the tie is the middle of a cell.
        west -= width / 2.0;
        north += height / 2.0;
    }
    let all = [west, north, width, height];
    let usable = all.iter().all(|number| number.is_finite()) && width > 0.0 && height > 0.0;
    Ok(usable.then_some(Lies { west, north, width, height }))
}

/// The coordinate system: that of a projected model, else that of a geographic one.
fn system(source: &mut Source) -> tiff::TiffResult<Option<CoordinateSystem>> {
    let key = if geo_key(source, 1024)? == Some(1) { 3072 } else { 2048 };
    // 32767 stands for a system of the user's own.
    let code = geo_key(source, key)?.filter(|&code| code > 0 && code != 32_767);
    Ok(code.map(|code| system_named(&format!("EPSG:{code}"))))
}

/// The value of a key that stands in the directory itself.
fn geo_key(source: &mut Source, wanted: u16) -> tiff::TiffResult<Option<u16>> {
    let Some(directory) = source.find_tag_unsigned_vec::<u16>(Tag::GeoKeyDirectoryTag)? else {
        return Ok(None);
    };
    let keys = directory.chunks_exact(4).skip(1);
    let found = keys.filter(|key| key[0] == wanted && key[1] == 0 && key[2] == 1);
    Ok(found.map(|key| key[3]).next())
}

fn numbers(decoded: DecodingResult) -> Vec<f64> {
    fn wide<T: Into<f64>>(list: Vec<T>) -> Vec<f64> {
        list.into_iter().map(Into::into).collect()
    }
    match decoded {
        DecodingResult::U8(list) => wide(list),
        DecodingResult::U16(list) => wide(list),
        DecodingResult::U32(list) => wide(list),
        DecodingResult::I8(list) => wide(list),
        DecodingResult::I16(list) => wide(list),
        DecodingResult::I32(list) => wide(list),
        DecodingResult::F16(list) => list.into_iter().map(f64::from).collect(),
        DecodingResult::F32(list) => wide(list),
        DecodingResult::F64(list) => list,
        DecodingResult::U64(list) => list.into_iter().map(|number| number as f64).collect(),
        DecodingResult::I64(list) => list.into_iter().map(|number| number as f64).collect(),
    }
}
