//! # carry/reaction
//!
//! The two mounts of a unit bear what holds it against the torque that it gives away: one is pushed, the
//! other pulled.
//!
//! ## Why it matters
//!
//! A mount is chosen for the weight it carries, and torn by torque. An engine across the vehicle is held
//! against all that its axle gets, in first gear and with the trailer.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place engine is engine
//!   place gearbox is manual_gearbox
//!   place propshaft is propshaft
//!   place mount_left, mount_right is engine_mount
//!   joint engine.left to mount_left.engine_side
//!   joint engine.right to mount_right.engine_side }
//! part strong is engine { mount left, mount right, mount spread 640 mm, peak torque 340 Nm }
//! part five is manual_gearbox fills gearbox { fitted on Dunlin, ratios 4.72, 2.53, 1.49, 1.00 }
//! part prop is propshaft fills propshaft { fitted on Dunlin }
//! part rubber is engine_mount fills mount_left { fitted on Dunlin, mount engine_side, mount force 2000 N }
//! part rubber_right is engine_mount fills mount_right { fitted on Dunlin, mount engine_side, mount force 2000 N }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion stronger { recipient van, fit strong for engine }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place engine is engine
//!   place gearbox is manual_gearbox
//!   place propshaft is propshaft
//!   place mount_left, mount_right is engine_mount
//!   joint engine.left to mount_left.engine_side
//!   joint engine.right to mount_right.engine_side }
//! part strong is engine { mount left, mount right, mount spread 640 mm, peak torque 340 Nm }
//! part five is manual_gearbox fills gearbox { fitted on Dunlin, ratios 4.72, 2.53, 1.49, 1.00 }
//! part prop is propshaft fills propshaft { fitted on Dunlin }
//! part rubber is engine_mount fills mount_left { fitted on Dunlin, mount engine_side, mount force 3500 N }
//! part rubber_right is engine_mount fills mount_right { fitted on Dunlin, mount engine_side, mount force 3500 N }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion stronger { recipient van, fit strong for engine }
//! ```
//!
//! ## References
//!
//! Statics of a couple: `trunnion explain mount_reaction`. Where there is a propshaft, engine and gearbox
//! are held against the torque in it, else against that of the axle. What a mount bears for a moment is
//! more than the mass it carries for years (`carry/support`): stated data. Gearbox mounts that share
//! the torque are left out, which is on the safe side.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::driveline::{final_drive, gearbox, output_torque, shaft_torque};
use crate::mounts::{Mount, force, mounts};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "carry/reaction", source: include_str!("carry_reaction.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let (Some(engine), Some(gearbox)) = (ctx.only_of_kind("engine"), gearbox(ctx)) else { return Vec::new() };
    let alone = ctx.world.conversion.is_none();
    let changes = |it: &Place, mounts: &[Mount<'_>]| {
        alone
            || it.changed()
            || engine.changed()
            || gearbox.changed()
            || mounts.iter().any(|it| it.other.changed())
    };
    let units = [engine, gearbox].into_iter().filter(|it| ctx.stated(it, "mount_spread"));
    let with = units.map(|it| (it, mounts(ctx, it))).filter(|(it, mounts)| changes(it, mounts));
    with.filter_map(|(it, mounts)| one(ctx, engine, gearbox, it, &mounts)).collect()
}

