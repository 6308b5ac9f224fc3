//! Which methods can read the samples of a job, and what those that can come to on its field.

use std::path::Path;

use rayon::prelude::*;

use super::Allowed;
use super::crops::are_alike;
use super::own_table::method_of;
use super::reading::{Fitted, Gathered, fit, gather, unverified_scheme};
use super::reasons::{reasons, why_not_run};
use super::side_by_side::SideBySide;
use crate::agronomy::{Aim, AlExtract, Buffer, MethodCard, MethodMedium, Reads, all_methods};
use crate::error::Error;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::{Job, JobSource};
use crate::summary::{
    ADVICE_SHAPE, AdvisedMethodPart, AtHandPart, BeyondRowsPart, FieldNames, MethodAdvice,
    MethodStanding, Program, Quantity, cautions, finding_part, input_part, method_spread,
};
use crate::units::{SoilValue, ph_words};

/// What is told of the methods on a job.
#[derive(Debug)]
pub struct Advised {
    /// The methods, in numbers and words.
    pub advice: MethodAdvice,
    /// What the data of the job told.
    pub findings: Vec<Finding>,
}

/// Holds every method against the samples of the job `path`, and with `side_by_side` runs those
/// that can read them. A job that names no method yet is taken, too. Writes nothing.
///
/// What keeps a method from running is what would refuse a job that names it; no rule stands here
/// twice. A method that fails on the way is told with its reason.
///
/// # Errors
/// Refuses a job that cannot be read or whose own method is not known; with `side_by_side` also one
/// whose target is a pH in no known medium.
pub fn advise_methods(
    path: &Path,
    sets: &[String],
    side_by_side: bool,
    allowed: Allowed,
) -> Result<Advised, Error> {
    let source = JobSource { path, shared: None, sets };
    let gathered = gather(&source, Allowed { any_method: true, ..allowed })?;
    let job = &gathered.job;
    Refusal::unless_clean(unverified_scheme(job, allowed).into_iter().collect(), ())?;
    let own = gathered.states_method.then(|| method_of(job)).transpose()?;
    let own = own.as_ref().map(|(method, _)| method.card());
    let medium = target_medium(job, own);
    if side_by_side && job.target.aim.ph().is_some() && medium.is_none() {
        return Err(no_medium(job).into());
    }
    let jobs = a_job_for_each(job, own);
    let held = jobs.par_iter().map(|with| hold(&gathered, with, own, medium, allowed));
    let mut held: Vec<Held> = held.collect::<Result<_, Refusal>>()?;
    let mut findings = gathered.findings.clone();
    // What is told of material and target is the same whatever the method.
    if let Some(first) = held.iter().find_map(|held| held.fitted.as_ref()) {
        findings.extend(first.about.iter().cloned());
    }
    let mut ran = None;
    if side_by_side {
        let mut some = held.iter().filter(|held| held.part.standing == MethodStanding::CanRun);
        if let Some(first) = some.find_map(|held| held.fitted.as_ref()) {
            let field = SideBySide::lay(&gathered, &first.layers)?;
            findings.extend(field.findings().iter().cloned());
            held.par_iter_mut().zip(&jobs).for_each(|(held, with)| held.run(&field, with));
            ran = Some(Quantity::from(job.units.area(field.area())));
        }
    }
    let methods: Vec<AdvisedMethodPart> = held.into_iter().map(|held| held.part).collect();
    let all_cautions = cautions(job.material.kind);
    let told = if ran.is_some() { all_cautions.len() } else { 1 };
    let advice = MethodAdvice {
        schema: ADVICE_SHAPE.to_owned(),
        program: Program::this(),
        field: FieldNames::of(job),
        units: job.units.words().to_owned(),
        job_method: own.map(|card| card.id.clone()),
        target: job.target.aim.words(),
        target_medium: medium.map(|medium| medium.words().to_owned()),
        limed_depth: job.units.depth(job.limed_depth).into(),
        sampled_depth: job.units.depths(job.samples.sampled_depth),
        samples: gathered.placed.iter().map(|layer| layer.together().samples.ids.len()).sum(),
        at_hand: at_hand(&gathered),
        material: ran.as_ref().map(|_| job.material.name.clone()),
        area: ran,
        spread: method_spread(&methods),
        methods,
        findings: findings.iter().map(finding_part).collect(),
        cautions: all_cautions.into_iter().take(told).collect(),
        inputs: gathered.inputs.iter().map(input_part).collect(),
    };
    Ok(Advised { advice, findings })
}

/// The medium in which the job's target is a pH: that of the guide whose crop decides it, or that
/// of the job's own method; `None` where it is no pH, or nothing says which.
fn target_medium(job: &Job, own: Option<&MethodCard>) -> Option<MethodMedium> {
    job.target.aim.ph()?;
    let of_guide = job.target.by_crop.as_ref().and_then(|by_crop| by_crop.guide.medium());
    // A method that limes to no pH has no medium of one.
    let own = own.filter(|card| card.aim == Aim::Ph);
    of_guide.or_else(|| own.map(|card| card.ph_medium))
}

fn no_medium(job: &Job) -> Refusal {
    let what = "the job names no method, so nothing says in which medium its target is a pH, and \
                methods cannot be compared";
    Problem::at(Place::in_file(&job.file), what)
        .allowed("a job with need.method, whose medium the target is in")
        .hint(
            "name one, also for once as --set need.method=ID; without --side-by-side all that can \
             run are listed",
        )
        .into()
}

