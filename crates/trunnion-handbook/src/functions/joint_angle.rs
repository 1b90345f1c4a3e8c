//! The true angle of a universal joint from its angle seen from the side and from above.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "joint_angle",
    title: "Working angle of a joint",
    section: "fit",
    parameters: &[
        Parameter::new("side", "°", Limits::Between(0.0, 60.0), "seen from the side"),
        Parameter::new("plan", "°", Limits::Between(0.0, 60.0), "seen from above"),
    ],
    outcome: Outcome { unit: "°", meaning: "true angle" },
    formula: "angle = arctan √(tan² side + tan² plan)",
    sources: &[Source::definition("geometry of a line seen from two sides")],
    assumes: &["Both angles from the shaft before the joint."],
    example: "joint_angle(4°, 3°) = 4.994°",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ANGLE, |v| v[0].tan().hypot(v[1].tan()).atan())?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("joint_angle", &["45°", "0°"], "°");
        let wanted: f64 = 45.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("joint_angle", &["45°", "45°"], "°");
        let wanted: f64 = 2f64.sqrt().atan().to_degrees();
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("joint_angle", &["61°", "0°"]).is_err());
    }
}
