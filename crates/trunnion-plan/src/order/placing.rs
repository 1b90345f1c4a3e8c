//! Putting pieces of work one by one at the earliest time at which enough hands are free.

use super::hands::Piece;

/// What is put already: when which piece starts. Never more hands at work than there are.
#[derive(Clone, Debug)]
pub(super) struct Placed<'p> {
    pieces: &'p [Piece],
    hands: u32,
    /// By piece: when it starts.
    pub(super) starts: Vec<Option<u64>>,
    /// Start, finish and hands of those that take time.
    busy: Vec<(u64, u64, u32)>,
}

impl<'p> Placed<'p> {
    pub(super) fn new(pieces: &'p [Piece], hands: u32) -> Self {
        Self { pieces, hands, starts: vec![None; pieces.len()], busy: Vec::new() }
    }

    /// When a piece whose predecessors are all put is ready: they are finished and its parts are there.
    pub(super) fn ready(&self, nth: usize) -> u64 {
        let before = self.pieces[nth].after.iter();
        let finishes = before.map(|it| self.starts[*it].map_or(0, |start| start + self.pieces[*it].takes));
        finishes.max().unwrap_or(0).max(self.pieces[nth].not_before)
    }

    /// The earliest time from one on at which a piece has the hands it needs, for as long as it takes.
    pub(super) fn earliest(&self, nth: usize, from: u64) -> u64 {
        let piece = &self.pieces[nth];
        if piece.takes == 0 || piece.hands == 0 {
            return from;
        }
        // Hands come free only where something finishes.
        let mut times: Vec<u64> = self.busy.iter().map(|it| it.1).filter(|it| *it > from).collect();
        times.push(from);
        times.sort_unstable();
        let fits = |at: &u64| self.most(*at, at + piece.takes) + piece.hands <= self.hands;
        // After the last has finished all hands are free, so that one of the times always fits.
        times.into_iter().find(fits).unwrap_or(from)
    }

    /// The most hands at work at any moment of a span.
    fn most(&self, from: u64, to: u64) -> u32 {
        let at = |time: u64| -> u32 {
            self.busy.iter().filter(|it| it.0 <= time && time < it.1).map(|it| it.2).sum()
        };
        let begun = self.busy.iter().map(|it| it.0).filter(|it| *it > from && *it < to);
        begun.chain([from]).map(at).max().unwrap_or(0)
    }

    /// Puts a piece at a time.
    pub(super) fn put(&mut self, nth: usize, at: u64) {
        let piece = &self.pieces[nth];
        self.starts[nth] = Some(at);
        if piece.takes > 0 && piece.hands > 0 {
            self.busy.push((at, at + piece.takes, piece.hands));
        }
    }

    /// Takes the piece that was put last away again.
    pub(super) fn take_back(&mut self, nth: usize) {
        if self.pieces[nth].takes > 0 && self.pieces[nth].hands > 0 {
            self.busy.pop();
        }
        self.starts[nth] = None;
    }

    /// When the last that is put is finished.
    pub(super) fn finish(&self) -> u64 {
        self.starts.iter().zip(self.pieces).filter_map(|(at, it)| Some((*at)? + it.takes)).max().unwrap_or(0)
    }
}

/// Puts all pieces, each as early as may be, always the first of the list that is ready to be put.
pub(crate) fn in_turn(pieces: &[Piece], hands: u32, list: &[usize]) -> Vec<u64> {
    let mut placed = Placed::new(pieces, hands);
    let mut left: Vec<usize> = list.to_vec();
    while !left.is_empty() {
        let free = |it: &usize| pieces[*it].after.iter().all(|before| placed.starts[*before].is_some());
        // Without a ring one of those left waits for none of them.
        let Some(at) = left.iter().position(free) else { break };
        let nth = left.remove(at);
        let start = placed.earliest(nth, placed.ready(nth));
        placed.put(nth, start);
    }
    placed.starts.into_iter().map(Option::unwrap_or_default).collect()
}
