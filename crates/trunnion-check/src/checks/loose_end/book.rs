//! What is joined to what before and after the changes, each looked up once.

use std::collections::{BTreeMap, BTreeSet};

use trunnion_model::built::{family, part, vehicle};
use trunnion_model::decl::Asked;
use trunnion_model::fact::{Claim, Found};
use trunnion_model::kinds::EndOf;
use trunnion_model::known;
use trunnion_model::world::{Answer, EndAt, Joint, Laid, LineAt, Place, When, WireAt, WireEnd};

use crate::checks::set_together::wanting;
use crate::ctx::Ctx;

/// Whether an end is there after the changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// Stated by what sits there, or asked for by its kind.
    There,
    /// Nothing tells: what sits there, and its kind, say nothing about ends.
    Unsaid,
    /// What sits there has no such end, or nothing sits there.
    Gone,
}

/// Whether what sits in a place after the changes has an end.
pub fn fate(ctx: &Ctx<'_>, place: &Place, end: &str) -> Fate {
    if !place.after.is_filled() {
        return Fate::Gone;
    }
    let parts: Vec<_> = place.after.parts().iter().filter_map(|it| part(ctx.db, *it)).collect();
    let stated: Vec<_> = parts.iter().filter_map(|it| it.end(end)).collect();
    if stated.iter().any(|it| !it.absent) {
        return Fate::There;
    }
    if !stated.is_empty() {
        return Fate::Gone;
    }
    let asks = ctx.kind_after(place).map(|(_, kind)| kind.asks.as_slice()).unwrap_or_default();
    let ends: Vec<_> = asks.iter().filter(|(_, it)| matches!(it.asked, Asked::End(..))).collect();
    if ends.iter().any(|(_, it)| it.asked.name().value == end) {
        Fate::There
    } else if !ends.is_empty() || parts.iter().any(|it| !it.ends.is_empty()) {
        Fate::Gone
    } else {
        Fate::Unsaid
    }
}

/// Two ends together, and the line that does it where there is one.
#[derive(Clone, Copy)]
pub(super) struct Link<'a> {
    pub(super) joint: &'a Joint,
    pub(super) line: Option<&'a LineAt>,
}

impl<'a> Link<'a> {
    /// The end in a place, and the other.
    pub(super) fn ends_from(self, place: &str) -> (&'a EndAt, &'a EndAt) {
        if self.joint.a.place == place {
            (&self.joint.a, &self.joint.b)
        } else {
            (&self.joint.b, &self.joint.a)
        }
    }
}

/// Joints, lines and wires by the places they end in.
pub(super) struct Book<'a> {
    ctx: &'a Ctx<'a>,
    links: BTreeMap<&'a str, Vec<Link<'a>>>,
    wires: BTreeMap<&'a str, Vec<&'a WireAt>>,
    /// Ends that the conversion joins.
    taken: BTreeSet<&'a EndAt>,
}

impl<'a> Book<'a> {
    pub(super) fn of(ctx: &'a Ctx<'a>) -> Self {
        let world = ctx.world;
        let mut book = Self { ctx, links: BTreeMap::new(), wires: BTreeMap::new(), taken: BTreeSet::new() };
        let lines = world.lines.iter().map(|it| Link { joint: &it.joint, line: Some(it) });
        for link in world.joints.iter().map(|it| Link { joint: it, line: None }).chain(lines) {
            let (a, b) = (&link.joint.a, &link.joint.b);
            book.links.entry(&a.place).or_default().push(link);
            if a.place != b.place {
                book.links.entry(&b.place).or_default().push(link);
            }
            if link.joint.laid == Laid::Conversion {
                book.taken.extend([a, b]);
            }
        }
        for wire in &world.wires {
            let mut places: Vec<&str> = Vec::new();
            for end in [&wire.a, &wire.b, &wire.was.0, &wire.was.1] {
                if let WireEnd::Cavity(at, _) = end
                    && !places.contains(&at.place.as_str())
                {
                    places.push(&at.place);
                    book.wires.entry(&at.place).or_default().push(wire);
                }
            }
        }
        book
    }

