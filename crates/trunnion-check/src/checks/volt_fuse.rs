//! # volt/fuse
//!
//! The main fuse of the pack breaks the current of a dead short, carries what the drive draws all the
//! time, and the contactor carries the same and holds the pack's voltage.
//!
//! ## Why it matters
//!
//! A fuse with too little breaking capacity does not open: it burns on as an arc. Licensed work: clear
//! on paper is not permission.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery }
//! part block is traction_battery { voltage window 300 V to 400 V, inner resistance 80 mΩ, fuse 300 A,
//!   breaking capacity 4000 A }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery }
//! part block is traction_battery { voltage window 300 V to 400 V, inner resistance 80 mΩ, fuse 300 A,
//!   breaking capacity 10000 A }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery }
//! ```
//!
//! ## References
//!
//! Prospective short-circuit current: Ohm's law with the inner resistance alone, which is the worst
//! case; see `trunnion explain short_circuit_current`. Ratings: stated data.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::pack::{Pack, highest, pack};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/fuse", source: include_str!("volt_fuse.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(pack) = pack(ctx).filter(|it| it.begun(ctx)) else { return Vec::new() };
    let mut verdicts: Vec<Verdict> = breaks(ctx, &pack).into_iter().collect();
    verdicts.extend(carries(ctx, &pack, pack.place, "fuse", "the main fuse"));
    for contactor in ctx.of_kind("contactor") {
        verdicts.extend(carries(ctx, &pack, contactor, "continuous_current", &ctx.part_shown(contactor)));
        verdicts.extend(holds(ctx, &pack, contactor));
    }
    verdicts
}

fn sum<'c, 'a>(
    ctx: &'c Ctx<'a>,
    pack: &Pack<'_>,
    place: &Place,
    subject: &str,
    hangs: String,
) -> Sum<'c, 'a> {
    let site = place.done.last().or(pack.place.done.last()).map_or(place.site, |it| it.site);
    let mut sum = Sum::new(ctx, CHECK.name, format!("{}.{subject}", place.name), site, hangs);
    sum.safety_of(&[pack.place, place]);
    sum
}

fn breaks(ctx: &Ctx<'_>, pack: &Pack<'_>) -> Option<Verdict> {
    let hangs = "whether the main fuse opens on a dead short".to_owned();
    sum(ctx, pack, pack.place, "breaking_capacity", hangs).work(|sum| {
        let window = sum.figure(pack.place, "voltage_window");
        let inner = sum.figure(pack.place, "inner_resistance");
        let breaks = sum.figure(pack.place, "breaking_capacity");
        let nothing = Quantity::exact(0.0, "mΩ").ok()?;
        let short = sum.call("short_circuit_current", &[highest(&window?)?, inner?, nothing])?;
        sum.good(format!("at least {}", short.display()));
        let breaks = breaks?;
        let said = format!("a dead short draws {}", short.display());
        Some(Answer::at_most(short, breaks, &said, &format!("the main fuse breaks {}", breaks.display())))
    })
}

/// That a fuse or contactor carries what the drive draws all the time.
fn carries(ctx: &Ctx<'_>, pack: &Pack<'_>, place: &Place, measure: &str, what: &str) -> Option<Verdict> {
    let inverter = ctx.only_of_kind("inverter")?;
    if !ctx.stated(inverter, "continuous_current") && !ctx.stated(place, measure) {
        return None;
    }
    let hangs = format!("whether {what} carries the drive");
    sum(ctx, pack, place, measure, hangs).work(|sum| {
        let drawn = sum.figure(inverter, "continuous_current");
        let rated = sum.figure(place, measure);
        let drawn = drawn?;
        sum.good(format!("at least {}", drawn.display()));
        let rated = rated?;
        let said = format!("{what} carries {}", rated.display());
        let needed = format!("{} draws {} all the time", ctx.part_shown(inverter), drawn.display());
        Some(Answer::at_least(rated, drawn, &said, &needed))
    })
}

fn holds(ctx: &Ctx<'_>, pack: &Pack<'_>, contactor: &Place) -> Option<Verdict> {
    let what = ctx.part_shown(contactor);
    sum(ctx, pack, contactor, "rated_voltage", format!("whether {what} breaks the pack's voltage")).work(
        |sum| {
            let window = sum.figure(pack.place, "voltage_window");
            let rated = sum.figure(contactor, "rated_voltage");
            let most = highest(&window?)?;
            sum.good(format!("at least {}", most.display()));
            let rated = rated?;
            let said = format!("{what} breaks {}", rated.display());
            Some(Answer::at_least(rated, most, &said, &format!("the pack has {} when full", most.display())))
        },
    )
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn pack(battery: &str, contactor: &str) -> String {
        format!(
            r"
family Plover {{ built 1968-01 to 1974-12
  place traction_battery is traction_battery
  place inverter is inverter
  place main_contactor is contactor }}
part block is traction_battery {{ voltage window 300 V to 400 V, inner resistance 100 mΩ, {battery} }}
part drive is inverter {{ continuous current 180 A }}
part closer is contactor {{ {contactor} }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit block for traction_battery, fit drive for inverter, fit closer for main_contactor }}"
        )
    }

    #[test]
    fn ratings_that_hold_are_clear() {
        let text =
            pack("fuse 250 A, breaking capacity 10000 A", "rated voltage 500 V, continuous current 200 A");
        let found = check("volt/fuse", &text);
        let short = found.about("traction_battery.breaking_capacity");
        assert_eq!(short.message, "A dead short draws 4000 A; the main fuse breaks 10000 A.");
        assert_eq!(short.formula.as_deref(), Some("current = 400 V / (100 mΩ + 0 mΩ) = 4000 A"));
        assert!(found.verdicts().iter().all(|it| it.outcome.word() == "clear"), "{}", found.listing());
        assert_eq!(found.verdicts().len(), 4);
    }

    #[test]
    fn a_fuse_that_cannot_break_the_short_is_a_clash() {
        let text =
            pack("fuse 250 A, breaking capacity 3000 A", "rated voltage 500 V, continuous current 200 A");
        let found = check("volt/fuse", &text);
        let short = found.about("traction_battery.breaking_capacity");
        assert_eq!(short.message, "A dead short draws 4000 A, but the main fuse breaks 3000 A.");
        assert_eq!(found.text_of(short), "fit block for traction_battery");
    }

    #[test]
    fn a_contactor_too_small_is_a_clash() {
        let text =
            pack("fuse 250 A, breaking capacity 9000 A", "rated voltage 350 V, continuous current 150 A");
        let found = check("volt/fuse", &text);
        let message = &found.about("main_contactor.rated_voltage").message;
        assert_eq!(message, "Closer breaks 350 V, but the pack has 400 V when full.");
        let message = &found.about("main_contactor.continuous_current").message;
        assert_eq!(message, "Closer carries 150 A, but drive draws 180 A all the time.");
    }

    #[test]
    fn what_the_fuse_breaks_is_asked() {
        let found = check("volt/fuse", &pack("fuse 250 A", "rated voltage 500 V, continuous current 200 A"));
        let short = found.about("traction_battery.breaking_capacity");
        assert_eq!(short.outcome.word(), "open");
        assert_eq!(short.question.as_ref().and_then(|it| it.good.as_deref()), Some("at least 4000 A"));
    }
}
