//! Worst-case response time of the last message of a list on a CAN bus: from the moment it should
//! be queued until it is received. The messages are given highest priority first; one of lower
//! priority that has just begun may delay them: give the longest such as `blocked_by`.

use super::can_load;
use crate::bus::{Message, Response, responses};
use crate::quantity::{Dimension, Quantity};
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "can_response",
    title: "Latest arrival of a CAN message",
    section: "bus",
    parameters: &[
        Parameter::new("bit_rate", "kbit/s", Limits::Between(1.0, 1000.0), "speed of the bus"),
        Parameter::new("identifier", "", Limits::OneOf(&[11.0, 29.0]), "bits of the identifiers"),
        Parameter::new(
            "blocked_by",
            "",
            Limits::Whole(-1.0, 8.0),
            "data bytes of the longest message of lower priority; -1 for none",
        ),
        Parameter::word(
            "messages",
            "BYTES@PERIOD ms, such as 8@10",
            "data bytes and least time between two in ms, highest priority first",
        )
        .repeated(),
    ],
    outcome: Outcome { unit: "ms", meaning: "worst-case response of the last message" },
    formula: "response = worst-case response of the last of messages at bit_rate with \
             identifier behind blocked_by bytes",
    sources: &[Source::published(
        "R. I. Davis, A. Burns, R. J. Bril, J. J. Lukkien, Real-Time Systems 35(3)",
        "2007",
        "length of frames and revised analysis",
    )],
    assumes: &["Every node queues by priority; classic frames; no error on the bus; no \
             lateness in queueing."],
    example: "can_response(125 kbit/s, 11, -1, 7@2.5, 7@3.5, 7@3.5) = 3.5 ms",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let (mut all, bit) = can_load::messages(it, words)?;
    let last = all.len().wrapping_sub(1);
    if it[2].hi() > -0.5 {
        let text = format!("{}@1000", it[2].hi().round());
        let none = HandbookError::NoAnswer("no such message of lower priority");
        let own = can_load::messages(it, &[&text])?.0;
        // It never comes again while the others wait: a day between two.
        let lower = own.first().map(|it| Message { period: 86_400_000_000_000, ..*it });
        all.push(lower.ok_or(none)?);
    }
    match responses(&all, bit).get(last) {
        #[allow(clippy::cast_precision_loss)] // Nanoseconds of a day are kept exactly.
        Some(Response::Worst(worst)) => {
            let value = Quantity::si(*worst as f64 / 1e9, Dimension::TIME)?;
            FUNCTION.worked_with(it, words, value)
        }
        _ => Err(HandbookError::NoAnswer("the bus is so full that there is no bound")),
    }
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// Davis and others, 2007, section 3: three messages of 125 bits at 125 kbit/s, periods 2.5,
    /// 3.5, 3.5 ms; worst-case responses 2, 3 and 3.5 ms, of which the analysis of 1994 missed the
    /// last.
    #[test]
    fn the_example_of_the_paper() {
        let made = figure_of("can_response", &["125 kbit/s", "11", "-1", "7@2.5", "7@3.5", "7@3.5"], "ms");
        let wanted: f64 = 3.5;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("can_response", &["125 kbit/s", "11", "7", "7@2.5", "7@3.5"], "ms");
        let wanted: f64 = 3.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("can_response", &["125 kbit/s", "11", "7", "7@2.5"], "ms");
        let wanted: f64 = 2.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("can_response", &["1 Mbit/s", "11", "8", "8@10"], "ms");
        let wanted: f64 = 0.27;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("can_response", &["125 kbit/s", "11", "-1", "7@1", "7@3"]).is_err());
        assert!(call("can_response", &["125 kbit/s", "11", "9", "7@5"]).is_err());
    }
}
