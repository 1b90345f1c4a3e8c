//! # lever/force
//!
//! What the hand or foot must do at a lever, knob or pedal is within what the stated driver can do:
//! force, reach, and for a lever that works another pedal the force and travel worked out through it,
//! also with the servo dead.
//!
//! ## Why it matters
//!
//! A hand control that stops the van on the ramp may be more than the driver's hand can do when the
//! engine has stalled and the servo is empty. And a lever that runs out of travel before the pedal does
//! leaves braking unused. The driver's figures are his own: they belong in a file that is `private`.
//! Clear on paper is not permission: proven only on the tester, by a licensed person, and with the
//! driver in the seat. The braking regulation itself leaves out vehicles fitted for disabled drivers:
//! local approval decides.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! person driver "the driver" { hand force at most 60 N, reach at most 540 mm }
//! family Dunlin { built 2009-06 to 2018-12
//!   place brake_pedal is brake_pedal_box }
//! part pedals is brake_pedal_box fills brake_pedal { fitted on Dunlin, foot force 190 N, pedal travel 60 mm, link pad }
//! part short_lever is hand_control { link pedal_rod, lever ratio 2.4, lever travel 180 mm, reach 480 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion by_hand { recipient van
//!   place hand_control is hand_control
//!   fit short_lever for hand_control
//!   joint hand_control.pedal_rod to brake_pedal.pad }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! person driver "the driver" { hand force at most 60 N, reach at most 540 mm }
//! family Dunlin { built 2009-06 to 2018-12
//!   place brake_pedal is brake_pedal_box }
//! part pedals is brake_pedal_box fills brake_pedal { fitted on Dunlin, foot force 190 N, pedal travel 45 mm, link pad }
//! part long_lever is hand_control { link pedal_rod, lever ratio 3.8, lever travel 180 mm, reach 480 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion by_hand { recipient van
//!   place hand_control is hand_control
//!   fit long_lever for hand_control
//!   joint hand_control.pedal_rod to brake_pedal.pad }
//! ```
//!
//! ## References
//!
//! Statics of levers and pistons; see `trunnion explain lever_effort`, `piston_effort`, `pedal_force`.
//! 90 % left by the friction of rods and joints: common practice, no source.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::name::Id;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::brakes::{brakes, pedal};
use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::driver::{ability, nobody, of as told_of, persons, subject, told};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "lever/force", source: include_str!("lever_force.rs"), judge: Judge::World(judge) };

/// What is stated of a control and must be within what a person states by the same name.
const OWN: [(&str, &str, &str); 3] =
    [("hand_force", "needs", "can give"), ("foot_force", "needs", "can give"), ("reach", "is", "reaches")];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let filled = ctx.world.places.iter().filter(|it| it.after.is_filled() && ctx.concerns(&[it]));
    let persons = persons(ctx);
    filled.flat_map(|it| of_place(ctx, it, &persons)).collect()
}

fn of_place(ctx: &Ctx<'_>, place: &Place, persons: &[Id]) -> Vec<Verdict> {
    let by_hand = is(ctx, place, "hand_control");
    let mut verdicts = Vec::new();
    for measure in OWN.iter().filter(|it| ctx.stated(place, it.0)) {
        if persons.is_empty() && by_hand {
            verdicts.extend(own(ctx, place, measure, None, 0));
        }
        // A foot is asked for only of those who have one to press with.
        let asked = persons.iter().filter(|it| measure.0 != "foot_force" || told(ctx, **it, "foot_force"));
        verdicts.extend(asked.filter_map(|it| own(ctx, place, measure, Some(*it), persons.len())));
    }
    if !ctx.stated(place, "lever_ratio") || !by_hand {
        return verdicts;
    }
    let Some(driven) = driven(ctx, place) else { return verdicts };
    if ctx.stated(place, "lever_travel") && is(ctx, driven, "pedal_box") {
        verdicts.extend(travel(ctx, place, driven));
    }
    let servo = ctx.only_of_kind("brake_servo").is_some() && is(ctx, driven, "brake_pedal_box");
    for dead in [false, true].into_iter().filter(|dead| servo || !dead) {
        if persons.is_empty() {
            verdicts.extend(through(ctx, place, driven, dead, None, 0));
        }
        verdicts.extend(
            persons.iter().filter_map(|it| through(ctx, place, driven, dead, Some(*it), persons.len())),
        );
    }
    verdicts
}

fn is(ctx: &Ctx<'_>, place: &Place, kind: &str) -> bool {
    ctx.kind_after(place).is_some_and(|(_, whole)| whole.is(ctx.db, kind))
}

/// What a hand control works: the pedal its rod is joined to, or what its line of fluid leads to.
fn driven<'a>(ctx: &Ctx<'a>, place: &Place) -> Option<&'a Place> {
    let lines = ctx.world.lines.iter().map(|it| &it.joint);
    let joints = ctx.world.joints.iter().chain(lines).filter(|it| it.after);
    let mut others = joints.filter_map(|it| match (it.a.place == place.name, it.b.place == place.name) {
        (true, false) => ctx.world.place(&it.b.place),
        (false, true) => ctx.world.place(&it.a.place),
        _ => None,
    });
    others.find(|it| is(ctx, it, "pedal_box") || ctx.stated(it, "push_force"))
}

