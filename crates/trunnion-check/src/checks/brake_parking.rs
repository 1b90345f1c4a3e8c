//! # brake/parking
//!
//! The parking brake holds the laden vehicle on the slope that the `basis` names, or that its rule for
//! brakes asks; with the trailer it tows on the rule's slope for that.
//!
//! ## Why it matters
//!
//! A rear axle from another vehicle brings another drum and another lever ratio. What held the light
//! vehicle on the ramp lets the heavy one roll, with nobody in it. Clear on paper is not permission:
//! proven only on the tester, by a licensed person.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! basis { brakes is ece_13h }
//! family Dunlin { built 2009-06 to 2018-12
//!   place parking_brake is parking_brake }
//! part drum_small is parking_brake { hold force 4200 N }
//! vehicle van is Dunlin { built 2012-04, plated mass 2800 kg }
//! conversion axle { recipient van, fit drum_small for parking_brake }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! basis { brakes is ece_13h }
//! family Dunlin { built 2009-06 to 2018-12
//!   place parking_brake is parking_brake }
//! part drum_large is parking_brake { hold force 6100 N }
//! vehicle van is Dunlin { built 2012-04, plated mass 2800 kg }
//! conversion axle { recipient van, fit drum_large for parking_brake }
//! ```
//!
//! ## References
//!
//! 49 CFR 571.135, S7.12: 20 %, laden, both ways. UN Regulation No. 13-H, 01 series of amendments,
//! Annex 3, 2.3 (from memory, unverified): 20 %, and 12 % with an unbraked trailer. See `trunnion
//! explain slope_force` and `parking_slope`.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::fact::Known;
use trunnion_model::known;
use trunnion_model::verdict::{Fix, Verdict};
use trunnion_model::world::Place;

use crate::brakes::ruled;
use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "brake/parking", source: include_str!("brake_parking.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let all = ctx.of_kind("parking_brake");
    let spoken = all.into_iter().filter(|it| ctx.stated(it, "hold_force") && ctx.concerns(&[it]));
    spoken.flat_map(|it| [alone(ctx, it), with_trailer(ctx, it)]).flatten().collect()
}

fn begin<'c, 'a>(ctx: &'c Ctx<'a>, brake: &Place, subject: String) -> Sum<'c, 'a> {
    let site = brake.done.last().map_or(brake.site, |it| it.site);
    let mut sum = Sum::new(ctx, CHECK.name, subject, site, "whether the vehicle stays where it is left");
    sum.safety_of(&[brake]);
    sum.safety(["brakes".to_owned()]);
    sum
}

fn alone(ctx: &Ctx<'_>, brake: &Place) -> Option<Verdict> {
    begin(ctx, brake, brake.name.to_string()).work(|sum| {
        let mass = sum.of_vehicle("plated_mass");
        let slope = match ctx.basis("slope") {
            Known::Unknown => ruled(sum, "parking_slope", Some("alone")),
            _ => sum.basis("slope", ""),
        };
        holds(ctx, sum, brake, mass, slope, "the laden vehicle pushes")
    })
}

/// With the trailer, where the rule says how steep; a slope of the owner's own says nothing of it.
fn with_trailer(ctx: &Ctx<'_>, brake: &Place) -> Option<Verdict> {
    let tows = known::of_vehicle(ctx.db, ctx.workspace, ctx.world, "tows").best()?.quantity()?;
    let rule = ctx.basis("brakes").best()?.values.first()?.word()?;
    if tows.hi() <= 0.0 || rule != "ece_13h" {
        return None;
    }
    begin(ctx, brake, format!("{}.trailer", brake.name)).work(|sum| {
        let mass = sum.of_vehicle("plated_mass");
        let towed = sum.of_vehicle("tows");
        let slope = ruled(sum, "parking_slope", Some("with_trailer"));
        let both = mass?.add(&towed?).ok()?;
        sum.formula(format!("{} + {} = {}", mass?.display(), towed?.display(), both.display()));
        holds(ctx, sum, brake, Some(both), slope, "the laden vehicle and its trailer push")
    })
}

