//! What a part joins, feeds and loads, and what nobody says about it.

use std::collections::BTreeSet;

use super::build::Building;
use super::{Closed, Doubt, Link, LinkKind, Source};
use crate::decl::{Cavity, Contact, EndClass, Part};
use crate::fact::{Found, Ref};
use crate::name::Id;
use crate::world::{EndAt, Place, WireEnd};

/// A part in its place.
struct Inside<'a> {
    place: &'a Place,
    id: Id,
    part: &'a Part,
    who: String,
    /// Nodes of which a contact or a diode says what happens to them.
    covered: BTreeSet<usize>,
}

/// The cavities of a part by what they do.
#[derive(Default)]
struct Sorted {
    /// Supplies it takes.
    sinks: Vec<usize>,
    /// What draws current to its grounds.
    loads: Vec<usize>,
    /// Its grounds.
    grounds: Vec<usize>,
    /// Supplies it gives, nobody says when.
    given: Vec<usize>,
    /// Signals it gives, nobody says when.
    told: Vec<usize>,
}

impl<'a> Building<'a> {
    /// What the part in a place joins, feeds and loads.
    pub(super) fn inside(&mut self, place: &'a Place) {
        let Some((id, part)) = self.part(place) else { return };
        let who = id.shown(self.db);
        let mut inside = Inside { place, id, part, who, covered: BTreeSet::new() };
        for contact in &part.contacts {
            self.contact(&mut inside, contact);
        }
        for diode in &part.diodes {
            let (Some(a), Some(b)) = (self.pin(place, &diode.a), self.pin(place, &diode.b)) else { continue };
            inside.covered.extend([a, b]);
            let found = self.found(id, &diode.claim, diode.span);
            self.link(&inside, (a, b), LinkKind::Diode, None, Some(found));
        }
        let sorted = self.sort(&inside);
        self.loads(&inside, &sorted);
        self.unsaid(&inside, &sorted);
    }

    /// The node of a cavity as the part sees it: apart from the wire where that was blanked.
    fn pin(&mut self, place: &Place, path: &Ref) -> Option<usize> {
        let n = path.index.as_ref()?.value.parse().ok()?;
        let end = EndAt { place: place.name.clone(), end: path.parts.last()?.value.clone() };
        Some(self.seat(end, n))
    }

    fn seat(&mut self, end: EndAt, n: u32) -> usize {
        let apart = self.is_closed(&end, n);
        let cavity = WireEnd::Cavity(end, n);
        if apart {
            return self.circuit.add(WireEnd::Strange(format!("{}{}", cavity.text(), super::APART)));
        }
        self.circuit.add(cavity)
    }

    fn link(
        &mut self,
        inside: &Inside<'_>,
        ends: (usize, usize),
        kind: LinkKind,
        doubt: Option<Doubt>,
        found: Option<Found>,
    ) {
        let new = inside.place.done.last().map(|it| it.site);
        let (a, b) = ends;
        self.circuit.join(Link { a, b, kind, doubt, found, who: Some(inside.who.clone()), new });
    }

    fn contact(&mut self, inside: &mut Inside<'a>, contact: &Contact) {
        let place = inside.place;
        let Some(a) = self.pin(place, &contact.a) else { return };
        let coil: Vec<usize> = contact.coil.iter().filter_map(|it| self.pin(place, it)).collect();
        let coil = match coil.as_slice() {
            [one, other] => Some((*one, *other)),
            _ => None,
        };
        let states = contact.when.iter().map(|it| &it.value).filter(|it| self.is_state(it));
        let mut closed =
            Closed { states: states.cloned().collect(), coil, at_rest: contact.at_rest, ..Closed::default() };
        if let Some((of, named)) = self.positions(&place.name, &contact.when)
            && let Some(at) = self.circuit.controls.iter().position(|it| it.place == of)
        {
            let known = &self.circuit.controls[at].positions;
            let positions = named.iter().filter_map(|it| known.iter().position(|known| known == *it));
            closed.positions = positions.map(|it| (at, it)).collect();
        }
        inside.covered.insert(a);
        let found = self.found(inside.id, &contact.claim, contact.span);
        if let Some((one, other)) = coil {
            inside.covered.extend([one, other]);
            self.link(inside, (one, other), LinkKind::Load, None, None);
        }
        for b in &contact.b {
            let Some(b) = self.pin(place, b) else { continue };
            inside.covered.insert(b);
            self.link(inside, (a, b), LinkKind::Contact(closed.clone()), None, Some(found.clone()));
        }
    }

