//! # fit/clamp
//!
//! Tightened as stated, the bolts of a joint bear the preload, clamp the faces so that friction alone
//! carries the torque that passes, and hold by enough thread.
//!
//! ## Why it matters
//!
//! The same wrench setting clamps an oiled bolt half as hard again as a dry one. Too little, and the
//! flange frets, works, and shears its bolts one by one; too much, and they stretch before the first
//! start.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! basis { torque factor 0.14 to 0.20, face friction 0.15 }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place flywheel is flywheel
//!   joint engine.crank to flywheel.crank }
//! part diesel is engine fills engine { fitted on Dunlin, peak torque 340 Nm
//!   face crank { holes 6 on 76 mm, thread M12x1.5 } }
//! part soft is flywheel { property class "8.8"
//!   face crank { holes 6 on 76 mm, bore 13 mm, tightening torque 98 Nm } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit soft for flywheel }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! basis { torque factor 0.14 to 0.20, face friction 0.15 }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place flywheel is flywheel
//!   joint engine.crank to flywheel.crank }
//! part diesel is engine fills engine { fitted on Dunlin, peak torque 340 Nm
//!   face crank { holes 6 on 76 mm, thread M12x1.5 } }
//! part hard is flywheel { property class "10.9"
//!   face crank { holes 6 on 76 mm, bore 13 mm, tightening torque 98 Nm } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit hard for flywheel }
//! ```
//!
//! ## Which torque, and what it leaves out
//!
//! The torque stands at the face (`tightening torque 98 Nm`), in a work (`torque "flexplate to crank"
//! 98 Nm`, told by its words), or of the part. Dowels, registers and the shear of the bolts are not
//! counted: what they take is reserve. A maker's torque, and whether its bolts may be used again, go
//! before this sum. Only joints of the chain from crank to axle have a torque to carry.
//!
//! ## References
//!
//! Preload T = K F d: `trunnion explain bolt_preload`. Strength: ISO 898-1, `trunnion explain
//! proof_load`; class 8.8 splits at 16 mm. Friction: `trunnion explain flange_torque`. A factor K of
//! 0.14 to 0.24, a friction of 0.12, and thread engaged over one diameter in steel, two in
//! aluminium: common practice, no source.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_handbook::thread::Thread;
use trunnion_model::db::Site;
use trunnion_model::fact::{Found, Known};
use trunnion_model::verdict::{Outcome, Verdict};

use crate::bolting::{bolts, end_of, of_joint, tightening};
use crate::check::{Check, Judge};
use crate::checks::drive_torque::tyres_pass_shaft;
use crate::ctx::{Ctx, Mate, capital, trimmed};
use crate::driveline::{beside, gearbox, is_front, number, output_torque, shaft_torque};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "fit/clamp", source: include_str!("fit_clamp.rs"), judge: Judge::World(judge) };

/// Torque factor K where the basis has none: common practice, no source.
const FACTOR: (f64, f64) = (0.14, 0.24);
/// Friction between the faces where the basis has none: common practice, no source.
const FRICTION: f64 = 0.12;
/// Thread engaged, in diameters of the bolt, in steel and in aluminium: common practice, no source.
const ENGAGED: (f64, f64) = (1.0, 2.0);

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts: Vec<Verdict> = Vec::new();
    for (a, b, site) in &ctx.mates() {
        let asked = |it: &Verdict| it.question.as_ref().map(|it| it.what.clone());
        // What is missing is asked once, though several joints hang on it.
        let new = one(ctx, a, b, *site)
            .filter(|new| new.outcome != Outcome::Open || verdicts.iter().all(|it| asked(it) != asked(new)));
        verdicts.extend(new);
    }
    verdicts
}

/// One of the things that must hold.
struct Held {
    truth: Truth,
    said: String,
    needed: String,
    margin: String,
}