/// The job with each method in place of its own; one that the user brings comes first.
fn a_job_for_each(job: &Job, own: Option<&MethodCard>) -> Vec<Job> {
    let ids = all_methods().iter().map(|method| method.card().id.as_str());
    let is_brought = own.is_some_and(|own| ids.clone().all(|id| id != own.id));
    let brought = is_brought.then(|| job.clone());
    let with = |id: &str| Job {
        method: id.to_owned(),
        own_table: None,
        recommendation: None,
        ..job.clone()
    };
    brought.into_iter().chain(ids.map(with)).collect()
}

/// One method held against the samples.
struct Held {
    part: AdvisedMethodPart,
    /// The method fitted to them, where it can read them.
    fitted: Option<Fitted>,
}

/// Holds the method of the job `with` against what was gathered.
fn hold(
    gathered: &Gathered,
    with: &Job,
    own: Option<&MethodCard>,
    medium: Option<MethodMedium>,
    allowed: Allowed,
) -> Result<Held, Refusal> {
    let (method, _) = method_of(with)?;
    let card = method.card();
    let (fitted, mut problems) = match fit(with, gathered.placed.clone(), allowed) {
        Ok(fitted) => (Some(fitted), Vec::new()),
        Err(refusal) => (None, refusal.into_problems()),
    };
    problems.extend(unlike_medium(with, card, own, medium));
    let standing = match (&fitted, problems.is_empty()) {
        (Some(_), true) => MethodStanding::CanRun,
        (Some(_), false) => MethodStanding::NotComparable,
        (None, _) => MethodStanding::CannotRun,
    };
    let part = AdvisedMethodPart {
        id: card.id.clone(),
        title: card.title.clone(),
        region: card.region.clone(),
        soils: card.soils.clone(),
        reads: card.reads.words(),
        table_depth: card.depth.map(|_| card.depth_words.clone()),
        ph_medium: card.ph_medium.words().to_owned(),
        is_of_job: own.is_some_and(|own| own.id == card.id),
        from_memory: card.from_memory,
        standing,
        reasons: reasons(&problems),
        notes: fitted
            .iter()
            .flat_map(|fitted| &fitted.told)
            .map(|told| told.text.clone())
            .collect(),
        beyond_rows: fitted.as_ref().map(beyond_rows),
        result: None,
    };
    Ok(Held { part, fitted })
}

/// A target is a pH in one medium, and a job carries it into no other.
fn unlike_medium(
    with: &Job,
    card: &MethodCard,
    own: Option<&MethodCard>,
    medium: Option<MethodMedium>,
) -> Option<Problem> {
    let (ph, medium) = with.target.aim.ph().zip(medium)?;
    // A guide's target in another medium has been refused in the guide's own words.
    let by_guide = with.target.by_crop.as_ref().and_then(|by_crop| by_crop.guide.medium());
    if by_guide.is_some() || are_alike(medium, card.ph_medium) {
        return None;
    }
    let as_own = own.map_or_else(String::new, |own| format!(" as `{}` takes it", own.id));
    let what = format!(
        "the job's target, pH {}, is in {}{as_own}, and `{}` takes its target in {}: no target is \
         carried from one medium to another",
        ph_words(ph),
        medium.words(),
        card.id,
        card.ph_medium.words()
    );
    Some(Problem::at(Place::in_file(&with.file), what).hint(format!(
        "ask it by itself with its own target, as --set need.method={} --set target.ph=…",
        card.id
    )))
}

fn beyond_rows(fitted: &Fitted) -> BeyondRowsPart {
    let layers = || fitted.layers.iter().map(|layer| layer.beyond);
    let (below, above) = (layers().map(|l| l.below).sum(), layers().map(|l| l.above).sum());
    let samples: usize = layers().map(|layer| layer.samples).sum();
    BeyondRowsPart { below, above, share: (below + above) as f64 / samples.max(1) as f64 }
}

impl Held {
    /// Runs the method on the field, where it can run and is compared.
    fn run(&mut self, field: &SideBySide<'_>, with: &Job) {
        let Some(fitted) = &self.fitted else { return };
        if self.part.standing != MethodStanding::CanRun {
            return;
        }
        match field.run(with, &fitted.layers) {
            Ok(result) => self.part.result = Some(result),
            Err(error) => {
                self.part.standing = MethodStanding::Failed;
                self.part.reasons = why_not_run(error);
            }
        }
    }
}

/// What was read of the samples, and in what.
fn at_hand(gathered: &Gathered) -> Vec<AtHandPart> {
    let samples = &gathered.job.samples;
    let Some(top) = gathered.placed.first() else { return Vec::new() };
    let top = top.together();
    let units = top.units();
    let measured_in = |reads: Reads| match reads {
        Reads::Ph => Some(samples.ph_medium.words().to_owned()),
        Reads::BufferPh => samples.buffer.map(Buffer::words).map(str::to_owned),
        Reads::Texture => None,
        Reads::Value(value) => {
            let extract = samples.al_extract.filter(|_| value == SoilValue::Aluminium);
            let by =
                extract.map(AlExtract::words).map_or_else(String::new, |by| format!(" by {by}"));
            Some(format!("{}{by}", units.get(value)?))
        }
    };
    Reads::all()
        .filter(|&reads| top.has(reads))
        .map(|reads| AtHandPart { key: reads.key().to_owned(), measured_in: measured_in(reads) })
        .collect()
}
