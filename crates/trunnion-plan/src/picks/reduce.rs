//! Takes out what a look at the numbers settles, and divides the rest into parts that do not touch one
//! another. All of it is exact: the best choice of what is left is the best of the whole, also when the first
//! of equally good ones is wanted.

use std::collections::{BTreeMap, BTreeSet};

use super::task::{Row, Spot, Table, Task};

/// What a task comes down to.
pub(super) struct Reduced {
    /// What is settled: the pick and its candidate, by their indices outside.
    pub fixed: Vec<(usize, usize)>,
    /// What is left, in parts that can be searched one by one.
    pub parts: Vec<Task>,
}

/// Reduces a task; nothing if it is impossible.
pub(super) fn reduce(task: Task) -> Option<Reduced> {
    let kept = task.names.iter().map(|it| vec![true; it.len()]).collect();
    let mut work = Work { task, kept };
    loop {
        let before = work.left();
        work.nevers()?;
        work.rows()?;
        work.reaches();
        work.walls();
        if work.kept.iter().any(|it| !it.contains(&true)) {
            return None;
        }
        if work.left() == before {
            work.weaker();
            if work.left() == before {
                break;
            }
        }
    }
    work.normal();
    Some(work.split())
}

struct Work {
    task: Task,
    kept: Vec<Vec<bool>>,
}

impl Work {
    fn left(&self) -> usize {
        self.kept.iter().flatten().filter(|it| **it).count()
    }

