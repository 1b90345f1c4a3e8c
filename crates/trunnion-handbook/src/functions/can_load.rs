//! Share of a CAN bus that is in use, with every stuff bit that the content may force.

use crate::bus::{Identifier, Message, frame_bits, load};
use crate::quantity::Quantity;
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "can_load",
    title: "Load of a CAN bus",
    section: "bus",
    parameters: &[
        Parameter::new("bit_rate", "kbit/s", Limits::Between(1.0, 1000.0), "speed of the bus"),
        Parameter::new("identifier", "", Limits::OneOf(&[11.0, 29.0]), "bits of the identifiers"),
        Parameter::word(
            "messages",
            "BYTES@PERIOD ms, such as 8@10",
            "data bytes and least time between two in ms, highest priority first",
        )
        .repeated(),
    ],
    outcome: Outcome { unit: "%", meaning: "share in use" },
    formula: "load = sum over messages of frame time at bit_rate with identifier / period",
    sources: &[
        Source::published(
            "R. I. Davis, A. Burns, R. J. Bril, J. J. Lukkien, Real-Time Systems 35(3)",
            "2007",
            "length of frames and revised analysis",
        ),
        Source::common_practice("at most 30 to 50 %"),
    ],
    assumes: &["Classic frames, no error, every message as often as it may come."],
    example: "can_load(500 kbit/s, 11, 8@10, 8@20, 4@100) = 4.24 %",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let (all, _) = messages(it, words)?;
    let share = load(&all).ok_or(HandbookError::NoAnswer("a message without a period"))?;
    FUNCTION.worked_with(it, words, Quantity::number(share)?)
}

/// Reads `8@10`: data bytes and period in ms.
pub(super) fn message(text: &str, identifier: Identifier, bit: u64) -> Option<Message> {
    let (bytes, period) = text.split_once('@')?;
    let bits = frame_bits(bytes.trim().parse().ok()?, identifier)?;
    let period: f64 = period.trim().trim_end_matches("ms").trim().parse().ok()?;
    let nanoseconds = (period * 1e6).round();
    // Between a nanosecond and a day, which a `u64` holds exactly.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let period = (1.0..=8.64e13).contains(&nanoseconds).then_some(nanoseconds as u64)?;
    Some(Message { frame: u64::from(bits) * bit, period, jitter: 0 })
}

/// The messages and the time of one bit in nanoseconds, from bit rate and width of the identifiers.
pub(super) fn messages(it: &[Quantity], words: &[&str]) -> Result<(Vec<Message>, u64), HandbookError> {
    let identifier = if it[1].nominal() > 20.0 { Identifier::Extended } else { Identifier::Base };
    if !it[0].is_exact() {
        return Err(HandbookError::NoAnswer("a bus runs at one bit rate"));
    }
    // A bit is rounded up to a nanosecond; the rate is between 1 and 1000 kbit/s by its limits.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let bit = (1e9 / it[0].nominal() - 1e-6).ceil() as u64;
    let read = |text: &&str| {
        let none =
            || OutOfTable::new("the form of messages", format!("`{text}`"), "BYTES@PERIOD ms, such as 8@10");
        message(text, identifier, bit).ok_or_else(none)
    };
    Ok((words.iter().map(read).collect::<Result<_, _>>()?, bit))
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// 135 bits of a microsecond in each millisecond; the paper's example has 97.1 %.
    #[test]
    fn by_hand() {
        let made = figure_of("can_load", &["1 Mbit/s", "11", "8@1"], "%");
        let wanted: f64 = 13.5;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("can_load", &["125 kbit/s", "11", "7@2.5", "7@3.5", "7@3.5"], "%");
        let wanted: f64 = 40.0 + 200.0 / 3.5;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("can_load", &["1 Mbit/s", "11", "9@1"]).is_err());
        assert!(call("can_load", &["1 Mbit/s", "11", "8"]).is_err());
        assert!(call("can_load", &["1 Mbit/s", "11", "8@0"]).is_err());
        assert!(call("can_load", &["1 Mbit/s", "11"]).is_err());
    }
}
