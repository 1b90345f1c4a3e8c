//! Why nothing is possible: a smallest set of statements that cannot all hold.
//!
//! Sets are proposed from below, each as small as what is known allows. If a proposed set can hold, a choice
//! that shows it is stretched to break as little of the rest as it can; every set that cannot hold must have
//! something that this choice breaks, which the next proposal takes into account. The first proposal that
//! cannot hold is a smallest one. (Implicit hitting sets: Ignatiev, Previti, Liffiton and Marques-Silva,
//! Smallest MUS Extraction with Minimal Hitting Set Dualization, CP 2015; limits are kept as sums here, since
//! a budget that is too small would otherwise take a proposal for every way to leave things out.)

use std::collections::BTreeSet;

use super::hitting::{Broken, Proposals};
use super::problem::{Candidate, Limit, Measure, Outcome, Problem};
use super::solve::{Equals, solve_any};

/// Which statements each constraint of a problem rests on, by numbers that the caller gives them.
///
/// A constraint holds only while all that it rests on hold. What rests on nothing, or has no entry, always
/// holds.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Grounds {
    /// For each pick what says that it must be made. Without it the pick need not be made, and nothing that
    /// speaks of its candidates applies to it.
    pub picks: Vec<Vec<u32>>,
    /// For each `never` of the problem.
    pub never: Vec<Vec<u32>>,
    /// For each limit of the problem.
    pub limits: Vec<Vec<u32>>,
}

/// Finds a smallest set of statements that cannot all hold, in rising order.
///
/// There is none that has fewer; of equally small ones it is the first, number by number, so the result is
/// the same on every run. Taking away any one of them makes what the rest demand possible. Empty if the
/// constraints that always hold cannot all hold. Nothing if the problem is possible, and nothing if `go_on`
/// said to stop before the answer was known.
///
/// # Panics
/// As [`solve`](super::solve).
pub fn contradiction(problem: &Problem, grounds: &Grounds, go_on: &dyn Fn() -> bool) -> Option<Vec<u32>> {
    let case = Case { problem, grounds, go_on };
    let lists = [&grounds.picks, &grounds.never, &grounds.limits];
    let statements: BTreeSet<u32> = lists.into_iter().flatten().flatten().copied().collect();
    if case.choice(&case.holding(&statements))?.is_some() {
        return None;
    }
    let mut proposals = Proposals::of(&statements);
    let mut equals = Equals::Any;
    loop {
        let set = proposals.smallest(equals, go_on)?;
        let holding = case.holding(&set);
        if case.choice(&holding)?.is_some() {
            let b = case.broken(&holding)?;
            proposals.add(b);
        } else if equals == Equals::Any {
            // Its size is the least. Of that size, now, the first.
            equals = Equals::First;
        } else {
            return Some(set.into_iter().collect());
        }
    }
}

struct Case<'a> {
    problem: &'a Problem,
    grounds: &'a Grounds,
    go_on: &'a dyn Fn() -> bool,
}

/// Constraints that are taken to hold.
#[derive(Clone)]
struct Holding {
    /// Whether each pick is to be made.
    picks: Vec<bool>,
    never: Vec<bool>,
    /// For each limit the picks whose uses count, if it holds.
    limits: Vec<Option<Vec<bool>>>,
}

#[derive(Clone, Copy)]
enum Further {
    Never(usize),
    Limit(usize),
}

