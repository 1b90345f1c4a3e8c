//! Pedal travel that displaces the fluid which callipers, wheel or slave cylinders need.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "pedal_travel",
    title: "Pedal travel for a volume",
    section: "brake",
    parameters: &[
        Parameter::new("volume", "ml", Limits::NotNegative, "of fluid to displace"),
        Parameter::new("bore", "mm", Limits::Positive, "of the master cylinder"),
        Parameter::new("pedal_ratio", "", Limits::Positive, "travel of the pedal over travel of the rod"),
    ],
    outcome: Outcome { unit: "mm", meaning: "pedal travel, free play apart" },
    formula: "travel = volume / (π / 4 × bore²) × pedal_ratio",
    sources: &[Source::definition("volume of a piston's stroke")],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on \
             the tester, by a licensed person.",
        "Stiff hoses, no air.",
    ],
    example: "pedal_travel(4.5 ml, 23.8 mm, 4) = 40.46 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| v[0] / (PI / 4.0 * v[1] * v[1]) * v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        // 785.398 mm³ under a piston of 78.5398 mm² is a stroke of 10 mm.
        let made = figure_of("pedal_travel", &["0.7853981634 cm3", "10 mm", "1"], "mm");
        assert!((made - 10.0).abs() < 1e-6);
    }
}