fn one(ctx: &Ctx<'_>, a: &Mate<'_>, b: &Mate<'_>, joint: Site) -> Option<Verdict> {
    let known = tightening(ctx, a, b);
    if matches!(known, Known::Unknown | Known::Nothing(_)) {
        return None;
    }
    let (holes, thread) = bolts(a, b)?;
    let (count, circle) = (f64::from(holes.count.value), holes.circle);
    // What is missing is asked of the part that the bolts came with.
    let bolted = if a.place.changed() && !b.place.changed() { a } else { b };
    let subject = format!("{}-{}", a.at.text(), b.at.text());
    let hangs = format!("whether the bolts between {} and {} hold", a.place.shown(), b.place.shown());
    Sum::new(ctx, CHECK.name, subject, joint, hangs).work(|sum| {
        sum.safety_of(&[a.place, b.place]);
        let torque = stated(ctx, sum, bolted, "tightening_torque", &known).and_then(|it| it.quantity());
        let class = of_joint(ctx, a, b, "property_class");
        let class = stated(ctx, sum, bolted, "property_class", &class).and_then(|it| class_of(sum, &it));
        let passing = passing(ctx, a, b);
        let load = load(ctx, sum, passing);
        let factor = factor(ctx, sum);
        let Some(thread) = thread else {
            let mut question = ctx.question(bolted.place, "thread_fit", "");
            question.what = format!("the thread of the bolts at the {}", bolted.shown());
            sum.lacks(question.what.clone(), question);
            return None;
        };
        let thread = match Thread::parse(thread) {
            Ok(it) => it,
            Err(error) => {
                sum.refuse(error.to_string());
                return None;
            }
        };
        let (torque, factor) = (torque?, factor?);
        let diameter = Quantity::exact(thread.major_mm(), "mm").ok()?;
        let preload = sum.call("bolt_preload", &[torque, factor, diameter])?;
        let (least, most) = (end_of(&preload, false, "kN")?, end_of(&preload, true, "kN")?);
        let mut held = Vec::new();
        let mut from = 0.0;
        if passing != Passing::Nothing {
            let friction = sum.basis_or("face_friction", FRICTION, "")?;
            let carried = sum.call("flange_torque", &[number(count)?, least, friction, circle])?;
            let comes = as_the_tyres_allow(ctx, sum, passing, load?, carried)?;
            let plain = |it: &Quantity| it.in_unit("Nm");
            from = plain(&torque)? * plain(&comes)? / plain(&carried)?;
            held.push(Held {
                truth: carried.at_least(&comes).ok()?,
                said: format!("{count} bolts {thread} carry {} by friction", carried.display()),
                needed: format!("{} come", comes.display()),
                margin: format!("{} Nm", trimmed(plain(&carried)? - plain(&comes)?, 0)),
            });
        }
        let pitch = Quantity::exact(thread.pitch_mm(), "mm").ok()?;
        let (class, named) = class?;
        let bears = sum.call("proof_load", &[diameter, pitch, class])?;
        held.push(Held {
            truth: most.at_most(&bears).ok()?,
            said: format!("{} load each {thread} with {}", torque.display(), preload.display()),
            needed: format!("one of class {named} bears {}", bears.display()),
            margin: bears.sub(&most).ok()?.shown_in("kN").ok()?.display(),
        });
        held.extend(engaged(ctx, sum, a, b, diameter));
        let to = beside("tightening_torque", &[bears, number(factor.lo())?, diameter])?;
        would_do(sum, &held, from, to.in_unit("Nm")?);
        Some(answer(&held))
    })
}

/// Says which torques would do, where the stated one does not.
fn would_do(sum: &mut Sum<'_, '_>, held: &[Held], from: f64, to: f64) {
    if held.iter().all(|it| it.truth == Truth::Yes) {
        return;
    }
    let (from, to) = (from.ceil(), to.floor());
    if from < to {
        sum.note(format!("A torque of {} to {} Nm would do.", trimmed(from, 0), trimmed(to, 0)));
    } else {
        sum.note("No torque would do for these bolts: more of them, larger ones, or a higher class.");
    }
}

/// What does not hold speaks; where all holds, all is said.
fn answer(held: &[Held]) -> Answer {
    let worst = [Truth::No, Truth::Maybe].iter().find_map(|truth| held.iter().find(|it| it.truth == *truth));
    match worst {
        Some(it) => {
            let answer = Answer::told(it.truth, &it.said, &it.needed);
            answer.need(&*it.needed, &*it.said).margin(it.margin.replace('-', "−"))
        }
        None => {
            let said: Vec<String> = held.iter().map(|it| format!("{}, {}", it.said, it.needed)).collect();
            let margins: Vec<&str> = held.iter().map(|it| it.margin.as_str()).collect();
            Answer::sentences(Truth::Yes, format!("{}.", capital(&said.join("; "))), "")
                .margin(margins.join(", "))
        }
    }
}

/// A claim that may stand at a face, in a work or in a part; asked of the part.
fn stated(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    mate: &Mate<'_>,
    measure: &str,
    known: &Known,
) -> Option<Found> {
    let question = ctx.question(mate.place, measure, sum.hangs());
    let fix = ctx.state_fact(mate.place, measure, None);
    sum.settle_with(known, question, fix)
}

