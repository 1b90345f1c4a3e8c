//! Bit rate from the controller's clock, prescaler and bit segments.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "can_bit_rate",
    title: "Bit rate of a CAN controller",
    section: "bus",
    parameters: &[
        Parameter::new("clock", "MHz", Limits::Positive, "clock of the controller"),
        Parameter::new("prescaler", "", Limits::Whole(1.0, 1024.0), "clock ticks in a time quantum"),
        Parameter::new(
            "quanta",
            "",
            Limits::Whole(4.0, 385.0),
            "time quanta in a bit, the synchronising one too",
        ),
    ],
    outcome: Outcome { unit: "kbit/s", meaning: "bit rate" },
    formula: "rate = clock / (prescaler × quanta)",
    sources: &[Source::published(
        "Bosch CAN Specification",
        "2.0, 1991",
        "bit timing requirements: a bit is its time quanta",
    )],
    assumes: &[],
    example: "can_bit_rate(16 MHz, 2, 16) = 500 kbit/s",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::BIT_RATE, |v| v[0] / (v[1] * v[2]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        assert!((figure_of("can_bit_rate", &["8 MHz", "1", "8"], "kbit/s") - 1000.0).abs() < 1e-9);
    }
}
