//! Kinds with all they take over from the kinds they build on.

use smol_str::SmolStr;
use trunnion_syntax::tree::Name;

use crate::built::{Holding, part, scope_of};
use crate::db::{Db, Item, Workspace};
use crate::decl::{Ask, Asked, Body, Duty, EndClass, Kind, StateDuty};
use crate::name::{Id, Space};

/// A kind with everything of those it builds on.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct WholeKind {
    /// The kind and those it builds on, innermost first.
    pub line: Vec<Id>,
    /// Its questions, each with the kind that asks it.
    pub asks: Vec<(Id, Ask)>,
    /// What it also does for others.
    pub does: Vec<(Id, Duty)>,
    /// Signals that must come in some states and positions only.
    pub duties: Vec<(Id, StateDuty)>,
    /// Where what a part of it gives comes from.
    pub supplies: Option<Name>,
    /// Names of kinds it only works with as a set.
    pub comes_with: Vec<(Id, crate::fact::Ref)>,
    /// Ends that need not be joined.
    pub stays: Vec<Name>,
    /// Areas of safety.
    pub safety: Vec<SmolStr>,
    /// The usual cautions.
    pub cautions: Vec<SmolStr>,
}

impl WholeKind {
    /// Whether it is that kind or builds on it.
    pub fn is(&self, db: &dyn Db, kind: &str) -> bool {
        self.line.iter().any(|it| it.name(db) == kind)
    }

    /// The question of that name.
    pub fn ask(&self, name: &str) -> Option<&(Id, Ask)> {
        self.asks.iter().find(|(_, it)| it.asked.name().value == name)
    }
}

fn kind(db: &dyn Db, id: Id) -> Option<&Kind> {
    match &id.decl(db)?.body {
        Body::Kind(it) => Some(it),
        _ => None,
    }
}

#[salsa::tracked(returns(ref))]
fn whole(db: &dyn Db, workspace: Workspace, item: Item, nth: u32) -> WholeKind {
    let mut into = WholeKind::default();
    let mut next = Some(Id { item, nth });
    while let Some(id) = next.filter(|it| !into.line.contains(it)) {
        into.line.push(id);
        let Some(kind) = kind(db, id) else { break };
        for ask in &kind.asks {
            let name = &ask.asked.name().value;
            if !into.asks.iter().any(|(_, it)| it.asked.name().value == *name) {
                into.asks.push((id, ask.clone()));
            }
        }
        for duty in &kind.does {
            if !into.does.iter().any(|(_, it)| it.name.value == duty.name.value) {
                into.does.push((id, duty.clone()));
            }
        }
        for duty in &kind.duties {
            let name = &duty.signal.value;
            if !into.duties.iter().any(|(by, it)| *by != id && it.signal.value == *name) {
                into.duties.push((id, duty.clone()));
            }
        }
        into.supplies = into.supplies.or_else(|| kind.supplies.as_ref().map(|it| it.value.clone()));
        into.comes_with.extend(kind.comes_with.iter().map(|it| (id, it.clone())));
        into.stays.extend(kind.stays.iter().map(|it| it.value.clone()));
        into.safety.extend(kind.safety.iter().map(|it| it.value.clone()));
        into.cautions.extend(kind.cautions.iter().map(|it| it.value.clone()));
        let base = kind.base.as_ref();
        next = base.and_then(|it| scope_of(db, workspace, id).find(Space::Kind, it.head()));
    }
    into
}

/// A kind with everything of those it builds on.
pub fn whole_kind(db: &dyn Db, workspace: Workspace, id: Id) -> &WholeKind {
    whole(db, workspace, id.item, id.nth)
}

/// The kind of a part: its own, or none where it names none.
pub fn kind_of_part(db: &dyn Db, workspace: Workspace, id: Id) -> Option<Id> {
    let named = part(db, id)?.kind.as_ref()?;
    scope_of(db, workspace, id).find(Space::Kind, named.head())
}

/// The kind of what sits in a place: the part's own, else the place's.
pub fn kind_of(db: &dyn Db, workspace: Workspace, holding: &Holding, place: Option<Id>) -> Option<Id> {
    match holding {
        Holding::Hollow(kind) => Some(*kind),
        Holding::Part(id) => kind_of_part(db, workspace, *id).or(place),
        Holding::Several(all) | Holding::Choice(all) => {
            let mut kinds = all.iter().map(|it| kind_of_part(db, workspace, *it));
            let first = kinds.next().flatten();
            if first.is_some() && kinds.all(|it| it == first) { first } else { place }
        }
        Holding::Unknown => place,
        Holding::Nothing => None,
    }
}

/// An end of what sits in a place, stated by the part or only asked for by its kind.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct EndOf {
    /// The medium.
    pub class: EndClass,
    /// Its name.
    pub name: Name,
    /// Its display name.
    pub shown: String,
    /// The part that states it, and which of the part's ends it is.
    pub stated: Option<(Id, usize)>,
    /// The kind that asks for it.
    pub asked: Option<Id>,
    /// The part says that it has none.
    pub absent: bool,
}

/// All ends of what sits in a place.
pub fn ends_of(db: &dyn Db, workspace: Workspace, holding: &Holding, place: Option<Id>) -> Vec<EndOf> {
    let mut ends = Vec::new();
    if let Some(id) = holding.part() {
        for (nth, end) in part(db, id).into_iter().flat_map(|it| it.ends.iter().enumerate()) {
            ends.push(EndOf {
                class: end.class,
                name: end.name.value.clone(),
                shown: shown(end.title.as_ref(), &end.name.value),
                stated: Some((id, nth)),
                asked: None,
                absent: end.absent,
            });
        }
    }
    let Some(kind) = kind_of(db, workspace, holding, place) else { return ends };
    for (by, ask) in &whole_kind(db, workspace, kind).asks {
        let Asked::End(class, name) = &ask.asked else { continue };
        match ends.iter_mut().find(|it| it.name == name.value) {
            Some(end) => {
                end.asked = Some(*by);
                if end.shown == end.name.replace('_', " ") {
                    end.shown = shown(ask.title.as_ref(), &name.value);
                }
            }
            None => ends.push(EndOf {
                class: *class,
                name: name.value.clone(),
                shown: shown(ask.title.as_ref(), &name.value),
                stated: None,
                asked: Some(*by),
                absent: false,
            }),
        }
    }
    ends
}

fn shown(title: Option<&SmolStr>, name: &str) -> String {
    title.map_or_else(|| name.replace('_', " "), ToString::to_string)
}
