//! What is one conductor already: wires, splices, and the statements of the conversion that hold.

use std::collections::{BTreeMap, BTreeSet};

use trunnion_check::bus::is_bus_role;
use trunnion_check::ctx::listed;
use trunnion_check::loads::is_splice;
use trunnion_model::decl::Verb;
use trunnion_model::fact::Ref;
use trunnion_model::world::{EndAt, Laid, WireAt, WireEnd};

use super::frame::{Frame, Pin};
use super::moves::Moves;
use super::nets::Sort;

/// A wire between two nodes.
pub(super) struct Strand {
    /// Its number in the world.
    pub wire: usize,
    pub ends: [usize; 2],
}

/// A wire or splice of the conversion that cannot stay as it is written.
pub(super) struct Clashing {
    /// Its number in the world.
    pub wire: usize,
    pub why: String,
    /// What it was meant to join, where both are there.
    pub joins: Option<[usize; 2]>,
}

/// The conductors of the vehicle after the changes.
pub(super) struct Standing<'f, 'a> {
    pub frame: &'f Frame<'a>,
    pub nodes: Vec<WireEnd>,
    /// The nodes as cavities.
    pins: Vec<Option<Pin<'a>>>,
    index: BTreeMap<WireEnd, usize>,
    pub strands: Vec<Strand>,
    /// The strands at each node.
    pub at: Vec<Vec<usize>>,
    /// The conductor of each node.
    pub piece: Vec<usize>,
    /// The nodes of each conductor.
    pub members: Vec<Vec<usize>>,
    /// Nodes in which ends a wire of which it is not known whether it is there.
    pub doubtful: BTreeSet<usize>,
    /// Cavities that a plug goes into directly.
    pub mated: BTreeSet<usize>,
    /// Cavities that hold a wire of another meaning which has nowhere to go.
    pub stuck: BTreeSet<usize>,
    pub clashing: Vec<Clashing>,
    /// How many wires and splices of the conversion hold.
    pub own: usize,
}

impl<'f, 'a> Standing<'f, 'a> {
    pub fn of(frame: &'f Frame<'a>, moves: &Moves) -> Self {
        let mut made = Self {
            frame,
            nodes: Vec::new(),
            pins: Vec::new(),
            index: BTreeMap::new(),
            strands: Vec::new(),
            at: Vec::new(),
            piece: Vec::new(),
            members: Vec::new(),
            doubtful: BTreeSet::new(),
            mated: BTreeSet::new(),
            stuck: BTreeSet::new(),
            clashing: Vec::new(),
            own: 0,
        };
        let world = frame.ctx.world;
        for (nth, wire) in world.wires.iter().enumerate().filter(|(_, it)| it.laid != Laid::Conversion) {
            let [a, b] = [&wire.a, &wire.b].map(|it| made.node(&moved(it, moves)));
            if world.doubtful_looms.contains(&wire.id) {
                made.doubtful.extend([a, b]);
            } else {
                made.lay(nth, a, b);
            }
        }
        for (at, n) in &moves.stuck {
            let node = made.node(&WireEnd::Cavity(at.clone(), *n));
            made.stuck.insert(node);
        }
        made.bridged();
        made.plugged();
        let own = world.wires.iter().enumerate().filter(|(_, it)| it.laid == Laid::Conversion);
        for (nth, wire) in own {
            match made.fault(wire) {
                None => {
                    let [a, b] = [&wire.a, &wire.b].map(|it| made.node(it));
                    made.lay(nth, a, b);
                    made.own += 1;
                }
                Some((why, joins)) => {
                    let joins = joins.then(|| [&wire.a, &wire.b].map(|it| made.node(it)));
                    made.clashing.push(Clashing { wire: nth, why, joins });
                }
            }
        }
        made
    }

    /// The node of a wire end, new where it is met for the first time.
    pub fn node(&mut self, end: &WireEnd) -> usize {
        if let Some(node) = self.index.get(end) {
            return *node;
        }
        let node = self.nodes.len();
        self.nodes.push(end.clone());
        self.pins.push(self.frame.pin(end));
        self.index.insert(end.clone(), node);
        self.at.push(Vec::new());
        self.piece.push(node);
        self.members.push(vec![node]);
        node
    }

