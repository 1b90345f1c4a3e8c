//! A net with very many pieces: a good tree, and how much better one could be at most.
//!
//! The tree: shortest paths from one terminal to the others, then nodes put in and left out one at a time
//! as long as the least spanning tree of the nodes gets cheaper. The bound: dual ascent on the directed
//! cut formulation, R. T. Wong, "A dual ascent approach for Steiner tree problems on a directed graph",
//! Mathematical Programming 28 (1984) 271–287 (cited from memory). It never claims more than it proved.

use petgraph::algo::astar;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::unionfind::UnionFind;

use super::ground::{Ground, Halt, NEVER, Terminal};

/// So many terminals are tried as the root of the dual ascent; more make the bound little better.
const ROOTS: usize = 8;

/// A tree, its effort and a lower bound, without what is used in any case.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Near {
    pub effort: u64,
    pub edges: Vec<usize>,
    pub bound: u64,
}

/// A tree and a bound; none if there is no way.
pub(super) fn near(ground: &Ground, weights: &[u64], go_on: &dyn Fn() -> bool) -> Result<Option<Near>, Halt> {
    let mut bound = 0;
    let mut starts = vec![vec![true; ground.nodes]];
    for root in 0..ground.terminals.len() {
        if !go_on() {
            return Err(Halt);
        }
        let arcs = Arcs::from(ground, weights, root);
        if root < ROOTS {
            let Some(proven) = arcs.ascend() else { return Ok(None) };
            bound = bound.max(proven);
        }
        let Some(nodes) = arcs.paths(ground.nodes) else { return Ok(None) };
        starts.push(nodes);
    }
    let spanning = Spanning::of(ground, weights);
    let mut best: Option<Spanned> = None;
    for nodes in starts {
        let Some((effort, edges, nodes)) = spanning.tree(&nodes) else { continue };
        if best.as_ref().is_none_or(|it| effort < it.0) {
            best = Some((effort, edges, nodes));
        }
    }
    let Some(best) = best else { return Ok(None) };
    let best = spanning.better(best);
    Ok(Some(Near { effort: best.0, edges: best.1, bound: bound.min(best.0) }))
}

/// Effort, edges and nodes of a tree.
type Spanned = (u64, Vec<usize>, Vec<bool>);

/// Least spanning trees of chosen nodes.
pub(super) struct Spanning<'a> {
    ground: &'a Ground,
    weights: &'a [u64],
    /// Edges between nodes, cheapest first.
    order: Vec<usize>,
    must: Vec<bool>,
}

impl<'a> Spanning<'a> {
    pub fn of(ground: &'a Ground, weights: &'a [u64]) -> Spanning<'a> {
        let joins = |it: &usize| ground.edges[*it].b.is_some() && weights[*it] != NEVER;
        let mut order: Vec<usize> = (0..ground.edges.len()).filter(joins).collect();
        order.sort_by_key(|it| (weights[*it], *it));
        let mut must = vec![false; ground.nodes];
        for terminal in &ground.terminals {
            if let Terminal::Node(node) = terminal {
                must[*node] = true;
            }
        }
        Spanning { ground, weights, order, must }
    }

    /// The least tree over these nodes that joins all terminals, without the branches that join none: its
    /// effort, edges and nodes. None if these nodes do not hang together.
    pub fn tree(&self, nodes: &[bool]) -> Option<Spanned> {
        let mut joined: UnionFind<usize> = UnionFind::new(self.ground.nodes);
        let mut edges = Vec::new();
        for nth in &self.order {
            let edge = self.ground.edges[*nth];
            let b = edge.b.unwrap_or(edge.a);
            if nodes[edge.a] && nodes[b] && joined.union(edge.a, b) {
                edges.push(*nth);
            }
        }
        let label = joined.into_labeling();
        let mut labels: Vec<usize> =
            (0..self.ground.nodes).filter(|it| nodes[*it]).map(|it| label[it]).collect();
        labels.sort_unstable();
        labels.dedup();
        labels.into_iter().filter_map(|it| self.part(&label, it, nodes, &edges)).min_by_key(|it| it.0)
    }

    /// The tree after putting in or leaving out one node at a time as long as that makes it cheaper.
    pub fn better(&self, mut best: Spanned) -> Spanned {
        while let Some(found) = (0..self.ground.nodes).find_map(|node| {
            let mut nodes = best.2.clone();
            nodes[node] = !nodes[node];
            self.tree(&nodes).filter(|it| it.0 < best.0)
        }) {
            best = found;
        }
        best
    }

    /// The tree in one connected part.
    fn part(&self, label: &[usize], part: usize, nodes: &[bool], edges: &[usize]) -> Option<Spanned> {
        let inside = |node: usize| nodes[node] && label[node] == part;
        let mut held = self.must.clone();
        if (0..self.ground.nodes).any(|it| held[it] && !inside(it)) {
            return None;
        }
        let mut taps = Vec::new();
        for terminal in &self.ground.terminals {
            if let Terminal::OneOf(choice) = terminal {
                let within = choice.iter().filter(|it| inside(self.ground.edges[**it].a));
                let tap = *within.min_by_key(|it| (self.weights[**it], **it))?;
                held[self.ground.edges[tap].a] = true;
                taps.push(tap);
            }
        }
        let mut kept: Vec<usize> =
            edges.iter().copied().filter(|it| inside(self.ground.edges[*it].a)).collect();
        loop {
            let mut degree = vec![0usize; self.ground.nodes];
            for edge in kept.iter().map(|it| self.ground.edges[*it]) {
                degree[edge.a] += 1;
                degree[edge.b.unwrap_or(edge.a)] += 1;
            }
            let before = kept.len();
            let bare = |node: usize| degree[node] == 1 && !held[node];
            kept.retain(|it| {
                let edge = self.ground.edges[*it];
                !bare(edge.a) && !bare(edge.b.unwrap_or(edge.a))
            });
            if kept.len() == before {
                break;
            }
        }
        let mut used = held;
        for edge in kept.iter().map(|it| self.ground.edges[*it]) {
            used[edge.a] = true;
            used[edge.b.unwrap_or(edge.a)] = true;
        }
        kept.extend(taps);
        kept.sort_unstable();
        let effort = kept.iter().fold(0u64, |sum, it| sum.saturating_add(self.weights[*it]));
        Some((effort, kept, used))
    }
}

