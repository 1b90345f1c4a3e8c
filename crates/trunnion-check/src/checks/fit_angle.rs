//! # fit/angle
//!
//! The universal joints of a propshaft work within the angle they stand, and its two joints undo one
//! another: equal angles and yokes in phase leave next to no fluctuation.
//!
//! ## Why it matters
//!
//! A gearbox that hangs 30 mm lower changes both angles at once. Unequal, they shake the floor at
//! every speed; too large, they eat their needles, and at full droop the yoke touches.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is gearbox
//!   place propshaft is propshaft
//!   joint gearbox.tail to propshaft.front }
//! part prop is propshaft fills propshaft { fitted on Dunlin, yoke phase 0 ° }
//! part six is gearbox fills gearbox { mass 80 kg }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit six
//!   propshaft.front_angle 7 °
//!   propshaft.rear_angle 3 ° }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is gearbox
//!   place propshaft is propshaft
//!   joint gearbox.tail to propshaft.front }
//! part prop is propshaft fills propshaft { fitted on Dunlin, yoke phase 0 ° }
//! part six is gearbox fills gearbox { mass 80 kg }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit six
//!   propshaft.front_angle 3.5 °
//!   propshaft.rear_angle 3 ° }
//! ```
//!
//! ## What it takes for granted
//!
//! That gearbox, shaft and axle lie in one plane: a shaft that also runs sideways has two true angles
//! that `trunnion calc "joint_angle(4 °, 3 °)"` tells from side and plan view.
//!
//! ## References
//!
//! Kinematics of Hooke's joint: `trunnion explain joint_residual`, `trunnion explain
//! joint_fluctuation`. At most 0.3 % of fluctuation, what one joint at about 3° makes, and yokes
//! within 3° of one another: common practice, no source.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "fit/angle", source: include_str!("fit_angle.rs"), judge: Judge::World(judge) };

/// What is left of the fluctuation, in per cent: common practice, no source.
const FLUCTUATION: f64 = 0.3;
/// How far one yoke may be turned against the other, in degrees: common practice, no source.
const PHASE: f64 = 3.0;

/// The angles as they are measured, and in words.
const ANGLES: [(&str, &str); 3] = [
    ("front_angle", "the front joint works"),
    ("rear_angle", "the rear joint works"),
    ("working_angle", "over the travel of the springs the joints work"),
];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let shafts = ctx.of_kind("propshaft").into_iter().filter(|it| ctx.concerns(&[it]));
    shafts.flat_map(|it| [equal(ctx, it), reach(ctx, it)]).flatten().collect()
}

fn site(ctx: &Ctx<'_>, shaft: &Place) -> trunnion_model::db::Site {
    let stated = ANGLES.iter().find_map(|(it, _)| ctx.fact(shaft, it).claims().first().map(|it| it.site));
    stated.or(shaft.done.last().map(|it| it.site)).unwrap_or(shaft.site)
}

/// Whether the two joints undo one another.
fn equal(ctx: &Ctx<'_>, shaft: &Place) -> Option<Verdict> {
    if !ctx.stated(shaft, "front_angle") && !ctx.stated(shaft, "rear_angle") {
        return None;
    }
    let hangs = format!("whether the joints of the {} undo one another", shaft.shown());
    Sum::new(ctx, CHECK.name, &*shaft.name, site(ctx, shaft), hangs).work(|sum| {
        let front = sum.figure(shaft, "front_angle");
        let rear = sum.figure(shaft, "rear_angle");
        let phase = sum.figure(shaft, "yoke_phase");
        let limit = sum.basis_or("fluctuation", FLUCTUATION, "%")?;
        let (front, rear, phase) = (front?, rear?, phase?);
        let allowed = Quantity::exact(PHASE, "°").ok()?;
        if phase.abs().ok()?.at_most(&allowed).ok()? != Truth::Yes {
            sum.source(format!("yokes within {}: common practice, no source", allowed.display()));
            let said = format!(
                "the yokes of the {} are turned by {} against one another",
                shaft.shown(),
                phase.display()
            );
            let answer =
                Answer::at_most(phase.abs().ok()?, allowed, &said, "they undo one another in phase only");
            return Some(answer);
        }
        let left = sum.call("joint_residual", &[front, rear])?;
        let fluctuation = sum.call("joint_fluctuation", &[left])?;
        sum.note("Gearbox, shaft and axle are taken to lie in one plane.");
        let said = format!(
            "joints at {} and {} leave {} of fluctuation, as one at {} would",
            front.display(),
            rear.display(),
            fluctuation.display(),
            left.display()
        );
        Some(Answer::at_most(fluctuation, limit, &said, &format!("{} are good", limit.display())))
    })
}

