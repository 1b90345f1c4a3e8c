//! # carry/retention
//!
//! The mounts and bolts of a battery hold it at the deceleration that the `basis` asks: its mass times
//! that, against what they bear for a moment.
//!
//! ## Why it matters
//!
//! In a crash a battery weighs twenty times what it does on the scales. One that comes loose is a missile
//! with its own short circuit. Lifting and high voltage are for licensed people: clear on paper is not
//! permission, and which deceleration holds is for local rules.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! basis { retention 196 m/s² }
//! kind floor { asks mount rails }
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place body is floor
//!   joint traction_battery.frame to body.rails }
//! part block is traction_battery { mass 210 kg, mount frame { holes 8 on 640 mm, bore 12.5 mm } }
//! part shell is floor fills body { fitted on Plover, mount rails { holes 8 on 640 mm, thread M12 }, rails.mount_force 30 kN }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! basis { retention 196 m/s² }
//! kind floor { asks mount rails }
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place body is floor
//!   joint traction_battery.frame to body.rails }
//! part block is traction_battery { mass 210 kg, mount frame { holes 8 on 640 mm, bore 12.5 mm } }
//! part shell is floor fills body { fitted on Plover, mount rails { holes 8 on 640 mm, thread M12 }, rails.mount_force 60 kN }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery }
//! ```
//!
//! ## References
//!
//! Newton's second law: `trunnion explain retention_force`, which names a rule for packs from memory,
//! unverified. Bolts, where their thread and property class are stated: ISO 898-1:2013 and distortion
//! energy, `trunnion explain bolt_shear_load`. Of mounts and bolts the weaker speaks.

use trunnion_handbook::quantity::Quantity;
use trunnion_handbook::thread::Thread;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::bolting::{bolts, of_joint};
use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::driveline::{beside, number};
use crate::mounts::{Mount, begun, force, mounts};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "carry/retention", source: include_str!("carry_retention.rs"), judge: Judge::World(judge) };

/// What kinds are held so.
const HELD: [&str; 2] = ["traction_battery", "battery"];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let chosen = !ctx.basis("retention").claims().is_empty();
    let places = HELD.iter().flat_map(|it| ctx.of_kind(it)).filter(|it| ctx.stated(it, "mass"));
    let with = places.map(|it| (it, mounts(ctx, it)));
    with.filter(|(it, mounts)| {
        let changes = ctx.concerns(&[it]) || mounts.iter().any(|it| it.other.changed());
        // One that is not joined is a loose end.
        changes && !mounts.is_empty() && (chosen || begun(ctx, it, mounts))
    })
    .filter_map(|(it, mounts)| one(ctx, it, &mounts))
    .collect()
}

fn one(ctx: &Ctx<'_>, place: &Place, mounts: &[Mount<'_>]) -> Option<Verdict> {
    let site = place.done.last().map_or(place.site, |it| it.site);
    let hangs = format!("whether {} stays where it is in a crash", ctx.part_shown(place));
    let mut sum = Sum::new(ctx, CHECK.name, format!("{}.mass", place.name), site, hangs);
    sum.safety_of(&[place]);
    sum.work(|sum| {
        let mass = sum.figure(place, "mass");
        let asked = sum.basis("retention", "the deceleration that local rules ask for, as 196 m/s²");
        let bears: Vec<Option<Quantity>> = mounts.iter().map(|it| force(ctx, sum, place, it)).collect();
        let bolted: Vec<Option<Quantity>> = mounts.iter().map(|it| across(ctx, sum, it)).collect();
        let pulls = sum.call("retention_force", &[mass?, asked?])?;
        sum.good(format!("at least {} on {} together", pulls.display(), mounts_word(mounts.len())));
        let bears = total(bears)?;
        let (limit, what) = match total(bolted) {
            Some(bolts) if bolts.lo() < bears.lo() => (bolts, "its bolts bear"),
            _ => (bears, if mounts.len() == 1 { "its mount bears" } else { "its mounts bear" }),
        };
        let limit = limit.shown_in("kN").ok()?;
        let said =
            format!("at {} {} pulls with {}", asked?.display(), ctx.part_shown(place), pulls.display());
        Some(Answer::at_most(pulls, limit, &said, &format!("{what} {}", limit.display())))
    })
}

