//! # carry/support
//!
//! Every unit heavier than the mass of the `basis` (5 kg where none is stated) is carried: it has a
//! mount that is joined, and its mounts may carry what falls to them.
//!
//! ## Why it matters
//!
//! A gearbox that hangs on its bell alone breaks the bell. A mount that carried the old unit is
//! asked to carry one of twice the mass, and tears on the first bad road.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind box { asks mount rear, mass }
//! kind carrier { asks mount top }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box
//!   place crossmember is carrier
//!   joint gearbox.rear to crossmember.top }
//! part auto_six is box fills gearbox { mount rear, mass 86 kg }
//! part beam is carrier fills crossmember { fitted on Dunlin, mount top, mount load 60 kg }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind box { asks mount rear, mass }
//! kind carrier { asks mount top }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box
//!   place crossmember is carrier
//!   joint gearbox.front to crossmember.bell
//!   joint gearbox.rear to crossmember.top }
//! part auto_six is box fills gearbox { face front, mount rear, mass 86 kg, mounting length 566 mm, mass centre 310 mm }
//! part beam is carrier fills crossmember { fitted on Dunlin, face bell, mount top, mount load 60 kg }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## References
//!
//! Statics: one mount behind a bolted front face carries mass × distance of the centre of mass / distance
//! of the mount, both from that face; see `trunnion explain support_share`. Where these distances are not
//! stated, or there are several mounts, the mounts together are asked to carry all of it. At rest: bumps
//! and the reaction to the torque come on top. From 5 kg: common practice, no source. The holes of a
//! mount are `fit/pattern`, a mount that is not joined is `loose/end`.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::decl::EndClass;
use trunnion_model::fact::Known;
use trunnion_model::kinds::EndOf;
use trunnion_model::known;
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::{EndAt, Place, When};

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, listed};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "carry/support", source: include_str!("carry_support.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let alone = ctx.world.conversion.is_none();
    let places = ctx.world.places.iter().filter(|it| it.after.is_filled() && (alone || it.changed()));
    places.filter_map(|it| one(ctx, it)).collect()
}

/// A mount that is joined, and the end that carries it.
struct Carried<'a> {
    end: EndAt,
    by: EndAt,
    other: &'a Place,
}

fn one(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    // A mass that nobody stated is asked for by the kind.
    if !ctx.stated(place, "mass") {
        return None;
    }
    let ends = ctx.ends(place, When::After);
    let at = |it: &EndOf| EndAt { place: place.name.clone(), end: it.name.clone() };
    // Mounts that the kind does not ask for may be there to carry something else.
    let all: Vec<&EndOf> = ends.iter().filter(|it| it.class == EndClass::Mount).collect();
    let own: Vec<&EndOf> = all.iter().copied().filter(|it| it.asked.is_some()).collect();
    let own = if own.is_empty() { all } else { own };
    let (mounts, absent): (Vec<&EndOf>, Vec<&EndOf>) = own.into_iter().partition(|it| !it.absent);
    let carried: Vec<Carried<'_>> = mounts
        .iter()
        .filter_map(|it| {
            let (by, _) = ctx.world.joined_after(&at(it)).next()?;
            let other = ctx.world.place(&by.place).filter(|it| it.after.is_filled())?;
            Some(Carried { end: at(it), by: by.clone(), other })
        })
        .collect();
    let faces = ends.iter().filter(|it| it.class == EndClass::Face && !it.absent);
    let hangs_on_face = faces.into_iter().any(|it| ctx.world.joined_after(&at(it)).next().is_some());
    // A mount that is not joined is a loose end; what has none but a face is carried by the face.
    if (!mounts.is_empty() && carried.is_empty()) || (mounts.is_empty() && hangs_on_face) {
        return None;
    }
    let site = place.done.last().map_or(place.site, |it| it.site);
    let hangs = format!("whether the {} is carried", place.shown());
    let mut sum = Sum::new(ctx, CHECK.name, &*place.name, site, hangs.clone());
    sum.safety_of(&[place]);
    let mut light = false;
    let verdict = sum.work(|sum| {
        let mass = sum.figure(place, "mass")?;
        let above = sum.basis_or("support_above", 5.0, "kg")?;
        light = mass.at_most(&above) == Ok(Truth::Yes);
        if light {
            return None;
        }
        if mounts.is_empty() {
            return unsupported(sum, ctx, place, &mass, !absent.is_empty(), &hangs);
        }
        let limits: Vec<Option<Quantity>> = carried.iter().map(|it| limit(sum, ctx, place, it)).collect();
        let (falls, how) = load(sum, place, &mass, carried.len(), hangs_on_face)?;
        let most = Quantity::si(falls.hi(), falls.dimension()).and_then(|it| it.shown_in("kg")).ok()?;
        sum.good(format!("at least {}", most.display()));
        let mut may = limits.first().copied().flatten()?;
        for other in &limits[1..] {
            may = may.add(&(*other)?).ok()?;
        }
        if let [only] = carried.as_slice() {
            let stands = |id| {
                let claims = known::of_part(ctx.db, ctx.workspace, id, "mount_load");
                claims
                    .first()
                    .and_then(|it| it.quantity())
                    .is_some_and(|it| it.at_least(&falls) == Ok(Truth::Yes))
            };
            sum.fixes(replacements(ctx, only.other, &stands));
        }
        let who: Vec<String> = carried.iter().map(|it| ctx.part_shown(it.other)).collect();
        let said = format!("{} weighs {}{how}", ctx.part_shown(place), mass.display());
        let needed = format!("{} may carry {}", mounts_of(&who, carried.len()), may.display());
        Some(Answer::at_most(falls, may, &said, &needed))
    });
    verdict.filter(|_| !light)
}

