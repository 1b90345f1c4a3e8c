//! # fit/wheel
//!
//! A wheel goes on its hub: studs and circle, centre bore, the seat of the nuts, room over the
//! caliper, and an offset that leaves the track about as it was.
//!
//! ## Why it matters
//!
//! A wheel that goes on is not yet a wheel that fits: on the wrong seat its nuts work loose, on too
//! large a bore it hangs on its studs, and a caliper that clears on the stand scrapes in the first
//! bend.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place wheel_rear both sides is wheel
//!   place hub_rear both sides is hub }
//! part hub_dunlin is hub fills hub_rear { fitted on Dunlin, centre bore 71.1 mm, seat form "cone, 60 °" }
//! part alloy is wheel { centre bore 66.6 mm, seat form "cone, 60 °" }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion wheels { recipient van, fit alloy for wheel_rear }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place wheel_rear both sides is wheel
//!   place hub_rear both sides is hub }
//! part hub_dunlin is hub fills hub_rear { fitted on Dunlin, centre bore 71.1 mm, seat form "cone, 60 °" }
//! part steel is wheel { centre bore 71.1 mm, seat form "cone, 60 °" }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion wheels { recipient van, fit steel for wheel_rear }
//! ```
//!
//! ## References
//!
//! Geometry. A bore within 0.5 mm of the spigot centres the wheel; 3 mm between caliper and wheel; a
//! track within 2 % of what it was: common practice, no source. `trunnion explain track_change`. What
//! local rules say of other wheels holds, and they ask for an approval more often than not.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::db::Site;
use trunnion_model::fact::Known;
use trunnion_model::name::Space;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::checks::fit_pattern::difference;
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "fit/wheel", source: include_str!("fit_wheel.rs"), judge: Judge::World(judge) };

/// How much larger a bore that still centres may be, in mm: common practice, no source.
const CENTRES: f64 = 0.5;

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    for wheel in ctx.of_kind("wheel") {
        let hub = beside(ctx, wheel, "hub");
        let changed = wheel.changed() || hub.is_some_and(Place::changed);
        if ctx.world.conversion.is_some() && !changed {
            continue;
        }
        verdicts.extend(hub.and_then(|hub| studs(ctx, wheel, hub)));
        verdicts.extend(hub.and_then(|hub| bore(ctx, wheel, hub)));
        verdicts.extend(seat(ctx, wheel, hub));
        verdicts.extend(track(ctx, wheel));
    }
    for wheel in ctx.of_kind("wheel") {
        verdicts.extend(caliper(ctx, wheel));
    }
    verdicts
}

/// The place of a kind that belongs to a wheel: joined to it, of the same corner, or the only one.
fn beside<'a>(ctx: &Ctx<'a>, wheel: &Place, kind: &str) -> Option<&'a Place> {
    let all = ctx.of_kind(kind);
    let joined = |it: &&&Place| {
        let mut joints = ctx.world.joints.iter().filter(|it| it.after);
        joints.any(|joint| {
            let ends = [&joint.a.place, &joint.b.place];
            ends.contains(&&wheel.name) && ends.contains(&&it.name)
        })
    };
    let corner = |it: &&&Place| tail(&it.name) == tail(&wheel.name) && tail(&it.name).is_some();
    let only = || (all.len() == 1).then(|| &all[0]);
    all.iter().find(joined).or_else(|| all.iter().find(corner)).or_else(only).copied()
}

/// `rear` of `wheel_rear`.
fn tail(name: &str) -> Option<&str> {
    name.split_once('_').map(|(_, tail)| tail)
}

fn site(wheel: &Place, other: Option<&Place>) -> Site {
    wheel.done.last().or(other.and_then(|it| it.done.last())).map_or(wheel.site, |it| it.site)
}

