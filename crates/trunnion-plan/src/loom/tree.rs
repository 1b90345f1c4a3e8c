//! One net: the tree of least effort that joins its pieces.
//!
//! The Steiner tree problem in graphs, by dynamic programming over the subsets of what must be joined:
//! S. E. Dreyfus and R. A. Wagner, "The Steiner problem in graphs", Networks 1 (1971) 195–207, in the form
//! of R. E. Erickson, C. L. Monma and A. F. Veinott, "Send-and-split method for minimum-concave-cost
//! network flows", Mathematics of Operations Research 12 (1987) 634–664 (both cited from memory).
//! Beyond the size at which that is quick, [`super::ascent`] gives a tree and a proven bound.
//!
//! Among trees of equal effort the one with the fewest runs is taken, then that with the fewest taps; among
//! those the first in this order: list the runs by number and after them the taps by piece and tap, and
//! compare the lists from the front.

use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

use super::ascent;
use super::ground::{Ground, Halt, Laid, NEVER, Prices, Terminal, Way};

/// Up to so many things to join the tree is exact in any network.
const ALWAYS_EXACT: usize = 10;
/// Up to so many steps it is exact with more: about a hundredth of a second.
const STEPS: u64 = 1 << 24;

/// What a run counts for when equals are told apart; a tap counts one.
const RUN: u64 = 1 << 32;

/// From so many things to join, a fair tree first is worth its while.
const FEW: usize = 5;
/// From so many, a better one.
const MANY: usize = 8;

/// Steps that the exact method takes: each subset with each part of it at each node.
pub(super) fn steps(ground: &Ground) -> u64 {
    let power = u32::try_from(ground.terminals.len().saturating_sub(1)).unwrap_or(u32::MAX);
    3u64.saturating_pow(power).saturating_mul(ground.nodes as u64)
}

/// The tree of least effort at these prices; none if there is no way.
pub(super) fn lay(ground: &Ground, prices: &Prices, go_on: &dyn Fn() -> bool) -> Result<Option<Laid>, Halt> {
    let weights = ground.weights(prices);
    if ground.terminals.len() > ALWAYS_EXACT && steps(ground) > STEPS {
        let near = ascent::near(ground, &weights, go_on)?;
        return Ok(near.map(|it| ground.laid(&it.edges, it.effort, it.bound, prices)));
    }
    let best = exact(ground, &weights, go_on)?;
    Ok(best.map(|(effort, edges)| ground.laid(&edges, effort, effort, prices)))
}

/// How the best tree of a cell came about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum How {
    Not,
    /// The one thing to join is this node.
    Here,
    /// The one thing to join has this tap in this node.
    Tap(u32),
    /// Over this edge from its other end.
    Along(u32),
    /// This part of the set and the rest meet in this node.
    Meet(u32),
}

/// The best tree that joins a set of terminals and a node.
#[derive(Clone, Copy, Debug)]
struct Cell {
    effort: u64,
    /// Runs times [`RUN`], and taps.
    count: u64,
    how: How,
}

const EMPTY: Cell = Cell { effort: NEVER, count: u64::MAX, how: How::Not };

struct Table<'a> {
    ground: &'a Ground,
    cells: Vec<Cell>,
}

