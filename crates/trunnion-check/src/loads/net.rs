//! Currents in a graph of wires: what lies on either side of each edge, in time linear in the edges.
//!
//! An edge on no ring parts its net in two, so what flows through it is known from what either side
//! gives and draws. An edge on a ring shares its current with another way: only the most is known.

/// What protects a wire: the largest current that a source lets into it for good.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Guard {
    /// The current in A; without end where nothing limits it.
    pub amps: f64,
    /// What limits it.
    pub by: By,
}

/// What limits a current.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// There is no source.
    Nothing,
    /// Nobody has said what sits there.
    Unclear,
    /// The source itself, in the node of that number.
    Source(usize),
    /// A feed with its fuse, in the node of that number.
    Feed(usize),
    /// A fuse inside a part: the edge of that number.
    Fuse(usize),
}

impl Guard {
    const NONE: Self = Self { amps: 0.0, by: By::Nothing };

    fn larger(self, other: Self) -> Self {
        if other.amps > self.amps { other } else { self }
    }

    fn through(self, fuse: Option<f64>, edge: usize) -> Self {
        match fuse {
            Some(amps) if self.amps >= amps => Self { amps, by: By::Fuse(edge) },
            _ => self,
        }
    }
}

/// A sum of currents in A, of which some may have no stated end.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Amount {
    sum: f64,
    endless: i32,
}

impl Amount {
    /// So many A.
    pub fn of(sum: f64) -> Self {
        Self { sum, endless: 0 }
    }

    /// Nobody has said how much.
    pub const ENDLESS: Self = Self { sum: 0.0, endless: 1 };

    /// The sum; infinite where part of it has no stated end.
    pub fn amps(self) -> f64 {
        if self.endless > 0 { f64::INFINITY } else { self.sum.max(0.0) }
    }

    fn plus(self, other: Self, sign: i32) -> Self {
        Self { sum: self.sum + f64::from(sign) * other.sum, endless: self.endless + sign * other.endless }
    }
}

/// What is at a node, or on one side of an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Side {
    /// What sources give together.
    pub gives: Amount,
    /// What sources that are no batteries give together: what may charge one.
    pub charges: Amount,
    /// What is drawn: least, nominal, most, in A.
    pub draws: [f64; 3],
    /// Consumers of which nobody has said what they draw.
    pub unknown: i32,
    /// Signals and the like, which draw next to nothing.
    pub quiet: i32,
    /// Batteries, which may be charged.
    pub takes: i32,
    /// Sources.
    pub sources: i32,
    /// Ways to where a return current goes: ground and the other pole of a source.
    pub sinks: i32,
    /// Whether the body of the vehicle is there.
    pub body: i32,
    /// The largest current that a source lets through.
    pub guard: Guard,
}

impl Default for Side {
    fn default() -> Self {
        Self {
            gives: Amount::default(),
            charges: Amount::default(),
            draws: [0.0; 3],
            unknown: 0,
            quiet: 0,
            takes: 0,
            sources: 0,
            sinks: 0,
            body: 0,
            guard: Guard::NONE,
        }
    }
}

impl Side {
    /// All but the guard, added or taken away.
    fn plus(&mut self, other: &Self, sign: i32) {
        self.gives = self.gives.plus(other.gives, sign);
        self.charges = self.charges.plus(other.charges, sign);
        for (here, there) in self.draws.iter_mut().zip(other.draws) {
            *here += f64::from(sign) * there;
            // Adding and taking away again may leave a hair.
            if here.abs() < 1e-9 {
                *here = 0.0;
            }
        }
        self.unknown += sign * other.unknown;
        self.quiet += sign * other.quiet;
        self.takes += sign * other.takes;
        self.sources += sign * other.sources;
        self.sinks += sign * other.sinks;
        self.body += sign * other.body;
    }
}

/// What an edge is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Is {
    /// The wire of that number in the world.
    Wire(usize),
    /// A way inside what sits in the place of that number.
    Inside(usize),
    /// Two loose ends that are bridged.
    Bridge,
}

/// An edge.
#[derive(Clone, Copy, Debug)]
pub struct Edge {
    /// One node.
    pub a: usize,
    /// The other.
    pub b: usize,
    /// The rating of a fuse on it, in A.
    pub fuse: Option<f64>,
    /// What it is.
    pub is: Is,
}

/// Nodes and edges.
#[derive(Clone, Debug, Default)]
pub struct Net {
    /// What is at each node.
    pub nodes: Vec<Side>,
    /// The edges.
    pub edges: Vec<Edge>,
}

/// What is found for each edge: both sides where it is on no ring, and the sum of the whole net.
pub struct Solved {
    /// The side of `a` and that of `b`.
    pub sides: Vec<Option<(Side, Side)>>,
    /// By node: the number of its net.
    pub part: Vec<usize>,
    /// By net: all of it.
    pub whole: Vec<Side>,
}

impl Net {
    /// Adds a node.
    pub fn node(&mut self) -> usize {
        self.nodes.push(Side::default());
        self.nodes.len() - 1
    }

    /// The edges at each node, with the node at their other end.
    pub fn beside(&self) -> Vec<Vec<(usize, usize)>> {
        let mut beside = vec![Vec::new(); self.nodes.len()];
        for (nth, edge) in self.edges.iter().enumerate() {
            beside[edge.a].push((nth, edge.b));
            beside[edge.b].push((nth, edge.a));
        }
        beside
    }