/// Whether every joint works within the angle that it stands.
fn reach(ctx: &Ctx<'_>, shaft: &Place) -> Option<Verdict> {
    let stated: Vec<_> = ANGLES.into_iter().filter(|(it, _)| ctx.stated(shaft, it)).collect();
    if stated.is_empty() || !ctx.stated(shaft, "joint_angle") {
        return None;
    }
    let hangs = format!("whether the joints of the {} reach", shaft.shown());
    Sum::new(ctx, CHECK.name, format!("{}.joint_angle", shaft.name), site(ctx, shaft), hangs).work(|sum| {
        let limit = sum.figure(shaft, "joint_angle");
        let read = stated.iter().map(|(it, words)| Some((sum.figure(shaft, it)?, *words)));
        let all: Vec<Option<(Quantity, &str)>> = read.collect();
        let all: Vec<(Quantity, &str)> = all.into_iter().collect::<Option<_>>()?;
        let all = all.into_iter().map(|(angle, words)| match words.contains("travel") {
            // It works through the whole range, which is no tolerance.
            true => Some((Quantity::exact(angle.ends_in("°")?[2], "°").ok()?, words)),
            false => Some((angle, words)),
        });
        let all: Vec<(Quantity, &str)> = all.collect::<Option<_>>()?;
        let (largest, words) = all.into_iter().max_by(|a, b| a.0.hi().total_cmp(&b.0.hi()))?;
        let limit = limit?;
        let said = match words.contains("travel") {
            true => format!("{words} at up to {}", largest.display()),
            false => format!("{words} at {}", largest.display()),
        };
        Some(Answer::at_most(largest, limit, &said, &format!("they stand {}", limit.display())))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn van(shaft: &str, angles: &str) -> String {
        format!(
            r#"
source bench "Measured" measured
source manual "Workshop manual" documented
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox is gearbox
  place propshaft is propshaft
  joint gearbox.tail to propshaft.front }}
part prop is propshaft fills propshaft {{ fitted on Dunlin, {shaft} }}
part six is gearbox fills gearbox {{ mass 80 kg }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit six
  {angles} }}"#
        )
    }

    /// By hand: arccos(cos 5° / cos 4°) = 3.002°, sin 3.002° × tan 3.002° = 0.275 %.
    #[test]
    fn equal_joints_undo_one_another() {
        let angles = "propshaft.front_angle 5 °\n propshaft.rear_angle 4 °";
        let found = check("fit/angle", &van("yoke phase 0 ° per manual", angles));
        found.clear(
            "Joints at 5° and 4° leave 0.2747 % of fluctuation, as one at 3.002° would; 0.3 % are good.",
        );
        assert_eq!(found.text(), "propshaft.front_angle 5 °");
        assert!(found.only().formula.as_deref().is_some_and(|it| it.contains("sin 3.002° × tan 3.002°")));
    }

    #[test]
    fn unequal_joints_are_a_clash_and_the_basis_may_allow_more() {
        let angles = "propshaft.front_angle 7 °\n propshaft.rear_angle 3 °";
        let found = check("fit/angle", &van("yoke phase 0 °", angles));
        found.clash(
            "Joints at 7° and 3° leave 1.222 % of fluctuation, as one at 6.327° would, but 0.3 % are good.",
        );
        let basis = format!("basis {{ fluctuation at most 1.5 % }}\n{}", van("yoke phase 0 °", angles));
        assert_eq!(check("fit/angle", &basis).only().outcome.word(), "clear");
    }

    #[test]
    fn yokes_out_of_phase_are_a_clash() {
        let angles = "propshaft.front_angle 4 °\n propshaft.rear_angle 4 °";
        check("fit/angle", &van("yoke phase 20 °", angles)).clash(
            "The yokes of the propshaft are turned by 20° against one another, \
             but they undo one another in phase only.",
        );
    }

    #[test]
    fn the_largest_angle_is_held_against_what_the_joints_stand() {
        let found =
            check("fit/angle", &van("joint angle 8 ° per manual", "propshaft.working_angle 2 ° to 9 °"));
        assert_eq!(found.only().subject, "propshaft.joint_angle");
        found.clash("Over the travel of the springs the joints work at up to 9°, but they stand 8°.");
        assert_eq!(found.only().margin.as_deref(), Some("−1°"));
        let found =
            check("fit/angle", &van("joint angle 12 ° per manual", "propshaft.working_angle 2 ° to 9 °"));
        found.clear("Over the travel of the springs the joints work at up to 9°; they stand 12°.");
    }

    #[test]
    fn what_nobody_said_is_open() {
        let found = check("fit/angle", &van("mass 9 kg", "propshaft.front_angle 4 °"));
        found.open(
            "Nobody has said the working angle of the rear joint and the turn of one yoke against the other of the propshaft: \
             it decides whether the joints of the propshaft undo one another.",
        );
        check("fit/angle", &van("joint angle 12 °", "budget 1 EUR")).silent();
    }
}
