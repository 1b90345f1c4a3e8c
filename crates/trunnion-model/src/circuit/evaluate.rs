//! What is alive in one state: supplies through wires, closed contacts and diodes; relays until
//! nothing changes any more.
//!
//! Relays begin at rest, as they are when the key is turned from off. Ohm's law is used no further
//! than this: what is joined to a supply has its voltage, what is joined to ground has none, what
//! hangs on a load alone has the voltage behind the load while no current flows.

use std::cell::RefCell;
use std::collections::{BTreeMap, VecDeque};
use std::rc::Rc;

use trunnion_handbook::quantity::Quantity;

use super::{Circuit, Closed, Doubt, Link, LinkKind, Situation};
use crate::states::there;

/// What is at a node in one state.
#[derive(Clone, Debug, PartialEq)]
pub enum Level {
    /// Joined to a supply.
    Live,
    /// Joined to ground.
    Grounded,
    /// Joined to a supply and to ground: a fuse blows.
    Short,
    /// Joined to a supply through a load only.
    Pulled,
    /// Joined to ground through a load only.
    Drained,
    /// Between two loads, one to a supply, one to ground.
    Between,
    /// Joined to neither.
    Dead,
    /// Nobody knows.
    Unknown(Doubt),
}

/// Whether a contact is closed.
#[derive(Clone, Debug, PartialEq)]
enum Shut {
    Yes,
    No,
    Maybe(Doubt),
}

/// How a node was reached: the link, and the node it was reached from.
type Steps = Vec<Option<(usize, usize)>>;

/// A circuit in one state.
pub struct Evaluated<'c> {
    circuit: &'c Circuit,
    levels: Vec<Level>,
    live: Reached,
    ground: Reached,
    pulled: Reached,
}

/// A circuit with all situations that were asked for, each worked out once.
pub struct Evaluations<'c> {
    circuit: &'c Circuit,
    all: RefCell<BTreeMap<Situation, Rc<Evaluated<'c>>>>,
}

impl<'c> Evaluations<'c> {
    /// None worked out yet.
    pub fn new(circuit: &'c Circuit) -> Self {
        Self { circuit, all: RefCell::default() }
    }

    /// What is alive in a situation.
    pub fn of(&self, situation: &Situation) -> Rc<Evaluated<'c>> {
        if let Some(it) = self.all.borrow().get(situation) {
            return it.clone();
        }
        let it = Rc::new(self.circuit.evaluate(situation));
        self.all.borrow_mut().insert(situation.clone(), it.clone());
        it
    }
}

#[derive(Clone, Default)]
struct Reached {
    is: Vec<bool>,
    from: Steps,
}

impl Reached {
    fn new(count: usize) -> Self {
        Self { is: vec![false; count], from: vec![None; count] }
    }
}

