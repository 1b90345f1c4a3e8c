//! Torque that a torque converter puts out with its turbine held, from what the engine gives at the
//! stall speed.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "converter_stall_torque",
    title: "Torque behind a stalled converter",
    section: "drive",
    parameters: &[
        Parameter::new("engine_torque", "Nm", Limits::NotNegative, "torque of the engine at its stall speed"),
        Parameter::new(
            "stall_ratio",
            "",
            Limits::Between(1.0, 3.5),
            "torque ratio at stall, from the maker; about 2 for one of a road vehicle",
        ),
    ],
    outcome: Outcome { unit: "Nm", meaning: "torque at the turbine" },
    formula: "torque = engine_torque × stall_ratio",
    sources: &[Source::definition("torque ratio of a converter")],
    assumes: &["Seconds only: all of the power is heat in the oil."],
    example: "converter_stall_torque(280 Nm, 2) = 560 Nm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ENERGY, |v| v[0] * v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("converter_stall_torque", &["300 Nm", "2.1"], "Nm");
        let wanted: f64 = 630.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("converter_stall_torque", &["300 Nm", "0.5"]).is_err());
    }
}
