//! A good choice from the relaxed problem, in which a field may be shared: few fields are, so that
//! settling these leaves little to lose, and the relaxed cost bounds what any choice costs.

use microlp::{ComparisonOp, LinearExpr, OptimizationDirection, Problem, Variable};

use super::solve::Choice;

/// What the relaxed problem says.
pub(super) enum Relaxed {
    /// A choice that fits, where one was found, and the least that any costs.
    Bound(Option<Vec<usize>>, f64),
    /// Not even with shared fields is there enough.
    NotEnough,
    /// The solver came to no end.
    Failed,
}

/// A share nearer to a whole than this is whole.
const WHOLE: f64 = 1e-6;
/// What must be gained by a change, of the whole cost.
const GAIN: f64 = 1e-12;
/// Rounds of changes at the most.
const ROUNDS: usize = 20;

pub(super) fn relaxed(fields: usize, choices: &[Choice], limits: &[Option<f64>]) -> Relaxed {
    let (shares, bound) = match shared(fields, choices, limits, false) {
        Ok(found) => found,
        Err(microlp::Error::Infeasible) => return Relaxed::NotEnough,
        Err(_) => return Relaxed::Failed,
    };
    let mut of_field: Vec<Vec<usize>> = vec![Vec::new(); fields];
    for (at, choice) in choices.iter().enumerate() {
        of_field[choice.field].push(at);
    }
    let room = limits.iter().map(|limit| limit.unwrap_or(f64::INFINITY)).collect();
    let mut state = State { choices, of_field: &of_field, room, chosen: vec![0; fields] };
    let mut open: Vec<usize> = Vec::new();
    for (field, list) in of_field.iter().enumerate() {
        match list.iter().copied().find(|&at| shares[at] > 1.0 - WHOLE) {
            Some(at) => state.take(field, at),
            None => open.push(field),
        }
    }
    // The greatest first: they find room least easily.
    let size =
        |field: usize| of_field[field].iter().map(|&at| choices[at].takes).fold(0.0, f64::max);
    open.sort_by(|&a, &b| size(b).total_cmp(&size(a)));
    let found = open.into_iter().all(|field| state.place(field));
    if found {
        state.improve();
    }
    Relaxed::Bound(found.then_some(state.chosen), bound)
}

/// The least by which each limit has to be passed where fields may be shared: with whole fields it
/// is no less.
pub(super) fn lacking(
    fields: usize,
    choices: &[Choice],
    limits: &[Option<f64>],
) -> Result<Vec<f64>, String> {
    let (shares, _) = shared(fields, choices, limits, true).map_err(|error| error.to_string())?;
    let mut used = vec![0.0; limits.len()];
    for (share, choice) in shares.iter().zip(choices) {
        used[choice.supplier] += share * choice.takes;
    }
    let more = used.iter().zip(limits);
    Ok(more.map(|(used, limit)| limit.map_or(0.0, |limit| (used - limit).max(0.0))).collect())
}

/// The relaxed problem of the costs; with `over`, of what limits are passed by.
fn shared(
    fields: usize,
    choices: &[Choice],
    limits: &[Option<f64>],
    over: bool,
) -> Result<(Vec<f64>, f64), microlp::Error> {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let shares: Vec<Variable> = choices
        .iter()
        .map(|choice| problem.add_var(if over { 0.0 } else { choice.cost }, (0.0, 1.0)))
        .collect();
    let mut whole: Vec<LinearExpr> = (0..fields).map(|_| LinearExpr::empty()).collect();
    let mut taken: Vec<LinearExpr> = limits.iter().map(|_| LinearExpr::empty()).collect();
    let size = |limit: f64| limit.max(1.0);
    for (share, choice) in shares.iter().zip(choices) {
        whole[choice.field].add(*share, 1.0);
        if let Some(limit) = limits[choice.supplier] {
            taken[choice.supplier].add(*share, choice.takes / size(limit));
        }
    }
    for one in whole {
        problem.add_constraint(one, ComparisonOp::Eq, 1.0);
    }
    for (mut taken, limit) in taken.into_iter().zip(limits) {
        if let Some(limit) = limit {
            if over {
                taken.add(problem.add_var(size(*limit), (0.0, f64::INFINITY)), -1.0);
            }
            problem.add_constraint(taken, ComparisonOp::Le, limit / size(*limit));
        }
    }
    let outcome = problem.solve()?;
    let solution = outcome
        .into_solution()
        .map_err(|_stopped| microlp::Error::InternalError("the search stopped".to_owned()))?;
    let values = shares.iter().map(|&share| solution.var_value(share)).collect();
    Ok((values, solution.objective()))
}

