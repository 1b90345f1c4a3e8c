//! Which nets the vehicle needs after the changes: what each cavity asks for, and what is to become one
//! conductor for it.

use std::collections::{BTreeMap, BTreeSet};

use trunnion_model::db::Site;
use trunnion_model::decl::{Cavity, EndClass};
use trunnion_model::world::{EndAt, WireEnd};
use trunnion_syntax::tree::Name;

use super::existing::Standing;
use super::frame::Pin;
use super::{Lack, Unsolved};

/// What a net is for.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Sort {
    Supply,
    Ground,
    High(Name),
    Low(Name),
    Lin(Name),
    Signal(Name),
}

impl Sort {
    /// Of a cavity that says what it is for.
    pub fn of(cavity: &Cavity) -> Option<Self> {
        let what = || cavity.what.as_ref().map(|it| it.head().clone());
        Some(match cavity.role.value.as_str() {
            "empty" | "shield" => return None,
            "supply" => Self::Supply,
            "ground" => Self::Ground,
            "can_high" => Self::High(what()?),
            "can_low" => Self::Low(what()?),
            "lin" => Self::Lin(what()?),
            _ => Self::Signal(what()?),
        })
    }

    /// The bus that it belongs to.
    pub fn bus(&self) -> Option<&Name> {
        match self {
            Self::High(it) | Self::Low(it) | Self::Lin(it) => Some(it),
            _ => None,
        }
    }
}

/// A net that is to be made.
#[derive(Clone, Debug)]
pub(super) struct Wanted {
    pub sort: Sort,
    /// What it is for, in words.
    pub word: String,
    /// The cavity that asks for it.
    pub of: usize,
    /// One node of each conductor that is to become part of it. A supply or a ground with but one takes
    /// the best feed or ground point.
    pub pieces: Vec<usize>,
    /// Statements of the conversion that it takes the place of.
    pub replaces: Vec<Site>,
    /// Why these.
    pub why: Vec<String>,
}

impl Wanted {
    /// Whether a feed or ground point is still to be chosen.
    pub fn is_choice(&self) -> bool {
        self.pieces.len() == 1
    }
}

/// All that is needed.
#[derive(Default)]
pub(super) struct Needs {
    pub wanted: Vec<Wanted>,
    pub unsolved: Vec<Unsolved>,
    /// Statements of the conversion that are taken out, and why.
    pub dropped: Vec<(Site, String)>,
    /// How many cavities of changed parts have what they ask for.
    pub kept: usize,
    /// Conductors of which something is not settled: their loose ends are left.
    pub pending: BTreeSet<usize>,
}

/// Conductors that are to become one.
#[derive(Default)]
pub(super) struct Groups {
    of: BTreeMap<usize, usize>,
    pub all: Vec<Vec<usize>>,
}

impl Groups {
    /// The group of a conductor.
    pub fn group(&mut self, piece: usize) -> usize {
        *self.of.entry(piece).or_insert_with(|| {
            self.all.push(vec![piece]);
            self.all.len() - 1
        })
    }

    /// Makes two groups one.
    pub fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.group(a), self.group(b));
        if a != b {
            let moved = std::mem::take(&mut self.all[b]);
            for piece in &moved {
                self.of.insert(*piece, a);
            }
            self.all[a].extend(moved);
        }
    }
}

/// Looks at all cavities.
pub(super) struct Looking<'s, 'f, 'a> {
    pub standing: &'s mut Standing<'f, 'a>,
    /// Live cavities by the signal that they name.
    pub names: BTreeMap<Name, Vec<usize>>,
    /// Cavities that ask for something.
    pub asks: Vec<usize>,
    /// Conductors with a loose end.
    pub lost: BTreeSet<usize>,
    pub groups: Groups,
    /// Why two conductors are joined, by the node that asks.
    pub why: BTreeMap<usize, String>,
    pub needs: Needs,
}

/// The nets that the vehicle needs.
pub(super) fn needs(standing: &mut Standing<'_, '_>) -> Needs {
    let mut looking = Looking {
        standing,
        names: BTreeMap::new(),
        asks: Vec::new(),
        lost: BTreeSet::new(),
        groups: Groups::default(),
        why: BTreeMap::new(),
        needs: Needs::default(),
    };
    looking.find_asks();
    looking.meant();
    looking.paired_plugs();
    looking.buses();
    looking.signals();
    looking.gather();
    looking.needs
}

impl<'a> Looking<'_, '_, 'a> {
    /// A live cavity behind a node.
    pub fn live(&self, node: usize) -> Option<(Pin<'a>, &'a Cavity)> {
        let pin = self.standing.pin(node)?;
        let cavity = pin.now.filter(|_| !pin.gone && !self.standing.stuck.contains(&node))?;
        Some((pin, cavity))
    }

    /// The conductor of a node.
    pub fn piece(&self, node: usize) -> usize {
        self.standing.piece[node]
    }

