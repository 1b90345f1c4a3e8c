//! Least time of one round of a LIN schedule, each slot long enough for its frame with four tenths
//! more, and a whole number of the master's ticks.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "lin_schedule",
    title: "Length of a LIN schedule",
    section: "bus",
    parameters: &[
        Parameter::new("bit_rate", "kbit/s", Limits::Between(1.0, 20.0), "speed of the bus"),
        Parameter::new(
            "tick",
            "ms",
            Limits::Between(0.1, 100.0),
            "time base of the master; 5 or 10 ms in most",
        ),
        Parameter::new("data_bytes", "", Limits::Whole(1.0, 8.0), "length of each frame").repeated(),
    ],
    outcome: Outcome { unit: "ms", meaning: "one round" },
    formula: "round = sum over data_bytes of 1.4 × (34 + 10 × (n + 1)) / bit_rate, \
             each up to a whole tick",
    sources: &[Source::published(
        "LIN Specification Package",
        "2.2A, 2010",
        "nominal header 34 bits, response 10 (n + 1) bits, each times 1.4 at most",
    )],
    assumes: &[],
    example: "lin_schedule(19.2 kbit/s, 5 ms, 8, 4, 2) = 25 ms",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let round = |rate: f64, tick: f64, bytes: fn(&Quantity) -> f64| {
        let slot = |it: &Quantity| {
            let frame = 1.4 * (34.0 + 10.0 * (bytes(it).round() + 1.0)) / rate;
            // A frame that fills its ticks but for the last bits of the figure needs no further one.
            (frame / tick - 1e-9).ceil() * tick
        };
        it[2..].iter().map(slot).sum::<f64>()
    };
    let (rate, tick) = (&it[0], &it[1]);
    let ends = [
        round(rate.hi(), tick.lo(), Quantity::lo),
        round(rate.nominal(), tick.nominal(), Quantity::nominal),
        round(rate.lo(), tick.hi(), Quantity::hi),
    ];
    // A longer tick may fit better: the ends are not always the extremes.
    let (least, most) =
        (ends.iter().copied().fold(f64::INFINITY, f64::min), ends.iter().copied().fold(0.0, f64::max));
    FUNCTION.worked(it, Quantity::si_range(least, ends[1], most, Dimension::TIME)?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// LIN 2.2A: TFrame_Maximum = 1.4 × (34 + 10 (n + 1)) bit times. At 10 kbit/s one byte takes 7.56 ms.
    #[test]
    fn slots_are_whole_ticks() {
        assert!((figure_of("lin_schedule", &["10 kbit/s", "5 ms", "1"], "ms") - 10.0).abs() < 1e-9);
        assert!((figure_of("lin_schedule", &["10 kbit/s", "0.1 ms", "1"], "ms") - 7.6).abs() < 1e-9);
        assert!((figure_of("lin_schedule", &["10 kbit/s", "5 ms", "1", "1", "1"], "ms") - 30.0).abs() < 1e-9);
        assert!(call("lin_schedule", &["10 kbit/s", "5 ms", "9"]).is_err());
    }
}
