//! # bus/lin
//!
//! On a LIN bus each frame, at its longest, fits the slot that the schedule gives it, and the slots of all
//! frames together fit their periods.
//!
//! ## Why it matters
//!
//! One commander polls all others by a fixed table. A follower with a longer answer, or one more follower,
//! makes the table too long: wipers hesitate, a sensor times out, and nothing is broken.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place body_controller, wiper is unit
//!   bus wipe is LIN at 19.2 kbit/s }
//! module wiper_late is unit fills wiper { sends wiper_state on wipe every 50 ms
//!   wiper_state.data_bytes 8, wiper_state.slot 5 ms, wiper_state.jitter 0.1 ms }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit wiper_late }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place body_controller, wiper is unit
//!   bus wipe is LIN at 19.2 kbit/s }
//! module wiper_late is unit fills wiper { sends wiper_state on wipe every 50 ms
//!   wiper_state.data_bytes 8, wiper_state.slot 10 ms, wiper_state.jitter 0.1 ms }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit wiper_late }
//! ```
//!
//! ## References
//!
//! ISO 17987-3: a slot holds the start that wanders and the longest frame, 1.4 times its nominal time; see
//! `trunnion explain lin_frame_time`. That slots of unequal periods fit when their shares add up to less
//! than the whole is necessary; the table itself decides the rest.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::fact::Known;
use trunnion_model::verdict::Verdict;

use crate::bus::{Bus, buses, protocol};
use crate::check::{Check, Judge};
use crate::ctx::{Ctx, capital, listed, trimmed};
use crate::frames::{Frame, frames, jitter, rate};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "bus/lin", source: include_str!("bus_lin.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let all = buses(ctx);
    let mut verdicts = Vec::new();
    for bus in all.iter().filter(|it| it.touched && protocol(it.decl) == "LIN") {
        let frames = frames(ctx, &all, bus);
        let slotted: Vec<&Frame<'_>> =
            frames.iter().filter(|it| it.stated(ctx, "slot") != Known::Unknown).collect();
        verdicts.extend(slotted.iter().filter_map(|it| one(ctx, bus, it)));
        if !slotted.is_empty() {
            verdicts.extend(table(ctx, bus, &frames));
        }
    }
    verdicts
}

/// Whether a frame fits its slot.
fn one(ctx: &Ctx<'_>, bus: &Bus<'_>, frame: &Frame<'_>) -> Option<Verdict> {
    let subject = format!("{}.{}", bus.name(), frame.name);
    let hangs = format!("whether {} fits its slot", frame.shown());
    let sum = Sum::new(ctx, CHECK.name, subject, frame.site, hangs);
    sum.work(|sum| {
        let slot = frame.figure(ctx, sum, "slot");
        let bytes = frame.figure(ctx, sum, "data_bytes");
        let jitter = jitter(ctx, sum, frame);
        let rate = rate(ctx, sum, bus);
        let (slot, jitter) = (slot?, jitter?);
        let frame_time = sum.call("lin_frame_time", &[bytes?, rate?])?;
        let needed = frame_time.add(&jitter).ok()?.shown_in("ms").ok()?;
        sum.formula(format!("{} + {} = {}", frame_time.display(), jitter.display(), needed.display()));
        let said = format!("{} takes {} at its longest", frame.shown(), needed.display());
        let there = format!("its slot has {}", slot.display());
        Some(Answer::at_most(needed, slot, &said, &there))
    })
}