fn mounts_word(count: usize) -> String {
    if count == 1 { "the mount".to_owned() } else { format!("the {count} mounts") }
}

fn total(all: Vec<Option<Quantity>>) -> Option<Quantity> {
    let mut all = all.into_iter();
    let first = all.next()??;
    all.try_fold(first, |sum, it| sum.add(&it?).ok())
}

/// What the bolts of a mount bear across, where their thread and class are stated.
fn across(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, mount: &Mount<'_>) -> Option<Quantity> {
    let (a, b) = (ctx.mate(&mount.end)?, ctx.mate(&mount.by)?);
    let (holes, thread) = bolts(&a, &b)?;
    let thread = Thread::parse(thread?).ok()?;
    let known = of_joint(ctx, &a, &b, "property_class");
    let found = known.best()?;
    let class: f64 = found.display().trim().parse().ok()?;
    let one =
        [Quantity::exact(thread.major_mm(), "mm").ok()?, Quantity::exact(thread.pitch_mm(), "mm").ok()?];
    let proof = beside("proof_load", &[one[0], one[1], number(class)?])?;
    sum.rests_on(found);
    sum.source("ISO 898-1:2013, proof load of bolts");
    sum.call("bolt_shear_load", &[proof, number(f64::from(holes.count.value))?])
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn roadster(basis: &str, body: &str) -> String {
        format!(
            r#"
source bench "Measured" measured
source sheet "Data sheet" documented
{basis}
kind floor {{ asks mount rails }}
family Plover {{ built 1968-01 to 1974-12
  place traction_battery is traction_battery
  place body is floor
  joint traction_battery.frame to body.rails }}
part block is traction_battery {{ mass 100 kg ± 1 kg per bench, mount frame {{ holes 4 on 640 mm, bore 9 mm }} }}
part shell is floor fills body {{ fitted on Plover, mount rails {{ holes 4 on 640 mm, thread M8 }}, {body} }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit block for traction_battery }}"#
        )
    }

    const CHOSEN: &str = "basis { retention 200 m/s² }";

    /// By hand: 100 kg × 200 m/s² = 20 kN.
    #[test]
    fn mass_times_deceleration_against_what_the_mount_bears() {
        let found = check("carry/retention", &roadster(CHOSEN, "rails.mount_force 25 kN per sheet"));
        found.clear("At 200 m/s² block pulls with 19.8 to 20.2 kN; its mount bears 25 kN.");
        assert!(found.only().safety.contains(&"high_voltage".to_owned()));
        let found = check("carry/retention", &roadster(CHOSEN, "rails.mount_force 12 kN per sheet"));
        found.clash("At 200 m/s² block pulls with 19.8 to 20.2 kN, but its mount bears 12 kN.");
        assert_eq!(found.text(), "fit block for traction_battery");
    }

    /// ISO 898-1:2013, Table 5: M8 of class 8.8 proves 21 200 N; 4 × 21.2 / √3 = 48.96 kN.
    #[test]
    fn weaker_bolts_speak() {
        let body = "rails.mount_force 80 kN per sheet, property class \"8.8\" per sheet";
        let heavy = "basis { retention 600 m/s² }";
        let found = check("carry/retention", &roadster(heavy, body));
        found.clash("At 600 m/s² block pulls with 59.4 to 60.6 kN, but its bolts bear 49.04 kN.");
    }

    #[test]
    fn basis_and_mount_are_asked() {
        check("carry/retention", &roadster("", "rails.mount_force 25 kN")).open(
            "Nobody has said which basis is taken for the retention: it decides whether block stays where it is in a crash.",
        );
        check("carry/retention", &roadster(CHOSEN, "mass 1 kg")).open(
            "Nobody has said the force that the mount rails of shell bears for a moment; \
             good would be at least 19.8 to 20.2 kN on the mount together: it decides whether block stays where it is in a crash.",
        );
        check("carry/retention", &roadster("", "mass 1 kg")).silent();
    }
}
