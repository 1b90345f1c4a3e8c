//! The two nets of a vehicle: supplies, and returns through ground.

use std::collections::{HashMap, HashSet};

use trunnion_handbook::quantity::Quantity;
use trunnion_model::built::{Holding, part};
use trunnion_model::decl::Verb;
use trunnion_model::known;
use trunnion_model::world::{EndAt, Laid, When, WireEnd};

use super::inside::is_power;
use super::net::{Amount, By, Edge, Guard, Is, Net, Solved};
use super::{Load, Source};
use crate::ctx::Ctx;

/// Where a wire end is.
#[derive(Clone, Copy)]
pub(super) enum Spot {
    Supply(usize),
    Earth(usize),
}

/// Both nets in the making.
#[derive(Default)]
pub struct Built {
    pub supply: Net,
    pub ground: Net,
    pub wires: Vec<Option<(usize, bool)>>,
    pub sources: Vec<Source>,
    pub loads: Vec<Load>,
    pub earths: Vec<Option<usize>>,
    pub grounded: Vec<bool>,
    /// The nodes at which a part gives current, with its place.
    pub(super) posts: HashMap<usize, usize>,
    pub(super) given: HashSet<usize>,
    /// What each place draws at most, and whether all of it is stated.
    pub(super) drawn: Vec<([f64; 3], i32)>,
    pub(super) at: HashMap<WireEnd, Spot>,
}

/// A current in A: least, nominal, most.
pub(super) fn amps(quantity: &Quantity) -> Option<[f64; 3]> {
    quantity.ends_in("A")
}

impl Built {
    pub fn of(ctx: &Ctx<'_>, when: When) -> Self {
        let world = ctx.world;
        let mut made = Self { earths: vec![None; world.places.len()], ..Self::default() };
        made.grounded = vec![false; world.places.len()];
        made.drawn = vec![([0.0; 3], 0); world.places.len()];
        for (nth, place) in world.places.iter().enumerate() {
            let holding = if when == When::Before { &place.before } else { &place.after };
            if let Some((id, part)) = holding.part().and_then(|it| Some((it, part(ctx.db, it)?))) {
                made.part(ctx, nth, place, (id, part), when);
            } else if !matches!(holding, Holding::Nothing) {
                made.unclear(nth);
            }
        }
        made.feeds(ctx);
        made.lay(ctx, when);
        made
    }

    /// The place of a part that gives current at a node.
    pub fn post_of(&self, node: usize) -> Option<usize> {
        self.posts.get(&node).copied()
    }

    /// The cavities by node of supplies.
    pub fn cavities(&self) -> HashMap<usize, (EndAt, u32)> {
        let each = self.at.iter().filter_map(|(end, spot)| match (end, spot) {
            (WireEnd::Cavity(at, n), Spot::Supply(node)) => Some((*node, (at.clone(), *n))),
            _ => None,
        });
        each.collect()
    }

    /// Puts what each part returns through ground into the net of returns. What a part feeds from its own
    /// output comes back to it, and is in what it draws itself.
    pub fn returns(&mut self, given: &[[f64; 3]], supplied: &Solved) {
        let mut sources: HashMap<usize, Vec<usize>> = HashMap::new();
        for (nth, it) in self.sources.iter().enumerate() {
            sources.entry(supplied.part[it.node]).or_default().push(nth);
        }
        let together = self.ground.solve().part;
        let mut fed: HashMap<usize, ([f64; 3], i32)> = HashMap::new();
        for load in &self.loads {
            let Some([only]) = sources.get(&supplied.part[load.node]).map(Vec::as_slice) else { continue };
            let source = &self.sources[*only];
            let Some(place) = source.place.filter(|it| !source.battery && *it != load.place) else {
                continue;
            };
            let earths = self.earths[place].zip(self.earths[load.place]);
            if earths.is_none_or(|(a, b)| together[a] != together[b]) || self.drawn[place].0[2] <= 0.0 {
                continue;
            }
            let back = fed.entry(place).or_default();
            match load.draws.as_ref().and_then(amps) {
                Some(draws) => (0..3).for_each(|it| back.0[it] += draws[it]),
                None => back.1 += 1,
            }
        }
        for (place, earth) in self.earths.iter().enumerate() {
            let Some(earth) = *earth else { continue };
            let (drawn, unknown) = self.drawn[place];
            let node = &mut self.ground.nodes[earth];
            (node.draws, node.unknown) = match fed.get(&place) {
                Some((back, unsaid)) => ([0, 1, 2].map(|it| drawn[it] - back[it]), unknown - unsaid),
                None => ([0, 1, 2].map(|it| drawn[it].max(given[place][it])), unknown),
            };
        }
    }

    fn feeds(&mut self, ctx: &Ctx<'_>) {
        for (nth, (id, feed)) in ctx.world.feeds.iter().enumerate() {
            let end = WireEnd::Feed(feed.name.value.clone());
            if self.at.contains_key(&end) {
                continue;
            }
            let node = self.supply.node();
            self.at.insert(end, Spot::Supply(node));
            let fuse = feed.fuse.and_then(|it| amps(&it)).map(|it| it[1]);
            let side = &mut self.supply.nodes[node];
            side.gives = Amount::ENDLESS;
            side.charges = Amount::ENDLESS;
            side.sources = 1;
            side.guard = Guard { amps: fuse.unwrap_or(f64::INFINITY), by: By::Feed(node) };
            let found = known::said(ctx.db, ctx.workspace, *id, &feed.claim, feed.span);
            self.sources.push(Source {
                node,
                place: None,
                feed: Some(nth),
                volts: feed.voltage,
                battery: false,
                found,
            });
        }
    }

