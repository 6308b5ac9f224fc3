//! The list of the jobs of many fields, with the settings that they share.

use std::path::Path;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::allotment_file::AllotmentTable;
use super::allotment_part::AllotmentPart;
use super::beside::shared_beside;
use super::blank::leave_out_blanks;
use super::calendar_file::CalendarTable;
use super::check::Checker;
use super::check_calendar::CalendarPart;
use super::check_suppliers::SupplyPart;
use super::file::{JobFile, job_file_schema, job_table};
use super::parse::JobText;
use super::schema::settings_schema;
use super::schema_together::say_of_together;
use super::shared::SharedSettings;
use super::supplier_file::{SupplierTable, SupplyTable};
use super::written::At;
use crate::findings::{Drawn, Place, Problem, Refusal};
use crate::inputs::open::{InputFile, read_text};
use crate::units::LIMITS;

/// The file that the head of a written list names as its schema.
pub const FIELDS_SCHEMA_FILE: &str = "fields.schema.json";

/// The key with the list.
const JOBS: &str = "jobs";
const JOBS_ARE: &str = "The job files of the fields: paths from the folder of this file, or patterns \
                        such as `jobs/*.toml`.";

/// A list of jobs and what they share, as its file has it.
#[derive(Clone, Debug)]
pub struct FieldsFile {
    /// The job files: paths from the folder of the list, or patterns such as `jobs/*.toml`.
    pub jobs: Vec<At<String>>,
    /// Settings that hold for every job that has none of its own; paths in them are from the folder
    /// of the list. What is still a blank is no setting, here or in a job.
    pub shared: JobFile,
    /// The same as they are laid under each job.
    pub settings: SharedSettings,
    /// What holds for all fields together, as it is written.
    pub together: TogetherTables,
    /// When and with what the fields are spread.
    pub calendar: CalendarPart,
    /// Who may supply them.
    pub supply: SupplyPart,
    /// Which fields get lime first where there is not enough.
    pub allotment: Option<AllotmentPart>,
}

job_table! {
    /// The tables of a list that are of no single field.
    TogetherTables {
        /// When and with what the fields are spread.
        calendar: At<CalendarTable>,
        /// Which fields get lime first where there is not enough.
        allotment: At<AllotmentTable>,
        /// Who may supply the fields.
        supplier: At<Vec<At<SupplierTable>>>,
        /// How they do.
        supply: At<SupplyTable>,
    }
}

/// Reads a list of jobs; the jobs are left alone, and what they share is checked with each of them.
///
/// # Errors
/// Refuses a file that cannot be read, text that is not TOML, unknown keys, values of the wrong
/// kind, and a list that is missing or empty.
pub fn read_fields_file(path: &Path) -> Result<(FieldsFile, InputFile), Refusal> {
    let name = path.display().to_string();
    let (text, file) = read_text(path, &name, "fields", LIMITS.job_file_bytes)?;
    let drawn = Drawn { name: name.clone(), text: text.clone() };
    let settings = SharedSettings::new(path, &name, text.clone());
    let folder = path.parent().unwrap_or(Path::new(""));
    let fields = parse(&JobText::new(&name, text, &[]), folder, settings);
    fields.map(|fields| (fields, file)).map_err(|refusal| refusal.drawn_on(drawn))
}

/// The JSON Schema of a list of jobs, in draft 2020-12.
pub fn fields_schema() -> Value {
    with_jobs(settings_schema())
}

fn with_jobs(mut schema: Value) -> Value {
    schema["properties"][JOBS] = json!({
        "description": JOBS_ARE,
        "type": "array",
        "items": { "type": "string" },
        "minItems": 1,
    });
    let together = schemars::schema_for!(TogetherTables).to_value();
    for part in ["properties", "$defs"] {
        if let Some(Value::Object(more)) = together.get(part)
            && let Some(all) = schema[part].as_object_mut()
        {
            for (name, value) in more {
                // Tables that a job has too keep what is said of them there.
                all.entry(name).or_insert_with(|| value.clone());
            }
        }
    }
    say_of_together(&mut schema);
    schema["required"] = json!([JOBS]);
    schema["description"] = json!(
        "The jobs of many fields, and settings that hold for each job that has none of its own."
    );
    schema
}

