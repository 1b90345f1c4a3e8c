//! What a part does inside with the currents at its cavities: it gives, draws, or lets them through.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::decl::{Cavity, EndClass, Part};
use trunnion_model::fact::{Found, Ref};
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::world::{EndAt, Place, When, WireEnd};

use super::build::{Built, Spot, amps};
use super::net::{Amount, By, Edge, Guard, Is};
use super::{Load, Source, is_battery};
use crate::ctx::Ctx;

/// Whether a cavity is a ground.
fn is_ground(cavity: &Cavity) -> bool {
    cavity.role.value == "ground"
}

/// Whether a cavity carries power, as far as its role tells; signals carry next to nothing.
pub(super) fn is_power(cavity: &Cavity) -> bool {
    let named = matches!(cavity.role.value.as_str(), "supply" | "lamp" | "motor" | "heater");
    named || cavity.draw.is_some() || cavity.gives.is_some()
}

/// A cavity of a part, and the plug it is in.
type At<'p> = (&'p EndAt, &'p Cavity);

/// How a part lets current through: by the contacts that it states, else from what is `in` to what is `out`.
struct Ways<'p> {
    contacts: Vec<(At<'p>, At<'p>)>,
    switched: bool,
    lets_through: bool,
}

impl<'p> Ways<'p> {
    fn of(part: &Part, each: &'p [(EndAt, &'p Cavity)]) -> Self {
        let find = |it: &Ref| {
            let n: u32 = it.index.as_ref()?.value.parse().ok()?;
            let found = each.iter().find(|(at, cavity)| at.end == *it.head() && cavity.number.value == n)?;
            (!is_ground(found.1)).then_some((&found.0, found.1))
        };
        let stated = part.contacts.iter().flat_map(|it| it.b.iter().map(move |b| (&it.a, b)));
        let contacts: Vec<_> = stated.filter_map(|(a, b)| Some((find(a)?, find(b)?))).collect();
        let switched = each.iter().any(|(_, it)| is_switch(it));
        let mut ways = Self { contacts, switched, lets_through: false };
        let through = |out: bool| each.iter().any(|(_, it)| ways.is_way(it, out));
        ways.lets_through = through(false) && through(true);
        ways
    }

    /// Whether a cavity is the one side or the other of a way that is not stated as a contact.
    fn is_way(&self, it: &Cavity, out: bool) -> bool {
        it.draw.is_none()
            && match out {
                true => it.out == Some(true) && (is_power(it) || is_switch(it)),
                false => is_power(it) && (it.out == Some(false) || self.switched && it.out.is_none()),
            }
    }

    /// Whether current goes on from a cavity inside the part.
    fn passes(&self, at: &EndAt, it: &Cavity) -> bool {
        if self.contacts.is_empty() {
            return self.lets_through && (self.is_way(it, false) || self.is_way(it, true));
        }
        let here = |other: &At<'_>| other.0 == at && other.1.number.value == it.number.value;
        it.draw.is_none() && self.contacts.iter().any(|(a, b)| here(a) || here(b))
    }
}

fn is_switch(it: &Cavity) -> bool {
    it.role.value == "switch" && it.out == Some(true)
}

impl Built {
    pub(super) fn unclear(&mut self, nth: usize) {
        let earth = self.ground.node();
        self.ground.nodes[earth].unknown = 1;
        self.earths[nth] = Some(earth);
        self.drawn[nth].1 = 1;
    }

