//! From a world to its circuit: states, controls, wires and supplies. What parts hold is in
//! [`super::inside`].

use std::collections::BTreeSet;

use trunnion_syntax::tree::{At, Name, Span};

use super::{Circuit, Control, Doubt, Link, LinkKind, Source};
use crate::built::{Holding, family, part};
use crate::db::{Db, Workspace};
use crate::decl::{EndClass, Part, Verb};
use crate::fact::{Claim, Found, Ref};
use crate::kinds::{WholeKind, kind_of, whole_kind};
use crate::known;
use crate::name::Id;
use crate::states::{GEARS, is_usual, states};
use crate::world::{EndAt, Laid, Place, WireAt, WireEnd, World};

/// The circuit of a vehicle after the changes.
pub fn circuit(db: &dyn Db, workspace: Workspace, world: &World) -> Circuit {
    let mut building = Building { db, workspace, world, circuit: Circuit::default() };
    building.states();
    building.controls();
    building.wires();
    building.mated();
    building.feeds();
    for place in &world.places {
        building.inside(place);
    }
    building.unseen();
    building.circuit
}

/// What sits in a place after the changes, where it is known as far as its wires go: the part, or
/// the first of several that say the same of them.
pub fn wired_part<'db>(db: &'db dyn Db, place: &Place) -> Option<(Id, &'db Part)> {
    let (first, rest) = place.after.parts().split_first()?;
    let own = part(db, *first)?;
    let alike = |id: &Id| part(db, *id).is_some_and(|it| wiring(it) == wiring(own));
    rest.iter().all(alike).then_some((*first, own))
}

pub(super) struct Building<'a> {
    pub db: &'a dyn Db,
    pub workspace: Workspace,
    pub world: &'a World,
    pub circuit: Circuit,
}

impl<'a> Building<'a> {
    pub fn part(&self, place: &Place) -> Option<(Id, &'a Part)> {
        wired_part(self.db, place)
    }

