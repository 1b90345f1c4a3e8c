//! Braking force at the road of both wheels of an axle with disc brakes.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "disc_brake_force",
    title: "Braking force of an axle with discs",
    section: "brake",
    parameters: &[
        Parameter::new("pressure", "bar", Limits::NotNegative, "in the line"),
        Parameter::new("bore", "mm", Limits::Positive, "diameter of one piston"),
        Parameter::new("pistons", "", Limits::Whole(1.0, 6.0), "pressing one side of one disc"),
        Parameter::new("friction", "", Limits::Between(0.05, 1.0), "coefficient of the lining"),
        Parameter::new("radius", "mm", Limits::Positive, "at which the pads act"),
        Parameter::new("circumference", "mm", Limits::Positive, "rolling circumference of the wheel"),
    ],
    outcome: Outcome { unit: "N", meaning: "force at the road, both wheels together" },
    formula: "force = 2 × 2 × friction × pressure × π / 4 × bore² × pistons × radius × 2 π / circumference",
    sources: &[Source::definition("statics of a disc pressed from both sides")],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on the tester, by a licensed person.",
        "Cold linings of the stated friction, no loss in the caliper.",
    ],
    example: "disc_brake_force(100 bar, 54 mm, 1, 0.4, 115 mm, 2000 mm) = 13239 N",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| {
        let press = v[0] * PI / 4.0 * v[1] * v[1] * v[2];
        4.0 * v[3] * press * v[4] * 2.0 * PI / v[5]
    })?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    /// 100 bar on 1000 mm² (35.682 mm across) is 10 kN. Both pads rub with 0.4: 8 kN at 150 mm, 1200 Nm a
    /// wheel. On a wheel of 300 mm rolling radius that is 4 kN, and 8 kN for the axle.
    #[test]
    fn by_hand() {
        let given = ["100 bar", "35.68248232 mm", "1", "0.4", "150 mm", "1884.955592 mm"];
        assert!((figure_of("disc_brake_force", &given, "N") - 8000.0).abs() < 1e-3);
    }
}
