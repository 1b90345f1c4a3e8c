//! The stall speed of one converter behind an engine of another torque: a converter takes up torque with
//! the square of its speed.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "stall_speed",
    title: "Stall speed behind another engine",
    section: "drive",
    parameters: &[
        Parameter::new("known_speed", "rpm", Limits::Positive, "stall speed with the engine it is known for"),
        Parameter::new("known_torque", "Nm", Limits::Positive, "torque of that engine at it"),
        Parameter::new("torque", "Nm", Limits::Positive, "torque of the new engine near that speed"),
    ],
    outcome: Outcome { unit: "rpm", meaning: "stall speed" },
    formula: "speed = known_speed × √(torque / known_torque)",
    sources: &[Source::definition(
        "similarity of hydrodynamic machines: torque with the square of speed at \
             one speed ratio",
    )],
    assumes: &["The torque of the new engine at the speed found; try again where it differs."],
    example: "stall_speed(2100 rpm, 250 Nm, 320 Nm) = 2376 rpm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ROTATION, |v| v[0] * (v[2] / v[1]).sqrt())?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("stall_speed", &["2000 rpm", "100 Nm", "400 Nm"], "rpm");
        let wanted: f64 = 4000.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("stall_speed", &["2000 rpm", "0 Nm", "400 Nm"]).is_err());
    }
}
