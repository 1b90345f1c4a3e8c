//! The way that a current takes from a source to a consumer, and back through ground.

use std::collections::HashMap;
use std::rc::Rc;

use super::net::{Is, Net};
use super::{Load, Loads, Source};

/// The edges by which each node is reached from one, with the node before it.
pub type Tree = HashMap<usize, Option<(usize, usize)>>;

/// A wire on the way, by number in the world, and whether the current runs from its first end to its second.
pub type Step = (usize, bool);

/// Ways that were looked for already.
pub struct Paths<'l, 'a> {
    loads: &'l Loads<'a>,
    supply: Vec<Vec<(usize, usize)>>,
    ground: Vec<Vec<(usize, usize)>>,
    from_source: HashMap<usize, Tree>,
    from_earth: HashMap<usize, Rc<Tree>>,
}

/// The way back of a current.
pub enum Back {
    /// Along these wires.
    Wires(Vec<Step>),
    /// Through its case: it states no ground cavity.
    Case,
    /// Nobody has said.
    Unsaid,
}

fn tree(beside: &[Vec<(usize, usize)>], root: usize) -> Tree {
    let mut tree = Tree::from([(root, None)]);
    let mut next = vec![root];
    let mut at = 0;
    while let Some(&node) = next.get(at) {
        at += 1;
        for &(edge, other) in &beside[node] {
            if let std::collections::hash_map::Entry::Vacant(it) = tree.entry(other) {
                it.insert(Some((edge, node)));
                next.push(other);
            }
        }
    }
    tree
}

/// The wires from the root to a node.
fn steps(net: &Net, tree: &Tree, node: usize) -> Option<Vec<Step>> {
    let mut steps = Vec::new();
    let mut at = node;
    while let Some((edge, before)) = *tree.get(&at)? {
        if let Is::Wire(wire) = net.edges[edge].is {
            steps.push((wire, net.edges[edge].a == before));
        }
        at = before;
    }
    steps.reverse();
    Some(steps)
}

impl<'l, 'a> Paths<'l, 'a> {
    /// For these currents.
    pub fn of(loads: &'l Loads<'a>) -> Self {
        Self {
            loads,
            supply: loads.supply.beside(),
            ground: loads.ground.beside(),
            from_source: HashMap::new(),
            from_earth: HashMap::new(),
        }
    }

    /// The wires from a source to a consumer.
    pub fn out(&mut self, source: &Source, load: &Load) -> Option<Vec<Step>> {
        let beside = &self.supply;
        let tree = self.from_source.entry(source.node).or_insert_with(|| tree(beside, source.node));
        steps(&self.loads.supply, tree, load.node)
    }

    /// The wires from a consumer back to a source, or to the body where the source is a feed.
    pub fn back(&mut self, source: &Source, load: &Load) -> Back {
        let Some(earth) = self.loads.earths[load.place] else { return Back::Unsaid };
        if self.ground[earth].is_empty() {
            return if self.loads.grounded[load.place] { Back::Unsaid } else { Back::Case };
        }
        let from_load = self.earth_tree(earth);
        let own = source.place.and_then(|it| self.loads.earths[it]);
        if let Some(steps) = own.and_then(|it| steps(&self.loads.ground, &from_load, it)) {
            return Back::Wires(steps);
        }
        let Some((mut all, _)) = self.to_body(&from_load) else { return Back::Unsaid };
        if let Some(own) = own.filter(|it| !self.ground[*it].is_empty()) {
            let from_source = self.earth_tree(own);
            all.extend(self.to_body(&from_source).into_iter().flat_map(|it| it.0));
        }
        Back::Wires(all)
    }

    fn earth_tree(&mut self, earth: usize) -> Rc<Tree> {
        let beside = &self.ground;
        self.from_earth.entry(earth).or_insert_with(|| Rc::new(tree(beside, earth))).clone()
    }

    /// The shortest way to the body.
    fn to_body(&self, tree: &Tree) -> Option<(Vec<Step>, usize)> {
        let bodies = tree.keys().filter(|it| self.loads.ground.nodes[**it].body > 0);
        let each = bodies.filter_map(|it| Some((steps(&self.loads.ground, tree, *it)?, *it)));
        each.min_by_key(|(steps, node)| (steps.len(), *node))
    }
}
