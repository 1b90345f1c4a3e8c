//! # brake/pedal
//!
//! The brakes bite within the travel of the pedal, and the deceleration that the rule of the `basis`
//! asks is reached with no more force than the rule allows or the driver has: with the servo, and with
//! the servo dead.
//!
//! ## Why it matters
//!
//! Larger calipers want more fluid than the old master cylinder gives, and the pedal goes to the floor.
//! A larger master cylinder gives it, and the pedal goes hard. With the engine stalled on a hill the
//! servo is dead after two strokes. Clear on paper is not permission: proven only on the tester, by a
//! licensed person.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place brake_pedal is brake_pedal_box
//!   place brake_master is master_cylinder
//!   place brake_front both sides is brake_caliper
//!   place brake_rear both sides is brake_caliper }
//! part pedals is brake_pedal_box fills brake_pedal { fitted on Dunlin, pedal ratio 4.1, pedal travel 120 mm }
//! part master_20 is master_cylinder fills brake_master { fitted on Dunlin, piston diameter 20.6 mm, stroke 32 mm }
//! part rear_34 is brake_caliper fills brake_rear { fitted on Dunlin, piston diameter 34 mm, pistons 1, running gap 0.2 mm }
//! part front_large is brake_caliper { piston diameter 44 mm, pistons 2, running gap 0.35 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion stronger { recipient van, fit front_large for brake_front }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place brake_pedal is brake_pedal_box
//!   place brake_master is master_cylinder
//!   place brake_front both sides is brake_caliper
//!   place brake_rear both sides is brake_caliper }
//! part pedals is brake_pedal_box fills brake_pedal { fitted on Dunlin, pedal ratio 4.1, pedal travel 140 mm }
//! part master_25 is master_cylinder { piston diameter 25.4 mm, stroke 36 mm }
//! part rear_34 is brake_caliper fills brake_rear { fitted on Dunlin, piston diameter 34 mm, pistons 1, running gap 0.2 mm }
//! part front_large is brake_caliper { piston diameter 44 mm, pistons 2, running gap 0.2 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion stronger { recipient van, fit front_large for brake_front, fit master_25 for brake_master }
//! ```
//!
//! ## References
//!
//! 49 CFR 571.135, S7.5 and S7.11, and UN Regulation No. 13-H, Annex 3 (from memory, unverified): see
//! `trunnion explain deceleration_wanted` and `pedal_force_most`. Half of the travel until the brakes
//! bite: common practice, no source; the other half is for stretch, wear and a failed circuit.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::name::Id;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::brakes::{Brakes, Pedal, brakes, is_drum, pedal, ruled};
use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::driver::{ability, of as told_of, persons, subject, told};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "brake/pedal", source: include_str!("brake_pedal.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let (Some(brakes), Some(pedal)) = (brakes(ctx), pedal(ctx)) else { return Vec::new() };
    let [front, rear] = brakes.both();
    if !ctx.concerns(&[front, rear, pedal.pedal, pedal.master]) {
        return Vec::new();
    }
    let mut verdicts = Vec::new();
    if [front, rear].iter().any(|it| ctx.stated(it, "running_gap")) {
        verdicts.extend(travel(ctx, &brakes, &pedal));
    }
    let begun = brakes.begun(ctx)
        && (ctx.stated(pedal.pedal, "pedal_ratio") || ctx.stated(pedal.master, "piston_diameter"));
    if !begun {
        return verdicts;
    }
    let feet: Vec<Id> = persons(ctx).into_iter().filter(|it| told(ctx, *it, "foot_force")).collect();
    let whose: Vec<Option<Id>> =
        if feet.is_empty() { vec![None] } else { feet.iter().copied().map(Some).collect() };
    let states: &[bool] = if pedal.servo.is_some() { &[false, true] } else { &[false] };
    for dead in states {
        verdicts.extend(whose.iter().filter_map(|it| force(ctx, &brakes, &pedal, *dead, *it, feet.len())));
    }
    verdicts
}

