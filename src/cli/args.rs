//! What can be typed.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Parser, Subcommand};
use limewright::inputs::ExportFormat;
use limewright::units::ControllerUnit;

use super::fields_args::FieldsArgs;

/// What `limewright` alone prints.
pub(super) const FIRST_STEPS: &str = "\
limewright turns soil samples and a field boundary into a lime prescription.

First steps:
  limewright methods                        the lime-need methods and their sources
  limewright methods --job job.toml         which of them can read your samples, and why not
  limewright materials                      what limes, what does not, and why
  limewright start --boundary B --samples S a job file from your data, blanks marked
  limewright check job.toml                 read everything, report, write nothing
  limewright prescribe job.toml             the prescription, on the terminal
  limewright prescribe job.toml --out map   the same, with the rate map in `map`
  limewright fields fields.toml --out farm  the same for many fields
  limewright read map/rate_map.geojson      what a finished map comes to
  limewright compare maps                   finished fields side by side, with their totals
  limewright explain job.toml --at LON,LAT  one place of the map, step by step
  limewright help prescribe                 what a command can do
  limewright man | man -l -                 the manual page
";

/// Soil samples and a field boundary in, a variable-rate lime prescription out.
///
/// Results go to standard output or to the folder of `--out`, messages to standard error.
///
/// Exit status: 0 done; 1 refused, nothing written; 2 wrong usage; 3 done and written, but there
/// were findings under `--strict`; 4 many fields: done, but some failed or have no result, or there
/// is no plan; 5 the ledger does not balance (please report).
#[derive(Debug, Parser)]
#[command(version, help_expected = true, subcommand_required = false)]
pub(super) struct Args {
    #[command(subcommand)]
    pub(super) command: Option<Command>,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// One field: the rate map, its totals and the haul.
    ///
    /// The summary is printed; with `--out` all files of the result are written, or none.
    Prescribe(PrescribeArgs),
    /// Read everything of a job, report what was found, write nothing.
    Check(CheckArgs),
    /// Job files from boundaries and samples: what they show is filled in, the rest left blank.
    ///
    /// With `--field-column`, one file of boundaries and one of samples become a job for each field,
    /// and the list of them.
    ///
    /// Columns are recognised by their headers; what is in doubt is shown with its candidates. A
    /// blank is written as "?" under a line that says FILL IN; `check` and `prescribe` refuse a job
    /// with blanks and list them. No file is ever overwritten.
    Start(Box<StartArgs>),
    /// Many fields: a list of jobs and what they share -> all of them run, and put together.
    ///
    /// A job's own settings go before the shared ones. Each field is written as soon as it is done,
    /// into a folder of its own; a field that fails does not stop the others and is listed with its
    /// reasons. Run again, the fields of which nothing changed are skipped, so a run that was
    /// interrupted goes on where it was.
    ///
    /// The list may say what is of no single field: `[calendar]` (first day, hours, spreaders and
    /// trucks, order of fields) for the order sheet and its days, `[allotment]` (a limit in tons or
    /// money) for which fields get lime where there is not enough, and `[[supplier]]` with `[supply]`
    /// for who supplies which field at the least cost. `limewright schema fields` has all keys.
    Fields(FieldsArgs),
    /// One place of the map in words: soil, need, material, rate, with the sources.
    Explain(ExplainArgs),
    /// The lime-need methods: inputs, depth, basis, range, source, worked examples; with a job, which
    /// of them can read its samples and which cannot and why, and with `--side-by-side` what those
    /// that can come to on its field.
    ///
    /// The program shows how far methods disagree and calls none the best: a method holds for the
    /// soils it was made on, and `limewright methods ID` tells which those are. All are asked for the
    /// job's target; a method that would take its number for a pH in another medium is listed and not
    /// compared. A job that names no method yet can be asked which can run.
    Methods(MethodsArgs),
    /// What limes and what does not; with a job, what each material of a list comes to on its field,
    /// ranked by the cost of what neutralises.
    Materials(MaterialsArgs),
    /// Any finished rate map: polygons, rates, area, product, and what looks wrong.
    ///
    /// Reads shapefiles, GeoJSON, KML, GeoPackage, GeoParquet, grids (`.tif`), ISO 11783-10 task
    /// data (the folder that TASKDATA lies in) and the tables that `prescribe --export csv` writes; a
    /// folder or an archive is read with all the maps in it.
    Read(ReadArgs),
    /// Finished fields side by side: need, product, loads, haul, cost, and what they come to together.
    ///
    /// Reads the results that `prescribe --out` wrote: a folder with one, a folder with many in its
    /// subfolders, a `summary.json`, or the `fields.json` of an earlier comparison. A field is called
    /// as its folder is. Units are converted where they differ; product of different materials, and
    /// money of different currencies, is never added.
    Compare(CompareArgs),
    /// The JSON Schemas of job files and results, for editors and programs.
    Schema(SchemaArgs),
    /// The manual page of the program or of one command, for `man -l -` or a file.
    Man(ManArgs),
    /// The script with which a shell completes what is typed.
    ///
    /// Print it into the file that your shell reads at its start, such as
    /// `~/.local/share/bash-completion/completions/limewright` for bash.
    Completions(CompletionsArgs),
}

