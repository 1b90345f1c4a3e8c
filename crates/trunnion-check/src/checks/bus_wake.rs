//! # bus/wake
//!
//! The wire or the message that wakes a module is still given after the changes.
//!
//! ## Why it matters
//!
//! A module that nothing wakes is dead, with its supply and its bus in order. One that used to be woken by
//! a unit that is taken out is the fault that is looked for longest.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place seat_controller, door_controller is unit
//!   bus body is CAN at 125 kbit/s }
//! module door_unit is unit fills door_controller { fitted on Dunlin, sends door on body }
//! module seat_unit is unit fills seat_controller { hears door on body, wake up "message key_in on body" }
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
//! module door_unit is unit fills door_controller { fitted on Dunlin, sends key_in on body }
//! module seat_unit is unit fills seat_controller { hears key_in on body, wake up "message key_in on body" }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit seat_unit }
//! ```
//!
//! ## References
//!
//! What wakes a module its maker says: `wake up "message … on …"`, `wake up "cavity 1"` or `wake up
//! "cavity 1 of B1"`.

use trunnion_handbook::quantity::Truth;
use trunnion_model::decl::Cavity;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::{EndAt, Place};

use crate::bus::{Bus, buses, senders};
use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};
use crate::wiring::wired;

/// The check.
pub static CHECK: Check =
    Check { name: "bus/wake", source: include_str!("bus_wake.rs"), judge: Judge::World(judge) };

/// What wakes a module.
#[derive(Debug, PartialEq)]
enum Waker {
    /// A message on a bus.
    Message(String, String),
    /// A wire in a cavity, of a plug where that is said.
    Wire(u32, Option<String>),
}

/// Reads `message key_in on body`, `ignition, cavity 1`, `cavity 1 of B1`.
fn waker(text: &str) -> Option<Waker> {
    let words: Vec<&str> = text.split([' ', ',']).filter(|it| !it.is_empty()).collect();
    let after = |word: &str| {
        let at = words.iter().position(|it| it.eq_ignore_ascii_case(word))?;
        words.get(at + 1).map(|it| (*it).to_owned())
    };
    if let Some(message) = after("message") {
        return Some(Waker::Message(message, after("on")?));
    }
    Some(Waker::Wire(after("cavity")?.parse().ok()?, after("of")))
}

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let all = buses(ctx);
    let filled = ctx.world.places.iter().filter(|it| it.after.is_filled());
    filled.filter(|it| ctx.stated(it, "wake_up")).filter_map(|it| one(ctx, &all, it)).collect()
}

fn one(ctx: &Ctx<'_>, all: &[Bus<'_>], place: &Place) -> Option<Verdict> {
    let claims = ctx.fact(place, "wake_up").claims().to_vec();
    let text = claims.iter().flat_map(|it| &it.values).find_map(|it| it.word().map(|it| it.to_string()))?;
    let waker = waker(&text);
    let bus = match &waker {
        Some(Waker::Message(_, bus)) => all.iter().find(|it| it.name() == bus),
        _ => None,
    };
    // Taking the sender out concerns the listener, though nothing is done to it.
    if !place.changed() && ctx.world.conversion.is_some() && !bus.is_some_and(|it| it.touched) {
        return None;
    }
    let site =
        place.done.last().map_or_else(|| claims.first().map_or(place.site, |it| it.site), |it| it.site);
    if let Some(Waker::Wire(number, plug)) = &waker
        && is_bare_supply(ctx, place, *number, plug.as_deref())
    {
        return None;
    }
    let what = ctx.part_shown(place);
    let sum =
        Sum::new(ctx, CHECK.name, format!("{}.wake_up", place.name), site, format!("whether {what} wakes"));
    sum.work(|sum| {
        sum.word(place, "wake_up")?;
        match &waker {
            Some(Waker::Message(message, name)) => message_wakes(sum, all, bus, &what, message, name),
            Some(Waker::Wire(number, plug)) => wire_wakes(ctx, sum, place, &what, *number, plug.as_deref()),
            None => {
                sum.good("`message … on …` or `cavity … of …`");
                sum.refuse(format!("“{text}” names neither a message on a bus nor a cavity"));
                None
            }
        }
    })
}

/// Whether it is woken by its supply, and no wire is there: plug/cavity says so already.
fn is_bare_supply(ctx: &Ctx<'_>, place: &Place, number: u32, plug: Option<&str>) -> bool {
    let Some(part) = place.after.part().and_then(|it| ctx.part(it)) else { return false };
    let all = wired(ctx.world);
    part.ends.iter().filter(|it| plug.is_none_or(|plug| plug == it.name.value)).any(|end| {
        let supply =
            |it: &Cavity| it.number.value == number && it.role.value == "supply" && it.out != Some(true);
        let at = EndAt { place: place.name.clone(), end: end.name.value.clone() };
        let bare = all.get(&at).and_then(|it| it.get(&number)).is_none_or(Vec::is_empty);
        end.cavities.iter().any(supply) && bare
    })
}

