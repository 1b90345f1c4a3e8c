//! Why nothing is possible: a smallest set of statements that cannot all hold.
//!
//! Sets are proposed from below, each as small as what is known allows. If a proposed set can hold, a choice
//! that shows it is stretched to break as little of the rest as it can; every set that cannot hold must have
//! something that this choice breaks, which the next proposal takes into account. The first proposal that
//! cannot hold, or that is no smaller than a known one, is a smallest. (Implicit hitting sets: Ignatiev, Previti, Liffiton and Marques-Silva,
//! Smallest MUS Extraction with Minimal Hitting Set Dualization, CP 2015; limits are kept as sums here, since
//! a budget that is too small would otherwise take a proposal for every way to leave things out.)

use std::collections::{BTreeMap, BTreeSet};

use super::hitting::{Broken, Proposals};
use super::problem::{Candidate, Limit, Measure, Outcome, Problem};
use super::solve::solve_any;

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
/// There is none that has fewer, so taking away any one of them makes what the rest demand possible. It is
/// the same on every run. Empty if the constraints that always hold cannot all hold. Nothing if the problem
/// is possible, and nothing if `go_on` said to stop before the answer was known.
///
/// Where few constraints are at odds the answer comes at once, also if one of them is a budget that hundreds
/// of picks draw on. To show that none is smaller can take very long where dozens of nevers cross one another
/// everywhere, or make what draws on a budget dearer. So let `go_on` count, and take [`irreducible`] if this
/// gives nothing.
///
/// # Panics
/// As [`solve`](super::solve).
pub fn contradiction(problem: &Problem, grounds: &Grounds, go_on: &dyn Fn() -> bool) -> Option<Vec<u32>> {
    let known = irreducible(problem, grounds, go_on)?;
    let case = Case::of(problem, grounds, go_on);
    let mut proposals = Proposals::of(&grounds.statements());
    loop {
        let set = proposals.smallest(go_on)?;
        if set.len() >= known.len() {
            return Some(known);
        }
        let holding = case.holding(&set);
        if case.choice(&holding)?.is_none() {
            return Some(set.into_iter().collect());
        }
        case.broken(&holding)?.into_iter().for_each(|it| proposals.add(it));
    }
}

/// Finds a set of statements that cannot all hold, of which none can be left out, in rising order: without
/// any one of them what the rest demand is possible. It is small, but there may be smaller ones elsewhere.
///
/// It is the same on every run. Empty if the constraints that always hold cannot all hold. Nothing if the
/// problem is possible, and nothing if `go_on` said to stop before the answer was known.
///
/// # Panics
/// As [`solve`](super::solve).
pub fn irreducible(problem: &Problem, grounds: &Grounds, go_on: &dyn Fn() -> bool) -> Option<Vec<u32>> {
    let case = Case::of(problem, grounds, go_on);
    let statements = grounds.statements();
    if case.choice(&case.holding(&statements))?.is_some() {
        return None;
    }
    let mut found: Vec<Vec<u32>> = Vec::new();
    for order in case.orders(&statements) {
        let mut needed = case.needed(&BTreeSet::new(), &order)?;
        needed.sort_unstable();
        found.push(needed);
    }
    found.into_iter().min_by(|a, b| (a.len(), a).cmp(&(b.len(), b)))
}

impl Grounds {
    fn statements(&self) -> BTreeSet<u32> {
        let lists = [&self.picks, &self.never, &self.limits];
        lists.into_iter().flatten().flatten().copied().collect()
    }
}

struct Case<'a> {
    problem: &'a Problem,
    grounds: &'a Grounds,
    /// What each candidate uses, by limit and pick.
    uses: Vec<Vec<Vec<u64>>>,
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

