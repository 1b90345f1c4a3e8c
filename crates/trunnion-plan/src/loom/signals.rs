//! Which cavities belong to one signal: by its name, by who gives and who takes, and by what sort of
//! current it is.

use trunnion_check::ctx::listed;
use trunnion_model::decl::Cavity;
use trunnion_model::world::WireEnd;
use trunnion_syntax::tree::Name;

use super::nets::{Looking, Sort};
use super::{Lack, Unsolved};

/// What sort of current a cavity speaks of.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Class {
    /// Next to none: signal, switch, sensor.
    Signal,
    /// What a lamp, a motor or a heater takes.
    Power,
    /// A coil and what drives it.
    Coil,
}

fn class(cavity: &Cavity) -> Class {
    match cavity.role.value.as_str() {
        "signal" | "switch" | "sensor" => Class::Signal,
        "coil" => Class::Coil,
        _ => Class::Power,
    }
}

/// Whether two cavities of one name can be on one wire. A switch can also stand before a lamp or a coil;
/// a signal cannot drive either. With `alike`, both are at the same end of it.
pub(super) fn suits(a: &Cavity, b: &Cavity, alike: bool) -> bool {
    let both = |out: bool| a.out == Some(out) && b.out == Some(out);
    if !alike && (both(true) || both(false)) {
        return false;
    }
    class(a) == class(b) || drives(a, b) || drives(b, a)
}

fn drives(switch: &Cavity, load: &Cavity) -> bool {
    switch.role.value == "switch" && switch.out == Some(true) && class(load) != Class::Signal
}

/// The cavities of other plugs that a named cavity belongs together with: those of its own sort, else
/// those that it can drive or be driven by.
pub(super) fn partners(looking: &Looking<'_, '_, '_>, node: usize) -> Vec<usize> {
    let Some((_, own)) = looking.live(node) else { return Vec::new() };
    let Some(Sort::Signal(name)) = Sort::of(own) else { return Vec::new() };
    let plug = |node: usize| match &looking.standing.nodes[node] {
        WireEnd::Cavity(at, _) => Some(at),
        _ => None,
    };
    let each = looking.names.get(&name).into_iter().flatten().copied();
    let there: Vec<(usize, &Cavity)> = each
        .filter(|it| plug(*it) != plug(node) && !looking.standing.is_dead(*it))
        .filter_map(|it| Some((it, looking.live(it)?.1)))
        .filter(|(_, it)| suits(own, it, false))
        .collect();
    let alike: Vec<usize> = there.iter().filter(|it| class(it.1) == class(own)).map(|it| it.0).collect();
    if !alike.is_empty() {
        return alike;
    }
    there.into_iter().map(|it| it.0).collect()
}

