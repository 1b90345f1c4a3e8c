//! Force of a piston under a pressure: slave cylinder, wheel cylinder, one side of a caliper.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "piston_force",
    title: "Force of a hydraulic piston",
    section: "brake",
    parameters: &[
        Parameter::new("pressure", "bar", Limits::NotNegative, "in the line"),
        Parameter::new("bore", "mm", Limits::Positive, "of the cylinder"),
    ],
    outcome: Outcome { unit: "N", meaning: "force" },
    formula: "force = pressure × π / 4 × bore²",
    sources: &[Source::definition("pressure on a piston")],
    assumes: &["No friction, no return spring."],
    example: "piston_force(40 bar, 20.64 mm) = 1338 N",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| v[0] * PI / 4.0 * v[1] * v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("piston_force", &["100 bar", "10 mm"], "N");
        let wanted: f64 = 785.398_163_397_448;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("piston_force", &["1 bar", "0 mm"]).is_err());
    }
}
