//! # volt/high
//!
//! Whether a traction battery is high voltage at all, and that nothing else reaches high voltage while it
//! is treated as low.
//!
//! ## Why it matters
//!
//! Above 60 V direct current a touch can kill, and isolation, interlock, orange cables and a licensed
//! person are asked for. A pack that never reaches it spares all that; a bank that does without anybody
//! having noticed is a trap.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Plover { built 1968-01 to 1974-12
//!   place bank is battery }
//! part bank_72 is battery { voltage window 60 V to 84 V }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit bank_72 for bank }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Plover { built 1968-01 to 1974-12
//!   place bank is traction_battery }
//! part bank_72 is traction_battery { voltage window 60 V to 84 V }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit bank_72 for bank }
//! ```
//!
//! ## References
//!
//! Above 60 V and to 1500 V direct current: UN Regulation No. 100, 02 series of amendments, 2.17; see
//! `trunnion explain high_voltage_from`.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_handbook::registry::Argument;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::pack::highest;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/high", source: include_str!("volt_high.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let packs = ctx.of_kind("traction_battery");
    let filled = ctx.world.places.iter().filter(|it| it.after.is_filled());
    let begun = filled.filter(|it| ctx.stated(it, "voltage_window") && ctx.concerns(&[it]));
    begun.filter_map(|it| one(ctx, it, packs.iter().any(|pack| pack.name == it.name))).collect()
}

fn one(ctx: &Ctx<'_>, place: &Place, is_pack: bool) -> Option<Verdict> {
    let treated = ctx.safety(place).iter().any(|it| it == "high_voltage");
    if treated && !is_pack {
        return None;
    }
    let site = place.done.last().map_or(place.site, |it| it.site);
    let what = ctx.part_shown(place);
    let subject = format!("{}.high_voltage", place.name);
    let mut low = false;
    let sum = Sum::new(ctx, CHECK.name, subject, site, format!("whether {what} is high voltage"));
    let verdict = sum.work(|sum| {
        sum.safety(["high_voltage".to_owned()]);
        let window: Quantity = sum.figure(place, "voltage_window")?;
        let from = sum.call_with("high_voltage_from", &[Argument::Word("direct")])?;
        let most = highest(&window)?;
        let reaches = format!("{what} reaches {}", most.display());
        low = most.at_most(&from).ok()? == Truth::Yes;
        let high = format!("above {} it is high voltage", from.display());
        Some(match (low, treated) {
            (true, _) => {
                sum.note(format!(
                    "what holds from {} does not hold for it; a short circuit still burns and melts metal",
                    from.display()
                ));
                Answer::told(Truth::Yes, &reaches, &format!("up to {} it is no high voltage", from.display()))
            }
            (false, true) => {
                sum.note(
                    "isolation, interlock, orange cables, a service disconnect and pre-charge are asked for; \
                     only a licensed person opens, connects, measures and energises it",
                );
                Answer::told(Truth::Yes, &reaches, &high)
            }
            (false, false) => {
                Answer::told(Truth::No, &reaches, &format!("{high}, and its kind is treated as low"))
            }
        })
    });
    // That a 12 V unit is no high voltage goes without saying.
    verdict.filter(|_| is_pack || !low)
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn bank(kind: &str, window: &str) -> String {
        format!(
            r"
family Plover {{ built 1968-01 to 1974-12
  place bank is {kind} }}
part block is {kind} {{ {window} }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit block for bank }}"
        )
    }

    /// UN Regulation No. 100, 2.17: above 60 V.
    #[test]
    fn a_pack_says_on_which_side_it_is() {
        let found = check("volt/high", &bank("traction_battery", "voltage window 282 V to 370 V"));
        found.clear("Block reaches 370 V; above 60 V it is high voltage.");
        assert!(found.only().notes[0].contains("licensed"), "{:?}", found.only().notes);
        check("volt/high", &bank("traction_battery", "voltage window 40 V to 58 V"))
            .clear("Block reaches 58 V; up to 60 V it is no high voltage.");
        check("volt/high", &bank("traction_battery", "voltage window 40 V to 60 V"))
            .clear("Block reaches 60 V; up to 60 V it is no high voltage.");
    }

    #[test]
    fn what_is_treated_as_low_and_is_not_clashes() {
        let found = check("volt/high", &bank("battery", "voltage window 60 V to 84 V"));
        found.clash("Block reaches 84 V, but above 60 V it is high voltage, and its kind is treated as low.");
        assert_eq!(found.text(), "fit block for bank");
        check("volt/high", &bank("battery", "voltage window 10 V to 15 V")).silent();
    }

    #[test]
    fn a_disputed_window_is_open() {
        let two = "voltage window 40 V to 50 V per maker\nvoltage window 60 V to 84 V per seller";
        let sources = "source maker \"Maker\" documented\nsource seller \"Seller\" documented\n";
        let found = check("volt/high", &format!("{sources}{}", bank("traction_battery", two)));
        found.open(
            "The lowest to highest voltage of the bank is disputed: Maker (documented) says 40 to 50 V, Seller (documented) says 60 to \
             84 V.",
        );
    }
}
