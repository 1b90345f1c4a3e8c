//! The smallest set of statements that has, of each list of things a choice breaks, at least one. It is
//! stated as picks itself: each statement is in or out.

use std::collections::{BTreeMap, BTreeSet};

use super::problem::{Candidate, Limit, Measure, Outcome, Problem};
use super::solve::solve_any;

/// What a choice breaks; a set that cannot hold has at least one of what any choice breaks.
pub(super) enum Broken {
    /// All of these are in the set.
    All(BTreeSet<u32>),
    /// The grounds of a limit are in the set, and what is used by those whose own grounds are all in the set
    /// is more than it.
    Over { grounds: BTreeSet<u32>, uses: Vec<(BTreeSet<u32>, u64)>, most: u64 },
}

/// The candidates of a statement.
const IN: usize = 0;
const OUT: usize = 1;

/// All that is known of sets that cannot hold.
pub(super) struct Proposals {
    statements: Vec<u32>,
    problem: Problem,
    /// Picks that stand for "all of these are in", for sets of more than one.
    whole: BTreeMap<BTreeSet<u32>, usize>,
}

impl Proposals {
    /// Nothing is known yet of sets of these statements.
    pub fn of(statements: &BTreeSet<u32>) -> Proposals {
        let statements: Vec<u32> = statements.iter().copied().collect();
        let problem = Problem {
            picks: statements.iter().map(|_| candidates(&[1, 0])).collect(),
            columns: vec![Measure::Sum],
            levels: vec![vec![(0, 1)]],
            ..Problem::default()
        };
        Proposals { statements, problem, whole: BTreeMap::new() }
    }

    /// A smallest set that agrees with all that is known, the same on every run; nothing if it was stopped, or
    /// no set agrees.
    pub fn smallest(&self, go_on: &dyn Fn() -> bool) -> Option<BTreeSet<u32>> {
        let Outcome::Best(it) = solve_any(&self.problem, go_on) else { return None };
        Some(self.statements.iter().zip(&it.picked).filter(|it| *it.1 == IN).map(|it| *it.0).collect())
    }

    /// Takes in what a choice breaks: every set that cannot hold has one of these.
    pub fn add(&mut self, broken: Vec<Broken>) {
        // Which of them the set has. One that needs no more than another is enough instead of it.
        let mut alls: Vec<BTreeSet<u32>> = Vec::new();
        let mut overs = Vec::new();
        for it in broken {
            match it {
                Broken::All(set) => alls.push(set),
                Broken::Over { grounds, uses, most } => overs.push((grounds, uses, most)),
            }
        }
        alls.sort_by_key(BTreeSet::len);
        let mut least: Vec<BTreeSet<u32>> = Vec::new();
        for set in alls {
            if !least.iter().any(|it| it.is_subset(&set)) {
                least.push(set);
            }
        }
        let (single, several): (Vec<_>, Vec<_>) = least.into_iter().partition(|it| it.len() == 1);
        let single: Vec<usize> = single.iter().flatten().map(|it| self.seat(*it)).collect();
        let kinds = usize::from(!single.is_empty()) + several.len() + overs.len();
        let which = self.problem.picks.len();
        self.problem.picks.push(candidates(&vec![0; kinds]));
        let mut next = 0;
        if !single.is_empty() {
            let out = single.iter().map(|it| (*it, OUT));
            self.problem.never.push(std::iter::once((which, next)).chain(out).collect());
            next += 1;
        }
        for set in several {
            self.demand(&set, (which, next));
            next += 1;
        }
        for (grounds, parts, most) in overs {
            self.demand(&grounds, (which, next));
            // What is used by those that are out may not be so much that the rest would fit.
            let mut uses = vec![(which, next, most.saturating_add(1))];
            let all: u64 = parts.iter().map(|it| it.1).sum();
            for (set, used) in parts {
                match self.together(&set) {
                    Some(pick) => uses.push((pick, OUT, used)),
                    None => continue,
                }
            }
            self.problem.limits.push(Limit { uses, most: all });
            next += 1;
        }
    }

    fn seat(&self, statement: u32) -> usize {
        self.statements.partition_point(|it| *it < statement)
    }

    /// If the candidate is picked, all of a set are in.
    fn demand(&mut self, set: &BTreeSet<u32>, candidate: (usize, usize)) {
        for it in set {
            self.problem.never.push(vec![candidate, (self.seat(*it), OUT)]);
        }
    }

    /// The pick that is in only if all of a set are; nothing for the empty set, which always is.
    fn together(&mut self, set: &BTreeSet<u32>) -> Option<usize> {
        if set.len() < 2 {
            return set.first().map(|it| self.seat(*it));
        }
        if let Some(known) = self.whole.get(set) {
            return Some(*known);
        }
        let pick = self.problem.picks.len();
        self.problem.picks.push(candidates(&[0, 0]));
        self.whole.insert(set.clone(), pick);
        self.demand(set, (pick, IN));
        Some(pick)
    }
}

fn candidates(figures: &[u64]) -> Vec<Candidate> {
    figures.iter().map(|it| Candidate { figures: vec![*it] }).collect()
}
