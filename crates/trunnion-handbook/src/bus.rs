//! Messages on a CAN bus: how long a frame takes and how late a message can come.
//!
//! Source: R. I. Davis, A. Burns, R. J. Bril, J. J. Lukkien, "Controller Area Network (CAN)
//! schedulability analysis: refuted, revisited and revised", Real-Time Systems 35(3), 2007.

use crate::registry::Source;

/// What the analysis rests on, and what it takes for granted.
pub const SOURCES: &[Source] = &[
    Source::published(
        "R. I. Davis, A. Burns, R. J. Bril, J. J. Lukkien, Real-Time Systems 35(3)",
        "2007",
        "revised worst-case response times; every node queues by priority, classic frames, no error on the bus",
    ),
    Source::from_memory(
        "R. I. Davis, A. Burns, R. J. Bril, J. J. Lukkien, Real-Time Systems 35(3)",
        "2007",
        "figures of the worked example that a test reproduces",
    ),
];

/// The form of a frame's identifier.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Identifier {
    /// 11 bits.
    Base,
    /// 29 bits.
    Extended,
}

/// Most bits of a classic data frame with every stuff bit its content may force:
/// g + 8 n + 13 + ⌊(g + 8 n − 1) / 4⌋ with g = 34 or 54. `None` above 8 bytes.
pub fn frame_bits(data_bytes: u8, identifier: Identifier) -> Option<u32> {
    let exposed = match identifier {
        Identifier::Base => 34,
        Identifier::Extended => 54,
    };
    let stuffable = exposed + 8 * u32::from(data_bytes);
    (data_bytes <= 8).then_some(stuffable + 13 + (stuffable - 1) / 4)
}

/// A message as the analysis sees it; times in nanoseconds.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Message {
    /// Longest time on the wire.
    pub frame: u64,
    /// Least time between two of them.
    pub period: u64,
    /// Most its sender may be late in queueing it.
    pub jitter: u64,
}

/// How late a message can be.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Response {
    /// From the event that makes the sender queue it until it is received, in nanoseconds.
    Worst(u64),
    /// There is no bound: the bus is full, or so nearly that none is found.
    Unbounded,
}

/// Steps after which a busy period is given up; a bus in use needs some tens.
const GIVE_UP: u32 = 100_000;

/// The worst-case response of each message, highest priority first. `bit` is the time of one bit.
///
/// A message is delayed by one longer-waiting frame of lower priority that has just begun, and by
/// every frame of higher priority that is queued before it starts. Every instance within the busy
/// period counts, since a later one may be later than the first.
pub fn responses(messages: &[Message], bit: u64) -> Vec<Response> {
    (0..messages.len()).map(|at| response(messages, at, bit).unwrap_or(Response::Unbounded)).collect()
}

fn response(messages: &[Message], at: usize, bit: u64) -> Option<Response> {
    let own = messages.get(at)?;
    let (higher, lower) = (&messages[..at], &messages[at + 1..]);
    let blocking = lower.iter().map(|it| it.frame).max().unwrap_or(0);
    let busy = settle(own.frame, |t| {
        let demand = demand(higher, t, 0)?.checked_add(demand(&[*own], t, 0)?)?;
        demand.checked_add(blocking)
    })?;
    let instances = arrivals(own, busy, 0)?;
    let mut worst = 0;
    for instance in 0..instances {
        let before = instance.checked_mul(own.frame)?.checked_add(blocking)?;
        let wait = settle(before, |t| demand(higher, t, bit)?.checked_add(before))?;
        let end = wait.checked_add(own.frame)?.checked_add(own.jitter)?;
        worst = worst.max(end.saturating_sub(instance.checked_mul(own.period)?));
    }
    Some(Response::Worst(worst))
}

/// How often a message is queued within a span, the sender's lateness counted in.
fn arrivals(it: &Message, span: u64, bit: u64) -> Option<u64> {
    let reach = span.checked_add(it.jitter)?.checked_add(bit)?;
    (it.period > 0).then(|| reach.div_ceil(it.period))
}

/// The time on the wire that messages ask for within a span.
fn demand(messages: &[Message], span: u64, bit: u64) -> Option<u64> {
    let each = |it: &Message| arrivals(it, span, bit)?.checked_mul(it.frame);
    messages.iter().map(each).try_fold(0u64, |sum, it| sum.checked_add(it?))
}

/// The first value, from a start upwards, that a growing function gives back unchanged.
fn settle(start: u64, next: impl Fn(u64) -> Option<u64>) -> Option<u64> {
    let mut span = start;
    for _ in 0..GIVE_UP {
        let grown = next(span)?.max(span);
        if grown == span {
            return Some(span);
        }
        span = grown;
    }
    None
}

