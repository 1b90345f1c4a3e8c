//! # drive/joint
//!
//! The constant-velocity joints of a halfshaft work within the angle they stand: with the suspension
//! at full droop, and at a steered axle with the wheel at full lock besides.
//!
//! ## Why it matters
//!
//! A raised body or an axle that sits elsewhere stays quiet on the road. At full droop, or turning out
//! of a drive at full lock, the balls leave their tracks and the cage breaks.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place halfshaft both sides is halfshaft }
//! part shaft is halfshaft { joint angle 18 ° }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion raised { recipient van, fit shaft for halfshaft
//!   halfshaft.working_angle 4 ° to 21 ° }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place halfshaft both sides is halfshaft }
//! part shaft is halfshaft { joint angle 22 ° }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion raised { recipient van, fit shaft for halfshaft
//!   halfshaft.working_angle 4 ° to 21 ° }
//! ```
//!
//! ## Two joints that stand different angles
//!
//! The inner joint, which plunges, stands less than the outer one, which steers: state
//! `inner.joint_angle 23 °` and `outer.joint_angle 46 °`. How far it plunges is `fit/length`'s.
//!
//! ## References
//!
//! Stated data; the angle of a joint that droops and steers at once: `trunnion explain joint_angle`.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::known;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::driveline::is_front;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "drive/joint", source: include_str!("drive_joint.rs"), judge: Judge::World(judge) };

/// The angle over the travel of the suspension.
const DROOP: &str = "working_angle";
/// The angle of the wheel at full lock.
const LOCK: &str = "lock_angle";
/// What a joint stands.
const STANDS: &str = "joint_angle";

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let shafts = ctx.of_kind("halfshaft").into_iter().filter(|it| ctx.concerns(&[it]));
    let begun = shafts.filter(|it| [DROOP, LOCK].iter().any(|measure| ctx.stated(it, measure)));
    begun.flat_map(|it| ["inner", "outer"].into_iter().filter_map(move |end| one(ctx, it, end))).collect()
}

fn one(ctx: &Ctx<'_>, shaft: &Place, end: &str) -> Option<Verdict> {
    let about =
        |it: &str| shaft.after.part().map(|id| known::of_part_about(ctx.db, ctx.workspace, id, it, STANDS));
    let told = |it: &str| about(it).is_some_and(|it| !it.claims().is_empty());
    let steers = is_front(ctx, shaft) || ctx.stated(shaft, LOCK);
    // Where nothing tells the joints apart, one verdict says it all.
    let apart = steers || told("inner") || told("outer");
    if !apart && end == "inner" {
        return None;
    }
    let steers = steers && end == "outer";
    let (joint, works, stands) = match apart {
        true => (format!("the {end} joint of the {}", shaft.shown()), "works", "it stands"),
        false => (format!("the joints of the {}", shaft.shown()), "work", "they stand"),
    };
    let stated = ctx.fact(shaft, DROOP).claims().first().map(|it| it.site);
    let site = stated.or(shaft.done.last().map(|it| it.site)).unwrap_or(shaft.site);
    let subject = format!("{}.{}", shaft.name, if apart { end } else { STANDS });
    let hangs = format!("how far {joint} may bend");
    Sum::new(ctx, CHECK.name, subject, site, hangs).work(|sum| {
        let limit = match about(end).filter(|_| told(end)) {
            Some(known) => {
                let question = ctx.question(shaft, STANDS, sum.hangs());
                sum.settle_with(&known, question, None).and_then(|it| it.quantity())
            }
            None => sum.figure(shaft, STANDS),
        };
        let droop = sum.figure(shaft, DROOP).and_then(largest);
        let lock = if steers { sum.figure(shaft, LOCK).and_then(largest) } else { None };
        let (limit, droop) = (limit?, droop?);
        let (angle, at) = match steers {
            true => (sum.call("joint_angle", &[droop, lock?])?, "at full droop and lock"),
            false => (droop, "at full droop"),
        };
        let said = format!("{at} {joint} {works} at {}", angle.display());
        Some(Answer::at_most(angle, limit, &said, &format!("{stands} {}", limit.display())))
    })
}

/// The largest angle of those that it works through, which is no tolerance.
fn largest(angle: Quantity) -> Option<Quantity> {
    Quantity::exact(angle.ends_in("°")?[2], "°").ok()
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn van(driven: &str, shaft: &str, angles: &str) -> String {
        format!(
            r#"
source bench "Measured" measured
source manual "Workshop manual" documented
family Dunlin {{ built 2009-06 to 2018-12, driven {driven}
  place halfshaft both sides is halfshaft }}
part shaft is halfshaft {{ {shaft} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion raised {{ recipient van, fit shaft for halfshaft
  {angles} }}"#
        )
    }

    #[test]
    fn the_largest_angle_over_the_travel_counts() {
        let found = check(
            "drive/joint",
            &van("rear", "joint angle 22 ° per manual", "halfshaft.working_angle 4 ° to 21 °"),
        );
        found.clear("At full droop the joints of the halfshaft work at 21°; they stand 22°.");
        let found = check(
            "drive/joint",
            &van("rear", "joint angle 18 ° per manual", "halfshaft.working_angle 4 ° to 21 °"),
        );
        found.clash("At full droop the joints of the halfshaft work at 21°, but they stand 18°.");
        assert_eq!(found.only().margin.as_deref(), Some("−3°"));
        assert_eq!(found.text(), "halfshaft.working_angle 4 ° to 21 °");
    }

    /// By hand: arctan √(tan² 15° + tan² 38°) = 39.56°.
    #[test]
    fn the_outer_one_droops_and_steers_at_once() {
        let angles = "halfshaft.working_angle 2 ° to 15 °\n halfshaft.lock_angle 38 °";
        let joints = "inner.joint_angle 20 ° per manual, outer.joint_angle 39 ° per manual";
        let found = check("drive/joint", &van("front", joints, angles));
        assert_eq!(
            found.about("halfshaft.outer").message,
            "At full droop and lock the outer joint of the halfshaft works at 39.56°, but it stands 39°."
        );
        assert_eq!(
            found.about("halfshaft.inner").message,
            "At full droop the inner joint of the halfshaft works at 15°; it stands 20°."
        );
    }

    #[test]
    fn what_nobody_said_is_open() {
        check("drive/joint", &van("rear", "mass 9 kg", "halfshaft.working_angle 4 ° to 21 °")).open(
            "Nobody has said the largest angle of its joints of the halfshaft: \
             it decides how far the joints of the halfshaft may bend.",
        );
        check("drive/joint", &van("rear", "joint angle 18 °", "budget 1 EUR")).silent();
    }
}
