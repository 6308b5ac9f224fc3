//! The files for the spreader's controller: written, read back from their own bytes, and held
//! against the ledger before anything is called done.

use super::Work;
use super::loads::load_maps;
use crate::error::Error;
use crate::findings::{Place, Problem, Refusal};
use crate::hash::sha256;
use crate::inputs::ExportFormat;
use crate::inputs::exports::{EXPORTS_FOLDER, FoundExport, ReadGround, read_own_export};
use crate::outputs::{
    ExportFile, GridSize, LoadLabel, LoadMap, export_files, files_beside, iso_rates,
};
use crate::store::slugs;
use crate::summary::{WrittenExport, WrittenFile};
use crate::units::{Length, ProductMass, counted};
use crate::verify::{Expected, MapTotals, rates_as_meant, tolerance_of, totals_of};

/// Characters of a field's or a material's name in the name of a file.
const LONGEST_NAME: usize = 24;
/// The cells of a grid on a side of a map cell, unless the job says how large they are; twice as
/// many each time that the total is not near enough.
const CELLS_ON_A_SIDE: [f64; 4] = [4.0, 8.0, 16.0, 32.0];
/// How near a rate must be that is read in the whole steps that it was written in.
const WHOLE_STEPS: f64 = 1e-6;
/// How near the total of a grid must be for its cells to be small enough (ours).
const GRID_NEAR_ENOUGH: f64 = 0.0025;

/// The files of one job, and what the summary says of them.
#[derive(Debug, Default)]
pub(super) struct Exported {
    pub(super) files: Vec<ExportFile>,
    pub(super) parts: Vec<WrittenExport>,
}

/// An export that was read back.
struct ReadBack {
    files: Vec<ExportFile>,
    size: GridSize,
    found: FoundExport,
    totals: MapTotals,
    product: ProductMass,
    difference: f64,
}

/// Makes every file that the job asks for.
///
/// # Errors
/// Refuses a grid whose cells are too coarse for a true total; a file of ours that does not come
/// back as it was meant is a fault of the program.
pub(super) fn exported(work: &Work) -> Result<Exported, Error> {
    let mut done = Exported::default();
    if work.job.export.files.is_empty() {
        return Ok(done);
    }
    for map in &load_maps(work) {
        let stem = stem_of(&map.label);
        for &format in &work.job.export.files {
            let back = if format.is_grid() {
                grid(work, map, format, &stem)?
            } else {
                let back = read_back(work, map, format, &stem, ONE_CELL)?;
                refuse_beyond(work, map, &back)?;
                back
            };
            let ReadBack { mut files, size, found, totals, product, difference } = back;
            files.extend(files_beside(map, format, &stem, size).map_err(Error::Fault)?);
            for file in &mut files {
                file.name = format!("{EXPORTS_FOLDER}/{}", file.name);
            }
            let written = files.iter().map(|file| WrittenFile {
                path: file.name.clone(),
                bytes: file.bytes.len() as u64,
                sha256: sha256(&file.bytes),
            });
            let ground = &found.export.maps[0].ground;
            let count = |of_kind: bool| of_kind.then_some(totals.pieces);
            let is_areas = matches!(ground, ReadGround::Areas(_));
            done.parts.push(WrittenExport {
                format: format.words().to_owned(),
                files: written.collect(),
                unit: map.unit.words().to_owned(),
                application: map.label.application,
                applications: map.label.applications,
                revision: map.label.revision.unwrap_or_default(),
                supersedes: map.label.supersedes(),
                polygons: count(is_areas),
                vertices: is_areas.then_some(totals.vertices),
                cells: count(matches!(ground, ReadGround::Grid(_))),
                rows: count(matches!(ground, ReadGround::Rows(_))),
                product: work.job.units.product(map.product).into(),
                product_read: work.job.units.product(product).into(),
                difference,
            });
            done.files.extend(files);
        }
    }
    Ok(done)
}

/// What formats that are no grids are given for the size of one.
const ONE_CELL: GridSize = GridSize { columns: 1, rows: 1 };

/// A grid whose cells are as large as the job says, or small enough for the total.
fn grid(work: &Work, map: &LoadMap, format: ExportFormat, stem: &str) -> Result<ReadBack, Error> {
    let read = |cell: Length| -> Result<Option<ReadBack>, Error> {
        let size = GridSize::with_cells_of(&map.areas, cell);
        size.map(|size| read_back(work, map, format, stem, size)).transpose()
    };
    let too_many = || -> Error {
        let what = "the grid of the field has more cells than this program takes on";
        refusal(work, what.to_owned(), "larger cells: `export.raster_cell`")
    };
    if let Some(cell) = work.job.export.raster_cell {
        let back = read(cell)?.ok_or_else(too_many)?;
        refuse_beyond(work, map, &back)?;
        return Ok(back);
    }
    let mut best: Option<ReadBack> = None;
    for on_a_side in CELLS_ON_A_SIDE {
        let Some(back) = read(work.job.cell * (1.0 / on_a_side))? else { break };
        let is_near = back.difference.abs() <= GRID_NEAR_ENOUGH;
        best = Some(back);
        if is_near {
            break;
        }
    }
    let back = best.ok_or_else(too_many)?;
    refuse_beyond(work, map, &back)?;
    Ok(back)
}

