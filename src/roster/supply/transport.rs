//! Sharing what suppliers have among fields, each of which may get some of several: the transport
//! problem, solved exactly by linear programming.

use microlp::{ComparisonOp, LinearExpr, OptimizationDirection, Problem, Variable};

use super::solve::{Choice, NotChosen};

/// What each choice brings, and the cost.
pub(super) type Shared = (Vec<f64>, f64);

/// A share below this part of what a field needs is a rounding error.
const NOTHING: f64 = 1e-9;

/// Shares so that each field gets what it needs at the least cost. A choice's `takes` is what the
/// field needs, in trucks or in kilograms, and its cost is for all of that. In whole trucks, needs
/// and limits are whole numbers, and so is every share: a corner of the transport problem is.
pub(super) fn share(
    needs: &[f64],
    choices: &[Choice],
    limits: &[Option<f64>],
    whole: bool,
) -> Result<Shared, NotChosen> {
    let limits: Vec<Option<f64>> = limits
        .iter()
        .map(|limit| limit.map(|limit| if whole { (limit + NOTHING).floor() } else { limit }))
        .collect();
    let brought = solved(needs, choices, &limits, false);
    match brought {
        Ok(shares) => {
            let shares: Vec<f64> = shares
                .into_iter()
                .zip(choices)
                .map(|(share, choice)| {
                    let share = if whole { share.round() } else { share };
                    if share <= choice.takes * NOTHING { 0.0 } else { share }
                })
                .collect();
            let cost = shares
                .iter()
                .zip(choices)
                .map(|(share, choice)| choice.cost * (share / choice.takes))
                .sum();
            Ok((shares, cost))
        }
        Err(microlp::Error::Infeasible) => {
            let over = solved(needs, choices, &limits, true)
                .map_err(|error| NotChosen::Failed(error.to_string()))?;
            let mut used = vec![0.0; limits.len()];
            for (share, choice) in over.iter().zip(choices) {
                used[choice.supplier] += share;
            }
            let more = used
                .iter()
                .zip(&limits)
                .map(|(used, limit)| limit.map_or(0.0, |limit| (used - limit).max(0.0)));
            Err(NotChosen::Lacks(more.collect()))
        }
        Err(error) => Err(NotChosen::Failed(error.to_string())),
    }
}

fn solved(
    needs: &[f64],
    choices: &[Choice],
    limits: &[Option<f64>],
    over: bool,
) -> Result<Vec<f64>, microlp::Error> {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let shares: Vec<Variable> = choices
        .iter()
        .map(|choice| {
            let cost = if over { 0.0 } else { choice.cost / choice.takes };
            problem.add_var(cost, (0.0, choice.takes))
        })
        .collect();
    let row = |is_in: &dyn Fn(&Choice) -> bool| {
        let mut row = LinearExpr::empty();
        for (share, choice) in shares.iter().zip(choices) {
            if is_in(choice) {
                row.add(*share, 1.0);
            }
        }
        row
    };
    for (field, need) in needs.iter().enumerate() {
        let of_field = row(&|choice| choice.field == field);
        problem.add_constraint(of_field, ComparisonOp::Eq, *need);
    }
    for (supplier, limit) in limits.iter().enumerate() {
        let Some(limit) = limit else { continue };
        let mut taken = row(&|choice| choice.supplier == supplier);
        if over {
            taken.add(problem.add_var(1.0, (0.0, f64::INFINITY)), -1.0);
        }
        problem.add_constraint(taken, ComparisonOp::Le, *limit);
    }
    let outcome = problem.solve()?;
    let solution = outcome
        .into_solution()
        .map_err(|_stopped| microlp::Error::InternalError("the search stopped".to_owned()))?;
    Ok(shares.iter().map(|&share| solution.var_value(share)).collect())
}
