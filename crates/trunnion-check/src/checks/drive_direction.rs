//! # drive/direction
//!
//! An engine or motor that takes the place of another turns the same way round.
//!
//! ## Why it matters
//!
//! A gearbox behind an engine that turns the other way has one gear forward and many backward.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine }
//! part diesel is engine fills engine { fitted on Dunlin, direction clockwise }
//! part odd is engine { direction anticlockwise }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion other { recipient van, fit odd for engine }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine }
//! part diesel is engine fills engine { fitted on Dunlin, direction clockwise }
//! part usual is engine { direction clockwise }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion other { recipient van, fit usual for engine }
//! ```
//!
//! ## References
//!
//! Stated data, both seen from the same end. Common practice, no source.

use trunnion_handbook::quantity::Truth;
use trunnion_model::fact::Known;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "drive/direction", source: include_str!("drive_direction.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let turning = ["engine", "starter", "steering_pump"].iter().flat_map(|it| ctx.of_kind(it));
    let swapped = turning.filter(|it| it.changed() && it.before.is_filled());
    swapped.filter_map(|it| one(ctx, it)).collect()
}

fn one(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    let (before, after) = (ctx.fact_before(place, "direction"), ctx.fact(place, "direction"));
    // Where neither is stated the kind asks already.
    let old = before.best()?.clone();
    if after == Known::Unknown {
        return None;
    }
    let site = place.done.last().map_or(place.site, |it| it.site);
    let hangs = format!("whether what the {} drives goes forward", place.shown());
    Sum::new(ctx, CHECK.name, format!("{}.direction", place.name), site, hangs).work(|sum| {
        let new = sum.word(place, "direction")?;
        sum.rests_on(&old);
        let was = old.display();
        let truth = match (new.as_str(), was.as_str()) {
            ("either", _) => Truth::Yes,
            (new, was) if new == was => Truth::Yes,
            _ => Truth::No,
        };
        let said = format!("{} turns {new}", ctx.part_shown(place));
        Some(Answer::told(truth, &said, &format!("what sat there turned {was}")).need(was, new))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn engines(new: &str) -> String {
        format!(
            r#"
source seller "The seller" reported
source plate "Plate" documented
family Dunlin {{ built 2009-06 to 2018-12
  place engine is engine }}
part diesel is engine fills engine {{ fitted on Dunlin, direction clockwise }}
part other is engine {{ {new} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion swap {{ recipient van, fit other for engine }}"#
        )
    }

    #[test]
    fn the_same_way_round_is_clear() {
        check("drive/direction", &engines("direction clockwise"))
            .clear("Other turns clockwise; what sat there turned clockwise.");
        check("drive/direction", &engines("direction either"))
            .clear("Other turns either; what sat there turned clockwise.");
    }

    #[test]
    fn the_other_way_round_is_a_clash() {
        let found = check("drive/direction", &engines("direction anticlockwise"));
        found.clash("Other turns anticlockwise, but what sat there turned clockwise.");
        assert_eq!(found.text(), "fit other for engine");
    }

    #[test]
    fn claims_that_differ_are_open() {
        let text = engines("direction clockwise per plate, direction anticlockwise per seller");
        assert_eq!(check("drive/direction", &text).only().outcome.word(), "open");
    }
}
