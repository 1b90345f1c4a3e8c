//! # drive/torsion
//!
//! Engine and gearbox swing against one another through the spring between them, the damper of the
//! clutch disc or a flywheel in two masses. The firing of the engine does not meet that swing between
//! idle and its highest speed.
//!
//! ## Why it matters
//!
//! Where the two meet the gearbox rattles and the springs of the damper break. A heavier flywheel, or an
//! engine with a cylinder fewer, moves the meeting point into the speeds one drives at.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place flywheel is flywheel
//!   place clutch is clutch
//!   place gearbox is manual_gearbox }
//! part four is engine { inertia 0.08 kg·m², cylinders 4, idle speed 800 rpm, peak speed 4800 rpm }
//! part wheel is flywheel fills flywheel { fitted on Dunlin, inertia 0.14 kg·m² }
//! part stiff is clutch fills clutch { fitted on Dunlin, torque limit 340 Nm, twist 12 ° }
//! part five is manual_gearbox fills gearbox { fitted on Dunlin, inertia 0.02 kg·m² }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion other { recipient van, fit four for engine }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place flywheel is flywheel
//!   place gearbox is manual_gearbox }
//! part four is engine { inertia 0.08 kg·m², cylinders 4, idle speed 800 rpm, peak speed 4800 rpm }
//! part two_masses is flywheel { inertia 0.10 kg·m², torque limit 340 Nm, twist 55 ° }
//! part five is manual_gearbox fills gearbox { fitted on Dunlin, inertia 0.06 kg·m² }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion other { recipient van, fit four for engine, fit two_masses for flywheel }
//! ```
//!
//! ## What is counted where
//!
//! The engine's inertia is that of its crank drive, the flywheel's is its own: of one in two masses the
//! mass at the crank, the other counts with the gearbox. A clutch whose disc is damped may bear what
//! meets its firing: that is for its maker to say, and then to be accepted with that reason.
//!
//! ## References
//!
//! Two inertias on a torsion spring: `trunnion explain spring_frequency`; firing with four strokes:
//! `trunnion explain firing_frequency`. A fifth away from it: common practice, no source.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::driveline::{gearbox, number};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "drive/torsion", source: include_str!("drive_torsion.rs"), judge: Judge::World(judge) };

/// How far the swing keeps away from the firing, in per cent: common practice, no source.
const AWAY: f64 = 20.0;

/// What may sit between engine and gearbox as a spring.
const SPRINGS: [&str; 2] = ["clutch", "flywheel"];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let (Some(engine), Some(gearbox)) = (ctx.only_of_kind("engine"), gearbox(ctx)) else { return Vec::new() };
    let springs = SPRINGS.iter().flat_map(|it| ctx.of_kind(it)).filter(|it| ctx.stated(it, "twist"));
    springs.filter_map(|it| one(ctx, engine, it, gearbox)).collect()
}

