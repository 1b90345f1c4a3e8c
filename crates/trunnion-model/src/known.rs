//! What is known about a place of a vehicle, before or after the changes.

use trunnion_syntax::tree::Name;

use crate::built::{Holding, family, found, part, scope_of, vehicle};
use crate::db::{Db, Workspace};
use crate::decl::{Body, Entry, Event, FindOut, Log, MeasureDecl};
use crate::fact::{Claim, Fact, Found, Known, Standing, Value, ValueKind};
use crate::kinds::whole_kind;
use crate::name::{Id, Scope, Space};
use crate::world::{Place, When, World, conversion};

/// The declaration of a measure, seen from a declaration.
pub fn measure<'db>(db: &'db dyn Db, workspace: Workspace, from: Id, name: &str) -> Option<&'db MeasureDecl> {
    let scope = scope_of(db, workspace, from);
    measure_in(db, scope, name)
}

fn measure_in<'db>(db: &'db dyn Db, scope: &Scope, name: &str) -> Option<&'db MeasureDecl> {
    match &scope.find(Space::Measure, name)?.decl(db)?.body {
        Body::Measure(it) => Some(it),
        _ => None,
    }
}

/// How a measure of what sits in a place is found out: as its kind says, else as the
/// measure itself says.
pub fn find_out(db: &dyn Db, workspace: Workspace, world: &World, place: &Place, name: &str) -> FindOut {
    let asked = world
        .kind_after(db, workspace, place)
        .and_then(|kind| whole_kind(db, workspace, kind).ask(name))
        .map(|(_, ask)| ask.find_out.clone())
        .unwrap_or_default();
    match measure(db, workspace, world.root(), name) {
        Some(declared) => asked.or(&declared.find_out),
        None => asked,
    }
}

/// What is known of a measure of what sits in a place.
pub fn fact(
    db: &dyn Db,
    workspace: Workspace,
    world: &World,
    place: &Place,
    name: &str,
    when: When,
) -> Known {
    Known::settle(claims(db, workspace, world, place, name, when))
}

/// Every claim about a measure of what sits in a place.
pub fn claims(
    db: &dyn Db,
    workspace: Workspace,
    world: &World,
    place: &Place,
    name: &str,
    when: When,
) -> Vec<Found> {
    let of_place = measure(db, workspace, world.root(), name).is_some_and(|it| it.of_place);
    let replaced = when == When::After && place.changed() && !of_place;
    let mut all = Vec::new();
    let recipient = world.recipient.vehicle;
    let about = |fact: &Fact| matches(fact, &place.name, name);
    let since = if replaced { work_done(db, workspace, world, &place.name) } else { None };
    if !replaced || since.is_some() {
        all.extend(logged(db, workspace, world, recipient, &about, since));
    }
    if !replaced {
        all.extend(stated(db, workspace, recipient, &about));
        for id in &world.recipient.families {
            let figures = family(db, *id).map(|it| it.figures.as_slice()).unwrap_or_default();
            all.extend(figures.iter().filter(|it| about(it)).map(|it| as_found(db, workspace, *id, it)));
        }
    } else if let Some(donor) = place.donor() {
        all.extend(logged(db, workspace, world, donor, &about, None));
        all.extend(stated(db, workspace, donor, &about));
    }
    if let (When::After, Some(id)) = (when, world.conversion)
        && let Some(decl) = conversion(db, id)
    {
        let own = decl.figures.iter();
        let way = decl.ways.iter().filter(|it| Some(&it.name.value) == world.way.as_ref());
        let figures = own.chain(way.flat_map(|it| &it.body.figures));
        all.extend(figures.filter(|it| about(it)).map(|it| as_found(db, workspace, id, it)));
    }
    let holding = match when {
        When::Before => &place.before,
        When::After => &place.after,
    };
    all.extend(of_holding(db, workspace, holding, name));
    all
}

/// What the part that sits there states; of several possible ones, what all of them state.
fn of_holding(db: &dyn Db, workspace: Workspace, holding: &Holding, name: &str) -> Vec<Found> {
    let each: Vec<Vec<Found>> = holding.parts().iter().map(|it| of_part(db, workspace, *it, name)).collect();
    match each.as_slice() {
        [] => Vec::new(),
        [only] => only.clone(),
        _ if each.iter().any(Vec::is_empty) => Vec::new(),
        _ => {
            let values = |it: &Vec<Found>| it.first().map(Found::display);
            let first = values(&each[0]);
            if each.iter().all(|it| values(it) == first) { each[0].clone() } else { Vec::new() }
        }
    }
}

/// What a part states about itself.
pub fn of_part(db: &dyn Db, workspace: Workspace, id: Id, name: &str) -> Vec<Found> {
    let facts = part(db, id).map(|it| it.facts.as_slice()).unwrap_or_default();
    facts
        .iter()
        .filter(|it| it.target.is_empty() && it.name.value == name)
        .map(|it| as_found(db, workspace, id, it))
        .collect()
}

/// What a part states about one of the things it names: `torque_cut.data_bytes`.
pub fn of_part_about(db: &dyn Db, workspace: Workspace, id: Id, target: &str, name: &str) -> Known {
    let facts = part(db, id).map(|it| it.facts.as_slice()).unwrap_or_default();
    let about = facts.iter().filter(|it| matches(it, target, name));
    Known::settle(about.map(|it| as_found(db, workspace, id, it)).collect())
}

