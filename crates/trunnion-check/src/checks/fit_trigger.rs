//! # fit/trigger
//!
//! The ring that the crank sensor counts has the teeth, and the teeth left out, that the engine
//! controller expects; its gap to the sensor and the angle of its mark are within what is stated.
//!
//! ## Why it matters
//!
//! An engine whose ring has two teeth fewer than its controller counts turns over for ever and does not
//! start; one whose mark sits a few degrees off starts, runs, and burns its pistons. The ring often sits
//! on the flywheel, which comes from the other gearbox.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Tern { built 2008-05 to 2014-12
//!   place flywheel is flywheel
//!   place engine_controller is engine_controller }
//! part wheel_36 is flywheel { pulses 34, missing teeth 2 }
//! module controller is engine_controller fills engine_controller { fitted on Tern, expected pulses 58,
//!   expected missing teeth 2 }
//! vehicle van is Tern { built 2011-06 }
//! conversion wheel { recipient van, fit wheel_36 for flywheel }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Tern { built 2008-05 to 2014-12
//!   place flywheel is flywheel
//!   place engine_controller is engine_controller }
//! part wheel_60 is flywheel { pulses 58, missing teeth 2 }
//! module controller is engine_controller fills engine_controller { fitted on Tern, expected pulses 58,
//!   expected missing teeth 2 }
//! vehicle van is Tern { built 2011-06 }
//! conversion wheel { recipient van, fit wheel_60 for flywheel }
//! ```
//!
//! ## References
//!
//! Counting; what is expected stands in the specification. One degree either way for the angle of the
//! mark where the `basis` states no `trigger tolerance`: common practice, no source.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::fact::Known;
use trunnion_model::known;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "fit/trigger", source: include_str!("fit_trigger.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(listener) = ctx.only_of_kind("engine_controller") else { return Vec::new() };
    let Some(ring) = ring(ctx) else { return Vec::new() };
    if !ctx.concerns(&[ring, listener]) {
        return Vec::new();
    }
    let said = |place: &Place, measure: &str| ctx.stated(place, measure);
    let mut verdicts = Vec::new();
    if said(listener, "expected_pulses") || counts(ctx, ring) {
        verdicts.extend(teeth(ctx, ring, listener));
    }
    let sensors = ctx.of_kind("sensor").into_iter().filter(|it| is_crank(it));
    let gap_at = std::iter::once(ring).chain(sensors).find(|it| said(it, "sensor_gap"));
    if gap_at.is_some() || said(listener, "expected_gap") {
        verdicts.extend(gap(ctx, gap_at.unwrap_or(ring), listener));
    }
    if said(ring, "trigger_angle") || said(listener, "expected_angle") {
        verdicts.extend(angle(ctx, ring, listener));
    }
    verdicts
}

fn is_crank(place: &Place) -> bool {
    place.name.split('_').any(|it| it == "crank")
}

/// Whether a figure is stated for the teeth, not that there is no ring.
fn counts(ctx: &Ctx<'_>, place: &Place) -> bool {
    matches!(ctx.fact(place, "pulses"), Known::Stated(_) | Known::Disputed(_))
}

/// Where the ring sits: at the place that states its teeth; else on the flywheel, unless it is said
/// that there is none.
fn ring<'a>(ctx: &Ctx<'a>) -> Option<&'a Place> {
    let flywheel = ctx.only_of_kind("flywheel");
    let of = [flywheel, ctx.only_of_kind("engine")];
    let sensors = ctx.of_kind("sensor").into_iter().filter(|it| is_crank(it));
    let all: Vec<&Place> = of.into_iter().flatten().chain(sensors).collect();
    let none = |it: &&&Place| !matches!(ctx.fact(it, "pulses"), Known::Nothing(_));
    all.iter().find(|it| counts(ctx, it)).or(all.iter().find(none)).copied()
}

fn begin<'c, 'a>(ctx: &'c Ctx<'a>, ring: &Place, listener: &Place, about: &str) -> Sum<'c, 'a> {
    let site = ring.done.last().or(listener.done.last()).map_or(ring.site, |it| it.site);
    Sum::new(ctx, CHECK.name, format!("{}.{about}", ring.name), site, "whether the engine finds its mark")
}

fn teeth(ctx: &Ctx<'_>, ring: &Place, listener: &Place) -> Option<Verdict> {
    begin(ctx, ring, listener, "teeth").work(|sum| {
        let there = sum.figure(ring, "pulses");
        let wanted = sum.figure(listener, "expected_pulses");
        let out = ["missing_teeth", "expected_missing_teeth"];
        let left_out = ctx.stated(ring, out[0]) || ctx.stated(listener, out[1]);
        let missing = if left_out { sum.figure(ring, out[0]) } else { None };
        let wanted_missing = if left_out { sum.figure(listener, out[1]) } else { None };
        let (there, wanted) = (there?, wanted?);
        let same = there.within(&wanted, &Quantity::number(0.0).ok()?).ok()?;
        let (mut has, mut needs) = (there.display(), wanted.display());
        let mut truth = same;
        if left_out {
            let (missing, wanted_missing) = (missing?, wanted_missing?);
            has = format!("{has} and {} left out", missing.display());
            needs = format!("{needs} and {} left out", wanted_missing.display());
            if missing.within(&wanted_missing, &Quantity::number(0.0).ok()?).ok()? != Truth::Yes {
                truth = Truth::No;
            }
        }
        sum.fixes(replacements(ctx, ring, &|id| {
            let found = known::of_part(ctx.db, ctx.workspace, id, "pulses");
            found.first().and_then(|it| it.quantity()).is_some_and(|it| it.overlaps(&wanted) == Ok(true))
        }));
        let said = format!("the ring of the {} has {has}", ring.shown());
        let answer = Answer::told(truth, &said, &format!("{} expects {needs}", ctx.part_shown(listener)));
        Some(answer.need(needs, has))
    })
}

