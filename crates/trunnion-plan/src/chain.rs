//! The chain: all places that change with what is moved, and why.

use std::collections::VecDeque;

use trunnion_model::built::Holding;
use trunnion_model::db::{Db, Workspace};
use trunnion_model::kinds::{kind_of, whole_kind};
use trunnion_model::world::{EndAt, Place, World};

/// What happens to a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fate {
    /// The specification changes it.
    Changes,
    /// It is called for now, and nobody has said where it comes from.
    Comes,
    /// It is no longer called for, and still there.
    Goes,
    /// Another kind of thing is called for in it.
    Becomes,
    /// It is joined to something that changes: does it still fit?
    Meets,
    /// It listens to, or feeds, something that changes.
    Listens,
}

impl Fate {
    /// In words.
    pub fn phrase(self) -> &'static str {
        match self {
            Self::Changes => "changes",
            Self::Comes => "comes with it",
            Self::Goes => "goes with it",
            Self::Becomes => "becomes another",
            Self::Meets => "meets it: does it fit?",
            Self::Listens => "listens to it: what does it do now?",
        }
    }
}

/// One place of the chain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Link {
    /// The place.
    pub place: String,
    /// As it is shown.
    pub shown: String,
    /// What happens to it.
    pub fate: Fate,
    /// Why it is in the chain.
    pub why: String,
    /// What sits there now, and after.
    pub before: String,
    /// What sits there after the changes.
    pub after: String,
    /// Whether nothing is known of what sits there but its kind: drawn hollow.
    pub hollow: bool,
    /// How many joints away from what the specification changes.
    pub far: u32,
}

/// The chain of a world, nearest first.
pub fn chain(db: &dyn Db, workspace: Workspace, world: &World) -> Vec<Link> {
    let mut links: Vec<Link> = Vec::new();
    let mut queue: VecDeque<(&Place, u32)> = VecDeque::new();
    let drawn = Drawn { db, workspace };
    for place in &world.places {
        let fate = if place.changed() {
            Fate::Changes
        } else if place.called_after && !place.called_before {
            Fate::Comes
        } else if place.called_before && !place.called_after && place.before.is_filled() {
            Fate::Goes
        } else if place.becomes.is_some() {
            Fate::Becomes
        } else {
            continue;
        };
        let why = match fate {
            Fate::Changes => place.done.iter().map(|it| it.verb).collect::<Vec<_>>().join(", "),
            Fate::Comes => "called for once the change is made".to_owned(),
            Fate::Becomes => match place.becomes {
                Some(kind) => format!("called for once the change is made: {}", kind.shown(db)),
                None => String::new(),
            },
            _ => "no longer called for once the change is made".to_owned(),
        };
        let far = u32::from(fate != Fate::Changes);
        links.push(drawn.link(place, fate, why, far));
        queue.push_back((place, far));
    }
    // What is joined to any of these meets something new; it is one step further.
    while let Some((place, far)) = queue.pop_front() {
        for (own, other, how) in neighbours(world, &place.name) {
            let Some(next) = world.place(&other.place) else { continue };
            let known = links.iter().any(|it| it.place == next.name);
            if known || !next.before.is_filled() && !next.after.is_filled() {
                continue;
            }
            let why = format!("{how} the {} at {}", place.shown(), spaced(&own.end));
            links.push(drawn.link(next, Fate::Meets, why, far + 1));
            // What turns with it goes on to the road: a shaft that changes moves what it drives.
            if turns(db, workspace, next) {
                queue.push_back((next, far + 1));
            }
        }
    }
    for (listener, place, what) in listeners(db, workspace, world) {
        let Some(next) = world.place(&listener) else { continue };
        if links.iter().any(|it| it.place == next.name) || !next.after.is_filled() {
            continue;
        }
        let why = format!("relies on what the {} also does: {what}", spaced(&place));
        links.push(drawn.link(next, Fate::Listens, why, 2));
    }
    links.sort_by_key(|it| (it.far, it.fate));
    links
}

/// Whether what sits in a place turns and drives what follows: a shaft.
fn turns(db: &dyn Db, workspace: Workspace, place: &Place) -> bool {
    let kind = kind_of(db, workspace, &place.after, place.kind);
    kind.is_some_and(|it| {
        let whole = whole_kind(db, workspace, it);
        ["propshaft", "halfshaft", "transfer_case"].iter().any(|it| whole.is(db, it))
    })
}

/// The ends that a place shares with others: own end, other end, how they meet.
fn neighbours<'w>(world: &'w World, place: &str) -> Vec<(&'w EndAt, &'w EndAt, &'static str)> {
    let mut all = Vec::new();
    let joints = world.joints.iter().map(|it| (it, "meets"));
    let lines = world.lines.iter().map(|it| (&it.joint, "shares a line with"));
    for (joint, how) in joints.chain(lines).filter(|(it, _)| it.before || it.after) {
        if joint.a.place == place {
            all.push((&joint.a, &joint.b, how));
        } else if joint.b.place == place {
            all.push((&joint.b, &joint.a, how));
        }
    }
    all
}

/// Who relies on what a changed place also does: listener, place, in words.
fn listeners(db: &dyn Db, workspace: Workspace, world: &World) -> Vec<(String, String, String)> {
    let mut all = Vec::new();
    for place in &world.places {
        let leaves = place.changed() || place.called_before && !place.called_after;
        let Some(kind) = kind_of(db, workspace, &place.before, place.kind).filter(|_| leaves) else {
            continue;
        };
        for (_, duty) in &whole_kind(db, workspace, kind).does {
            for listener in &duty.listeners {
                all.push((listener.head().to_string(), place.name.to_string(), duty.text.to_string()));
            }
        }
    }
    all
}

struct Drawn<'a> {
    db: &'a dyn Db,
    workspace: Workspace,
}

impl Drawn<'_> {
    fn link(&self, place: &Place, fate: Fate, why: String, far: u32) -> Link {
        let hollow = place.after.parts().is_empty() && place.before.parts().is_empty();
        Link {
            place: place.name.to_string(),
            shown: place.shown(),
            fate,
            why,
            before: self.shown(&place.before, place),
            after: match place.becomes {
                Some(kind) if !place.changed() => format!("{}, from somewhere", kind.shown(self.db)),
                _ => self.shown(&place.after, place),
            },
            hollow,
            far,
        }
    }

    fn shown(&self, holding: &Holding, place: &Place) -> String {
        match holding {
            Holding::Nothing => "nothing".to_owned(),
            Holding::Part(id) => id.shown(self.db),
            Holding::Several(all) | Holding::Choice(all) => {
                all.iter().map(|it| it.shown(self.db)).collect::<Vec<_>>().join(" or ")
            }
            Holding::Hollow(kind) => kind.shown(self.db),
            Holding::Unknown => match kind_of(self.db, self.workspace, holding, place.kind) {
                Some(kind) => format!("unknown {}", kind.shown(self.db)),
                None => "unknown".to_owned(),
            },
        }
    }
}

fn spaced(name: &str) -> String {
    name.replace('_', " ")
}