/// Studs and their circle, where no joint of the family has them looked at already.
fn studs(ctx: &Ctx<'_>, wheel: &Place, hub: &Place) -> Option<Verdict> {
    let joints = ctx.world.joints.iter().filter(|it| it.after);
    let mut ends = joints.map(|it| [&it.a.place, &it.b.place]);
    if ends.any(|it| it.contains(&&wheel.name) && it.contains(&&hub.name)) {
        return None;
    }
    let geometry = |place: &Place, end: &str| {
        let id = place.after.part()?;
        let end = ctx.part(id)?.end(end)?;
        let pattern = end.is.as_ref().and_then(|it| ctx.find(id, Space::Pattern, it.head()));
        let made = ctx.geometry(pattern, &end.geometry, end.side).filter(|it| !it.holes.is_empty())?;
        Some((made, trunnion_model::known::said(ctx.db, ctx.workspace, id, &end.claim, end.span)))
    };
    let (of_wheel, at_wheel) = geometry(wheel, "hub")?;
    let (of_hub, at_hub) = geometry(hub, "wheel")?;
    let subject = format!("{}.studs", wheel.name);
    Sum::new(ctx, CHECK.name, subject, site(wheel, Some(hub)), "whether the wheel goes on").work(|sum| {
        sum.safety_of(&[wheel, hub]);
        sum.rests_on(&at_wheel);
        sum.rests_on(&at_hub);
        let count = of_hub.holes[0].count.value;
        let circle = of_hub.holes[0].circle.display();
        let clear =
            format!("The {} and the {} have the same {count} studs on {circle}.", wheel.shown(), hub.shown());
        Some(match difference(&of_wheel, &of_hub) {
            None => Answer::sentences(Truth::Yes, clear, ""),
            Some(why) => {
                let clash = format!("The {} does not go on the {}: {why}.", wheel.shown(), hub.shown());
                Answer::sentences(Truth::No, "", clash)
            }
        })
    })
}

/// The centre bore on the spigot of the hub.
fn bore(ctx: &Ctx<'_>, wheel: &Place, hub: &Place) -> Option<Verdict> {
    if !ctx.stated(wheel, "centre_bore") && !ctx.stated(hub, "centre_bore") {
        return None;
    }
    let subject = format!("{}.centre_bore", wheel.name);
    Sum::new(ctx, CHECK.name, subject, site(wheel, Some(hub)), "whether the hub centres the wheel").work(
        |sum| {
            sum.safety_of(&[wheel, hub]);
            let hole = sum.figure(wheel, "centre_bore");
            let spigot = sum.figure(hub, "centre_bore");
            let (hole, spigot) = (hole?, spigot?);
            let over = hole.sub(&spigot).ok()?.shown_in("mm").ok()?;
            sum.formula(format!("{} − {} = {}", hole.display(), spigot.display(), over.display()));
            let [least, _, most] = over.ends_in("mm")?;
            let said = format!(
                "the wheel has a bore of {}, the hub a spigot of {}",
                hole.display(),
                spigot.display()
            );
            if least > CENTRES + 1e-9 {
                // It goes on, and something else must centre it: a ring, or the cones of the nuts.
                let what = format!(
                    "what centres the wheel, whose bore is {} larger than the spigot",
                    over.display()
                );
                let mut question = ask(what.clone(), sum.hangs());
                question.good =
                    Some("a centring ring, or nuts that the wheel's maker lets centre it".to_owned());
                sum.lacks(what, question);
                return None;
            }
            let truth = match (most < -1e-9, least >= -1e-9 && most <= CENTRES + 1e-9) {
                (true, _) => Truth::No,
                (_, true) => Truth::Yes,
                _ => Truth::Maybe,
            };
            sum.source(format!("a bore at most {CENTRES} mm larger centres: common practice, no source"));
            let needed = if truth == Truth::No { "it does not go on" } else { "it is centred" };
            Some(
                Answer::told(truth, &said, needed)
                    .margin(over.display())
                    .need(spigot.display(), hole.display()),
            )
        },
    )
}

fn ask(what: String, hangs: String) -> Question {
    Question {
        what,
        good: None,
        tool: Some("look, and calliper".to_owned()),
        precision: Some("0.1 mm".to_owned()),
        minutes: Some(10),
        who: Who::Tape,
        gate: Gate::Road,
        hangs,
        type_in: None,
    }
}

