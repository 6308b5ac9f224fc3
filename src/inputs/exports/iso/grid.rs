//! The file of a grid.

use super::Files;
use super::faults::Faults;
use super::model::{Grid, GridKind};
use crate::findings::{Refusal, clean};
use crate::inputs::exports::ReadGrid;
use crate::units::LIMITS;

/// The bytes of the grid's file, where it is there and has the size that `values` of each cell
/// take; what is wrong is told.
///
/// # Errors
/// Refuses as the reading of a file does.
pub(super) fn cell_bytes(
    grid: &Grid,
    values: usize,
    files: &mut Files<'_>,
    faults: &mut Faults,
) -> Result<Option<Vec<u8>>, Refusal> {
    let wanted = format!("{}.bin", grid.file);
    let Some(found) = files.find(&wanted) else {
        let text = format!(
            "The grid's file {} is not there; without it the task has no rates.",
            clean(&wanted)
        );
        faults.tell("iso_grid_file_missing", grid.place.clone(), text);
        return Ok(None);
    };
    // The standard has names of files in capitals, and the ending is found in both.
    let name = super::parts(found).1;
    if name != wanted && name != format!("{}.BIN", grid.file) {
        faults.tell_case(name, &wanted);
    }
    let (per_cell, holds) = match grid.kind {
        GridKind::Codes => (1, "a code of one byte".to_owned()),
        GridKind::Values(_) if values == 1 => (4, "a value of 4 bytes".to_owned()),
        GridKind::Values(_) => (4 * values as u128, format!("{values} values of 4 bytes")),
    };
    let expected = u128::from(grid.columns) * u128::from(grid.rows) * per_cell;
    if u128::from(grid.columns) * u128::from(grid.rows) > LIMITS.raster_cells as u128 {
        let text = format!(
            "The grid has {} columns and {} rows, more cells than the {} that are read.",
            grid.columns, grid.rows, LIMITS.raster_cells
        );
        faults.tell("iso_grid_too_large", grid.place.clone(), text);
        return Ok(None);
    }
    let bytes = files.bundle.read(found, &mut Vec::new())?.bytes;
    if bytes.len() as u128 != expected {
        let text = format!(
            "{} has {} bytes, but {} columns and {} rows with {holds} a cell take {expected}.",
            clean(name),
            bytes.len(),
            grid.columns,
            grid.rows
        );
        faults.tell("iso_grid_file_size", grid.place.clone(), text);
        return Ok(None);
    }
    if let Some(said) = grid.bytes
        && u128::from(said) != expected
    {
        let text = format!(
            "The grid says that its file has {said} bytes; it has {expected}, as its cells take."
        );
        faults.tell("iso_grid_file_size", grid.place.clone(), text);
    }
    Ok(Some(bytes))
}

/// The ground of a grid, with nothing in its cells yet.
pub(super) fn ground(grid: &Grid) -> ReadGrid {
    let (columns, rows) = (grid.columns as usize, grid.rows as usize);
    ReadGrid {
        west_deg: grid.west_deg,
        south_deg: grid.south_deg,
        cell_lon_deg: grid.cell_lon_deg,
        cell_lat_deg: grid.cell_lat_deg,
        columns,
        rows,
        rates: Vec::new(),
    }
}
