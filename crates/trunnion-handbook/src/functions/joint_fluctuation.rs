//! How much the output of one universal joint speeds up and slows down in each half turn.
//!
//! The output runs between cos β and 1 / cos β of the input. A second joint at the same angle undoes
//! it only with its yokes in phase and the three shafts in one plane.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "joint_fluctuation",
    title: "Fluctuation of a universal joint",
    section: "fit",
    parameters: &[Parameter::new("angle", "°", Limits::Between(0.0, 45.0), "working angle of the joint")],
    outcome: Outcome { unit: "%", meaning: "fastest less slowest, as a share of the mean" },
    formula: "fluctuation = sin angle × tan angle",
    sources: &[Source::definition("kinematics of Hooke's joint")],
    assumes: &["A steady input."],
    example: "joint_fluctuation(10°) = 3.062 %",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::NONE, |v| v[0].sin() * v[0].tan())?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn the_difference_of_the_two_extremes() {
        for degrees in [0.0, 3.0, 10.0, 30.0, 45.0] {
            let beta = f64::to_radians(degrees);
            let extremes = 1.0 / beta.cos() - beta.cos();
            let made = figure_of("joint_fluctuation", &[&format!("{degrees}°")], "");
            assert!((made - extremes).abs() < 1e-12);
        }
        // At 60° the output would run from half to double; the joint is refused long before.
        assert!(call("joint_fluctuation", &["60°"]).is_err());
    }
}