/// A choice in the making.
struct State<'a> {
    choices: &'a [Choice],
    of_field: &'a [Vec<usize>],
    /// What each supplier has left.
    room: Vec<f64>,
    /// The choice of each field.
    chosen: Vec<usize>,
}

impl State<'_> {
    fn take(&mut self, field: usize, at: usize) {
        self.room[self.choices[at].supplier] -= self.choices[at].takes;
        self.chosen[field] = at;
    }

    fn leave(&mut self, field: usize) {
        let choice = self.choices[self.chosen[field]];
        self.room[choice.supplier] += choice.takes;
    }

    fn fits(&self, at: usize) -> bool {
        self.choices[at].takes <= self.room[self.choices[at].supplier]
    }

    /// The cheapest choice of a field for which there is room.
    fn cheapest_with_room(&self, field: usize) -> Option<usize> {
        let with_room = self.of_field[field].iter().copied().filter(|&at| self.fits(at));
        with_room.min_by(|&a, &b| self.choices[a].cost.total_cmp(&self.choices[b].cost))
    }

    /// Finds room for a field, if need be by moving one other; whether there was any.
    fn place(&mut self, field: usize) -> bool {
        if let Some(at) = self.cheapest_with_room(field) {
            self.take(field, at);
            return true;
        }
        let mut best: Option<(f64, usize, usize, usize)> = None;
        for &own in &self.of_field[field] {
            let wanted = self.choices[own];
            let lacks = wanted.takes - self.room[wanted.supplier];
            for other in 0..self.chosen.len() {
                let there = self.choices[self.chosen[other]];
                if other == field || there.field != other || there.supplier != wanted.supplier {
                    continue;
                }
                if there.takes < lacks {
                    continue;
                }
                for &to in &self.of_field[other] {
                    if self.choices[to].supplier == wanted.supplier || !self.fits(to) {
                        continue;
                    }
                    let cost = wanted.cost + self.choices[to].cost - there.cost;
                    if best.is_none_or(|(least, ..)| cost < least) {
                        best = Some((cost, own, other, to));
                    }
                }
            }
        }
        let Some((_, own, other, to)) = best else { return false };
        self.leave(other);
        self.take(other, to);
        self.take(field, own);
        true
    }

    /// Moves fields to cheaper suppliers with room, and exchanges fields between suppliers, while
    /// that costs less.
    fn improve(&mut self) {
        let total: f64 = self.chosen.iter().map(|&at| self.choices[at].cost).sum();
        let gain = GAIN * total.abs();
        for _ in 0..ROUNDS {
            let before = self.chosen.clone();
            for field in 0..self.chosen.len() {
                self.leave(field);
                let own = self.chosen[field];
                let at = self.cheapest_with_room(field).unwrap_or(own);
                let better = self.choices[at].cost < self.choices[own].cost - gain;
                self.take(field, if better { at } else { own });
            }
            for field in 0..self.chosen.len() {
                self.exchange(field, gain);
            }
            if self.chosen == before {
                break;
            }
        }
    }

    /// Exchanges the supplier of a field with that of one behind it, where that costs less.
    fn exchange(&mut self, field: usize, gain: f64) {
        for other in field + 1..self.chosen.len() {
            let (a, b) = (self.choices[self.chosen[field]], self.choices[self.chosen[other]]);
            if a.supplier == b.supplier {
                continue;
            }
            let with = |field: usize, supplier: usize| {
                let mut list = self.of_field[field].iter().copied();
                list.find(|&at| self.choices[at].supplier == supplier)
            };
            let (Some(to_b), Some(to_a)) = (with(field, b.supplier), with(other, a.supplier))
            else {
                continue;
            };
            let (new_a, new_b) = (self.choices[to_b], self.choices[to_a]);
            let fits = new_a.takes <= self.room[b.supplier] + b.takes
                && new_b.takes <= self.room[a.supplier] + a.takes;
            if fits && new_a.cost + new_b.cost < a.cost + b.cost - gain {
                self.leave(field);
                self.leave(other);
                self.take(field, to_b);
                self.take(other, to_a);
            }
        }
    }
}