    /// Finds both sides of each edge.
    pub fn solve(&self) -> Solved {
        let walk = self.walk();
        let (mut group, mut groups, mut part, mut parts) =
            (vec![0; self.nodes.len()], Vec::<Group>::new(), vec![0; self.nodes.len()], 0);
        for &node in &walk.order {
            let own = match walk.from[node] {
                Some((edge, before)) if !walk.alone[edge] => {
                    part[node] = part[before];
                    group[before]
                }
                from => {
                    part[node] = from.map_or(parts, |(_, before)| part[before]);
                    parts += usize::from(from.is_none());
                    groups.push(Group {
                        from: from.map(|(edge, before)| (edge, group[before])),
                        ..Group::default()
                    });
                    groups.len() - 1
                }
            };
            group[node] = own;
            groups[own].own.plus(&self.nodes[node], 1);
            groups[own].offers(usize::MAX, self.nodes[node].guard);
        }
        self.gather(&mut groups);
        let mut sides = vec![None; self.edges.len()];
        for (nth, it) in groups.iter().enumerate() {
            let Some((edge, _)) = it.from else { continue };
            let here = group[self.edges[edge].a] == nth;
            sides[edge] = Some(if here { (it.down, it.up) } else { (it.up, it.down) });
        }
        let mut whole = vec![Side::default(); parts];
        for (node, own) in self.nodes.iter().enumerate() {
            whole[part[node]].plus(own, 1);
            whole[part[node]].guard = whole[part[node]].guard.larger(own.guard);
        }
        Solved { sides, part, whole }
    }

    /// Sums from the leaves to the roots, and back.
    fn gather(&self, groups: &mut [Group]) {
        let fuse = |edge: usize| self.edges[edge].fuse;
        for nth in (0..groups.len()).rev() {
            let mut down = groups[nth].own;
            down.plus(&groups[nth].below, 1);
            down.guard = groups[nth].best[0].1;
            groups[nth].down = down;
            if let Some((edge, above)) = groups[nth].from {
                groups[above].below.plus(&down, 1);
                groups[above].offers(nth, down.guard.through(fuse(edge), edge));
                // What a wire may get is what lies beyond it, through its own fuse.
                groups[nth].down.guard = down.guard.through(fuse(edge), edge);
            }
        }
        for nth in 0..groups.len() {
            let Some((edge, above)) = groups[nth].from else { continue };
            let mut up = groups[above].own;
            up.plus(&groups[above].below, 1);
            up.plus(&groups[nth].down, -1);
            if groups[above].from.is_some() {
                let over = groups[above].up;
                up.plus(&over, 1);
            }
            up.guard = groups[above].without(nth).through(fuse(edge), edge);
            groups[nth].up = up;
            groups[nth].offers(usize::MAX - 1, up.guard);
        }
    }

    /// A walk through all nodes in depth, and which edges are on no ring.
    fn walk(&self) -> Walk {
        let (beside, count) = (self.beside(), self.nodes.len());
        let (mut seen, mut low, mut next) = (vec![usize::MAX; count], vec![0; count], vec![0; count]);
        let mut walk =
            Walk { order: Vec::new(), from: vec![None; count], alone: vec![false; self.edges.len()] };
        for root in 0..count {
            if seen[root] != usize::MAX {
                continue;
            }
            let mut path = vec![root];
            seen[root] = walk.order.len();
            low[root] = seen[root];
            walk.order.push(root);
            while let Some(&node) = path.last() {
                if let Some(&(edge, other)) = beside[node].get(next[node]) {
                    next[node] += 1;
                    if walk.from[node].is_some_and(|(it, _)| it == edge) {
                        continue;
                    }
                    if seen[other] == usize::MAX {
                        seen[other] = walk.order.len();
                        low[other] = seen[other];
                        walk.order.push(other);
                        walk.from[other] = Some((edge, node));
                        path.push(other);
                    } else {
                        low[node] = low[node].min(seen[other]);
                    }
                    continue;
                }
                path.pop();
                if let Some((edge, before)) = walk.from[node] {
                    low[before] = low[before].min(low[node]);
                    walk.alone[edge] = low[node] > seen[before];
                }
            }
        }
        walk
    }
}

struct Walk {
    order: Vec<usize>,
    /// The edge and node by which each node was reached.
    from: Vec<Option<(usize, usize)>>,
    /// Whether the net falls apart without the edge.
    alone: Vec<bool>,
}

/// Nodes that hang together by more than one way.
#[derive(Default)]
struct Group {
    from: Option<(usize, usize)>,
    own: Side,
    below: Side,
    down: Side,
    up: Side,
    /// The two largest guards, and from which group.
    best: [(usize, Guard); 2],
}

impl Default for Guard {
    fn default() -> Self {
        Self::NONE
    }
}

impl Group {
    fn offers(&mut self, from: usize, guard: Guard) {
        if guard.amps > self.best[0].1.amps {
            self.best[1] = self.best[0];
            self.best[0] = (from, guard);
        } else if guard.amps > self.best[1].1.amps {
            self.best[1] = (from, guard);
        }
    }

    fn without(&self, from: usize) -> Guard {
        if self.best[0].0 == from { self.best[1].1 } else { self.best[0].1 }
    }
}

#[cfg(test)]
mod tests;
