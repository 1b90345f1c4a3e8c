//! # bus/load
//!
//! The messages on a CAN bus leave it room: all frames together, each with every stuff bit that its
//! content may force, take no more of the bus than the `basis` allows (`bus load at most 50 %`; half of
//! it where none is stated).
//!
//! ## Why it matters
//!
//! A module brought from another vehicle brings its messages along. On a bus that is nearly full the
//! messages of low rank come late or never, and the fault shows only when everything happens at once.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine_controller, brake_controller is unit
//!   bus drive is CAN at 125 kbit/s }
//! module engine_unit is unit fills engine_controller { fitted on Dunlin, sends torque on drive every 5 ms, sends speed on drive every 5 ms,
//!   torque.data_bytes 8, speed.data_bytes 8 }
//! module quick_unit is unit fills brake_controller { sends wheel_speed on drive every 5 ms, wheel_speed.data_bytes 8 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit quick_unit }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine_controller, brake_controller is unit
//!   bus drive is CAN at 500 kbit/s }
//! module engine_unit is unit fills engine_controller { fitted on Dunlin, sends torque on drive every 5 ms, sends speed on drive every 5 ms,
//!   torque.data_bytes 8, speed.data_bytes 8 }
//! module quick_unit is unit fills brake_controller { sends wheel_speed on drive every 5 ms, wheel_speed.data_bytes 8 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit quick_unit }
//! ```
//!
//! ## References
//!
//! Length of a frame with its stuff bits: R. I. Davis, A. Burns, R. J. Bril, J. J. Lukkien, Real-Time
//! Systems 35(3), 2007, section 2. That half of a bus may be used: common practice, no source; it says
//! nothing about when a message arrives, which is what bus/deadline asks.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::verdict::Verdict;

use crate::bus::{Bus, buses, protocol};
use crate::check::{Check, Judge};
use crate::ctx::{Ctx, listed, trimmed};
use crate::frames::{Frame, frames, rate};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "bus/load", source: include_str!("bus_load.rs"), judge: Judge::World(judge) };

/// What it takes for granted.
const ASSUMED: &str =
    "counted for classic frames that are sent at their period and never repeated for an error";

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let all = buses(ctx);
    let touched = all.iter().filter(|it| it.touched && protocol(it.decl) == "CAN");
    touched.filter_map(|it| one(ctx, it, &frames(ctx, &all, it))).collect()
}

/// How much of the bus one place takes, at least and at most.
struct Share<'f> {
    frame: &'f Frame<'f>,
    least: f64,
    most: f64,
    bytes_stated: bool,
    words: String,
}

fn one(ctx: &Ctx<'_>, bus: &Bus<'_>, frames: &[Frame<'_>]) -> Option<Verdict> {
    if !frames.iter().any(|it| it.every.is_some()) {
        return None;
    }
    let site = frames.iter().find(|it| it.place.changed()).unwrap_or(&frames[0]).site;
    let hangs = format!("whether {} has room for its messages", bus.shown());
    let mut crowded = false;
    let sum = Sum::new(ctx, CHECK.name, bus.name(), site, hangs);
    let verdict = sum.work(|sum| {
        sum.note(ASSUMED);
        let limit = sum.basis_or("bus_load", 50.0, "%");
        let rate = rate(ctx, sum, bus);
        let each: Vec<Option<Share<'_>>> = frames.iter().map(|it| share(ctx, sum, it, rate?)).collect();
        let (limit, rate) = (limit?, rate?);
        // What is known of a bus may be too much already, whatever the rest comes to.
        let known: Vec<&Share<'_>> = each.iter().flatten().collect();
        let (least, most) = known.iter().fold((0.0, 0.0), |(a, b), it| (a + it.least, b + it.most));
        crowded = least * 100.0 > limit.in_unit("%")?;
        let total = Quantity::range(least * 100.0, most * 100.0, "%").ok()?;
        let most_words: Vec<String> = known.iter().take(SHOWN).map(|it| it.words.clone()).collect();
        let more = known.len().saturating_sub(SHOWN);
        let tail = if more > 0 { format!(" + {more} more") } else { String::new() };
        let all = shown(least, most);
        sum.formula(format!("load = {}{tail} = {all}", most_words.join(" + ")));
        let silent: Vec<&&Share<'_>> = known.iter().filter(|it| !it.bytes_stated).collect();
        if !silent.is_empty() {
            let names: Vec<String> = silent.iter().take(SHOWN).map(|it| it.frame.shown()).collect();
            let more = silent.len().saturating_sub(SHOWN);
            let more = if more > 0 { format!(" and {more} more") } else { String::new() };
            sum.note(format!(
                "nobody has said the data bytes of {}{more}: counted from 0 to 8",
                listed(&names)
            ));
        }
        if total.at_most(&limit) == Ok(Truth::Maybe) {
            for it in &silent {
                it.frame.figure(ctx, sum, "data_bytes");
            }
        }
        let taken = if least < most { format!("{} at most", percent(most)) } else { percent(most) };
        let said = format!("the messages on {} take {taken} of its {}", bus.shown(), rate.display());
        let good = format!("at most {} is good", limit.display());
        let margin = limit.in_unit("%")? - most * 100.0;
        let answer = Answer::at_most(total, limit, &said, &good);
        Some(
            answer
                .need(format!("at most {}", limit.display()), all)
                .margin(format!("{} %", trimmed(margin, 1))),
        )
    });
    // What a wholly unknown module sends is asked by bus/message; nothing can be clear before.
    verdict.filter(|_| bus.unknown.is_empty() || crowded)
}

/// How many messages a verdict shows one by one.
const SHOWN: usize = 8;

fn share<'f>(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    frame: &'f Frame<'f>,
    rate: Quantity,
) -> Option<Share<'f>> {
    let every = frame.period(ctx, sum);
    let (bytes, bytes_stated) = frame.bytes(ctx, sum)?;
    let (short, long) = frame.time(sum, bytes, rate)?;
    let every = every?;
    if every.lo() <= 0.0 {
        sum.refuse(format!("{} is sent every {}", frame.shown(), every.display()));
        return None;
    }
    for it in &frame.claims {
        sum.rests_on(it);
    }
    let least = if frame.sure { short / every.hi() } else { 0.0 };
    let words = format!("{} ms / {}", trimmed(long * 1000.0, 3), every.display());
    Some(Share { frame, least, most: long / every.lo(), bytes_stated, words })
}