/// The graph as arcs away from a root; a piece that is only an end has a node of its own.
struct Arcs {
    nodes: usize,
    /// From, to, cost.
    list: Vec<(usize, usize, u64)>,
    root: usize,
    ends: Vec<usize>,
}

impl Arcs {
    fn from(ground: &Ground, weights: &[u64], root: usize) -> Arcs {
        let mut list = Vec::new();
        for (nth, edge) in ground.edges.iter().enumerate().filter(|(nth, _)| weights[*nth] != NEVER) {
            if let Some(b) = edge.b {
                list.push((edge.a, b, weights[nth]));
                list.push((b, edge.a, weights[nth]));
            }
        }
        let (mut nodes, mut ends) = (ground.nodes, Vec::new());
        for (nth, terminal) in ground.terminals.iter().enumerate() {
            match terminal {
                Terminal::Node(node) => ends.push(*node),
                Terminal::OneOf(taps) => {
                    for tap in taps {
                        let zone = ground.edges[*tap].a;
                        let arc = if nth == root { (nodes, zone) } else { (zone, nodes) };
                        list.push((arc.0, arc.1, weights[*tap]));
                    }
                    ends.push(nodes);
                    nodes += 1;
                }
            }
        }
        let root = ends.swap_remove(root);
        Arcs { nodes, list, root, ends }
    }

    /// The nodes (below a number) on shortest paths from the root to all ends.
    fn paths(&self, below: usize) -> Option<Vec<bool>> {
        let mut graph: DiGraph<(), u64> = DiGraph::with_capacity(self.nodes, self.list.len());
        for _ in 0..self.nodes {
            graph.add_node(());
        }
        for (from, to, cost) in &self.list {
            graph.add_edge(NodeIndex::new(*from), NodeIndex::new(*to), *cost);
        }
        let mut on = vec![false; below];
        for end in &self.ends {
            let goal = NodeIndex::new(*end);
            let found = astar(&graph, NodeIndex::new(self.root), |it| it == goal, |it| *it.weight(), |_| 0);
            for node in found?.1.into_iter().map(NodeIndex::index).filter(|it| *it < below) {
                on[node] = true;
            }
        }
        Some(on)
    }

    /// Which nodes reach an end over arcs that cost nothing any more.
    fn reaching(&self, end: usize, cost: &[u64], into: &[Vec<usize>]) -> Vec<bool> {
        let mut seen = vec![false; self.nodes];
        let mut open = vec![end];
        seen[end] = true;
        while let Some(node) = open.pop() {
            for arc in into[node].iter().filter(|it| cost[**it] == 0) {
                let from = self.list[*arc].0;
                if !seen[from] {
                    seen[from] = true;
                    open.push(from);
                }
            }
        }
        seen
    }

    /// Dual ascent: a lower bound for any tree that joins all ends to the root; none if there is no way.
    fn ascend(&self) -> Option<u64> {
        let mut cost: Vec<u64> = self.list.iter().map(|it| it.2).collect();
        let mut into = vec![Vec::new(); self.nodes];
        for (nth, arc) in self.list.iter().enumerate() {
            into[arc.1].push(nth);
        }
        let (mut bound, mut open) = (0u64, self.ends.clone());
        loop {
            let mut least: Option<(usize, Vec<bool>)> = None;
            open.retain(|end| {
                let seen = self.reaching(*end, &cost, &into);
                let done = seen[self.root];
                let size = seen.iter().filter(|it| **it).count();
                if !done && least.as_ref().is_none_or(|it| size < it.0) {
                    least = Some((size, seen));
                }
                !done
            });
            let Some((_, inside)) = least else { return Some(bound) };
            let entering: Vec<usize> = (0..self.list.len())
                .filter(|it| !inside[self.list[*it].0] && inside[self.list[*it].1])
                .collect();
            let rise = entering.iter().map(|it| cost[*it]).min()?;
            for arc in entering {
                cost[arc] -= rise;
            }
            bound = bound.saturating_add(rise);
        }
    }
}