fn holds(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    brake: &Place,
    mass: Option<Quantity>,
    slope: Option<Quantity>,
    pushes: &str,
) -> Option<Answer> {
    let hold = sum.figure(brake, "hold_force");
    let push = sum.call("slope_force", &[mass?, slope?])?.shown_in("N").ok()?;
    let hold = hold?;
    sum.fixes(stronger(ctx, brake, &push));
    let said = format!("the {} holds {}", brake.shown(), hold.display());
    let needed = format!("on {} {pushes} {}", slope?.display(), push.display());
    Some(Answer::at_least(hold, push, &said, &needed))
}

/// Parking brakes of the catalogue that hold enough.
fn stronger(ctx: &Ctx<'_>, brake: &Place, push: &Quantity) -> Vec<Fix> {
    replacements(ctx, brake, &|id| {
        let found = known::of_part(ctx.db, ctx.workspace, id, "hold_force");
        let holds = found.first().and_then(|it| it.quantity());
        holds.is_some_and(|it| it.lo() >= push.hi())
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::{Found, check};

    fn van(hold: &str, vehicle: &str, basis: &str) -> Found {
        let text = format!(
            r#"
source manual "Workshop manual" documented
{basis}
family Dunlin {{ built 2009-06 to 2018-12
  place parking_brake is parking_brake }}
part drum_a is parking_brake {{ condition "new", {hold} }}
part drum_b is parking_brake fills parking_brake {{ hold force 7000 N, offer 90 EUR }}
vehicle van is Dunlin {{ built 2012-04, {vehicle} }}
conversion axle {{ recipient van, fit drum_a for parking_brake }}"#
        );
        check("brake/parking", &text)
    }

    /// By hand: 2800 kg × 9.80665 × sin(arctan 0.2) = 27 459 × 0.19612 = 5385 N.
    #[test]
    fn what_holds_is_clear() {
        let found = van("hold force 6000 N per manual", "plated mass 2800 kg", "basis { brakes is ece_13h }");
        found.clear("The parking brake holds 6000 N; on 20 % the laden vehicle pushes 5385 N.");
        assert_eq!(found.only().margin.as_deref(), Some("614.9 N"));
        assert_eq!(found.only().safety, ["brakes"]);
    }

    #[test]
    fn what_rolls_is_a_clash_and_a_stronger_one_is_offered() {
        let found = van("hold force 4200 N", "plated mass 2800 kg", "basis { slope 30 % }");
        found.clash("The parking brake holds 4200 N, but on 30 % the laden vehicle pushes 7890 N.");
        assert_eq!(found.text(), "fit drum_a for parking_brake");
        assert!(found.only().fixes.is_empty(), "7000 N is not enough either");
        let found = van("hold force 4200 N", "plated mass 2800 kg", "basis { brakes is cfr_571_135 }");
        found.clash("The parking brake holds 4200 N, but on 20 % the laden vehicle pushes 5385 N.");
        assert!(found.fixed(0).contains("replace parking_brake with drum_b"), "{}", found.fixed(0));
    }

    #[test]
    fn a_trailer_is_held_too() {
        let vehicle = "plated mass 2800 kg, tows 1900 kg";
        let found = van("hold force 5400 N", vehicle, "basis { brakes is ece_13h }");
        assert_eq!(
            found.about("parking_brake.trailer").message,
            "The parking brake holds 5400 N, but on 12 % the laden vehicle and its trailer push 5492 N."
        );
        assert_eq!(found.about("parking_brake").outcome.word(), "clear");
    }

    #[test]
    fn what_nobody_said_is_open() {
        van("hold force 5400 N", "tows 0 kg", "basis { brakes is ece_13h }").open(
            "Nobody has said the total mass on the plate of the vehicle: it decides whether the vehicle stays \
             where it is left.",
        );
        van("hold force 5400 N", "plated mass 2800 kg", "").open(
            "Nobody has said which basis is taken for the brakes: it decides whether the vehicle stays where \
             it is left.",
        );
        van("material \"steel\"", "plated mass 2800 kg", "").silent();
    }
}
