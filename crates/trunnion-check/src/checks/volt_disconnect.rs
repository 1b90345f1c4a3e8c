//! # volt/disconnect
//!
//! A vehicle with a high-voltage pack has a service disconnect, and it can be reached.
//!
//! ## Why it matters
//!
//! Everybody who works on it later takes it out first, and so does the rescue crew. Licensed work:
//! clear on paper is not permission.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery }
//! part block is traction_battery { voltage window 300 V to 400 V }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place disconnect is service_disconnect }
//! part block is traction_battery { voltage window 300 V to 400 V }
//! part puller is service_disconnect { position "behind the seat, no tool needed" }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit puller for disconnect }
//! ```
//!
//! ## References
//!
//! That there is one within reach: common practice, no source; local approval rules and the maker of
//! the pack ask for it in their own words. What is high voltage: UN Regulation No. 100, 02 series of
//! amendments, 2.17.

use trunnion_handbook::quantity::Truth;
use trunnion_model::verdict::Verdict;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::pack::{HIGH_DIRECT, HIGH_SOURCE, highest, pack};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/disconnect", source: include_str!("volt_disconnect.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(pack) = pack(ctx).filter(|it| it.begun(ctx)) else { return Vec::new() };
    let site = pack.place.done.last().map_or(pack.place.site, |it| it.site);
    let subject = format!("{}.disconnect", pack.place.name);
    let mut sum = Sum::new(ctx, CHECK.name, subject, site, "whether the pack can be parted before work");
    sum.safety_of(&[pack.place]);
    sum.source(HIGH_SOURCE);
    let places = ctx.of_kind("service_disconnect");
    let verdict = sum.work(|sum| {
        let most = highest(&sum.figure(pack.place, "voltage_window")?)?;
        let volts = most.in_unit("V")?;
        let said = format!("the pack has {} when full", most.display());
        if volts <= HIGH_DIRECT {
            return Some(Answer::told(Truth::Yes, &said, "that is not high voltage"));
        }
        sum.source("a service disconnect within reach: common practice, no source");
        let Some(place) = places.first() else {
            let text = "place service_disconnect is service_disconnect";
            sum.fix(ctx.add_change("add a place for a service disconnect", text));
            return Some(Answer::told(Truth::No, &said, "there is no service disconnect"));
        };
        let position = sum.word(place, "position")?;
        Some(Answer::told(Truth::Yes, &said, &format!("the service disconnect sits {position}")))
    });
    verdict.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn pack(volts: &str, place: &str, part: &str, fit: &str) -> String {
        format!(
            r"
family Plover {{ built 1968-01 to 1974-12
  place traction_battery is traction_battery {place} }}
part block is traction_battery {{ voltage window {volts} }}
{part}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit block for traction_battery {fit} }}"
        )
    }

    const PLACE: &str = "\n place disconnect is service_disconnect";

    #[test]
    fn one_in_reach_is_clear() {
        let part = r#"part puller is service_disconnect { position "behind the seat" }"#;
        check("volt/disconnect", &pack("300 V to 400 V", PLACE, part, ", fit puller for disconnect"))
            .clear("The pack has 400 V when full; the service disconnect sits behind the seat.");
    }

    #[test]
    fn none_is_a_clash_with_a_way_out() {
        let found = check("volt/disconnect", &pack("300 V to 400 V", "", "", ""));
        found.clash("The pack has 400 V when full, but there is no service disconnect.");
        assert!(found.fixed(0).contains("place service_disconnect is service_disconnect"));
    }

    #[test]
    fn where_it_sits_is_asked() {
        let part = "part puller is service_disconnect { }";
        check("volt/disconnect", &pack("300 V to 400 V", PLACE, part, ", fit puller for disconnect")).open(
            "Nobody has said the position and fixing of the disconnect: it decides whether the pack can be parted \
             before work.",
        );
    }

    #[test]
    fn a_low_pack_needs_none() {
        check("volt/disconnect", &pack("40 V to 58 V", "", "", ""))
            .clear("The pack has 58 V when full; that is not high voltage.");
    }
}
