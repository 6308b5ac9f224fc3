//! The plan: what each field gets where there is not enough.

use super::candidate::Candidate;
use super::counted::{Counted, cost_of};
use super::error::PlanError;
use super::flags::found;
use super::in_years::YearPool;
use super::ledger::Masses;
use super::options::{HowTaken, Taking};
use super::pool::{Fate, Pool, TooMuch};
use super::pools::{Sharing, sharings};
use super::shape::{Plan, PlanGap, PlanResponse, PlannedField, PoolPart, PoolYear};
use super::why::Say;
use super::worth::{RANKS, Worth};
use super::{notes, response, rule};
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::{AllotmentPart, Take};
use crate::prescription::Imbalance;
use crate::roster::{FieldRow, Fields};
use crate::summary::{Quantity, ph_area};
use crate::units::{Area, ProductMass, UnitSystem, plain};

/// Shares out what there is among the fields, in one year or over several.
///
/// # Errors
/// Refuses names that no field has, fields that must get lime and take more than there is, one limit
/// of tons for several materials, and costs that are not known; returns a ledger that does not
/// balance as a fault of the program.
pub fn allot(
    fields: &Fields,
    asked: &AllotmentPart,
    system: UnitSystem,
) -> Result<Plan, PlanError> {
    let rows: Vec<&FieldRow> = fields.rows().collect();
    let candidates = candidates_of(&rows, asked.take)?;
    let flags = Flags::of(&rows, asked)?;
    let failed: Vec<&str> = fields.failures().map(|failed| failed.id.as_str()).collect();
    let mut pools = Vec::new();
    let mut fates: Vec<Option<Planned>> = vec![None; rows.len()];
    let mut cut = Vec::new();
    let sharings = sharings(&candidates, asked)?;
    for sharing in &sharings {
        let made =
            Sharer { all: &candidates, sharing, flags: &flags, asked, system }.share_out()?;
        for (&at, planned) in sharing.fields.iter().zip(made.planned) {
            fates[at] = Some(planned);
        }
        cut.extend(made.cut);
        pools.push(made.part);
    }
    let mut planned = Vec::new();
    let mut masses = Vec::new();
    for (candidate, fate) in candidates.iter().zip(fates) {
        let fate = fate.unwrap_or_default();
        let of_field = Masses::of(candidate, &fate.taking)?;
        planned.push(field_part(candidate, &fate, &of_field, asked, system));
        masses.push(of_field);
    }
    let ledger = Masses::sum(&masses)?;
    let response = asked.response.as_ref().map(|figures| PlanResponse {
        source: figures.source.clone(),
        worth: response::money(
            figures,
            planned.iter().filter_map(|field| field.worth.as_ref()).map(|worth| worth.value).sum(),
        ),
    });
    let years = sharings.iter().filter_map(|one| one.limits).map(|limits| limits.years()).max();
    let years = years.unwrap_or(1);
    Ok(Plan {
        take: asked.take.words().to_owned(),
        years,
        rule: rule::rule(years),
        notes: notes::notes(&candidates, &planned, asked, (&cut, &failed)),
        pools,
        fields: planned,
        ledger: ledger.part(system),
        response,
        cautions: rule::cautions(years),
    })
}

fn candidates_of<'a>(rows: &[&'a FieldRow], take: Take) -> Result<Vec<Candidate<'a>>, Refusal> {
    let mut problems = Vec::new();
    let mut candidates = Vec::new();
    for row in rows {
        match Candidate::of(row, take != Take::Fields) {
            Ok(candidate) => candidates.push(candidate),
            Err(problem) => problems.push(problem),
        }
    }
    Refusal::unless_clean(problems, candidates)
}

/// The fields that the list names.
struct Flags {
    must: Vec<usize>,
    priority: Vec<usize>,
    not_now: Vec<bool>,
    /// Where those that must get lime are named.
    must_at: Option<Place>,
}

