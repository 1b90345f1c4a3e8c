//! The wiring that is there against the wiring that is needed: keep, move a terminal, splice, run new, cap
//! off, with the least effort by the figures of [`effort`].
//!
//! What is right stays, also a wire of the conversion that somebody wrote by hand. A cavity of a part that
//! is changed, or whose wire was loosened, asks for what its role says. Conductors that are there already
//! and cavities that ask become nets; the nets are routed over the zones at once, within the bores; each
//! piece of new wire gets its size, colour and terminals. What several could give, or nobody, is not
//! guessed: it is told as unsolved.

mod ascent;
mod branches;
mod buses;
mod caps;
mod colour;
mod cover;
pub mod effort;
mod existing;
mod field;
pub mod fill;
mod frame;
mod gather;
mod ground;
mod jam;
mod links;
mod moves;
mod nets;
pub mod network;
mod pairs;
mod plugs;
mod repair;
mod route;
mod signals;
mod size;
mod supplies;
#[cfg(test)]
mod tests;
mod tolls;
mod tree;
mod ways;
mod wires;

use std::collections::{BTreeMap, BTreeSet};

use trunnion_check::ctx::Ctx;
use trunnion_check::loads::way::Ways;
use trunnion_model::db::{Db, Site, Workspace};
use trunnion_model::world::{WireEnd, World};

pub use effort::Effort;

use colour::Colours;
use existing::Standing;
use frame::Frame;
use moves::{Moves, moves};
use nets::needs;
use route::Task;
use ways::Zones;

/// What is done to a wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// It stays as it is; such are counted, not listed.
    Keep,
    /// Its terminal goes to another cavity.
    Move,
    /// A wire is joined into one that is there.
    Splice,
    /// A new wire is run.
    Run,
    /// A loose end is capped.
    Cap,
}

/// One change of the wiring, as a statement of a conversion.
#[derive(Clone, Debug, PartialEq)]
pub struct WireChange {
    /// The statement.
    pub text: String,
    /// Statements of the conversion that it takes the place of; none: it is added.
    pub replaces: Vec<Site>,
    /// What it does.
    pub kind: Kind,
    /// Why, in one clause, for `because`.
    pub why: String,
    /// The work.
    pub effort: Effort,
    /// What it is for, in words: "drive bus, high", "supply of selector".
    pub net: String,
    /// Terminals, seals and the like to buy, by name, and how many.
    pub buy: Vec<(String, u32)>,
}

/// What could not be decided or laid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unsolved {
    /// The cavity, bus or run.
    pub subject: String,
    /// What is not known or does not go.
    pub sentence: String,
    /// The statements it rests on.
    pub sites: Vec<Site>,
    /// What it lacks.
    pub lack: Lack,
}

/// What something that is not in the plan lacks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lack {
    /// Nobody has said what would settle it.
    Knowledge,
    /// Bores: it and others cannot all be laid, whatever way they take.
    Room,
    /// Runs: no way leads there.
    Way,
}

/// The plan for the loom.
#[derive(Clone, Debug, PartialEq)]
pub struct LoomPlan {
    /// What is to be done, by place, plug and cavity; caps last.
    pub changes: Vec<WireChange>,
    /// Statements of the conversion that are taken out without another in their place, and why.
    pub dropped: Vec<(Site, String)>,
    /// Wires of the conversion, and cavities of changed parts, that stay as they are.
    pub kept: usize,
    /// The work of all changes, in s.
    pub effort: u64,
    /// No plan for the same nets takes less, in s.
    pub bound: u64,
    /// Whether it is proven that none takes less.
    pub exact: bool,
    /// What is not in the plan, or open beside it.
    pub unsolved: Vec<Unsolved>,
}