fn begin<'c, 'a>(
    ctx: &'c Ctx<'a>,
    place: &Place,
    driven: Option<&Place>,
    about: String,
    hangs: &str,
) -> Sum<'c, 'a> {
    let site = place.done.last().map_or(place.site, |it| it.site);
    let mut sum = Sum::new(ctx, CHECK.name, about, site, hangs);
    sum.safety_of(&[place]);
    sum.safety_of(driven.as_slice());
    sum
}

/// What the person has for it; asked for where nobody is told of.
fn has(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, person: Option<Id>, measure: &str) -> Option<Quantity> {
    let Some(person) = person else {
        let ask = nobody(measure, sum.hangs());
        sum.lacks(ask.what.clone(), ask);
        return None;
    };
    ability(ctx, sum, person, measure)
}

fn who(ctx: &Ctx<'_>, person: Option<Id>) -> String {
    person.map_or_else(|| "the driver".to_owned(), |it| it.shown(ctx.db))
}

/// A stated force or reach against the person's.
fn own(
    ctx: &Ctx<'_>,
    place: &Place,
    (measure, needs, gives): &(&str, &str, &str),
    person: Option<Id>,
    of: usize,
) -> Option<Verdict> {
    let about = format!("{}.{measure}", place.name);
    let about = person.map_or(about.clone(), |it| subject(ctx, about, it, of));
    let hangs = format!("whether the driver can work the {}", place.shown());
    let verdict = begin(ctx, place, None, about, &hangs).work(|sum| {
        let there = sum.figure(place, measure);
        let most = has(ctx, sum, person, measure);
        let (there, most) = (there?, most?);
        let far = if *measure == "reach" { " away" } else { "" };
        let said = format!("the {} {needs} {}{far}", place.shown(), there.display());
        Some(Answer::at_most(there, most, &said, &format!("{} {gives} {}", who(ctx, person), most.display())))
    });
    verdict.map(|it| told_of(ctx, it, person))
}

/// The travel of the lever, at the pedal it works.
fn travel(ctx: &Ctx<'_>, place: &Place, driven: &Place) -> Option<Verdict> {
    let about = format!("{}.lever_travel", place.name);
    begin(ctx, place, Some(driven), about, "whether the lever works the whole pedal").work(|sum| {
        let hand = sum.figure(place, "lever_travel");
        let ratio = sum.figure(place, "lever_ratio");
        let whole = sum.figure(driven, "pedal_travel");
        let moved = sum.call("lever_travel", &[hand?, ratio?])?;
        let whole = whole?;
        let said = format!("the {} moves the {} {}", place.shown(), driven.shown(), moved.display());
        Some(Answer::at_least(moved, whole, &said, &format!("its travel is {}", whole.display())))
    })
}

/// The force of the hand that works the pedal, through the lever.
fn through(
    ctx: &Ctx<'_>,
    place: &Place,
    driven: &Place,
    dead: bool,
    person: Option<Id>,
    of: usize,
) -> Option<Verdict> {
    let about = format!("{}.force{}", place.name, if dead { "_servo_dead" } else { "" });
    let about = person.map_or(about.clone(), |it| subject(ctx, about, it, of));
    let hangs = if dead {
        "whether the driver can stop it with the servo dead"
    } else {
        "whether the driver can work it"
    };
    let verdict = begin(ctx, place, Some(driven), about, hangs).work(|sum| {
        let most = has(ctx, sum, person, "hand_force");
        let ratio = sum.figure(place, "lever_ratio");
        let left = sum.basis_or("lever_efficiency", 90.0, "%")?;
        let far = far(ctx, sum, place, driven, dead);
        let effort = sum.call("lever_effort", &[far?, ratio?, left])?;
        let most = most?;
        let with = if dead { "with the servo dead the" } else { "the" };
        let said = format!("{with} {} takes {} of hand force", place.shown(), effort.display());
        Some(Answer::at_most(
            effort,
            most,
            &said,
            &format!("{} can give {}", who(ctx, person), most.display()),
        ))
    });
    verdict.map(|it| told_of(ctx, it, person))
}

/// The force that must come out of the lever: what the brakes ask for, else what is stated of the
/// pedal; through two pistons where fluid lies between.
fn far(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, place: &Place, driven: &Place, dead: bool) -> Option<Quantity> {
    if ctx.stated(driven, "push_force") {
        let push = sum.figure(driven, "push_force");
        let master = sum.figure(place, "piston_diameter");
        let slave = sum.figure(driven, "piston_diameter");
        return sum.call("piston_effort", &[push?, master?, slave?]);
    }
    let service = is(ctx, driven, "brake_pedal_box");
    if let (true, Some(brakes), Some(pedal)) = (service, brakes(ctx), pedal(ctx))
        && brakes.begun(ctx)
    {
        return pedal.force(ctx, sum, &brakes, dead);
    }
    let foot = sum.figure(driven, "foot_force");
    if !dead {
        return foot;
    }
    let servo = sum.figure(ctx.only_of_kind("brake_servo")?, "boost_ratio");
    let (foot, servo) = (foot?, servo?);
    let whole = foot.mul(&servo).ok()?;
    sum.formula(format!(
        "the servo's share by hand: {} × {} = {}",
        foot.display(),
        servo.display(),
        whole.display()
    ));
    Some(whole)
}

#[cfg(test)]
mod tests;
