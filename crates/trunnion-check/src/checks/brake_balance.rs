//! # brake/balance
//!
//! The front axle locks before the rear one, empty and laden: the deceleration above which the rear
//! locks first is worked out from the shares of front and rear, the axle loads and the height of the
//! centre of mass, and is not below what the rule of the `basis` asks.
//!
//! ## Why it matters
//!
//! A vehicle whose rear wheels lock first turns round. Larger rear calipers, another axle, wider
//! rear discs: each is bolted on as an improvement, and moves the share to the rear, where an empty
//! vehicle has hardly any load when it slows. The sum counts a fixed share and a fixed valve; what an
//! electronic distribution does is its maker's business. Clear on paper is not permission: proven
//! only on the tester, by a licensed person.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! basis { brakes is ece_13h }
//! family Dunlin { built 2009-06 to 2018-12
//!   place brake_front both sides is brake_caliper
//!   place brake_rear both sides is brake_caliper }
//! part front_54 is brake_caliper fills brake_front { fitted on Dunlin, piston diameter 54 mm, pistons 1,
//!   effective radius 118 mm, lining friction 0.38 }
//! part rear_48 is brake_caliper { piston diameter 48 mm, pistons 1, effective radius 130 mm, lining friction 0.38 }
//! vehicle van is Dunlin { built 2012-04, rolling circumference 2046 mm, wheelbase 3200 mm,
//!   front axle load 980 kg, rear axle load 700 kg, mass height 640 mm,
//!   laden front axle load 1180 kg, laden rear axle load 1480 kg, laden mass height 860 mm }
//! conversion stronger { recipient van, fit rear_48 for brake_rear }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! basis { brakes is ece_13h }
//! family Dunlin { built 2009-06 to 2018-12
//!   place brake_front both sides is brake_caliper
//!   place brake_rear both sides is brake_caliper }
//! part front_54 is brake_caliper fills brake_front { fitted on Dunlin, piston diameter 54 mm, pistons 1,
//!   effective radius 118 mm, lining friction 0.38 }
//! part rear_30 is brake_caliper { piston diameter 30 mm, pistons 1, effective radius 118 mm, lining friction 0.38 }
//! vehicle van is Dunlin { built 2012-04, rolling circumference 2046 mm, wheelbase 3200 mm,
//!   front axle load 980 kg, rear axle load 700 kg, mass height 640 mm,
//!   laden front axle load 1180 kg, laden rear axle load 1480 kg, laden mass height 860 mm }
//! conversion stronger { recipient van, fit rear_30 for brake_rear }
//! ```
//!
//! ## References
//!
//! UN Regulation No. 13-H, 01 series of amendments, Annex 5 (from memory, unverified): the curve of
//! the rear axle stays below that of the front for braking rates of 0.15 to 0.80, laden and empty. See
//! `trunnion explain rear_first_rate`, `disc_brake_force`, `drum_brake_force` and `front_first_up_to`.

use trunnion_model::verdict::Verdict;

use crate::brakes::{Brakes, brakes, ruled};
use crate::check::{Check, Judge};
use crate::ctx::{Ctx, figure, trimmed};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "brake/balance", source: include_str!("brake_balance.rs"), judge: Judge::World(judge) };

/// The loads, and the figures of the vehicle that hold for each.
const LOADS: [(&str, [&str; 3]); 2] = [
    ("empty", ["front_axle_load", "rear_axle_load", "mass_height"]),
    ("laden", ["laden_front_axle_load", "laden_rear_axle_load", "laden_mass_height"]),
];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(brakes) = brakes(ctx).filter(|it| it.begun(ctx) && ctx.concerns(&it.both())) else {
        return Vec::new();
    };
    LOADS.iter().filter_map(|(load, of)| one(ctx, &brakes, load, of)).collect()
}

fn one(ctx: &Ctx<'_>, brakes: &Brakes<'_>, load: &str, of: &[&str; 3]) -> Option<Verdict> {
    let (front, rear) = (brakes.front, brakes.rear);
    let site = rear.done.last().or(front.done.last()).map_or(rear.site, |it| it.site);
    let hangs = "which axle locks first";
    let mut sum = Sum::new(ctx, CHECK.name, format!("brakes.{load}"), site, hangs);
    sum.safety_of(&brakes.both());
    sum.safety(["brakes".to_owned()]);
    sum.work(|sum| {
        let up_to = ruled(sum, "front_first_up_to", None);
        let forces = brakes.forces(ctx, sum);
        let [front_load, rear_load, height] = of.map(|it| sum.of_vehicle(it));
        let wheelbase = sum.of_vehicle("wheelbase");
        let it = forces?;
        let share = it.front.div(&it.front.add(&it.rear).ok()?).ok()?.shown_in("%").ok()?;
        sum.formula(format!(
            "front share = {0} / ({0} + {1}) = {2}",
            it.front.display(),
            it.rear.display(),
            share.display()
        ));
        sum.name("front share", &share, "%");
        let given = [
            it.front,
            it.rear,
            it.pressure,
            it.valve_pressure,
            it.valve_slope,
            front_load?,
            rear_load?,
            height?,
            wheelbase?,
        ];
        let rate = sum.call("rear_first_rate", &given)?;
        sum.name("rear locks first above", &rate, "");
        let up_to = up_to?;
        let percent = trimmed(share.in_unit("%")?, 1);
        let from = if rate.hi() > 0.0 {
            format!("only above {} g", range(&rate))
        } else {
            "at any deceleration".to_owned()
        };
        let said =
            format!("{load}, with {percent} % of the braking at the front, the rear locks first {from}");
        Some(Answer::at_least(rate, up_to, &said, &format!("the front must up to {} g", figure(up_to, ""))))
    })
}

/// A rate, or its span, to two decimals.
fn range(rate: &trunnion_handbook::quantity::Quantity) -> String {
    let (lo, hi) = (trimmed(rate.lo(), 2), trimmed(rate.hi(), 2));
    if lo == hi { lo } else { format!("{lo} to {hi}") }
}

#[cfg(test)]
mod tests;