    /// The node of a wire end, where there is one.
    pub fn find(&self, end: &WireEnd) -> Option<usize> {
        self.index.get(end).copied()
    }

    /// A node as a cavity.
    pub fn pin(&self, node: usize) -> Option<Pin<'a>> {
        self.pins[node]
    }

    /// All nodes of the conductor that a node belongs to.
    pub fn whole(&self, node: usize) -> &[usize] {
        &self.members[self.piece[node]]
    }

    /// Whether a wire ends in a node, or a plug goes into it.
    pub fn is_served(&self, node: usize) -> bool {
        !self.at[node].is_empty() || self.mated.contains(&node)
    }

    /// Whether a cavity was blanked or bridged: what it is for is settled.
    pub fn is_dead(&self, node: usize) -> bool {
        let WireEnd::Cavity(at, n) = &self.nodes[node] else { return false };
        let answers = self.frame.ctx.world.answered_cavities.get(&(at.clone(), *n));
        answers.into_iter().flatten().any(|it| matches!(it.verb, "blank" | "bridge"))
    }

    /// Whether a node is the loose end of a wire: its cavity went with its part.
    pub fn is_loose(&self, node: usize) -> bool {
        !self.at[node].is_empty() && self.pin(node).is_some_and(|it| it.gone)
    }

    /// The wire of a strand.
    pub fn wire(&self, strand: usize) -> &'a WireAt {
        &self.frame.ctx.world.wires[self.strands[strand].wire]
    }

    fn lay(&mut self, wire: usize, a: usize, b: usize) {
        let strand = self.strands.len();
        self.strands.push(Strand { wire, ends: [a, b] });
        self.at[a].push(strand);
        if a != b {
            self.at[b].push(strand);
        }
        self.join(a, b);
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.piece[a], self.piece[b]);
        if a == b {
            return;
        }
        let (small, large) = if self.members[a].len() < self.members[b].len() { (a, b) } else { (b, a) };
        let all = std::mem::take(&mut self.members[small]);
        for node in &all {
            self.piece[*node] = large;
        }
        self.members[large].extend(all);
        self.members[large].sort_unstable();
    }

    /// Loose ends that the conversion bridges or joins.
    fn bridged(&mut self) {
        let cavity = |it: &Ref| Some(WireEnd::Cavity(EndAt::of(it)?, it.index.as_ref()?.value.parse().ok()?));
        for change in &self.frame.ctx.world.changes {
            let (Verb::Bridge { a, b } | Verb::Join { a, b, .. }) = &change.verb else { continue };
            if let (Some(a), Some(b)) = (cavity(a), cavity(b)) {
                let (a, b) = (self.node(&a), self.node(&b));
                self.join(a, b);
            }
        }
    }

    /// Plugs that go into one another join their cavities by number.
    fn plugged(&mut self) {
        let frame = self.frame;
        for joint in frame.ctx.world.joints.iter().filter(|it| it.after) {
            let mut numbers: BTreeSet<u32> = BTreeSet::new();
            for end in [&joint.a, &joint.b] {
                let plug = frame.pin(&WireEnd::Cavity(end.clone(), 0)).and_then(|it| it.end);
                numbers.extend(plug.into_iter().flat_map(|it| &it.1.cavities).map(|it| it.number.value));
            }
            for n in numbers {
                let [a, b] = [&joint.a, &joint.b].map(|it| self.node(&WireEnd::Cavity(it.clone(), n)));
                self.mated.extend([a, b]);
                self.join(a, b);
            }
        }
    }

    /// Why a wire or splice of the conversion cannot stay, and whether what it was to join is there.
    fn fault(&mut self, wire: &WireAt) -> Option<(String, bool)> {
        let splice = is_splice(wire);
        for end in [&wire.a, &wire.b] {
            if let Some(why) = self.misses(end) {
                return Some((why, false));
            }
        }
        let [a, b] = [&wire.a, &wire.b].map(|it| self.node(it));
        let mixed = self.mixed(&[a, b]);
        if mixed.len() > 1 && self.piece[a] != self.piece[b] {
            return Some((format!("it would join {}", listed(&mixed)), false));
        }
        for (end, here, there) in [(&wire.a, a, b), (&wire.b, b, a)] {
            let WireEnd::Cavity(..) = end else { continue };
            let wires = self.at[here].iter().any(|it| !is_splice(self.wire(*it)));
            let seat = !splice && wires && !self.is_loose(here) && !self.is_dead(here);
            if seat && self.piece[here] != self.piece[there] {
                return Some((format!("{} is taken", end.shown()), true));
            }
        }
        None
    }

    /// Why nothing can end there.
    fn misses(&self, end: &WireEnd) -> Option<String> {
        if let WireEnd::Strange(it) = end {
            return Some(format!("there is no {it}"));
        }
        let WireEnd::Cavity(..) = end else { return None };
        let Some(pin) = self.frame.pin(end) else { return Some(format!("there is no {}", end.text())) };
        let held = self.find(end).is_some_and(|it| !self.at[it].is_empty());
        if pin.gone {
            return (!held).then(|| format!("there is no {}", end.shown()));
        }
        let count = pin.end.and_then(|it| self.frame.connector(it)).and_then(|it| it.1.cavities.clone());
        if let Some(count) = count.filter(|it| pin.n == 0 || pin.n > it.value) {
            return Some(format!("its housing has {} cavities", count.value));
        }
        pin.now.filter(|it| it.role.value == "empty").map(|_| format!("{} is empty", end.shown()))
    }

    /// What some conductors are for together: of more than one thing they cannot be. What listens to a signal
    /// may be held at a supply or ground, but is on no bus.
    pub fn mixed(&self, nodes: &[usize]) -> Vec<String> {
        let mut sorts: BTreeSet<String> = nodes.iter().flat_map(|it| self.sorts(*it)).collect();
        if sorts.iter().any(|it| it.ends_with(" bus")) {
            let each = nodes.iter().flat_map(|it| self.whole(*it));
            let live = each.filter(|it| !self.stuck.contains(it)).filter_map(|it| self.pin(*it));
            let named = live.filter(|it| !it.gone).filter_map(|it| Sort::of(it.now?));
            sorts.extend(named.filter_map(|it| match it {
                Sort::Signal(name) => Some(format!("the signal {}", name.replace('_', " "))),
                _ => None,
            }));
        }
        sorts.into_iter().collect()
    }

    /// What a conductor is for, as far as it can be but one thing: a supply, ground, one wire of a bus, what
    /// somebody gives.
    fn sorts(&self, node: usize) -> BTreeSet<String> {
        let mut sorts = BTreeSet::new();
        for node in self.whole(node) {
            sorts.extend(match &self.nodes[*node] {
                WireEnd::Cavity(..) if self.stuck.contains(node) => None,
                WireEnd::Cavity(..) => self.pin(*node).and_then(|it| sort(&it)),
                end => sort_of(self.frame, end),
            });
        }
        sorts
    }
}