/// Share of the bus in use, in parts of one; over 1 is impossible. `None` for a message without a
/// period.
#[allow(clippy::cast_precision_loss)] // Nanoseconds below 2^53 are kept; above, the share is near 0.
pub fn load(messages: &[Message]) -> Option<f64> {
    let share = |it: &Message| (it.period > 0).then(|| it.frame as f64 / it.period as f64);
    messages.iter().map(share).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const MS: u64 = 1_000_000;

    fn message(frame: u64, period: u64) -> Message {
        Message { frame, period, jitter: 0 }
    }

    #[test]
    fn frames_as_printed() {
        for bytes in 0..=8 {
            assert_eq!(frame_bits(bytes, Identifier::Base), Some(55 + 10 * u32::from(bytes)));
            assert_eq!(frame_bits(bytes, Identifier::Extended), Some(80 + 10 * u32::from(bytes)));
        }
        assert_eq!(frame_bits(9, Identifier::Base), None);
    }

    /// The paper's counterexample: three messages of 125 bits at 125 kbit/s, periods 2.5, 3.5 and
    /// 3.5 ms. The first instance of the last takes 3.0 ms, its second 3.5 ms, which the analysis
    /// of 1994 missed.
    #[test]
    fn the_worked_example() {
        let bits = u64::from(frame_bits(7, Identifier::Base).unwrap());
        let bit = 8_000;
        assert_eq!(bits * bit, MS);
        let all = [message(MS, 2_500_000), message(MS, 3_500_000), message(MS, 3_500_000)];
        let worst = [2 * MS, 3 * MS, 3_500_000].map(Response::Worst);
        assert_eq!(responses(&all, bit), worst);
        assert!((load(&all).unwrap() - (0.4 + 2.0 / 3.5)).abs() < 1e-12);
    }

    #[test]
    fn a_full_bus_has_no_bound() {
        let all = [message(MS, MS), message(MS, 10 * MS)];
        assert_eq!(responses(&all, 8_000)[1], Response::Unbounded);
        assert_eq!(responses(&[message(MS, 0)], 8_000), [Response::Unbounded]);
        assert_eq!(responses(&[message(u64::MAX, 1)], 1), [Response::Unbounded]);
        assert!(responses(&[], 8_000).is_empty());
    }

    #[test]
    fn jitter_adds() {
        let late = Message { jitter: MS / 2, ..message(MS, 10 * MS) };
        assert_eq!(responses(&[late], 8_000), [Response::Worst(MS + MS / 2)]);
    }

    /// The analysis of 1994, which looks at the first instance of each message only.
    fn first_instance(messages: &[Message], at: usize, bit: u64) -> Option<u64> {
        let blocking = messages[at + 1..].iter().map(|it| it.frame).max().unwrap_or(0);
        let wait = settle(blocking, |t| demand(&messages[..at], t, bit)?.checked_add(blocking))?;
        Some(wait + messages[at].frame + messages[at].jitter)
    }

    /// The latest arrival of each message on a bus that is played frame by frame: `offsets` are the first
    /// events, `late` the share of its jitter by which each queueing is late, `until` the last event.
    fn played(messages: &[Message], offsets: &[u64], late: &[u64], until: u64) -> Vec<u64> {
        let mut queued: Vec<(u64, usize, u64)> = Vec::new();
        for (priority, it) in messages.iter().enumerate() {
            let mut event = offsets[priority];
            while event < until {
                let turn = usize::try_from(event % 977).unwrap() + priority;
                queued.push((event + it.jitter * late[turn % late.len()] / 100, priority, event));
                event += it.period;
            }
        }
        queued.sort_unstable();
        let (mut worst, mut now) = (vec![0; messages.len()], 0);
        while !queued.is_empty() {
            // Of all that wait, the highest priority and of it the oldest; else the next to come.
            let waiting = queued.iter().enumerate().filter(|(_, it)| it.0 <= now);
            let next = waiting.min_by_key(|(_, it)| (it.1, it.2)).map_or(0, |(at, _)| at);
            let (ready, priority, event) = queued.remove(next);
            now = now.max(ready) + messages[priority].frame;
            worst[priority] = worst[priority].max(now - event);
        }
        worst
    }

    /// What the paper is about: the analysis of 1994 promises 3 ms for the last message of its example,
    /// and a plain bus sends it after 3.5 ms.
    #[test]
    fn the_older_analysis_is_refuted() {
        let all = [message(MS, 2_500_000), message(MS, 3_500_000), message(MS, 3_500_000)];
        assert_eq!(first_instance(&all, 2, 8_000), Some(3 * MS));
        let played = played(&all, &[0, 0, 0], &[0], 40 * MS);
        assert!(played[2] > 3 * MS, "{played:?}");
        let Response::Worst(bound) = response(&all, 2, 8_000).unwrap() else { panic!("bounded") };
        assert!(played[2] <= bound && bound == 3_500_000);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        /// Whenever messages come and however late they are queued, none arrives after its bound.
        #[test]
        fn no_played_bus_is_later(
            given in proptest::collection::vec((55u64..=270, 1_500u64..12_000, 0u64..900, 0u64..12_000), 1..9),
            late in proptest::collection::vec(0u64..=100, 1..50),
        ) {
            let all: Vec<_> =
                given.iter().map(|&(frame, period, jitter, _)| Message { frame, period, jitter }).collect();
            let offsets: Vec<_> = given.iter().map(|it| it.3).collect();
            let bounds = responses(&all, 1);
            if bounds.iter().all(|it| matches!(it, Response::Worst(_))) {
                for offsets in [offsets.clone(), vec![0; all.len()]] {
                    for (priority, latest) in played(&all, &offsets, &late, 120_000).into_iter().enumerate() {
                        let Response::Worst(bound) = bounds[priority] else { continue };
                        prop_assert!(latest <= bound, "{priority}: {latest} after {bound} of {all:?}");
                    }
                }
            } else {
                prop_assert!(load(&all).unwrap() > 0.9);
            }
        }
    }
}