fn parse(text: &JobText, folder: &Path, settings: SharedSettings) -> Result<FieldsFile, Refusal> {
    let mut table = text.table()?;
    text.refuse_unknown(&table, &with_jobs(job_file_schema()))?;
    let jobs = jobs_of(text, table.get_mut().remove(JOBS))?;
    leave_out_blanks(table.get_mut());
    let together = together_of(text, &mut table)?;
    let shared = JobFile::deserialize(toml::de::Deserializer::from(table))
        .map_err(|error| text.not_toml(&error))?;
    let mut checker = Checker::of(text, folder);
    let calendar = checker.calendar(together.calendar.as_ref());
    let mut supply = checker.supply(together.supplier.as_ref(), together.supply.as_ref());
    for supplier in &mut supply.suppliers {
        let own = format!("{}\n{}", supplier.material_toml, supplier.haul_toml);
        supplier.shared_beside = shared_beside(&shared, &own);
    }
    let allotment = together.allotment.as_ref().and_then(|table| checker.allotment(table));
    let first_day = calendar.first_day;
    let allotment = allotment.map(|allotment| AllotmentPart { first_day, ..allotment });
    let fields = FieldsFile { jobs, shared, settings, together, calendar, supply, allotment };
    Refusal::unless_clean(checker.into_problems(), fields)
}

/// Takes the tables out that are of no single field.
fn together_of(
    text: &JobText,
    table: &mut Spanned<DeTable<'_>>,
) -> Result<TogetherTables, Refusal> {
    let span = table.span();
    let mut own = DeTable::new();
    for key in ["calendar", "allotment", "supplier", "supply"] {
        if let Some((key, value)) = table.get_mut().remove_entry(key) {
            own.insert(key, value);
        }
    }
    TogetherTables::deserialize(toml::de::Deserializer::from(Spanned::new(span, own)))
        .map_err(|error| text.not_toml(&error))
}

fn jobs_of(text: &JobText, jobs: Option<Spanned<DeValue<'_>>>) -> Result<Vec<At<String>>, Refusal> {
    let refuse = |place: Place, what: &str| {
        Problem::at(place, what)
            .allowed("a list of job files or patterns, in quotes")
            .hint("write it as in jobs = [\"north.toml\", \"south.toml\"]")
    };
    let Some(jobs) = jobs else {
        let place = Place::in_file(text.name.clone());
        return Err(refuse(place, "the key `jobs` is missing").into());
    };
    let span = jobs.span();
    let DeValue::Array(entries) = jobs.into_inner() else {
        return Err(refuse(text.place(&span), "`jobs` is no list").into());
    };
    if entries.is_empty() {
        return Err(refuse(text.place(&span), "`jobs` is an empty list").into());
    }
    let mut problems = Vec::new();
    let mut list = Vec::new();
    for entry in entries {
        let span = entry.span();
        match entry.into_inner() {
            DeValue::String(path) if !path.trim().is_empty() => {
                list.push(At { value: path.into_owned(), span });
            }
            _ => problems.push(refuse(text.place(&span), "an entry of `jobs` names no file")),
        }
    }
    Refusal::unless_clean(problems, list)
}

