//! From the shape of a job to a checked job; all problems are collected before any is told.

use std::path::Path;

use super::check_areas::wanted_of;
use super::check_history::whole_months;
use super::check_layers::Limed;
use super::file::{JobFile, NeedTable};
use super::listed::{Bought, MaterialFrom};
use super::material_list::list_of;
use super::parse::JobText;
use super::written::{At, Day, Written};
use super::{DatesPart, FieldPart, Job, NamedFile, OrderPart, SamplesPart};
use crate::agronomy::{Placement, own_table_file};
use crate::findings::{Place, Problem, Refusal, nearest_of};
use crate::machine::Machine;
use crate::units::{Bounded, Heading, Length, Share, UnitSystem, bound};

/// Reads values out of a job's shape and collects what is wrong with them.
pub(super) struct Checker<'t> {
    pub(super) text: &'t JobText,
    pub(super) folder: &'t Path,
    pub(super) problems: Vec<Problem>,
    /// Whether keys that are not there are missed.
    pub(super) whole: bool,
}

/// Checks `file` and builds the job.
///
/// # Errors
/// Refuses with every problem that the job has.
pub(super) fn check_job(
    file: &JobFile,
    text: &JobText,
    folder: &Path,
    material: MaterialFrom<'_>,
) -> Result<Job, Refusal> {
    let mut checker = Checker::of(text, folder);
    let job = checker.job(file, material);
    let Checker { problems, .. } = checker;
    let job = Refusal::unless_clean(problems, job)?;
    // A part that is missing without a problem of its own says why elsewhere: in the list of
    // materials that could not be read.
    job.ok_or_else(|| {
        Problem::at(Place::in_file(text.name.clone()), "the job is incomplete").into()
    })
}

impl<'t> Checker<'t> {
    /// A checker of a whole file.
    pub(super) fn of(text: &'t JobText, folder: &'t Path) -> Self {
        Self { text, folder, problems: Vec::new(), whole: true }
    }

    /// A checker of values for a job that is not whole yet: what is not there is not missed.
    pub(super) fn of_settings(text: &'t JobText, folder: &'t Path) -> Self {
        Self { text, folder, problems: Vec::new(), whole: false }
    }

    /// What is wrong, each once, although a value may have been looked at twice.
    pub(super) fn into_problems(self) -> Vec<Problem> {
        let mut problems: Vec<Problem> = Vec::new();
        for problem in self.problems {
            if !problems.contains(&problem) {
                problems.push(problem);
            }
        }
        problems
    }
}

