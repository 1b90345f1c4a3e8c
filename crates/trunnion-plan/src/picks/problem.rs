//! What is to be picked, what forbids it, and what is preferred.

/// How a column's figures of the picked candidates come together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// All figures added up, as with money or mass.
    Sum,
    /// The largest figure, as with waiting times that run side by side; 0 where nothing is picked.
    Longest,
}

/// One way to settle a pick.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Candidate {
    /// Its figures, exactly one for each column of the problem, in whole numbers of the smallest unit that
    /// counts (cents, minutes, grams).
    pub figures: Vec<u64>,
}

/// Something of which there is only so much: a budget, a stock.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Limit {
    /// What a candidate uses of it if it is picked: pick, candidate, use. Uses of one candidate that are
    /// listed more than once add up. What names no candidate of the problem uses nothing.
    pub uses: Vec<(usize, usize, u64)>,
    /// The most that may be used in all.
    pub most: u64,
}

/// A whole choice to be made.
///
/// Figures, uses and weights may have any size as long as the levels and the sums of uses of any one choice
/// fit 64 bits. Up to about 10^12 the solver works at full speed; beyond that the answer is as exact, but
/// found by plain division into cases.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Problem {
    /// The candidates of each pick, of which exactly one is picked. A pick without candidates makes the
    /// problem impossible.
    pub picks: Vec<Vec<Candidate>>,
    /// How each column's figures come together.
    pub columns: Vec<Measure>,
    /// What is preferred: the first level is made as small as possible, then the second without making the
    /// first larger, and so on. Each level is a sum of columns, each with its weight: (column, weight).
    pub levels: Vec<Vec<(usize, u64)>>,
    /// Candidates, as (pick, candidate), that may not all be picked together. An empty one makes the problem
    /// impossible; one that names a candidate that does not exist forbids nothing.
    pub never: Vec<Vec<(usize, usize)>>,
    /// What there is only so much of.
    pub limits: Vec<Limit>,
}

/// One allowed choice, with what it comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Solution {
    /// The candidate of each pick, by its index.
    pub picked: Vec<usize>,
    /// What each column comes to.
    pub figures: Vec<u64>,
    /// What each level comes to.
    pub levels: Vec<u64>,
}

/// How a search ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Nothing allowed is better. Of equally good ones, the one whose `picked` comes first, number by
    /// number.
    Best(Solution),
    /// Nothing is allowed.
    Impossible,
    /// It was asked to stop before it knew.
    Stopped,
}

impl Problem {
    /// What a choice comes to, whether it is allowed or not.
    ///
    /// # Panics
    /// If `picked` does not name a candidate for every pick, or a candidate has no figure for a column.
    pub fn worth(&self, picked: Vec<usize>) -> Solution {
        let figures: Vec<u64> = (self.columns.iter().enumerate())
            .map(|(column, measure)| {
                let all = (self.picks.iter().zip(&picked)).map(|(pick, nth)| pick[*nth].figures[column]);
                match measure {
                    Measure::Sum => all.sum(),
                    Measure::Longest => all.max().unwrap_or(0),
                }
            })
            .collect();
        let level =
            |it: &Vec<(usize, u64)>| it.iter().map(|(column, weight)| figures[*column] * weight).sum();
        let levels = self.levels.iter().map(level).collect();
        Solution { picked, figures, levels }
    }

    /// Whether no constraint forbids a choice.
    pub fn allows(&self, picked: &[usize]) -> bool {
        let has = |pick: usize, candidate: usize| picked.get(pick) == Some(&candidate);
        picked.len() == self.picks.len()
            && picked.iter().zip(&self.picks).all(|(nth, pick)| *nth < pick.len())
            && !self.never.iter().any(|never| never.iter().all(|(pick, nth)| has(*pick, *nth)))
            && self.limits.iter().all(|limit| {
                let used = limit.uses.iter().filter(|(pick, nth, _)| has(*pick, *nth));
                used.map(|it| u128::from(it.2)).sum::<u128>() <= u128::from(limit.most)
            })
    }
}