impl Table<'_> {
    fn cell(&self, set: usize, node: usize) -> Cell {
        self.cells[set * self.ground.nodes + node]
    }

    /// The edges of a tree, sorted.
    fn edges(&self, set: usize, node: usize, how: How) -> Vec<usize> {
        let (mut edges, mut open) = (Vec::new(), vec![(set, node, how)]);
        while let Some((set, node, how)) = open.pop() {
            match how {
                How::Not | How::Here => {}
                How::Tap(edge) => edges.push(edge as usize),
                How::Along(edge) => {
                    edges.push(edge as usize);
                    let from = self.ground.across(edge as usize, node);
                    open.push((set, from, self.cell(set, from).how));
                }
                How::Meet(part) => {
                    for set in [part as usize, set ^ part as usize] {
                        open.push((set, node, self.cell(set, node).how));
                    }
                }
            }
        }
        edges.sort_unstable();
        edges
    }

    /// Takes an offer if it is better; whether its effort or count is.
    fn offer(&mut self, set: usize, node: usize, offer: Cell) -> bool {
        let known = self.cell(set, node);
        let order = (offer.effort, offer.count).cmp(&(known.effort, known.count));
        let taken = match order {
            Ordering::Less => true,
            Ordering::Greater => false,
            Ordering::Equal => {
                offer.effort != NEVER
                    && offer.how != known.how
                    && self.edges(set, node, offer.how) < self.edges(set, node, known.how)
            }
        };
        if taken {
            self.cells[set * self.ground.nodes + node] = offer;
        }
        taken && order == Ordering::Less
    }

    /// Whether a branch of the tree of this set at this node begins like another. Over the same edge twice
    /// is never the best, and there would be many such to tell apart.
    fn shares(&self, set: usize, node: usize, begins: How) -> bool {
        let mut set = set;
        while let How::Meet(part) = self.cell(set, node).how {
            if self.cell(part as usize, node).how == begins {
                return matches!(begins, How::Along(_));
            }
            set ^= part as usize;
        }
        matches!(begins, How::Along(_)) && self.cell(set, node).how == begins
    }

    /// Every two parts of a set that meet in a node. The part with the first terminal is one branch at the
    /// node, so that each tree is offered once.
    fn meet(&mut self, set: usize) {
        let first = 1usize << set.trailing_zeros();
        let rest = set ^ first;
        let mut other = rest;
        while other != 0 {
            let part = set ^ other;
            for node in 0..self.ground.nodes {
                let one = self.cell(part, node);
                if one.effort == NEVER || matches!(one.how, How::Meet(_)) {
                    continue;
                }
                let two = self.cell(other, node);
                if two.effort != NEVER && !self.shares(other, node, one.how) {
                    let effort = one.effort.saturating_add(two.effort);
                    let count = one.count + two.count;
                    self.offer(set, node, Cell { effort, count, how: How::Meet(part as u32) });
                }
            }
            other = (other - 1) & rest;
        }
    }

    /// Lets the trees of a set grow along edges. Those that cannot become a tree within the limit are dropped.
    fn grow(&mut self, set: usize, weights: &[u64], limit: &Limit) {
        let ground = self.ground;
        let mut heap = BinaryHeap::new();
        for node in 0..ground.nodes {
            let cell = self.cell(set, node);
            if cell.effort != NEVER {
                heap.push(Reverse((cell.effort, cell.count, node)));
            }
        }
        while let Some(Reverse((effort, count, node))) = heap.pop() {
            let cell = self.cell(set, node);
            if (cell.effort, cell.count) != (effort, count) {
                continue;
            }
            if limit.passed(effort, node) {
                self.cells[set * ground.nodes + node] = EMPTY;
                continue;
            }
            for edge in ground.beside[node].iter().filter(|it| weights[**it] != NEVER) {
                let next = ground.across(*edge, node);
                let effort = effort.saturating_add(weights[*edge]);
                let count = count + counts(ground.edges[*edge].way);
                if self.offer(set, next, Cell { effort, count, how: How::Along(*edge as u32) }) {
                    heap.push(Reverse((effort, count, next)));
                }
            }
        }
    }

    /// The trees of one terminal alone: the shortest paths to it.
    fn begin(&mut self, set: usize, terminal: &Terminal, weights: &[u64]) {
        match terminal {
            Terminal::Node(node) => {
                self.offer(set, *node, Cell { effort: 0, count: 0, how: How::Here });
            }
            Terminal::OneOf(taps) => {
                for tap in taps {
                    let cell = Cell { effort: weights[*tap], count: 1, how: How::Tap(*tap as u32) };
                    self.offer(set, self.ground.edges[*tap].a, cell);
                }
            }
        }
        self.grow(set, weights, &Limit::default());
    }

    /// The effort of a fair tree: what the shortest paths to the last terminal (row 0) are made of, bettered
    /// if there are many terminals.
    fn fair(&self, weights: &[u64], others: &[Terminal]) -> Option<u64> {
        let mut nodes = vec![false; self.ground.nodes];
        for terminal in others {
            let near = match terminal {
                Terminal::Node(node) => *node,
                Terminal::OneOf(taps) => {
                    let from = |tap: &usize| {
                        weights[*tap].saturating_add(self.cell(0, self.ground.edges[*tap].a).effort)
                    };
                    self.ground.edges[*taps.iter().min_by_key(|it| (from(it), **it))?].a
                }
            };
            nodes[near] = true;
            for edge in self.edges(0, near, self.cell(0, near).how) {
                let edge = self.ground.edges[edge];
                nodes[edge.a] = true;
                nodes[edge.b.unwrap_or(edge.a)] = true;
            }
        }
        let spanning = ascent::Spanning::of(self.ground, weights);
        let start = spanning.tree(&nodes)?;
        Some(if others.len() + 1 < MANY { start.0 } else { spanning.better(start).0 })
    }
}