    /// The wires, and loose ends that are bridged.
    fn lay(&mut self, ctx: &Ctx<'_>, when: When) {
        let world = ctx.world;
        self.wires = vec![None; world.wires.len()];
        let mut loose: HashMap<(EndAt, u32), usize> = HashMap::new();
        let mut grounds: HashMap<WireEnd, usize> = HashMap::new();
        // Ends that stand for grounds go first, so that a splice is a return if any of its wires is.
        let earthed = self.earthed(ctx, when);
        for (nth, it) in world.wires.iter().enumerate() {
            let late = it.laid == Laid::Conversion && when == When::Before;
            if late || world.doubtful_looms.contains(&it.id) {
                continue;
            }
            let ends = if when == When::Before { [&it.was.0, &it.was.1] } else { [&it.a, &it.b] };
            let return_way = ends.iter().any(|end| earthed.contains(*end));
            let is_dead = |end: &WireEnd| match end {
                WireEnd::Cavity(at, n) => when == When::After && dead(ctx, at, *n),
                _ => false,
            };
            if return_way && ends.iter().any(|it| is_dead(it)) {
                continue;
            }
            let [a, b] = ends.map(|end| match end {
                WireEnd::Cavity(at, n) if is_dead(end) => {
                    *loose.entry((at.clone(), *n)).or_insert_with(|| self.supply.node())
                }
                _ if return_way => self.earth(end, &mut grounds),
                _ => self.supplied(ctx, end),
            });
            let net = if return_way { &mut self.ground } else { &mut self.supply };
            net.edges.push(Edge { a, b, fuse: None, is: Is::Wire(nth) });
            self.wires[nth] = Some((net.edges.len() - 1, return_way));
        }
        for change in world.changes.iter().filter(|_| when == When::After) {
            let Verb::Bridge { a, b } = &change.verb else { continue };
            let find = |it: &trunnion_model::fact::Ref| {
                let n = it.index.as_ref()?.value.parse().ok()?;
                loose.get(&(EndAt::of(it)?, n)).copied()
            };
            if let (Some(a), Some(b)) = (find(a), find(b)) {
                self.supply.edges.push(Edge { a, b, fuse: None, is: Is::Bridge });
            }
        }
    }

    /// The ends that belong to returns: ground points, ground cavities, and splices that such a wire
    /// ends in, from one to the next.
    fn earthed<'w>(&self, ctx: &Ctx<'w>, when: When) -> HashSet<&'w WireEnd> {
        let is_earth = |end: &WireEnd| match end {
            WireEnd::Ground(_) => true,
            WireEnd::Cavity(..) => matches!(self.at.get(end), Some(Spot::Earth(_))),
            _ => false,
        };
        let mut found = HashSet::new();
        let mut beside: HashMap<&WireEnd, Vec<&WireEnd>> = HashMap::new();
        let mut next = Vec::new();
        for it in &ctx.world.wires {
            let ends = if when == When::Before { [&it.was.0, &it.was.1] } else { [&it.a, &it.b] };
            for (end, other) in [(ends[0], ends[1]), (ends[1], ends[0])] {
                beside.entry(end).or_default().push(other);
                if is_earth(end) && found.insert(end) {
                    next.push(end);
                }
            }
        }
        while let Some(end) = next.pop() {
            for other in beside.get(end).into_iter().flatten() {
                if matches!(other, WireEnd::Splice(_)) && found.insert(*other) {
                    next.push(other);
                }
            }
        }
        found
    }

    fn earth(&mut self, end: &WireEnd, grounds: &mut HashMap<WireEnd, usize>) -> usize {
        if matches!(end, WireEnd::Ground(_)) {
            // The body is one, but no wire beside another: each wire to it ends in a node of its own.
            let node = self.ground.node();
            (self.ground.nodes[node].sinks, self.ground.nodes[node].body) = (1, 1);
            return node;
        }
        if let Some(Spot::Earth(node)) = self.at.get(end) {
            return *node;
        }
        *grounds.entry(end.clone()).or_insert_with(|| self.ground.node())
    }

    /// The node of an end; one that nobody has described may give and draw.
    fn supplied(&mut self, ctx: &Ctx<'_>, end: &WireEnd) -> usize {
        if let Some(Spot::Supply(node)) = self.at.get(end) {
            return *node;
        }
        let node = self.supply.node();
        self.at.insert(end.clone(), Spot::Supply(node));
        let WireEnd::Cavity(at, n) = end else { return node };
        let place = ctx.world.places.iter().position(|it| it.name == at.place);
        let Some(nth) = place else { return node };
        let place = &ctx.world.places[nth];
        let signal = !place.after.parts().is_empty()
            && place.after.parts().iter().all(|id| {
                let end = part(ctx.db, *id).and_then(|it| it.end(&at.end));
                let cavity = end.and_then(|it| it.cavities.iter().find(|it| it.number.value == *n));
                cavity.is_some_and(|it| !is_power(it))
            });
        if place.after.part().is_none() && place.after.is_filled() && !signal {
            let side = &mut self.supply.nodes[node];
            (side.unknown, side.sources, side.gives) = (1, 1, Amount::ENDLESS);
            side.guard = Guard { amps: 0.0, by: By::Nothing };
            let found =
                known::said(ctx.db, ctx.workspace, ctx.world.root(), &Default::default(), Default::default());
            self.loads.push(Load { node, place: nth, at: (at.clone(), *n), draws: None, volts: None, found });
        } else {
            self.supply.nodes[node].quiet = 1;
        }
        node
    }
}

/// Whether a wire end was blanked, or bridged past what it went to.
fn dead(ctx: &Ctx<'_>, at: &EndAt, n: u32) -> bool {
    let answers = ctx.world.answered_cavities.get(&(at.clone(), n));
    answers.into_iter().flatten().any(|it| matches!(it.verb, "blank" | "bridge"))
}
