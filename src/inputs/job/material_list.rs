//! A list of materials in a file: reading it, and finding one in it.

use std::path::Path;

use super::file::JobFile;
use super::haul_file::HaulTable;
use super::listed::{Bought, Listed, Offer, check_entry, does_not_lime, over_other_horizons};
use super::material_file::MaterialTable;
use super::material_list_file::{MATERIAL_LIST_FILE_SCHEMA, MaterialListFile};
use super::parse::JobText;
use super::written::At;
use super::{Job, NamedFile};
use crate::findings::{Drawn, Place, Problem, Refusal, nearest_of};
use crate::inputs::open::{InputFile, read_text};
use crate::units::{Currency, LIMITS};

/// A list of materials as it was read; its entries are checked when one is taken.
#[derive(Debug)]
pub(super) struct MaterialList {
    pub(super) text: JobText,
    pub(super) file: InputFile,
    entries: Vec<At<MaterialTable>>,
    drawn: Drawn,
}

/// A checked list of materials.
#[derive(Clone, Debug)]
pub struct ReadMaterials {
    /// Its entries, in the order of the file.
    pub list: Vec<Listed>,
    /// The file.
    pub file: InputFile,
}

/// Reads and checks the list `file` for a job.
///
/// # Errors
/// Refuses a file that cannot be read, text that is not TOML, unknown keys, names that occur twice,
/// and every value that is missing, of the wrong kind or outside its limits. A material that
/// does not lime is no error.
pub fn read_materials(file: &NamedFile, job: &Job) -> Result<ReadMaterials, Refusal> {
    let list = MaterialList::read(file)?;
    let haul = job.effective.haul.as_ref().map(|table| &table.value);
    let (checked, problems) = list.check(haul);
    Refusal::unless_clean(problems, ReadMaterials { list: checked, file: list.file.clone() })
        .map_err(|refusal| refusal.drawn_on(list.drawn()))
}

impl MaterialList {
    /// Reads the list and finds that every entry has a name of its own.
    ///
    /// # Errors
    /// Refuses what is no list of materials.
    pub(super) fn read(file: &NamedFile) -> Result<Self, Refusal> {
        let limit = LIMITS.job_file_bytes;
        let (text, input) = read_text(&file.path, &file.given, "materials", limit)?;
        let drawn = Drawn { name: file.given.clone(), text: text.clone() };
        let text = JobText::new(&file.given, text, &[]);
        let shape: Result<MaterialListFile, Refusal> = text.parse_as(&MATERIAL_LIST_FILE_SCHEMA);
        let shape = shape.map_err(|refusal| refusal.drawn_on(drawn.clone()))?;
        let entries = shape.material.map(|list| list.value).unwrap_or_default();
        let list = Self { text, file: input, entries, drawn };
        let problems = list.without_a_name_of_their_own();
        Refusal::unless_clean(problems, ())
            .map_err(|refusal| refusal.drawn_on(list.drawn.clone()))?;
        Ok(list)
    }

    fn without_a_name_of_their_own(&self) -> Vec<Problem> {
        let file = || Place::in_file(self.text.name.clone());
        if self.entries.is_empty() {
            return vec![
                Problem::at(file(), "the list holds no material")
                    .allowed("one `[[material]]` for each, with the keys of a job's `[material]`")
                    .hint("`limewright schema material-list` prints what may stand in it"),
            ];
        }
        let mut problems = Vec::new();
        for (at, entry) in self.entries.iter().enumerate() {
            let place = self.text.place(&entry.span);
            if entry.value.name.is_none() {
                let problem = Problem::at(place, format!("material {} has no name", at + 1))
                    .allowed("a name by which a job asks for it")
                    .hint("add `name` to its `[[material]]`");
                problems.push(problem);
            } else if self.entries[..at].iter().any(|other| same_name_and_lot(other, entry)) {
                let what = format!("the material {} stands in the list twice", with_lot(entry));
                let problem = Problem::at(place, what)
                    .allowed("a name of its own for each, or lots that differ")
                    .hint("rename one of them, or give each its `lot`");
                problems.push(problem);
            }
        }
        problems
    }

