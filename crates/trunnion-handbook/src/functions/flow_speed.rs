//! How fast a fluid runs in a hose or pipe: continuity.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "flow_speed",
    title: "Speed of a flow in a bore",
    section: "heat",
    parameters: &[
        Parameter::new("flow", "l/min", Limits::NotNegative, "through the line"),
        Parameter::new("bore", "mm", Limits::Positive, "of the line, at its narrowest"),
    ],
    outcome: Outcome { unit: "m/s", meaning: "mean speed over the bore" },
    formula: "speed = flow / (π / 4 × bore²)",
    sources: &[Source::definition("continuity of an incompressible flow")],
    assumes: &["The bore is full."],
    example: "flow_speed(140 l/min, 32 mm) = 2.901 m/s",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::SPEED, |v| v[0] / (PI / 4.0 * v[1] * v[1]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// By hand: 60 l/min are 0.001 m³/s; a bore of 20 mm has 314.16 mm²: 3.1831 m/s.
    #[test]
    fn by_hand() {
        let made = figure_of("flow_speed", &["60 l/min", "20 mm"], "m/s");
        assert!((made - 3.183_098_9).abs() < 1e-6, "{made}");
        assert!(call("flow_speed", &["60 l/min", "0 mm"]).is_err());
    }
}