    fn find_asks(&mut self) {
        let world = self.standing.frame.ctx.world;
        let mut cavities: Vec<(usize, bool, &Cavity)> = Vec::new();
        for (nth, place) in world.places.iter().enumerate() {
            let Some((_, part)) = self.standing.frame.after[nth] else { continue };
            for end in part.ends.iter().filter(|it| it.class == EndClass::Plug && !it.absent) {
                for cavity in end.cavities.iter().filter(|it| it.role.value != "empty") {
                    let at = EndAt { place: place.name.clone(), end: end.name.value.clone() };
                    let node = self.standing.node(&WireEnd::Cavity(at, cavity.number.value));
                    cavities.push((node, place.changed(), cavity));
                    if let Some(Sort::Signal(name)) = Sort::of(cavity) {
                        self.names.entry(name).or_default().push(node);
                    }
                }
            }
        }
        let loose = (0..self.standing.nodes.len()).filter(|it| self.standing.is_loose(*it));
        self.lost = loose.map(|it| self.standing.piece[it]).collect();
        let clashing = self.standing.clashing.iter().flat_map(|it| &it.joins).flatten();
        let clashing: BTreeSet<usize> = clashing.copied().collect();
        for (node, changed, cavity) in cavities {
            if changed && !self.standing.is_served(node) && !self.standing.is_dead(node) {
                self.needs.unsolved.extend(self.not_planned(node, cavity));
            }
            if self.standing.stuck.contains(&node)
                || is_high(cavity)
                || self.standing.is_dead(node)
                || gives(cavity)
                || Sort::of(cavity).is_none()
            {
                continue;
            }
            if self.standing.is_served(node) {
                let taker = cavity.out != Some(true);
                if self.lost.contains(&self.piece(node)) && taker && !self.is_fulfilled(node, cavity) {
                    self.asks.push(node);
                } else if changed {
                    self.needs.kept += 1;
                }
            } else if (changed || clashing.contains(&node)) && !self.standing.doubtful.contains(&node) {
                self.asks.push(node);
            } else if changed {
                self.needs.unsolved.push(Unsolved {
                    subject: self.standing.nodes[node].text(),
                    sentence: format!(
                        "Whether a wire ends in {} hangs on a loom of which nobody knows whether it is on this vehicle.",
                        self.standing.nodes[node].shown()
                    ),
                    sites: self.sites(node),
                    lack: Lack::Knowledge,
                });
            }
        }
    }

    /// What is left to the owner, or to somebody who may do it.
    fn not_planned(&self, node: usize, cavity: &Cavity) -> Option<Unsolved> {
        let at = self.standing.nodes[node].shown();
        let sentence = if is_high(cavity) {
            let volts = cavity.volts.map(|it| it.display()).unwrap_or_default();
            format!("{at} is for {volts}: high voltage is laid by a licensed person, and not planned here.")
        } else if cavity.role.value == "shield" {
            format!("{at} is a shield, and nobody has said at which of its ends it is grounded.")
        } else {
            return None;
        };
        Some(Unsolved {
            subject: self.standing.nodes[node].text(),
            sentence,
            sites: self.sites(node),
            lack: Lack::Knowledge,
        })
    }

    /// Where a cavity is stated, and the change that brought its part.
    pub fn sites(&self, node: usize) -> Vec<Site> {
        let Some(pin) = self.standing.pin(node) else { return Vec::new() };
        let stated = pin.end.zip(pin.now).map(|((id, _), cavity)| id.site(cavity.span));
        stated.into_iter().chain(pin.place.done.last().map(|it| it.site)).collect()
    }

    /// Whether a conductor still has what a cavity on it takes.
    pub fn is_fulfilled(&self, node: usize, cavity: &Cavity) -> bool {
        let Some(sort) = Sort::of(cavity) else { return true };
        self.standing.whole(node).iter().filter(|it| **it != node).any(|other| {
            match &self.standing.nodes[*other] {
                WireEnd::Feed(_) => return sort == Sort::Supply,
                WireEnd::Ground(_) => return sort == Sort::Ground,
                WireEnd::Splice(_) | WireEnd::Strange(_) => return false,
                WireEnd::Cavity(..) => {}
            }
            let Some(pin) = self.standing.pin(*other).filter(|it| !it.gone) else { return false };
            // What sits there says nothing of this cavity: it may well give.
            let Some(there) = pin.now else { return true };
            match &sort {
                Sort::Supply => gives(there),
                Sort::Signal(_) => {
                    matches!(Sort::of(there), Some(Sort::Signal(_))) && there.out != Some(false)
                }
                sort => Sort::of(there).as_ref() == Some(sort),
            }
        })
    }

    /// What the wires of the conversion that clash were meant to join.
    fn meant(&mut self) {
        let world = self.standing.frame.ctx.world;
        for it in &self.standing.clashing {
            if let Some([a, b]) = it.joins {
                self.groups.join(self.standing.piece[a], self.standing.piece[b]);
                self.why.entry(a).or_insert_with(|| it.why.clone());
                self.why.entry(b).or_insert_with(|| it.why.clone());
            } else {
                let wire = &world.wires[it.wire];
                self.needs.dropped.push((wire.id.site(wire.wire.span), it.why.clone()));
            }
        }
    }
}

/// Whether a cavity gives a supply.
pub(super) fn gives(cavity: &Cavity) -> bool {
    cavity.role.value == "supply"
        && (cavity.out == Some(true) || cavity.gives.is_some() && cavity.draw.is_none())
}

/// Whether a cavity is for more than 60 V of direct current: high voltage by UNECE Regulation 100. Nobody
/// says of a cavity that its current alternates.
fn is_high(cavity: &Cavity) -> bool {
    cavity.volts.and_then(|it| it.ends_in("V")).is_some_and(|[_, _, most]| most > 60.0)
}