/// What is known of a property of the whole vehicle: `vehicle.tows`.
pub fn of_vehicle(db: &dyn Db, workspace: Workspace, world: &World, name: &str) -> Known {
    let id = world.recipient.vehicle;
    let about = |fact: &Fact| fact.target.is_empty() && fact.name.value == name;
    let mut all = logged(db, workspace, world, id, &about, None);
    let facts = vehicle(db, id).map(|it| it.facts.as_slice()).unwrap_or_default();
    all.extend(facts.iter().filter(|it| about(it)).map(|it| as_found(db, workspace, id, it)));
    all.extend(tyre(db, workspace, world).filter(|_| name == "tyre"));
    Known::settle(all)
}

/// The tyres that the vehicle is stated to stand on; what wheels are changed bring others.
fn tyre(db: &dyn Db, workspace: Workspace, world: &World) -> impl Iterator<Item = Found> {
    let wheel = |it: &&Place| it.name.starts_with("wheel") || it.name.starts_with("tyre");
    let changed = world.places.iter().filter(wheel).any(Place::changed);
    let id = world.recipient.vehicle;
    let stated = vehicle(db, id).and_then(|it| it.tyre.as_ref()).filter(|_| !changed);
    let stated = stated.map(|(marking, claim)| {
        let kind = ValueKind::Tyre(marking.value.clone());
        let value = Value { kind, per: None, span: marking.span };
        found(db, workspace, id, claim, vec![value], marking.span)
    });
    stated.into_iter()
}

fn matches(fact: &Fact, place: &str, name: &str) -> bool {
    matches!(fact.target.as_slice(), [only] if only.value == place) && fact.name.value == name
}

/// A stated fact as a claim, with its source and standing.
pub fn as_found(db: &dyn Db, workspace: Workspace, id: Id, fact: &Fact) -> Found {
    let mut found = found(db, workspace, id, &fact.claim, fact.values.clone(), fact.span);
    found.bound = fact.bound;
    found
}

fn stated(db: &dyn Db, workspace: Workspace, id: Id, about: &dyn Fn(&Fact) -> bool) -> Vec<Found> {
    let figures = vehicle(db, id).map(|it| it.figures.as_slice()).unwrap_or_default();
    figures.iter().filter(|it| about(it)).map(|it| as_found(db, workspace, id, it)).collect()
}

/// The logs of a vehicle that are seen from the conversion.
pub fn logs<'db>(db: &'db dyn Db, workspace: Workspace, world: &World, of: Id) -> Vec<(Id, &'db Log)> {
    let mut logs: Vec<(Id, &Log)> = Vec::new();
    for from in [world.root(), of] {
        for id in scope_of(db, workspace, from).nameless() {
            let Some(Body::Log(log)) = id.decl(db).map(|it| &it.body) else { continue };
            let named = log.vehicle.as_ref().and_then(|it| {
                scope_of(db, workspace, *id)
                    .find(Space::Vehicle, it.head())
                    .or_else(|| (*it.head() == of.name(db)).then_some(of))
            });
            if named == Some(of) && !logs.iter().any(|(it, _)| it == id) {
                logs.push((*id, log));
            }
        }
    }
    logs
}

/// When the log says that something was done in a place; none while it was not.
fn work_done(
    db: &dyn Db,
    workspace: Workspace,
    world: &World,
    place: &Name,
) -> Option<trunnion_syntax::tree::Date> {
    let logs = logs(db, workspace, world, world.recipient.vehicle);
    let entries = logs.iter().flat_map(|(_, log)| &log.entries);
    let done = entries.filter(|it| match &it.event {
        Event::Done { what, .. } => {
            what.split(|c: char| !c.is_alphanumeric() && c != '_').any(|it| it == place)
        }
        _ => false,
    });
    done.map(|it| it.date).min()
}

fn logged(
    db: &dyn Db,
    workspace: Workspace,
    world: &World,
    of: Id,
    about: &dyn Fn(&Fact) -> bool,
    since: Option<trunnion_syntax::tree::Date>,
) -> Vec<Found> {
    let mut entries: Vec<(Id, &Entry, &Fact)> = Vec::new();
    let logs = logs(db, workspace, world, of);
    for (id, log) in &logs {
        for entry in &log.entries {
            if let Event::Measured { fact, .. } = &entry.event
                && about(fact)
                && since.is_none_or(|it| entry.date >= it)
            {
                entries.push((*id, entry, fact));
            }
        }
    }
    // The newest measurement first: it is the one that holds.
    entries.sort_by_key(|it| std::cmp::Reverse(it.1.date));
    entries
        .into_iter()
        .map(|(id, entry, fact)| Found {
            values: with_precision(&fact.values, entry),
            bound: fact.bound,
            standing: Standing::Measured,
            source: format!("job log, {} (measured)", entry.date),
            source_item: Some(id.item),
            site: id.site(entry.span),
        })
        .collect()
}

/// A measured figure is no better than the tool it was measured with.
fn with_precision(values: &[Value], entry: &Entry) -> Vec<Value> {
    let Event::Measured { precision: Some(precision), .. } = &entry.event else { return values.to_vec() };
    values
        .iter()
        .map(|value| match value.quantity() {
            Some(it) if it.is_exact() => Value {
                kind: it.plus_minus(precision).map_or(value.kind.clone(), ValueKind::Quantity),
                ..value.clone()
            },
            _ => value.clone(),
        })
        .collect()
}

/// A claim for something that was said in a statement without values.
pub fn said(
    db: &dyn Db,
    workspace: Workspace,
    id: Id,
    claim: &Claim,
    span: trunnion_syntax::tree::Span,
) -> Found {
    found(db, workspace, id, claim, Vec::new(), span)
}
