//! # drive/launch
//!
//! The heat of one launch, laden and with the trailer, is no more than the clutch takes at once.
//!
//! ## Why it matters
//!
//! A clutch that carries the torque burns all the same when first gear is too long or the trailer too
//! heavy: all of the heat is made between letting it in and rolling as fast as the gear wants.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place clutch is clutch
//!   place gearbox is manual_gearbox
//!   place final_drive is final_drive }
//! part disc is clutch fills clutch { fitted on Dunlin, launch heat 40 kJ }
//! part long_five is manual_gearbox { ratios 3.10, 2.00, 1.40, 1.00 }
//! part axle is final_drive fills final_drive { fitted on Dunlin, ratio 3.69 }
//! vehicle van is Dunlin { built 2012-04, plated mass 2800 kg, tows 1500 kg, rolling circumference 2068 mm }
//! conversion easy { recipient van, fit long_five for gearbox }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place clutch is clutch
//!   place gearbox is manual_gearbox
//!   place final_drive is final_drive }
//! part disc is clutch fills clutch { fitted on Dunlin, launch heat 40 kJ }
//! part short_five is manual_gearbox { ratios 4.72, 2.53, 1.49, 1.00 }
//! part axle is final_drive fills final_drive { fitted on Dunlin, ratio 3.69 }
//! vehicle van is Dunlin { built 2012-04, plated mass 2800 kg, tows 1500 kg, rolling circumference 2068 mm }
//! conversion easy { recipient van, fit short_five for gearbox }
//! ```
//!
//! ## References
//!
//! The engine is taken to be held at one speed until the clutch closes, which makes as much heat as the
//! vehicle gains in motion: `trunnion explain launch_heat`. Letting the engine fall makes less, at
//! least what `trunnion explain clutch_energy` tells. Launched at 2000 rpm: common practice, no source.

use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::driveline::{circumference, final_drive, gearbox};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "drive/launch", source: include_str!("drive_launch.rs"), judge: Judge::World(judge) };

/// The engine speed at which a loaded vehicle is set off, in rpm: common practice, no source.
const LAUNCHED: f64 = 2000.0;

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let (Some(clutch), Some(gearbox)) = (ctx.only_of_kind("clutch"), gearbox(ctx)) else { return Vec::new() };
    let Some(axle) = final_drive(ctx) else { return Vec::new() };
    let begun = ctx.stated(clutch, "launch_heat") && ctx.concerns(&[clutch, gearbox, axle]);
    begun.then(|| one(ctx, clutch, gearbox, axle)).flatten().into_iter().collect()
}

fn one(ctx: &Ctx<'_>, clutch: &Place, gearbox: &Place, axle: &Place) -> Option<Verdict> {
    let done = [clutch, gearbox, axle].iter().find_map(|it| it.done.last());
    let hangs = format!("whether the {} stands setting off", clutch.shown());
    let subject = format!("{}.launch_heat", clutch.name);
    Sum::new(ctx, CHECK.name, subject, done.map_or(clutch.site, |it| it.site), hangs).work(|sum| {
        let takes = sum.figure(clutch, "launch_heat");
        let ratios = sum.figures(gearbox, "ratios");
        let last = sum.figure(axle, "ratio");
        let plated = sum.of_vehicle("plated_mass");
        let tows = sum.maybe_of_vehicle("tows");
        let rolled = circumference(ctx, sum);
        let speed = sum.basis_or("launch_speed", LAUNCHED, "rpm")?;
        let first = ratios?.into_iter().max_by(|a, b| a.hi().total_cmp(&b.hi()))?;
        let mut mass = plated?;
        if let Some(tows) = tows {
            let both = mass.add(&tows).ok()?;
            sum.formula(format!("{} + {} = {}", mass.display(), tows.display(), both.display()));
            mass = both;
        }
        let closes = sum.call("road_speed", &[speed, first, last?, rolled?])?;
        let heat = sum.call("launch_heat", &[mass, closes])?.shown_in("kJ").ok()?;
        let takes = takes?.shown_in("kJ").ok()?;
        sum.note("On the level: a hill adds the work against it.");
        let said =
            format!("setting off with {} at {} makes {}", mass.display(), speed.display(), heat.display());
        Some(Answer::at_most(
            heat,
            takes,
            &said,
            &format!("{} takes {}", ctx.part_shown(clutch), takes.display()),
        ))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn van(clutch: &str, first: &str, vehicle: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
basis {{ launch speed 1500 rpm }}
family Dunlin {{ built 2009-06 to 2018-12, driven rear
  place clutch is clutch
  place gearbox is manual_gearbox
  place final_drive is final_drive }}
part disc is clutch fills clutch {{ fitted on Dunlin, {clutch} }}
part five is manual_gearbox {{ ratios {first}, 2.00, 1.40, 1.00 per manual }}
part axle is final_drive fills final_drive {{ fitted on Dunlin, ratio 3.00 per manual }}
vehicle van is Dunlin {{ built 2012-04, rolling circumference 2000 mm, {vehicle} }}
conversion easy {{ recipient van, fit five for gearbox }}"#
        )
    }

    /// By hand: 1500 rpm / 4 / 3 × 2 m = 250 m/min = 4.1667 m/s; ½ × 2000 kg × 17.361 = 17.36 kJ.
    #[test]
    fn a_short_first_gear_is_clear() {
        let found =
            check("drive/launch", &van("launch heat 40 kJ per manual", "4.00", "plated mass 2000 kg"));
        found.clear("Setting off with 2000 kg at 1500 rpm makes 17.36 kJ; disc takes 40 kJ.");
        let formula = found.only().formula.as_deref().unwrap_or_default();
        assert!(
            formula.ends_with("per turn = 15 km/h; heat = ½ × 2000 kg × closing_speed² = 17.36 kJ"),
            "{formula}"
        );
    }

    /// By hand: half the ratio is four times the heat; with as much again behind, eight times.
    #[test]
    fn a_long_one_with_a_trailer_is_a_clash() {
        let vehicle = "plated mass 2000 kg, tows 2000 kg";
        let found = check("drive/launch", &van("launch heat 40 kJ per manual", "2.00", vehicle));
        found.clash("Setting off with 4000 kg at 1500 rpm makes 138.9 kJ, but disc takes 40 kJ.");
        assert_eq!(found.text(), "fit five for gearbox");
    }

    #[test]
    fn the_mass_is_asked() {
        check("drive/launch", &van("launch heat 40 kJ", "4.00", "tows 1000 kg")).open(
            "Nobody has said the total mass on the plate of the vehicle: it decides whether the clutch stands setting off.",
        );
        check("drive/launch", &van("clutch diameter 240 mm", "4.00", "tows 1000 kg")).silent();
    }
}
