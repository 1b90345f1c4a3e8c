//! # volt/creepage
//!
//! The way along the surface from a live part is as long as its voltage, the dirt and the material ask.
//!
//! ## Why it matters
//!
//! Dust and dew make a path over a surface that looks whole. It carries a little current, burns itself in,
//! and one day carries much. Licensed work: clear on paper is not permission.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place box is contactor }
//! part block is traction_battery { voltage window 300 V to 390 V }
//! part closer is contactor { creepage 3 mm, pollution degree 3, insulation group III }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit closer for box }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place box is contactor }
//! part block is traction_battery { voltage window 300 V to 390 V }
//! part closer is contactor { creepage 8 mm, pollution degree 3, insulation group III }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit closer for box }
//! ```
//!
//! ## References
//!
//! IEC 60664-1:2020, Table F.5, basic insulation: see `trunnion explain creepage_least`. Reinforced
//! insulation takes twice as much.

use trunnion_handbook::registry::Argument;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, trimmed};
use crate::pack::highest;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/creepage", source: include_str!("volt_creepage.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(battery) = ctx.only_of_kind("traction_battery") else { return Vec::new() };
    let filled = ctx.world.places.iter().filter(|it| it.after.is_filled());
    let begun = filled.filter(|it| ctx.stated(it, "creepage") && ctx.concerns(&[battery, it]));
    begun.filter_map(|it| one(ctx, battery, it)).collect()
}

fn one(ctx: &Ctx<'_>, battery: &Place, unit: &Place) -> Option<Verdict> {
    let site = unit.done.last().map_or(unit.site, |it| it.site);
    let what = ctx.part_shown(unit);
    let hangs = format!("whether the surface of {what} keeps the voltage apart");
    let sum = Sum::new(ctx, CHECK.name, format!("{}.creepage", unit.name), site, hangs);
    sum.work(|sum| {
        sum.safety_of(&[battery, unit]);
        sum.note("for basic insulation; reinforced insulation takes twice as much");
        let window = sum.figure(battery, "voltage_window");
        let way = sum.figure(unit, "creepage");
        let degree = sum.figure(unit, "pollution_degree");
        let group = sum.word(unit, "insulation_group");
        let volts = highest(&window?)?;
        let (degree, group) = (trimmed(degree?.nominal(), 0), group?);
        let arguments = [Argument::Quantity(volts), Argument::Word(&degree), Argument::Word(&group)];
        let least = sum.call_with("creepage_least", &arguments)?;
        let said = format!("{what} has {} along its surface", way?.display());
        let needed = format!("{} ask for {}", volts.display(), least.display());
        Some(Answer::at_least(way?, least, &said, &needed))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn closer(facts: &str) -> String {
        format!(
            r"
family Plover {{ built 1968-01 to 1974-12
  place traction_battery is traction_battery
  place box is contactor }}
part block is traction_battery {{ voltage window 300 V to 390 V }}
part closer is contactor {{ {facts} }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit block for traction_battery, fit closer for box }}"
        )
    }

    /// IEC 60664-1:2020, Table F.5, 400 V, degree 2, group III: 4 mm, as trade catalogues reprint it.
    #[test]
    fn a_long_way_is_clear() {
        let found =
            check("volt/creepage", &closer("creepage 5 mm, pollution degree 2, insulation group III"));
        found.clear("Closer has 5 mm along its surface; 390 V ask for 4 mm.");
        assert_eq!(found.only().margin.as_deref(), Some("1 mm"));
    }

    #[test]
    fn a_short_one_clashes() {
        let found =
            check("volt/creepage", &closer("creepage 3 mm, pollution degree 2, insulation group III"));
        found.clash("Closer has 3 mm along its surface, but 390 V ask for 4 mm.");
        assert_eq!(found.text(), "fit closer for box");
    }

    #[test]
    fn the_material_is_asked() {
        check("volt/creepage", &closer("creepage 5 mm, pollution degree 2")).open(
            "Nobody has said the group of its insulating material of the box: it decides whether the surface of \
             closer keeps the voltage apart.",
        );
        check("volt/creepage", &closer("pollution degree 2")).silent();
    }
}