/// Up to what effort trees are of interest, and what each node still lacks at least.
#[derive(Default)]
struct Limit {
    effort: Option<u64>,
    lacks: Vec<u64>,
}

impl Limit {
    fn passed(&self, effort: u64, node: usize) -> bool {
        self.effort.is_some_and(|most| effort.saturating_add(self.lacks[node]) > most)
    }
}

/// What an edge counts for.
fn counts(way: Way) -> u64 {
    match way {
        Way::Run(_) => RUN,
        Way::Tap(..) => 1,
    }
}

/// The least effort and its edges, without what is used in any case.
fn exact(
    ground: &Ground,
    weights: &[u64],
    go_on: &dyn Fn() -> bool,
) -> Result<Option<(u64, Vec<usize>)>, Halt> {
    // What is joined last: the first terminal, which is a node if any is.
    let Some((last, others)) = ground.terminals.split_first() else { return Ok(Some((0, Vec::new()))) };
    if others.is_empty() {
        return Ok(Some((0, Vec::new())));
    }
    let all = (1usize << others.len()) - 1;
    // Row 0, of the empty set, is that of the last terminal alone.
    let mut table = Table { ground, cells: vec![EMPTY; (all + 1) * ground.nodes] };
    if others.len() + 1 >= FEW {
        table.begin(0, last, weights);
    }
    for (nth, terminal) in others.iter().enumerate() {
        table.begin(1 << nth, terminal, weights);
    }
    let most = if others.len() + 1 >= FEW { table.fair(weights, others) } else { None };
    let mut limit = Limit { effort: most, lacks: Vec::new() };
    for set in (1..=all).filter(|it| !it.is_power_of_two()) {
        if !go_on() {
            return Err(Halt);
        }
        table.meet(set);
        if most.is_some() {
            // Whatever is not in the set must still be reached from the node.
            limit.lacks.clear();
            limit.lacks.extend((0..ground.nodes).map(|node| table.cell(0, node).effort));
            for nth in (0..others.len()).filter(|it| set >> it & 1 == 0) {
                for (node, lacks) in limit.lacks.iter_mut().enumerate() {
                    *lacks = (*lacks).max(table.cell(1 << nth, node).effort);
                }
            }
        }
        table.grow(set, weights, &limit);
    }
    let ends: Vec<(usize, Option<usize>)> = match last {
        Terminal::Node(node) => vec![(*node, None)],
        Terminal::OneOf(taps) => taps.iter().map(|tap| (ground.edges[*tap].a, Some(*tap))).collect(),
    };
    let mut best: Option<(u64, u64, Vec<usize>)> = None;
    for (node, tap) in ends {
        let cell = table.cell(all, node);
        if cell.effort == NEVER {
            continue;
        }
        let mut edges = table.edges(all, node, cell.how);
        edges.extend(tap);
        edges.sort_unstable();
        let effort = cell.effort.saturating_add(tap.map_or(0, |it| weights[it]));
        let found = (effort, cell.count + u64::from(tap.is_some()), edges);
        if best.as_ref().is_none_or(|it| found < *it) {
            best = Some(found);
        }
    }
    Ok(best.map(|(effort, _, edges)| (effort, edges)))
}
