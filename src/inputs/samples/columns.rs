//! Where each thing stands in a table, and what its header says against the job.

use std::collections::BTreeMap;

use super::depths::DepthColumns;
use super::header::{
    Role, buffer_named, find_column, fits_medium, liquid_named, proportion_named, quoted,
};
use super::table::Samples;
use super::values::{ValuesFound, find_values};
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::job::{Attributes, MappedColumns, SamplesPart};
use crate::inputs::{CoordinateSystem, Table};
use crate::units::{PhMedium, SoilAttribute};

/// Where each thing stands in a row.
pub(super) struct Columns {
    pub(super) id: Option<usize>,
    /// Easting and northing, or longitude and latitude; `None` where the table has points.
    pub(super) xy: Option<(usize, usize)>,
    /// The zone of each point, where the job names its column.
    pub(super) zone: Option<usize>,
    /// Soil pH, where it is read of this table.
    pub(super) ph: Option<usize>,
    pub(super) buffer_ph: Option<usize>,
    /// When the meter read each sample, where it has a log.
    pub(super) measured_at: Option<usize>,
    pub(super) values: ValuesFound,
    pub(super) depth: Option<DepthColumns>,
    /// Whether eastings and northings stand beside the degrees that are read, or the reverse.
    pub(super) other_pair: bool,
}

impl Columns {
    pub(super) fn find(table: &Table, part: &SamplesPart, head: &Place) -> Result<Self, Refusal> {
        let headers = &table.headers;
        let has_points = table.points.is_some() || part.are_composites();
        let mut problems = Vec::new();
        let mut find = |role: Role| {
            let mapped = match role {
                Role::Id => part.key.as_deref(),
                _ => role.mapped(&part.columns),
            };
            find_column(headers, role, mapped, head).unwrap_or_else(|problem| {
                problems.push(problem);
                None
            })
        };
        let id = find(Role::Id);
        let projected = part.system != CoordinateSystem::Wgs84Degrees;
        let (x_role, y_role) = Role::of_axes(&part.system);
        let xy = if has_points { None } else { Some((find(x_role), find(y_role))) };
        let other = if projected { Role::Lon } else { Role::Easting };
        let other_pair = !has_points
            && find_column(headers, other, None, head).is_ok_and(|found| found.is_some());
        let zone = find(Role::Zone);
        let measured_at = part.meter_log.as_ref().map(|_| find(Role::MeasuredAt));
        let mut find_taken = |attribute: SoilAttribute| {
            if part.attributes.take(attribute) { find(Role::of_attribute(attribute)) } else { None }
        };
        let ph = find_taken(SoilAttribute::Ph);
        let buffer_ph = find_taken(SoilAttribute::BufferPh);
        let depth = depth_columns(&part.columns, &mut find);
        let found_any = problems.is_empty();
        let (x, y) = xy.unzip();
        let ph_taken = part.attributes.take(SoilAttribute::Ph).then_some(ph);
        let buffer_asked = part.attributes.ask_for(SoilAttribute::BufferPh).then_some(buffer_ph);
        for (role, column) in [
            (x_role, x),
            (y_role, y),
            (Role::Ph, ph_taken),
            (Role::BufferPh, buffer_asked),
            (Role::MeasuredAt, measured_at),
        ] {
            if column == Some(None) && found_any {
                problems.push(match role {
                    Role::Ph | Role::BufferPh => lacks(part, role, headers, head),
                    _ => missing(role, headers, head, other_pair && !projected),
                });
            }
        }
        let values = find_values(table, part, head, &mut problems);
        if part.layers.is_some() && depth.is_none() && found_any {
            problems.push(missing(Role::Depth, headers, head, false));
        }
        problems.extend(against_the_job(table, part, [ph, buffer_ph]));
        // What is missing was told above.
        let xy = xy.and_then(|(x, y)| Some((x?, y?)));
        if ph_taken == Some(None) || !(xy.is_some() || has_points) {
            return Refusal::unless_clean(problems, ())
                .and_then(|()| Err(Problem::at(head.clone(), "the table lacks a column").into()));
        }
        Refusal::unless_clean(
            problems,
            Self {
                id,
                xy,
                zone,
                ph,
                buffer_ph,
                measured_at: measured_at.flatten(),
                values,
                depth,
                other_pair,
            },
        )
    }

