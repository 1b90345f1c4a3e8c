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

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::super::problem::{Candidate, Limit, Measure};
    use super::*;

    /// Picks by their candidates' figures of two columns: a sum, and a longest.
    fn problem(picks: &[&[[u64; 2]]]) -> Problem {
        let candidate = |it: &[u64; 2]| Candidate { figures: it.to_vec() };
        Problem {
            picks: picks.iter().map(|it| it.iter().map(candidate).collect()).collect(),
            columns: vec![Measure::Sum, Measure::Longest],
            ..Problem::default()
        }
    }

    fn picked(problem: &Problem) -> Option<Vec<usize>> {
        match solve(problem, &|| true) {
            Outcome::Best(it) => Some(it.picked),
            Outcome::Impossible => None,
            Outcome::Stopped => panic!("nobody stopped it"),
        }
    }

    #[test]
    fn nothing_to_pick_is_picked_at_once() {
        let nothing = problem(&[]);
        assert_eq!(picked(&nothing), Some(vec![]));
        assert_eq!(nothing.worth(vec![]).figures, [0, 0]);
    }

    #[test]
    fn a_pick_without_candidates_and_an_empty_never_are_impossible() {
        assert_eq!(picked(&problem(&[&[[1, 1]], &[]])), None);
        let mut one = problem(&[&[[1, 1]]]);
        one.never.push(vec![]);
        assert_eq!(picked(&one), None);
    }

    #[test]
    fn a_longer_wait_is_free_where_another_pick_waits_as_long() {
        let mut both = problem(&[&[[5, 12], [9, 10]], &[[4, 2], [3, 11]]]);
        both.levels = vec![vec![(0, 1), (1, 1)]];
        assert_eq!(picked(&both), Some(vec![0, 1]));
        both.levels = vec![vec![(1, 1)], vec![(0, 1)]];
        assert_eq!(picked(&both), Some(vec![1, 0]));
    }

    #[test]
    fn figures_too_large_for_the_solver_are_still_exact() {
        // Around 10^15, where the difference of one counts; the limit leaves out the first of each.
        let base = 1_000_000_000_000_000;
        let mut large = problem(&[
            &[[base, 1], [base + 7, 2], [base + 3, 3]],
            &[[base, 1], [base + 2, 2], [base + 5, 3]],
            &[[base, 1], [2 * base, 2], [base + 1, 3]],
        ]);
        large.levels = vec![vec![(0, 1)], vec![(1, 1)]];
        let uses = (0..3).flat_map(|pick| (0..3).map(move |nth| (pick, nth, base * (3 - nth as u64))));
        large.limits.push(Limit { uses: uses.collect(), most: 4 * base });
        assert_eq!(picked(&large), Some(vec![2, 1, 2]));
        large.limits[0].most = 3 * base - 1;
        assert_eq!(picked(&large), None);
    }

    #[test]
    fn a_search_stops_when_told() {
        let hard: Vec<Vec<[u64; 2]>> = (0..60)
            .map(|pick| (0..6).map(|nth| [(pick * 7919 + nth * 104_729) % 1009, nth]).collect())
            .collect();
        let mut hard = problem(&hard.iter().map(Vec::as_slice).collect::<Vec<_>>());
        hard.levels = vec![vec![(0, 1)]];
        hard.never = (0..59).map(|pick| vec![(pick, 0), (pick + 1, 1)]).collect();
        let uses = |(pick, all): (usize, &Vec<Candidate>)| {
            (0..all.len()).map(|nth| (pick, nth, 1009 - all[nth].figures[0])).collect::<Vec<_>>()
        };
        let uses: Vec<_> = hard.picks.iter().enumerate().flat_map(uses).collect();
        hard.limits.push(Limit { uses, most: 20_000 });
        let asked = Cell::new(0);
        let twice = || {
            asked.set(asked.get() + 1);
            asked.get() < 2
        };
        assert_eq!(solve(&hard, &|| false), Outcome::Stopped);
        assert_eq!(solve(&hard, &twice), Outcome::Stopped);
    }
}
