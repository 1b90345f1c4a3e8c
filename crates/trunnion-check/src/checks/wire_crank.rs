//! # wire/crank
//!
//! While the starter turns, the battery keeps the voltage that the control units need which must work then.
//!
//! ## Why it matters
//!
//! An engine controller or a key reader that falls out while cranking starts anew, and the engine never
//! fires. A larger engine's starter, or an old battery, is enough; it shows on the first cold morning.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place starter_battery is starter_battery
//!   place starter is starter
//!   place engine_controller is engine_controller }
//! part old_70 is starter_battery fills starter_battery { fitted on Dunlin, rest voltage 12.5 V, inner resistance 11 mΩ }
//! part turner is starter { peak current 600 A }
//! module brain is engine_controller { voltage window 6.5 V to 16 V }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion big { recipient van, fit turner for starter, fit brain for engine_controller }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place starter_battery is starter_battery
//!   place starter is starter
//!   place engine_controller is engine_controller }
//! part new_90 is starter_battery fills starter_battery { fitted on Dunlin, rest voltage 12.7 V, inner resistance 5 mΩ }
//! part turner is starter { peak current 600 A }
//! module brain is engine_controller { voltage window 6.5 V to 16 V }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion big { recipient van, fit turner for starter, fit brain for engine_controller }
//! ```
//!
//! ## References
//!
//! Ohm's law: see `trunnion explain loaded_voltage`. Levels of the starting test: ISO 16750-2, see
//! `trunnion explain cranking_least`. That engine controller, gearbox controller and key reader must work
//! while cranking: common practice, no source.

use trunnion_handbook::quantity::Quantity;
use trunnion_handbook::registry::Argument;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "wire/crank", source: include_str!("wire_crank.rs"), judge: Judge::World(judge) };

/// The kinds without which no engine starts.
const AWAKE: [&str; 3] = ["engine_controller", "gearbox_controller", "key_reader"];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let (battery, starter) = (ctx.only_of_kind("starter_battery"), ctx.only_of_kind("starter"));
    let Some((battery, starter)) = battery.zip(starter) else { return Vec::new() };
    if !ctx.stated(battery, "inner_resistance") && !ctx.stated(starter, "peak_current") {
        return Vec::new();
    }
    let awake: Vec<&Place> = AWAKE.iter().flat_map(|it| ctx.of_kind(it)).collect();
    let filled = ctx.world.places.iter().filter(|it| it.after.is_filled());
    let units = filled.filter(|it| {
        let must = awake.iter().any(|other| other.name == it.name) && ctx.stated(it, "voltage_window");
        must || ctx.stated(it, "starting_level")
    });
    let near = units.filter(|it| ctx.concerns(&[battery, starter, it]));
    near.filter_map(|it| one(ctx, battery, starter, it)).collect()
}

fn one(ctx: &Ctx<'_>, battery: &Place, starter: &Place, unit: &Place) -> Option<Verdict> {
    let changed = [unit, starter, battery].into_iter().find_map(|it| it.done.last());
    let site = changed.map_or(unit.site, |it| it.site);
    let what = ctx.part_shown(unit);
    let subject = format!("{}.cranking", unit.name);
    let sum = Sum::new(ctx, CHECK.name, subject, site, format!("whether {what} stays on while cranking"));
    sum.work(|sum| {
        sum.note("cables and contacts lose more; cold and age raise the inner resistance");
        let rest = sum.figure(battery, "rest_voltage");
        let inner = sum.figure(battery, "inner_resistance");
        let peak = sum.figure(starter, "peak_current");
        let level = if ctx.stated(unit, "starting_level") { sum.word(unit, "starting_level") } else { None };
        let least = match (&level, ctx.stated(unit, "voltage_window")) {
            (_, true) => sum.figure(unit, "voltage_window").and_then(lowest),
            (Some(level), false) => {
                sum.call_with("cranking_least", &[Argument::Word(level), Argument::Word("first")])
            }
            (None, false) => None,
        };
        let left = sum.call("loaded_voltage", &[rest?, inner?, peak?])?;
        let said = format!("at the {} of the starter the battery keeps {}", peak?.display(), left.display());
        Some(Answer::at_least(left, least?, &said, &format!("{what} needs {}", least?.display())))
    })
}

/// The lower end of a window.
fn lowest(window: Quantity) -> Option<Quantity> {
    Quantity::si(window.lo(), window.dimension()).ok()?.shown_in("V").ok()
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn van(battery: &str, starter: &str, brain: &str) -> String {
        format!(
            r"
family Dunlin {{ built 2009-06 to 2018-12
  place starter_battery is starter_battery
  place starter is starter
  place engine_controller is engine_controller }}
part store is starter_battery fills starter_battery {{ fitted on Dunlin, rest voltage 12.6 V, {battery} }}
part turner is starter {{ {starter} }}
module brain is engine_controller {{ {brain} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion big {{ recipient van, fit turner for starter, fit brain for engine_controller }}"
        )
    }

    /// By hand: 12.6 V − 6 mΩ × 500 A = 9.6 V.
    #[test]
    fn a_sound_battery_keeps_enough() {
        let found = check(
            "wire/crank",
            &van("inner resistance 6 mΩ", "peak current 500 A", "voltage window 6.5 V to 16 V"),
        );
        found.clear("At the 500 A of the starter the battery keeps 9.6 V; brain needs 6.5 V.");
        assert_eq!(found.only().formula.as_deref(), Some("voltage = 12.6 V − 6 mΩ × 500 A = 9.6 V"));
        assert_eq!(found.only().margin.as_deref(), Some("3.1 V"));
    }

    #[test]
    fn a_tired_one_does_not() {
        let found = check(
            "wire/crank",
            &van("inner resistance 14 mΩ", "peak current 500 A", "voltage window 6.5 V to 16 V"),
        );
        found.clash("At the 500 A of the starter the battery keeps 5.6 V, but brain needs 6.5 V.");
        assert_eq!(found.text(), "fit brain for engine_controller");
    }

    /// ISO 16750-2, level I: 8 V in the first instant.
    #[test]
    fn the_level_of_the_standard_says_it_too() {
        check("wire/crank", &van("inner resistance 10 mΩ", "peak current 500 A", "starting level I"))
            .clash("At the 500 A of the starter the battery keeps 7.6 V, but brain needs 8 V.");
    }

    #[test]
    fn what_nobody_said_is_open() {
        check("wire/crank", &van("charge capacity 70 Ah", "peak current 500 A", "voltage window 6.5 V to 16 V")).open(
            "Nobody has said the inner resistance of the starter battery: it decides whether brain stays on while \
             cranking.",
        );
        check("wire/crank", &van("charge capacity 70 Ah", "mass 4 kg", "voltage window 6.5 V to 16 V"))
            .silent();
    }
}
