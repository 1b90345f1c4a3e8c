//! Which current flows in which wire at worst, from what consumers draw and sources give.
//!
//! Supplies form one net, returns through ground another. A part whose supply cavities say `in` and
//! `out` lets the current through (a fuse, a box, an isolator) unless it draws some itself (a
//! converter). Where two ways lead to one place, or nobody has said what a consumer draws, that is said.

mod build;
pub mod cable;
pub mod carries;
mod inside;
pub mod net;
pub mod path;
pub mod told;
pub mod way;

use std::collections::HashMap;

use trunnion_handbook::quantity::Quantity;
use trunnion_model::fact::Found;
use trunnion_model::known;
use trunnion_model::verdict::{Gate, Question, Who};
use trunnion_model::world::{EndAt, Laid, Place, When, WireAt};

use crate::ctx::{Ctx, listed};
use crate::sum::Sum;
use build::Built;
use net::{By, Guard, Is, Net, Side, Solved};

/// What flows in a wire at worst.
#[derive(Clone, Debug, PartialEq)]
pub struct Current {
    /// From its first end to its second: least, nominal, most, in A.
    pub forth: [f64; 3],
    /// The other way.
    pub back: [f64; 3],
    /// Whether it is so: false where something on its way draws nobody knows how much.
    pub known: bool,
    /// Where it is not known: what fuse or source let through at most, in A.
    pub most: Option<f64>,
    /// Whether another way leads to the same place, so that the current may divide.
    pub ring: bool,
    /// Whether it is a return through ground.
    pub ground: bool,
    /// What limits the current from either side for good.
    pub guards: [Guard; 2],
}

impl Current {
    /// The larger of both directions.
    pub fn amps(&self) -> [f64; 3] {
        if self.forth[2] >= self.back[2] { self.forth } else { self.back }
    }

    /// The same as a figure; none where it is not known.
    pub fn quantity(&self) -> Option<Quantity> {
        let [least, nominal, most] = self.amps();
        self.known.then_some(())?;
        let dimension = trunnion_handbook::quantity::Dimension::CURRENT;
        Quantity::si_range(least, nominal, most, dimension).ok()?.shown_in("A").ok()
    }
}

/// A source of a net.
#[derive(Clone, Debug)]
pub struct Source {
    /// Its node.
    pub node: usize,
    /// The place it sits in, by number; none for a feed.
    pub place: Option<usize>,
    /// The feed, by number in the world.
    pub feed: Option<usize>,
    /// Its voltage.
    pub volts: Option<Quantity>,
    /// Whether it is a battery.
    pub battery: bool,
    /// Where that is stated.
    pub found: Found,
}

/// A consumer of a net.
#[derive(Clone, Debug)]
pub struct Load {
    /// Its node.
    pub node: usize,
    /// The place it sits in, by number.
    pub place: usize,
    /// The cavity.
    pub at: (EndAt, u32),
    /// What it draws; none where nobody has said it.
    pub draws: Option<Quantity>,
    /// Its voltage.
    pub volts: Option<Quantity>,
    /// Where that is stated.
    pub found: Found,
}

/// The currents of a vehicle.
pub struct Loads<'a> {
    world: &'a trunnion_model::world::World,
    /// The net of supplies.
    pub supply: Net,
    supplied: Solved,
    /// By net of supplies: its consumers, the largest first, and its sources.
    parts: Vec<(Vec<usize>, Vec<usize>)>,
    /// The net of returns.
    pub ground: Net,
    /// The cavities by node of supplies.
    pub cavities: HashMap<usize, (EndAt, u32)>,
    /// By wire of the world.
    pub currents: Vec<Option<Current>>,
    /// By wire: its edge, and whether it is in the net of returns.
    pub edges: Vec<Option<(usize, bool)>>,
    /// All sources.
    pub sources: Vec<Source>,
    /// All consumers, also those of which nobody has said what they draw.
    pub loads: Vec<Load>,
    /// By node of returns: a node of supplies of the part that has its ground there.
    at_earth: HashMap<usize, usize>,
    /// By place: its node in the net of returns.
    pub earths: Vec<Option<usize>>,
    /// By place: what it gives to wires at most, in A.
    pub given: Vec<[f64; 3]>,
    /// By place: whether what sits there states a ground cavity.
    pub grounded: Vec<bool>,
}

