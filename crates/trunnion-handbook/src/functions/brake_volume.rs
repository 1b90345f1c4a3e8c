//! Fluid that the brakes of one axle take until pads or shoes bite.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "brake_volume",
    title: "Fluid until the brakes of an axle bite",
    section: "brake",
    parameters: &[
        Parameter::new("bore", "mm", Limits::Positive, "of a caliper piston or wheel cylinder"),
        Parameter::new(
            "pistons",
            "",
            Limits::Whole(1.0, 6.0),
            "pressing one side of one disc; 1 for a wheel cylinder with two pistons",
        ),
        Parameter::new("gap", "mm", Limits::NotNegative, "way of each pad or shoe before it bites"),
    ],
    outcome: Outcome { unit: "ml", meaning: "fluid, both wheels together" },
    formula: "volume = 2 × 2 × pistons × π / 4 × bore² × gap",
    sources: &[Source::definition("volume of a piston's stroke")],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on the tester, by a licensed person.",
        "A floating caliper's piston makes up both gaps; stiff hoses and pads, no air.",
    ],
    example: "brake_volume(54 mm, 1, 0.15 mm) = 1.374 ml",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::VOLUME, |v| 4.0 * v[1] * PI / 4.0 * v[0] * v[0] * v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    /// 1000 mm² (35.682 mm across) over 0.5 mm for each of two pads on each of two wheels: 2000 mm³.
    #[test]
    fn by_hand() {
        let made = figure_of("brake_volume", &["35.68248232 mm", "1", "0.5 mm"], "ml");
        assert!((made - 2.0).abs() < 1e-6);
    }
}