fn percent(share: f64) -> String {
    format!("{} %", trimmed(share * 100.0, 1))
}

fn shown(least: f64, most: f64) -> String {
    if percent(least) == percent(most) {
        return percent(most);
    }
    format!("{} to {}", trimmed(least * 100.0, 1), percent(most))
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn bus(rate: &str, engine: &str, brake: &str, basis: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place engine_controller, brake_controller is unit
  bus drive is CAN at {rate} per manual }}
module engine_unit is unit fills engine_controller {{ fitted on Dunlin, {engine} }}
module brake_unit is unit fills brake_controller {{ {brake} }}
basis {{ {basis} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit brake_unit }}"#
        )
    }

    const TORQUE: &str =
        r#"sends torque on drive every 10 ms, id "0x100" per manual, torque.data_bytes 8 per manual"#;
    const WHEEL: &str = r#"sends wheel_speed on drive every 20 ms, id "0x200" per manual, wheel_speed.data_bytes 7 per manual"#;

    /// Frames of 135 and 125 bits, as the paper's equation gives for 8 and 7 bytes.
    #[test]
    fn a_bus_with_room_is_clear() {
        let found = check("bus/load", &bus("125 kbit/s", TORQUE, WHEEL, "bus load at most 50 %"));
        found.clear("The messages on the drive bus take 15.8 % of its 125 kbit/s; at most 50 % is good.");
        assert_eq!(found.only().margin.as_deref(), Some("34.2 %"));
        assert_eq!(found.only().formula.as_deref(), Some("load = 1.08 ms / 10 ms + 1 ms / 20 ms = 15.8 %"));
        assert_eq!(found.text(), "sends wheel_speed on drive every 20 ms, id \"0x200\" per manual");
    }

    #[test]
    fn a_crowded_bus_is_a_clash() {
        let found = check("bus/load", &bus("125 kbit/s", TORQUE, WHEEL, "bus load at most 12 %"));
        found.clash("The messages on the drive bus take 15.8 % of its 125 kbit/s, but at most 12 % is good.");
    }

    #[test]
    fn a_message_whose_period_nobody_said_is_open() {
        let found =
            check("bus/load", &bus("125 kbit/s", TORQUE, "sends wheel_speed on drive", "drop at most 3 %"));
        found.open(
            "Nobody has said how often wheel speed is sent: it decides whether the drive bus has room for its \
             messages.",
        );
    }

    #[test]
    fn bytes_that_nobody_said_are_asked_only_where_they_decide() {
        let short = r#"sends wheel_speed on drive every 20 ms, id "0x200""#;
        let found = check("bus/load", &bus("125 kbit/s", TORQUE, short, "bus load at most 50 %"));
        found.clear(
            "The messages on the drive bus take 16.2 % at most of its 125 kbit/s; at most 50 % is good.",
        );
        assert!(found.only().notes[1].contains("counted from 0 to 8"), "{:?}", found.only().notes);
        let found = check("bus/load", &bus("125 kbit/s", TORQUE, short, "bus load at most 15 %"));
        found.open(
            "Nobody has said the data bytes of the message wheel speed: it decides whether the drive bus has \
             room for its messages.",
        );
        assert!(found.fixed(0).contains(", wheel_speed.data_bytes …"), "{}", found.fixed(0));
    }

    #[test]
    fn what_no_frame_can_hold_is_open() {
        let found = check(
            "bus/load",
            &bus(
                "125 kbit/s",
                TORQUE,
                "sends long on drive every 1 s, long.data_bytes 12",
                "drop at most 3 %",
            ),
        );
        assert!(found.only().message.starts_with("It cannot be told whether"), "{}", found.only().message);
    }

    #[test]
    fn a_bus_on_which_nothing_changes_is_not_looked_at() {
        let still = bus("125 kbit/s", TORQUE, WHEEL, "bus load at most 12 %")
            .replace("fit brake_unit", "budget 1 EUR");
        check("bus/load", &still).silent();
    }
}