impl<'a> Loads<'a> {
    /// Works out the currents before or after the changes.
    pub fn of(ctx: &Ctx<'a>, when: When) -> Self {
        let mut built = Built::of(ctx, when);
        let supplied = built.supply.solve();
        let mut currents: Vec<Option<Current>> = vec![None; ctx.world.wires.len()];
        let mut given = vec![[[0.0; 3]; 2]; ctx.world.places.len()];
        for (nth, edge) in built.supply.edges.iter().enumerate() {
            let flow = supply_flow(&supplied, nth, edge.a);
            let Is::Wire(wire) = edge.is else { continue };
            for (node, out, into) in [(edge.a, flow.forth, flow.back), (edge.b, flow.back, flow.forth)] {
                let Some(place) = built.post_of(node) else { continue };
                (0..3).for_each(|it| given[place][0][it] += out[it]);
                (0..3).for_each(|it| given[place][1][it] += into[it]);
            }
            currents[wire] = Some(flow);
        }
        let out: Vec<[f64; 3]> = given.iter().map(|it| it[0]).collect();
        let given: Vec<[f64; 3]> =
            given.iter().map(|[out, into]| [0, 1, 2].map(|it| out[it].max(into[it]))).collect();
        built.returns(&given, &supplied);
        let returned = built.ground.solve();
        for (nth, edge) in built.ground.edges.iter().enumerate() {
            if let Is::Wire(wire) = edge.is {
                currents[wire] = ground_flow(&returned, nth, edge.a);
            }
        }
        let mut parts = vec![(Vec::new(), Vec::new()); supplied.whole.len()];
        for (nth, it) in built.loads.iter().enumerate() {
            parts[supplied.part[it.node]].0.push(nth);
        }
        for (nth, it) in built.sources.iter().enumerate() {
            parts[supplied.part[it.node]].1.push(nth);
        }
        let most = |it: &usize| built.loads[*it].draws.map_or(0.0, |it| it.hi());
        for (loads, _) in &mut parts {
            loads.sort_by(|a, b| most(b).total_cmp(&most(a)));
        }
        let mut at_earth = HashMap::new();
        let unsaid = built.loads.iter().filter(|it| it.draws.is_none());
        let loads = unsaid.chain(&built.loads).map(|it| (it.place, it.node));
        let sources = built.sources.iter().filter_map(|it| Some((it.place?, it.node)));
        let passed = built.supply.edges.iter().filter_map(|it| match it.is {
            Is::Inside(place) => Some((place, it.a)),
            _ => None,
        });
        for (place, node) in loads.chain(sources).chain(passed) {
            if let Some(earth) = built.earths[place] {
                at_earth.entry(earth).or_insert(node);
            }
        }
        Self {
            world: ctx.world,
            at_earth,
            parts,
            cavities: built.cavities(),
            currents,
            supplied,
            supply: built.supply,
            ground: built.ground,
            edges: built.wires,
            sources: built.sources,
            loads: built.loads,
            earths: built.earths,
            given: out,
            grounded: built.grounded,
        }
    }

    /// What flows in a wire; none where it is no supply and no return.
    pub fn current(&self, wire: usize) -> Option<&Current> {
        self.currents.get(wire)?.as_ref()
    }

    /// The sources of the net that a node of supplies belongs to.
    pub fn sources_of(&self, node: usize) -> impl Iterator<Item = &Source> {
        self.parts[self.supplied.part[node]].1.iter().map(|it| &self.sources[*it])
    }

    /// The consumers of that net, the largest first.
    pub fn loads_of(&self, node: usize) -> impl DoubleEndedIterator<Item = &Load> {
        self.parts[self.supplied.part[node]].0.iter().map(|it| &self.loads[*it])
    }

