//! Peak current when a pre-charge resistor is switched onto empty capacitors; without one only
//! wires and cells limit it.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "precharge_current",
    title: "First current of a pre-charge",
    section: "volt",
    parameters: &[
        Parameter::new("voltage", "V", Limits::NotNegative, "of the pack"),
        Parameter::new("resistance", "Ω", Limits::Positive, "pre-charge resistor"),
    ],
    outcome: Outcome { unit: "A", meaning: "current at the first instant" },
    formula: "current = voltage / resistance",
    sources: &[Source::definition("Ohm's law")],
    assumes: &["High voltage is licensed work; clear on paper is not permission."],
    example: "precharge_current(400 V, 50 Ω) = 8 A",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::CURRENT, |v| v[0] / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("precharge_current", &["360 V", "30 Ω"], "A");
        let wanted: f64 = 12.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("precharge_current", &["360 V", "0 Ω"]).is_err());
    }
}
