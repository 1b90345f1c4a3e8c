//! What a meter reads over two resistances side by side, as over the two terminators of a bus with
//! the power off.
//!
//! Two of 120 Ω read 60 Ω. The right reading does not prove two terminators at the far ends.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "parallel_resistance",
    title: "Two resistances side by side",
    section: "bus",
    parameters: &[
        Parameter::new("one", "Ω", Limits::Positive, "one resistance"),
        Parameter::new("other", "Ω", Limits::Positive, "the other"),
    ],
    outcome: Outcome { unit: "Ω", meaning: "resistance of both" },
    formula: "reading = one × other / (one + other)",
    sources: &[
        Source::definition("Ohm's law"),
        Source::published("ISO 11898-2", "2003", "termination 100 to 130 Ω, nominal 120 Ω"),
    ],
    assumes: &["No supply, nothing else across the bus."],
    example: "parallel_resistance(120 Ω, 120 Ω) = 60 Ω",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::RESISTANCE, |v| v[0] * v[1] / (v[0] + v[1]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        assert!((figure_of("parallel_resistance", &["3 Ω", "6 Ω"], "Ω") - 2.0).abs() < 1e-12);
    }
}