fn one(ctx: &Ctx<'_>, engine: &Place, spring: &Place, gearbox: &Place) -> Option<Verdict> {
    let wheel = ctx.only_of_kind("flywheel");
    let turning: Vec<&Place> = [Some(engine), wheel, Some(gearbox)].into_iter().flatten().collect();
    let begun = turning.iter().any(|it| ctx.stated(it, "inertia"));
    let alone = ctx.world.conversion.is_none();
    if !begun || !(alone || spring.changed() || turning.iter().any(|it| it.changed())) {
        return None;
    }
    let done = [spring, engine, gearbox].iter().find_map(|it| it.done.last());
    let site = done.map_or(spring.site, |it| it.site);
    let hangs = format!("whether the firing of the engine meets the swing of the {}", spring.shown());
    Sum::new(ctx, CHECK.name, format!("{}.twist", spring.name), site, hangs).work(|sum| {
        let at_crank = sum.figure(engine, "inertia");
        let of_wheel = match wheel {
            Some(it) => sum.figure(it, "inertia"),
            None => Quantity::exact(0.0, "kg·m²").ok(),
        };
        let behind = sum.figure(gearbox, "inertia");
        let torque = sum.figure(spring, "torque_limit");
        let twist = sum.figure(spring, "twist");
        let cylinders = sum.figure(engine, "cylinders");
        let idle = sum.figure(engine, "idle_speed");
        let peak = sum.figure(engine, "peak_speed");
        let away = sum.basis_or("torsion_margin", AWAY, "%")?;
        let (at_crank, of_wheel) = (at_crank?, of_wheel?);
        let front = at_crank.add(&of_wheel).ok()?;
        if wheel.is_some() {
            sum.formula(format!("{} + {} = {}", at_crank.display(), of_wheel.display(), front.display()));
        }
        let swing = sum.call("spring_frequency", &[front, behind?, torque?, twist?])?;
        let (cylinders, idle, peak) = (cylinders?, idle?, peak?);
        let low = sum.call("firing_frequency", &[idle, cylinders])?;
        let high = sum.call("firing_frequency", &[peak, cylinders])?;
        let one = number(1.0)?;
        let below = swing.at_most(&low.mul(&one.sub(&away).ok()?).ok()?).ok()?;
        let above = swing.at_least(&high.mul(&one.add(&away).ok()?).ok()?).ok()?;
        let truth = match (below, above) {
            (Truth::Yes, _) | (_, Truth::Yes) => Truth::Yes,
            (Truth::No, Truth::No) => Truth::No,
            _ => Truth::Maybe,
        };
        let meets = idle.mul(&swing).and_then(|it| it.div(&low)).and_then(|it| it.shown_in("rpm")).ok()?;
        let swings =
            format!("Through {} engine and gearbox swing with {}", ctx.part_shown(spring), swing.display());
        let fires = format!("the engine fires with {} at idle to {}", low.display(), high.display());
        let clear = format!("{swings}; {fires}.");
        let clash = format!(
            "{swings}, but {fires}: they meet at {}, or come within {} of it.",
            meets.display(),
            away.display()
        );
        Some(
            Answer::sentences(truth, clear, clash)
                .need(format!("{} to {}", low.display(), high.display()), swing.display()),
        )
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn van(engine: &str, twist: &str, gearbox: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
family Dunlin {{ built 2009-06 to 2018-12
  place engine is engine
  place clutch is clutch
  place gearbox is manual_gearbox }}
part other is engine {{ inertia 0.2 kg·m² per manual, idle speed 600 rpm per manual, peak speed 6000 rpm per manual, {engine} }}
part disc is clutch fills clutch {{ fitted on Dunlin, torque limit 100 Nm per manual, twist {twist} per manual }}
part five is manual_gearbox fills gearbox {{ fitted on Dunlin, {gearbox} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion change {{ recipient van, fit other for engine }}"#
        )
    }

    /// By hand: 100 Nm / (60° = 1.047198 rad) = 95.493 Nm/rad; 1/0.2 + 1/0.05 = 25;
    /// √2387.3 / 2π = 7.776 Hz. Four cylinders at 600 rpm: 20 Hz; at 6000 rpm: 200 Hz.
    #[test]
    fn a_soft_spring_swings_below_idle() {
        let found =
            check("drive/torsion", &van("cylinders 4 per manual", "60 °", "inertia 0.05 kg·m² per manual"));
        found.clear(
            "Through disc engine and gearbox swing with 7.776 Hz; the engine fires with 20 Hz at idle to 200 Hz.",
        );
        assert!(found.only().formula.as_deref().is_some_and(|it| it.contains("100 Nm / 60°")));
    }

    /// By hand: a twist of 2.4° is 25 times as stiff: 38.88 Hz, met at 600 rpm × 38.88 / 20.
    #[test]
    fn a_stiff_one_meets_the_firing() {
        let found =
            check("drive/torsion", &van("cylinders 4 per manual", "2.4 °", "inertia 0.05 kg·m² per manual"));
        found.clash(
            "Through disc engine and gearbox swing with 38.88 Hz, but the engine fires with 20 Hz at idle to 200 Hz: \
             they meet at 1166 rpm, or come within 20 % of it.",
        );
        assert_eq!(found.text(), "fit other for engine");
    }

    #[test]
    fn what_nobody_said_is_open() {
        check("drive/torsion", &van("mass 180 kg", "2.4 °", "inertia 0.05 kg·m²")).open(
            "Nobody has said the number of cylinders of the engine: \
             it decides whether the firing of the engine meets the swing of the clutch.",
        );
        check("drive/torsion", &van("cylinders 4", "2.4 °", "mass 40 kg")).open(
            "Nobody has said the moment of inertia about its axis of the gearbox: \
             it decides whether the firing of the engine meets the swing of the clutch.",
        );
    }
}