/// What a wire end is for, as far as it can be but one thing.
fn sort_of(frame: &Frame<'_>, end: &WireEnd) -> Option<String> {
    match end {
        WireEnd::Feed(_) => Some("a supply".to_owned()),
        WireEnd::Ground(_) => Some("ground".to_owned()),
        WireEnd::Cavity(..) => frame.pin(end).and_then(|it| sort(&it)),
        WireEnd::Splice(_) | WireEnd::Strange(_) => None,
    }
}

fn sort(pin: &Pin<'_>) -> Option<String> {
    // A loose end of a bus is still on it.
    let left = || pin.was.filter(|it| is_bus_role(&it.role.value));
    let cavity = if pin.gone { left()? } else { pin.now? };
    let name = || cavity.what.as_ref().map(|it| it.text().replace('_', " ")).unwrap_or_default();
    Some(match cavity.role.value.as_str() {
        "supply" => "a supply".to_owned(),
        "ground" => "ground".to_owned(),
        "can_high" => format!("the high wire of the {} bus", name()),
        "can_low" => format!("the low wire of the {} bus", name()),
        "lin" => format!("the wire of the {} bus", name()),
        _ if cavity.out == Some(true) => format!("the signal {}", name()),
        _ => return None,
    })
}

fn moved(end: &WireEnd, moves: &Moves) -> WireEnd {
    let WireEnd::Cavity(at, n) = end else { return end.clone() };
    match moves.to.get(&(at.clone(), *n)) {
        Some((at, n)) => WireEnd::Cavity(at.clone(), *n),
        None => end.clone(),
    }
}
