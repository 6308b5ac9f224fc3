//! Choosing one supplier for each field at the least cost within what suppliers have: exact, by
//! branch and bound, or as good as was found with how much better it might be.

use microlp::{ComparisonOp, LinearExpr, OptimizationDirection, Problem, SolveOptions, Variable};

use super::relaxed::{Relaxed, lacking, relaxed};

/// One way to serve one field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Choice {
    /// The place of the field.
    pub(super) field: usize,
    /// The place of the supplier.
    pub(super) supplier: usize,
    /// What it takes of that supplier; trucks or kilograms.
    pub(super) takes: f64,
    /// What it costs.
    pub(super) cost: f64,
}

/// What was chosen.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Chosen {
    /// The choice of each field, by its place among the choices.
    pub(super) of_field: Vec<usize>,
    pub(super) cost: f64,
    /// How much less another might cost at the most, as a part of the cost; 0 where none does.
    pub(super) gap: f64,
}

/// Why nothing was chosen.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum NotChosen {
    /// The least that each supplier would have to have more.
    Lacks(Vec<f64>),
    /// The solver came to no end; its words.
    Failed(String),
}

/// Choices above which what the relaxed problem leads to is not searched further: its gap is small
/// then, and a search comes to no end.
const MOST_SEARCHED: usize = 2_500;
/// Nodes of the search times choices that are worked through; a choice of this program that takes
/// seconds. It counts work and no time, so that the same input gives the same result.
const WORK: u64 = 4_000_000;
const FEWEST_NODES: u64 = 100;
const MOST_NODES: u64 = 50_000;
/// What a limit may be passed by for rounding errors.
const SLACK: f64 = 1e-9;

/// Chooses for each of `fields`, each of which has at least one choice. `limits` hold for each
/// supplier, in the unit of `takes`.
pub(super) fn choose(
    fields: usize,
    choices: &[Choice],
    limits: &[Option<f64>],
) -> Result<Chosen, NotChosen> {
    let cheapest = cheapest(fields, choices);
    let least = total(choices, &cheapest);
    if fits(choices, &cheapest, limits) {
        return Ok(Chosen { of_field: cheapest, cost: least, gap: 0.0 });
    }
    let (found, bound) = match relaxed(fields, choices, limits) {
        Relaxed::NotEnough => return lacks(fields, choices, limits),
        Relaxed::Bound(found, bound) => (found, bound.max(least)),
        Relaxed::Failed => (None, least),
    };
    let start = found
        .into_iter()
        .chain(one_by_one(fields, choices, limits))
        .filter(|of_field| fits(choices, of_field, limits))
        .min_by(|a, b| total(choices, a).total_cmp(&total(choices, b)));
    let started = start.map(|of_field| {
        let cost = total(choices, &of_field);
        // The bound of the relaxed problem is right but for rounding errors.
        let gap = ((cost - bound) / cost).max(0.0);
        Chosen { of_field, cost, gap: if gap <= SLACK { 0.0 } else { gap } }
    });
    if let Some(started) = &started
        && (started.gap <= 0.0 || choices.len() > MOST_SEARCHED)
    {
        return Ok(started.clone());
    }
    let model = Model::of(fields, choices, limits, false);
    let first = started.as_ref().map(|started| started.of_field.as_slice());
    match model.solve(first) {
        Ok((of_field, gap)) if fits(choices, &of_field, limits) => {
            let cost = total(choices, &of_field);
            let relative = ((cost - bound) / cost).max(0.0);
            Ok(Chosen { of_field, cost, gap: gap.min(relative) })
        }
        // Whatever the solver says, a choice that fits is one.
        Ok(_) => started
            .ok_or_else(|| NotChosen::Failed("the solver's choice passes a limit".to_owned())),
        Err(why) => match started {
            Some(started) => Ok(started),
            None if why == INFEASIBLE => lacks(fields, choices, limits),
            None => Err(NotChosen::Failed(why)),
        },
    }
}

/// The least by which limits would have to be raised together.
fn lacks(fields: usize, choices: &[Choice], limits: &[Option<f64>]) -> Result<Chosen, NotChosen> {
    if choices.len() > MOST_SEARCHED {
        let more = lacking(fields, choices, limits).map_err(NotChosen::Failed)?;
        return Err(NotChosen::Lacks(more));
    }
    let model = Model::of(fields, choices, limits, true);
    let (of_field, _) = model.solve(None).map_err(NotChosen::Failed)?;
    let used = used(choices, &of_field, limits.len());
    let more = used
        .iter()
        .zip(limits)
        .map(|(used, limit)| limit.map_or(0.0, |limit| (used - limit).max(0.0)));
    Err(NotChosen::Lacks(more.collect()))
}

fn cheapest(fields: usize, choices: &[Choice]) -> Vec<usize> {
    let mut best: Vec<Option<usize>> = vec![None; fields];
    for (at, choice) in choices.iter().enumerate() {
        let of_field = &mut best[choice.field];
        if of_field.is_none_or(|other| choice.cost < choices[other].cost) {
            *of_field = Some(at);
        }
    }
    best.into_iter().flatten().collect()
}

