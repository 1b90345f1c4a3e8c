//! # drive/clutch
//!
//! The clutch carries the peak torque of the engine in front of it, with the safety factor of the
//! `basis` (1.3 where none is stated), counted for a worn-in lining.
//!
//! ## Why it matters
//!
//! A clutch that is too small does not fail on the drive: it slips on the first long hill with a
//! trailer, and glazes.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind engine { asks peak torque }
//! kind clutch { asks clutch diameter }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place clutch is clutch
//!   joint engine.crank to clutch.cover }
//! part strong_diesel is engine { peak torque 380 Nm, face crank }
//! part small is clutch fills clutch { fitted on Dunlin, face cover, clutch diameter 240 mm,
//!   lining bore 155 mm, clamp load 5200 N, lining friction 0.27, friction faces 2 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion stronger { recipient van, fit strong_diesel for engine }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind engine { asks peak torque }
//! kind clutch { asks clutch diameter }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place clutch is clutch
//!   joint engine.crank to clutch.cover }
//! part strong_diesel is engine { peak torque 380 Nm, face crank }
//! part large is clutch { face cover, clutch diameter 260 mm, lining bore 165 mm, clamp load 9800 N,
//!   lining friction 0.27, friction faces 2 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion stronger { recipient van, fit strong_diesel for engine, fit large for clutch }
//! ```
//!
//! ## References
//!
//! Uniform wear: torque = friction × clamp load × mean radius × faces, as machine-design handbooks
//! have it; see `trunnion explain clutch_torque_wear`. The factor 1.3: common practice, no source.

use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "drive/clutch", source: include_str!("drive_clutch.rs"), judge: Judge::World(judge) };

/// What a clutch states that a sum can be made of.
const OF_CLUTCH: [&str; 4] = ["clamp_load", "clutch_diameter", "lining_bore", "lining_friction"];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(engine) = ctx.only_of_kind("engine") else { return Vec::new() };
    ctx.of_kind("clutch").into_iter().filter_map(|it| one(ctx, engine, it)).collect()
}

fn one(ctx: &Ctx<'_>, engine: &Place, clutch: &Place) -> Option<Verdict> {
    let begun = OF_CLUTCH.iter().any(|it| ctx.stated(clutch, it)) || ctx.stated(engine, "peak_torque");
    if !begun || !(engine.changed() || clutch.changed() || ctx.world.conversion.is_none()) {
        return None;
    }
    let site = clutch.done.last().or(engine.done.last()).map_or(clutch.site, |it| it.site);
    let hangs = "whether the clutch carries the engine";
    let sum = Sum::new(ctx, CHECK.name, &*clutch.name, site, hangs);
    sum.work(|sum| {
        let torque = sum.figure(engine, "peak_torque");
        let friction = sum.figure(clutch, "lining_friction");
        let load = sum.figure(clutch, "clamp_load");
        let outer = sum.figure(clutch, "clutch_diameter");
        let inner = sum.figure(clutch, "lining_bore");
        let faces = sum.figure(clutch, "friction_faces");
        let factor = sum.basis_or("clutch_factor", 1.3, "")?;
        let torque = torque?;
        let needed = torque.mul(&factor).ok()?.shown_in("Nm").ok()?;
        sum.good(format!("what carries {}", needed.display()));
        let carried = sum.call("clutch_torque_wear", &[friction?, load?, outer?, inner?, faces?])?;
        let said = format!("the {} carries {}", clutch.shown(), carried.display());
        let wanted = format!("{} × {} = {} are needed", torque.display(), factor.display(), needed.display());
        Some(Answer::at_least(carried, needed, &said, &wanted))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn clutch(facts: &str, engine: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
kind engine {{ asks peak torque }}
kind clutch {{ asks clutch diameter }}
family Dunlin {{ built 2009-06 to 2018-12
  place engine is engine
  place clutch is clutch
  joint engine.crank to clutch.cover }}
part strong is engine {{ peak torque {engine} per manual, face crank }}
part disc is clutch fills clutch {{ fitted on Dunlin, face cover, clutch diameter 240 mm, lining bore 160 mm,
  friction faces 2, {facts} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion stronger {{ recipient van, fit strong for engine }}"#
        )
    }

    #[test]
    fn what_carries_the_torque_is_clear() {
        let found = check("drive/clutch", &clutch("clamp load 8000 N, lining friction 0.27", "300 Nm"));
        found.clear("The clutch carries 432 Nm; 300 Nm × 1.3 = 390 Nm are needed.");
        assert_eq!(found.only().margin.as_deref(), Some("42 Nm"));
        let formula = found.only().formula.as_deref();
        assert_eq!(formula, Some("torque = 2 × 0.27 × 8000 N × (240 mm + 160 mm) / 4 = 432 Nm"));
    }

    #[test]
    fn what_slips_is_a_clash() {
        let found = check("drive/clutch", &clutch("clamp load 6000 N, lining friction 0.27", "300 Nm"));
        found.clash("The clutch carries 324 Nm, but 300 Nm × 1.3 = 390 Nm are needed.");
        assert_eq!(found.text(), "fit strong for engine");
    }

    #[test]
    fn what_nobody_said_is_open_with_what_would_be_good() {
        let found = check("drive/clutch", &clutch("clamp load 6000 N", "300 Nm"));
        found.open(
            "Nobody has said the friction of the lining of the clutch; good would be what carries 390 Nm: \
             it decides whether the clutch carries the engine.",
        );
    }

    #[test]
    fn tolerances_that_leave_both_possible_are_open() {
        let found =
            check("drive/clutch", &clutch("clamp load 6000 N to 8000 N, lining friction 0.27", "300 Nm"));
        assert_eq!(found.only().outcome.word(), "open");
    }
}