    /// The entry that a job asks for; with `any`, the first that limes where it asks for none.
    ///
    /// # Errors
    /// Refuses a name or lot that no entry has, with the nearest and all of them, and one that
    /// several have.
    pub(super) fn find(
        &self,
        job: &JobFile,
        text: &JobText,
        any: bool,
    ) -> Result<&At<MaterialTable>, Problem> {
        let table = job.material.as_ref().map(|table| &table.value);
        let name = table.and_then(|table| table.name.as_ref());
        let lot = table.and_then(|table| table.lot.as_ref());
        let all = || -> String {
            let names: Vec<String> = self.entries.iter().map(with_lot).collect();
            names.join(", ")
        };
        let Some(name) = name else {
            let limes = |entry: &&At<MaterialTable>| does_not_lime(&entry.value).is_none();
            if let Some(first) = self.entries.iter().find(limes).filter(|_| any) {
                return Ok(first);
            }
            let what = "the key `material.name` is missing";
            return Err(Problem::at(Place::in_file(text.name.clone()), what)
                .allowed(format!("a material of `{}`: {}", self.text.name, all()))
                .hint("add `name` to `[material]`, or run `limewright materials` to choose one"));
        };
        let named: Vec<&At<MaterialTable>> = self
            .entries
            .iter()
            .filter(|entry| is_same(entry.value.name.as_ref(), &name.value))
            .collect();
        if named.is_empty() {
            let names: Vec<&str> = self
                .entries
                .iter()
                .filter_map(|entry| Some(entry.value.name.as_ref()?.value.as_str()))
                .collect();
            let hint = nearest_of(&name.value, &names).map_or_else(
                || "choose one of them, or add it to the list".to_owned(),
                |near| format!("did you mean `{near}`?"),
            );
            let what = format!("`{}` holds no material `{}`", self.text.name, name.value);
            return Err(Problem::at(text.place(&name.span), what).allowed(all()).hint(hint));
        }
        let fits = |entry: &&&At<MaterialTable>| {
            lot.is_none_or(|lot| is_same(entry.value.lot.as_ref(), &lot.value))
        };
        let fitting: Vec<&At<MaterialTable>> = named.iter().filter(fits).copied().collect();
        let lots: Vec<String> = named.iter().map(|entry| with_lot(entry)).collect();
        match (fitting.as_slice(), lot) {
            ([only], _) => Ok(only),
            (_, None) => {
                let what = format!("`{}` holds several lots of `{}`", self.text.name, name.value);
                Err(Problem::at(text.place(&name.span), what)
                    .allowed(lots.join(", "))
                    .hint("add `lot` to `[material]`"))
            }
            (_, Some(lot)) => {
                let what = format!(
                    "`{}` holds no lot `{}` of `{}`",
                    self.text.name, lot.value, name.value
                );
                Err(Problem::at(text.place(&lot.span), what)
                    .allowed(lots.join(", "))
                    .hint("choose one of them"))
            }
        }
    }

    /// Checks every entry for a job with this haul; with all that is wrong.
    pub(super) fn check(&self, haul_of_job: Option<&HaulTable>) -> (Vec<Listed>, Vec<Problem>) {
        let (mut checked, mut problems) = (Vec::new(), Vec::new());
        let mut currency: Option<Currency> = None;
        for entry in &self.entries {
            if let Some((kind, why)) = does_not_lime(&entry.value) {
                let supplier = entry.value.supplier.as_ref().map(|text| text.value.clone());
                checked.push(Listed::DoesNotLime { name: name_of(entry), supplier, kind, why });
                continue;
            }
            match self.offer(entry, haul_of_job) {
                Ok(offer) => {
                    problems.extend(self.other_currency(entry, &offer, &mut currency));
                    checked.push(Listed::Offer(Box::new(offer)));
                }
                Err(found) => problems.extend(found),
            }
        }
        (checked, problems)
    }

    fn offer(
        &self,
        entry: &At<MaterialTable>,
        haul_of_job: Option<&HaulTable>,
    ) -> Result<Offer, Vec<Problem>> {
        let Bought { material, lot, haul } = check_entry(&self.text, entry, haul_of_job)?;
        let over_other_horizons = over_other_horizons(&self.text, entry, &material)?;
        Ok(Offer { material, over_other_horizons, lot, haul })
    }

    /// The text that problems of its entries point into.
    pub(super) fn drawn(&self) -> Drawn {
        self.drawn.clone()
    }

    /// Costs in two currencies cannot be compared.
    fn other_currency(
        &self,
        entry: &At<MaterialTable>,
        offer: &Offer,
        first: &mut Option<Currency>,
    ) -> Option<Problem> {
        let price = offer.material.price.as_ref().map(|price| &price.currency);
        let cost = || Some(&offer.haul.as_ref()?.cost.as_ref()?.currency);
        let currency = price.or_else(cost)?;
        let known = first.get_or_insert_with(|| currency.clone());
        (!known.is_same_as(currency)).then(|| {
            let what = format!(
                "the material {} is priced in {}, and one before it in {}",
                with_lot(entry),
                currency.words(),
                known.words()
            );
            Problem::at(self.text.place(&entry.span), what)
                .allowed("one currency in a list")
                .hint("convert one of the two")
        })
    }
}

fn name_of(entry: &At<MaterialTable>) -> String {
    entry.value.name.as_ref().map_or_else(String::new, |name| name.value.clone())
}

fn with_lot(entry: &At<MaterialTable>) -> String {
    let name = name_of(entry);
    match &entry.value.lot {
        Some(lot) => format!("`{name}` (lot `{}`)", lot.value),
        None => format!("`{name}`"),
    }
}

fn same_name_and_lot(a: &At<MaterialTable>, b: &At<MaterialTable>) -> bool {
    let lot_of = |entry: &At<MaterialTable>| {
        entry.value.lot.as_ref().map(|lot| lot.value.trim().to_lowercase())
    };
    is_same(a.value.name.as_ref(), &name_of(b)) && lot_of(a) == lot_of(b)
}

fn is_same(written: Option<&At<String>>, wanted: &str) -> bool {
    written.is_some_and(|text| text.value.trim().to_lowercase() == wanted.trim().to_lowercase())
}

/// The list that a job takes its material from, as it names it.
pub(super) fn list_of(job: &JobFile, folder: &Path) -> Option<NamedFile> {
    let from = job.material.as_ref()?.value.from.as_ref()?;
    Some(NamedFile { given: from.value.clone(), path: folder.join(&from.value) })
}
