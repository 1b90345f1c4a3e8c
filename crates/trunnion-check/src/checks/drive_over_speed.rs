//! # drive/over-speed
//!
//! At the top speed of the vehicle a motor turns no faster than it stands.
//!
//! ## Why it matters
//!
//! A motor has no valves to float: it comes apart. Downhill nothing holds it back.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Plover { built 1968-01 to 1974-12
//!   place motor is motor
//!   place final_drive is final_drive }
//! part drive_60 is motor { speed limit 9000 rpm, ratio 3.2 }
//! part axle is final_drive fills final_drive { fitted on Plover, ratio 3.89 }
//! vehicle roadster is Plover { built 1971-05, top speed 150 km/h, rolling circumference 1820 mm }
//! conversion electric { recipient roadster, fit drive_60 for motor }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Plover { built 1968-01 to 1974-12
//!   place motor is motor
//!   place final_drive is final_drive }
//! part drive_60 is motor { speed limit 9000 rpm, ratio 1.4 }
//! part axle is final_drive fills final_drive { fitted on Plover, ratio 3.89 }
//! vehicle roadster is Plover { built 1971-05, top speed 150 km/h, rolling circumference 1820 mm }
//! conversion electric { recipient roadster, fit drive_60 for motor }
//! ```
//!
//! ## References
//!
//! Kinematics of a wheel that rolls without slip: see `trunnion explain engine_speed`. The motor's limit:
//! stated data.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::driveline::{circumference, final_drive};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check = Check {
    name: "drive/over-speed",
    source: include_str!("drive_over_speed.rs"),
    judge: Judge::World(judge),
};

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let (Some(motor), Some(axle)) = (ctx.only_of_kind("motor"), final_drive(ctx)) else { return Vec::new() };
    let begun = ctx.stated(motor, "speed_limit");
    let one = (begun && ctx.concerns(&[motor, axle])).then(|| one(ctx, motor, axle)).flatten();
    one.into_iter().collect()
}

fn one(ctx: &Ctx<'_>, motor: &Place, axle: &Place) -> Option<Verdict> {
    let site = motor.done.last().or(axle.done.last()).map_or(motor.site, |it| it.site);
    let what = ctx.part_shown(motor);
    let hangs = format!("whether {what} holds together at top speed");
    Sum::new(ctx, CHECK.name, format!("{}.speed_limit", motor.name), site, hangs).work(|sum| {
        let limit = sum.figure(motor, "speed_limit");
        // Without a reduction gear of its own it turns as fast as the propshaft.
        let own = sum.maybe(motor, "ratio").or(Quantity::number(1.0).ok());
        let last = sum.figure(axle, "ratio");
        let speed = sum.of_vehicle("top_speed");
        let rolled = circumference(ctx, sum);
        let turns = sum.call("engine_speed", &[speed?, own?, last?, rolled?])?.shown_in("rpm").ok()?;
        let limit = limit?;
        let said = format!("at {} {what} turns {}", speed?.display(), turns.display());
        Some(Answer::at_most(turns, limit, &said, &format!("it stands {}", limit.display())))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn driven(motor: &str, vehicle: &str) -> String {
        format!(
            r"
family Plover {{ built 1968-01 to 1974-12
  place motor is motor
  place final_drive is final_drive }}
part drive is motor {{ {motor} }}
part axle is final_drive fills final_drive {{ fitted on Plover, ratio 4.00 }}
vehicle roadster is Plover {{ built 1971-05, {vehicle} }}
conversion electric {{ recipient roadster, fit drive for motor }}"
        )
    }

    // 120 km/h over 2 m a turn is 1000 turns of the wheel a minute.
    #[test]
    fn a_motor_below_its_limit_is_clear() {
        let text =
            driven("speed limit 9000 rpm, ratio 2", "top speed 120 km/h, rolling circumference 2000 mm");
        let found = check("drive/over-speed", &text);
        found.clear("At 120 km/h drive turns 8000 rpm; it stands 9000 rpm.");
        assert_eq!(found.only().margin.as_deref(), Some("1000 rpm"));
    }

    #[test]
    fn a_motor_above_it_is_a_clash() {
        let text =
            driven("speed limit 7000 rpm, ratio 2", "top speed 120 km/h, rolling circumference 2000 mm");
        let found = check("drive/over-speed", &text);
        found.clash("At 120 km/h drive turns 8000 rpm, but it stands 7000 rpm.");
        assert_eq!(found.text(), "fit drive for motor");
    }

    #[test]
    fn the_top_speed_is_asked() {
        check("drive/over-speed", &driven("speed limit 7000 rpm", "rolling circumference 2000 mm")).open(
            "Nobody has said the top speed of the vehicle: it decides whether drive holds together at top speed.",
        );
    }
}
