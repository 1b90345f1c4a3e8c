//! # bus/deadline
//!
//! Every message for which somebody stated a deadline arrives within it, even when all others of the bus
//! want to be sent at the same moment and one of lower rank has just begun.
//!
//! It takes for granted that every controller sends the message of highest rank first, that frames are
//! classic ones, that periods are the least there are, and that no frame is repeated for an error. What
//! nobody stated is counted at its worst: 8 data bytes, an identifier of 29 bits, a rank above all others.
//! Only how far the start of a message wanders cannot be bounded: where nobody stated it, the `basis` may
//! say it for all (`bus jitter at most 1 ms`).
//!
//! ## Why it matters
//!
//! A message that comes late now and then is the fault that no tester finds: a shift that is not softened,
//! a brake action that comes a moment after the wheel locked.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine_controller, brake_controller is unit
//!   bus drive is CAN at 125 kbit/s }
//! module engine_unit is unit fills engine_controller { fitted on Dunlin
//!   sends torque on drive every 10 ms, id "0x100"
//!   torque.data_bytes 8, torque.jitter 0 ms }
//! module brake_unit is unit fills brake_controller { sends cut on drive every 10 ms, id "0x200"
//!   cut.data_bytes 8, cut.jitter 0 ms, cut.deadline 2 ms }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit brake_unit }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine_controller, brake_controller is unit
//!   bus drive is CAN at 500 kbit/s }
//! module engine_unit is unit fills engine_controller { fitted on Dunlin
//!   sends torque on drive every 10 ms, id "0x100"
//!   torque.data_bytes 8, torque.jitter 0 ms }
//! module brake_unit is unit fills brake_controller { sends cut on drive every 10 ms, id "0x200"
//!   cut.data_bytes 8, cut.jitter 0 ms, cut.deadline 2 ms }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit brake_unit }
//! ```
//!
//! ## References
//!
//! R. I. Davis, A. Burns, R. J. Bril, J. J. Lukkien, "Controller Area Network (CAN) schedulability
//! analysis: refuted, revisited and revised", Real-Time Systems 35(3), 2007: the response time of a
//! message counts every instance within the busy period. That the lower identifier goes first: ISO 11898-1.

use trunnion_handbook::bus::{Message, Response, SOURCES, responses};
use trunnion_handbook::quantity::{Dimension, Quantity, Truth};
use trunnion_model::fact::Known;
use trunnion_model::verdict::Verdict;

use crate::bus::{Bus, buses, protocol};
use crate::check::{Check, Judge};
use crate::ctx::{Ctx, capital, trimmed};
use crate::frames::{Frame, frames, jitter, rate};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "bus/deadline", source: include_str!("bus_deadline.rs"), judge: Judge::World(judge) };

const ASSUMED: &str = "each controller sends its message of highest rank first; classic frames; no frame is \
                       repeated for an error";

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let all = buses(ctx);
    let touched = all.iter().filter(|it| it.touched && protocol(it.decl) == "CAN");
    touched.flat_map(|it| on_bus(ctx, it, &frames(ctx, &all, it))).collect()
}