    /// A node of the net of supplies for a wire; for a return, that of a consumer it returns from.
    fn node_at(&self, wire: usize) -> Option<usize> {
        let (edge, ground) = self.edges.get(wire).copied().flatten()?;
        if !ground {
            return Some(self.supply.edges[edge].a);
        }
        let ends = [self.ground.edges[edge].a, self.ground.edges[edge].b];
        ends.iter().find_map(|it| self.at_earth.get(it)).copied()
    }

    /// The consumers in the net of a wire of which nobody has said what they draw; the first few.
    pub fn unsaid(&self, wire: usize) -> Vec<&Load> {
        let Some(node) = self.node_at(wire) else { return Vec::new() };
        self.loads_of(node).rev().take_while(|it| it.draws.is_none()).take(4).collect()
    }

    /// The highest voltage of what feeds a wire.
    pub fn volts(&self, wire: usize) -> Option<Quantity> {
        let all = self.sources_of(self.node_at(wire)?).filter_map(|it| it.volts);
        all.max_by(|a, b| a.hi().total_cmp(&b.hi()))
    }

    /// The claims that the current in a wire rests on: the wire, the largest consumers, the weakest.
    pub fn rests(&self, ctx: &Ctx<'_>, wire: usize) -> Vec<Found> {
        let own = &ctx.world.wires[wire];
        let mut found = vec![known::said(ctx.db, ctx.workspace, own.id, &own.wire.claim, own.wire.span)];
        let Some(node) = self.node_at(wire) else { return found };
        let said = || self.loads_of(node).filter(|it| it.draws.is_some()).take(64);
        let weakest = said().min_by_key(|it| it.found.standing);
        for it in said().take(3).chain(weakest) {
            if !found.contains(&it.found) {
                found.push(it.found.clone());
            }
        }
        found
    }

    /// The place behind a fuse or source that limits a current, in words, with the feed if it is one.
    pub fn limiter(&self, by: By) -> Option<(Option<&'a Place>, Option<usize>)> {
        let place = |it: usize| (Some(&self.world.places[it]), None);
        match by {
            By::Nothing | By::Unclear => None,
            By::Source(node) => self.sources.iter().find(|it| it.node == node)?.place.map(place),
            By::Feed(node) => Some((None, self.sources.iter().find(|it| it.node == node)?.feed)),
            By::Fuse(edge) => match self.supply.edges[edge].is {
                Is::Inside(it) => Some(place(it)),
                _ => None,
            },
        }
    }

    /// What flows through an edge of the net of supplies.
    pub fn through(&self, edge: usize) -> Current {
        supply_flow(&self.supplied, edge, self.supply.edges[edge].a)
    }
}

/// The wires to be judged: those that the conversion brings, whose terminal it moves, or whose load it
/// changes; of a vehicle alone those that a past owner added.
pub fn concerned(ctx: &Ctx<'_>, loads: &Loads<'_>) -> Vec<usize> {
    let all = ctx.world.wires.iter().enumerate();
    if ctx.world.conversion.is_none() {
        return all.filter(|(_, it)| it.laid == Laid::Vehicle).map(|it| it.0).collect();
    }
    let before = Loads::of(ctx, When::Before);
    let changed = |nth: usize, it: &WireAt| {
        let moved = it.was.0 != it.a || it.was.1 != it.b;
        let most = |all: &Loads<'_>| all.current(nth).filter(|it| it.known).map(|it| it.amps()[2]);
        let more = matches!((most(&before), most(loads)), (Some(old), Some(new)) if new > old + 1e-6);
        it.laid == Laid::Conversion || moved || more
    };
    all.filter(|(nth, it)| changed(*nth, it)).map(|it| it.0).collect()
}

impl Load {
    /// Where it is, in words: "the fridge at W[1]".
    pub fn shown(&self, ctx: &Ctx<'_>) -> String {
        let place = &ctx.world.places[self.place];
        format!("the {} at {}[{}]", place.shown(), self.at.0.end, self.at.1)
    }
}