impl Case<'_> {
    /// What holds when some statements do.
    fn holding(&self, set: &BTreeSet<u32>) -> Holding {
        let holds = |grounds: &[Vec<u32>], nth: usize| {
            grounds.get(nth).is_none_or(|all| all.iter().all(|it| set.contains(it)))
        };
        let picks: Vec<bool> =
            (0..self.problem.picks.len()).map(|it| holds(&self.grounds.picks, it)).collect();
        Holding {
            never: (0..self.problem.never.len()).map(|it| holds(&self.grounds.never, it)).collect(),
            limits: (0..self.problem.limits.len())
                .map(|it| holds(&self.grounds.limits, it).then(|| picks.clone()))
                .collect(),
            picks,
        }
    }

    /// A choice that breaks nothing of what holds, with the least use of the limits that do not; by pick, and
    /// `Some(None)` if there is none. Nothing if it was stopped.
    fn choice(&self, holding: &Holding) -> Option<Option<Vec<usize>>> {
        let open: Vec<usize> = (0..holding.limits.len()).filter(|it| holding.limits[*it].is_none()).collect();
        let mut picks: Vec<Vec<Candidate>> = (self.problem.picks.iter().zip(&holding.picks))
            .map(|(pick, made)| {
                let count = if *made { pick.len() } else { 1 };
                vec![Candidate { figures: vec![0; open.len()] }; count]
            })
            .collect();
        for (column, limit) in open.iter().enumerate() {
            for (pick, nth, used) in &self.problem.limits[*limit].uses {
                if holding.picks.get(*pick) == Some(&true)
                    && let Some(it) = picks[*pick].get_mut(*nth)
                {
                    it.figures[column] += used;
                }
            }
        }
        let made = |it: &usize| holding.picks.get(*it) == Some(&true);
        let never = (self.problem.never.iter().zip(&holding.never))
            .filter(|(never, holds)| **holds && never.iter().all(|it| made(&it.0)))
            .map(|it| it.0.clone());
        let limits = (self.problem.limits.iter().zip(&holding.limits)).filter_map(|(limit, counted)| {
            let counted = counted.as_ref()?;
            let uses = limit.uses.iter().filter(|it| counted.get(it.0) == Some(&true) && made(&it.0));
            Some(Limit { uses: uses.copied().collect(), most: limit.most })
        });
        let part = Problem {
            never: never.collect(),
            limits: limits.collect(),
            picks,
            columns: vec![Measure::Sum; open.len()],
            levels: vec![(0..open.len()).map(|it| (it, 1)).collect()],
        };
        match solve_any(&part, self.go_on) {
            Outcome::Best(it) => Some(Some(it.picked)),
            Outcome::Impossible => Some(None),
            Outcome::Stopped => None,
        }
    }

    /// Of what can hold, what a choice breaks that was stretched over all picks and as much of the rest as it
    /// goes.
    fn broken(&self, holding: &Holding) -> Option<Vec<Broken>> {
        let problem = self.problem;
        let mut wide = holding.clone();
        // A pick that the set does not demand can be made freely: nothing that holds speaks of it.
        wide.picks = problem.picks.iter().map(|it| !it.is_empty()).collect();
        let nevers = (0..problem.never.len()).filter(|it| !holding.never[*it] || self.touches(*it, holding));
        let mut further: Vec<Further> = nevers.map(Further::Never).collect();
        further.extend((0..problem.limits.len()).map(Further::Limit));
        for never in 0..problem.never.len() {
            wide.never[never] = holding.never[never] && !self.touches(never, holding);
        }
        self.stretch(&mut wide, &further)?;
        let choice = self.choice(&wide)??;
        let grounds = |all: &[Vec<u32>], nth: usize| all.get(nth).cloned().unwrap_or_default();
        let picks = |all: &mut dyn Iterator<Item = usize>| -> BTreeSet<u32> {
            all.flat_map(|it| grounds(&self.grounds.picks, it)).collect()
        };
        let mut broken = Vec::new();
        for pick in (0..problem.picks.len()).filter(|it| !wide.picks[*it]) {
            broken.push(Broken::All(picks(&mut std::iter::once(pick))));
        }
        let has = |pick: usize, nth: usize| wide.picks.get(pick) == Some(&true) && choice[pick] == nth;
        for (nth, never) in problem.never.iter().enumerate() {
            if never.iter().all(|it| has(it.0, it.1)) {
                let mut all = picks(&mut never.iter().map(|it| it.0));
                all.extend(grounds(&self.grounds.never, nth));
                broken.push(Broken::All(all));
            }
        }
        for (nth, limit) in problem.limits.iter().enumerate() {
            let used: Vec<_> = limit.uses.iter().filter(|it| has(it.0, it.1) && it.2 > 0).collect();
            if used.iter().map(|it| u128::from(it.2)).sum::<u128>() > u128::from(limit.most) {
                let needs = |it: usize| grounds(&self.grounds.picks, it).into_iter().collect();
                broken.push(Broken::Over {
                    grounds: grounds(&self.grounds.limits, nth).into_iter().collect(),
                    uses: used.iter().map(|it| (needs(it.0), it.2)).collect(),
                    most: limit.most,
                });
            }
        }
        Some(broken)
    }

    /// Whether a never speaks of a pick that the set does not demand.
    fn touches(&self, never: usize, holding: &Holding) -> bool {
        self.problem.never[never].iter().any(|it| holding.picks.get(it.0) != Some(&true))
    }

    /// Adds to what holds as much of a list as it goes, halving where all of it is too much.
    fn stretch(&self, wide: &mut Holding, further: &[Further]) -> Option<()> {
        if further.is_empty() {
            return Some(());
        }
        let mut more = wide.clone();
        for it in further {
            match it {
                Further::Never(nth) => more.never[*nth] = true,
                Further::Limit(nth) => more.limits[*nth] = Some(more.picks.clone()),
            }
        }
        if self.choice(&more)?.is_some() {
            *wide = more;
        } else if further.len() > 1 {
            let (one, other) = further.split_at(further.len() / 2);
            self.stretch(wide, one)?;
            self.stretch(wide, other)?;
        }
        Some(())
    }
}