/// The seat of the nuts: those of the hub, else those that held the wheel before.
fn seat(ctx: &Ctx<'_>, wheel: &Place, hub: Option<&Place>) -> Option<Verdict> {
    let nuts_said = hub.is_some_and(|it| ctx.stated(it, "seat_form"));
    // A wheel that comes with its hub from one donor comes with the nuts that held it there.
    let together = wheel.donor().is_some() && hub.and_then(Place::donor) == wheel.donor();
    if !ctx.stated(wheel, "seat_form") || together && !nuts_said {
        return None;
    }
    let subject = format!("{}.seat_form", wheel.name);
    Sum::new(ctx, CHECK.name, subject, site(wheel, hub), "whether the nuts sit in the wheel").work(|sum| {
        sum.safety_of(&[wheel]);
        let new = sum.word(wheel, "seat_form");
        let of_hub = hub.filter(|it| ctx.stated(it, "seat_form"));
        let nuts = match of_hub {
            Some(hub) => sum.word(hub, "seat_form"),
            None => match ctx.fact_before(wheel, "seat_form").best() {
                Some(found) => {
                    sum.rests_on(found);
                    found.values.first().and_then(|it| it.word()).map(|it| it.to_string())
                }
                None => {
                    let what = "the form of the seat of the nuts";
                    sum.lacks(what, ask(what.to_owned(), sum.hangs()));
                    None
                }
            },
        };
        let (new, nuts) = (new?, nuts?);
        let whose =
            if of_hub.is_some() { "the nuts of the hub" } else { "the nuts that held the one before" };
        let plain = |it: &str| it.to_lowercase().replace([' ', ','], "");
        let said = format!("the wheel has seats of the form {new}");
        let truth = if plain(&new) == plain(&nuts) { Truth::Yes } else { Truth::No };
        Some(Answer::told(truth, &said, &format!("{whose} have {nuts}")).need(nuts, new))
    })
}

/// What another offset does to the track.
fn track(ctx: &Ctx<'_>, wheel: &Place) -> Option<Verdict> {
    let known = ctx.stated(wheel, "offset") && !ctx.fact_before(wheel, "offset").claims().is_empty();
    if !wheel.changed() || !known {
        return None;
    }
    let subject = format!("{}.offset", wheel.name);
    Sum::new(ctx, CHECK.name, subject, site(wheel, None), "how much wider it stands").work(|sum| {
        sum.safety_of(&[wheel]);
        let old = sum.figure_before(wheel, "offset");
        let new = sum.figure(wheel, "offset");
        let track = sum.of_vehicle("track");
        let allowed = sum.basis_or("track_change", 2.0, "%")?;
        let (old, new, track) = (old?, new?, track?);
        let wider = sum.call("track_change", &[old, new, Quantity::exact(0.0, "mm").ok()?])?;
        let most = track.mul(&allowed).ok()?.shown_in("mm").ok()?;
        let by = wider.abs().ok()?;
        let side = if wider.nominal() < 0.0 { "narrower" } else { "wider" };
        let said = match by.hi() {
            0.0 => "the track stays as it was".to_owned(),
            _ => format!("the track becomes {} {side}", by.display()),
        };
        let needed = format!("{} of {} are {}", allowed.display(), track.display(), most.display());
        Some(Answer::at_most(by, most, &said, &needed))
    })
}

/// Room between the caliper and the inside of the wheel.
fn caliper(ctx: &Ctx<'_>, wheel: &Place) -> Option<Verdict> {
    let holds = |it: &&&Place| ctx.stated(it, "caliper_radius");
    let others: Vec<&Place> = ctx.world.places.iter().filter(|it| it.after.is_filled()).collect();
    let same = others.iter().filter(holds).find(|it| tail(&it.name) == tail(&wheel.name));
    let brake = *same.or_else(|| others.iter().find(holds))?;
    let alone = ctx.world.conversion.is_none();
    if !(alone || wheel.changed() || brake.changed()) {
        return None;
    }
    let known = ctx.fact(wheel, "inner_radius");
    if alone && matches!(known, Known::Unknown) {
        return None;
    }
    let subject = format!("{}.inner_radius", wheel.name);
    Sum::new(ctx, CHECK.name, subject, site(wheel, Some(brake)), "whether the wheel clears the caliper").work(
        |sum| {
            sum.safety_of(&[wheel, brake]);
            let inside = sum.figure(wheel, "inner_radius");
            let reach = sum.figure(brake, "caliper_radius");
            let gap = sum.basis_or("caliper_gap", 3.0, "mm")?;
            let (inside, reach) = (inside?, reach?);
            sum.good(format!("at least {}", reach.add(&gap).ok()?.display()));
            let across = inside.add(&inside).ok()?.shown_in("mm").ok()?;
            let room = sum.call("caliper_room", &[across, reach])?;
            let said = format!("the wheel leaves {} over the caliper", room.display());
            Some(Answer::at_least(room, gap, &said, &format!("{} are wanted", gap.display())))
        },
    )
}

#[cfg(test)]
mod tests;
