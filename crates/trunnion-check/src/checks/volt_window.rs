//! # volt/window
//!
//! The voltage of the pack, from empty to full, lies within what the inverter, the charger and the
//! converter stand, each by itself.
//!
//! ## Why it matters
//!
//! A pack that is fuller than the inverter allows destroys it at the first charge; one that is emptier
//! leaves the vehicle standing with charge to spare. Licensed work: clear on paper is not permission.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter }
//! part block_96 is traction_battery { voltage window 300 V to 410 V }
//! part drive_60 is inverter { voltage window 200 V to 400 V }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block_96 for traction_battery, fit drive_60 for inverter }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter }
//! part block_90 is traction_battery { voltage window 280 V to 384 V }
//! part drive_60 is inverter { voltage window 200 V to 400 V }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block_90 for traction_battery, fit drive_60 for inverter }
//! ```
//!
//! ## References
//!
//! Stated data of pack and units. High voltage: UN Regulation No. 100, 02 series of amendments, 2.17.

use trunnion_handbook::quantity::Truth;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, trimmed};
use crate::pack::pack;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/window", source: include_str!("volt_window.rs"), judge: Judge::World(judge) };

/// The kinds that hang on the pack's voltage.
const FED: [&str; 3] = ["inverter", "charger", "voltage_converter"];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(pack) = pack(ctx).filter(|it| it.begun(ctx)) else { return Vec::new() };
    let fed = FED.iter().flat_map(|it| ctx.of_kind(it));
    fed.filter_map(|it| one(ctx, pack.place, it)).collect()
}

fn one(ctx: &Ctx<'_>, battery: &Place, unit: &Place) -> Option<Verdict> {
    let site = unit.done.last().or(battery.done.last()).map_or(unit.site, |it| it.site);
    let (what, of) = (ctx.part_shown(unit), ctx.part_shown(battery));
    let subject = format!("{}.voltage_window", unit.name);
    let hangs = format!("whether {what} stands the voltage of {of}");
    let mut sum = Sum::new(ctx, CHECK.name, subject, site, hangs);
    sum.safety_of(&[battery, unit]);
    sum.work(|sum| {
        let given = sum.figure(battery, "voltage_window");
        let stands = sum.figure(unit, "voltage_window");
        let given = given?;
        sum.good(format!("{} and more to either side", given.display()));
        let stands = stands?;
        // Both are spans that really occur, not uncertainties: the one must lie in the other.
        let truth =
            if given.lo() >= stands.lo() && given.hi() <= stands.hi() { Truth::Yes } else { Truth::No };
        let (given_v, stands_v) = (given.ends_in("V")?, stands.ends_in("V")?);
        let [below, above] = [given_v[0] - stands_v[0], stands_v[2] - given_v[2]];
        sum.formula(format!(
            "{} − {} = {} V below; {} − {} = {} V above",
            trimmed(given_v[0], 1),
            trimmed(stands_v[0], 1),
            trimmed(below, 1),
            trimmed(stands_v[2], 1),
            trimmed(given_v[2], 1),
            trimmed(above, 1),
        ));
        let inside = |id| {
            let found = trunnion_model::known::of_part(ctx.db, ctx.workspace, id, "voltage_window");
            found
                .first()
                .and_then(|it| it.quantity())
                .is_some_and(|it| it.lo() <= given.lo() && it.hi() >= given.hi())
        };
        sum.fixes(replacements(ctx, unit, &inside));
        let said = format!("{of} has {}", given.display());
        let needed = format!("{what} stands {}", stands.display());
        Some(
            Answer::told(truth, &said, &needed)
                .need(stands.display(), given.display())
                .margin(format!("{} V", trimmed(below.min(above), 1))),
        )
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn pack(inverter: &str) -> String {
        format!(
            r"
family Plover {{ built 1968-01 to 1974-12
  place traction_battery is traction_battery
  place inverter is inverter }}
part block is traction_battery {{ voltage window 300 V to 410 V }}
part drive is inverter {{ {inverter} }}
part wide is inverter fills inverter {{ offer 900 EUR, voltage window 250 V to 450 V }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit block for traction_battery, fit drive for inverter }}"
        )
    }

    #[test]
    fn a_pack_inside_the_window_is_clear() {
        let found = check("volt/window", &pack("voltage window 250 V to 420 V"));
        found.clear("Block has 300 to 410 V; drive stands 250 to 420 V.");
        assert_eq!(found.only().margin.as_deref(), Some("10 V"));
        assert!(found.only().safety.contains(&"high_voltage".to_owned()));
    }

    #[test]
    fn a_pack_above_it_is_a_clash_with_a_way_out() {
        let found = check("volt/window", &pack("voltage window 250 V to 400 V"));
        found.clash("Block has 300 to 410 V, but drive stands 250 to 400 V.");
        assert_eq!(found.only().margin.as_deref(), Some("−10 V"));
        assert!(found.fixed(0).contains("replace inverter with wide"), "{}", found.fixed(0));
    }

    #[test]
    fn a_window_nobody_stated_is_open() {
        check("volt/window", &pack("power 60 kW")).open(
            "Nobody has said the lowest to highest voltage of the inverter; good would be 300 to 410 V and more to \
             either side: it decides whether drive stands the voltage of block.",
        );
    }
}