    pub fn kind(&self, place: &Place) -> Option<&'a WholeKind> {
        let kind = kind_of(self.db, self.workspace, &place.after, place.kind)?;
        Some(whole_kind(self.db, self.workspace, kind))
    }

    pub fn found(&self, id: Id, claim: &Claim, span: Span) -> Found {
        known::said(self.db, self.workspace, id, claim, span)
    }

    fn states(&mut self) {
        let world = self.world;
        let families: Vec<_> =
            world.recipient.families.iter().filter_map(|it| family(self.db, *it)).collect();
        let mut words: Vec<&Name> =
            world.feeds.iter().filter_map(|it| it.1.state.as_ref()).map(|it| &it.value).collect();
        for place in &world.places {
            if let Some((_, part)) = self.part(place) {
                let duties = part.duties.iter().flat_map(|it| &it.during);
                let contacts = part.contacts.iter().flat_map(|it| &it.when);
                words.extend(duties.chain(contacts).chain(&part.supplies).map(|it| &it.value));
            }
            if let Some(kind) = self.kind(place) {
                words.extend(kind.duties.iter().flat_map(|it| &it.1.during).map(|it| &it.value));
                words.extend(&kind.supplies);
            }
        }
        let charging = words.iter().any(|it| ["charging", "charger"].contains(&it.as_str()));
        self.circuit.states = states(families, charging);
    }

    pub fn is_state(&self, word: &str) -> bool {
        is_usual(word) || self.circuit.states.iter().any(|it| it.name == word)
    }

    /// The control that a list of words is about, and the words that are positions of it.
    pub fn positions<'w>(
        &self,
        place: &Name,
        words: &'w [At<Name>],
    ) -> Option<(Option<Name>, Vec<&'w Name>)> {
        let named: Vec<&Name> = words.iter().map(|it| &it.value).filter(|it| !self.is_state(it)).collect();
        if named.is_empty() {
            return None;
        }
        let gear = named.iter().any(|it| GEARS.contains(&it.as_str()));
        Some(((!gear).then(|| place.clone()), named))
    }

    fn controls(&mut self) {
        let mut all: Vec<(Option<Name>, Vec<Name>)> = Vec::new();
        for place in &self.world.places {
            let mut lists: Vec<&[At<Name>]> = Vec::new();
            if let Some((_, part)) = self.part(place) {
                lists.extend(part.contacts.iter().map(|it| it.when.as_slice()));
                lists.extend(part.duties.iter().map(|it| it.only.as_slice()));
            }
            if let Some(kind) = self.kind(place) {
                lists.extend(kind.duties.iter().map(|it| it.1.only.as_slice()));
            }
            for words in lists {
                let Some((of, named)) = self.positions(&place.name, words) else { continue };
                let at = all.iter().position(|it| it.0 == of).unwrap_or_else(|| {
                    all.push((of, Vec::new()));
                    all.len() - 1
                });
                for word in named {
                    if !all[at].1.contains(word) {
                        all[at].1.push(word.clone());
                    }
                }
            }
        }
        for (place, mut positions) in all {
            if place.is_none() {
                let rank = |it: &Name| GEARS.iter().position(|gear| gear == it).unwrap_or(GEARS.len());
                positions.retain(|it| it != "drive");
                positions.sort_by_key(rank);
                positions.push("drive".into());
            } else {
                positions.push(Name::default());
            }
            self.circuit.controls.push(Control { place, positions });
        }
    }

    fn wires(&mut self) {
        for wire in &self.world.wires {
            let (a, b) = (self.circuit.add(wire.a.clone()), self.circuit.add(wire.b.clone()));
            let doubtful = self.world.doubtful_looms.contains(&wire.id);
            let doubt = doubtful
                .then(|| Doubt::new(format!("whether {} is on this vehicle", wire.id.shown(self.db))));
            let found = Some(self.found(wire.id, &wire.wire.claim, wire.wire.span));
            let new = is_new(wire).then(|| wire.id.site(wire.wire.span));
            self.circuit.join(Link { a, b, kind: LinkKind::Wire, doubt, found, who: None, new });
        }
        let world = self.world;
        let bridges = world.changes.iter().filter_map(|it| match &it.verb {
            Verb::Bridge { a, b } | Verb::Join { a, b, .. } => Some((cavity(a)?, cavity(b)?, it.span)),
            _ => None,
        });
        for (a, b, span) in bridges {
            let (a, b) = (self.circuit.add(a), self.circuit.add(b));
            let new = Some(world.root().site(span));
            let link = Link { a, b, kind: LinkKind::Wire, doubt: None, found: None, who: None, new };
            self.circuit.join(link);
        }
    }

    /// Two plugs that go into one another join their cavities by number.
    fn mated(&mut self) {
        for joint in self.world.joints.iter().filter(|it| it.after) {
            let mut numbers: BTreeSet<u32> = BTreeSet::new();
            for end in [&joint.a, &joint.b] {
                let place = self.world.place(&end.place);
                let plug = place.and_then(|it| self.part(it)).and_then(|(_, it)| it.end(&end.end));
                let plug = plug.filter(|it| it.class == EndClass::Plug && !it.absent);
                numbers.extend(plug.into_iter().flat_map(|it| &it.cavities).map(|it| it.number.value));
            }
            for n in numbers {
                let a = self.circuit.add(WireEnd::Cavity(joint.a.clone(), n));
                let b = self.circuit.add(WireEnd::Cavity(joint.b.clone(), n));
                let new = (joint.laid == Laid::Conversion).then_some(joint.site);
                let link = Link { a, b, kind: LinkKind::Wire, doubt: None, found: None, who: None, new };
                self.circuit.join(link);
            }
        }
    }

    fn feeds(&mut self) {
        for (id, feed) in &self.world.feeds {
            let node = self.circuit.add(WireEnd::Feed(feed.name.value.clone()));
            let found = self.found(*id, &feed.claim, feed.span);
            let from = feed.state.as_ref().map(|it| it.value.clone());
            self.circuit.sources.push(Source { node, volts: feed.voltage, from, feed: true, found });
        }
    }

    /// Cavities in which a wire ends though nobody says what is behind them.
    fn unseen(&mut self) {
        for node in 0..self.circuit.nodes.len() {
            let doubt = match &self.circuit.nodes[node] {
                WireEnd::Cavity(end, n) => self.unlisted(end, *n),
                WireEnd::Strange(it) if !it.ends_with(super::APART) => {
                    Some(Doubt { told: true, ..Doubt::new(format!("what {it} is")) })
                }
                _ => None,
            };
            self.circuit.doubts.extend(doubt.map(|it| (node, it)));
        }
    }

    /// Whether the wire that went to a cavity was blanked, or bridged to another.
    pub fn is_closed(&self, end: &EndAt, n: u32) -> bool {
        let answers = self.world.answered_cavities.get(&(end.clone(), n)).into_iter().flatten();
        answers.into_iter().any(|it| matches!(it.verb, "blank" | "bridge"))
    }

    fn unlisted(&self, end: &EndAt, n: u32) -> Option<Doubt> {
        let place = self.world.place(&end.place)?;
        if self.is_closed(end, n) {
            return None;
        }
        let text = format!("{}[{n}]", end.text());
        let Some((id, part)) = self.part(place) else {
            let several = place.after.parts().len() > 1;
            let which = if several { ", which may be one of several," } else { "" };
            let what = format!("what the {}{which} puts on {text}", place.shown());
            let doubt = Doubt::new(what);
            return (place.after != Holding::Nothing).then_some(doubt);
        };
        let plug = part.end(&end.end);
        if plug.is_some_and(|it| it.absent || it.cavities.iter().any(|it| it.number.value == n)) {
            return None;
        }
        let what = format!("what cavity {}[{n}] of {} is for", end.end, id.shown(self.db));
        Some(Doubt::new(what))
    }
}

fn cavity(path: &Ref) -> Option<WireEnd> {
    let n = path.index.as_ref()?.value.parse().ok()?;
    Some(WireEnd::Cavity(EndAt::of(path)?, n))
}

fn is_new(wire: &WireAt) -> bool {
    wire.laid == Laid::Conversion || wire.was != (wire.a.clone(), wire.b.clone())
}

/// What a part says about its wires, in words: parts of which it is the same are alike.
fn wiring(part: &Part) -> String {
    let mut text = String::new();
    for end in part.ends.iter().filter(|it| it.class == EndClass::Plug) {
        text.push_str(&format!("{} {}:", end.name.value, end.absent));
        for it in &end.cavities {
            let what = it.what.as_ref().map(Ref::text);
            let (number, role) = (it.number.value, &it.role.value);
            text.push_str(&format!(
                "{number} {role} {what:?} {:?} {:?};",
                it.out,
                (it.draw.is_some(), it.gives.is_some())
            ));
        }
    }
    for it in &part.contacts {
        let words: Vec<&str> = it.when.iter().map(|it| it.value.as_str()).collect();
        let pins: Vec<String> = it.b.iter().chain(&it.coil).map(Ref::text).collect();
        text.push_str(&format!("{} {pins:?} {words:?} {};", it.a.text(), it.at_rest));
    }
    for it in &part.diodes {
        text.push_str(&format!("{} > {};", it.a.text(), it.b.text()));
    }
    text.push_str(&format!("{:?}", part.supplies.as_ref().map(|it| &it.value)));
    text
}
