//! From the files that a job names to one table of samples: the points, and the laboratory's
//! results where they stand in a file of their own.

use std::collections::{BTreeMap, BTreeSet};

use super::columns::{depth_columns, missing};
use super::depths::DepthColumns;
use super::header::{Role, find_column, quoted};
use super::map_file::read_points;
use super::table::{Samples, samples_from_table};
use crate::findings::{Finding, Place, Problem, Refusal, both};
use crate::inputs::ids::folded;
use crate::inputs::job::{MappedColumns, SamplesPart};
use crate::inputs::open::InputFile;
use crate::inputs::table::Repeats;
use crate::inputs::{
    CoordinateSystem, Feature, FeatureLayer, LabJoin, Missing, RawPoint, Table, TableRow,
    TableStyle, join_lab, read_table,
};

/// Samples, what was found while reading them, and the files they came from.
#[derive(Debug)]
pub struct ReadSamples {
    /// The samples.
    pub samples: Samples,
    /// The system that the job states for a map file that names its own: the two must come to the
    /// same.
    pub stated: Option<CoordinateSystem>,
    /// What was found.
    pub findings: Vec<Finding>,
    /// The files: that of the samples, and that of the laboratory where there is one.
    pub files: Vec<InputFile>,
}

/// Reads the samples of a job.
///
/// # Errors
/// Refuses a file of the samples that cannot be read, and as [`read_table`], [`join_lab`] and [`samples_from_table`] do.
pub fn read_samples(part: &SamplesPart) -> Result<ReadSamples, Refusal> {
    let points = read_points(part);
    let lab = part.lab.as_ref();
    let lab = lab.map(|lab| read_table(&lab.file, "laboratory results", &lab.style)).transpose();
    let (points, lab) = both(points, lab)?;
    let mut findings = points.findings;
    let mut files = points.files;
    let (table, key) = if let (Some(asked), Some(read)) = (&part.lab, lab) {
        files.push(read.file);
        findings.extend(read.findings);
        let joined = join_results(
            &points.table,
            &read.table,
            &JoinHow {
                key: part.key.as_deref(),
                lab_key: asked.key.as_deref(),
                columns: &part.columns,
                style: &asked.style,
                leave_out_missing: part.policy.missing == Some(Missing::LeaveOut),
            },
        )?;
        findings.extend(joined.findings);
        (joined.table, Some(joined.key))
    } else {
        let (table, told) = without_repeats(points.table, part)?;
        findings.extend(told);
        (table, part.key.clone())
    };
    // A laboratory's own number is a name too, so the column of the points is named.
    let (samples, told) = samples_from_table(&table, &SamplesPart { key, ..part.clone() })?;
    findings.extend(told);
    Ok(ReadSamples { samples, stated: points.stated, findings, files })
}

/// How points and a laboratory's results are brought together.
#[derive(Clone, Copy, Debug)]
pub struct JoinHow<'a> {
    /// The column of the points that names them, where it is stated.
    pub key: Option<&'a str>,
    /// The column of the results that names the samples, where it is stated.
    pub lab_key: Option<&'a str>,
    /// Which column holds what, as far as it is stated.
    pub columns: &'a MappedColumns,
    /// How the results were read.
    pub style: &'a TableStyle,
    /// Whether points without a result are left out.
    pub leave_out_missing: bool,
}

/// Points with their results.
#[derive(Debug)]
pub struct Joined {
    /// The points with the columns of the results behind their own.
    pub table: Table,
    /// The column of the points that names them.
    pub key: String,
    /// The column of the results that does.
    pub lab_key: String,
    /// What was found.
    pub findings: Vec<Finding>,
}

/// Brings points and results together by the ids of the samples.
///
/// # Errors
/// Refuses as [`join_lab`] does, columns with the ids that are missing or ambiguous, and a reading
/// that both files could hold.
pub fn join_results(points: &Table, lab: &Table, how: &JoinHow<'_>) -> Result<Joined, Refusal> {
    let key = key_of(points, Role::Id, how.key);
    // A column of the same name as the one of the points is the first choice.
    let same = || {
        let mapped = how.key?;
        let found = find_column(&lab.headers, Role::LabId, Some(mapped), &Place::default());
        found.is_ok().then_some(mapped)
    };
    let lab_key = key_of(lab, Role::LabId, how.lab_key.or_else(same));
    let (key, lab_key) = both(key, lab_key)?;
    refuse_two_homes(points, lab, how.columns)?;
    let (table, findings) = join_lab(&LabJoin {
        points,
        key,
        lab,
        lab_key,
        lab_depths: &depths_of(lab, how.columns),
        how: how.style,
        leave_out_missing: how.leave_out_missing,
    })?;
    let (key, lab_key) = (points.headers[key].clone(), lab.headers[lab_key].clone());
    Ok(Joined { table, key, lab_key, findings })
}

/// The samples that the areas of the zones carry as attributes, one for each feature.
///
/// # Errors
/// Refuses as [`samples_from_table`] does.
pub fn samples_of_areas(
    layer: &FeatureLayer,
    part: &SamplesPart,
) -> Result<(Samples, Vec<Finding>), Refusal> {
    let table = table_of_areas(layer);
    let key = part.zones.as_ref().map(|zones| zones.key.clone());
    samples_from_table(&table, &SamplesPart { key, ..part.clone() })
}