impl Checker<'_> {
    pub(super) fn job(&mut self, file: &JobFile, material: MaterialFrom<'_>) -> Option<Job> {
        let units = self.one_of("units", file.units.as_ref(), &["us", "metric"]);
        let units = match units {
            Some("us") => Some(UnitSystem::Us),
            Some(_) => Some(UnitSystem::Metric),
            None => None,
        };
        let field = self.field(file);
        let dates = self.dates(file);
        let need = file.need.as_ref().map(|table| &table.value);
        let method = self
            .required(
                "need.method",
                "the lime-need method; `limewright methods` lists them",
                need.and_then(|table| table.method.as_ref()),
            )
            .cloned();
        let own_table = method.as_ref().and_then(|method| self.own_table(method));
        let limed_depth = self
            .required(
                "need.limed_depth",
                "the depth that the lime is to act on; it changes the tons and has no default",
                need.and_then(|table| table.limed_depth.as_ref()),
            )
            .and_then(|depth| self.quantity(depth, &bound::LIMED_DEPTH))
            .map(Length::from_metres);
        let placements: Vec<&str> =
            Placement::ALL.iter().map(|placement| placement.words()).collect();
        let placement = self
            .required(
                "need.placement",
                "how the lime is placed: tilled, no-till or established stand",
                need.and_then(|table| table.placement.as_ref()),
            )
            .and_then(|placement| self.one_of("need.placement", Some(placement), &placements))
            .and_then(Placement::from_words);
        let limed = Limed { units, depth: limed_depth, placement };
        let samples = self.samples(file, limed);
        let history = self.history(file);
        let soil_class = self.soil_class(file);
        let recommendation = self.recommendation(file);
        let target = self.target_or_recommended(file, recommendation.as_ref());
        if let (Some(samples), Some(limed)) = (&samples, limed_depth) {
            self.samples_speak_of(samples, limed, need);
        }
        let risk = self.risk(file);
        let bought = self.bought(file, material);
        let quality = self.quality(file);
        let machine = self.machine(file);
        let (cell, heading) = self.grid(file, machine.as_ref());
        let order = self.order(file);
        let going_over = self.going_over(file);
        let single_rate = self.single_rate(file);
        let effective = bought.as_ref().map(|bought| bought.material.effective);
        let held = match (&machine, single_rate, effective, going_over) {
            (Some(machine), Some(most), Some(effective), Some(over)) => {
                self.held(machine, most, effective, over, file)
            }
            _ => None,
        };
        // Overridden rates are of all applications together.
        let overrides = self.overrides(file, held.as_ref().or(machine.as_ref()));
        let rate_areas = self.rate_areas(file, held.as_ref().or(machine.as_ref()));
        let unmet_told_from = self.unmet_told_from(file);
        let upkeep = self.upkeep(file);
        let export = self.export(file);
        let Bought { material, lot, haul } = bought?;
        Some(Job {
            file: self.text.name.clone(),
            units: units?,
            field: field?,
            dates,
            samples: samples?,
            history: history?,
            soil_class,
            target: target?,
            method: method?.value.trim().to_owned(),
            own_table,
            recommendation,
            limed_depth: limed_depth?,
            placement: placement?,
            risk: risk?,
            material,
            material_list: list_of(file, self.folder),
            lot,
            quality: quality?,
            machine: held?,
            spreader: machine?,
            single_rate: single_rate?,
            going_over: going_over?,
            unmet_told_from: unmet_told_from?,
            upkeep: upkeep?,
            cell: cell?,
            heading: heading?,
            rate_areas: rate_areas?,
            overrides: overrides?,
            order: order?,
            haul,
            export: export?,
            effective: file.clone(),
        })
    }

    /// The side of a cell, and the direction of travel.
    fn grid(
        &mut self,
        file: &JobFile,
        machine: Option<&Machine>,
    ) -> (Option<Length>, Option<Heading>) {
        let grid = file.grid.as_ref().map(|table| table.value.clone()).unwrap_or_default();
        let cell = match &grid.cell {
            Some(cell) => self.quantity(cell, &bound::CELL).map(Length::from_metres),
            None => machine.map(|machine| machine.pass_spacing),
        };
        let heading = match &grid.heading {
            Some(heading) => self.quantity(heading, &bound::HEADING),
            None => Some(0.0),
        };
        (cell, heading.map(Heading::from_degrees))
    }

    /// Samples from below the limed depth do not speak of it.
    fn samples_speak_of(&mut self, samples: &SamplesPart, limed: Length, need: Option<&NeedTable>) {
        if samples.layers.is_some() || samples.sampled_depth.top() < limed {
            return;
        }
        let span = need.and_then(|table| table.limed_depth.as_ref()).map(|at| at.span.clone());
        let what = "the samples come from below the limed depth, so they do not speak of it";
        self.problems.push(
            Problem::at(self.text.place(&span.unwrap_or(0..0)), what)
                .allowed("sampled and limed depths that overlap")
                .hint("correct samples.sampled_depth or need.limed_depth"),
        );
    }

    fn field(&mut self, file: &JobFile) -> Option<FieldPart> {
        let table = file.field.as_ref().map(|table| &table.value);
        let boundary = self.required(
            "field.boundary",
            "the file with the field's boundary",
            table.and_then(|table| table.boundary.as_ref()),
        );
        let boundary = self.named_file(boundary?);
        let stem = boundary.path.file_stem().map(|stem| stem.to_string_lossy().into_owned());
        // A name without a letter is none.
        let text = |value: &Option<At<String>>| {
            let text = value.as_ref().map(|text| text.value.clone());
            text.filter(|text| !text.trim().is_empty())
        };
        let table = table?;
        let site = self.site(table);
        let keep_out = self.keep_out(table)?;
        let name = text(&table.name).or(stem).unwrap_or_else(|| "field".to_owned());
        Some(FieldPart {
            name,
            site,
            customer: text(&table.customer),
            farm: text(&table.farm),
            boundary,
            wanted: wanted_of(
                table.layer.as_ref(),
                table.select.as_ref(),
                table.coordinate_system.as_ref(),
            ),
            keep_out,
        })
    }

    fn dates(&mut self, file: &JobFile) -> DatesPart {
        let Some(table) = file.dates.as_ref().map(|table| table.value.clone()) else {
            return DatesPart::default();
        };
        let date = |day: Option<&At<Day>>| day.and_then(|day| day.value.0.date);
        let (sampled, spread) = (date(table.sampled.as_ref()), date(table.spread.as_ref()));
        let between = |from, to| {
            let (from, to) = Option::zip(from, to)?;
            whole_months(from, to)
        };
        DatesPart {
            months_from_sampling: between(sampled, spread),
            months_to_seeding: between(spread, date(table.seeding.as_ref())),
            seeding: self.day("dates.seeding", table.seeding.as_ref()),
            legume: table.legume.is_some_and(|legume| legume.value),
            sampled: self.day("dates.sampled", table.sampled.as_ref()),
            spread: self.day("dates.spread", table.spread.as_ref()),
            further_spread: self.further_days(file),
            revision: table.revision.map(|revision| revision.value),
        }
    }

    pub(super) fn day(&mut self, key: &str, day: Option<&At<Day>>) -> Option<String> {
        let At { value: Day(stamp), span } = day?;
        if let (Some(date), None) = (stamp.date, stamp.time) {
            return Some(date.to_string());
        }
        let problem = Problem::at(self.text.place(span), format!("`{key}` is `{stamp}`"))
            .allowed("a day without a time")
            .hint("write it as 2026-09-18, without quotes");
        self.problems.push(problem);
        None
    }

    fn order(&mut self, file: &JobFile) -> Option<OrderPart> {
        let table = file.order.as_ref().map(|table| table.value.clone()).unwrap_or_default();
        Some(OrderPart {
            overlap_allowance: self.share(table.overlap_allowance.as_ref())?,
            pile_loss: self.share(table.pile_loss.as_ref())?,
            whole_trucks: table.whole_trucks.is_none_or(|whole| whole.value),
        })
    }

    fn share(&mut self, written: Option<&At<Written>>) -> Option<Share> {
        match written {
            None => Some(Share::NONE),
            Some(written) => self.quantity(written, &bound::ALLOWANCE).and_then(Share::from_number),
        }
    }

    pub(super) fn required<'v, T>(
        &mut self,
        key: &str,
        meaning: &str,
        value: Option<&'v At<T>>,
    ) -> Option<&'v At<T>> {
        if value.is_none() && self.whole {
            let problem = Problem::at(
                Place::in_file(self.text.name.clone()),
                format!("the key `{key}` is missing"),
            )
            .allowed(meaning)
            .hint(add_to_its_table(key));
            self.problems.push(problem);
        }
        value
    }

    pub(super) fn quantity(&mut self, written: &At<Written>, bounded: &Bounded) -> Option<f64> {
        match bounded.read(&written.value.0) {
            Ok(si) => Some(si),
            Err(misread) => {
                let place = self.text.place(&written.span);
                self.problems.push(Problem::misread(place, bounded.words, misread));
                None
            }
        }
    }

    pub(super) fn ph(&mut self, reading: &At<f64>, bounded: &Bounded) -> Option<f64> {
        match bounded.check(reading.value, &format!("{}", reading.value)) {
            Ok(ph) => Some(ph),
            Err(misread) => {
                let place = self.text.place(&reading.span);
                self.problems.push(Problem::misread(place, bounded.words, misread));
                None
            }
        }
    }

    pub(super) fn one_of<'k>(
        &mut self,
        key: &str,
        written: Option<&At<String>>,
        known: &[&'k str],
    ) -> Option<&'k str> {
        let quoted: Vec<String> = known.iter().map(|word| format!("`{word}`")).collect();
        let written = self.required(key, &format!("one of {}", quoted.join(", ")), written)?;
        let typed = written.value.trim().to_lowercase();
        if let Some(word) = known.iter().find(|word| word.to_lowercase() == typed) {
            return Some(word);
        }
        let hint = nearest_of(&typed, known).map_or_else(
            || "choose one of them".to_owned(),
            |near| format!("did you mean `{near}`?"),
        );
        let problem =
            Problem::at(self.text.place(&written.span), format!("`{key}` is `{}`", written.value))
                .allowed(quoted.join(", "))
                .hint(hint);
        self.problems.push(problem);
        None
    }

    /// The file of a user's own method table, where the method is one.
    fn own_table(&mut self, method: &At<String>) -> Option<NamedFile> {
        let file = own_table_file(&method.value)?;
        if file.is_empty() {
            let place = self.text.place(&method.span);
            self.problems.push(
                Problem::at(place, "`need.method` is `file:` without a file")
                    .allowed("`file:` and the file with the table, such as `file:my_table.toml`"),
            );
        }
        Some(self.named_file(&At { value: file.to_owned(), span: method.span.clone() }))
    }

    pub(super) fn named_file(&self, given: &At<String>) -> NamedFile {
        NamedFile { given: given.value.clone(), path: self.folder.join(&given.value) }
    }
}

fn add_to_its_table(key: &str) -> String {
    match key.rsplit_once('.') {
        Some((table, key)) => format!("add `{key}` to `[{table}]`"),
        None => format!("add `{key}` at the head of the file, before the first table"),
    }
}
