//! # signal/scale
//!
//! What a sensor gives is what its listener is scaled for: pulses a turn, the curve of a sender, and the
//! second track of a pedal as a share of its first.
//!
//! ## Why it matters
//!
//! 48 teeth where 44 are expected make the listener read 9.1 % fast: the speedometer, the brake
//! controller, the shift points. A tank sender of the other scale shows full when it is empty. A pedal
//! whose second track runs the other way puts the engine into limp mode at the first press.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place hub_rear both sides is hub
//!   place brake_controller is brake_controller }
//! part hub_48 is hub { pulses 48 }
//! module brakes is brake_controller fills brake_controller { fitted on Dunlin, expected pulses 44 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion axle { recipient van, fit hub_48 for hub_rear }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place hub_rear both sides is hub
//!   place brake_controller is brake_controller }
//! part hub_44 is hub { pulses 44 }
//! module brakes is brake_controller fills brake_controller { fitted on Dunlin, expected pulses 44 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion axle { recipient van, fit hub_44 for hub_rear }
//! ```
//!
//! ## References
//!
//! Counting; see `trunnion explain ratio_error`. Where the `basis` states no `pulse tolerance`, `curve
//! tolerance` or `track tolerance`: 1 %, 5 % and 2 % of what is expected, common practice, no source.

use std::collections::BTreeSet;

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::fact::Known;
use trunnion_model::known;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, listed, trimmed};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "signal/scale", source: include_str!("signal_scale.rs"), judge: Judge::World(judge) };

/// What is given, and what is expected of it.
const SCALES: [(&str, &str); 3] =
    [("pulses", "expected_pulses"), ("sensor_curve", "expected_curve"), ("second_track", "expected_track")];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let filled: Vec<&Place> = ctx.world.places.iter().filter(|it| it.after.is_filled()).collect();
    let mut verdicts = Vec::new();
    for (given, expected) in SCALES {
        // Of the ring at the crank, fit/trigger speaks.
        let listens = |it: &&&Place| {
            ctx.stated(it, expected) && !(given == "pulses" && is(ctx, it, "engine_controller"))
        };
        for listener in filled.iter().filter(listens) {
            let gives =
                |it: &&&Place| it.name != listener.name && says(ctx, it, given) && linked(ctx, it, listener);
            for giver in filled.iter().filter(gives).filter(|it| ctx.concerns(&[it, listener])) {
                verdicts.extend(one(ctx, giver, listener, given, expected));
            }
        }
    }
    verdicts
}

fn is(ctx: &Ctx<'_>, place: &Place, kind: &str) -> bool {
    ctx.kind_after(place).is_some_and(|(_, whole)| whole.is(ctx.db, kind))
}

/// Whether something is given: stated, or asked of its kind, and not that there is none.
fn says(ctx: &Ctx<'_>, place: &Place, measure: &str) -> bool {
    match ctx.fact(place, measure) {
        Known::Nothing(_) => false,
        Known::Unknown => {
            place.changed() && ctx.kind_after(place).is_some_and(|(_, it)| it.ask(measure).is_some())
        }
        _ => true,
    }
}

/// Whether the one listens to the other: both name the same signal at a plug, in a message or by
/// itself; and a brake controller listens to the rings of the hubs.
fn linked(ctx: &Ctx<'_>, giver: &Place, listener: &Place) -> bool {
    let rings = is(ctx, giver, "hub") && is(ctx, listener, "brake_controller");
    let heard = signals(ctx, listener);
    rings || signals(ctx, giver).iter().any(|it| heard.contains(it))
}

/// The names of the signals that what sits there gives or takes.
fn signals(ctx: &Ctx<'_>, place: &Place) -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    for part in place.after.parts().iter().filter_map(|it| ctx.part(*it)) {
        let cavities = part.ends.iter().flat_map(|it| &it.cavities);
        let carries = cavities.filter(|it| ["sensor", "signal"].contains(&it.role.value.as_str()));
        names.extend(carries.filter_map(|it| Some(it.what.as_ref()?.text())));
        names.extend(part.signals.iter().map(|it| it.0.value.to_string()));
        let messages = part.sends.iter().chain(&part.hears);
        names.extend(messages.map(|it| it.name.value.to_string()));
    }
    names
}

