//! # drive/rim-speed
//!
//! Flywheel, flexplate and clutch stand the highest speed of the engine in front of them.
//!
//! ## Why it matters
//!
//! A burst flywheel comes through the floor. Cast iron stands far less than steel, and a lightened wheel
//! less than it did. Where it is not sure, it is spun by who is equipped for it, not in the vehicle.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place flywheel is flywheel
//!   joint engine.crank to flywheel.crank }
//! part petrol is engine { peak speed 7200 rpm, face crank }
//! part iron is flywheel fills flywheel { fitted on Dunlin, face crank, speed limit 6000 rpm, diameter 280 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion livelier { recipient van, fit petrol for engine }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place flywheel is flywheel
//!   joint engine.crank to flywheel.crank }
//! part petrol is engine { peak speed 7200 rpm, face crank }
//! part steel is flywheel { face crank, speed limit 9000 rpm, diameter 280 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion livelier { recipient van, fit petrol for engine, fit steel for flywheel }
//! ```
//!
//! ## References
//!
//! The limit: stated data of who made it. Speed of the rim: circular motion, see
//! `trunnion explain rim_speed`.

use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "drive/rim-speed", source: include_str!("drive_rim_speed.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(engine) = ctx.only_of_kind("engine") else { return Vec::new() };
    let turning = ["flywheel", "clutch", "torque_converter"].iter().flat_map(|it| ctx.of_kind(it));
    let begun = |it: &&Place| ctx.stated(it, "speed_limit") && (it.changed() || engine.changed());
    turning.filter(begun).filter_map(|it| one(ctx, engine, it)).collect()
}

fn one(ctx: &Ctx<'_>, engine: &Place, wheel: &Place) -> Option<Verdict> {
    let site = wheel.done.last().or(engine.done.last()).map_or(wheel.site, |it| it.site);
    let what = ctx.part_shown(wheel);
    let hangs = format!("whether {what} holds together");
    Sum::new(ctx, CHECK.name, format!("{}.speed_limit", wheel.name), site, hangs).work(|sum| {
        let limit = sum.figure(wheel, "speed_limit");
        let peak = sum.figure(engine, "peak_speed");
        let diameter = sum.maybe(wheel, "diameter");
        let (limit, peak) = (limit?, peak?);
        if let Some(diameter) = diameter {
            let rim = sum.call("rim_speed", &[diameter, peak])?;
            sum.name("speed of the rim", &rim, "m/s");
        }
        let said = format!("the engine turns up to {}", peak.display());
        Some(Answer::at_most(peak, limit, &said, &format!("{what} stands {}", limit.display())))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn wheel(wheel: &str, engine: &str) -> String {
        format!(
            r"
family Dunlin {{ built 2009-06 to 2018-12
  place engine is engine
  place flywheel is flywheel
  joint engine.crank to flywheel.crank }}
part petrol is engine {{ {engine} face crank }}
part iron is flywheel fills flywheel {{ fitted on Dunlin, face crank, {wheel} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion livelier {{ recipient van, fit petrol for engine }}"
        )
    }

    #[test]
    fn a_wheel_that_stands_it_is_clear() {
        let text = wheel("speed limit 8000 rpm, diameter 300 mm", "peak speed 6000 rpm,");
        let found = check("drive/rim-speed", &text);
        found.clear("The engine turns up to 6000 rpm; iron stands 8000 rpm.");
        // π × 0.3 m × 100 1/s = 94.25 m/s, by hand.
        assert!(found.only().figures.iter().any(|it| it.value == "94.248"), "{:?}", found.only().figures);
    }

    #[test]
    fn a_wheel_that_bursts_is_a_clash() {
        let found = check("drive/rim-speed", &wheel("speed limit 5500 rpm", "peak speed 6000 rpm,"));
        found.clash("The engine turns up to 6000 rpm, but iron stands 5500 rpm.");
        assert_eq!(found.text(), "fit petrol for engine");
    }

    #[test]
    fn the_peak_speed_is_asked() {
        check("drive/rim-speed", &wheel("speed limit 5500 rpm", "")).open(
            "Nobody has said the highest engine speed of the engine: it decides whether iron holds together.",
        );
    }
}
