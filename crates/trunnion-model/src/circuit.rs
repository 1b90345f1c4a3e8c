//! The circuit of a vehicle after the changes: what is joined to what, by wires, contacts, diodes
//! and loads, and what feeds it. [`Circuit::evaluate`] says what is alive in one state.
//!
//! Ground points are the body and the minus of the battery. A cavity that a change blanked or
//! bridged is apart from the wire that went there. Current within a control unit is not known
//! beyond the contacts and diodes that its part states.

mod build;
mod evaluate;
mod inside;
mod situation;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use trunnion_handbook::quantity::Quantity;
use trunnion_syntax::tree::Name;

use crate::db::Site;
use crate::fact::Found;
use crate::name::Id;
use crate::states::{State, is_usual};
use crate::world::{EndAt, WireEnd};

pub use build::{circuit, wired_part};
pub use evaluate::{Evaluated, Evaluations, Level};
pub use situation::{Control, MOST, Situation};

/// After the text of a cavity: the cavity as its part has it, apart from the wire that was there.
const APART: &str = " without its wire";

/// Something that nobody stated, on which hangs what is alive.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt {
    /// What nobody has said: "when the late gearbox controller gives at gearbox_controller.K2\[1\]".
    pub what: String,
    /// The declaration that could state it.
    pub of: Option<Id>,
    /// The statement that would, with `…` for what is unknown.
    pub statement: Option<String>,
    /// Whether another check tells of it where it stands: a wire that ends in nothing.
    pub told: bool,
}

impl Doubt {
    /// What nobody has said, of no declaration in particular.
    pub fn new(what: impl Into<String>) -> Self {
        Self { what: what.into(), of: None, statement: None, told: false }
    }
}

/// How two nodes are joined.
#[derive(Clone, Debug, PartialEq)]
pub enum LinkKind {
    /// By a wire, or by a joint of two plugs.
    Wire,
    /// By a contact inside a part.
    Contact(Closed),
    /// By a diode from the first to the second.
    Diode,
    /// By a load: a lamp, a coil, a control unit's supply.
    Load,
}

/// When a contact is closed.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Closed {
    /// In these states; none: in all.
    pub states: Vec<Name>,
    /// In these positions, each a control and one of its positions; none: in all.
    pub positions: Vec<(usize, usize)>,
    /// By this coil: its two nodes.
    pub coil: Option<(usize, usize)>,
    /// While the coil does not pull.
    pub at_rest: bool,
}

/// A joint of two nodes.
#[derive(Clone, Debug, PartialEq)]
pub struct Link {
    /// One node.
    pub a: usize,
    /// The other.
    pub b: usize,
    /// How they are joined.
    pub kind: LinkKind,
    /// Why it is not certain that they are.
    pub doubt: Option<Doubt>,
    /// What it rests on.
    pub found: Option<Found>,
    /// What it is inside of, for messages.
    pub who: Option<String>,
    /// The change that brought it.
    pub new: Option<Site>,
}

/// What feeds a node.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// The node.
    pub node: usize,
    /// Its voltage as stated.
    pub volts: Option<Quantity>,
    /// The word after `from`.
    pub from: Option<Name>,
    /// Whether it is a feed of the vehicle rather than a part that gives.
    pub feed: bool,
    /// What it rests on.
    pub found: Found,
}

/// All that is joined after the changes.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Circuit {
    /// Cavities, splices, feeds and grounds.
    pub nodes: Vec<WireEnd>,
    /// How they are joined.
    pub links: Vec<Link>,
    /// What feeds them.
    pub sources: Vec<Source>,
    /// Nodes of which it is not known what is put on them.
    pub doubts: Vec<(usize, Doubt)>,
    /// The states of the vehicle.
    pub states: Vec<State>,
    /// What can be put in several positions.
    pub controls: Vec<Control>,
    index: BTreeMap<WireEnd, usize>,
    /// The links of each node.
    at: Vec<Vec<usize>>,
}

impl Circuit {
    /// The node of a wire end; none where nothing is joined there.
    pub fn node(&self, end: &WireEnd) -> Option<usize> {
        self.index.get(end).copied()
    }

    /// The node of a cavity as its part has it; a blanked one is apart from its wire.
    pub fn seat(&self, end: &EndAt, n: u32) -> Option<usize> {
        let cavity = WireEnd::Cavity(end.clone(), n);
        let apart = WireEnd::Strange(format!("{}{APART}", cavity.text()));
        self.node(&apart).or_else(|| self.node(&cavity))
    }

    /// Whether a node is a cavity apart from the wire that was there.
    pub fn is_apart(&self, node: usize) -> bool {
        matches!(&self.nodes[node], WireEnd::Strange(it) if it.ends_with(APART))
    }

    /// Looks at one of the usual states also where nothing of the vehicle names it: `charging`.
    pub fn also(&mut self, state: &str) {
        if is_usual(state) && !self.states.iter().any(|it| it.name == state) {
            let state = State { name: state.into(), like: Some(state.into()) };
            self.states.push(state);
        }
    }

    /// The control of a place, or of the gear.
    pub fn control(&self, place: Option<&str>) -> Option<usize> {
        self.controls.iter().position(|it| it.place.as_deref() == place)
    }

    /// Whether a change brought anything that a node can have to do with.
    pub fn is_touched(&self, node: usize) -> bool {
        let reached = self.reach(node);
        reached.iter().flat_map(|it| &self.at[*it]).any(|it| self.links[*it].new.is_some())
    }

    /// Whether anything is joined to a node by wire.
    pub fn is_wired(&self, node: usize) -> bool {
        self.at[node].iter().any(|it| self.links[*it].kind == LinkKind::Wire)
    }

    fn add(&mut self, end: WireEnd) -> usize {
        if let Some(node) = self.node(&end) {
            return node;
        }
        let node = self.nodes.len();
        self.nodes.push(end.clone());
        self.at.push(Vec::new());
        self.index.insert(end, node);
        node
    }

    fn join(&mut self, link: Link) {
        if link.a == link.b {
            return;
        }
        let nth = self.links.len();
        self.at[link.a].push(nth);
        self.at[link.b].push(nth);
        self.links.push(link);
    }

    fn is_ground(&self, node: usize) -> bool {
        matches!(self.nodes[node], WireEnd::Ground(_))
    }

    /// The nodes that can have to do with one another: all that is reached without passing
    /// through the ground, relays moved from there included.
    pub fn reach(&self, node: usize) -> Vec<usize> {
        let mut reached = vec![node];
        let mut seen = vec![false; self.nodes.len()];
        seen[node] = true;
        let mut next = 0;
        while let Some(at) = reached.get(next).copied() {
            next += 1;
            if self.is_ground(at) && at != node {
                continue;
            }
            for link in self.at[at].iter().map(|it| &self.links[*it]) {
                let coil = match &link.kind {
                    LinkKind::Contact(closed) => closed.coil,
                    _ => None,
                };
                let coil = coil.into_iter().flat_map(|(a, b)| [a, b]);
                for other in [link.a, link.b].into_iter().chain(coil) {
                    if !seen[other] {
                        seen[other] = true;
                        reached.push(other);
                    }
                }
            }
        }
        reached
    }
}