/// "the mount on the crossmember", "the 2 mounts on mount left and mount right".
fn mounts_of(who: &[String], count: usize) -> String {
    let mut names: Vec<String> = who.to_vec();
    names.dedup();
    match count {
        1 => format!("its mount on {}", listed(&names)),
        _ => format!("its {count} mounts on {} together", listed(&names)),
    }
}

/// What falls to the mounts, and how that is said.
fn load(
    sum: &mut Sum<'_, '_>,
    place: &Place,
    mass: &Quantity,
    mounts: usize,
    on_face: bool,
) -> Option<(Quantity, String)> {
    if mounts == 1 && on_face {
        let centre = sum.maybe(place, "mass_centre");
        let length = sum.maybe(place, "mounting_length");
        if let (Some(centre), Some(length)) = (centre, length) {
            let falls = sum.call("support_share", &[*mass, centre, length])?.shown_in("kg").ok()?;
            return Some((falls, format!(", of which {} fall to the mount", falls.display())));
        }
        sum.note(
            "centre of mass and place of the mount are not both stated: the mount is asked to carry all",
        );
    }
    Some((*mass, String::new()))
}

/// What a mount may carry: the lesser of what both its sides state.
fn limit(sum: &mut Sum<'_, '_>, ctx: &Ctx<'_>, place: &Place, mount: &Carried<'_>) -> Option<Quantity> {
    let about = |of: &Place, end: &EndAt| match of.after.part() {
        Some(id) => known::of_part_about(ctx.db, ctx.workspace, id, &end.end, "mount_load"),
        None => Known::Unknown,
    };
    let mut least: Option<Quantity> = None;
    for (of, end) in [(mount.other, &mount.by), (place, &mount.end)] {
        let stated = match about(of, end) {
            Known::Stated(claims) => {
                let best = claims.first()?;
                sum.rests_on(best);
                best.quantity()
            }
            Known::Disputed(claims) => {
                let said: Vec<_> =
                    claims.iter().map(|it| format!("{} says {}", it.source, it.display())).collect();
                sum.refuse(format!("what {} may carry is disputed: {}", ctx.part_shown(of), said.join(", ")));
                return None;
            }
            Known::Nothing(_) => None,
            Known::Unknown if ctx.stated(of, "mount_load") => Some(sum.figure(of, "mount_load")?),
            Known::Unknown => None,
        };
        least = match (least, stated) {
            (Some(a), Some(b)) => Some(a.smaller(&b).ok()?),
            (a, b) => a.or(b),
        };
    }
    if least.is_some() {
        return least;
    }
    let hangs = format!("whether the {} is carried", place.shown());
    let mut question = ctx.question(mount.other, "mount_load", hangs);
    let end = mount.by.end.replace('_', " ");
    question.what = format!("what the mount {end} of {} may carry", ctx.part_shown(mount.other));
    let fix = mount.other.after.part().and_then(|id| {
        let statement = format!("{}.mount_load … kg", mount.by.end);
        question.type_in = Some(format!("in part {}: {statement}", id.name(ctx.db)));
        let title = format!("state what the mount {end} of {} may carry", id.shown(ctx.db));
        Some(Fix { title, edits: vec![ctx.insert(id, &statement)?] })
    });
    sum.settle_with(&Known::Unknown, question, fix);
    None
}

/// Something heavy without any mount: a clash where it is said that it has none.
fn unsupported(
    sum: &mut Sum<'_, '_>,
    ctx: &Ctx<'_>,
    place: &Place,
    mass: &Quantity,
    said: bool,
    hangs: &str,
) -> Option<Answer> {
    let who = ctx.part_shown(place);
    if said {
        let (said, needed) =
            (format!("{who} weighs {}", mass.display()), "it has no mount, and no face of it is joined");
        return Some(Answer::told(Truth::No, &said, needed));
    }
    let fix = place.after.part().and_then(|id| {
        let title = format!("state the mount of {}", id.shown(ctx.db));
        Some(Fix { title, edits: vec![ctx.insert(id, "mount …")?] })
    });
    let question = Question {
        what: format!("what carries {who} ({})", mass.display()),
        good: None,
        tool: Some("look for its lugs and brackets, and where they can be bolted".to_owned()),
        precision: None,
        minutes: Some(10),
        who: Who::Tape,
        gate: Gate::NoReturn,
        hangs: hangs.to_owned(),
        type_in: place
            .after
            .part()
            .map(|id| format!("in part {}: mount …, and a joint for it", id.name(ctx.db))),
    };
    sum.settle_with(&Known::Unknown, question, fix);
    None
}

#[cfg(test)]
mod tests;