/// Plans the wiring of a conversion. Nothing that is open is guessed. `go_on` is asked now and then; once it
/// says no, what is not laid is told as unsolved.
pub fn loom(db: &dyn Db, workspace: Workspace, world: &World, go_on: &dyn Fn() -> bool) -> LoomPlan {
    let frame = Frame::of(db, workspace, world);
    // Which terminals move depends on which wires stay, and the other way about: a few rounds settle it.
    let mut without: BTreeSet<usize> = BTreeSet::new();
    let (moves, mut standing) = loop {
        let moves = moves(&frame, &without);
        let standing = Standing::of(&frame, &moves);
        let clashing = standing.clashing.iter().map(|it| it.wire).filter(|it| !without.contains(it));
        let more: Vec<usize> = clashing.collect();
        if more.is_empty() {
            break (moves, standing);
        }
        without.extend(more);
    };
    for ground in &world.grounds {
        standing.node(&WireEnd::Ground(ground.clone()));
    }
    let mut needs = needs(&mut standing);
    let rest = rest(world, &standing, &moves);
    let rest_ctx = Ctx { db, workspace, world: &rest };
    let ways = Ways::of(&rest_ctx);
    let mut zones = Zones::of(&standing, &ways);
    let chosen = supplies::choose(&mut standing, &zones, &needs.wanted, &rest);
    let mut without: Vec<usize> = Vec::new();
    for (net, told) in chosen.unsolved {
        if !chosen.feeds.contains_key(&net) {
            without.push(net);
        }
        needs.unsolved.push(told);
    }
    needs.unsolved.extend(chosen.overloaded);
    let pairs = pairs::pairs(&standing, &needs.wanted);
    let partners = pairs::partners(&standing);
    let feeds: BTreeMap<usize, Vec<ways::Spot>> =
        chosen.feeds.iter().map(|it| (*it.0, it.1.0.clone())).collect();
    for (net, (_, why)) in &chosen.feeds {
        needs.wanted[*net].why.push(why.clone());
    }
    // Sizes decide what a bore takes, and the way of a wire its size: a few rounds settle it.
    let usual = needs.wanted.iter().enumerate().map(|(net, it)| (net, size::usual(&it.sort)));
    let mut by_net: BTreeMap<usize, f64> = usual.collect();
    let mut rounds = 0;
    let (laid, sizes) = loop {
        rounds += 1;
        let task = Task {
            standing: &standing,
            zones: &mut zones,
            wanted: &needs.wanted,
            pairs: &pairs,
            partners: &partners,
            feeds: &feeds,
            without: without.clone(),
            sizes: &by_net,
            rest: &rest,
            ways: &ways,
            go_on,
        };
        let laid = task.lay();
        let sizes = size::sizes(&standing, &rest, &zones, &needs.wanted, &laid.links);
        let mut next: BTreeMap<usize, f64> = BTreeMap::new();
        for (link, size) in laid.links.iter().zip(&sizes) {
            let net = next.entry(link.net).or_insert(size.mm2);
            *net = net.max(size.mm2);
        }
        let grown = next.iter().any(|(net, mm2)| *mm2 > by_net[net]);
        let thinner = next.iter().any(|(net, mm2)| *mm2 < by_net[net]);
        // Where no bore stands in the way, a wire may well be thinner than was thought.
        let settled = !grown && (!thinner || !laid.squeezed || rounds > 3);
        if settled || !go_on() {
            break (laid, sizes);
        }
        for (net, mm2) in next {
            // From the third round on sizes only grow, so that it ends.
            let known = by_net.entry(net).or_insert(mm2);
            *known = if rounds > 2 { known.max(mm2) } else { mm2 };
        }
    };
    let mut colours = Colours::of(&standing);
    let mut replaced: BTreeSet<usize> = BTreeSet::new();
    let mut used: BTreeSet<usize> = BTreeSet::new();
    let mut last: Option<String> = None;
    let mut made: Vec<(usize, WireChange)> = Vec::new();
    for (link, size) in laid.links.iter().zip(&sizes) {
        let wanted = &needs.wanted[link.net];
        let colour = colours.choose(link, wanted, last.as_deref().filter(|_| link.twin));
        let mut change = wires::change(&standing, &zones, wanted, link, size, &colour);
        if replaced.insert(link.net) {
            change.replaces.clone_from(&wanted.replaces);
        }
        used.extend([link.a.node, link.b.node]);
        last = Some(colour);
        made.push((link.net, change));
    }
    made.sort_by_key(|it| it.0);
    for (net, told) in laid.unsolved {
        if net != usize::MAX && !replaced.contains(&net) {
            let pieces = needs.wanted[net].pieces.iter().map(|it| standing.piece[*it]);
            needs.pending.extend(pieces);
        }
        needs.unsolved.push(told);
    }
    for net in &without {
        needs.pending.extend(needs.wanted[*net].pieces.iter().map(|it| standing.piece[*it]));
    }
    let mut changes: Vec<WireChange> = moves.to.iter().map(moved).collect();
    changes.extend(made.into_iter().map(|it| it.1));
    let mut out: Vec<Site> = changes.iter().flat_map(|it| it.replaces.iter().copied()).collect();
    out.extend(needs.dropped.iter().map(|it| it.0));
    let (capped, crimped) = caps::caps(&standing, &used, &needs.pending, &out);
    let fixed: u64 = capped.iter().chain(&changes[..moves.to.len()]).map(|it| it.effort.seconds).sum();
    changes.extend(capped);
    needs.unsolved.extend(crimped);
    needs.unsolved.extend(stuck(&standing, &moves));
    needs.unsolved.extend(buses::ended(&rest_ctx, &standing, &needs.wanted));
    let effort: u64 = changes.iter().map(|it| it.effort.seconds).sum();
    let bound = (laid.bound + fixed).saturating_sub(chosen.over).min(effort);
    let sure = laid.exact && chosen.exact && (feeds.is_empty() || !laid.squeezed);
    let exact = sure && laid.effort + fixed == effort;
    LoomPlan {
        kept: needs.kept + standing.own,
        changes,
        dropped: needs.dropped,
        effort,
        bound: if exact { effort } else { bound },
        exact,
        unsolved: needs.unsolved,
    }
}