/// The property class as a number, and as it is written.
fn class_of(sum: &mut Sum<'_, '_>, found: &Found) -> Option<(Quantity, String)> {
    let written = found.display();
    match written.trim().parse().ok().and_then(number) {
        Some(class) => Some((class, written)),
        None => {
            sum.refuse(format!("{written} is no property class such as 8.8"));
            None
        }
    }
}

/// What turns through a joint.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Passing {
    /// Nothing that this check knows of.
    Nothing,
    /// The torque of the engine.
    Engine,
    /// The torque behind the gearbox.
    Gearbox,
    /// The torque to an axle; whether to the front one.
    Shaft(bool),
}

fn passing(ctx: &Ctx<'_>, a: &Mate<'_>, b: &Mate<'_>) -> Passing {
    let is = |it: &Mate<'_>, kind: &str| ctx.kind_after(it.place).is_some_and(|(_, it)| it.is(ctx.db, kind));
    let pair = |x: &str, y: &str| is(a, x) && is(b, y) || is(a, y) && is(b, x);
    if ["engine", "clutch", "gearbox", "torque_converter"].iter().any(|it| pair("flywheel", it)) {
        return Passing::Engine;
    }
    if pair("gearbox", "propshaft") && ctx.only_of_kind("transfer_case").is_none() {
        return Passing::Gearbox;
    }
    if ["gearbox", "transfer_case", "final_drive"].iter().any(|it| pair("propshaft", it)) {
        let shaft = if is(a, "propshaft") { a.place } else { b.place };
        return Passing::Shaft(is_front(ctx, shaft));
    }
    Passing::Nothing
}

/// The torque that comes without losses and without slip of the tyres.
fn load(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, passing: Passing) -> Option<Quantity> {
    let engine = ctx.only_of_kind("engine")?;
    match passing {
        Passing::Nothing => None,
        Passing::Engine => sum.figure(engine, "peak_torque"),
        Passing::Gearbox => output_torque(ctx, sum, engine, gearbox(ctx)?),
        Passing::Shaft(front) => shaft_torque(ctx, sum, engine, gearbox(ctx)?, front),
    }
}

/// What comes at most: behind the gears, and where the bolts do not carry all, no more than the tyres
/// pass on.
fn as_the_tyres_allow(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    passing: Passing,
    load: Quantity,
    carried: Quantity,
) -> Option<Quantity> {
    let front = match passing {
        Passing::Gearbox => is_front(ctx, gearbox(ctx)?),
        Passing::Shaft(front) => front,
        _ => return Some(load),
    };
    if carried.at_least(&load) == Ok(Truth::Yes) {
        return Some(load);
    }
    let most = tyres_pass_shaft(ctx, sum, front)?;
    if most.hi() >= load.hi() {
        return Some(load);
    }
    sum.note(format!("The engine could give {}; beyond {} the tyres slip.", load.display(), most.display()));
    Some(most)
}

/// The torque factor, least to most.
fn factor(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>) -> Option<Quantity> {
    if !matches!(ctx.basis("torque_factor"), Known::Unknown) {
        return sum.basis("torque_factor", "");
    }
    let made = Quantity::range(FACTOR.0, FACTOR.1, "").ok()?;
    sum.source(format!("torque factor {}: common practice, no source", made.display()));
    Some(made)
}

/// Whether enough thread is engaged, where anybody said how much is.
fn engaged(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    a: &Mate<'_>,
    b: &Mate<'_>,
    diameter: Quantity,
) -> Option<Held> {
    let found = of_joint(ctx, a, b, "thread_engaged").best()?.clone();
    let engaged = found.quantity()?;
    sum.rests_on(&found);
    let tapped = |it: &&&Mate<'_>| {
        let holes = it.geometry.as_ref().and_then(|it| it.holes.first());
        holes.is_some_and(|it| it.thread.is_some())
    };
    let material = [a, b].iter().find(tapped).and_then(|it| ctx.fact(it.place, "material").best().cloned());
    let soft = material.is_some_and(|it| it.display().to_lowercase().contains("alumin"));
    let share = sum.basis_or("engagement", if soft { ENGAGED.1 } else { ENGAGED.0 }, "")?;
    let wanted = diameter.mul(&share).ok()?.shown_in("mm").ok()?;
    sum.formula(format!("{} × {} = {}", share.display(), diameter.display(), wanted.display()));
    let into = if soft { "aluminium" } else { "steel" };
    Some(Held {
        truth: engaged.at_least(&wanted).ok()?,
        said: format!("{} of thread are engaged", engaged.display()),
        needed: format!("in {into} {} are usual", wanted.display()),
        margin: engaged.sub(&wanted).ok()?.shown_in("mm").ok()?.display(),
    })
}

#[cfg(test)]
mod tests;