impl Circuit {
    /// What is alive in a situation.
    pub fn evaluate(&self, situation: &Situation) -> Evaluated<'_> {
        let mut pulls: Vec<Shut> = self.links.iter().map(|_| Shut::No).collect();
        let relays = self.links.iter().filter(|it| coil(it).is_some()).count();
        let mut stuck = vec![false; self.links.len()];
        let mut rounds = 0;
        loop {
            let shut: Vec<Shut> = self
                .links
                .iter()
                .zip(&pulls)
                .map(|(link, pulls)| self.shut(link, pulls, situation))
                .collect();
            let evaluated = self.spread(&shut, situation);
            let next: Vec<Shut> = self
                .links
                .iter()
                .enumerate()
                .map(|(nth, link)| match coil(link) {
                    Some(_) if stuck[nth] => pulls[nth].clone(),
                    Some((a, b)) => evaluated.pulls(a, b, &shut, nth),
                    None => Shut::No,
                })
                .collect();
            if next == pulls {
                return evaluated;
            }
            rounds += 1;
            if rounds % (2 * relays + 3) != 0 {
                pulls = next;
                continue;
            }
            for (nth, differs) in pulls.iter().zip(&next).map(|(a, b)| a != b).enumerate() {
                stuck[nth] |= differs;
            }
            pulls = self.chatter(pulls, next);
        }
    }

    /// Relays that switch themselves on and off: nobody can say where they stand.
    fn chatter(&self, before: Vec<Shut>, after: Vec<Shut>) -> Vec<Shut> {
        let each = before.into_iter().zip(after).zip(&self.links);
        each.map(|((before, after), link)| {
            if before == after {
                return after;
            }
            let who = link.who.as_deref().unwrap_or_default();
            let what = format!("whether {who} pulls, which switches its own coil");
            Shut::Maybe(Doubt::new(what))
        })
        .collect()
    }

    fn shut(&self, link: &Link, pulls: &Shut, situation: &Situation) -> Shut {
        let LinkKind::Contact(closed) = &link.kind else {
            return match &link.doubt {
                Some(it) => Shut::Maybe(it.clone()),
                None => Shut::Yes,
            };
        };
        if !self.placed(closed, situation) {
            return Shut::No;
        }
        let moved = match (closed.coil, pulls, closed.at_rest) {
            (None, ..) | (_, Shut::Yes, false) | (_, Shut::No, true) => Shut::Yes,
            (_, Shut::Maybe(it), _) => Shut::Maybe(it.clone()),
            _ => Shut::No,
        };
        match (&link.doubt, moved) {
            (Some(it), Shut::Yes) => Shut::Maybe(it.clone()),
            (_, moved) => moved,
        }
    }

    /// Whether state and positions are those in which a contact is closed.
    fn placed(&self, closed: &Closed, situation: &Situation) -> bool {
        let state = &self.states[situation.state].name;
        let here = closed.states.is_empty() || closed.states.contains(state);
        let at = |(control, position): &(usize, usize)| situation.positions[*control] == *position;
        here && (closed.positions.is_empty() || closed.positions.iter().any(at))
    }

    /// The far end of a link, where current or ground gets through it from this end.
    fn through(&self, link: &Link, from: usize, ground: bool) -> Option<usize> {
        let other = if link.a == from { link.b } else { link.a };
        match link.kind {
            // Current goes from the first to the second; so the second pulls the first to ground.
            LinkKind::Diode if (link.a == from) == ground => None,
            _ => Some(other),
        }
    }

    /// Spreads over what conducts; past a stop it does not go on.
    fn flood(
        &self,
        seeds: impl IntoIterator<Item = usize>,
        ground: bool,
        conducts: &dyn Fn(usize, &Link) -> bool,
        stop: &dyn Fn(usize) -> bool,
    ) -> Reached {
        let mut reached = Reached::new(self.nodes.len());
        let mut next: VecDeque<usize> = VecDeque::new();
        for seed in seeds {
            if !reached.is[seed] {
                reached.is[seed] = true;
                next.push_back(seed);
            }
        }
        while let Some(at) = next.pop_front() {
            for nth in &self.at[at] {
                let link = &self.links[*nth];
                let Some(other) = self.through(link, at, ground).filter(|_| conducts(*nth, link)) else {
                    continue;
                };
                if !reached.is[other] {
                    reached.is[other] = true;
                    reached.from[other] = Some((*nth, at));
                    if !stop(other) {
                        next.push_back(other);
                    }
                }
            }
        }
        reached
    }

    fn spread(&self, shut: &[Shut], situation: &Situation) -> Evaluated<'_> {
        let state = &self.states[situation.state];
        let is_load = |link: &Link| link.kind == LinkKind::Load;
        let wire = |nth: usize, link: &Link| !is_load(link) && shut[nth] == Shut::Yes;
        let (mut lit, mut doubts): (Vec<usize>, Vec<Option<Doubt>>) =
            (Vec::new(), vec![None; self.nodes.len()]);
        for source in &self.sources {
            match source.from.as_ref().and_then(|it| there(it, state, &self.states)) {
                Some(true) => lit.push(source.node),
                Some(false) => {}
                None => doubts[source.node] = Some(self.unplaced(source, situation)),
            }
        }
        for (node, doubt) in &self.doubts {
            doubts[*node].get_or_insert_with(|| doubt.clone());
        }
        let grounds = (0..self.nodes.len()).filter(|it| self.is_ground(*it));
        let live = self.flood(lit.iter().copied(), false, &wire, &|it| self.is_ground(it));
        let ground = self.flood(grounds, true, &wire, &|it| lit.contains(&it));
        let firm = |it: usize| live.is[it] || ground.is[it];
        let doubts = self.doubtful(doubts, shut, &firm);
        let weak = |nth: usize, link: &Link| is_load(link) || shut[nth] == Shut::Yes;
        let of = |reached: &Reached| -> Vec<usize> {
            (0..self.nodes.len()).filter(|it| reached.is[*it]).collect()
        };
        let stop = |it: usize| firm(it) || doubts[it].is_some();
        let pulled = self.flood(of(&live), false, &weak, &stop);
        let drained = self.flood(of(&ground), true, &weak, &stop);
        let unsure = (0..self.nodes.len()).filter(|it| doubts[*it].is_some());
        let hung = self.flood(unsure, false, &weak, &firm);
        let level = |it: usize| match (live.is[it], ground.is[it], &doubts[it]) {
            (true, true, _) => Level::Short,
            (true, false, _) => Level::Live,
            (false, true, _) => Level::Grounded,
            (_, _, Some(doubt)) => Level::Unknown(doubt.clone()),
            _ => match (pulled.is[it], drained.is[it]) {
                (true, true) => Level::Between,
                (false, true) => Level::Drained,
                _ if hung.is[it] => Level::Unknown(self.behind(it, &hung, &doubts)),
                (true, false) => Level::Pulled,
                (false, false) => Level::Dead,
            },
        };
        let levels = (0..self.nodes.len()).map(level).collect();
        Evaluated { circuit: self, levels, live, ground, pulled }
    }

    /// Where a doubt spreads to: over all that conducts or may conduct, up to what is firm.
    fn doubtful(
        &self,
        mut doubts: Vec<Option<Doubt>>,
        shut: &[Shut],
        firm: &dyn Fn(usize) -> bool,
    ) -> Vec<Option<Doubt>> {
        for (link, shut) in self.links.iter().zip(shut) {
            let Shut::Maybe(doubt) = shut else { continue };
            for (from, to) in [(link.a, link.b), (link.b, link.a)] {
                if firm(from) && !firm(to) {
                    doubts[to].get_or_insert_with(|| doubt.clone());
                }
            }
        }
        let mut next: VecDeque<usize> = (0..doubts.len()).filter(|it| doubts[*it].is_some()).collect();
        while let Some(at) = next.pop_front() {
            if firm(at) {
                continue;
            }
            for nth in &self.at[at] {
                let link = &self.links[*nth];
                let other = if link.a == at { link.b } else { link.a };
                if link.kind == LinkKind::Load
                    || shut[*nth] == Shut::No
                    || firm(other)
                    || doubts[other].is_some()
                {
                    continue;
                }
                doubts[other] = doubts[at].clone();
                next.push_back(other);
            }
        }
        doubts
    }

    /// The doubt behind a load.
    fn behind(&self, node: usize, hung: &Reached, doubts: &[Option<Doubt>]) -> Doubt {
        let mut at = node;
        while let Some((_, from)) = hung.from[at] {
            at = from;
        }
        doubts[at].clone().unwrap_or(Doubt::new(String::new()))
    }

    fn unplaced(&self, source: &super::Source, situation: &Situation) -> Doubt {
        let (name, state) =
            (self.nodes[source.node].text(), self.states[situation.state].name.replace('_', " "));
        let from =
            source.from.as_ref().map(|it| format!(", from {},", it.replace('_', " "))).unwrap_or_default();
        Doubt::new(format!("whether {name}{from} is there in {state}"))
    }
}

