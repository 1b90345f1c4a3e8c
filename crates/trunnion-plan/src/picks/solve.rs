//! The search: reduce, divide into parts, and have the solver make one level after another small.

use std::collections::BTreeMap;

use super::problem::{Outcome, Problem};
use super::program::{Answer, least};
use super::reduce::reduce;
use super::task::{Row, Table, Task, total};

/// Finds the best choice.
///
/// Among equally good ones it is the one whose `picked` comes first, so the result is the same on every run.
/// `go_on` is asked now and then; once it says no, the search stops soon.
///
/// # Panics
/// If a candidate has no figure for a column, or a level names a column that does not exist.
pub fn solve(problem: &Problem, go_on: &dyn Fn() -> bool) -> Outcome {
    outcome(problem, best(Task::of(problem), Equals::First, go_on))
}

/// As [`solve`], but any of equally good choices; the same one on every run.
pub(super) fn solve_any(problem: &Problem, go_on: &dyn Fn() -> bool) -> Outcome {
    outcome(problem, best(Task::of(problem), Equals::Any, go_on))
}

fn outcome(problem: &Problem, found: Found) -> Outcome {
    match found {
        Found::Picked(all) => {
            Outcome::Best(problem.worth(all.into_values().take(problem.picks.len()).collect()))
        }
        Found::Impossible => Outcome::Impossible,
        Found::Stopped => Outcome::Stopped,
    }
}

/// Which of equally good choices is wanted.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Equals {
    First,
    Any,
}

/// The end of a search: what is picked, by the indices outside.
pub(super) enum Found {
    Picked(BTreeMap<usize, usize>),
    Impossible,
    Stopped,
}

/// Finds the best choice of a task.
pub(super) fn best(task: Task, equals: Equals, go_on: &dyn Fn() -> bool) -> Found {
    let Some(reduced) = reduce(task) else { return Found::Impossible };
    let mut picked: BTreeMap<usize, usize> = reduced.fixed.into_iter().collect();
    // The smallest part first: if one is impossible, it is soon known.
    let mut parts = reduced.parts;
    parts.sort_by_key(|it| it.names.len());
    for part in parts {
        match level(part, equals, go_on) {
            Found::Picked(more) => picked.extend(more),
            other => return other,
        }
    }
    Found::Picked(picked)
}

/// Settles the first goal of a part, then searches what is left with that held.
fn level(mut part: Task, equals: Equals, go_on: &dyn Fn() -> bool) -> Found {
    if part.goals.is_empty() {
        return first(part, equals, go_on);
    }
    let goal = part.goals.remove(0);
    match least(&part, &goal, go_on) {
        Answer::Impossible => Found::Impossible,
        Answer::Stopped => Found::Stopped,
        Answer::Least(picked) => {
            if part.goals.is_empty() && equals == Equals::Any {
                return named(&part, &picked);
            }
            let most = u64::try_from(total(&goal, &picked)).unwrap_or(u64::MAX);
            part.rows.push(Row { uses: goal, most });
            best(part, equals, go_on)
        }
    }
}

/// Of a part whose goals are all met, settles which choice comes first: as many leading picks at once as one
/// number can rank.
fn first(part: Task, equals: Equals, go_on: &dyn Fn() -> bool) -> Found {
    const RANKS: u64 = 1_000_000;
    let mut rank: Table = part.names.iter().map(|it| vec![0; it.len()]).collect();
    let mut ranks = 1;
    let mut leading = 0;
    if equals == Equals::First {
        while leading < rank.len() && (leading == 0 || ranks * (rank[leading].len() as u64) <= RANKS) {
            ranks *= rank[leading].len() as u64;
            leading += 1;
        }
    }
    let mut unit = ranks;
    for row in &mut rank[..leading] {
        unit /= row.len() as u64;
        row.iter_mut().zip(0..).for_each(|(at, nth)| *at = unit * nth);
    }
    match least(&part, &rank, go_on) {
        Answer::Impossible => Found::Impossible,
        Answer::Stopped => Found::Stopped,
        Answer::Least(picked) if leading == part.names.len() || equals == Equals::Any => {
            named(&part, &picked)
        }
        Answer::Least(picked) => {
            let all: Vec<usize> = (0..part.names.len()).collect();
            let kept: Vec<Vec<bool>> = (part.names.iter().zip(&picked).enumerate())
                .map(|(pick, (it, taken))| {
                    (0..it.len()).map(|nth| pick >= leading || nth == *taken).collect()
                })
                .collect();
            best(part.keep(&all, &kept), equals, go_on)
        }
    }
}

fn named(part: &Task, picked: &[usize]) -> Found {
    let name = |(pick, nth): (usize, &usize)| (part.origin[pick], part.names[pick][*nth]);
    Found::Picked(picked.iter().enumerate().map(name).collect())
}