/// Whether all slots fit their periods.
fn table(ctx: &Ctx<'_>, bus: &Bus<'_>, frames: &[Frame<'_>]) -> Option<Verdict> {
    let hangs = format!("whether the schedule of {} has room for all its slots", bus.shown());
    let site = frames.iter().find(|it| it.place.changed()).unwrap_or(&frames[0]).site;
    let sum = Sum::new(ctx, CHECK.name, bus.name(), site, hangs);
    let verdict = sum.work(|sum| {
        let each: Vec<Option<(Quantity, Quantity)>> = frames
            .iter()
            .map(|it| {
                let (slot, every) = (it.figure(ctx, sum, "slot"), it.period(ctx, sum));
                Some((slot?, every?))
            })
            .collect();
        let all: Vec<(Quantity, Quantity)> = each.into_iter().collect::<Option<_>>()?;
        let mut total = Quantity::number(0.0).ok()?;
        for (slot, every) in &all {
            total = total.add(&slot.div(every).ok()?).ok()?;
        }
        let words: Vec<String> =
            all.iter().map(|(a, b)| format!("{} / {}", a.display(), b.display())).collect();
        let total = Quantity::range(total.lo() * 100.0, total.hi() * 100.0, "%").ok()?;
        let taken = trimmed(total.in_unit("%")?, 1);
        sum.formula(format!("{} = {taken} %", words.join(" + ")));
        let (said, there) = match all.iter().all(|it| it.1 == all[0].1) {
            true => {
                let slots =
                    all.iter().try_fold(Quantity::exact(0.0, "ms").ok()?, |sum, it| sum.add(&it.0).ok())?;
                let slots = slots.shown_in("ms").ok()?.display();
                (
                    format!("the slots on {} take {slots}", bus.shown()),
                    format!("their period has {}", all[0].1.display()),
                )
            }
            false => (
                format!("the slots of {} take {taken} % of {}", listed(&names(frames)), bus.shown()),
                "there is 100 %".to_owned(),
            ),
        };
        Some(Answer::at_most(total, Quantity::exact(100.0, "%").ok()?, &capital(&said), &there))
    });
    // What a wholly unknown module sends is asked by bus/message; nothing can be clear before.
    verdict.filter(|it| bus.unknown.is_empty() || it.outcome == trunnion_model::verdict::Outcome::Clash)
}

fn names(frames: &[Frame<'_>]) -> Vec<String> {
    frames.iter().map(Frame::shown).collect()
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn bus(state: &str, request: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place body_controller, wiper is unit
  bus wipe is LIN at 19.2 kbit/s per manual }}
module body_unit is unit fills body_controller {{ fitted on Dunlin, {request} }}
module wiper_late is unit fills wiper {{ sends state on wipe every 50 ms per manual, {state} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit wiper_late }}"#
        )
    }

    const REQUEST: &str =
        "sends request on wipe every 50 ms, request.data_bytes 2, request.slot 10 ms, request.jitter 0.2 ms";

    /// 34 + 10 × 9 bits at 19.2 kbit/s, times 1.4, are 9.04 ms.
    #[test]
    fn frames_that_fit_are_clear() {
        let found =
            check("bus/lin", &bus("state.data_bytes 8, state.slot 10 ms, state.jitter 0.2 ms", REQUEST));
        let state = found.about("wipe.state");
        assert_eq!(state.message, "State takes 9.242 ms at its longest; its slot has 10 ms.");
        assert_eq!(state.margin.as_deref(), Some("0.7583 ms"));
        assert!(
            state.formula.as_deref().unwrap().ends_with("9.042 ms + 0.2 ms = 9.242 ms"),
            "{:?}",
            state.formula
        );
        assert_eq!(
            found.about("wipe").message,
            "The slots on the wipe bus take 20 ms; their period has 50 ms."
        );
        assert_eq!(found.about("wipe").formula.as_deref(), Some("10 ms / 50 ms + 10 ms / 50 ms = 40 %"));
    }

    #[test]
    fn a_frame_longer_than_its_slot_is_a_clash() {
        let found =
            check("bus/lin", &bus("state.data_bytes 8, state.slot 9 ms, state.jitter 0.2 ms", REQUEST));
        let state = found.about("wipe.state");
        assert_eq!(state.outcome.word(), "clash");
        assert_eq!(state.message, "State takes 9.242 ms at its longest, but its slot has 9 ms.");
        assert_eq!(found.text_of(state), "sends state on wipe every 50 ms per manual");
    }

    #[test]
    fn slots_that_do_not_fit_the_period_are_a_clash() {
        let found =
            check("bus/lin", &bus("state.data_bytes 8, state.slot 45 ms, state.jitter 0.2 ms", REQUEST));
        let all = found.about("wipe");
        assert_eq!(all.message, "The slots on the wipe bus take 55 ms, but their period has 50 ms.");
        assert_eq!(all.outcome.word(), "clash");
    }

    #[test]
    fn what_nobody_said_is_open() {
        let found = check("bus/lin", &bus("state.slot 10 ms, state.jitter 0 ms", REQUEST));
        let state = found.about("wipe.state");
        assert_eq!(state.outcome.word(), "open");
        assert_eq!(
            state.message,
            "Nobody has said the data bytes of the message state: it decides whether state fits its slot."
        );
        check("bus/lin", &bus("state.data_bytes 8", "mass 1 kg")).silent();
    }
}