/// The attributes of areas as a table without places, a row for each feature.
pub fn table_of_areas(layer: &FeatureLayer) -> Table {
    let row = |feature: &Feature| TableRow {
        number: feature.number,
        cells: feature.attributes.iter().map(|text| text.trim().to_owned()).collect(),
        joined_line: None,
    };
    Table {
        file: layer.file.clone(),
        headers: layer.columns.iter().map(|column| column.trim().to_owned()).collect(),
        header_line: None,
        rows: layer.features.iter().map(row).collect(),
        points: None,
        joined: None,
        in_doubt: BTreeSet::new(),
    }
}

fn head(table: &Table) -> Place {
    Place { line: table.header_line, ..Place::in_file(&table.file) }
}

/// The columns with the depth, where the table has it; what is ambiguous is refused with the
/// others.
fn depths_of(table: &Table, columns: &MappedColumns) -> Vec<usize> {
    let find = |role: Role| {
        find_column(&table.headers, role, role.mapped(columns), &head(table)).ok().flatten()
    };
    depth_columns(columns, find).map(DepthColumns::list).unwrap_or_default()
}

fn key_of(table: &Table, role: Role, mapped: Option<&str>) -> Result<usize, Refusal> {
    let found = find_column(&table.headers, role, mapped, &head(table))?;
    found.ok_or_else(|| missing(role, &table.headers, &head(table), false).into())
}

/// Refuses a thing that both files seem to hold under different headers, unless the job says which
/// column it is.
fn refuse_two_homes(points: &Table, lab: &Table, columns: &MappedColumns) -> Result<(), Refusal> {
    let mut problems = Vec::new();
    for role in Role::READ {
        if role.mapped(columns).is_some() {
            continue;
        }
        let named = |columns: &[&str], table: &Table| match columns {
            [] => format!("several columns in {}", table.file),
            _ => format!("{} in {}", quoted(columns.iter().copied()), table.file),
        };
        if let (Some(here), Some(there)) = (columns_of(points, role), columns_of(lab, role))
            // One name in both is refused by the join, because no mapping can settle it.
            && (here.is_empty() || !same_names(&here, &there))
        {
            let (here, there) = (named(&here, points), named(&there, lab));
            let what = format!("both files could hold the {}: {here}, {there}", role.words());
            problems.push(
                Problem::at(head(lab), what)
                    .allowed("each reading in one of the two files")
                    .hint(format!("say which column it is in the job with `{}`", role.key())),
            );
        }
    }
    Refusal::unless_clean(problems, ())
}

fn same_names(here: &[&str], there: &[&str]) -> bool {
    let folded = |names: &[&str]| names.iter().map(|name| folded(name)).collect::<Vec<_>>();
    folded(here) == folded(there)
}

/// The column that could hold it; none where there are several. `None` where there is none.
fn columns_of(table: &Table, role: Role) -> Option<Vec<&str>> {
    match find_column(&table.headers, role, None, &head(table)) {
        Ok(found) => found.map(|at| vec![table.headers[at].as_str()]),
        Err(_) => Some(Vec::new()),
    }
}

/// A table of one file in which each sample stands once, where the job says what becomes of
/// repeats.
pub(super) fn without_repeats(
    table: Table,
    part: &SamplesPart,
) -> Result<(Table, Option<Finding>), Refusal> {
    if part.style.repeats.is_none() {
        return Ok((table, None));
    }
    // Points of zones are told apart by their zones; they need no names.
    if part.columns.zone.is_some()
        && find_column(&table.headers, Role::Id, part.key.as_deref(), &head(&table))?.is_none()
    {
        return Ok((table, None));
    }
    let key = key_of(&table, Role::Id, part.key.as_deref())?;
    refuse_moved_repeats(&table, key, part)?;
    let depths = depths_of(&table, &part.columns);
    let (rows, told) =
        Repeats { table: &table, how: &part.style, key, depths: &depths }.settle()?;
    let points = table.points.map(|(system, all)| {
        let of_number: BTreeMap<usize, RawPoint> =
            table.rows.iter().map(|row| row.number).zip(all).collect();
        (system, rows.iter().filter_map(|row| of_number.get(&row.number).copied()).collect())
    });
    Ok((Table { rows, points, ..table }, told))
}

/// Results of one sample belong to one place.
fn refuse_moved_repeats(table: &Table, key: usize, part: &SamplesPart) -> Result<(), Refusal> {
    let (x, y) = Role::of_axes(&part.system);
    let find = |role: Role| {
        find_column(&table.headers, role, role.mapped(&part.columns), &head(table)).ok().flatten()
    };
    let columns: Vec<usize> = match &table.points {
        Some(_) => Vec::new(),
        None => [x, y].into_iter().filter_map(find).collect(),
    };
    let place_of = |number: usize| -> (Option<RawPoint>, Vec<&str>) {
        let point = table.points.as_ref().map(|(_, all)| all[number]);
        (point, columns.iter().map(|&at| table.rows[number].cells[at].as_str()).collect())
    };
    let mut first: BTreeMap<&str, usize> = BTreeMap::new();
    let mut problems = Vec::new();
    for (number, row) in table.rows.iter().enumerate() {
        let id = row.cells[key].as_str();
        let earlier = *first.entry(id).or_insert(number);
        if place_of(earlier) != place_of(number) {
            let place = Place { sample: Some(id.to_owned()), ..table.place(row, None) };
            let what = format!(
                "the sample lies at another place than in row {}",
                table.rows[earlier].number
            );
            problems.push(
                Problem::at(place, what)
                    .allowed("several results of a sample at one place, as samples.repeats has it")
                    .hint("give each sample a name of its own, or correct its coordinates"),
            );
        }
    }
    Refusal::unless_clean(problems, ())
}
