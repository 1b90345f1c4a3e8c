//! The shortest timetable, proven: all orders by start, cut where they cannot beat the best one known.
//!
//! Every timetable in which no piece could start earlier arises when pieces are put one after the other,
//! each at the earliest time that is not before the start of the last one; one of these is a shortest.
//! Source: the precedence tree of J. H. Patterson, R. Słowiński, F. B. Talbot and J. Węglarz, An algorithm for
//! a general class of precedence and resource constrained scheduling problems, in: Advances in Project
//! Scheduling, Elsevier 1989 (from memory, unverified); the tests compare with trying every start time.

use std::collections::BTreeSet;

use super::hands::Piece;
use super::placing::Placed;

/// How many partial timetables are looked at before the search gives up its proof.
const MOST: u32 = 200_000;

/// Where the search stands: what is put, the last start, and what still runs then.
type State = (u64, u64, Vec<(usize, u64)>);

struct Search<'p> {
    pieces: &'p [Piece],
    /// By piece: the longest chain of times from its start to the end.
    tails: &'p [u64],
    hands: u32,
    /// No timetable is shorter.
    bound: u64,
    best: u64,
    starts: Option<Vec<u64>>,
    seen: BTreeSet<State>,
    looked: u32,
}

/// A timetable shorter than `best`, if there is one, and whether that is proven. At most 64 pieces.
pub(super) fn shorter(
    pieces: &[Piece],
    hands: u32,
    tails: &[u64],
    bound: u64,
    best: u64,
) -> (Option<Vec<u64>>, bool) {
    let mut search =
        Search { pieces, tails, hands, bound, best, starts: None, seen: BTreeSet::new(), looked: 0 };
    search.go(&mut Placed::new(pieces, hands), 0, 0);
    let proven = search.looked < MOST || search.best == search.bound;
    (search.starts, proven)
}

impl Search<'_> {
    fn go(&mut self, placed: &mut Placed<'_>, put: u64, last: u64) {
        if self.best <= self.bound || self.looked >= MOST {
            return;
        }
        self.looked += 1;
        if self.least(placed, put, last) >= self.best {
            return;
        }
        if put.count_ones() as usize == self.pieces.len() {
            self.best = placed.finish();
            self.starts = Some(placed.starts.iter().map(|it| it.unwrap_or_default()).collect());
            return;
        }
        let runs = placed.starts.iter().enumerate().filter_map(|(nth, at)| {
            let finish = (*at)? + self.pieces[nth].takes;
            (finish > last).then_some((nth, finish))
        });
        if !self.seen.insert((put, last, runs.collect())) {
            return;
        }
        let is_put = |it: &usize| put & (1 << it) != 0;
        let mut next: Vec<(u64, u64, usize)> = (0..self.pieces.len())
            .filter(|it| !is_put(it) && self.pieces[*it].after.iter().all(is_put))
            .map(|it| (placed.earliest(it, placed.ready(it).max(last)), self.tails[it], it))
            .collect();
        // The soonest first, of these the one with most behind it.
        next.sort_by_key(|it| (it.0, std::cmp::Reverse(it.1), it.2));
        for (at, tail, nth) in next {
            if at + tail < self.best {
                placed.put(nth, at);
                self.go(placed, put | 1 << nth, at);
                placed.take_back(nth);
            }
        }
    }

    /// No timetable that goes on from here is shorter than this.
    fn least(&self, placed: &Placed<'_>, put: u64, last: u64) -> u64 {
        let (mut chain, mut work) = (placed.finish(), 0);
        for (nth, piece) in self.pieces.iter().enumerate().filter(|(nth, _)| put & (1 << nth) == 0) {
            chain = chain.max(placed.ready(nth).max(last) + self.tails[nth]);
            work += piece.takes * u64::from(piece.hands);
        }
        for (nth, piece) in self.pieces.iter().enumerate() {
            let finish = placed.starts[nth].map_or(0, |it| it + piece.takes);
            work += finish.saturating_sub(last.max(placed.starts[nth].unwrap_or(0))) * u64::from(piece.hands);
        }
        chain.max(last + work.div_ceil(u64::from(self.hands.max(1))))
    }
}
