//! # bus/address
//!
//! No two modules on one bus have the same address.
//!
//! ## Why it matters
//!
//! Where modules are spoken to by address, two with the same one both answer, or the one that comes
//! later falls silent. It shows as faults in a module that has none.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place seat_controller, door_controller is unit
//!   bus body is CAN at 125 kbit/s }
//! module door_unit is unit fills door_controller { fitted on Dunlin, sends door on body, address "0x1C" }
//! module seat_unit is unit fills seat_controller { sends seat on body, address "0x1C" }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit seat_unit }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place seat_controller, door_controller is unit
//!   bus body is CAN at 125 kbit/s }
//! module door_unit is unit fills door_controller { fitted on Dunlin, sends door on body, address "0x1C" }
//! module seat_unit is unit fills seat_controller { sends seat on body, address "0x1D" }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit seat_unit }
//! ```
//!
//! ## References
//!
//! One address, one node: common practice, no source; which modules have an address their makers say.

use trunnion_handbook::quantity::Truth;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::bus::{Bus, buses};
use crate::check::{Check, Judge};
use crate::ctx::{Ctx, listed};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "bus/address", source: include_str!("bus_address.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    buses(ctx).iter().filter(|it| it.touched).filter_map(|it| one(ctx, it)).collect()
}

/// The same address however it is written: `0x1C`, `0X1c`, `28`.
fn plain(address: &str) -> String {
    let text = address.trim().to_lowercase();
    let number = match text.strip_prefix("0x") {
        Some(hex) => u64::from_str_radix(hex, 16).ok(),
        None => text.parse().ok(),
    };
    number.map_or(text, |it| it.to_string())
}

fn one(ctx: &Ctx<'_>, bus: &Bus<'_>) -> Option<Verdict> {
    let mut places: Vec<&Place> = Vec::new();
    for node in &bus.nodes {
        if !places.iter().any(|it| it.name == node.place.name) {
            places.push(node.place);
        }
    }
    if places.len() < 2 || !places.iter().any(|it| ctx.stated(it, "address")) {
        return None;
    }
    let changed = places.iter().rev().find_map(|it| it.done.last());
    let site = changed.map_or(bus.id.site(bus.decl.span), |it| it.site);
    let hangs = format!("whether each module on {} is spoken to alone", bus.shown());
    let sum = Sum::new(ctx, CHECK.name, format!("{}.address", bus.name()), site, hangs);
    sum.work(|sum| {
        sum.source("one address, one node: common practice, no source");
        let each: Vec<(&Place, Option<String>)> =
            places.iter().map(|it| (*it, sum.word(it, "address"))).collect();
        let mut shared: Vec<String> = Vec::new();
        let mut seen: Vec<(String, &Place)> = Vec::new();
        for (place, address) in each.iter().filter_map(|(it, address)| Some((*it, address.as_ref()?))) {
            let key = plain(address);
            match seen.iter().find(|it| it.0 == key) {
                Some((_, first)) => {
                    shared.push(format!("the {} and the {} have {address}", first.shown(), place.shown()));
                }
                None => seen.push((key, place)),
            }
        }
        if each.iter().any(|it| it.1.is_none()) {
            return None;
        }
        let all: Vec<String> = each
            .iter()
            .map(|(it, address)| format!("{} {}", it.shown(), address.as_deref().unwrap_or_default()))
            .collect();
        let truth = if shared.is_empty() { Truth::Yes } else { Truth::No };
        Some(Answer::sentences(
            truth,
            format!("Each address on {} is there once: {}.", bus.shown(), listed(&all)),
            format!("On {} {}.", bus.shown(), listed(&shared)),
        ))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn bus(door: &str, seat: &str) -> String {
        format!(
            r#"
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place seat_controller, door_controller is unit
  bus body is CAN at 125 kbit/s }}
module door_unit is unit fills door_controller {{ fitted on Dunlin, sends door on body{door} }}
module seat_unit is unit fills seat_controller {{ sends seat on body{seat} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit seat_unit }}"#
        )
    }

    #[test]
    fn each_once_is_clear() {
        check("bus/address", &bus(", address \"0x1C\"", ", address \"0x1D\"")).clear(
            "Each address on the body bus is there once: seat controller 0x1D and door controller 0x1C.",
        );
    }

    #[test]
    fn the_same_written_otherwise_is_a_clash() {
        let found = check("bus/address", &bus(", address \"0x1C\"", ", address \"28\""));
        found.clash("On the body bus the seat controller and the door controller have 0x1C.");
        assert_eq!(found.text(), "fit seat_unit");
    }

    #[test]
    fn what_nobody_said_is_open() {
        check("bus/address", &bus(", address \"0x1C\"", "")).open(
            "Nobody has said the address on its bus of the seat controller: it decides whether each module on \
             the body bus is spoken to alone.",
        );
        check("bus/address", &bus("", "")).silent();
    }
}