fn gap(ctx: &Ctx<'_>, at: &Place, listener: &Place) -> Option<Verdict> {
    begin(ctx, at, listener, "sensor_gap").work(|sum| {
        let there = sum.figure(at, "sensor_gap");
        let window = sum.figure(listener, "expected_gap");
        let (there, window) = (there?, window?);
        let said = format!("the sensor stands {} from the ring", there.display());
        Some(Answer::inside(there, window, &said, &format!("{} are asked", window.display())))
    })
}

fn angle(ctx: &Ctx<'_>, ring: &Place, listener: &Place) -> Option<Verdict> {
    begin(ctx, ring, listener, "trigger_angle").work(|sum| {
        let there = sum.figure(ring, "trigger_angle");
        let wanted = sum.figure(listener, "expected_angle");
        let allowed = sum.basis_or("trigger_tolerance", 1.0, "°")?;
        let (there, wanted) = (there?, wanted?);
        let said = format!("the mark of the ring sits {} before top dead centre", there.display());
        let needs =
            format!("{} expects {} ± {}", ctx.part_shown(listener), wanted.display(), allowed.display());
        Some(Answer::within(there, wanted, allowed, &said, &needs))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::{Found, check};

    fn van(ring: &str, controller: &str) -> Found {
        let text = format!(
            r#"
source manual "Workshop manual" documented
family Tern {{ built 2008-05 to 2014-12
  place flywheel is flywheel
  place engine is engine
  place engine_controller is engine_controller }}
part wheel is flywheel {{ condition "new", {ring} }}
part wheel_60 is flywheel fills flywheel {{ pulses 58, offer 200 EUR }}
module controller is engine_controller fills engine_controller {{ fitted on Tern, coding "a", {controller} }}
part diesel is engine fills engine {{ fitted on Tern, idle speed 830 rpm }}
vehicle van is Tern {{ built 2011-06 }}
conversion swap {{ recipient van, fit wheel for flywheel }}"#
        );
        check("fit/trigger", &text)
    }

    #[test]
    fn the_teeth_that_are_expected_are_clear() {
        let found =
            van("pulses 58 per manual, missing teeth 2", "expected pulses 58, expected missing teeth 2");
        found.clear("The ring of the flywheel has 58 and 2 left out; controller expects 58 and 2 left out.");
    }

    #[test]
    fn other_teeth_are_a_clash_and_another_wheel_is_offered() {
        let found = van("pulses 34", "expected pulses 58");
        found.clash("The ring of the flywheel has 34, but controller expects 58.");
        assert_eq!(found.text(), "fit wheel for flywheel");
        assert!(found.fixed(0).contains("replace flywheel with wheel_60"), "{}", found.fixed(0));
        van("pulses 58, missing teeth 1", "expected pulses 58, expected missing teeth 2").clash(
            "The ring of the flywheel has 58 and 1 left out, but controller expects 58 and 2 left out.",
        );
    }

    #[test]
    fn gap_and_angle_have_their_own_verdicts() {
        let ring = "pulses 58, sensor gap 0.9 mm, trigger angle 84 °";
        let found = van(ring, "expected pulses 58, expected gap 0.5 mm to 1.5 mm, expected angle 84 °");
        assert_eq!(
            found.about("flywheel.sensor_gap").message,
            "The sensor stands 0.9 mm from the ring; 0.5 to 1.5 mm are asked."
        );
        assert_eq!(found.about("flywheel.trigger_angle").outcome.word(), "clear");
        let found = van(ring, "expected pulses 58, expected gap 1.0 mm to 1.5 mm, expected angle 78 °");
        assert_eq!(found.about("flywheel.sensor_gap").outcome.word(), "clash");
        assert_eq!(
            found.about("flywheel.trigger_angle").message,
            "The mark of the ring sits 84° before top dead centre, but controller expects 78° ± 1°."
        );
    }

    #[test]
    fn what_nobody_said_is_open_and_a_ring_elsewhere_is_found() {
        van("mass 12 kg", "expected pulses 58").open(
            "Nobody has said the pulses a turn of the flywheel: it decides whether the engine finds its mark.",
        );
        van("mass 12 kg", "wake up \"ignition\"").silent();
        van("pulses none", "wake up \"ignition\"").silent();
        van("pulses none", "expected pulses 58").silent();
    }
}
