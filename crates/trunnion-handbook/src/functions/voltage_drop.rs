//! Voltage lost in a wire there and back.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "voltage_drop",
    title: "Voltage drop of a circuit",
    section: "wire",
    parameters: &[
        Parameter::new("current", "A", Limits::NotNegative, "load"),
        Parameter::new("length", "m", Limits::NotNegative, "of the run, one way"),
        Parameter::new(
            "resistance",
            "mΩ/m",
            Limits::NotNegative,
            "of the wire per length, at its temperature",
        ),
    ],
    outcome: Outcome { unit: "V", meaning: "voltage lost" },
    formula: "drop = 2 × length × resistance × current",
    sources: &[Source::definition("Ohm's law, wire out and wire back alike")],
    assumes: &["Both wires are of one size; a return through the body has its own resistance."],
    example: "voltage_drop(15 A, 4 m, 9.55 mΩ/m) = 1.146 V",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::VOLTAGE, |v| 2.0 * v[0] * v[1] * v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        let made = figure_of("voltage_drop", &["10 A", "5 m", "10 mΩ/m"], "V");
        assert!((made - 1.0).abs() < 1e-12);
    }
}
