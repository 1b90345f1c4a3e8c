//! A problem in the form that the search works on: everything is a sum, and what is settled is gone.

use std::collections::BTreeSet;

use super::problem::{Measure, Problem};

/// A number for each candidate of each pick.
pub(super) type Table = Vec<Vec<u64>>;

/// A candidate: its pick and its position there.
pub(super) type Spot = (usize, usize);

/// What the candidates use may not come to more than `most`.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub uses: Table,
    pub most: u64,
}

/// A pick that stands for the longest figure of a column: its candidates are the values it may have, and none
/// below the figure of a picked candidate is allowed.
#[derive(Clone, Debug)]
pub(super) struct Reach {
    /// That pick, a further one after the picks of the problem.
    pub pick: usize,
    /// The figures of all candidates, of that pick too.
    pub figures: Table,
}

/// What is still to be searched.
#[derive(Clone, Debug)]
pub(super) struct Task {
    /// For each pick its index outside; what stands for a longest figure has an index past the problem's.
    pub origin: Vec<usize>,
    /// For each candidate its index outside, rising.
    pub names: Vec<Vec<usize>>,
    /// What is to be made small, one after another.
    pub goals: Vec<Table>,
    /// What may not all be picked together.
    pub nevers: BTreeSet<Vec<Spot>>,
    pub rows: Vec<Row>,
    pub reaches: Vec<Reach>,
}

impl Task {
    /// The whole of a problem.
    pub fn of(problem: &Problem) -> Task {
        let mut names: Vec<Vec<usize>> = problem.picks.iter().map(|it| (0..it.len()).collect()).collect();
        let mut reaches = Vec::new();
        let mut weighed = vec![None; problem.columns.len()];
        for (column, measure) in problem.columns.iter().enumerate() {
            let wanted = problem.levels.iter().flatten().any(|it| it.0 == column && it.1 > 0);
            if *measure == Measure::Longest && wanted && !problem.picks.is_empty() {
                let figures: Table = problem
                    .picks
                    .iter()
                    .map(|pick| pick.iter().map(|it| it.figures[column]).collect())
                    .collect();
                let values: BTreeSet<u64> = figures.iter().flatten().copied().collect();
                weighed[column] = Some((names.len(), values.iter().copied().collect::<Vec<_>>()));
                reaches.push((names.len(), figures));
                names.push((0..values.len()).collect());
            }
        }
        let zero: Table = names.iter().map(|it| vec![0; it.len()]).collect();
        let goals = (problem.levels.iter())
            .map(|level| {
                let mut goal = zero.clone();
                for (column, weight) in level {
                    if let Some((pick, values)) = &weighed[*column] {
                        goal[*pick].iter_mut().zip(values).for_each(|(at, value)| *at += value * weight);
                    } else if problem.columns[*column] == Measure::Sum {
                        for (row, pick) in goal.iter_mut().zip(&problem.picks) {
                            row.iter_mut().zip(pick).for_each(|(at, it)| *at += it.figures[*column] * weight);
                        }
                    }
                }
                goal
            })
            .collect();
        let reaches = (reaches.into_iter())
            .map(|(pick, mut figures)| {
                figures.extend(names[figures.len()..].iter().map(|it| vec![0; it.len()]));
                if let Some((_, values)) = weighed.iter().flatten().find(|it| it.0 == pick) {
                    figures[pick].clone_from(values);
                }
                Reach { pick, figures }
            })
            .collect();
        let count = problem.picks.len();
        let exists = |pick: usize, nth: usize| pick < count && nth < problem.picks[pick].len();
        let mut nevers = BTreeSet::new();
        for never in &problem.never {
            let set: BTreeSet<Spot> = never.iter().copied().collect();
            let two_of_one = set.iter().zip(set.iter().skip(1)).any(|(a, b)| a.0 == b.0);
            if !two_of_one && set.iter().all(|(pick, nth)| exists(*pick, *nth)) {
                nevers.insert(set.into_iter().collect());
            }
        }
        let rows = (problem.limits.iter())
            .map(|limit| {
                let mut uses = zero.clone();
                for (pick, nth, used) in limit.uses.iter().filter(|it| exists(it.0, it.1)) {
                    uses[*pick][*nth] = uses[*pick][*nth].saturating_add(*used);
                }
                Row { uses, most: limit.most }
            })
            .collect();
        Task { origin: (0..names.len()).collect(), names, goals, nevers, rows, reaches }
    }

    /// Whether a choice, by the positions of the candidates, breaks nothing.
    pub fn allows(&self, picked: &[usize]) -> bool {
        let has = |it: &Spot| picked[it.0] == it.1;
        !self.nevers.iter().any(|never| never.iter().all(has))
            && self.rows.iter().all(|row| total(&row.uses, picked) <= u128::from(row.most))
            && self.reaches.iter().all(|reach| {
                let far = reach.figures[reach.pick][picked[reach.pick]];
                reach.figures.iter().zip(picked).all(|(row, nth)| row[*nth] <= far)
            })
    }

    /// What is left when only the marked candidates are kept, in the order of the picks and candidates given.
    pub fn keep(&self, picks: &[usize], kept: &[Vec<bool>]) -> Task {
        let mut place = vec![None; self.names.len()];
        picks.iter().enumerate().for_each(|(new, old)| place[*old] = Some(new));
        let seats: Vec<Vec<usize>> = (kept.iter())
            .map(|row| {
                let before = |nth: usize| row[..nth].iter().filter(|it| **it).count();
                (0..row.len()).map(before).collect()
            })
            .collect();
        let table =
            |it: &Table| -> Table { picks.iter().map(|pick| marked(&it[*pick], &kept[*pick])).collect() };
        // What names a pick that is not kept is settled: reduction has taken it out, or it is another part's.
        let nevers = (self.nevers.iter())
            .filter_map(|never| {
                let seat = |(pick, nth): &Spot| Some((place[*pick]?, seats[*pick][*nth]));
                if never.iter().all(|(pick, nth)| kept[*pick][*nth]) {
                    never.iter().map(seat).collect()
                } else {
                    None
                }
            })
            .collect();
        Task {
            origin: picks.iter().map(|it| self.origin[*it]).collect(),
            names: picks.iter().map(|it| marked(&self.names[*it], &kept[*it])).collect(),
            goals: self.goals.iter().map(table).collect(),
            nevers,
            rows: self.rows.iter().map(|it| Row { uses: table(&it.uses), most: it.most }).collect(),
            reaches: (self.reaches.iter())
                .filter_map(|it| Some(Reach { pick: place[it.pick]?, figures: table(&it.figures) }))
                .collect(),
        }
    }
}

/// What a choice comes to in a table.
pub(super) fn total(table: &Table, picked: &[usize]) -> u128 {
    table.iter().zip(picked).map(|(row, nth)| u128::from(row[*nth])).sum()
}

fn marked<T: Copy>(all: &[T], kept: &[bool]) -> Vec<T> {
    all.iter().zip(kept).filter(|it| *it.1).map(|it| *it.0).collect()
}