fn on_bus(ctx: &Ctx<'_>, bus: &Bus<'_>, frames: &[Frame<'_>]) -> Vec<Verdict> {
    let timed = frames.iter().enumerate().filter(|(_, it)| it.stated(ctx, "deadline") != Known::Unknown);
    timed.filter_map(|(at, _)| one(ctx, bus, frames, at)).collect()
}

/// How long one message of a CAN bus takes until it has arrived, at its best and at its worst, into a
/// sum; open where anything that it waits for is not known.
pub(crate) fn latest(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    bus: &Bus<'_>,
    frames: &[Frame<'_>],
    at: usize,
) -> Option<Quantity> {
    sum.note(ASSUMED);
    for source in SOURCES {
        sum.source(source.to_string());
    }
    if frames[at].identifier.is_none() {
        frames[at].lacks_identifier(ctx, sum);
    }
    let rate = rate(ctx, sum, bus);
    let each: Vec<Option<Timed<'_>>> = frames.iter().map(|it| timed(ctx, sum, it, rate?)).collect();
    let all: Vec<Timed<'_>> = each.into_iter().collect::<Option<_>>()?;
    frames[at].identifier?;
    let bit = nanoseconds(1.0 / rate?.lo())?;
    let Response::Worst(most) = response(&all, at, true, bit) else {
        unbounded(ctx, sum, bus, &all, false);
        return None;
    };
    let least = match response(&all, at, false, bit) {
        Response::Worst(it) => it.min(most),
        Response::Unbounded => most,
    };
    time(least, most)
}

/// A message for the analysis, at its best and at its worst.
struct Timed<'f> {
    frame: &'f Frame<'f>,
    best: Message,
    worst: Message,
    bytes_stated: bool,
}

fn one(ctx: &Ctx<'_>, bus: &Bus<'_>, frames: &[Frame<'_>], at: usize) -> Option<Verdict> {
    let own = &frames[at];
    let subject = format!("{}.{}", bus.name(), own.name);
    let hangs = format!("whether {} comes in time", own.shown());
    let mut late = false;
    let sum = Sum::new(ctx, CHECK.name, subject, own.site, hangs);
    let verdict = sum.work(|sum| {
        sum.safety_of(&[own.place]);
        sum.note(ASSUMED);
        for source in SOURCES {
            sum.source(source.to_string());
        }
        let deadline = own.figure(ctx, sum, "deadline");
        if own.identifier.is_none() {
            own.lacks_identifier(ctx, sum);
        }
        let rate = rate(ctx, sum, bus);
        let each: Vec<Option<Timed<'_>>> = frames.iter().map(|it| timed(ctx, sum, it, rate?)).collect();
        let all: Vec<Timed<'_>> = each.into_iter().collect::<Option<_>>()?;
        let (deadline, bit) = (deadline?, nanoseconds(1.0 / rate?.lo())?);
        own.identifier?;
        let best = response(&all, at, false, bit);
        let worst = response(&all, at, true, bit);
        let limit = nanoseconds(deadline.lo())?;
        late = matches!(best, Response::Unbounded) || matches!(best, Response::Worst(it) if it > limit);
        let Response::Worst(most) = worst else {
            return unbounded(ctx, sum, bus, &all, late);
        };
        let least = match best {
            Response::Worst(it) => it.min(most),
            Response::Unbounded => most,
        };
        let range = time(least, most)?;
        if range.at_most(&deadline) == Ok(Truth::Maybe) {
            lacking(ctx, sum, &all);
        }
        let me = &all[at].worst;
        let waits = most.saturating_sub(me.jitter).saturating_sub(me.frame);
        let [start, wait, frame, whole] = [me.jitter, waits, me.frame, most].map(milliseconds);
        sum.formula(format!(
            "response = start {start} + wait {wait} + frame {frame} = {whole} among {} messages at {}",
            all.len(),
            rate?.display()
        ));
        let said = format!("{} has arrived after {whole} at the latest", own.shown());
        let needed = format!("{} are allowed", deadline.display());
        Some(Answer::at_most(range, deadline, &said, &needed))
    });
    // What a wholly unknown module sends is asked by bus/message; nothing can be clear before.
    verdict.filter(|_| bus.unknown.is_empty() || late)
}

fn timed<'f>(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    frame: &'f Frame<'f>,
    rate: Quantity,
) -> Option<Timed<'f>> {
    let (every, jitter) = (frame.period(ctx, sum), jitter(ctx, sum, frame));
    let (bytes, bytes_stated) = frame.bytes(ctx, sum)?;
    let (short, long) = frame.time(sum, bytes, rate)?;
    let (every, jitter) = (every?, jitter?);
    if every.lo() <= 0.0 || jitter.lo() < 0.0 {
        sum.refuse(format!("{} is sent every {}, {} off", frame.shown(), every.display(), jitter.display()));
        return None;
    }
    for it in &frame.claims {
        sum.rests_on(it);
    }
    let message = |time: f64, every: f64, jitter: f64| {
        Some(Message { frame: nanoseconds(time)?, period: nanoseconds(every)?, jitter: nanoseconds(jitter)? })
    };
    // `at most 1 ms` says nothing of the least.
    let worst = message(long, every.lo(), jitter.hi())?;
    let best = message(short, every.hi(), jitter.lo())?;
    Some(Timed { frame, best, worst, bytes_stated })
}

/// The response of one message, all others at their best or worst: what may not be sent at all is left
/// out at best; one of unknown rank goes before all at worst and after all at best.
fn response(all: &[Timed<'_>], at: usize, worst: bool, bit: u64) -> Response {
    let own = &all[at];
    let mut order: Vec<&Timed<'_>> = all
        .iter()
        .enumerate()
        .filter(|(nth, it)| *nth == at || worst || it.frame.sure)
        .map(|it| it.1)
        .collect();
    let unknown = if worst { (0, 0, 0, 0) } else { (2, 0, 0, 0) };
    let key = |it: &&Timed<'_>| it.frame.identifier.map_or(unknown, rank);
    order.sort_by_key(key);
    let here = order.iter().position(|it| std::ptr::eq(*it, own));
    let messages: Vec<Message> = order.iter().map(|it| if worst { it.worst } else { it.best }).collect();
    let all = responses(&messages, bit);
    here.and_then(|it| all.get(it).copied()).unwrap_or(Response::Unbounded)
}

/// The rank on the wire: the first 11 bits decide, then a short identifier goes before a long one.
fn rank(identifier: u32) -> (u8, u32, u8, u32) {
    match identifier {
        short @ 0..=0x7FF => (1, short, 0, 0),
        long => (1, long >> 18, 1, long & 0x3_FFFF),
    }
}

fn unbounded(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    bus: &Bus<'_>,
    all: &[Timed<'_>],
    late: bool,
) -> Option<Answer> {
    let full = format!("{} is so full that no time can be named within which it arrives", bus.shown());
    if late {
        return Some(Answer::sentences(Truth::No, String::new(), format!("{}.", capital(&full))));
    }
    lacking(ctx, sum, all);
    sum.refuse(format!("counted at its worst {full}"));
    None
}

/// Asks for what was counted at its worst.
fn lacking(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, all: &[Timed<'_>]) {
    for it in all {
        if !it.bytes_stated {
            it.frame.figure(ctx, sum, "data_bytes");
        }
        if it.frame.identifier.is_none() {
            it.frame.lacks_identifier(ctx, sum);
        }
    }
}

/// None for what is no time, or longer than any bus runs.
fn nanoseconds(seconds: f64) -> Option<u64> {
    let it = (seconds * 1e9).round();
    // Within the range of u64 by the test before.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    (0.0..1e18).contains(&it).then_some(it as u64)
}

#[allow(clippy::cast_precision_loss)] // Times on a bus stay far below 2^53 ns.
fn seconds(nanoseconds: u64) -> f64 {
    nanoseconds as f64 / 1e9
}

fn milliseconds(nanoseconds: u64) -> String {
    format!("{} ms", trimmed(seconds(nanoseconds) * 1000.0, 3))
}

fn time(least: u64, most: u64) -> Option<Quantity> {
    let (lo, hi) = (seconds(least), seconds(most));
    Quantity::si_range(lo, hi, hi, Dimension::TIME).ok()?.shown_in("ms").ok()
}

#[cfg(test)]
mod tests;
