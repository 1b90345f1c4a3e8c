//! Terminals that a new part wants in another cavity of its plug.

use std::collections::{BTreeMap, BTreeSet};

use trunnion_check::checks::plug_cavity::differs;
use trunnion_model::decl::Cavity;
use trunnion_model::world::{EndAt, Laid, WireEnd};

use super::frame::Frame;

/// A cavity of a plug.
pub(super) type Seat = (EndAt, u32);

/// What becomes of the terminals of the loom in plugs whose meaning changes.
#[derive(Default)]
pub(super) struct Moves {
    /// From where to where.
    pub to: BTreeMap<Seat, Seat>,
    /// Terminals in a cavity that is for something else now, and nothing says where they go.
    pub stuck: Vec<Seat>,
}

/// Terminals of the loom, in plugs that stay, whose cavity was for one thing and is for another.
/// `without` are wires of the conversion that cannot stay: they take no cavity.
pub(super) fn moves(frame: &Frame<'_>, without: &BTreeSet<usize>) -> Moves {
    let world = frame.ctx.world;
    let mut seats: BTreeSet<Seat> = BTreeSet::new();
    let mut taken: BTreeSet<Seat> = BTreeSet::new();
    for (nth, wire) in world.wires.iter().enumerate() {
        for (here, was) in [(&wire.a, &wire.was.0), (&wire.b, &wire.was.1)] {
            let WireEnd::Cavity(at, n) = here else { continue };
            if !without.contains(&nth) {
                taken.insert((at.clone(), *n));
            }
            let by_loom = wire.laid != Laid::Conversion && here == was;
            let answers = world.answered_cavities.get(&(at.clone(), *n)).into_iter().flatten();
            let settled = answers.into_iter().any(|it| matches!(it.verb, "move" | "blank" | "bridge"));
            if by_loom && !settled {
                seats.insert((at.clone(), *n));
            }
        }
    }
    let mut wrong: Vec<Seat> = Vec::new();
    for seat in &seats {
        let Some(pin) = frame.pin(&WireEnd::Cavity(seat.0.clone(), seat.1)) else { continue };
        let Some(plug) = pin.end.filter(|_| pin.place.changed()) else { continue };
        let (Some(was), false) = (pin.was, plug.1.cavities.is_empty()) else { continue };
        let suits = |it: &Cavity| it.role.value != "empty" && !differs(was, it);
        if was.role.value != "empty" && !pin.now.is_some_and(suits) {
            wrong.push(seat.clone());
        }
    }
    for seat in &wrong {
        taken.remove(seat);
    }
    // What sits wrong leaves its cavity, unless it has nowhere to go: then it is in the way of others.
    loop {
        let (found, stays) = settle(frame, &wrong, &taken);
        let blocked = stays.iter().any(|it| found.to.values().any(|to| to == it));
        if !blocked {
            return found;
        }
        taken.extend(stays);
    }
}

/// Where each terminal goes, and those that stay where they are.
fn settle(frame: &Frame<'_>, wrong: &[Seat], taken: &BTreeSet<Seat>) -> (Moves, Vec<Seat>) {
    let stays = |it: &&Seat| taken.contains(*it);
    let mut taken = taken.clone();
    let blocked: BTreeSet<Seat> = wrong.iter().filter(stays).cloned().collect();
    let (mut moves, mut left) = (Moves::default(), Vec::new());
    for seat in wrong {
        let Some(pin) = frame.pin(&WireEnd::Cavity(seat.0.clone(), seat.1)) else { continue };
        let (Some(plug), Some(was)) = (pin.end, pin.was) else { continue };
        let what = |it: &Cavity| it.what.as_ref().map(|it| it.text());
        let suits = |it: &&Cavity| {
            it.role.value != "empty"
                && !differs(was, it)
                && what(it) == what(was)
                && (it.out == was.out || it.out.is_none() || was.out.is_none())
                && !taken.contains(&(seat.0.clone(), it.number.value))
        };
        match plug.1.cavities.iter().find(suits).filter(|_| !blocked.contains(seat)) {
            Some(it) => {
                let to = (seat.0.clone(), it.number.value);
                taken.insert(to.clone());
                moves.to.insert(seat.clone(), to);
            }
            None if pin.now.is_some_and(|it| it.role.value != "empty") => {
                moves.stuck.push(seat.clone());
                left.push(seat.clone());
            }
            // Its cavity is gone: a loose end like any other.
            None => {}
        }
    }
    (moves, left)
}
