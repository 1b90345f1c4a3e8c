//! One level of one part as an integer program, and the exact check of what the solver says.
//!
//! The solver reckons in floating point. So every answer is rounded and checked in whole numbers, and where
//! it fails, or the numbers are too large for it, the part is divided into cases instead.

use std::collections::{BTreeMap, BTreeSet};

use microlp::{
    ComparisonOp, OptimizationDirection, Problem, SolutionStatus, SolveOptions, SolveOutcome, Variable,
};

use super::solve::{Equals, Found, best};
use super::task::{Row, Spot, Table, Task, total};

/// What making a goal small came to.
pub(super) enum Answer {
    /// A choice of all picks, by position, with the least total.
    Least(Vec<usize>),
    Impossible,
    Stopped,
}

/// Branches that the solver takes between two looks at whether to go on.
const SLICE: u64 = 50;

/// Sums beyond this are left to division into cases. A double holds whole numbers to 9 * 10^15; the rest is
/// room for rounding.
const LARGEST: u128 = 1_000_000_000_000;

/// Finds a choice that breaks nothing and has the least total in a table.
pub(super) fn least(task: &Task, goal: &Table, go_on: &dyn Fn() -> bool) -> Answer {
    if !go_on() {
        return Answer::Stopped;
    }
    match program(task, goal, go_on) {
        Some(answer) => answer,
        None => cases(task, goal, go_on),
    }
}

/// Has the solver do it; nothing if its answer cannot be relied on.
fn program(task: &Task, goal: &Table, go_on: &dyn Fn() -> bool) -> Option<Answer> {
    let largest =
        |it: &Table| it.iter().flat_map(|row| row.iter().max()).map(|it| u128::from(*it)).sum::<u128>();
    if largest(goal) > LARGEST || task.rows.iter().any(|row| largest(&row.uses) > LARGEST) {
        return None;
    }
    let mut program = Problem::new(OptimizationDirection::Minimize);
    let vars: Vec<Vec<Variable>> =
        (goal.iter()).map(|row| row.iter().map(|it| program.add_binary_var(*it as f64)).collect()).collect();
    for pick in &vars {
        program.add_constraint(pick.iter().map(|it| (*it, 1.0)), ComparisonOp::Eq, 1.0);
    }
    for set in stars(&task.nevers) {
        program.add_constraint(set.iter().map(|it| (vars[it.0][it.1], 1.0)), ComparisonOp::Le, 1.0);
    }
    for never in task.nevers.iter().filter(|it| it.len() > 2) {
        let all = never.iter().map(|it| (vars[it.0][it.1], 1.0));
        program.add_constraint(all, ComparisonOp::Le, (never.len() - 1) as f64);
    }
    for row in &task.rows {
        let unit = row.uses.iter().flatten().fold(0, |unit, it| divisor(unit, *it)).max(1);
        let uses = row.uses.iter().zip(&vars).flat_map(|(uses, vars)| uses.iter().zip(vars));
        let all = uses.filter(|it| *it.0 > 0).map(|(used, var)| (*var, (used / unit) as f64));
        program.add_constraint(all, ComparisonOp::Le, (row.most / unit) as f64);
    }
    for reach in &task.reaches {
        let values = &reach.figures[reach.pick];
        for (pick, figures) in reach.figures.iter().enumerate().filter(|it| it.0 != reach.pick) {
            for figure in figures.iter().copied().collect::<BTreeSet<u64>>() {
                let enough = values.iter().position(|it| *it >= figure).unwrap_or(values.len());
                if enough > 0 {
                    let far = (0..figures.len())
                        .filter(|it| figures[*it] >= figure)
                        .map(|it| (vars[pick][it], 1.0));
                    let long = vars[reach.pick][enough..].iter().map(|it| (*it, -1.0));
                    program.add_constraint(far.chain(long), ComparisonOp::Le, 0.0);
                }
            }
        }
    }
    let mut options = SolveOptions::default();
    options.node_limit = Some(SLICE);
    options.int_tol = 1e-9;
    let mut outcome = match program.solve_with(options) {
        Ok(outcome) => outcome,
        Err(microlp::Error::Infeasible) => return Some(Answer::Impossible),
        Err(_) => return None,
    };
    loop {
        match &outcome {
            SolveOutcome::Solution(it) if it.status() == SolutionStatus::Optimal => {
                let one = |pick: &Vec<Variable>| pick.iter().position(|var| it.var_value(*var) > 0.5);
                let picked: Vec<usize> = vars.iter().map(one).collect::<Option<_>>()?;
                let same = (total(goal, &picked) as f64 - it.objective()).abs() < 0.5;
                return (same && task.allows(&picked)).then_some(Answer::Least(picked));
            }
            _ if !go_on() => return Some(Answer::Stopped),
            _ => {}
        }
        outcome = outcome.resume().ok()?;
    }
}

