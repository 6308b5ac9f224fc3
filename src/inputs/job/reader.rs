//! Reading a job file from the disk, and the list that its material is taken from.

use std::path::Path;

use super::Job;
use super::check::check_job;
use super::file::JobFile;
use super::keys::toml_text;
use super::listed::MaterialFrom;
use super::material_file::MaterialTable;
use super::material_list::{MaterialList, list_of};
use super::parse::JobText;
use super::shared::SharedSettings;
use crate::agronomy::all_methods;
use crate::findings::{Drawn, Problem, Refusal, both};
use crate::inputs::open::{InputFile, read_text};
use crate::units::LIMITS;

/// A job as it was read.
#[derive(Debug)]
pub struct ReadJob {
    /// The job.
    pub job: Job,
    /// Whether it names its lime-need method itself.
    pub states_method: bool,
    /// The files that it was read from: its own first.
    pub files: Vec<InputFile>,
}

/// What is taken for a job that leaves it open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct AnyOf {
    /// The first material that limes, where the job names a list of them and none of it: what the
    /// field needs is the same with any.
    pub material: bool,
    /// The first method that comes with the program, where the job names none: whoever asks which
    /// can run has not chosen yet.
    pub method: bool,
}

/// A job as it is asked for.
#[derive(Clone, Copy, Debug)]
pub struct JobSource<'a> {
    /// Its file.
    pub path: &'a Path,
    /// What it shares with other jobs: its own settings go before these.
    pub shared: Option<&'a SharedSettings>,
    /// What goes before both, each `key=value`.
    pub sets: &'a [String],
}

/// Reads and checks a job, and what `any` takes for what it leaves open.
///
/// # Errors
/// Refuses a file that cannot be read, text that is not TOML, unknown keys, and every value that
/// is missing, of the wrong kind or outside its limits; each with its line and character, in the
/// file in which it stands.
pub fn read_job(source: &JobSource<'_>, any: AnyOf) -> Result<ReadJob, Refusal> {
    read(source, any).map_err(|refusal| match source.shared {
        Some(shared) => refusal.drawn_on(shared.drawn()),
        None => refusal,
    })
}

fn read(source: &JobSource<'_>, any: AnyOf) -> Result<ReadJob, Refusal> {
    let JobSource { path, shared, sets } = *source;
    let name = path.display().to_string();
    let (text, file) = read_text(path, &name, "job", LIMITS.job_file_bytes)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    let drawn = Drawn { name: name.clone(), text: text.clone() };
    let mut text = JobText::new(&name, text, sets);
    if let Some(shared) = shared {
        text = text.with_shared(shared.under(folder)?);
    }
    let states_method = !any.method || text.states("need", "method");
    if !states_method {
        text = text.with_set(format!("need.method={}", toml_text(&all_methods()[0].card().id)));
    }
    let shape = text.parse().map_err(|refusal| refusal.drawn_on(drawn.clone()))?;
    let Some(list) = list_of(&shape, folder) else {
        let job = check_job(&shape, &text, folder, MaterialFrom::Job);
        let job = job.map_err(|refusal| refusal.drawn_on(drawn))?;
        return Ok(ReadJob { job, states_method, files: vec![file] });
    };
    let mut beside = beside_the_list(&shape, &text);
    let list = MaterialList::read(&list);
    let entry = match &list {
        Err(_) => MaterialFrom::Unread,
        Ok(list) => match list.find(&shape, &text, any.material) {
            Ok(entry) => MaterialFrom::List(list, entry),
            Err(problem) => {
                beside.push(problem);
                MaterialFrom::Unread
            }
        },
    };
    let job = both(check_job(&shape, &text, folder, entry), Refusal::unless_clean(beside, ()));
    // Whoever takes any of them wants to know what is wrong with each.
    let others = match &list {
        Ok(list) if any.material => of_others(list, &shape, &job),
        _ => Vec::new(),
    };
    let job = both(job, Refusal::unless_clean(others, ())).map(|((job, ()), ())| job);
    match (list, job) {
        (Ok(list), Ok(job)) => Ok(ReadJob { job, states_method, files: vec![file, list.file] }),
        (Ok(list), Err(refusal)) => Err(refusal.drawn_on(drawn).drawn_on(list.drawn())),
        (Err(of_list), Ok(_)) => Err(of_list),
        (Err(of_list), Err(refusal)) => Err(of_list.and(refusal).drawn_on(drawn)),
    }
}

/// What is wrong with entries of a list, and not told yet.
fn of_others<T>(list: &MaterialList, shape: &JobFile, job: &Result<T, Refusal>) -> Vec<Problem> {
    let (_, mut problems) = list.check(shape.haul.as_ref().map(|table| &table.value));
    if let Err(refusal) = job {
        problems.retain(|problem| !refusal.problems().contains(problem));
    }
    problems
}

/// What a job may not say of a material that it takes from a list.
fn beside_the_list(shape: &JobFile, text: &JobText) -> Vec<Problem> {
    let Some(table) = &shape.material else { return Vec::new() };
    let table = &table.value;
    let only = MaterialTable {
        from: table.from.clone(),
        name: table.name.clone(),
        lot: table.lot.clone(),
        quality: table.quality.clone(),
        ..MaterialTable::default()
    };
    if only == *table {
        return Vec::new();
    }
    let span = table.from.as_ref().map_or(0..0, |from| from.span.clone());
    vec![
        Problem::at(text.place(&span), "the material is taken from a list and described as well")
            .allowed("beside `from`: `name`, `lot` and `quality`")
            .hint(
                "leave out what the list says, or describe the material here and leave out `from`",
            ),
    ]
}