    pub(super) fn part(
        &mut self,
        ctx: &Ctx<'_>,
        nth: usize,
        place: &Place,
        (id, part): (Id, &Part),
        when: When,
    ) {
        let plugs = || part.ends.iter().filter(|it| it.class == EndClass::Plug && !it.absent);
        let each: Vec<(EndAt, &Cavity)> = plugs()
            .flat_map(|end| end.cavities.iter().map(move |it| (end, it)))
            .map(|(end, it)| (EndAt { place: place.name.clone(), end: end.name.value.clone() }, it))
            .collect();
        if each.is_empty() {
            return;
        }
        let battery = is_battery(ctx, place, when);
        let earth = self.ground.node();
        self.earths[nth] = Some(earth);
        let ways = Ways::of(part, &each);
        let gives = each.iter().any(|(at, it)| it.gives.is_some() && !ways.passes(at, it));
        let hub = (ways.contacts.is_empty() && ways.lets_through).then(|| self.supply.node());
        let fuse = known::of_part(ctx.db, ctx.workspace, id, "fuse").first().and_then(|it| it.quantity());
        let fuse = fuse.and_then(|it| amps(&it)).map(|it| it[1]);
        let limit = |cavity: &Cavity| fuse.or_else(|| cavity.gives.and_then(|it| amps(&it)).map(|it| it[1]));
        let mut post: Option<usize> = None;
        for (at, cavity) in &each {
            let end = WireEnd::Cavity(at.clone(), cavity.number.value);
            if is_ground(cavity) {
                self.at.insert(end, Spot::Earth(earth));
                self.grounded[nth] = true;
                continue;
            }
            let found = known::said(ctx.db, ctx.workspace, id, &cavity.claim, cavity.span);
            let passes = ways.passes(at, cavity);
            let own = gives
                && !passes
                && is_power(cavity)
                && cavity.draw.is_none()
                && (cavity.out.is_none() || cavity.gives.is_some());
            if own && cavity.out.is_none() {
                // Studs of one post.
                let node = *post.get_or_insert_with(|| self.supply.node());
                self.at.insert(end, Spot::Supply(node));
                self.source(node, nth, battery, cavity, found);
                continue;
            }
            let node = self.supply.node();
            self.at.insert(end, Spot::Supply(node));
            if let Some(draws) = cavity.draw {
                self.load(node, nth, (at, cavity), Some(draws), found);
            } else if passes {
                let Some(hub) = hub else { continue };
                let fuse = if cavity.out == Some(true) { limit(cavity) } else { None };
                self.supply.edges.push(Edge { a: hub, b: node, fuse, is: Is::Inside(nth) });
            } else if own || is_power(cavity) && cavity.out == Some(true) {
                self.source(node, nth, battery, cavity, found);
            } else if is_power(cavity) {
                self.load(node, nth, (at, cavity), None, found);
            } else {
                self.supply.nodes[node].quiet = 1;
            }
        }
        for (a, b) in &ways.contacts {
            let node = |(at, cavity): &(&EndAt, &Cavity)| {
                let end = WireEnd::Cavity((*at).clone(), cavity.number.value);
                match self.at.get(&end) {
                    Some(Spot::Supply(it)) => Some(*it),
                    _ => None,
                }
            };
            if let (Some(a), Some(node)) = (node(a), node(b)) {
                self.supply.edges.push(Edge { a, b: node, fuse: limit(b.1), is: Is::Inside(nth) });
            }
        }
        self.ground.nodes[earth].sinks = i32::from(self.given.contains(&nth));
    }

    fn source(&mut self, node: usize, place: usize, battery: bool, cavity: &Cavity, found: Found) {
        let stated = cavity.gives.and_then(|it| amps(&it)).map(|it| it[2]);
        if let Some(known) = self.sources.iter_mut().find(|it| it.node == node) {
            // Another stud of the same post.
            if let (Some(most), true) = (stated, self.supply.nodes[node].gives == Amount::ENDLESS) {
                self.supply.nodes[node].gives = Amount::of(most);
            }
            known.volts = known.volts.or(cavity.volts);
            return;
        }
        let side = &mut self.supply.nodes[node];
        side.gives = stated.map_or(Amount::ENDLESS, Amount::of);
        side.sources = 1;
        side.takes = i32::from(battery);
        if !battery {
            side.charges = side.gives;
        }
        let limit = stated.filter(|_| !battery).unwrap_or(f64::INFINITY);
        let by = if battery || stated.is_some() { By::Source(node) } else { By::Unclear };
        side.guard = Guard { amps: limit, by };
        self.posts.insert(node, place);
        self.given.insert(place);
        let volts = cavity.volts;
        self.sources.push(Source { node, place: Some(place), feed: None, volts, battery, found });
    }

    fn load(
        &mut self,
        node: usize,
        place: usize,
        (at, cavity): (&EndAt, &Cavity),
        draws: Option<Quantity>,
        found: Found,
    ) {
        match draws.as_ref().and_then(amps) {
            Some(it) => {
                self.supply.nodes[node].draws = it;
                (0..3).for_each(|nth| self.drawn[place].0[nth] += it[nth]);
            }
            None => {
                self.supply.nodes[node].unknown = 1;
                self.drawn[place].1 += 1;
            }
        }
        let at = (at.clone(), cavity.number.value);
        self.loads.push(Load { node, place, at, draws, volts: cavity.volts, found });
    }
}
