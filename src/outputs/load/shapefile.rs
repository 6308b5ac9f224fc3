//! A load map as a shapefile (ESRI Shapefile Technical Description, Environmental Systems Research
//! Institute, 1998): shapes, index, table, coordinate system and code page.

use super::dbf::{DbfColumn, DbfValues, dbf_bytes};
use super::names::{ColumnNames, area_number, need_number, product_number, rate_decimals};
use super::{ExportFile, LoadArea, LoadMap, RingE7};

const FILE_CODE: i32 = 9994;
const VERSION: i32 = 1000;
const POLYGON: i32 = 5;
const HEADER_BYTES: usize = 100;

/// WGS 84 degrees in the words that `.prj` files have them in (OGC 01-009, *Coordinate
/// Transformation Services*, 2001; names as that vendor's files write them).
const WGS84_PRJ: &str = "GEOGCS[\"GCS_WGS_1984\",DATUM[\"D_WGS_1984\",SPHEROID[\"WGS_1984\",6378137.0,298.257223563]],PRIMEM[\"Greenwich\",0.0],UNIT[\"Degree\",0.0174532925199433]]";

/// The five files of the shapefile `stem`, the shapes first.
///
/// # Errors
/// Returns what does not fit into a shapefile.
pub(super) fn shapefile_files(map: &LoadMap, stem: &str) -> Result<Vec<ExportFile>, String> {
    let (shp, shx) = shapes(&map.areas)?;
    let file = |ending: &str, bytes| ExportFile { name: format!("{stem}.{ending}"), bytes };
    Ok(vec![
        file("shp", shp),
        file("shx", shx),
        file("dbf", table(map)?),
        file("prj", WGS84_PRJ.as_bytes().to_vec()),
        file("cpg", b"UTF-8".to_vec()),
    ])
}

/// One row an area; the rate comes first, because that is what many controllers look for.
fn table(map: &LoadMap) -> Result<Vec<u8>, String> {
    let (unit, areas) = (map.unit, &map.areas);
    let names = ColumnNames::short(unit);
    let column = |name, decimals, of: &dyn Fn(&LoadArea) -> f64| DbfColumn {
        name,
        values: DbfValues::Numbers(areas.iter().map(of).collect(), decimals),
    };
    let columns = [
        column(names.rate, rate_decimals(unit), &|area| unit.number(area.rate)),
        column(names.area, 6, &|area| area_number(unit, area.area)),
        column(names.product, 6, &|area| product_number(unit, area.product)),
        column(names.ph, 3, &|area| area.ph),
        column(names.need, 5, &|area| need_number(unit, area.need)),
        DbfColumn {
            name: "name",
            values: DbfValues::Texts(areas.iter().map(|area| area.name.as_str()).collect()),
        },
    ];
    dbf_bytes(&columns, map.label.date.as_deref().unwrap_or_default())
}

/// The shapes and their index.
fn shapes(areas: &[LoadArea]) -> Result<(Vec<u8>, Vec<u8>), String> {
    let mut bounds = Bounds::default();
    let (mut shp, mut shx) = (vec![0; HEADER_BYTES], vec![0; HEADER_BYTES]);
    for (index, area) in areas.iter().enumerate() {
        let content = polygon(area, &mut bounds)?;
        let words = in_words(content.len())?;
        shx.extend(in_words(shp.len())?.to_be_bytes());
        shx.extend(words.to_be_bytes());
        shp.extend(whole(index + 1)?.to_be_bytes());
        shp.extend(words.to_be_bytes());
        shp.extend(content);
    }
    for file in [&mut shp, &mut shx] {
        let words = in_words(file.len())?;
        file[..4].copy_from_slice(&FILE_CODE.to_be_bytes());
        file[24..28].copy_from_slice(&words.to_be_bytes());
        file[28..32].copy_from_slice(&VERSION.to_le_bytes());
        file[32..36].copy_from_slice(&POLYGON.to_le_bytes());
        file[36..68].copy_from_slice(&bounds.bytes());
    }
    Ok((shp, shx))
}

/// The content of a polygon's record: outer rings clockwise, holes the other way, each ring closed
/// by its first corner.
fn polygon(area: &LoadArea, of_all: &mut Bounds) -> Result<Vec<u8>, String> {
    let rings: Vec<&RingE7> = area
        .shape
        .iter()
        .flat_map(|polygon| std::iter::once(&polygon.outer).chain(&polygon.holes))
        .collect();
    let points: usize = rings.iter().map(|ring| ring.len() + 1).sum();
    let mut bounds = Bounds::default();
    let mut starts = Vec::with_capacity(rings.len());
    let mut corners = Vec::with_capacity(points * 16);
    for ring in &rings {
        starts.push(whole(corners.len() / 16)?);
        // What runs counter-clockwise in a load map runs clockwise here.
        for &corner in ring.first().into_iter().chain(ring.iter().rev()) {
            bounds.widen(corner);
            of_all.widen(corner);
            corners.extend(corner.into_iter().flat_map(|e7| degrees(e7).to_le_bytes()));
        }
    }
    let mut content = Vec::with_capacity(44 + 4 * rings.len() + corners.len());
    content.extend(POLYGON.to_le_bytes());
    content.extend(bounds.bytes());
    content.extend(whole(rings.len())?.to_le_bytes());
    content.extend(whole(points)?.to_le_bytes());
    content.extend(starts.into_iter().flat_map(i32::to_le_bytes));
    content.extend(corners);
    Ok(content)
}

/// West, south, east, north.
struct Bounds([i32; 4]);

impl Default for Bounds {
    fn default() -> Self {
        Self([i32::MAX, i32::MAX, i32::MIN, i32::MIN])
    }
}

impl Bounds {
    fn widen(&mut self, [lon, lat]: [i32; 2]) {
        let [west, south, east, north] = self.0;
        self.0 = [west.min(lon), south.min(lat), east.max(lon), north.max(lat)];
    }

    fn bytes(&self) -> [u8; 32] {
        let mut bytes = [0; 32];
        // Of nothing the bounds are nothing.
        if self.0[0] <= self.0[2] {
            for (slot, e7) in bytes.chunks_exact_mut(8).zip(self.0) {
                slot.copy_from_slice(&degrees(e7).to_le_bytes());
            }
        }
        bytes
    }
}

fn degrees(e7: i32) -> f64 {
    f64::from(e7) / 1e7
}

/// Lengths in a shapefile are counted in words of two bytes.
fn in_words(bytes: usize) -> Result<i32, String> {
    whole(bytes / 2)
}

fn whole(number: usize) -> Result<i32, String> {
    i32::try_from(number).map_err(|_beyond| "a shapefile does not hold so much".to_owned())
}
