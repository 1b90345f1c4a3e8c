//! Current that a battery pack gives for a power at its sagging voltage.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "pack_current",
    title: "Current of a pack at a power",
    section: "volt",
    parameters: &[
        Parameter::new("power", "kW", Limits::NotNegative, "drawn from the pack"),
        Parameter::new("voltage", "V", Limits::Positive, "under load: see loaded_voltage"),
    ],
    outcome: Outcome { unit: "A", meaning: "current" },
    formula: "current = power / voltage",
    sources: &[Source::definition("power over voltage")],
    assumes: &["High voltage is licensed work; clear on paper is not permission."],
    example: "pack_current(90 kW, 360 V) = 250 A",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::CURRENT, |v| v[0] / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        assert!((figure_of("pack_current", &["36 kW", "360 V"], "A") - 100.0).abs() < 1e-9);
    }
}
