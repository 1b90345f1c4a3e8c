//! The mounts of a unit that are joined, and the force that each may bear for a moment.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::decl::EndClass;
use trunnion_model::fact::Known;
use trunnion_model::known;
use trunnion_model::verdict::Fix;
use trunnion_model::world::{EndAt, Place, When};

use crate::ctx::Ctx;
use crate::sum::Sum;

/// The measure of the force.
pub(crate) const FORCE: &str = "mount_force";

/// A mount of a unit, and what it is joined to.
pub(crate) struct Mount<'a> {
    /// The end of the unit.
    pub end: EndAt,
    /// The end that carries it.
    pub by: EndAt,
    /// What carries it.
    pub other: &'a Place,
}

/// The mounts of a unit that are joined after the changes.
pub(crate) fn mounts<'a>(ctx: &Ctx<'a>, place: &Place) -> Vec<Mount<'a>> {
    let ends = ctx.ends(place, When::After);
    let all: Vec<_> = ends.iter().filter(|it| it.class == EndClass::Mount && !it.absent).collect();
    // Mounts that the kind does not ask for may be there to carry something else.
    let asked: Vec<_> = all.iter().copied().filter(|it| it.asked.is_some()).collect();
    let own = if asked.is_empty() { all } else { asked };
    own.into_iter()
        .filter_map(|it| {
            let end = EndAt { place: place.name.clone(), end: it.name.clone() };
            let (by, _) = ctx.world.joined_after(&end).next()?;
            let by = by.clone();
            let other = ctx.world.place(&by.place).filter(|it| it.after.is_filled())?;
            Some(Mount { end, by, other })
        })
        .collect()
}

/// Whether anybody stated the force for one of its mounts, on either side.
pub(crate) fn begun(ctx: &Ctx<'_>, place: &Place, mounts: &[Mount<'_>]) -> bool {
    let of = |place: &Place, end: &EndAt| !known(ctx, place, end).claims().is_empty();
    mounts.iter().any(|it| of(it.other, &it.by) || of(place, &it.end))
}

/// What is known of the force at one end: as said of the end, else of the whole part.
fn known(ctx: &Ctx<'_>, place: &Place, end: &EndAt) -> Known {
    let about = place.after.part().map(|it| known::of_part_about(ctx.db, ctx.workspace, it, &end.end, FORCE));
    match about {
        Some(it) if !it.claims().is_empty() => it,
        _ => ctx.fact(place, FORCE),
    }
}

/// What a mount may bear: the lesser of what both its sides state; asked for where neither does.
pub(crate) fn force(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    place: &Place,
    mount: &Mount<'_>,
) -> Option<Quantity> {
    let mut least: Option<Quantity> = None;
    let end = mount.by.end.replace('_', " ");
    let mut question = ctx.question(mount.other, FORCE, sum.hangs());
    question.what =
        format!("the force that the mount {end} of {} bears for a moment", ctx.part_shown(mount.other));
    for (of, end) in [(mount.other, &mount.by), (place, &mount.end)] {
        let known = known(ctx, of, end);
        if matches!(known, Known::Unknown) {
            continue;
        }
        let stated = sum.settle_with(&known, question.clone(), None)?.quantity()?;
        least = Some(least.map_or(Some(stated), |it| it.smaller(&stated).ok())?);
    }
    if least.is_none() {
        let fix = mount.other.after.part().and_then(|id| {
            let statement = format!("{}.{FORCE} … N", mount.by.end);
            question.type_in = Some(format!("in part {}: {statement}", id.name(ctx.db)));
            let title = format!("state the force that the mount {end} of {} bears", id.shown(ctx.db));
            Some(Fix { title, edits: vec![ctx.insert(id, &statement)?] })
        });
        sum.settle_with(&Known::Unknown, question, fix);
    }
    least
}