impl Flags {
    fn of(rows: &[&FieldRow], asked: &AllotmentPart) -> Result<Self, Refusal> {
        let lists = [
            found("must", &asked.must, rows),
            found("priority", &asked.priority, rows),
            found("not_this_year", &asked.not_this_year, rows),
        ];
        let mut problems = Vec::new();
        let mut all = lists.map(|list| {
            list.unwrap_or_else(|refusal| {
                problems.extend(refusal.into_problems());
                Vec::new()
            })
        });
        // A field may be named in two ways.
        let mut named = vec![false; rows.len()];
        for (list, names) in all.iter().zip([&asked.must, &asked.priority, &asked.not_this_year]) {
            for (&at, name) in list.iter().zip(names.iter()) {
                if std::mem::replace(&mut named[at], true) && problems.is_empty() {
                    let what = format!(
                        "`{}` is the field `{}`, which is named twice",
                        name.name, rows[at].id
                    );
                    problems.push(
                        Problem::at(name.place.clone(), what)
                            .allowed("each field once in `must`, `not_this_year` or `priority`")
                            .hint("name fields by their folders"),
                    );
                }
            }
        }
        let mut not_now = vec![false; rows.len()];
        for &at in &all[2] {
            not_now[at] = true;
        }
        let must_at = asked.must.first().map(|name| name.place.clone());
        let flags = Self {
            must: std::mem::take(&mut all[0]),
            priority: std::mem::take(&mut all[1]),
            not_now,
            must_at,
        };
        Refusal::unless_clean(problems, flags)
    }
}

/// What the plan makes of a field.
#[derive(Clone, Debug)]
struct Planned {
    taking: Taking,
    fate: Fate,
    year: Option<usize>,
    order: ProductMass,
    cost: Option<f64>,
    why: String,
}

impl Default for Planned {
    fn default() -> Self {
        Self {
            taking: Taking::Nothing,
            fate: Fate::NeedsNone,
            year: None,
            order: ProductMass::ZERO,
            cost: None,
            why: String::new(),
        }
    }
}

/// What was made of one limit.
struct Made {
    /// In the order of its fields.
    planned: Vec<Planned>,
    part: PoolPart,
    /// Ids of fields with more combinations of areas than are tried.
    cut: Vec<String>,
}

/// Shares one limit out.
struct Sharer<'a> {
    all: &'a [Candidate<'a>],
    sharing: &'a Sharing<'a>,
    flags: &'a Flags,
    asked: &'a AllotmentPart,
    system: UnitSystem,
}

/// What a choice came to, in one year or several.
struct Outcome {
    takings: Vec<Taking>,
    years: Vec<Option<usize>>,
    fates: Vec<Fate>,
    worth: Worth,
    bound: Option<[f64; RANKS]>,
    cut: Vec<usize>,
    tried: u64,
}

