//! # bus/frame
//!
//! Where long identifiers of 29 bits and short ones of 11 bits are on one CAN bus, every module on it
//! bears both.
//!
//! ## Why it matters
//!
//! Controllers of the first generation take a frame with a long identifier for a fault and destroy it.
//! One such module stops every long message, for all that are on the bus.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 1996-06 to 2003-12
//!   place engine_controller, brake_controller is unit
//!   bus drive is CAN at 250 kbit/s }
//! module engine_unit is unit fills engine_controller { fitted on Dunlin, sends torque on drive, id "0x110", frame formats short }
//! module brake_unit is unit fills brake_controller { sends wheel_speed on drive, id "0x18FEF100" }
//! vehicle van is Dunlin { built 1997-04 }
//! conversion easy { recipient van, fit brake_unit }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 1996-06 to 2003-12
//!   place engine_controller, brake_controller is unit
//!   bus drive is CAN at 250 kbit/s }
//! module engine_unit is unit fills engine_controller { fitted on Dunlin, sends torque on drive, id "0x110", frame formats both }
//! module brake_unit is unit fills brake_controller { sends wheel_speed on drive, id "0x18FEF100" }
//! vehicle van is Dunlin { built 1997-04 }
//! conversion easy { recipient van, fit brake_unit }
//! ```
//!
//! ## References
//!
//! Base and extended frame format: ISO 11898-1. That controllers from before the extended format
//! answer it with an error frame: from memory, unverified.

use trunnion_handbook::quantity::Truth;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::bus::{Bus, buses, protocol};
use crate::check::{Check, Judge};
use crate::ctx::{Ctx, capital, listed};
use crate::frames::{Frame, frames};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "bus/frame", source: include_str!("bus_frame.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let all = buses(ctx);
    let touched = all.iter().filter(|it| it.touched && protocol(it.decl) == "CAN");
    touched.filter_map(|it| one(ctx, it, &frames(ctx, &all, it))).collect()
}

/// Whether an identifier has more than 11 bits.
fn is_long(frame: &Frame<'_>) -> bool {
    frame.identifier.is_some_and(|it| it > 0x7FF)
}

fn one(ctx: &Ctx<'_>, bus: &Bus<'_>, frames: &[Frame<'_>]) -> Option<Verdict> {
    let long: Vec<&Frame<'_>> = frames.iter().filter(|it| is_long(it)).collect();
    let short: Vec<&Frame<'_>> =
        frames.iter().filter(|it| it.identifier.is_some_and(|it| it <= 0x7FF)).collect();
    if long.is_empty() || short.is_empty() {
        return None;
    }
    let site = long.iter().chain(&short).find(|it| it.place.changed()).map_or(long[0].site, |it| it.site);
    let hangs = format!("whether the long messages on {} come through", bus.shown());
    let sum = Sum::new(ctx, CHECK.name, format!("{}.frame_formats", bus.name()), site, hangs);
    sum.work(|sum| {
        sum.source("base and extended frame format: ISO 11898-1");
        for it in long.iter().chain(&short).flat_map(|it| &it.claims) {
            sum.rests_on(it);
        }
        // Whoever sends a long identifier bears it.
        let mut places: Vec<&Place> = Vec::new();
        for node in &bus.nodes {
            let sends = long.iter().any(|it| it.place.name == node.place.name);
            if !sends && !places.iter().any(|it| it.name == node.place.name) {
                places.push(node.place);
            }
        }
        let mut cannot: Vec<String> = Vec::new();
        let mut unsaid = false;
        for place in places {
            match sum.word(place, "frame_formats").as_deref() {
                Some("short") => cannot.push(format!("the {}", place.shown())),
                Some("both" | "long") => {}
                Some(other) => sum.refuse(format!("`frame formats {other}` is neither `short` nor `both`")),
                None => unsaid = true,
            }
        }
        let names: Vec<String> = long.iter().map(|it| it.shown()).collect();
        let has = format!(
            "{} on {} {} a long identifier",
            capital(&listed(&names)),
            bus.shown(),
            if names.len() > 1 { "have" } else { "has" }
        );
        if !cannot.is_empty() && !unsaid {
            let who = listed(&cannot);
            let bear = if cannot.len() > 1 { "bear" } else { "bears" };
            return Some(Answer::told(Truth::No, &has, &format!("{who} {bear} short ones only")));
        }
        (!unsaid).then(|| Answer::told(Truth::Yes, &has, "every module bears both"))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn bus(engine: &str, id: &str) -> String {
        format!(
            r#"
kind unit {{ asks mass }}
family Dunlin {{ built 1996-06 to 2003-12
  place engine_controller, brake_controller is unit
  bus drive is CAN at 250 kbit/s }}
module engine_unit is unit fills engine_controller {{ fitted on Dunlin, sends torque on drive, id "0x110"{engine} }}
module brake_unit is unit fills brake_controller {{ sends wheel_speed on drive, id "{id}" }}
vehicle van is Dunlin {{ built 1997-04 }}
conversion easy {{ recipient van, fit brake_unit }}"#
        )
    }

    #[test]
    fn a_bus_on_which_all_bear_both_is_clear() {
        check("bus/frame", &bus(", frame formats both", "0x18FEF100"))
            .clear("Wheel speed on the drive bus has a long identifier; every module bears both.");
    }

    #[test]
    fn one_that_bears_short_ones_only_is_a_clash() {
        let found = check("bus/frame", &bus(", frame formats short", "0x18FEF100"));
        found.clash(
            "Wheel speed on the drive bus has a long identifier, but the engine controller bears short ones only.",
        );
        assert_eq!(found.text(), "sends wheel_speed on drive, id \"0x18FEF100\"");
    }

    #[test]
    fn what_a_module_bears_is_asked_only_where_both_are_there() {
        check("bus/frame", &bus("", "0x18FEF100")).open(
            "Nobody has said the identifiers it bears of the engine controller: it decides whether the long \
             messages on the drive bus come through.",
        );
        check("bus/frame", &bus("", "0x7FF")).silent();
        check("bus/frame", &bus("", "0x800")).open(
            "Nobody has said the identifiers it bears of the engine controller: it decides whether the long \
             messages on the drive bus come through.",
        );
    }
}
