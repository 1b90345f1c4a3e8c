//! Force at the pedal that makes a line pressure, with the servo or, at 1, with the servo dead: the reverse
//! of line_pressure.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "pedal_force",
    title: "Pedal force for a pressure",
    section: "brake",
    parameters: &[
        Parameter::new("pressure", "bar", Limits::NotNegative, "wanted in the line"),
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
    sources: &[
        Source::definition("statics of lever and piston"),
        Source::published("49 CFR 571.135", "2024", "S7.5.2 and S7.11.3: 65 to 500 N at the pedal"),
    ],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on \
             the tester, by a licensed person.",
        "No friction, no return spring.",
    ],
    example: "pedal_force(45 bar, 23.8 mm, 4, 1) = 500.5 N",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| v[0] * PI / 4.0 * v[1] * v[1] / (v[2] * v[3]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// Undoes line_pressure, which by hand is 100 bar for 785.398 N on a piston of 10 mm.
    #[test]
    fn undoes_the_pressure() {
        let made = figure_of("pedal_force", &["100 bar", "10 mm", "1", "1"], "N");
        assert!((made - 785.398_163_397).abs() < 1e-6);
        let dead = figure_of("pedal_force", &["80 bar", "23.8 mm", "4", "1"], "N");
        let alive = figure_of("pedal_force", &["80 bar", "23.8 mm", "4", "5"], "N");
        assert!((dead / alive - 5.0).abs() < 1e-9);
        assert!(call("pedal_force", &["80 bar", "23.8 mm", "4", "0"]).is_err());
    }
}