    /// The positions of the candidates of a pick that are still in.
    fn open(&self, pick: usize) -> impl Iterator<Item = usize> + '_ {
        (0..self.kept[pick].len()).filter(move |nth| self.kept[pick][*nth])
    }

    fn single(&self, pick: usize) -> bool {
        self.open(pick).nth(1).is_none()
    }

    /// The smallest and the largest number of a pick's candidates.
    fn span(&self, pick: usize, row: &[u64]) -> (u64, u64) {
        let open = || self.open(pick).map(|nth| row[nth]);
        (open().min().unwrap_or(0), open().max().unwrap_or(0))
    }

    /// Drops what can no longer happen; a candidate that alone makes a never happen goes.
    fn nevers(&mut self) -> Option<()> {
        let mut after = BTreeSet::new();
        for never in std::mem::take(&mut self.task.nevers) {
            if never.iter().any(|(pick, nth)| !self.kept[*pick][*nth]) {
                continue;
            }
            let rest: Vec<_> = never.into_iter().filter(|it| !self.single(it.0)).collect();
            match rest.as_slice() {
                [] => return None,
                [(pick, nth)] => self.kept[*pick][*nth] = false,
                _ => {
                    after.insert(rest);
                }
            }
        }
        self.task.nevers = after;
        Some(())
    }

    /// Takes out candidates that would break a limit even if all else used the least.
    fn rows(&mut self) -> Option<()> {
        let mut rows = std::mem::take(&mut self.task.rows);
        let mut possible = true;
        rows.retain(|row| {
            let spans: Vec<_> = row.uses.iter().enumerate().map(|(pick, it)| self.span(pick, it)).collect();
            let sum =
                |it: fn(&(u64, u64)) -> u64| spans.iter().map(|span| u128::from(it(span))).sum::<u128>();
            let (least, largest, most) = (sum(|it| it.0), sum(|it| it.1), u128::from(row.most));
            possible &= least <= most;
            if possible && largest > most {
                for (pick, uses) in row.uses.iter().enumerate() {
                    for (nth, used) in uses.iter().enumerate() {
                        if least - u128::from(spans[pick].0) + u128::from(*used) > most {
                            self.kept[pick][nth] = false;
                        }
                    }
                }
            }
            largest > most
        });
        self.task.rows = rows;
        possible.then_some(())
    }

    /// Takes out values that a longest figure cannot have, and candidates that lie beyond all that it can.
    fn reaches(&mut self) {
        let mut reaches = std::mem::take(&mut self.task.reaches);
        reaches.retain(|reach| {
            let spans: Vec<_> =
                reach.figures.iter().enumerate().map(|(pick, it)| self.span(pick, it)).collect();
            let others = || spans.iter().enumerate().filter(|it| it.0 != reach.pick).map(|it| it.1);
            let least = others().map(|it| it.0).max().unwrap_or(0);
            let largest = others().map(|it| it.1).max().unwrap_or(0);
            let values = &reach.figures[reach.pick];
            // The first value that reaches everything is enough.
            let enough = values.iter().position(|it| *it >= largest).unwrap_or(values.len());
            for (nth, value) in values.iter().enumerate() {
                self.kept[reach.pick][nth] &= *value >= least && nth <= enough;
            }
            let farthest = self.span(reach.pick, values).1;
            for (pick, figures) in reach.figures.iter().enumerate() {
                figures.iter().enumerate().for_each(|(nth, it)| self.kept[pick][nth] &= *it <= farthest);
            }
            !self.single(reach.pick)
        });
        self.task.reaches = reaches;
    }

    /// Takes out candidates that go with no candidate of some other pick.
    fn walls(&mut self) {
        let mut against: BTreeMap<(Spot, usize), usize> = BTreeMap::new();
        for never in &self.task.nevers {
            if let [a, b] = never.as_slice() {
                *against.entry((*a, b.0)).or_default() += 1;
                *against.entry((*b, a.0)).or_default() += 1;
            }
        }
        for (((pick, nth), other), count) in against {
            // Counted before this round took anything out: too many left only delays it.
            if count >= self.open(other).count() && self.open(other).next().is_some() {
                let blocked = |it: usize| {
                    let mut pair = vec![(pick, nth), (other, it)];
                    pair.sort_unstable();
                    self.task.nevers.contains(&pair)
                };
                if self.open(other).all(blocked) {
                    self.kept[pick][nth] = false;
                }
            }
        }
    }

    /// Takes out candidates beside which another of the same pick is at least as good in every way.
    fn weaker(&mut self) {
        let mut rests: BTreeMap<Spot, Vec<Vec<Spot>>> = BTreeMap::new();
        for never in &self.task.nevers {
            for it in never {
                let rest = never.iter().filter(|other| *other != it).copied().collect();
                rests.entry(*it).or_default().push(rest);
            }
        }
        let shortest: Vec<u64> =
            self.task.reaches.iter().map(|it| self.span(it.pick, &it.figures[it.pick]).0).collect();
        for pick in 0..self.kept.len() {
            if self.task.reaches.iter().any(|it| it.pick == pick) {
                continue;
            }
            let open: Vec<usize> = self.open(pick).collect();
            for worse in &open {
                let beaten = open.iter().any(|better| {
                    let order = (self.task.goals.iter())
                        .map(|goal| goal[pick][*better].cmp(&goal[pick][*worse]))
                        .fold(std::cmp::Ordering::Equal, std::cmp::Ordering::then);
                    order.then(better.cmp(worse)).is_lt()
                        && self.task.rows.iter().all(|row| row.uses[pick][*better] <= row.uses[pick][*worse])
                        && self.task.reaches.iter().zip(&shortest).all(|(reach, least)| {
                            reach.figures[pick][*better] <= reach.figures[pick][*worse].max(*least)
                        })
                        && rests.get(&(pick, *better)).is_none_or(|all| {
                            all.iter().all(|rest| {
                                let within = |it: &Vec<_>| it.iter().all(|one| rest.contains(one));
                                rests.get(&(pick, *worse)).is_some_and(|it| it.iter().any(within))
                            })
                        })
                });
                if beaten {
                    self.kept[pick][*worse] = false;
                }
            }
        }
    }

    /// Counts every use and goal from the least of its pick, so that what is the same for all is nothing, and
    /// drops goals that all choices meet alike.
    fn normal(&mut self) {
        let mut goals = std::mem::take(&mut self.task.goals);
        goals.iter_mut().for_each(|it| _ = self.lower(it));
        goals.retain(|it| {
            it.iter().zip(&self.kept).any(|(row, kept)| row.iter().zip(kept).any(|it| *it.0 > 0 && *it.1))
        });
        self.task.goals = goals;
        let mut rows = std::mem::take(&mut self.task.rows);
        for Row { uses, most } in &mut rows {
            // Reduction has found that the least fits.
            *most = most.saturating_sub(self.lower(uses));
        }
        self.task.rows = rows;
    }

    fn lower(&self, table: &mut Table) -> u64 {
        let mut sum = 0;
        for (pick, row) in table.iter_mut().enumerate() {
            let least = self.span(pick, row).0;
            row.iter_mut().for_each(|it| *it = it.saturating_sub(least));
            sum += least;
        }
        sum
    }

    fn split(self) -> Reduced {
        let count = self.kept.len();
        let mut parts = Parts((0..count).collect());
        for never in &self.task.nevers {
            parts.join(never.iter().map(|it| it.0));
        }
        for row in &self.task.rows {
            parts.join((0..count).filter(|pick| self.span(*pick, &row.uses[*pick]).1 > 0));
        }
        for reach in &self.task.reaches {
            let least = self.span(reach.pick, &reach.figures[reach.pick]).0;
            let far = |pick: &usize| self.span(*pick, &reach.figures[*pick]).1 > least;
            parts.join((0..count).filter(far));
        }
        let mut fixed = Vec::new();
        let mut groups: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for pick in 0..count {
            let mut open = self.open(pick);
            match (open.next(), open.next()) {
                (Some(nth), None) => fixed.push((self.task.origin[pick], self.task.names[pick][nth])),
                _ => groups.entry(parts.root(pick)).or_default().push(pick),
            }
        }
        let parts = groups.values().map(|it| {
            let mut part = self.task.keep(it, &self.kept);
            part.goals.retain(|goal| goal.iter().flatten().any(|it| *it > 0));
            part.rows.retain(|row| row.uses.iter().flatten().any(|it| *it > 0));
            part
        });
        Reduced { fixed, parts: parts.collect() }
    }
}

/// Picks that touch one another, each with one that stands nearer to the group's first.
struct Parts(Vec<usize>);

impl Parts {
    fn root(&self, mut pick: usize) -> usize {
        while self.0[pick] != pick {
            pick = self.0[pick];
        }
        pick
    }

    fn join(&mut self, picks: impl Iterator<Item = usize>) {
        let mut first: Option<usize> = None;
        for pick in picks {
            let (a, b) = (self.root(pick), self.root(first.unwrap_or(pick)));
            self.0[a.max(b)] = a.min(b);
            first = Some(a.min(b));
        }
    }
}