fn one(
    ctx: &Ctx<'_>,
    engine: &Place,
    gearbox: &Place,
    unit: &Place,
    mounts: &[Mount<'_>],
) -> Option<Verdict> {
    // A mount that is not joined is a loose end.
    if mounts.is_empty() {
        return None;
    }
    let done = [unit, engine, gearbox].iter().find_map(|it| it.done.last());
    let hangs = format!("whether the mounts hold the {} against its torque", unit.shown());
    let subject = format!("{}.mount_spread", unit.name);
    let mut sum = Sum::new(ctx, CHECK.name, subject, done.map_or(unit.site, |it| it.site), hangs);
    sum.safety_of(&[unit]);
    sum.work(|sum| {
        let arm = sum.figure(unit, "mount_spread");
        let torque = leaving(ctx, sum, engine, gearbox);
        let bears: Vec<Option<Quantity>> = mounts.iter().map(|it| force(ctx, sum, unit, it)).collect();
        let reaction = sum.call("mount_reaction", &[torque?, arm?])?.shown_in("N").ok()?;
        sum.good(format!("at least {}", reaction.display()));
        let bears: Vec<Quantity> = bears.into_iter().collect::<Option<_>>()?;
        let weakest = mounts.iter().zip(bears).min_by(|a, b| a.1.lo().total_cmp(&b.1.lo()))?;
        let said = format!(
            "{} gives {} away and pulls its mounts with {}",
            ctx.part_shown(unit),
            torque?.display(),
            reaction.display()
        );
        let bears = format!("{} bears {}", ctx.part_shown(weakest.0.other), weakest.1.display());
        Some(Answer::at_most(reaction, weakest.1, &said, &bears))
    })
}

/// The torque that leaves engine and gearbox: in the propshaft, else at the axle within the gearbox.
fn leaving(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, engine: &Place, gearbox: &Place) -> Option<Quantity> {
    if !ctx.of_kind("propshaft").is_empty() {
        return output_torque(ctx, sum, engine, gearbox);
    }
    let torque = shaft_torque(ctx, sum, engine, gearbox, true);
    // A gearbox with the axle in it states the ratio itself.
    let axle = final_drive(ctx).unwrap_or(gearbox);
    let ratio = sum.figure(axle, "ratio");
    let (torque, ratio) = (torque?, ratio?);
    let at_axle = torque.mul(&ratio).ok()?.shown_in("Nm").ok()?;
    sum.formula(format!("{} × {} = {}", torque.display(), ratio.display(), at_axle.display()));
    Some(at_axle)
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn van(shaft: &str, engine: &str, mount: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
family Dunlin {{ built 2009-06 to 2018-12, driven rear
  place engine is engine
  place gearbox is manual_gearbox
  place mount_left is engine_mount
  {shaft}
  joint engine.left to mount_left.engine_side }}
part diesel is engine {{ mount left, mount spread 500 mm, {engine} }}
part five is manual_gearbox fills gearbox {{ fitted on Dunlin, ratios 4.00, 2.00, 1.00, ratio 3.00 per manual }}
part prop is propshaft fills propshaft {{ fitted on Dunlin }}
part rubber is engine_mount fills mount_left {{ fitted on Dunlin, mount engine_side, {mount} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion stronger {{ recipient van, fit diesel for engine }}"#
        )
    }

    const SHAFT: &str = "place propshaft is propshaft";

    /// By hand: 200 Nm × 4 = 800 Nm over 0.5 m are 1600 N.
    #[test]
    fn along_the_vehicle_the_propshaft_counts() {
        let found = check(
            "carry/reaction",
            &van(SHAFT, "peak torque 200 Nm per manual", "mount force 2000 N per manual"),
        );
        found.clear("Diesel gives 800 Nm away and pulls its mounts with 1600 N; rubber bears 2000 N.");
        assert_eq!(found.only().margin.as_deref(), Some("400 N"));
        assert!(
            found
                .only()
                .formula
                .as_deref()
                .is_some_and(|it| it.ends_with("force = 800 Nm / 500 mm = 1600 N"))
        );
    }

    /// By hand: three times as much at the axle.
    #[test]
    fn across_it_the_axle_does() {
        let found = check(
            "carry/reaction",
            &van("", "peak torque 200 Nm per manual", "mount force 2000 N per manual"),
        );
        found.clash("Diesel gives 2400 Nm away and pulls its mounts with 4800 N, but rubber bears 2000 N.");
        assert_eq!(found.text(), "fit diesel for engine");
    }

    #[test]
    fn what_a_mount_bears_is_asked() {
        let found = check("carry/reaction", &van(SHAFT, "peak torque 200 Nm", "mass 1 kg"));
        found.open(
            "Nobody has said the force that the mount engine side of rubber bears for a moment; \
             good would be at least 1600 N: it decides whether the mounts hold the engine against its torque.",
        );
        assert!(found.fixed(0).contains("engine_side.mount_force … N"));
    }
}