fn message_wakes(
    sum: &mut Sum<'_, '_>,
    all: &[Bus<'_>],
    bus: Option<&Bus<'_>>,
    what: &str,
    message: &str,
    name: &str,
) -> Option<Answer> {
    let shown = message.replace('_', " ");
    let said = format!("{what} is woken by the message {shown}");
    let Some(bus) = bus else {
        return Some(Answer::told(Truth::No, &said, &format!("there is no bus {name}")));
    };
    let found = senders(all, bus, message, 0).0;
    if let Some(sender) = found.iter().find(|it| it.sure) {
        let by = sender.place.shown();
        return Some(Answer::told(Truth::Yes, &said, &format!("the {by} gives it on {}", bus.shown())));
    }
    if let Some(place) = bus.unknown.first() {
        sum.refuse(format!("nobody has said what the {} sends on {}", place.shown(), bus.shown()));
        return None;
    }
    if let Some(sender) = found.first() {
        sum.refuse(format!("it is not settled which part the {} is", sender.place.shown()));
        return None;
    }
    Some(Answer::told(Truth::No, &said, &format!("nobody gives it on {}", bus.shown())))
}

fn wire_wakes(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    place: &Place,
    what: &str,
    number: u32,
    plug: Option<&str>,
) -> Option<Answer> {
    let part = place.after.part().and_then(|it| ctx.part(it))?;
    // What it gives itself does not wake it.
    let here = part
        .ends
        .iter()
        .filter(|it| it.cavities.iter().any(|it| it.number.value == number && it.out != Some(true)));
    let here: Vec<&str> =
        here.map(|it| it.name.value.as_str()).filter(|it| plug.is_none_or(|plug| plug == *it)).collect();
    let [plug] = here.as_slice() else {
        let which = if here.is_empty() { "no plug of it states" } else { "several plugs of it have" };
        sum.refuse(format!("{which} a cavity {number}"));
        return None;
    };
    let at = EndAt { place: place.name.clone(), end: (*plug).into() };
    let text = format!("{}[{number}]", at.text());
    let said = format!("{what} is woken at {text}");
    let all = wired(ctx.world);
    let seats = all.get(&at).and_then(|it| it.get(&number));
    let sure = seats.into_iter().flatten().find(|it| it.sure);
    if let Some(seat) = sure {
        return Some(Answer::told(
            Truth::Yes,
            &said,
            &format!("a wire leads there from {}", seat.other.text()),
        ));
    }
    if seats.is_some_and(|it| !it.is_empty()) {
        sum.refuse(format!("the loom with the wire to {text} may not be fitted"));
        return None;
    }
    Some(Answer::told(Truth::No, &said, "no wire leads there"))
}

#[cfg(test)]
mod tests {
    use super::{Waker, waker};
    use crate::testing::check;

    fn van(seat: &str, more: &str) -> String {
        format!(
            r"
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place seat_controller, door_controller is unit
  feed F12 is 12 V from ignition
  bus body is CAN at 125 kbit/s }}
module door_unit is unit fills door_controller {{ fitted on Dunlin, sends key_in on body }}
module bare_unit is unit fills door_controller {{ sends door on body }}
module seat_unit is unit fills seat_controller {{ fitted on Dunlin to 2009-07, plug B1 {{ 1 supply 12 V, 2 ground, 3 signal ignition in }}
  hears key_in on body, {seat} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit seat_unit{more} }}"
        )
    }

    const BY_MESSAGE: &str = "wake up \"message key_in on body\"";

    #[test]
    fn what_the_makers_write_is_read() {
        assert_eq!(waker("message key_in on body"), Some(Waker::Message("key_in".into(), "body".into())));
        assert_eq!(waker("ignition, cavity 1"), Some(Waker::Wire(1, None)));
        assert_eq!(waker("cavity 12 of B1"), Some(Waker::Wire(12, Some("B1".into()))));
        assert_eq!(waker("when the door opens"), None);
    }

    #[test]
    fn a_message_that_is_sent_wakes() {
        check("bus/wake", &van(BY_MESSAGE, ""))
            .clear("Seat unit is woken by the message key in; the door controller gives it on the body bus.");
    }

    #[test]
    fn the_sender_is_taken_out() {
        let found = check("bus/wake", &van(BY_MESSAGE, ", replace door_controller with bare_unit"));
        found.clash("Seat unit is woken by the message key in, but nobody gives it on the body bus.");
        assert_eq!(found.text(), "fit seat_unit");
    }

    #[test]
    fn a_wire_wakes_where_it_is_run() {
        let wire = ", wire F12 to seat_controller.B1[1] 0.5 mm2";
        check("bus/wake", &van("wake up \"ignition, cavity 1\"", wire))
            .clear("Seat unit is woken at seat_controller.B1[1]; a wire leads there from F12.");
        // That its supply is bare plug/cavity says.
        let bare = check(
            "bus/wake",
            &van("wake up \"ignition, cavity 1\"", ", wire F12 to seat_controller.B1[2] 0.5 mm2"),
        );
        bare.silent();
        assert!(bare.listing().contains(" plug/cavity [seat_controller.B1"), "{}", bare.listing());
        check("bus/wake", &van("wake up \"ignition, cavity 3\"", ""))
            .clash("Seat unit is woken at seat_controller.B1[3], but no wire leads there.");
    }

    #[test]
    fn words_that_name_nothing_are_open() {
        check("bus/wake", &van("wake up \"when the door opens\"", "")).open(
            "It cannot be told whether seat unit wakes: “when the door opens” names neither a message on a bus \
             nor a cavity.",
        );
    }
}