impl<'a> Case<'a> {
    fn of(problem: &'a Problem, grounds: &'a Grounds, go_on: &'a dyn Fn() -> bool) -> Case<'a> {
        let none: Vec<Vec<u64>> = problem.picks.iter().map(|it| vec![0; it.len()]).collect();
        let table = |limit: &Limit| {
            let mut uses = none.clone();
            for (pick, nth, more) in &limit.uses {
                if let Some(it) = uses.get_mut(*pick).and_then(|it| it.get_mut(*nth)) {
                    *it += more;
                }
            }
            uses
        };
        Case { problem, grounds, uses: problem.limits.iter().map(table).collect(), go_on }
    }

    /// Orders in which to look for a small set; what comes early is rather kept. As numbered, with limits last;
    /// and limits first, then what draws most on them, then nevers.
    fn orders(&self, statements: &BTreeSet<u32>) -> [Vec<u32>; 2] {
        let limits: BTreeSet<u32> = self.grounds.limits.iter().flatten().copied().collect();
        let mut draws: BTreeMap<u32, f64> = BTreeMap::new();
        for (limit, uses) in self.problem.limits.iter().zip(&self.uses) {
            for (used, grounds) in uses.iter().zip(&self.grounds.picks) {
                let part = used.iter().min().map_or(0.0, |it| *it as f64 / (limit.most as f64 + 1.0));
                grounds.iter().for_each(|it| *draws.entry(*it).or_default() += part);
            }
        }
        let mut numbered: Vec<u32> = statements.iter().copied().collect();
        numbered.sort_by_key(|it| limits.contains(it));
        let mut drawing: Vec<u32> = statements.iter().copied().collect();
        let draw = |it: &u32| {
            if limits.contains(it) { f64::INFINITY } else { draws.get(it).copied().unwrap_or(-1.0) }
        };
        drawing.sort_by(|a, b| draw(b).total_cmp(&draw(a)));
        [numbered, drawing]
    }

    /// Of a list, statements without which the rest can hold beside those that are held in any case. (Halving:
    /// Junker, QuickXplain: Preferred Explanations and Relaxations for Over-Constrained Problems, AAAI 2004.)
    fn needed(&self, held: &BTreeSet<u32>, list: &[u32]) -> Option<Vec<u32>> {
        if self.choice(&self.holding(held))?.is_none() {
            return Some(Vec::new());
        }
        if list.len() < 2 {
            return Some(list.to_vec());
        }
        let (one, other) = list.split_at(list.len() / 2);
        let with = |more: &[u32]| held.iter().chain(more).copied().collect();
        let mut needed = self.needed(&with(one), other)?;
        needed.extend(self.needed(&with(&needed), one)?);
        Some(needed)
    }

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

    /// A choice that breaks nothing of what holds; by pick, and `Some(None)` if there is none. Nothing if it
    /// was stopped.
    fn choice(&self, holding: &Holding) -> Option<Option<Vec<usize>>> {
        self.sparing(holding, &vec![0; self.problem.limits.len()])
    }

    /// The same, such that little of the limits that do not hold is used, counting for each limit only what a
    /// pick uses above a number.
    fn sparing(&self, holding: &Holding, above: &[u64]) -> Option<Option<Vec<usize>>> {
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
            for it in picks.iter_mut().flatten() {
                it.figures[column] = it.figures[column].saturating_sub(above[*limit]);
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

    /// What choices break that were stretched over all picks, each of which breaks nothing of what holds.
    fn broken(&self, holding: &Holding) -> Option<Vec<Vec<Broken>>> {
        let mut wide = holding.clone();
        // A pick that the set does not demand can be made freely: nothing that holds speaks of it.
        wide.picks = self.problem.picks.iter().map(|it| !it.is_empty()).collect();
        for never in 0..self.problem.never.len() {
            wide.never[never] = holding.never[never] && !self.touches(never, holding);
        }
        let limits: Vec<Further> = (0..self.problem.limits.len()).map(Further::Limit).collect();
        let mut further: Vec<Further> =
            (0..self.problem.never.len()).filter(|it| !wide.never[*it]).map(Further::Never).collect();
        further.extend(&limits);
        let size = holding.picks.iter().filter(|it| **it).count();
        let mut few = wide.clone();
        self.stretch(&mut few, &further)?;
        let mut all = vec![self.spelled(&few, &self.spare(&few, size)?)];
        if all.iter().flatten().any(|it| matches!(it, Broken::Over { .. })) {
            // Something is used up. Without the nevers, less is used; each of them that is broken then costs
            // what it takes to mend it.
            self.stretch(&mut wide, &limits)?;
            all.push(self.spelled(&wide, &self.spare(&wide, size)?));
        }
        Some(all)
    }

    /// A choice that uses little of the limits that do not hold. A set with as many picks as this one uses most
    /// where it has those that use most, so they are what to spare, lest the same is to be shown for each set
    /// with a few of them.
    fn spare(&self, wide: &Holding, size: usize) -> Option<Vec<usize>> {
        let plain = self.choice(wide)??;
        let above: Vec<u64> = (0..self.problem.limits.len())
            .map(|limit| {
                let mut used: Vec<u64> =
                    plain.iter().enumerate().map(|(pick, nth)| self.used(limit, pick, *nth)).collect();
                used.sort_unstable_by_key(|it| std::cmp::Reverse(*it));
                size.checked_sub(1).and_then(|it| used.get(it)).copied().unwrap_or(0)
            })
            .collect();
        self.sparing(wide, &above)?
    }

    /// What a candidate uses of a limit.
    fn used(&self, limit: usize, pick: usize, nth: usize) -> u64 {
        self.uses[limit][pick].get(nth).copied().unwrap_or(0)
    }

    /// All that a choice breaks.
    fn spelled(&self, wide: &Holding, choice: &[usize]) -> Vec<Broken> {
        let problem = self.problem;
        let grounds = |all: &[Vec<u32>], nth: usize| -> BTreeSet<u32> {
            all.get(nth).into_iter().flatten().copied().collect()
        };
        let demanded = |pick: usize| grounds(&self.grounds.picks, pick);
        let mut broken: Vec<Broken> =
            (0..choice.len()).filter(|it| !wide.picks[*it]).map(|it| Broken::All(demanded(it))).collect();
        let made = |pick: usize| wide.picks.get(pick) == Some(&true);
        let mut taken: BTreeMap<usize, BTreeSet<usize>> =
            (0..choice.len()).filter(|it| made(*it)).map(|it| (it, BTreeSet::from([choice[it]]))).collect();
        // A never that is broken is mended by another candidate, where that can break no other never whatever
        // else is mended.
        let mut mends = Vec::new();
        for (nth, never) in problem.never.iter().enumerate() {
            if !never.iter().all(|it| made(it.0) && choice[it.0] == it.1) {
                continue;
            }
            let mut grounds = grounds(&self.grounds.never, nth);
            grounds.extend(never.iter().flat_map(|it| demanded(it.0)));
            let others =
                never.iter().flat_map(|it| (0..problem.picks[it.0].len()).map(|other| (it.0, other)));
            let best = others
                .filter(|it| self.mends(*it, &taken))
                .min_by_key(|(pick, other)| self.dearer(*pick, choice[*pick], *other).iter().sum::<u64>());
            match best {
                Some((pick, other)) => {
                    taken.entry(pick).or_default().insert(other);
                    mends.push((grounds, self.dearer(pick, choice[pick], other)));
                }
                None => broken.push(Broken::All(grounds)),
            }
        }
        for (nth, limit) in problem.limits.iter().enumerate() {
            let picks = (0..choice.len())
                .filter(|it| made(*it))
                .map(|it| (demanded(it), self.used(nth, it, choice[it])));
            let mends = mends.iter().map(|(grounds, more)| (grounds.clone(), more[nth]));
            let uses: Vec<_> = picks.chain(mends).filter(|it| it.1 > 0).collect();
            if uses.iter().map(|it| u128::from(it.1)).sum::<u128>() > u128::from(limit.most) {
                broken.push(Broken::Over {
                    grounds: grounds(&self.grounds.limits, nth),
                    uses,
                    most: limit.most,
                });
            }
        }
        broken
    }

    /// How much more of each limit one candidate uses than another.
    fn dearer(&self, pick: usize, than: usize, other: usize) -> Vec<u64> {
        let more = |it| self.used(it, pick, other).saturating_sub(self.used(it, pick, than));
        (0..self.problem.limits.len()).map(more).collect()
    }

    /// Whether a candidate can be taken instead: the pick is not mended yet, or so, and no never has this
    /// candidate with others that may all be taken.
    fn mends(&self, (pick, nth): (usize, usize), taken: &BTreeMap<usize, BTreeSet<usize>>) -> bool {
        let can = |it: &(usize, usize)| taken.get(&it.0).is_some_and(|all| all.contains(&it.1));
        let known = taken.get(&pick).map_or(0, BTreeSet::len);
        let here = can(&(pick, nth));
        // What the choice itself takes is what breaks the never.
        (if here { known == 2 } else { known == 1 })
            && !self.problem.never.iter().any(|never| {
                never.contains(&(pick, nth)) && never.iter().all(|it| *it == (pick, nth) || can(it))
            })
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
