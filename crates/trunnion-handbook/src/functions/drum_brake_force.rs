//! Braking force at the road of both wheels of an axle with drum brakes.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "drum_brake_force",
    title: "Braking force of an axle with drums",
    section: "brake",
    parameters: &[
        Parameter::new("pressure", "bar", Limits::NotNegative, "in the line"),
        Parameter::new("bore", "mm", Limits::Positive, "of the wheel cylinder"),
        Parameter::new(
            "brake_factor",
            "",
            Limits::Between(0.1, 10.0),
            "friction force at the drum over force of one piston",
        ),
        Parameter::new("drum", "mm", Limits::Positive, "inner diameter of the drum"),
        Parameter::new("circumference", "mm", Limits::Positive, "rolling circumference of the wheel"),
    ],
    outcome: Outcome { unit: "N", meaning: "force at the road, both wheels together" },
    formula: "force = 2 × brake_factor × pressure × π / 4 × bore² × drum / 2 × 2 π / circumference",
    sources: &[Source::definition("the brake factor: friction force over force of application")],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on the tester, by a licensed person.",
        "The factor of the maker for this shoe arrangement and lining.",
    ],
    example: "drum_brake_force(100 bar, 20 mm, 2.2, 250 mm, 2000 mm) = 5428 N",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| {
        2.0 * v[2] * v[0] * PI / 4.0 * v[1] * v[1] * v[3] / 2.0 * 2.0 * PI / v[4]
    })?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    /// 10 kN of piston force times 2 is 20 kN at 150 mm, 3000 Nm a wheel; on 300 mm 10 kN, 20 kN an axle.
    #[test]
    fn by_hand() {
        let given = ["100 bar", "35.68248232 mm", "2", "300 mm", "1884.955592 mm"];
        assert!((figure_of("drum_brake_force", &given, "N") - 20_000.0).abs() < 1e-3);
    }
}