fn coil(link: &Link) -> Option<(usize, usize)> {
    match &link.kind {
        LinkKind::Contact(closed) => closed.coil,
        _ => None,
    }
}

impl Evaluated<'_> {
    /// What is at a node.
    pub fn level(&self, node: usize) -> &Level {
        &self.levels[node]
    }

    /// Whether the coil between two nodes pulls.
    fn pulls(&self, a: usize, b: usize, shut: &[Shut], own: usize) -> Shut {
        use Level::{Grounded, Live, Short, Unknown};
        let who = self.circuit.links[own].who.clone().unwrap_or_default();
        match (&self.levels[a], &self.levels[b]) {
            (Live | Short, Grounded | Short) | (Grounded | Short, Live | Short) => Shut::Yes,
            (Live | Grounded, Live | Grounded) => Shut::No,
            (Unknown(it), _) | (_, Unknown(it)) => Shut::Maybe(it.clone()),
            (Live, _) if self.in_series(b, (a, b), shut) => series(&who),
            (_, Live) if self.in_series(a, (a, b), shut) => series(&who),
            (Grounded, _) if self.fed_in_series(b, (a, b), shut) => series(&who),
            (_, Grounded) if self.fed_in_series(a, (a, b), shut) => series(&who),
            _ => Shut::No,
        }
    }

    /// Whether a node gets to ground through a load other than this coil.
    fn in_series(&self, node: usize, coil: (usize, usize), shut: &[Shut]) -> bool {
        self.aside(node, coil, shut, &self.ground)
    }

    /// Whether a node gets to a supply through a load other than this coil.
    fn fed_in_series(&self, node: usize, coil: (usize, usize), shut: &[Shut]) -> bool {
        self.aside(node, coil, shut, &self.live)
    }

    fn aside(&self, node: usize, coil: (usize, usize), shut: &[Shut], to: &Reached) -> bool {
        let own =
            |link: &Link| link.kind == LinkKind::Load && [(link.a, link.b), (link.b, link.a)].contains(&coil);
        let conducts =
            |nth: usize, link: &Link| !own(link) && (link.kind == LinkKind::Load || shut[nth] == Shut::Yes);
        let firm = |it: usize| self.live.is[it] || self.ground.is[it];
        let reached = self.circuit.flood([node], false, &conducts, &firm);
        (0..reached.is.len()).any(|it| reached.is[it] && to.is[it])
    }

    /// The nodes from what feeds or grounds a node up to it, and the links between them.
    pub fn path(&self, node: usize) -> (Vec<usize>, Vec<usize>) {
        let steps = match self.levels[node] {
            Level::Live | Level::Short => &self.live,
            Level::Grounded => &self.ground,
            _ => &self.pulled,
        };
        self.way(node, steps)
    }

    /// The same to ground.
    pub fn path_to_ground(&self, node: usize) -> (Vec<usize>, Vec<usize>) {
        self.way(node, &self.ground)
    }

    fn way(&self, node: usize, steps: &Reached) -> (Vec<usize>, Vec<usize>) {
        let (mut nodes, mut links) = (vec![node], Vec::new());
        let mut at = node;
        while let Some((link, from)) = steps.from[at] {
            links.push(link);
            nodes.push(from);
            at = from;
            // What is pulled is pulled from something alive, which was reached another way.
            if steps.from[at].is_none() && std::ptr::eq(steps, &self.pulled) && self.live.from[at].is_some() {
                let (more, further) = self.way(at, &self.live);
                nodes.extend(more.into_iter().rev().skip(1));
                links.extend(further.into_iter().rev());
                break;
            }
        }
        nodes.reverse();
        links.reverse();
        (nodes, links)
    }

    /// The voltage that feeds a node, as stated; none where it was not, or nothing does.
    pub fn volts(&self, node: usize) -> Option<Quantity> {
        let (nodes, _) = self.path(node);
        let first = nodes.first()?;
        self.circuit.sources.iter().find(|it| it.node == *first)?.volts
    }

    /// Whether a node is joined to the rest by way of a diode.
    pub fn by_diode(&self, node: usize) -> bool {
        self.path(node).1.iter().any(|it| self.circuit.links[*it].kind == LinkKind::Diode)
    }
}

fn series(who: &str) -> Shut {
    let what = format!("whether the coil of {who} pulls with another load in series");
    Shut::Maybe(Doubt::new(what))
}