/// The fields that lose most by their second choice come first; `None` where a field finds no room.
fn one_by_one(fields: usize, choices: &[Choice], limits: &[Option<f64>]) -> Option<Vec<usize>> {
    let mut of_field: Vec<Vec<usize>> = vec![Vec::new(); fields];
    for (at, choice) in choices.iter().enumerate() {
        of_field[choice.field].push(at);
    }
    for list in &mut of_field {
        list.sort_by(|&a, &b| choices[a].cost.total_cmp(&choices[b].cost));
    }
    let loss = |field: usize| match of_field[field].as_slice() {
        [first, second, ..] => choices[*second].cost - choices[*first].cost,
        _ => f64::INFINITY,
    };
    let mut order: Vec<usize> = (0..fields).collect();
    order.sort_by(|&a, &b| loss(b).total_cmp(&loss(a)));
    let mut left: Vec<f64> =
        limits.iter().map(|limit| limit.map_or(f64::INFINITY, |limit| limit)).collect();
    let mut chosen = vec![0; fields];
    for field in order {
        let room = of_field[field]
            .iter()
            .copied()
            .find(|&at| choices[at].takes <= left[choices[at].supplier])?;
        left[choices[room].supplier] -= choices[room].takes;
        chosen[field] = room;
    }
    Some(chosen)
}

fn total(choices: &[Choice], of_field: &[usize]) -> f64 {
    of_field.iter().map(|&at| choices[at].cost).sum()
}

fn used(choices: &[Choice], of_field: &[usize], suppliers: usize) -> Vec<f64> {
    let mut used = vec![0.0; suppliers];
    for &at in of_field {
        used[choices[at].supplier] += choices[at].takes;
    }
    used
}

fn fits(choices: &[Choice], of_field: &[usize], limits: &[Option<f64>]) -> bool {
    let used = used(choices, of_field, limits.len());
    used.iter()
        .zip(limits)
        .all(|(used, limit)| limit.is_none_or(|limit| *used <= limit + SLACK * limit.max(1.0)))
}

const INFEASIBLE: &str = "no choice fits";

/// The choices as a problem of whole numbers.
struct Model {
    problem: Problem,
    variables: Vec<Variable>,
    of_field: Vec<Vec<usize>>,
}

impl Model {
    /// Of the costs; with `over`, of what limits are passed by.
    fn of(fields: usize, choices: &[Choice], limits: &[Option<f64>], over: bool) -> Self {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let variables: Vec<Variable> = choices
            .iter()
            .map(|choice| problem.add_binary_var(if over { 0.0 } else { choice.cost }))
            .collect();
        let mut of_field: Vec<Vec<usize>> = vec![Vec::new(); fields];
        for (at, choice) in choices.iter().enumerate() {
            of_field[choice.field].push(at);
        }
        for list in &of_field {
            let mut one = LinearExpr::empty();
            for &at in list {
                one.add(variables[at], 1.0);
            }
            problem.add_constraint(one, ComparisonOp::Eq, 1.0);
        }
        for (supplier, limit) in limits.iter().enumerate() {
            let Some(limit) = limit else { continue };
            let mut taken = LinearExpr::empty();
            // In parts of the limit, so that numbers of all rows are of one size.
            let size = limit.max(1.0);
            for (at, choice) in choices.iter().enumerate() {
                if choice.supplier == supplier {
                    taken.add(variables[at], choice.takes / size);
                }
            }
            if over {
                taken.add(problem.add_var(size, (0.0, f64::INFINITY)), -1.0);
            }
            problem.add_constraint(taken, ComparisonOp::Le, limit / size);
        }
        Self { problem, variables, of_field }
    }

    /// The choice of each field, and how much better one might be.
    fn solve(&self, start: Option<&[usize]>) -> Result<(Vec<usize>, f64), String> {
        let mut options = SolveOptions::default();
        let nodes = WORK / self.variables.len().max(1) as u64;
        options.node_limit = Some(nodes.clamp(FEWEST_NODES, MOST_NODES));
        options.warm_start = start.map(|start| {
            let mut values = vec![0.0; self.variables.len()];
            for &at in start {
                values[at] = 1.0;
            }
            self.variables.iter().copied().zip(values).collect()
        });
        let outcome = self.problem.solve_with(options).map_err(|error| match error {
            microlp::Error::Infeasible => INFEASIBLE.to_owned(),
            other => other.to_string(),
        })?;
        let Some(solution) = outcome.solution() else {
            return Err("the search was given up before anything was found".to_owned());
        };
        let most = |list: &Vec<usize>| {
            let value = |at: usize| solution.var_value(self.variables[at]);
            list.iter().copied().max_by(|&a, &b| value(a).total_cmp(&value(b)))
        };
        let of_field = self.of_field.iter().map(most).collect::<Option<Vec<usize>>>();
        let gap = if outcome.is_optimal() { 0.0 } else { solution.gap().unwrap_or(1.0) };
        Ok((of_field.ok_or_else(|| "a field has no choice".to_owned())?, gap))
    }
}
