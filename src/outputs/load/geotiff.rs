//! Grids of a load map as `GeoTIFF` (OGC 19-008r4, *OGC `GeoTIFF` Standard*, version 1.1, 2019): north
//! up, WGS 84 degrees, one band of 32-bit floating point numbers each.

use std::io::Cursor;

use tiff::encoder::{Compression, DeflateLevel, TiffEncoder, colortype::Gray32Float};
use tiff::tags::Tag;

use super::grid::{GridSize, LoadGrid};
use super::names::{ColumnNames, need_number};
use super::{ExportFile, LoadArea, LoadMap};

/// What stands outside the field. Nothing spread is 0, which is another thing.
const NO_DATA: f32 = -9999.0;

/// Model type geographic, cells as areas, WGS 84, degrees (OGC 19-008r4, annex B).
const GEO_KEYS: [u16; 20] =
    [1, 1, 0, 4, 1024, 0, 1, 2, 1025, 0, 1, 1, 2048, 0, 1, 4326, 2054, 0, 1, 9102];

/// The grid of the rates.
///
/// # Errors
/// Returns the encoder's words.
pub(super) fn rate_grid(map: &LoadMap, stem: &str, size: GridSize) -> Result<ExportFile, String> {
    let name = ColumnNames::of(map.unit).rate;
    let grid = LoadGrid::over(&map.areas, size);
    band(map, &grid, stem, name, |area| map.unit.number(map.areas[area].rate))
}

/// The grids of pH and need, which may vary inside an area of one rate.
///
/// # Errors
/// Returns the encoder's words.
pub(super) fn soil_grids(
    map: &LoadMap,
    stem: &str,
    size: GridSize,
) -> Result<Vec<ExportFile>, String> {
    let names = ColumnNames::of(map.unit);
    let cells: &[LoadArea] = map.cells.as_deref().unwrap_or(&map.areas);
    let grid = LoadGrid::over(cells, size);
    Ok(vec![
        band(map, &grid, stem, names.ph, |cell| cells[cell].ph)?,
        band(map, &grid, stem, names.need, |cell| need_number(map.unit, cells[cell].need))?,
    ])
}

fn band(
    map: &LoadMap,
    grid: &LoadGrid,
    stem: &str,
    name: &str,
    value: impl Fn(usize) -> f64,
) -> Result<ExportFile, String> {
    let value = |area: Option<usize>| area.map_or(NO_DATA, |area| value(area) as f32);
    let mut numbers = Vec::with_capacity(grid.columns * grid.rows);
    // The first row of an image is its northernmost.
    for row in (0..grid.rows).rev() {
        numbers.extend(grid.row(row).map(&value));
    }
    let about = format!("{name}; {}", map.label.in_ascii());
    let bytes = encoded(grid, &numbers, &about).map_err(|error| error.to_string())?;
    Ok(ExportFile { name: format!("{stem}_{name}.tif"), bytes })
}

fn encoded(grid: &LoadGrid, numbers: &[f32], about: &str) -> tiff::TiffResult<Vec<u8>> {
    let beyond = |_| tiff::TiffError::IntSizeError;
    let [west, south, east, north] = grid.box_e7.map(|e7| f64::from(e7) / 1e7);
    let scale = [(east - west) / grid.columns as f64, (north - south) / grid.rows as f64, 0.0];
    let mut out = Cursor::new(Vec::new());
    let mut encoder =
        TiffEncoder::new(&mut out)?.with_compression(Compression::Deflate(DeflateLevel::Balanced));
    let (columns, rows) =
        (u32::try_from(grid.columns).map_err(beyond)?, u32::try_from(grid.rows).map_err(beyond)?);
    let mut image = encoder.new_image::<Gray32Float>(columns, rows)?;
    let tags = image.encoder();
    tags.write_tag(Tag::ImageDescription, about)?;
    tags.write_tag(Tag::ModelPixelScaleTag, scale.as_slice())?;
    tags.write_tag(Tag::ModelTiepointTag, [0.0, 0.0, 0.0, west, north, 0.0].as_slice())?;
    tags.write_tag(Tag::GeoKeyDirectoryTag, GEO_KEYS.as_slice())?;
    tags.write_tag(Tag::GdalNodata, format!("{NO_DATA}").as_str())?;
    image.write_data(numbers)?;
    Ok(out.into_inner())
}
