//! # volt/bonding
//!
//! The case of every high-voltage unit is joined to the body with less than 0.1 Ω.
//!
//! ## Why it matters
//!
//! Two cases at different voltages are touched by two hands. Licensed work: clear on paper is not
//! permission; it is measured with at least 0.2 A by a licensed person.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter }
//! part block is traction_battery { voltage window 300 V to 400 V }
//! part drive is inverter { bonding resistance 240 mΩ }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit drive for inverter }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter }
//! part block is traction_battery { voltage window 300 V to 400 V }
//! part drive is inverter { bonding resistance 20 mΩ }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit drive for inverter }
//! ```
//!
//! ## References
//!
//! UN Regulation No. 100, 02 series of amendments, 5.1.2.2: less than 0.1 Ω at 0.2 A or more.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::pack::pack;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/bonding", source: include_str!("volt_bonding.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(pack) = pack(ctx) else { return Vec::new() };
    pack.all().filter(|it| ctx.stated(it, "bonding_resistance")).filter_map(|it| one(ctx, it)).collect()
}

fn one(ctx: &Ctx<'_>, unit: &Place) -> Option<Verdict> {
    let site = unit.done.last().map_or(unit.site, |it| it.site);
    let what = ctx.part_shown(unit);
    let subject = format!("{}.bonding_resistance", unit.name);
    let mut sum =
        Sum::new(ctx, CHECK.name, subject, site, format!("whether the case of {what} is safe to touch"));
    sum.safety_of(&[unit]);
    sum.source("UN Regulation No. 100, 02 series of amendments, 5.1.2.2");
    sum.work(|sum| {
        let there = sum.figure(unit, "bonding_resistance")?;
        let limit = Quantity::exact(0.1, "Ω").ok()?.shown_in("mΩ").ok()?;
        let said = format!("the case of {what} has {} to the body", there.display());
        Some(Answer::at_most(there, limit, &said, "less than 100 mΩ is asked for"))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn bonded(claim: &str) -> String {
        format!(
            r#"
source tester "Milliohm meter" measured 2026-03-02
source seller "The seller" reported
source sheet "Data sheet" documented
family Plover {{ built 1968-01 to 1974-12
  place traction_battery is traction_battery
  place inverter is inverter }}
part block is traction_battery {{ voltage window 300 V to 400 V }}
part drive is inverter {{ {claim} }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit block for traction_battery, fit drive for inverter }}"#
        )
    }

    #[test]
    fn a_low_resistance_is_clear() {
        let found = check("volt/bonding", &bonded("bonding resistance 30 mΩ per tester"));
        found.clear("The case of drive has 30 mΩ ± 1 mΩ to the body; less than 100 mΩ is asked for.");
    }

    #[test]
    fn a_high_one_is_a_clash() {
        let found = check("volt/bonding", &bonded("bonding resistance 130 mΩ per tester"));
        found.clash("The case of drive has 130 mΩ ± 1 mΩ to the body, but less than 100 mΩ is asked for.");
        assert_eq!(found.text(), "fit drive for inverter");
    }

    #[test]
    fn two_claims_that_differ_are_open() {
        let text = bonded("bonding resistance 30 mΩ per sheet, bonding resistance 130 mΩ per seller");
        assert_eq!(check("volt/bonding", &text).only().outcome.word(), "open");
    }
}
