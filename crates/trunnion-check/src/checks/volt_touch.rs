//! # volt/touch
//!
//! The case of every high-voltage unit keeps a wire out where people sit or load, and a finger elsewhere.
//!
//! ## Why it matters
//!
//! A hairpin through a vent is enough. Licensed work: clear on paper is not permission.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place charger is charger
//!   zone cabin }
//! part block is traction_battery { voltage window 300 V to 400 V }
//! part filler is charger { protection "IP21" }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit filler for charger }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place charger is charger
//!   zone cabin }
//! part block is traction_battery { voltage window 300 V to 400 V }
//! part filler is charger { protection "IP65" }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit filler for charger }
//! ```
//!
//! ## References
//!
//! UN Regulation No. 100, 02 series of amendments, 5.1.1.1 and 5.1.1.2: IPXXD inside the passenger and
//! luggage compartment, IPXXB elsewhere. First numeral against access: IEC 60529 (2 keeps a finger out,
//! 4 and more a wire of 1 mm). Which of the two holds is not read from zones: the stricter is asked for.

use trunnion_handbook::quantity::Truth;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::pack::pack;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/touch", source: include_str!("volt_touch.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(pack) = pack(ctx) else { return Vec::new() };
    pack.all().filter(|it| ctx.stated(it, "protection")).filter_map(|it| one(ctx, it)).collect()
}

/// Whether a marking such as `IP65` or `IPXXD` keeps a wire out; none where it says nothing of access.
fn keeps_a_wire_out(marking: &str) -> Option<bool> {
    let code = marking.trim().to_uppercase().replace(' ', "");
    let code = code.strip_prefix("IP")?;
    match code.chars().nth(2) {
        Some('D') => return Some(true),
        Some('A'..='C') => return Some(false),
        _ => {}
    }
    match code.chars().next()? {
        '4'..='6' => Some(true),
        '0'..='3' => Some(false),
        _ => None,
    }
}

fn one(ctx: &Ctx<'_>, unit: &Place) -> Option<Verdict> {
    let site = unit.done.last().map_or(unit.site, |it| it.site);
    let what = ctx.part_shown(unit);
    let hangs = format!("whether a wire can reach what is live in {what}");
    let mut sum = Sum::new(ctx, CHECK.name, format!("{}.protection", unit.name), site, hangs);
    sum.safety_of(&[unit]);
    sum.source("UN Regulation No. 100, 02 series of amendments, 5.1.1.1 and 5.1.1.2");
    sum.source("IEC 60529: first numeral and additional letter");
    sum.work(|sum| {
        let marking = sum.word(unit, "protection")?;
        let Some(keeps) = keeps_a_wire_out(&marking) else {
            sum.refuse(format!("{marking} says nothing of access"));
            return None;
        };
        let truth = if keeps { Truth::Yes } else { Truth::No };
        let needed = if keeps { "a wire of 1 mm stays out" } else { "that lets a wire of 1 mm in" };
        Some(Answer::told(truth, &format!("{what} is {marking}"), needed).need("IPXXD", marking))
    })
}

#[cfg(test)]
mod tests {
    use super::keeps_a_wire_out;
    use crate::testing::check;

    fn filler(marking: &str) -> String {
        format!(
            r#"
family Plover {{ built 1968-01 to 1974-12
  place traction_battery is traction_battery
  place charger is charger }}
part block is traction_battery {{ voltage window 300 V to 400 V }}
part filler is charger {{ protection "{marking}" }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit block for traction_battery, fit filler for charger }}"#
        )
    }

    #[test]
    fn a_tight_case_is_clear() {
        check("volt/touch", &filler("IP67")).clear("Filler is IP67; a wire of 1 mm stays out.");
    }

    #[test]
    fn a_vented_one_is_a_clash() {
        let found = check("volt/touch", &filler("IP2XB"));
        found.clash("Filler is IP2XB, but that lets a wire of 1 mm in.");
        assert_eq!(found.text(), "fit filler for charger");
    }

    #[test]
    fn a_marking_that_says_nothing_is_open() {
        check("volt/touch", &filler("IPX5")).open(
            "It cannot be told whether a wire can reach what is live in filler: IPX5 says nothing of access.",
        );
    }

    #[test]
    fn the_code_of_iec_60529() {
        for (marking, keeps) in [
            ("IP67", Some(true)),
            ("IP 44", Some(true)),
            ("IPXXD", Some(true)),
            ("IP2XD", Some(true)),
            ("IP30", Some(false)),
            ("IPXXB", Some(false)),
            ("IPX7", None),
            ("splash-proof", None),
        ] {
            assert_eq!(keeps_a_wire_out(marking), keeps, "{marking}");
        }
    }
}