#[cfg(test)]
pub(super) fn parse_fields(name: &str, text: String) -> Result<FieldsFile, Refusal> {
    let settings = SharedSettings::new(Path::new(name), name, text.clone());
    parse(&JobText::new(name, text, &[]), Path::new(""), settings)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<FieldsFile, Refusal> {
        let settings = SharedSettings::new(Path::new("fields.toml"), "fields.toml", text.into());
        parse(&JobText::new("fields.toml", text.to_owned(), &[]), Path::new(""), settings)
    }

    #[test]
    fn the_list_is_read_with_what_the_jobs_share_and_a_blank_is_no_setting() {
        let text = "jobs = [\"a.toml\", \"more/*.toml\"]\nunits = \"?\"\n[target]\nph = 6.5\n\
                    [need]\nmethod = \"?\"\n";
        let fields = read(text).unwrap();
        let jobs: Vec<&str> = fields.jobs.iter().map(|job| job.value.as_str()).collect();
        assert_eq!(jobs, ["a.toml", "more/*.toml"]);
        assert!(fields.shared.units.is_none());
        assert!(fields.shared.need.unwrap().value.method.is_none());
        assert_eq!(fields.shared.target.unwrap().value.ph.unwrap().value, 6.5);
    }

    #[test]
    fn what_is_no_list_of_jobs_is_refused_with_its_line() {
        for (text, part) in [
            ("units = \"us\"", "the key `jobs` is missing"),
            ("jobs = \"a.toml\"", "line 1, character 8: `jobs` is no list"),
            ("jobs = []", "an empty list"),
            ("jobs = [\"a.toml\", 3]", "an entry of `jobs` names no file"),
            ("jbs = []\n", "did you mean `jobs`?"),
            ("jobs = [\"a.toml\"]\n[target]\nphh = 6", "unknown key `target.phh`"),
            ("jobs = [\"a.toml\"]\n[target]\nph = \"6\"", "line 3"),
        ] {
            let said = read(text).unwrap_err().to_string();
            assert!(said.contains(part), "{text}: {said}");
        }
    }

    const SUPPLIER: &str = "[[supplier]]\nname = \"Quarry\"\nlimit = \"800 ton\"\n\
                            haul = { cost = \"0.25 $/ton-mile\", road_speed = \"40 mph\", \
                            load_time = \"40 min\" }\ndistance = { north = \"12 mi\" }\n\
                            [supplier.material]\nkind = \"calcitic limestone\"\n\
                            effective = \"63 % as received\"\nprice = \"14 $/ton\"\n\
                            price_at = \"plant\"\n";

    #[test]
    fn the_calendar_and_the_suppliers_are_read() {
        let text = format!(
            "jobs = [\"a.toml\"]\n[calendar]\nroad_factor = 1.3\nhours_a_day = \"10 h\"\n\
             spreaders = 2\nfirst_day = 2026-10-20\ndays_off = [\"Sunday\"]\n\
             closed = [2026-11-26]\nsequence = [\"north\"]\ncarry_over = true\n{SUPPLIER}"
        );
        let fields = read(&text).unwrap();
        let calendar = &fields.calendar;
        assert_eq!(calendar.road_factor, Some(1.3));
        assert_eq!(calendar.hours_a_day.unwrap().to_hours(), 10.0);
        assert_eq!((calendar.spreaders, calendar.trucks), (2, None));
        assert_eq!(calendar.first_day.unwrap().to_string(), "2026-10-20");
        assert_eq!((calendar.days_off.len(), calendar.closed.len()), (1, 1));
        assert!(calendar.carry_over);
        let less = text.replace("price_at", "supply_limit = \"300 ton\"\nprice_at");
        let limit = read(&less).unwrap().supply.suppliers[0].limit.unwrap();
        assert!((limit.to_short_tons() - 300.0).abs() < 1e-9, "what there is of it holds too");
        let supplier = &fields.supply.suppliers[0];
        assert!((supplier.limit.unwrap().to_short_tons() - 800.0).abs() < 1e-9);
        assert!((supplier.distances["north"].to_miles() - 12.0).abs() < 1e-9);
        assert_eq!(supplier.one_way_distance, None, "a distance that stands in is none");
        assert!(matches!(supplier.trip, Some(super::super::SupplierTrip::Driven { .. })));
        let lines = "[material]\nsupplier = \"Quarry\"\nkind = \"calcitic limestone\"\n";
        assert!(supplier.material_toml.starts_with(lines), "{}", supplier.material_toml);
        let haul = "[haul]\ncost = \"0.25 $/ton-mile\"\n";
        assert!(supplier.haul_toml.starts_with(haul), "{}", supplier.haul_toml);
        assert!(supplier.shared_beside.is_empty());
        assert_eq!(fields.supply.named[0].name, "north");
        let shared = "[material]\nmoisture = \"5 %\"\necce = \"60 % dry\"\n[haul]\n\
                      truck_payload = \"20 ton\"\none_way_distance = \"4 mi\"\n";
        let text = format!("jobs = [\"a.toml\"]\n{shared}{SUPPLIER}");
        let beside = &read(&text).unwrap().supply.suppliers[0].shared_beside;
        // The stated effective part takes the place of the shared one; the moisture would stay.
        assert_eq!(beside[..], ["haul.truck_payload", "material.moisture"]);
    }

    #[test]
    fn what_is_wrong_in_them_is_refused_at_its_place() {
        let calendar = |line: &str| format!("jobs = [\"a.toml\"]\n[calendar]\n{line}\n");
        let supplier = |from: &str, to: &str| {
            let changed = SUPPLIER.replace(from, to);
            assert_ne!(changed, SUPPLIER, "{from}");
            format!("jobs = [\"a.toml\"]\n{changed}")
        };
        for (text, part) in [
            (calendar("road_factor = 0.5"), "line 3, character 15"),
            (calendar("hours_a_day = \"30 h\""), "the hours of a day"),
            (calendar("spreaders = 0"), "`calendar.spreaders` is `0`"),
            (calendar("days_off = [\"sundey\"]"), "did you mean `sunday`?"),
            (calendar("sequence = [\"a\", \"a\"]"), "names `a` twice"),
            (calendar("first_day = 2026-10-20T10:00:00"), "a day without a time"),
            (
                calendar(
                    "days_off = [\"monday\", \"tuesday\", \"wednesday\", \"thursday\", \
                     \"friday\", \"saturday\", \"sunday\"]",
                ),
                "leaves no day to work on",
            ),
            (supplier("name = \"Quarry\"\n", ""), "a supplier lacks `name`"),
            (supplier("price = \"14 $/ton\"\n", ""), "lacks a price at the plant or delivered"),
            (supplier("\"plant\"", "\"spread\""), "lacks a price at the plant or delivered"),
            (supplier("cost = \"0.25 $/ton-mile\", ", ""), "lacks the haul cost"),
            (supplier("calcitic limestone", "gypsum"), "gypsum"),
            (supplier("800 ton", "800"), "line 4"),
            (
                supplier("price_at = \"plant\"\n", "price_at = \"plant\"\nsupply_limit = \"9\"\n"),
                "the supply limit",
            ),
            (
                supplier(
                    "price_at = \"plant\"\n",
                    "price_at = \"plant\"\nhaul = { cost = \"9 $/ton\" }\n",
                ),
                "two hauls",
            ),
            ("jobs = [\"a.toml\"]\n[supply]\nsplit = true\n".to_owned(), "the list names none"),
            (supplier("12 mi", "12"), "line 6"),
            (
                format!("{}{SUPPLIER}", supplier("14 $/ton", "14 EUR/ton")),
                "two suppliers are called",
            ),
            (format!("{}{SUPPLIER}", supplier("14 $/ton", "14 EUR/ton")), "one currency"),
            (
                format!(
                    "{}{}\n[supply]\nsplit = true\n",
                    supplier("Quarry", "Q2"),
                    SUPPLIER.replace("63 %", "60 %")
                ),
                "different effective parts",
            ),
            (calendar("roadfactor = 1.2"), "did you mean `road_factor`?"),
        ] {
            let said = read(&text).unwrap_err().to_string();
            assert!(said.contains(part), "{text}: {said}");
        }
    }
}
