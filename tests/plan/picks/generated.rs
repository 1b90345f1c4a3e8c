//! Generated problems. `picks_fixture.py` makes the same ones, number for number.

use trunnion_plan::picks::{Candidate, Limit, Measure, Problem};

/// Evenly spread numbers from a seed: SplitMix64 (Steele, Lea and Flood, Fast Splittable Pseudorandom Number
/// Generators, OOPSLA 2014).
pub struct Draw(pub u64);

impl Draw {
    /// A number below `count`.
    pub fn below(&mut self, count: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (z ^ (z >> 31)) % count
    }

    /// An index below `count`.
    pub fn index(&mut self, count: usize) -> usize {
        self.below(count as u64) as usize
    }
}

/// What a generated problem looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shape {
    pub seed: u64,
    pub picks: usize,
    /// The most candidates of a pick; each has at least half as many.
    pub candidates: u64,
    /// Figures of the first column are below this.
    pub spread: u64,
    pub nevers: usize,
    pub stocks: usize,
    /// Where a budget on the first column lies between the least and the most that could be used, in
    /// thousandths; 0 for none.
    pub budget: u64,
}

/// The problem of a shape.
pub fn problem(shape: Shape) -> Problem {
    let mut draw = Draw(shape.seed);
    let spread = shape.spread;
    let mut picks = Vec::new();
    for _ in 0..shape.picks {
        let count = shape.candidates.div_ceil(2) + draw.below(shape.candidates / 2 + 1);
        let candidate = |_| {
            let of = [spread, 60, spread / 4 + 1, spread / 16 + 1];
            Candidate { figures: of.iter().map(|it| draw.below(*it)).collect() }
        };
        picks.push((0..count).map(candidate).collect::<Vec<_>>());
    }
    let mut never = Vec::new();
    for _ in 0..shape.nevers {
        let count = if draw.below(4) == 0 { 3 } else { 2 };
        let mut one = Vec::new();
        for _ in 0..count {
            let pick = draw.index(shape.picks);
            one.push((pick, draw.index(picks[pick].len())));
        }
        never.push(one);
    }
    let mut limits = Vec::new();
    for _ in 0..shape.stocks {
        let mut uses = Vec::new();
        for (pick, candidates) in picks.iter().enumerate() {
            let nth = draw.index(candidates.len());
            uses.push((pick, nth, draw.below(4)));
        }
        limits.push(Limit { uses, most: (shape.picks / 4) as u64 + draw.below(shape.picks as u64) });
    }
    if shape.budget > 0 {
        let costs = |pick: &Vec<Candidate>| pick.iter().map(|it| it.figures[0]).collect::<Vec<_>>();
        let least: u64 = picks.iter().filter_map(|it| costs(it).into_iter().min()).sum();
        let largest: u64 = picks.iter().filter_map(|it| costs(it).into_iter().max()).sum();
        let mut uses = Vec::new();
        for (pick, candidates) in picks.iter().enumerate() {
            uses.extend(candidates.iter().enumerate().map(|(nth, it)| (pick, nth, it.figures[0])));
        }
        limits.push(Limit { uses, most: least + (largest - least) * shape.budget / 1000 });
    }
    let levels = match draw.below(4) {
        0 => vec![vec![(0, 1)], vec![(1, 1)], vec![(2, 1)], vec![(3, 1)]],
        1 => vec![vec![(1, 1)], vec![(0, 1)]],
        2 => vec![vec![(2, 1)], vec![(0, 1), (3, 2)]],
        _ => vec![vec![(0, 1), (1, spread / 16 + 1), (2, 2)], vec![(3, 1)]],
    };
    let columns = vec![Measure::Sum, Measure::Longest, Measure::Sum, Measure::Sum];
    Problem { picks, columns, levels, never, limits }
}
