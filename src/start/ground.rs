//! Whether samples and boundary fit one another, and how large the field is.

use crate::field::{self, Field, check_fit, check_stated, lie_inside, place_points};
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::{CoordinateSystem, RawPoint, SampleTable, Table, outside_within};
use crate::units::{UnitSystem, counted};

/// The area of a field in both units, because nobody has chosen one yet.
pub(super) fn area_in_words(field: &Field) -> String {
    let area = field.area();
    format!("{:.2} ac ({:.2} ha)", area.to_acres(), area.to_hectares())
}

/// The samples of a table, with their places.
pub(super) struct Placed {
    places: Vec<Place>,
    raw: Vec<RawPoint>,
    system: CoordinateSystem,
    file: String,
}

impl Placed {
    /// Those of the rows that have a place.
    pub(super) fn of(
        table: &Table,
        key: Option<&str>,
        (system, places): (CoordinateSystem, Vec<Option<RawPoint>>),
    ) -> Self {
        let at = key.and_then(|key| table.headers.iter().position(|header| header == key));
        let mut placed =
            Self { places: Vec::new(), raw: Vec::new(), system, file: table.file.clone() };
        for (row, place) in table.rows.iter().zip(places) {
            let Some(place) = place else { continue };
            let sample = at.map(|at| row.cells[at].clone());
            placed.places.push(Place { sample, ..table.place(row, None) });
            placed.raw.push(place);
        }
        placed
    }

    /// How many of them lie in the field, in words.
    ///
    /// # Errors
    /// Refuses samples of which none lies in the field, as a job does; single ones that lie far from
    /// it are told.
    pub(super) fn fit(&self, field: &Field) -> Result<(String, Vec<Finding>), Refusal> {
        if self.raw.is_empty() {
            return Ok((String::new(), Vec::new()));
        }
        let place_of = |sample: usize| self.places[sample].clone();
        let samples = field::Samples {
            file: &self.file,
            system: &self.system,
            raw: &self.raw,
            places: &place_of,
        };
        let points = place_points(field, &samples)?;
        let inside = lie_inside(field, &points).into_iter().filter(|inside| *inside).count();
        let fit = check_fit(field, &samples, &points, UnitSystem::Metric, outside_within());
        let told = match fit {
            // The job refuses these; here they are for whoever has to look into them.
            Err(refusal) if inside > 0 => refusal
                .into_problems()
                .into_iter()
                .map(|found| {
                    let text = format!("{}: {}", found.what, found.hint);
                    Finding::at("sample_far_from_field", found.place, text)
                })
                .collect(),
            fit => fit?,
        };
        Ok((format!(", {inside} inside the boundary"), told))
    }
}

/// A system that is stated for a map file that names its own must come to the same.
///
/// # Errors
/// Refuses one that puts the samples elsewhere.
pub(super) fn check_samples_system(read: &SampleTable) -> Result<(), Refusal> {
    let Some(stated) = &read.stated else { return Ok(()) };
    let Some((system, points)) = &read.table.points else { return Ok(()) };
    check_stated(&read.table.file, system, points, stated)
}

/// A table without a row is no table of samples.
///
/// # Errors
/// Refuses it.
pub(super) fn refuse_empty(table: &Table) -> Result<String, Refusal> {
    if table.rows.is_empty() {
        let place = Place::in_file(table.file.clone());
        return Err(Problem::at(place, "the table holds no sample")
            .allowed("a header and one row for each sample")
            .into());
    }
    Ok(counted(table.rows.len() as u64, "row", "rows"))
}