#[derive(Clone, Debug, ClapArgs)]
pub(super) struct JobArgs {
    /// The job file.
    pub(super) job: PathBuf,
    /// Put a value over the job file's, such as `target.ph=6.5`; may be given more than once.
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = key_and_value)]
    pub(super) sets: Vec<String>,
    /// Print the summary as JSON, for programs.
    #[arg(long)]
    pub(super) json: bool,
    /// Exit with status 3 where there are findings.
    #[arg(long)]
    pub(super) strict: bool,
    /// Allow methods whose numbers were written from memory.
    #[arg(long)]
    pub(super) allow_unverified: bool,
}

pub(super) fn key_and_value(typed: &str) -> Result<String, String> {
    match typed.split_once('=') {
        Some((key, _)) if !key.trim().is_empty() => Ok(typed.to_owned()),
        _ => Err("write it as key=value, for example target.ph=6.5".to_owned()),
    }
}

#[derive(Debug, ClapArgs)]
pub(super) struct PrescribeArgs {
    #[command(flatten)]
    pub(super) job: JobArgs,
    /// The folder to write the result to; absent, empty, or written by an earlier run.
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<PathBuf>,
    /// A file for the spreader's controller, written beside the map: `shapefile`, `geotiff`, `csv`,
    /// `iso-xml polygons`, `iso-xml grid 1` or `iso-xml grid 2`; may be given more than once, and
    /// goes before the job's own list.
    #[arg(
        long = "export",
        value_name = "FORMAT",
        requires = "out",
        ignore_case = true,
        value_parser = ExportFormat::ALL.map(ExportFormat::words)
    )]
    pub(super) exports: Vec<String>,
}

#[derive(Debug, ClapArgs)]
pub(super) struct ReadArgs {
    /// The maps: files, folders or archives.
    #[arg(required = true, value_name = "PATH")]
    pub(super) paths: Vec<PathBuf>,
    /// The unit of the rates, where the file does not tell it: lb/ac, ton/ac, kg/ha or t/ha.
    #[arg(long, value_name = "UNIT", value_parser = ControllerUnit::ALL.map(ControllerUnit::words))]
    pub(super) unit: Option<String>,
    /// The column that the rates stand in, where several hold numbers.
    #[arg(long, value_name = "NAME")]
    pub(super) column: Option<String>,
    /// The layer, where a file holds several.
    #[arg(long, value_name = "NAME")]
    pub(super) layer: Option<String>,
    /// Hold the product against that of a finished summary, or of a job run now.
    #[arg(long, value_name = "SUMMARY.json|JOB.toml")]
    pub(super) against: Option<PathBuf>,
    /// Print the machine-readable reading.
    #[arg(long)]
    pub(super) json: bool,
    /// Exit with status 3 where anything looks wrong.
    #[arg(long)]
    pub(super) strict: bool,
}