/// Writes the files that hold the rates, and reads them back.
fn read_back(
    work: &Work,
    map: &LoadMap,
    format: ExportFormat,
    stem: &str,
    size: GridSize,
) -> Result<ReadBack, Error> {
    let fault = |what: String| Error::Fault(format!("the {} file: {what}", format.words()));
    let files = export_files(map, format, stem, size).map_err(|what| {
        if !format.is_task_data() {
            return fault(what);
        }
        // A map of the user's own may have more rates than there are codes for.
        let what = format!("`{}` cannot hold it: {what}", format.words());
        refusal(work, what, "another format, or a spreader with fewer rates")
    })?;
    let named: Vec<(&str, &[u8])> =
        files.iter().map(|file| (file.name.as_str(), file.bytes.as_slice())).collect();
    let as_fault = |refusal: Refusal| fault(refusal.to_string());
    let found = read_own_export(&named).map_err(as_fault)?;
    let Some(read) = found.export.maps.first() else {
        return Err(fault("it holds no map".to_owned()));
    };
    let (meant, tolerance) = meant(map, format);
    rates_as_meant(read, &meant, tolerance).map_err(fault)?;
    let totals = totals_of(&found, 0).map_err(as_fault)?;
    let product = totals.product.ok_or_else(|| fault("it does not tell its unit".to_owned()))?;
    let expected = Expected { product: map.product, tolerance: 0.0 };
    let difference = expected.difference(product);
    Ok(ReadBack { files, size, found, totals, product, difference })
}

/// The rates that a file must hold in the unit in which it is read, and how near.
fn meant(map: &LoadMap, format: ExportFormat) -> (Vec<f64>, f64) {
    if !format.is_task_data() {
        let rates = map.areas.iter().map(|area| map.unit.number(area.rate));
        return (rates.collect(), map.rate_tolerance());
    }
    let mut rates = iso_rates(map);
    if format != ExportFormat::IsoPolygons {
        // Of ground that is kept out.
        rates.push(0.0);
    }
    (rates, WHOLE_STEPS)
}

/// Refuses a file whose total is not that of the ledger.
fn refuse_beyond(work: &Work, map: &LoadMap, back: &ReadBack) -> Result<(), Error> {
    let ground = &back.found.export.maps[0].ground;
    let tolerance = tolerance_of(ground);
    if (Expected { product: map.product, tolerance }).is_met_by(back.product) {
        return Ok(());
    }
    let [ledger, read] = [map.product, back.product].map(|mass| work.job.units.product(mass));
    let what = format!(
        "the {} comes to {} {} where the ledger has {} {}: off by {:+.2} %, and {} % is allowed",
        back.found.export.format,
        read.value,
        read.unit,
        ledger.value,
        ledger.unit,
        back.difference * 100.0,
        tolerance * 100.0
    );
    if matches!(ground, ReadGround::Grid(_)) {
        let cells = counted(back.totals.pieces as u64, "cell", "cells");
        let what = format!("{what}; the field has {cells} in it");
        return Err(refusal(work, what, "smaller cells: `export.raster_cell`"));
    }
    let hint = "leave this format out, and report it with the job; of a field of a few metres seven \
                decimals of a degree do not hold the area";
    Err(refusal(work, what, hint))
}

fn refusal(work: &Work, what: String, hint: &str) -> Error {
    let problem = Problem::at(Place::in_file(work.job.file.clone()), what).hint(hint);
    Error::Refused(problem.into())
}

/// The name of the files of a map without their endings: field, material, day, revision, and which
/// of several applications, in plain small letters.
fn stem_of(label: &LoadLabel) -> String {
    let part = |name: &str, otherwise: &str| {
        let has_a_letter = name.chars().any(char::is_alphanumeric);
        let slug = slugs(&[if has_a_letter { name } else { otherwise }], &[]).concat();
        let end = slug.len().min(LONGEST_NAME);
        slug[..end].trim_end_matches('-').to_owned()
    };
    let mut parts = vec![part(&label.field, "field"), part(&label.material, "material")];
    parts.extend(label.date.clone());
    parts.extend(label.revision.map(|revision| format!("r{revision}")));
    if label.applications > 1 {
        parts.push(format!("{}of{}", label.application, label.applications));
    }
    parts.join("_")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn label(field: &str, material: &str) -> LoadLabel {
        LoadLabel {
            customer: None,
            farm: None,
            field: field.to_owned(),
            material: material.to_owned(),
            date: Some("2026-10-20".to_owned()),
            revision: Some(2),
            application: 1,
            applications: 1,
        }
    }

    #[test]
    fn a_name_of_a_file_is_plain_short_and_says_what_it_is_of() {
        let stem = |field: &str, material: &str| stem_of(&label(field, material));
        assert_eq!(
            stem("Heron Flat 3", "Pit 4 calcitic"),
            "heron-flat-3_pit-4-calcitic_2026-10-20_r2"
        );
        assert_eq!(stem("Поле", "石灰"), "pole_shi-hui_2026-10-20_r2");
        assert_eq!(stem("../..", "a/b"), "field_a-b_2026-10-20_r2");
        let long = stem(&"long name ".repeat(30), &"x".repeat(300));
        assert!(long.len() <= 2 * LONGEST_NAME + 20 && long.is_ascii(), "{long}");
        let second = LoadLabel { application: 2, applications: 3, ..label("a", "b") };
        assert_eq!(stem_of(&second), "a_b_2026-10-20_r2_2of3");
        assert_eq!(
            (second.supersedes(), LoadLabel { revision: Some(1), ..second }.supersedes()),
            (Some(1), None)
        );
    }
}