/// The world without the wires of the conversion that clash, and with terminals moved.
fn rest(world: &World, standing: &Standing<'_, '_>, moves: &Moves) -> World {
    let clashing: BTreeSet<usize> = standing.clashing.iter().map(|it| it.wire).collect();
    let mut rest = world.clone();
    rest.wires = world
        .wires
        .iter()
        .enumerate()
        .filter(|(nth, _)| !clashing.contains(nth))
        .map(|(_, it)| it.clone())
        .collect();
    for wire in &mut rest.wires {
        for end in [&mut wire.a, &mut wire.b] {
            if let WireEnd::Cavity(at, n) = end
                && let Some((at, n)) = moves.to.get(&(at.clone(), *n))
            {
                *end = WireEnd::Cavity(at.clone(), *n);
            }
        }
    }
    rest
}

fn moved((from, to): (&moves::Seat, &moves::Seat)) -> WireChange {
    let text = |it: &moves::Seat| format!("{}[{}]", it.0.text(), it.1);
    WireChange {
        text: format!("move {} to {}", text(from), text(to)),
        replaces: Vec::new(),
        kind: Kind::Move,
        why: format!("the new part has in cavity {} what the old one had in {}", to.1, from.1),
        effort: Effort::moved(),
        net: format!("plug {} of {}", from.0.end, from.0.place.replace('_', " ")),
        buy: Vec::new(),
    }
}

fn stuck(standing: &Standing<'_, '_>, moves: &Moves) -> Vec<Unsolved> {
    let told = |(at, n): &moves::Seat| {
        let end = WireEnd::Cavity(at.clone(), *n);
        let pin = standing.frame.pin(&end)?;
        let stated = pin.end.zip(pin.now).map(|((id, _), it)| id.site(it.span));
        Some(Unsolved {
            subject: end.text(),
            sentence: format!(
                "The wire in {} was for something else, and {} has no cavity for that: nobody has said where it goes.",
                end.shown(),
                standing.frame.shown(&pin)
            ),
            sites: stated.into_iter().chain(pin.place.done.last().map(|it| it.site)).collect(),
            lack: Lack::Knowledge,
        })
    };
    moves.stuck.iter().filter_map(told).collect()
}