impl Looking<'_, '_, '_> {
    /// Joins what asks for a signal to what gives or takes it.
    pub fn signals(&mut self) {
        let mut open: Vec<(usize, String)> = Vec::new();
        for node in self.asks.clone() {
            let Some((_, cavity)) = self.live(node) else { continue };
            let Some(Sort::Signal(name)) = Sort::of(cavity) else { continue };
            match self.partner_pieces(node, cavity, &name) {
                Ok(pieces) => {
                    for piece in pieces {
                        self.groups.join(piece, self.piece(node));
                    }
                }
                Err(why) => open.push((node, why)),
            }
        }
        for (node, why) in open {
            // What the conversion said itself settles it.
            let piece = self.piece(node);
            let group = self.groups.group(piece);
            if self.groups.all[group].len() > 1 {
                continue;
            }
            self.needs.pending.insert(piece);
            self.needs.unsolved.push(Unsolved {
                subject: self.standing.nodes[node].text(),
                sentence: why,
                sites: self.sites(node),
                lack: Lack::Knowledge,
            });
        }
    }

    /// The conductors that carry what a cavity gives or takes; else why that cannot be told.
    fn partner_pieces(&self, node: usize, cavity: &Cavity, name: &Name) -> Result<Vec<usize>, String> {
        let shown = name.replace('_', " ");
        let at = self.standing.nodes[node].shown();
        let all = partners(self, node);
        let out = |it: &usize| self.live(*it).and_then(|it| it.1.out);
        let pieces = |nodes: &mut dyn Iterator<Item = usize>| {
            let mut pieces: Vec<usize> = nodes.map(|it| self.piece(it)).collect();
            pieces.sort_unstable();
            pieces.dedup();
            pieces
        };
        if cavity.out == Some(true) {
            let found = pieces(&mut all.iter().copied());
            if !found.is_empty() {
                return Ok(found);
            }
            let was = self.carries(cavity, name);
            return match was.as_slice() {
                [only] => Ok(vec![*only]),
                _ => Err(format!("{at} gives {shown}, and nobody has said who takes it.")),
            };
        }
        let givers = pieces(&mut all.iter().copied().filter(|it| out(it) == Some(true)));
        let givers = match givers.as_slice() {
            [] => pieces(&mut all.iter().copied().filter(|it| out(it).is_none())),
            _ => givers,
        };
        match givers.as_slice() {
            [only] => return Ok(vec![*only]),
            [] => {}
            many => {
                let names: Vec<String> = all
                    .iter()
                    .filter(|it| many.contains(&self.piece(**it)))
                    .map(|it| self.standing.nodes[*it].text())
                    .collect();
                let names = listed(&names);
                return Err(format!("{at} takes {shown}, and several could give it: {names}."));
            }
        }
        // A conductor that carried it to what was there, or carries it to others.
        let mut others = self.carries(cavity, name);
        let listens = |it: &usize| {
            let like = self.live(*it).is_some_and(|(_, it)| it.out == Some(false) && suits(it, cavity, true));
            like && self.is_fulfilled(*it, cavity) && !self.asks.contains(it)
        };
        let named = self.names.get(name).into_iter().flatten().copied();
        others.extend(pieces(&mut named.filter(listens)));
        others.retain(|it| *it != self.piece(node));
        others.sort_unstable();
        others.dedup();
        match others.as_slice() {
            [only] => Ok(vec![*only]),
            _ => Err(format!("{at} takes {shown}, and nobody has said who gives it.")),
        }
    }

    /// Conductors with a loose end that went to a cavity of the same meaning, where somebody gives or takes
    /// it still and the new one suits all that is on them.
    fn carries(&self, cavity: &Cavity, name: &Name) -> Vec<usize> {
        let mut found: Vec<usize> = Vec::new();
        for node in 0..self.standing.nodes.len() {
            if !self.standing.is_loose(node) || self.standing.is_dead(node) {
                continue;
            }
            let Some(was) = self.standing.pin(node).and_then(|it| it.was) else { continue };
            let same = Sort::of(was) == Some(Sort::Signal(name.clone()))
                && was.out == cavity.out
                && suits(was, cavity, true);
            let all = self.standing.whole(node).iter().filter_map(|it| self.live(*it));
            let mut named = all.map(|it| it.1).filter(|it| matches!(Sort::of(it), Some(Sort::Signal(_))));
            let alive = match cavity.out {
                Some(true) => self.is_heard(node),
                _ => self.is_fulfilled(node, cavity),
            };
            if same && alive && !found.contains(&self.piece(node)) && named.all(|it| suits(cavity, it, true))
            {
                found.push(self.piece(node));
            }
        }
        found
    }

    /// Whether somebody on a conductor takes what comes on it, or may do.
    fn is_heard(&self, node: usize) -> bool {
        self.standing.whole(node).iter().filter(|it| **it != node).any(|it| {
            let Some(pin) = self.standing.pin(*it).filter(|it| !it.gone) else { return false };
            pin.now.is_none_or(|it| matches!(Sort::of(it), Some(Sort::Signal(_))) && it.out != Some(true))
        })
    }
}