/// Pairs that exclude one another, gathered: one candidate with all that it excludes of one other pick. At
/// most one of each set can be picked.
fn stars(nevers: &BTreeSet<Vec<Spot>>) -> Vec<Vec<Spot>> {
    let mut between: BTreeMap<(usize, usize), BTreeSet<(usize, usize)>> = BTreeMap::new();
    for never in nevers {
        if let [a, b] = never.as_slice() {
            between.entry((a.0, b.0)).or_default().insert((a.1, b.1));
        }
    }
    let mut sets = Vec::new();
    for ((one, other), mut pairs) in between {
        while !pairs.is_empty() {
            let mut sizes: BTreeMap<Spot, Vec<Spot>> = BTreeMap::new();
            for (a, b) in &pairs {
                sizes.entry((one, *a)).or_insert_with(|| vec![(one, *a)]).push((other, *b));
                sizes.entry((other, *b)).or_insert_with(|| vec![(other, *b)]).push((one, *a));
            }
            let Some(set) = sizes.into_values().max_by_key(Vec::len) else { break };
            let centre = set[0];
            pairs.retain(|(a, b)| (one, *a) != centre && (other, *b) != centre);
            sets.push(set);
        }
    }
    sets
}

fn divisor(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { divisor(b, a % b) }
}

/// The same by division into cases: each candidate of the pick with the most, one after another, each time
/// asking only for better than what is known.
fn cases(task: &Task, goal: &Table, go_on: &dyn Fn() -> bool) -> Answer {
    let all: Vec<usize> = (0..task.names.len()).collect();
    let widest = all.iter().copied().rev().max_by_key(|pick| task.names[*pick].len()).unwrap_or(0);
    let mut whole = task.clone();
    whole.origin.clone_from(&all);
    whole.names = task.names.iter().map(|it| (0..it.len()).collect()).collect();
    whole.goals = vec![goal.clone()];
    let mut order: Vec<usize> = (0..task.names.get(widest).map_or(0, Vec::len)).collect();
    order.sort_by_key(|nth| goal[widest][*nth]);
    let mut known: Option<Vec<usize>> = None;
    for taken in order {
        let kept: Vec<Vec<bool>> = (whole.names.iter().enumerate())
            .map(|(pick, it)| it.iter().map(|nth| pick != widest || *nth == taken).collect())
            .collect();
        let mut case = whole.keep(&all, &kept);
        if let Some(known) = &known {
            let Some(most) = total(goal, known).checked_sub(1) else { break };
            let most = u64::try_from(most).unwrap_or(u64::MAX);
            case.rows.push(Row { uses: case.goals[0].clone(), most });
        }
        match best(case, Equals::Any, go_on) {
            Found::Picked(it) => known = Some(it.into_values().collect()),
            Found::Impossible => {}
            Found::Stopped => return Answer::Stopped,
        }
    }
    known.map_or(Answer::Impossible, Answer::Least)
}
