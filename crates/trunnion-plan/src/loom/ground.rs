//! What one net sees of the network: a graph with what must be spanned, made as small as it goes.
//!
//! A piece with taps in one zone only is joined there in any case, so that the zone takes its place; two
//! such pieces in one zone count once. Of several taps of a piece in one zone only the cheapest is of
//! use. What remains are zones and the pieces that leave a choice.

use std::collections::{BTreeMap, BTreeSet};

use super::network::{Net, Network};

/// An effort that is more than any: the way is forbidden.
pub(super) const NEVER: u64 = u64::MAX;

/// The caller told the search to stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Halt;

/// What an edge of the graph stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// A run of the network.
    Run(usize),
    /// A tap of a piece, and its effort.
    Tap(usize, usize, u64),
}

/// An edge. A tap has its zone as `a`; its `b` is none where the piece is only ever an end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Edge {
    pub a: usize,
    pub b: Option<usize>,
    pub way: Way,
}

/// What must be spanned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Terminal {
    /// A node: a zone, or a piece with several taps through which a net may pass.
    Node(usize),
    /// One of these edges, which are taps of one piece.
    OneOf(Vec<usize>),
}

/// The graph of one net. Nodes are the zones, then the pieces that can be passed through. Edges are in the
/// order in which equals are told apart: the runs, then the taps by piece.
#[derive(Clone, Debug, Default)]
pub(super) struct Ground {
    pub nodes: usize,
    pub edges: Vec<Edge>,
    /// The edges at each node, in order, without those whose `b` is none.
    pub beside: Vec<Vec<usize>>,
    /// Nodes first, then the choices.
    pub terminals: Vec<Terminal>,
    /// Taps that are used in any case.
    pub always: Vec<(usize, usize)>,
    /// Their effort.
    pub always_effort: u64,
}

/// What runs and taps cost a net in one question.
#[derive(Clone, Debug)]
pub(super) struct Prices {
    /// For each run of the network; [`NEVER`]: forbidden.
    pub runs: Vec<u64>,
    /// What taps are multiplied by.
    pub scale: u64,
}

/// A tree of one net at some prices.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub(super) struct Laid {
    pub effort: u64,
    pub bound: u64,
    pub runs: Vec<usize>,
    pub taps: Vec<(usize, usize)>,
}

impl Ground {
    /// The graph, or none if a piece has no tap in the network.
    pub fn of(network: &Network, net: &Net) -> Option<Ground> {
        let mut ground = Ground { nodes: network.zones, ..Ground::default() };
        for (nth, run) in network.runs.iter().enumerate() {
            if run.a != run.b && run.a < network.zones && run.b < network.zones {
                ground.edges.push(Edge { a: run.a, b: Some(run.b), way: Way::Run(nth) });
            }
        }
        let (mut nodes, mut choices) = (BTreeSet::new(), Vec::new());
        let alone = net.pieces.len() < 2;
        for (nth, piece) in net.pieces.iter().enumerate().filter(|_| !alone) {
            let mut best: BTreeMap<usize, (u64, usize)> = BTreeMap::new();
            for (tap, it) in piece.taps.iter().enumerate().filter(|(_, it)| it.zone < network.zones) {
                let effort = it.effort.saturating_add(network.stay.get(it.zone).copied().unwrap_or(0));
                let known = best.entry(it.zone).or_insert((effort, tap));
                *known = (*known).min((effort, tap));
            }
            let mut taps: Vec<(usize, usize, u64)> =
                best.into_iter().map(|(zone, (effort, tap))| (tap, zone, effort)).collect();
            taps.sort_unstable();
            match taps.as_slice() {
                [] => return None,
                [(tap, zone, effort)] => {
                    nodes.insert(*zone);
                    ground.always.push((nth, *tap));
                    ground.always_effort = ground.always_effort.saturating_add(*effort);
                }
                _ => {
                    let node = piece.through.then_some(ground.nodes);
                    let first = ground.edges.len();
                    for (tap, zone, effort) in &taps {
                        ground.edges.push(Edge { a: *zone, b: node, way: Way::Tap(nth, *tap, *effort) });
                    }
                    match node {
                        Some(node) => {
                            nodes.insert(node);
                            ground.nodes += 1;
                        }
                        None => choices.push(Terminal::OneOf((first..ground.edges.len()).collect())),
                    }
                }
            }
        }
        ground.terminals = nodes.into_iter().map(Terminal::Node).chain(choices).collect();
        ground.beside = vec![Vec::new(); ground.nodes];
        for (nth, edge) in ground.edges.iter().enumerate() {
            if let Some(b) = edge.b {
                ground.beside[edge.a].push(nth);
                ground.beside[b].push(nth);
            }
        }
        Some(ground)
    }

    /// The node at the other end of an edge that joins two nodes.
    pub fn across(&self, edge: usize, node: usize) -> usize {
        let it = &self.edges[edge];
        if it.a == node { it.b.unwrap_or(it.a) } else { it.a }
    }

    /// What each edge costs.
    pub fn weights(&self, prices: &Prices) -> Vec<u64> {
        let cost = |edge: &Edge| match edge.way {
            Way::Run(run) => prices.runs.get(run).copied().unwrap_or(NEVER),
            Way::Tap(_, _, effort) => effort.saturating_mul(prices.scale),
        };
        self.edges.iter().map(cost).collect()
    }

    /// The tree that consists of these edges and the taps used in any case. Efforts are without those taps.
    pub fn laid(&self, edges: &[usize], effort: u64, bound: u64, prices: &Prices) -> Laid {
        let always = self.always_effort.saturating_mul(prices.scale);
        let mut laid = Laid {
            effort: effort.saturating_add(always),
            bound: bound.saturating_add(always),
            runs: Vec::new(),
            taps: self.always.clone(),
        };
        for edge in edges {
            match self.edges[*edge].way {
                Way::Run(run) => laid.runs.push(run),
                Way::Tap(piece, tap, _) => laid.taps.push((piece, tap)),
            }
        }
        laid.runs.sort_unstable();
        laid.taps.sort_unstable();
        laid
    }
}