/// Says that nobody has said what some consumers draw, with how to find it out.
pub fn lack_draws(sum: &mut Sum<'_, '_>, ctx: &Ctx<'_>, unsaid: &[&Load]) {
    let names: Vec<String> = unsaid.iter().map(|it| it.shown(ctx)).collect();
    let verb = if names.len() == 1 { "draws" } else { "draw" };
    let what = format!("what {} {verb}", listed(&names));
    let cavity = unsaid.first().map(|it| it.at.1).unwrap_or_default();
    let question = Question {
        what: what.clone(),
        good: None,
        tool: Some("plate or data sheet; clamp meter while it runs".to_owned()),
        precision: Some("0.5 A".to_owned()),
        minutes: Some(10),
        who: Who::Maker,
        gate: Gate::Power,
        hangs: sum.hangs(),
        type_in: Some(format!("in its plug: {cavity} supply 12 V draw … A")),
    };
    sum.lacks(what, question);
}

/// Whether a wire is one that a splice stands for: it has no size of its own.
pub fn is_splice(it: &WireAt) -> bool {
    it.laid == Laid::Conversion
        && it.wire.size.is_none()
        && it.wire.zones.is_empty()
        && it.wire.a.span == it.wire.span
}

/// What flows from one side of an edge to the other.
fn across(from: &Side, to: &Side) -> ([f64; 3], bool) {
    if from.sources == 0 {
        return ([0.0; 3], true);
    }
    let charging = if to.takes > 0 { from.charges.amps() } else { 0.0 };
    let known = to.unknown == 0 && to.quiet == 0 && charging.is_finite();
    let charging = if charging.is_finite() { charging } else { 0.0 };
    (to.draws.map(|it| (it + charging).min(from.gives.amps())), known)
}

fn supply_flow(solved: &Solved, edge: usize, node: usize) -> Current {
    let Some((a, b)) = &solved.sides[edge] else {
        // On a ring: at most all that the net draws or takes.
        let whole = &solved.whole[solved.part[node]];
        let (flow, known) = across(whole, whole);
        let flow = [0.0, flow[1], flow[2]];
        let guards = [whole.guard, whole.guard];
        return Current { forth: flow, back: flow, known, most: None, ring: true, ground: false, guards };
    };
    let ((forth, known), (back, sure)) = (across(a, b), across(b, a));
    let one = |side: &Side| (side.sources <= 1).then_some(side.guard.amps).filter(|it| it.is_finite());
    let most = one(a).zip(one(b)).map(|(a, b)| a.max(b));
    let known = known && sure;
    Current { forth, back, known, most, ring: false, ground: false, guards: [a.guard, b.guard] }
}

fn ground_flow(solved: &Solved, edge: usize, node: usize) -> Option<Current> {
    let guards = [Guard::default(); 2];
    let made = |flow: [f64; 3], side: &Side, ring: bool| {
        let known = side.unknown <= 0;
        Current { forth: flow, back: flow, known, most: None, ring, ground: true, guards }
    };
    let whole = &solved.whole[solved.part[node]];
    let Some((a, b)) = &solved.sides[edge] else {
        let [_, nominal, most] = whole.draws.map(f64::abs);
        return Some(made([0.0, nominal, most], whole, true));
    };
    let (side, ring) = match (a.sinks > 0, b.sinks > 0, a.body > 0, b.body > 0) {
        (true, false, ..) | (true, true, true, false) => (b, false),
        (false, true, ..) | (true, true, false, true) => (a, false),
        // Another wire leads to ground too.
        (true, true, ..) if a.draws[2] >= b.draws[2] => (a, true),
        (true, true, ..) => (b, true),
        (false, false, ..) => return None,
    };
    let [least, nominal, most] = side.draws.map(f64::abs);
    Some(made([if ring { 0.0 } else { least }, nominal, most], side, ring))
}

/// The kind test that batteries are told by.
pub fn is_battery(ctx: &Ctx<'_>, place: &Place, when: When) -> bool {
    let kind = match when {
        When::Before => ctx.kind_before(place),
        When::After => ctx.kind_after(place),
    };
    kind.is_some_and(|(_, it)| ["battery", "traction_battery"].iter().any(|name| it.is(ctx.db, name)))
}
