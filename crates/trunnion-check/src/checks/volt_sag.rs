//! # volt/sag
//!
//! At its peak current the nearly empty pack keeps the voltage that the inverter needs.
//!
//! ## Why it matters
//!
//! An inverter that falls out below its least voltage does so when the driver overtakes. Licensed
//! work: clear on paper is not permission.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter }
//! part block is traction_battery { voltage window 300 V to 400 V, inner resistance 120 mΩ }
//! part drive is inverter { voltage window 280 V to 420 V, peak current 320 A }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit drive for inverter }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter }
//! part block is traction_battery { voltage window 300 V to 400 V, inner resistance 60 mΩ }
//! part drive is inverter { voltage window 250 V to 420 V, peak current 320 A }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit drive for inverter }
//! ```
//!
//! ## References
//!
//! Ohm's law: see `trunnion explain loaded_voltage`. The inner resistance grows with cold and age.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::pack::pack;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/sag", source: include_str!("volt_sag.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(pack) = pack(ctx).filter(|it| it.begun(ctx)) else { return Vec::new() };
    let begun = |it: &Place| ctx.stated(it, "peak_current") && ctx.stated(it, "voltage_window");
    let inverters = ctx.of_kind("inverter");
    inverters.into_iter().filter(|it| begun(it)).filter_map(|it| one(ctx, pack.place, it)).collect()
}

fn one(ctx: &Ctx<'_>, battery: &Place, inverter: &Place) -> Option<Verdict> {
    let site = inverter.done.last().or(battery.done.last()).map_or(inverter.site, |it| it.site);
    let what = ctx.part_shown(inverter);
    let subject = format!("{}.peak_current", inverter.name);
    let mut sum = Sum::new(ctx, CHECK.name, subject, site, format!("whether {what} stays on at full power"));
    sum.safety_of(&[battery, inverter]);
    sum.work(|sum| {
        let window = sum.figure(battery, "voltage_window");
        let inner = sum.figure(battery, "inner_resistance");
        let needs = sum.figure(inverter, "voltage_window");
        let peak = sum.figure(inverter, "peak_current");
        let least = |it: Quantity| Quantity::si(it.lo(), it.dimension()).ok()?.shown_in("V").ok();
        let (empty, least) = (least(window?)?, least(needs?)?);
        let left = sum.call("loaded_voltage", &[empty, inner?, peak?])?;
        let said = format!("nearly empty and at {} the pack keeps {}", peak?.display(), left.display());
        Some(Answer::at_least(left, least, &said, &format!("{what} needs {}", least.display())))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn pack(inner: &str) -> String {
        format!(
            r"
family Plover {{ built 1968-01 to 1974-12
  place traction_battery is traction_battery
  place inverter is inverter }}
part block is traction_battery {{ voltage window 300 V to 400 V, {inner} }}
part drive is inverter {{ voltage window 270 V to 420 V, peak current 300 A }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit block for traction_battery, fit drive for inverter }}"
        )
    }

    #[test]
    fn what_is_left_is_enough() {
        let found = check("volt/sag", &pack("inner resistance 80 mΩ"));
        found.clear("Nearly empty and at 300 A the pack keeps 276 V; drive needs 270 V.");
        assert_eq!(found.only().formula.as_deref(), Some("voltage = 300 V − 80 mΩ × 300 A = 276 V"));
        assert_eq!(found.only().margin.as_deref(), Some("6 V"));
    }

    #[test]
    fn what_is_left_is_too_little() {
        let found = check("volt/sag", &pack("inner resistance 120 mΩ"));
        found.clash("Nearly empty and at 300 A the pack keeps 264 V, but drive needs 270 V.");
        assert_eq!(found.text(), "fit drive for inverter");
    }

    #[test]
    fn the_inner_resistance_is_asked() {
        check("volt/sag", &pack("energy 30 kWh")).open(
            "Nobody has said the inner resistance of the traction battery: it decides whether drive stays on at full \
             power.",
        );
    }
}
