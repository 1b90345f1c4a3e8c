//! The smallest set of observations that settles every point.
//!
//! Each observation settles some points; an exact search picks the fewest, and of as few those that take the
//! least time. It keeps what must be taken (a point that one observation alone settles), drops what another
//! settles as well (dominance), and branches on the point with the fewest observations left.

/// How many branches are tried before the best found so far stands.
const MOST: usize = 200_000;

/// One thing that can be found out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Observation {
    /// The points that it settles, by number.
    pub settles: Vec<usize>,
    /// How long it takes, in minutes.
    pub minutes: u32,
}

/// What was picked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cover {
    /// The observations, by number, in order.
    pub picked: Vec<usize>,
    /// Whether no smaller set does; false where the search was given up.
    pub smallest: bool,
}

/// The smallest set that settles the points 0 to `points` − 1; of as small ones the quickest, and of as quick ones
/// the first in order. Points that nothing settles are left out.
pub fn smallest(points: usize, observations: &[Observation]) -> Cover {
    let settled: Vec<Vec<usize>> = (0..points)
        .map(|point| {
            (0..observations.len()).filter(|it| observations[*it].settles.contains(&point)).collect()
        })
        .collect();
    let mut search = Search { observations, by_point: &settled, best: None, tried: 0 };
    let open: Vec<usize> = (0..points).filter(|it| !settled[*it].is_empty()).collect();
    search.go(&open, &mut Vec::new());
    let smallest = search.tried < MOST;
    let mut picked = search.best.map(|it| it.2).unwrap_or_default();
    picked.sort_unstable();
    Cover { picked, smallest }
}

struct Search<'a> {
    observations: &'a [Observation],
    /// For each point the observations that settle it.
    by_point: &'a [Vec<usize>],
    /// Count, minutes, and the set, sorted.
    best: Option<(usize, u32, Vec<usize>)>,
    tried: usize,
}

impl Search<'_> {
    fn go(&mut self, open: &[usize], picked: &mut Vec<usize>) {
        self.tried += 1;
        if self.tried >= MOST && self.best.is_some() {
            return;
        }
        let minutes: u32 = picked.iter().map(|it| self.observations[*it].minutes).sum();
        // At least as many more are needed as points of which no two share an observation.
        let least = picked.len() + self.apart(open);
        if let Some((count, time, _)) = &self.best
            && (least > *count || least == *count && minutes > *time)
        {
            return;
        }
        // The point with the fewest ways to settle it decides the branches.
        let Some(next) = open.iter().min_by_key(|it| (self.by_point[**it].len(), **it)) else {
            let mut sorted = picked.clone();
            sorted.sort_unstable();
            let found = (picked.len(), minutes, sorted);
            if self.best.as_ref().is_none_or(|it| found < *it) {
                self.best = Some(found);
            }
            return;
        };
        let mut ways: Vec<usize> = self.by_point[*next].clone();
        // What settles most of the open points first: a good set is found soon, and cuts the rest off.
        let gain =
            |it: &usize| open.iter().filter(|point| self.observations[*it].settles.contains(point)).count();
        ways.sort_by_key(|it| (std::cmp::Reverse(gain(it)), self.observations[*it].minutes, *it));
        for way in ways {
            picked.push(way);
            let settles = &self.observations[way].settles;
            let left: Vec<usize> = open.iter().copied().filter(|it| !settles.contains(it)).collect();
            self.go(&left, picked);
            picked.pop();
        }
    }

    /// How many of the open points share no observation with one another, counted one after another.
    fn apart(&self, open: &[usize]) -> usize {
        let mut used: Vec<usize> = Vec::new();
        let mut count = 0;
        for point in open {
            let ways = &self.by_point[*point];
            if ways.iter().all(|it| !used.contains(it)) {
                used.extend(ways);
                count += 1;
            }
        }
        count
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn observation(settles: &[usize], minutes: u32) -> Observation {
        Observation { settles: settles.to_vec(), minutes }
    }

    /// The usual example in which taking the largest first is not best: two sets of three cover six points, and
    /// the greedy answer begins with one of four and needs three.
    #[test]
    fn the_largest_first_is_not_the_smallest_set() {
        let all = [
            observation(&[0, 1, 2], 5),
            observation(&[3, 4, 5], 5),
            observation(&[0, 1, 3, 4], 5),
            observation(&[2], 1),
            observation(&[5], 1),
        ];
        assert_eq!(smallest(6, &all), Cover { picked: vec![0, 1], smallest: true });
    }

    #[test]
    fn of_sets_as_small_the_quickest_is_taken() {
        let all = [observation(&[0, 1], 30), observation(&[0], 5), observation(&[0, 1], 20)];
        assert_eq!(smallest(2, &all).picked, [2]);
        assert_eq!(smallest(0, &all).picked, [] as [usize; 0]);
        assert_eq!(smallest(3, &all).picked, [2], "what nothing settles is left out");
    }

    /// Against every subset, on generated cases.
    #[test]
    fn it_is_the_smallest_of_all_subsets() {
        let mut seed = 0x2545_f491_4f6c_dd1d_u64;
        let mut random = |below: u64| {
            // xorshift64, from Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8(14), 2003.
            seed ^= seed << 13;
            seed ^= seed >> 7;
            seed ^= seed << 17;
            seed % below
        };
        for _ in 0..1500 {
            let points = 1 + random(8) as usize;
            let count = 1 + random(9) as usize;
            let all: Vec<Observation> = (0..count)
                .map(|_| {
                    let settles = (0..points).filter(|_| random(3) == 0).collect::<Vec<_>>();
                    Observation { settles, minutes: random(4) as u32 }
                })
                .collect();
            let can: Vec<usize> =
                (0..points).filter(|it| all.iter().any(|o| o.settles.contains(it))).collect();
            let of = |subset: u32| (0..count).filter(move |it| subset & 1 << it != 0);
            let best = (0..1u32 << count)
                .filter(|subset| can.iter().all(|it| of(*subset).any(|o| all[o].settles.contains(it))))
                .map(|subset| (of(subset).count(), of(subset).map(|it| all[it].minutes).sum::<u32>()))
                .min()
                .expect("all of them");
            let cover = smallest(points, &all);
            let minutes: u32 = cover.picked.iter().map(|it| all[*it].minutes).sum();
            assert_eq!((cover.picked.len(), minutes), best, "{all:?}");
            assert!(cover.smallest);
        }
    }
}
