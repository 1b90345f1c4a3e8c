//! What ends in each cavity after the changes, and what belongs to one net.

use std::collections::{BTreeMap, BTreeSet};

use trunnion_model::decl::Verb;
use trunnion_model::world::{EndAt, Laid, WireAt, WireEnd, World};

/// A wire where it ends in a cavity.
pub struct Seat<'a> {
    /// The wire.
    pub wire: &'a WireAt,
    /// Its other end.
    pub other: &'a WireEnd,
    /// Whether it is the wire's first end that sits here.
    pub is_a: bool,
    /// Whether the wire is there for certain: false where its loom may not be fitted.
    pub sure: bool,
    /// Whether a terminal was moved here.
    pub moved: bool,
}

impl Seat<'_> {
    /// Whether a change brought it here.
    pub fn is_new(&self) -> bool {
        self.moved || self.wire.laid == Laid::Conversion
    }
}

/// The wires of each plug by cavity.
pub type Wired<'a> = BTreeMap<EndAt, BTreeMap<u32, Vec<Seat<'a>>>>;

/// What ends in each cavity after the changes. A cavity that is blanked or bridged holds no wire;
/// a splice takes a cavity only where no wire is there to join into.
pub fn wired(world: &World) -> Wired<'_> {
    let splices: BTreeSet<_> =
        world.changes.iter().filter(|it| matches!(it.verb, Verb::Splice { .. })).map(|it| it.span).collect();
    let is_splice = |it: &WireAt| it.laid == Laid::Conversion && splices.contains(&it.wire.span);
    let mut wired = Wired::new();
    let (joined, run): (Vec<&WireAt>, Vec<&WireAt>) = world.wires.iter().partition(|it| is_splice(it));
    for (wire, splice) in run.into_iter().map(|it| (it, false)).chain(joined.into_iter().map(|it| (it, true)))
    {
        let sure = !world.doubtful_looms.contains(&wire.id);
        let ends = [(&wire.a, &wire.b, &wire.was.0, true), (&wire.b, &wire.a, &wire.was.1, false)];
        for (here, other, was, is_a) in ends {
            let WireEnd::Cavity(end, n) = here else { continue };
            let answers = world.answered_cavities.get(&(end.clone(), *n)).into_iter().flatten();
            let dead = answers.into_iter().any(|it| matches!(it.verb, "blank" | "bridge"));
            let seats = wired.entry(end.clone()).or_default().entry(*n).or_default();
            if !dead && (!splice || seats.is_empty()) {
                seats.push(Seat { wire, other, is_a, sure, moved: was != here });
            }
        }
    }
    for plug in wired.values_mut() {
        plug.retain(|_, it| !it.is_empty());
    }
    wired
}

/// Whether two wire ends are joined by some way that does not lead through a given cavity. All
/// ground points are one.
pub fn same_net(world: &World, wired: &Wired<'_>, without: &WireEnd, a: &WireEnd, b: &WireEnd) -> bool {
    let same =
        |a: &WireEnd, b: &WireEnd| a == b || matches!((a, b), (WireEnd::Ground(_), WireEnd::Ground(_)));
    let mut reached: Vec<&WireEnd> = vec![a];
    let mut next = 0;
    while let Some(at) = reached.get(next).copied() {
        next += 1;
        if same(at, b) {
            return true;
        }
        let here: Vec<&WireEnd> = match at {
            WireEnd::Cavity(end, n) => {
                let seats = wired.get(end).and_then(|it| it.get(n));
                seats.into_iter().flatten().map(|it| it.other).collect()
            }
            _ => {
                let touching = world.wires.iter().filter(|it| it.a == *at || it.b == *at);
                touching.map(|it| if it.a == *at { &it.b } else { &it.a }).collect()
            }
        };
        for it in here {
            if it != without && !reached.contains(&it) {
                reached.push(it);
            }
        }
    }
    false
}
