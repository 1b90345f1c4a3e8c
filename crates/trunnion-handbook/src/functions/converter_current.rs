//! Current that a converter takes at its input for a power at its output.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "converter_current",
    title: "Current into a converter",
    section: "volt",
    parameters: &[
        Parameter::new("power", "W", Limits::NotNegative, "at the output"),
        Parameter::new("voltage", "V", Limits::Positive, "at the input"),
        Parameter::new("efficiency", "%", Limits::Between(50.0, 100.0), "power out over power in"),
    ],
    outcome: Outcome { unit: "A", meaning: "current at the input" },
    formula: "current = power / (voltage × efficiency)",
    sources: &[Source::definition("power over voltage")],
    assumes: &[],
    example: "converter_current(1500 W, 360 V, 92 %) = 4.529 A",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::CURRENT, |v| v[0] / (v[1] * v[2]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("converter_current", &["900 W", "100 V", "90 %"], "A");
        let wanted: f64 = 10.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("converter_current", &["900 W", "0 V", "90 %"]).is_err());
    }
}