fn begin<'c, 'a>(
    ctx: &'c Ctx<'a>,
    brakes: &Brakes<'_>,
    pedal: &Pedal<'_>,
    subject: String,
    hangs: &str,
) -> Sum<'c, 'a> {
    let of: [&Place; 4] = [brakes.front, brakes.rear, pedal.master, pedal.pedal];
    let site = of.iter().find_map(|it| it.done.last()).map_or(pedal.pedal.site, |it| it.site);
    let mut sum = Sum::new(ctx, CHECK.name, subject, site, hangs);
    sum.safety_of(&of);
    sum.safety(["brakes".to_owned()]);
    sum
}

fn travel(ctx: &Ctx<'_>, brakes: &Brakes<'_>, pedal: &Pedal<'_>) -> Option<Verdict> {
    let about = format!("{}.travel", pedal.pedal.name);
    begin(ctx, brakes, pedal, about, "whether the brakes bite before the pedal is down").work(|sum| {
        let volumes = brakes.both().map(|it| volume(ctx, sum, it));
        let bore = sum.figure(pedal.master, "piston_diameter");
        let stroke = sum.figure(pedal.master, "stroke");
        let ratio = sum.figure(pedal.pedal, "pedal_ratio");
        let there = sum.figure(pedal.pedal, "pedal_travel");
        let share = sum.basis_or("pedal_share", 50.0, "%")?;
        let [front, rear] = volumes;
        let volume = front?.add(&rear?).ok()?;
        sum.formula(format!("{} + {} = {}", front?.display(), rear?.display(), volume.display()));
        let needed = sum.call("pedal_travel", &[volume, bore?, ratio?])?;
        // The pedal goes no farther than the master cylinder's piston.
        let allowed = there?.smaller(&stroke?.mul(&ratio?).ok()?).ok()?;
        let limit = allowed.mul(&share).ok()?.shown_in("mm").ok()?;
        sum.formula(format!(
            "least of {} and {} × {}, times {} = {}",
            there?.display(),
            stroke?.display(),
            ratio?.display(),
            share.display(),
            limit.display()
        ));
        let said = format!("the pedal moves {} until the brakes bite", needed.display());
        let most = format!("no more than {} of it may go there", limit.display());
        Some(Answer::at_most(needed, limit, &said, &most))
    })
}

/// The fluid that the brakes of an axle take until they bite.
fn volume(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, brake: &Place) -> Option<Quantity> {
    let bore = sum.figure(brake, "piston_diameter");
    // A wheel cylinder has a piston for each shoe.
    let pistons = if is_drum(ctx, brake) { Quantity::number(1.0).ok() } else { sum.figure(brake, "pistons") };
    let gap = sum.figure(brake, "running_gap");
    sum.call("brake_volume", &[bore?, pistons?, gap?])
}

fn force(
    ctx: &Ctx<'_>,
    brakes: &Brakes<'_>,
    pedal: &Pedal<'_>,
    dead: bool,
    person: Option<Id>,
    of: usize,
) -> Option<Verdict> {
    let about = format!("{}.force{}", pedal.pedal.name, if dead { "_servo_dead" } else { "" });
    let about = person.map_or(about.clone(), |it| subject(ctx, about, it, of));
    let verdict = begin(ctx, brakes, pedal, about, "whether the driver can stop the vehicle").work(|sum| {
        let most = match person {
            Some(it) => ability(ctx, sum, it, "foot_force"),
            None => ruled(sum, "pedal_force_most", Some("foot")),
        };
        let needed = pedal.force(ctx, sum, brakes, dead)?;
        let most = most?;
        let with = if dead { "with the servo dead the pedal" } else { "the pedal" };
        let said = format!("{with} needs {} for the stop that is asked", needed.display());
        let limit = match person {
            Some(it) => format!("{} has {}", it.shown(ctx.db), most.display()),
            None => format!("the rule allows {}", most.display()),
        };
        Some(Answer::at_most(needed, most, &said, &limit))
    });
    verdict.map(|it| told_of(ctx, it, person))
}

#[cfg(test)]
mod tests;
