//! Speed of a flywheel's rim, which the material must stand at the highest engine speed.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "rim_speed",
    title: "Rim speed of a flywheel",
    section: "drive",
    parameters: &[
        Parameter::new("diameter", "mm", Limits::Positive, "of the flywheel"),
        Parameter::new("engine_speed", "rpm", Limits::NotNegative, "highest engine speed"),
    ],
    outcome: Outcome { unit: "m/s", meaning: "speed of the rim" },
    formula: "speed = π × diameter × engine_speed",
    sources: &[Source::definition("circular motion")],
    assumes: &["A burst flywheel kills; cast iron stands far less than steel."],
    example: "rim_speed(290 mm, 6500 rpm) = 98.7 m/s",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::SPEED, |v| v[0] / 2.0 * v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        // One turn a second of 1/π m across is 1 m/s.
        let across = format!("{} m", 1.0 / std::f64::consts::PI);
        assert!((figure_of("rim_speed", &[&across, "60 rpm"], "m/s") - 1.0).abs() < 1e-9);
    }
}
