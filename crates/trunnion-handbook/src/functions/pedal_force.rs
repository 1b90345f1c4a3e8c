//! Force at a pedal that makes a pressure in the line, with or without servo.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "pedal_force",
    title: "Force at a pedal for a pressure",
    section: "brake",
    parameters: &[
        Parameter::new("pressure", "bar", Limits::NotNegative, "in the line"),
        Parameter::new("bore", "mm", Limits::Positive, "of the master cylinder"),
        Parameter::new("pedal_ratio", "", Limits::Positive, "travel of the pedal over travel of the rod"),
        Parameter::new(
            "servo",
            "",
            Limits::Between(1.0, 12.0),
            "force multiplication of the servo; 1 with the servo dead",
        ),
    ],
    outcome: Outcome { unit: "N", meaning: "force at the pedal" },
    formula: "force = pressure × π / 4 × bore² / (pedal_ratio × servo)",
    sources: &[Source::definition("statics of lever and piston")],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on the tester, by a licensed person.",
        "No friction, no return spring.",
    ],
    example: "pedal_force(60 bar, 23.8 mm, 4, 1) = 667.3 N",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| v[0] * PI / 4.0 * v[1] * v[1] / (v[2] * v[3]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    /// It undoes `line_pressure`, whose own test works one case by hand.
    #[test]
    fn the_inverse_of_the_pressure() {
        let made = figure_of("line_pressure", &["320 N", "4.1", "4.5", "22.2 mm"], "bar");
        let back = figure_of("pedal_force", &[&format!("{made} bar"), "22.2 mm", "4.1", "4.5"], "N");
        assert!((back - 320.0).abs() < 1e-6, "{back}");
    }
}