#[derive(Debug, ClapArgs)]
pub(super) struct CompareArgs {
    /// Results: `summary.json` and `fields.json` files, folders of one field, folders of many.
    #[arg(required = true, value_name = "PATH")]
    pub(super) paths: Vec<PathBuf>,
    /// Sort by a column, such as `need`, `to_order` or `cost_per_area`: names rise and amounts fall;
    /// with a minus before it (`-ph`) the other way round. Without it, by the names of the folders.
    #[arg(long, value_name = "KEY", allow_hyphen_values = true)]
    pub(super) sort: Option<String>,
    /// The units to compare in; those of most fields without it.
    #[arg(long, value_name = "SYSTEM", value_parser = ["us", "metric"])]
    pub(super) units: Option<String>,
    /// Print the result as JSON, for programs.
    #[arg(long, conflicts_with = "csv")]
    pub(super) json: bool,
    /// Print the table of the fields as CSV, with full precision.
    #[arg(long)]
    pub(super) csv: bool,
    /// A folder to write `fields.json`, `fields.csv` and `fields.html` into, and with `--with` the
    /// order sheet and the plan too; it may be the one that the fields' folders lie in.
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<PathBuf>,
    /// The list of jobs whose own tables hold for all fields together: calendar, allotment,
    /// suppliers. Fields that it names and that have no result are told, and end with status 4.
    #[arg(long, value_name = "FIELDS.toml")]
    pub(super) with: Option<PathBuf>,
    /// Exit with status 3 where there are findings.
    #[arg(long)]
    pub(super) strict: bool,
}

#[derive(Debug, ClapArgs)]
pub(super) struct CheckArgs {
    #[command(flatten)]
    pub(super) job: JobArgs,
}

#[derive(Debug, ClapArgs)]
pub(super) struct ExplainArgs {
    #[command(flatten)]
    pub(super) job: JobArgs,
    /// The place: longitude and latitude, WGS 84 degrees.
    #[arg(long, value_name = "LON,LAT", value_parser = lon_lat, allow_hyphen_values = true)]
    pub(super) at: (f64, f64),
}

fn lon_lat(typed: &str) -> Result<(f64, f64), String> {
    let read = |text: &str, most: f64| {
        text.trim().parse::<f64>().ok().filter(|degrees| degrees.abs() <= most)
    };
    typed
        .split_once(',')
        .and_then(|(lon, lat)| Some((read(lon, 180.0)?, read(lat, 90.0)?)))
        .ok_or_else(|| "write longitude and latitude in degrees, as in -93.2168,42.0893".to_owned())
}

#[derive(Debug, ClapArgs)]
pub(super) struct StartArgs {
    /// The boundary: a file of any format that a job may name, or its folder.
    #[arg(long, value_name = "FILE")]
    pub(super) boundary: PathBuf,
    /// The samples: a table, or a map file with points.
    #[arg(long, value_name = "FILE", required_unless_present = "zones")]
    pub(super) samples: Option<PathBuf>,
    /// The laboratory's results, where they stand in a file of their own: joined to the samples by
    /// their ids.
    #[arg(long, value_name = "FILE", requires = "samples")]
    pub(super) lab: Option<PathBuf>,
    /// The sample zones, areas with one composite each; without `--samples` their own attributes are
    /// the results.
    #[arg(long, value_name = "FILE")]
    pub(super) zones: Option<PathBuf>,
    /// The column of the samples that names their fields: one job for each field.
    #[arg(long, value_name = "COLUMN")]
    pub(super) field_column: Option<String>,
    /// The attribute of the boundaries that names the fields; unless given, the one with most of the
    /// names that the samples give.
    #[arg(long, value_name = "ATTRIBUTE", requires = "field_column")]
    pub(super) field_attribute: Option<String>,
    /// The job file to write (its name ends in `.toml`), or the folder for it, or for the jobs of
    /// many fields; without it the job is printed.
    #[arg(long, value_name = "FILE|DIR")]
    pub(super) out: Option<PathBuf>,
    /// The layer of the boundary's file, where it holds several.
    #[arg(long, value_name = "NAME")]
    pub(super) layer: Option<String>,
    /// The layer of the samples' file, where it holds several.
    #[arg(long, value_name = "NAME")]
    pub(super) samples_layer: Option<String>,
    /// The features of the boundary's file that are the field; may be given more than once.
    #[arg(long, value_name = "COLUMN=VALUE", value_parser = column_and_value)]
    pub(super) select: Vec<String>,
    /// What the results are written in: `us` or `metric`; a blank without it.
    #[arg(long, value_name = "SYSTEM")]
    pub(super) units: Option<String>,
    /// The lime-need method; without it the job lists those that the columns can feed.
    #[arg(long, value_name = "ID")]
    pub(super) method: Option<String>,
    /// Put a value into the job, such as `target.ph=6.5`; may be given more than once.
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = key_and_value)]
    pub(super) sets: Vec<String>,
    /// Print what was recognised as JSON, for programs.
    #[arg(long)]
    pub(super) json: bool,
}

