//! Pressure that a pedal makes in its master cylinder, with or without servo.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "line_pressure",
    title: "Pressure in a brake or clutch line",
    section: "brake",
    parameters: &[
        Parameter::new("force", "N", Limits::NotNegative, "at the pedal"),
        Parameter::new("pedal_ratio", "", Limits::Positive, "travel of the pedal over travel of the rod"),
        Parameter::new(
            "servo",
            "",
            Limits::Between(1.0, 12.0),
            "force multiplication of the servo; 1 with the servo dead",
        ),
        Parameter::new("bore", "mm", Limits::Positive, "of the master cylinder"),
    ],
    outcome: Outcome { unit: "bar", meaning: "pressure in the line" },
    formula: "pressure = force × pedal_ratio × servo / (π / 4 × bore²)",
    sources: &[Source::definition("statics of lever and piston")],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on \
             the tester, by a licensed person.",
        "No friction, no return spring.",
    ],
    example: "line_pressure(500 N, 4, 1, 23.8 mm) = 44.96 bar",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::PRESSURE, |v| v[0] * v[1] * v[2] / (PI / 4.0 * v[3] * v[3]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        // 785.398 N on 10 mm across, 78.5398 mm²: 10 N/mm² = 100 bar.
        let made = figure_of("line_pressure", &["785.3981634 N", "1", "1", "10 mm"], "bar");
        assert!((made - 100.0).abs() < 1e-6);
    }
}