impl Sharer<'_> {
    fn share_out(&self) -> Result<Made, PlanError> {
        let fields = &self.sharing.fields;
        let candidates: Vec<Candidate<'_>> =
            fields.iter().map(|&at| self.all[at].clone()).collect();
        let counted = self.sharing.counted();
        self.costs_known(&candidates, &counted)?;
        let own = |list: &[usize]| -> Vec<usize> {
            let places = list.iter().filter_map(|at| fields.iter().position(|own| own == at));
            places.collect()
        };
        let (must, priority) = (own(&self.flags.must), own(&self.flags.priority));
        let not_now: Vec<bool> = fields.iter().map(|&at| self.flags.not_now[at]).collect();
        let how = HowTaken {
            take: self.asked.take,
            least: self.asked.least_per_field,
            counted: &counted,
        };
        let rounded = candidates.iter().map(|candidate| candidate.areas.len().max(1)).sum();
        let limits = self.sharing.limits.map(|limits| Counted::limits(&limits.amounts, rounded));
        let too_much = |TooMuch { takes }: TooMuch| self.too_much(&counted, takes);
        let outcome = match &limits {
            Some(limits) if limits.len() > 1 => {
                let pool = YearPool {
                    candidates: &candidates,
                    counted: &counted,
                    limits,
                    must: &must,
                    priority: &priority,
                    not_now: &not_now,
                };
                let shared = pool.share_out().map_err(too_much)?;
                let taken = |year: &Option<usize>| year.map_or(Taking::Nothing, |_| Taking::All);
                Outcome {
                    takings: shared.years.iter().map(taken).collect(),
                    years: shared.years,
                    fates: shared.fates,
                    worth: shared.worth,
                    bound: shared.bound,
                    cut: Vec::new(),
                    tried: shared.tried,
                }
            }
            limits => {
                let pool = Pool {
                    candidates: &candidates,
                    how,
                    limit: limits.as_ref().map(|limits| limits[0]),
                    must: &must,
                    priority: &priority,
                    not_now: &not_now,
                };
                let shared = pool.share_out().map_err(too_much)?;
                let year = |taking: &Taking| (*taking != Taking::Nothing).then_some(0);
                Outcome {
                    years: shared.takings.iter().map(year).collect(),
                    takings: shared.takings,
                    fates: shared.fates,
                    worth: shared.worth,
                    bound: shared.bound,
                    cut: shared.cut,
                    tried: shared.tried,
                }
            }
        };
        let several = limits.as_ref().is_some_and(|limits| limits.len() > 1);
        let say = Say { system: self.system, counted: &counted, candidates: &candidates };
        let planned: Vec<Planned> = candidates
            .iter()
            .enumerate()
            .map(|(at, candidate)| {
                let (taking, fate, year) =
                    (&outcome.takings[at], &outcome.fates[at], outcome.years[at]);
                let (order, ground) = how.order_of(candidate, taking);
                Planned {
                    why: if several {
                        say.why_in_years(at, fate, year)
                    } else {
                        say.why(at, fate, taking)
                    },
                    taking: taking.clone(),
                    fate: fate.clone(),
                    year,
                    order,
                    cost: cost_of(candidate, order, ground),
                }
            })
            .collect();
        let part = self.pool_part(&candidates, (&how, rounded), &planned, &outcome);
        within_limits(&part)?;
        let cut = outcome.cut.iter().map(|&at| candidates[at].row.id.clone()).collect();
        Ok(Made { planned, part, cut })
    }

    fn costs_known(&self, candidates: &[Candidate<'_>], counted: &Counted) -> Result<(), Refusal> {
        let Some(limits) = self.sharing.limits else { return Ok(()) };
        let needing = candidates.iter().filter(|candidate| candidate.gets_lime());
        let problems =
            needing.filter_map(|candidate| counted.known_of(candidate.row, &limits.place).err());
        Refusal::unless_clean(problems.collect(), ())
    }

    fn too_much(&self, counted: &Counted, takes: i64) -> PlanError {
        let shown =
            |quantity: Quantity| format!("{} {}", plain(quantity.value, 0, 2), quantity.unit);
        let limits = self.sharing.limits;
        let limit = limits.and_then(|limits| limits.written.first()).cloned().unwrap_or_default();
        let what = format!(
            "the fields that must get lime take {}, and the limit is {limit}",
            shown(counted.quantity(self.system, takes))
        );
        let place = self.flags.must_at.clone().unwrap_or_default();
        let problem = Problem::at(place, what)
            .allowed("fields in `must` that fit the limit together")
            .hint("raise the limit, or make some of them `priority`, which takes what fits");
        PlanError::Refused(problem.into())
    }

    fn pool_part(
        &self,
        candidates: &[Candidate<'_>],
        (how, rounded): (&HowTaken<'_>, usize),
        planned: &[Planned],
        outcome: &Outcome,
    ) -> PoolPart {
        let counted = how.counted;
        let weigh = |candidate: &Candidate<'_>, taking: &Taking| {
            let (order, ground) = how.order_of(candidate, taking);
            counted.weight(candidate, order, ground)
        };
        let asked: i64 = candidates.iter().map(|candidate| weigh(candidate, &Taking::All)).sum();
        let limits = self.sharing.limits.map(|limits| Counted::limits(&limits.amounts, 0));
        let years = limits.as_ref().map_or(1, Vec::len);
        let of_year = |year: usize| {
            let mut used = 0;
            let mut part = PoolYear {
                year: year as u32 + 1,
                limit: limits.as_ref().map(|limits| counted.quantity(self.system, limits[year])),
                used: counted.quantity(self.system, 0),
                fields: 0,
                order: self.system.product(ProductMass::ZERO).into(),
                aluminium_area: self.system.area(Area::ZERO).into(),
                ph_gain: ph_area(self.system, 0.0),
            };
            let (mut order, mut aluminium, mut gain) = (ProductMass::ZERO, Area::ZERO, 0.0);
            for (candidate, planned) in candidates.iter().zip(planned) {
                if planned.year == Some(year) {
                    part.fields += 1;
                    used += weigh(candidate, &planned.taking);
                    order += planned.order;
                    let (area, ph_m2) = does(candidate, &planned.taking);
                    aluminium += area;
                    gain += ph_m2;
                }
            }
            // What is let through for rounding is not told as used.
            let most = limits.as_ref().map_or(used, |limits| limits[year]);
            let over = used - most;
            used = if (1..=rounded as i64).contains(&over) { most } else { used };
            part.used = counted.quantity(self.system, used);
            part.order = self.system.product(order).into();
            part.aluminium_area = self.system.area(aluminium).into();
            part.ph_gain = ph_area(self.system, gain);
            part
        };
        PoolPart {
            material: self.sharing.material.map(str::to_owned),
            asked: counted.quantity(self.system, asked),
            years: (0..years).map(of_year).collect(),
            covers: covers(candidates, counted),
            proven: outcome.bound.is_none() && outcome.cut.is_empty(),
            gap: outcome.bound.map(|bound| gap(self.system, bound, &outcome.worth)),
            tried: outcome.tried,
        }
    }
}

/// What is used stays within what there is: the last of the checks that a plan passes.
fn within_limits(part: &PoolPart) -> Result<(), Imbalance> {
    for year in &part.years {
        let Some(limit) = &year.limit else { continue };
        if year.used.value > limit.value * (1.0 + 1e-9) + 1e-6 {
            let line = "what a plan uses = the limit or less";
            let (left, right) = (year.used.value, limit.value);
            return Err(Imbalance { line, left, right, unit: "of the limit's unit" });
        }
    }
    Ok(())
}

fn gap(system: UnitSystem, bound: [f64; RANKS], worth: &Worth) -> PlanGap {
    let area = |m2: f64| system.area(Area::from_square_metres(m2)).into();
    let here = worth.0[0] as f64;
    PlanGap {
        aluminium_area: area(bound[0]),
        aluminium_area_here: area(here),
        ph_gain: (bound[0] <= here).then(|| ph_area(system, bound[1])),
        ph_gain_here: ph_area(system, worth.0[1] as f64),
    }
}

/// What the costs of all fields count.
fn covers(candidates: &[Candidate<'_>], counted: &Counted) -> Vec<String> {
    let Counted::Money(_) = counted else { return Vec::new() };
    let mut all: Vec<String> = candidates
        .iter()
        .filter(|candidate| candidate.gets_lime())
        .filter_map(|candidate| candidate.row.haul.as_ref())
        .flat_map(|haul| haul.cost_covers.iter().cloned())
        .collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// Ground with aluminium risk that a taking limes, and its gain of pH times area.
fn does(candidate: &Candidate<'_>, taking: &Taking) -> (Area, f64) {
    match taking {
        Taking::Nothing => (Area::ZERO, 0.0),
        Taking::All => (candidate.whole.aluminium, candidate.whole.ph_m2),
        Taking::Areas(places) => places
            .iter()
            .map(|&place| &candidate.areas[place])
            .fold((Area::ZERO, 0.0), |(area, gain), ground| {
                (area + ground.aluminium, gain + ground.ph_m2)
            }),
    }
}

fn field_part(
    candidate: &Candidate<'_>,
    planned: &Planned,
    masses: &Masses,
    asked: &AllotmentPart,
    system: UnitSystem,
) -> PlannedField {
    let row = candidate.row;
    let decision = match (&planned.taking, &planned.fate) {
        (Taking::All, _) => "all",
        (Taking::Areas(_), _) => "part",
        (Taking::Nothing, Fate::NeedsNone) => "needs none",
        (Taking::Nothing, Fate::NotNow) => "not this year",
        (Taking::Nothing, _) => "held back",
    };
    let only: Vec<u32> = match &planned.taking {
        Taking::Areas(places) => {
            places.iter().filter_map(|&place| candidate.areas[place].number).collect()
        }
        _ => Vec::new(),
    };
    let product = match &planned.taking {
        Taking::All => candidate.whole.product,
        Taking::Nothing => ProductMass::ZERO,
        Taking::Areas(places) => places.iter().map(|&place| candidate.areas[place].product).sum(),
    };
    let (aluminium, gain) = does(candidate, &planned.taking);
    let worth = asked.response.as_ref().map(|figures| {
        let units = match &planned.taking {
            Taking::All => response::worth_of(std::iter::once(&candidate.whole), figures),
            Taking::Nothing => 0.0,
            Taking::Areas(places) => {
                response::worth_of(places.iter().map(|&place| &candidate.areas[place]), figures)
            }
        };
        response::money(figures, units)
    });
    let currency = row.haul.as_ref().and_then(|haul| haul.cost_total.as_ref());
    PlannedField {
        id: row.id.clone(),
        name: row.field.name.clone(),
        material: row.material.name.clone(),
        decision: decision.to_owned(),
        year: planned.year.map(|year| year as u32 + 1),
        set: (!only.is_empty()).then(|| {
            let numbers: Vec<String> = only.iter().map(u32::to_string).collect();
            format!("rate_areas.only = [{}]", numbers.join(", "))
        }),
        only,
        order: system.product(planned.order).into(),
        order_all: system.product(candidate.whole.order).into(),
        product: system.product(product).into(),
        cost: planned
            .cost
            .zip(currency)
            .map(|(value, total)| Quantity { value, unit: total.unit.clone() }),
        aluminium_area: system.area(aluminium).into(),
        aluminium_area_all: system.area(candidate.whole.aluminium).into(),
        ph_gain: ph_area(system, gain),
        ph_gain_all: ph_area(system, candidate.whole.ph_m2),
        worth,
        why: planned.why.clone(),
        ledger: masses.part(system),
    }
}