    /// Sorts the cavities of a part; those that give and say from where become supplies.
    fn sort(&mut self, inside: &Inside<'a>) -> Sorted {
        let of_kind = self.kind(inside.place).and_then(|it| it.supplies.clone());
        let supplies = inside.part.supplies.as_ref().map(|it| it.value.clone()).or(of_kind);
        let plugs = inside.part.ends.iter().filter(|it| it.class == EndClass::Plug && !it.absent);
        let all: Vec<_> = plugs.flat_map(|end| end.cavities.iter().map(move |it| (end, it))).collect();
        let takes = |it: &Cavity| it.role.value == "supply" && (it.out == Some(false) || it.draw.is_some());
        let any_takes = all.iter().any(|(_, it)| takes(it));
        let mut sorted = Sorted::default();
        for (end, cavity) in all {
            let at = EndAt { place: inside.place.name.clone(), end: end.name.value.clone() };
            let node = self.seat(at, cavity.number.value);
            let covered = inside.covered.contains(&node);
            let silent = cavity.out.is_none() && cavity.draw.is_none();
            let gives = cavity.out == Some(true)
                || cavity.out.is_none() && cavity.gives.is_some()
                || supplies.is_some() && silent && !any_takes;
            match cavity.role.value.as_str() {
                "ground" => sorted.grounds.push(node),
                "can_high" | "can_low" | "lin" | "shield" | "empty" => {}
                "supply" if gives && covered => {}
                "supply" if gives && supplies.is_some() => {
                    let found = self.found(inside.id, &cavity.claim, cavity.span);
                    let (volts, from) = (cavity.volts, supplies.clone());
                    self.circuit.sources.push(Source { node, volts, from, feed: false, found });
                }
                "supply" if gives => sorted.given.push(node),
                "supply" => {
                    sorted.sinks.push(node);
                    if !covered || cavity.draw.is_some() {
                        sorted.loads.push(node);
                    }
                }
                "lamp" | "coil" if cavity.out == Some(false) || cavity.draw.is_some() => {
                    sorted.loads.push(node);
                }
                _ if cavity.out == Some(false) || covered => {}
                _ => sorted.told.push(node),
            }
        }
        sorted
    }

    fn loads(&mut self, inside: &Inside<'_>, sorted: &Sorted) {
        for load in &sorted.loads {
            for ground in &sorted.grounds {
                self.link(inside, (*load, *ground), LinkKind::Load, None, None);
            }
        }
        for pair in sorted.grounds.windows(2) {
            if pair.iter().any(|it| inside.covered.contains(it)) {
                continue;
            }
            let ends = (pair[0], pair[1]);
            let doubt = self.joins("whether", inside, ends, "");
            self.link(inside, ends, LinkKind::Contact(Closed::default()), Some(doubt), None);
        }
    }

    /// What it gives though nobody says when.
    fn unsaid(&mut self, inside: &Inside<'_>, sorted: &Sorted) {
        for node in &sorted.given {
            if sorted.sinks.is_empty() {
                self.gives(inside, *node, "supplies from …".to_owned());
            }
            for sink in &sorted.sinks {
                let ends = (*sink, *node);
                let doubt = self.joins("when", inside, ends, " when …");
                self.link(inside, ends, LinkKind::Contact(Closed::default()), Some(doubt), None);
            }
        }
        for node in &sorted.told {
            let statement = format!("contact {} to … when …", self.pin_text(*node));
            self.gives(inside, *node, statement);
        }
    }

    fn gives(&mut self, inside: &Inside<'_>, node: usize, statement: String) {
        let what = format!("when {} gives at {}", inside.who, self.circuit.nodes[node].text());
        let doubt = Doubt { what, of: Some(inside.id), statement: Some(statement), told: false };
        self.circuit.doubts.push((node, doubt));
    }

    fn joins(&self, word: &str, inside: &Inside<'_>, ends: (usize, usize), when: &str) -> Doubt {
        let (a, b) = (self.pin_text(ends.0), self.pin_text(ends.1));
        Doubt {
            what: format!("{word} {} joins {a} to {b}", inside.who),
            of: Some(inside.id),
            statement: Some(format!("contact {a} to {b}{when}")),
            told: false,
        }
    }

    /// A cavity within its part: `K2[1]` of `gearbox_controller.K2[1]`.
    fn pin_text(&self, node: usize) -> String {
        let text = self.circuit.nodes[node].text();
        let text = text.trim_end_matches(super::APART);
        text.split_once('.').map_or(text, |it| it.1).to_owned()
    }
}