fn one(ctx: &Ctx<'_>, giver: &Place, listener: &Place, given: &str, expected: &str) -> Option<Verdict> {
    let site = giver.done.last().or(listener.done.last()).map_or(giver.site, |it| it.site);
    let hangs = format!("whether {} reads it right", ctx.part_shown(listener));
    let subject = format!("{}.{given}", giver.name);
    let mut sum = Sum::new(ctx, CHECK.name, subject, site, hangs);
    sum.safety_of(&[listener]);
    sum.work(|sum| match given {
        "pulses" => pulses(ctx, sum, giver, listener),
        "sensor_curve" => curve(ctx, sum, giver, listener),
        _ => track(ctx, sum, giver, listener, given, expected),
    })
}

fn pulses(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, giver: &Place, listener: &Place) -> Option<Answer> {
    let there = sum.figure(giver, "pulses");
    let wanted = sum.figure(listener, "expected_pulses");
    let turns = sum.maybe(giver, "sensor_ratio");
    let allowed = sum.basis_or("pulse_tolerance", 1.0, "%")?;
    let (there, wanted) = (there?, wanted?);
    let counted = match turns {
        Some(turns) => {
            let all = there.mul(&turns).ok()?;
            sum.formula(format!("{} × {} = {}", there.display(), turns.display(), all.display()));
            all
        }
        None => there,
    };
    let off = sum.call("ratio_error", &[counted, wanted])?;
    let percent = off.in_unit("%")?;
    let how = if percent < 0.0 { "slow" } else { "fast" };
    let truth = counted.within(&wanted, &allowed).ok()?;
    sum.fixes(replacements(ctx, giver, &|id| {
        let found = known::of_part(ctx.db, ctx.workspace, id, "pulses");
        let counts = found.first().and_then(|it| it.quantity());
        counts.is_some_and(|it| it.within(&wanted, &allowed) == Ok(Truth::Yes))
    }));
    let said = format!("the {} gives {} pulses a turn", giver.shown(), counted.display());
    let expects = format!("{} expects {}", ctx.part_shown(listener), wanted.display());
    let reads = format!("it reads {} % {how}", trimmed(percent.abs(), 1));
    let clear = format!("{}; {expects}.", crate::ctx::capital(&said));
    let clash = format!("{}, but {expects}: {reads}.", crate::ctx::capital(&said));
    Some(Answer::sentences(truth, clear, clash).need(wanted.display(), counted.display()))
}

/// Each point of the curve against the one that is expected.
fn curve(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, giver: &Place, listener: &Place) -> Option<Answer> {
    let there = sum.figures(giver, "sensor_curve");
    let wanted = sum.figures(listener, "expected_curve");
    let allowed = sum.basis_or("curve_tolerance", 5.0, "%")?;
    let (there, wanted) = (there?, wanted?);
    if there.len() != wanted.len() {
        sum.refuse(format!("{} points are given and {} expected", there.len(), wanted.len()));
        return None;
    }
    let each = there.iter().zip(&wanted).map(|(a, b)| a.within(b, &allowed));
    let each: Vec<Truth> = each.collect::<Result<_, _>>().ok()?;
    let truth = if each.contains(&Truth::No) {
        Truth::No
    } else if each.contains(&Truth::Maybe) {
        Truth::Maybe
    } else {
        Truth::Yes
    };
    let shown = |of: &[Quantity]| listed(&of.iter().map(Quantity::display).collect::<Vec<_>>());
    let said = format!("the {} gives {}", giver.shown(), shown(&there));
    let needs =
        format!("{} expects {} within {}", ctx.part_shown(listener), shown(&wanted), allowed.display());
    Some(Answer::told(truth, &said, &needs).need(shown(&wanted), shown(&there)))
}

fn track(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    giver: &Place,
    listener: &Place,
    given: &str,
    expected: &str,
) -> Option<Answer> {
    let there = sum.figure(giver, given);
    let wanted = sum.figure(listener, expected);
    let allowed = sum.basis_or("track_tolerance", 2.0, "%")?;
    let (there, wanted) = (there?, wanted?);
    let said = format!("the second track of the {} is {} of its first", giver.shown(), there.display());
    Some(Answer::within(
        there,
        wanted,
        allowed,
        &said,
        &format!("{} expects {}", ctx.part_shown(listener), wanted.display()),
    ))
}

#[cfg(test)]
mod tests;
