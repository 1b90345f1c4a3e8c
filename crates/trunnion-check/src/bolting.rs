//! What is stated about the bolts of a joint: at the face, of the part, or in the work that tightens them.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::decl::{Body, Holes, Torque};
use trunnion_model::fact::{Fact, Found, Known, Value, ValueKind};
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::world::Place;

use crate::ctx::{Ctx, Mate};

/// The holes of a joint and the thread of its bolts, where either side tells it.
pub(crate) fn bolts<'m>(a: &'m Mate<'_>, b: &'m Mate<'_>) -> Option<(&'m Holes, Option<&'m str>)> {
    let holes = |it: &'m Mate<'_>| it.geometry.as_ref().and_then(|it| it.holes.first());
    let first = holes(a).or(holes(b))?;
    let thread = [holes(a), holes(b)].into_iter().flatten().find_map(|it| it.thread.as_deref());
    Some((first, thread))
}

/// What is known of a measure of a joint: what is said of either face, else of one of the parts.
pub(crate) fn of_joint(ctx: &Ctx<'_>, a: &Mate<'_>, b: &Mate<'_>, measure: &str) -> Known {
    let at_face: Vec<Found> = [a, b].iter().flat_map(|it| of_face(ctx, it, measure)).collect();
    if !at_face.is_empty() {
        return Known::settle(at_face);
    }
    // Bolts go with the side that they pass through.
    let passes = |it: &Mate<'_>| {
        let holes = it.geometry.as_ref().and_then(|it| it.holes.first());
        holes.is_some_and(|it| it.thread.is_none())
    };
    let sides = if passes(b) && !passes(a) { [b, a] } else { [a, b] };
    let known = sides.map(|it| ctx.fact(it.place, measure));
    known.into_iter().find(|it| *it != Known::Unknown).unwrap_or(Known::Unknown)
}

/// What is said of one face: in its block, in its pattern, or by its name in the part.
fn of_face(ctx: &Ctx<'_>, mate: &Mate<'_>, measure: &str) -> Vec<Found> {
    let Some((id, _)) = mate.part else { return Vec::new() };
    let facts = mate.geometry.iter().flat_map(|it| &it.facts);
    let own = facts.filter(|it: &&Fact| it.target.is_empty() && it.name.value == measure);
    let mut all: Vec<Found> = own.map(|it| known::as_found(ctx.db, ctx.workspace, id, it)).collect();
    let named = known::of_part_about(ctx.db, ctx.workspace, id, &mate.at.end, measure);
    all.extend(named.claims().iter().cloned());
    all
}

/// The tightening torque of a joint: of its faces, of the work that speaks of it, else of its parts.
pub(crate) fn tightening(ctx: &Ctx<'_>, a: &Mate<'_>, b: &Mate<'_>) -> Known {
    const MEASURE: &str = "tightening_torque";
    let at_face: Vec<Found> = [a, b].iter().flat_map(|it| of_face(ctx, it, MEASURE)).collect();
    if !at_face.is_empty() {
        return Known::settle(at_face);
    }
    let in_work = in_work(ctx, a, b);
    if !in_work.is_empty() {
        return Known::settle(in_work);
    }
    // The torque of a hub is that of its bearing nut, not of any face.
    let nut = |it: &Place| ctx.kind_after(it).is_some_and(|(_, kind)| kind.is(ctx.db, "hub"));
    let parts = [a, b].into_iter().filter(|it| !nut(it.place));
    Known::settle(parts.flat_map(|it| ctx.fact(it.place, MEASURE).claims().to_vec()).collect())
}

/// The torques of works whose words mean this joint more than any other.
fn in_work(ctx: &Ctx<'_>, a: &Mate<'_>, b: &Mate<'_>) -> Vec<Found> {
    let scope = trunnion_model::built::scope_of(ctx.db, ctx.workspace, ctx.world.root());
    let mut all = Vec::new();
    for (_, id) in scope.each(Space::Work) {
        let Some(Body::Work(work)) = id.decl(ctx.db).map(|it| &it.body) else { continue };
        for torque in &work.torques {
            if means(ctx, torque, a, b) {
                all.push(found(ctx, id, torque));
            }
        }
    }
    all
}

fn found(ctx: &Ctx<'_>, id: Id, torque: &Torque) -> Found {
    let kind = ValueKind::Quantity(torque.torque);
    let value = Value { kind, per: None, span: torque.span };
    trunnion_model::built::found(ctx.db, ctx.workspace, id, &torque.claim, vec![value], torque.span)
}

/// Whether "flexplate to crank" means this joint, and no other one as well.
fn means(ctx: &Ctx<'_>, torque: &Torque, a: &Mate<'_>, b: &Mate<'_>) -> bool {
    let Some((one, other)) = torque.what.split_once(" to ") else { return false };
    let (one, other) = (words(one), words(other));
    let fit = |a: &Mate<'_>, b: &Mate<'_>| {
        let (a, b) = (called(ctx, a), called(ctx, b));
        let both = |x: usize, y: usize| if x > 0 && y > 0 { x + y } else { 0 };
        let straight = both(shared(&one, &a), shared(&other, &b));
        straight.max(both(shared(&one, &b), shared(&other, &a)))
    };
    let here = fit(a, b);
    let joints = ctx.world.joints.iter().filter(|it| it.after);
    let others = joints.filter(|it| it.a != a.at || it.b != b.at);
    let ends = others.filter_map(|it| Some((ctx.mate(&it.a)?, ctx.mate(&it.b)?)));
    here > 0 && ends.into_iter().all(|(a, b)| fit(&a, &b) < here)
}

fn words(text: &str) -> Vec<String> {
    let split = text.split(|it: char| !it.is_alphanumeric());
    let plain = split.map(str::to_lowercase);
    plain.filter(|it| it.len() > 2 && !["the", "and", "for", "new", "bolts"].contains(&it.as_str())).collect()
}

/// All words by which a side of a joint is called: its place, its end, its part, its pattern.
fn called(ctx: &Ctx<'_>, mate: &Mate<'_>) -> Vec<String> {
    let mut all = words(&mate.shown());
    all.extend(words(&mate.at.end.replace('_', " ")));
    for id in mate.place.after.parts().iter().copied().chain(mate.pattern) {
        all.extend(words(&id.shown(ctx.db)));
    }
    if let Some((kind, _)) = ctx.kind_after(mate.place) {
        all.extend(words(&kind.shown(ctx.db)));
    }
    all
}

fn shared(one: &[String], other: &[String]) -> usize {
    one.iter().filter(|it| other.contains(it)).count()
}

/// One end of a range, in a unit.
pub(crate) fn end_of(range: &Quantity, most: bool, unit: &str) -> Option<Quantity> {
    let end = if most { range.hi() } else { range.lo() };
    Quantity::si(end, range.dimension()).ok()?.shown_in(unit).ok()
}
