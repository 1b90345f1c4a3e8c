//! # volt/discharge
//!
//! What stores high voltage falls below 60 V in time once the pack is parted from it.
//!
//! ## Why it matters
//!
//! Capacitors keep the bus alive after the disconnect is out. Who opens the cover too soon finds out.
//! Licensed work: clear on paper is not permission; measure dead before touching.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! basis { discharge at most 5 s }
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter }
//! part block is traction_battery { voltage window 300 V to 400 V }
//! part drive is inverter { capacitance 600 µF, discharge time 40 s }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit drive for inverter }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! basis { discharge at most 5 s }
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter }
//! part block is traction_battery { voltage window 300 V to 400 V }
//! part drive is inverter { capacitance 600 µF, discharge time 4 s }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit drive for inverter }
//! ```
//!
//! ## References
//!
//! 60 V: UN Regulation No. 100, 02 series of amendments, 2.17. How long it may take is for the
//! `basis` to say; 5 s where none is stated: common practice, no source.

use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::pack::{HIGH_SOURCE, pack};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/discharge", source: include_str!("volt_discharge.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(pack) = pack(ctx) else { return Vec::new() };
    let stores = |it: &&Place| ctx.stated(it, "capacitance") || ctx.stated(it, "discharge_time");
    pack.units.iter().copied().filter(stores).filter_map(|it| one(ctx, it)).collect()
}

fn one(ctx: &Ctx<'_>, unit: &Place) -> Option<Verdict> {
    let site = unit.done.last().map_or(unit.site, |it| it.site);
    let what = ctx.part_shown(unit);
    let hangs = format!("how long {what} bites after the disconnect is out");
    let mut sum = Sum::new(ctx, CHECK.name, format!("{}.discharge_time", unit.name), site, hangs);
    sum.safety_of(&[unit]);
    sum.source(HIGH_SOURCE);
    sum.work(|sum| {
        let takes = sum.figure(unit, "discharge_time");
        let limit = sum.basis_or("discharge", 5.0, "s")?;
        sum.good(format!("at most {}", limit.display()));
        let takes = takes?;
        let said = format!("{what} falls below 60 V in {}", takes.display());
        Some(Answer::at_most(takes, limit, &said, &format!("it may take {}", limit.display())))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn drive(facts: &str) -> String {
        format!(
            r"
family Plover {{ built 1968-01 to 1974-12
  place traction_battery is traction_battery
  place inverter is inverter }}
part block is traction_battery {{ voltage window 300 V to 400 V }}
part drive is inverter {{ {facts} }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit block for traction_battery, fit drive for inverter }}"
        )
    }

    #[test]
    fn in_time_is_clear() {
        let found = check("volt/discharge", &drive("discharge time 4 s"));
        found.clear("Drive falls below 60 V in 4 s; it may take 5 s.");
        assert!(found.only().sources.iter().any(|it| it == "discharge 5 s: common practice, no source"));
        assert_eq!(found.only().cautions().len(), 1);
    }

    #[test]
    fn too_slow_is_a_clash() {
        let found = check("volt/discharge", &drive("discharge time 9 s"));
        found.clash("Drive falls below 60 V in 9 s, but it may take 5 s.");
        assert_eq!(found.text(), "fit drive for inverter");
    }

    #[test]
    fn what_nobody_said_is_open() {
        check("volt/discharge", &drive("capacitance 600 µF")).open(
            "Nobody has said the time to fall below 60 V of the inverter; good would be at most 5 s: it decides how \
             long drive bites after the disconnect is out.",
        );
    }
}
