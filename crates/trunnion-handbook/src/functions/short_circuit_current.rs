//! Current that a source drives into a dead short at the end of a wire: what a fuse there must break.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "short_circuit_current",
    title: "Prospective short-circuit current",
    section: "wire",
    parameters: &[
        Parameter::new("voltage", "V", Limits::NotNegative, "open voltage of the source"),
        Parameter::new("source_resistance", "mΩ", Limits::Positive, "inside the source"),
        Parameter::new("wire_resistance", "mΩ", Limits::NotNegative, "of the path there and back"),
    ],
    outcome: Outcome { unit: "A", meaning: "prospective current" },
    formula: "current = voltage / (source_resistance + wire_resistance)",
    sources: &[Source::definition("Ohm's law")],
    assumes: &["Steady direct current; the first instant may be higher with capacitors on the line."],
    example: "short_circuit_current(13.2 V, 6 mΩ, 4 mΩ) = 1320 A",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::CURRENT, |v| v[0] / (v[1] + v[2]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("short_circuit_current", &["12 V", "5 mΩ", "5 mΩ"], "A");
        assert!((made - 1200.0).abs() < 1e-9);
        assert!(call("short_circuit_current", &["12 V", "0 mΩ", "5 mΩ"]).is_err());
    }
}