    pub(super) fn findings(&self, table: &Table, samples: &Samples) -> Vec<Finding> {
        let given = table.file.as_str();
        let mut findings: Vec<Finding> = self.values.not_used.clone();
        if self.other_pair {
            let (used, left) = if samples.system == CoordinateSystem::Wgs84Degrees {
                ("longitude and latitude", "easting and northing")
            } else {
                ("easting and northing", "longitude and latitude")
            };
            findings.push(Finding::at(
                "two_pairs_of_coordinates",
                Place::in_file(given),
                format!(
                    "The table holds two pairs of coordinates; {used} were used and {left} were \
                     left aside."
                ),
            ));
        }
        if self.id.is_none() {
            findings.push(Finding::at(
                "samples_without_names",
                Place::in_file(given),
                "No column names the samples; they are called by their line or feature.",
            ));
        }
        if let Some(at) = self.buffer_ph.filter(|_| samples.buffer_ph.is_some()) {
            let blanks = samples.buffer_ph.iter().flatten().filter(|value| value.is_none()).count();
            if blanks == samples.ids.len() && blanks > 0 {
                findings.push(Finding::at(
                    "buffer_column_blank",
                    table.place_of_column(at),
                    "The column of the buffer pH is blank throughout.",
                ));
            }
        }
        let mut seen: BTreeMap<(usize, String), Vec<&str>> = BTreeMap::new();
        for (id, layer) in samples.ids.iter().zip(&samples.layers) {
            seen.entry((*layer, id.to_lowercase())).or_default().push(id);
        }
        let twice = seen.into_values().filter(|ids| ids.len() > 1);
        let twice: Vec<&str> = twice
            .flat_map(|mut ids| {
                ids.dedup();
                ids
            })
            .collect();
        if !twice.is_empty() {
            findings.push(Finding::at(
                "sample_names_repeated",
                Place::in_file(given),
                format!(
                    "These names stand in more than one row: {}.",
                    quoted(twice.into_iter().take(20))
                ),
            ));
        }
        findings
    }
}

/// Where the header of a pH speaks of another medium than the job's.
pub(super) fn other_medium(table: &Table, at: usize, medium: PhMedium) -> Option<Problem> {
    let header = &table.headers[at];
    if let Some(liquid) = liquid_named(header)
        && !fits_medium(liquid, medium)
    {
        let what = format!(
            "the column names {liquid}, and the job says that the pH was measured in {}",
            medium.words()
        );
        return Some(
            Problem::at(table.place_of_header(at), what)
                .allowed("a pH column in the medium that samples.ph_measured_in states")
                .hint(
                    "correct samples.ph_measured_in, or map the right column with \
                     samples.columns.ph",
                ),
        );
    }
    let proportion = proportion_named(header).filter(|_| medium.is_water())?;
    let (place, key) = (table.place_of_header(at), "samples.ph_measured_in");
    (!medium.words().ends_with(proportion))
        .then(|| contradicts(place, proportion, medium.words(), key))
}

/// Where the headers of pH and buffer pH say another thing than the job.
fn against_the_job(table: &Table, part: &SamplesPart, columns: [Option<usize>; 2]) -> Vec<Problem> {
    let [ph, buffer_ph] = columns;
    let mut problems = Vec::new();
    // Where a column says it for each row, a header says nothing of all of them.
    let ph = ph.filter(|_| !part.ph_by_row);
    problems.extend(ph.and_then(|at| other_medium(table, at, part.ph_medium)));
    if let Some(at) = buffer_ph
        && let (Some(named), Some(stated)) = (buffer_named(&table.headers[at]), part.buffer)
        && !stated.words().contains(named)
    {
        problems.push(contradicts(
            table.place_of_header(at),
            named,
            stated.words(),
            "samples.buffer",
        ));
    }
    problems
}

/// The columns with the depths, by the job's mapping or their headers.
pub(super) fn depth_columns(
    mapped: &MappedColumns,
    mut find: impl FnMut(Role) -> Option<usize>,
) -> Option<DepthColumns> {
    if mapped.depth.is_some() {
        return find(Role::Depth).map(DepthColumns::One);
    }
    let (top, bottom) = (find(Role::DepthTop), find(Role::DepthBottom));
    // Two columns with numbers say more than one that may hold the name of a horizon.
    match top.zip(bottom) {
        Some((top, bottom)) => Some(DepthColumns::Ends(top, bottom)),
        None => find(Role::Depth).map(DepthColumns::One),
    }
}

/// A header that says one thing of a column, and a job that says another.
fn contradicts(place: Place, named: &str, stated: &str, key: &str) -> Problem {
    Problem::at(place, format!("the column names {named}, and the job says {stated}"))
        .allowed(format!("a column of what `{key}` states"))
        .hint(format!("correct `{key}`, or map the right column in [samples.columns]"))
}

/// An attribute that is not there; the job may ask for it from the wrong table.
pub(super) fn lacks(part: &SamplesPart, role: Role, headers: &[String], head: &Place) -> Problem {
    let problem = missing(role, headers, head, false);
    let hint = match part.attributes {
        Attributes::All => return problem,
        Attributes::AllBut(_) => "where the zones' results hold it, name it in samples.by_zone",
        Attributes::Exactly(_) => "where the zones do not give it, take it out of samples.by_zone",
    };
    let hint = format!("{}; {hint}", problem.hint);
    problem.hint(hint)
}

pub(super) fn missing(
    role: Role,
    headers: &[String],
    head: &Place,
    has_projected: bool,
) -> Problem {
    let hint = if has_projected {
        "state the system of the easting and northing as samples.coordinate_system".to_owned()
    } else {
        format!("say which column it is in the job file with `{}`", role.key())
    };
    // Also where no pH decides the need.
    let hint = if role == Role::Ph {
        format!("{hint}; every job takes a pH, for the map and its risks")
    } else {
        hint
    };
    Problem::at(head.clone(), format!("no column is known to hold the {}", role.words()))
        .allowed(quoted(headers.iter().map(String::as_str)))
        .hint(hint)
}