fn column_and_value(typed: &str) -> Result<String, String> {
    match typed.split_once('=') {
        Some((column, _)) if !column.trim().is_empty() => Ok(typed.to_owned()),
        _ => Err("write it as COLUMN=VALUE, for example FIELD=\"Heron 3\"".to_owned()),
    }
}

#[derive(Debug, ClapArgs)]
pub(super) struct MethodsArgs {
    /// One method, or your own table as `file:my_table.toml`, in full, with its worked examples
    /// computed now.
    pub(super) id: Option<String>,
    /// The published targets by crop, in place of the methods.
    #[arg(long, conflicts_with = "id")]
    pub(super) crops: bool,
    #[command(flatten)]
    pub(super) on_job: MethodsOnJobArgs,
    /// Print the method's table as JSON, or the names of all methods, or what is told of a job.
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, ClapArgs)]
pub(super) struct MethodsOnJobArgs {
    /// A job file: which methods can read its samples, which cannot, and why; nothing is written.
    #[arg(long, value_name = "JOB.toml", conflicts_with_all = ["id", "crops"])]
    pub(super) job: Option<PathBuf>,
    /// Run all methods that can read them, and tell how far they lie apart.
    #[arg(long, requires = "job")]
    pub(super) side_by_side: bool,
    /// Put a value over the job file's, such as `target.ph=6.5`; may be given more than once.
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = key_and_value, requires = "job")]
    pub(super) sets: Vec<String>,
    /// Exit with status 3 where there are findings.
    #[arg(long, requires = "job")]
    pub(super) strict: bool,
    /// Allow methods whose numbers were written from memory.
    #[arg(long, requires = "job")]
    pub(super) allow_unverified: bool,
}

#[derive(Debug, ClapArgs)]
pub(super) struct MaterialsArgs {
    /// The job file; its need is worked out once. Without it, all kinds of material are listed.
    pub(super) job: Option<PathBuf>,
    /// The list of materials; the one that the job takes its own from without it.
    #[arg(long, value_name = "FILE", requires = "job")]
    pub(super) list: Option<PathBuf>,
    /// Put a value over the job file's, such as `target.ph=6.5`; may be given more than once.
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = key_and_value, requires = "job")]
    pub(super) sets: Vec<String>,
    /// Print the comparison as JSON, for programs.
    #[arg(long)]
    pub(super) json: bool,
    /// Exit with status 3 where there are findings.
    #[arg(long)]
    pub(super) strict: bool,
    /// Allow methods whose numbers were written from memory.
    #[arg(long)]
    pub(super) allow_unverified: bool,
}

#[derive(Debug, ClapArgs)]
pub(super) struct SchemaArgs {
    /// The schema to print, by its name; without one, they are listed.
    pub(super) name: Option<String>,
}

#[derive(Debug, ClapArgs)]
pub(super) struct ManArgs {
    /// The command whose page is printed; without one, the page of the whole program.
    #[arg(value_parser = super::help::command_name)]
    pub(super) command: Option<String>,
}

#[derive(Debug, ClapArgs)]
pub(super) struct CompletionsArgs {
    /// The shell.
    pub(super) shell: clap_complete::Shell,
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn every_argument_has_help_and_the_definition_is_sound() {
        super::Args::command().debug_assert();
    }
}