    pub(super) fn links(&self, place: &str) -> impl Iterator<Item = Link<'a>> {
        self.links.get(place).into_iter().flatten().copied()
    }

    pub(super) fn wires(&self, place: &str) -> impl Iterator<Item = &'a WireAt> {
        self.wires.get(place).into_iter().flatten().copied()
    }

    /// The joints of the conversion with each of their ends.
    pub(super) fn laid(&self) -> impl Iterator<Item = (&'a Joint, &'a EndAt)> {
        let world = self.ctx.world;
        let joints = world.joints.iter().chain(world.lines.iter().map(|it| &it.joint));
        joints.filter(|it| it.laid == Laid::Conversion).flat_map(|it| [(it, &it.a), (it, &it.b)])
    }

    /// What an end is joined to after the changes.
    pub(super) fn joined(&self, at: &EndAt) -> Option<Link<'a>> {
        let world = self.ctx.world;
        let own = world.place(&at.place)?;
        self.links(&at.place).find(|link| {
            let Some(other) = link.joint.other(at) else { return false };
            let Some(far) = world.place(&other.place) else { return false };
            // What is called for and not there is one question, asked by set/together.
            if link.joint.after && wanting(self.ctx, far).is_some() {
                return true;
            }
            if !far.after.is_filled() {
                return false;
            }
            // Two parts that nobody touches stay together, whatever the options say.
            let untouched =
                !own.changed() && !far.changed() && !self.taken.contains(at) && !self.taken.contains(other);
            // Whether a newly joined end exists is for the checks of pairs; one that was joined
            // before may have left with its part.
            let there = !link.joint.before || !far.changed() || !self.left(far, &other.end);
            (link.joint.after && there) || (link.joint.before && untouched)
        })
    }

    /// Whether an end left with its part: what comes in has none, or says nothing of one that was
    /// stated of what was there. Where neither speaks of it, the joint alone does.
    fn left(&self, place: &Place, end: &str) -> bool {
        let named = |when| self.ctx.ends(place, when).into_iter().find(|it| it.name == end);
        let spoken = named(When::Before).is_some() || named(When::After).is_some();
        fate(self.ctx, place, end) == Fate::Gone && (spoken || !place.after.is_filled())
    }

    /// Whether a joint, line or wire of the vehicle as built ends there.
    pub(super) fn drawn(&self, at: &EndAt) -> bool {
        self.links(&at.place).any(|it| it.joint.before && it.joint.other(at).is_some())
            || self.wired(at, When::Before)
    }

    /// The ends of what comes into a place, but for those that need not be joined; of several
    /// candidates those that all of them state.
    pub(super) fn incoming(&self, place: &Place) -> Vec<EndOf> {
        let ctx = self.ctx;
        if !place.after.is_filled() {
            return Vec::new();
        }
        let stays = ctx.kind_after(place).map(|(_, it)| it.stays.as_slice()).unwrap_or_default();
        let mut ends = ctx.ends(place, When::After);
        if let [first, rest @ ..] = place.after.parts()
            && !rest.is_empty()
        {
            let rest: Vec<_> = rest.iter().filter_map(|it| part(ctx.db, *it)).collect();
            for (nth, end) in part(ctx.db, *first).into_iter().flat_map(|it| it.ends.iter().enumerate()) {
                let name = &end.name.value;
                let all = rest.iter().all(|it| it.end(name).is_some_and(|it| !it.absent));
                if all && !ends.iter().any(|it| it.name == *name) {
                    let shown =
                        end.title.as_ref().map_or_else(|| name.replace('_', " "), ToString::to_string);
                    let (name, stated, absent) = (name.clone(), Some((*first, nth)), end.absent);
                    ends.push(EndOf { class: end.class, name, shown, stated, asked: None, absent });
                }
            }
        }
        ends.retain(|it| !it.absent && !stays.contains(&it.name));
        ends
    }

    /// Whether a wire ends in the plug.
    pub(super) fn wired(&self, at: &EndAt, when: When) -> bool {
        let ends_in = |end: &WireEnd| matches!(end, WireEnd::Cavity(it, _) if it == at);
        self.wires(&at.place).any(|it| match when {
            When::Before => it.laid != Laid::Conversion && (ends_in(&it.was.0) || ends_in(&it.was.1)),
            When::After => ends_in(&it.a) || ends_in(&it.b),
        })
    }

    /// Whether the plug, or what the cavity was for, is no longer there.
    pub(super) fn cavity_gone(&self, place: &Place, at: &EndAt, n: u32) -> bool {
        if !place.changed() {
            return !place.after.is_filled();
        }
        match fate(self.ctx, place, &at.end) {
            Fate::Gone => return true,
            Fate::Unsaid => return false,
            Fate::There => {}
        }
        let mut plugs = place.after.parts().iter().filter_map(|it| part(self.ctx.db, *it)?.end(&at.end));
        plugs.any(|plug| {
            let used = plug.cavities.iter().any(|it| it.number.value == n && it.role.value != "empty");
            !plug.cavities.is_empty() && !used
        })
    }

    /// What a statement does about a loose terminal: about its cavity, its plug, or by taking out
    /// the wire's other end.
    pub(super) fn cavity_answer(&self, at: &EndAt, n: u32, far: Option<(&EndAt, u32)>) -> Option<&'a Answer> {
        let world = self.ctx.world;
        let own = world.answered_cavities.get(&(at.clone(), n)).and_then(|it| it.first());
        own.or_else(|| self.end_answer(at)).or_else(|| {
            let (far, m) = far?;
            world.answered_cavities.get(&(far.clone(), m))?.iter().find(|it| it.verb == "blank")
        })
    }

    /// The answer to a whole end. A statement about one cavity does not answer for its plug.
    pub(super) fn end_answer(&self, at: &EndAt) -> Option<&'a Answer> {
        let world = self.ctx.world;
        let of_cavity = |answer: &Answer| {
            let cavities = world.answered_cavities.range((at.clone(), 0)..=(at.clone(), u32::MAX));
            cavities.flat_map(|(_, it)| it).any(|it| it.site == answer.site)
        };
        world.answers.get(at)?.iter().find(|it| !of_cavity(it))
    }

    /// The claim behind a joint or line; what the conversion lays is a decision, not a claim.
    pub(super) fn claim(&self, link: Link<'_>) -> Option<Found> {
        let ctx = self.ctx;
        let said = |id, claim: &Claim, span| Some(known::said(ctx.db, ctx.workspace, id, claim, span));
        if link.joint.laid == Laid::Conversion {
            return None;
        }
        if let Some(line) = link.line {
            return said(line.id, &line.line.claim, line.line.span);
        }
        let (site, recipient) = (link.joint.site, &ctx.world.recipient);
        for id in recipient.families.iter().filter(|it| it.item == site.item) {
            if let Some(decl) = family(ctx.db, *id)?.joints.iter().find(|it| it.span == site.span) {
                return said(*id, &decl.claim, decl.span);
            }
        }
        let decl = vehicle(ctx.db, recipient.vehicle)?.joints.iter().find(|it| it.span == site.span)?;
        said(recipient.vehicle, &decl.claim, decl.span)
    }
}
