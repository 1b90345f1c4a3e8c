//! Force at the driven end of a lever for a force at its far end.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "lever_effort",
    title: "Effort at a lever",
    section: "lever",
    parameters: &[
        Parameter::new("force", "N", Limits::NotNegative, "needed at the far end"),
        Parameter::new("lever_ratio", "", Limits::Positive, "driven arm over far arm"),
        Parameter::new("efficiency", "%", Limits::Between(1.0, 100.0), "share left by friction"),
    ],
    outcome: Outcome { unit: "N", meaning: "force at the driven end" },
    formula: "effort = force / (lever_ratio × efficiency)",
    sources: &[Source::definition("statics of a lever")],
    assumes: &["Forces square to their arms."],
    example: "lever_effort(180 N, 3.2, 90 %) = 62.5 N",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| v[0] / (v[1] * v[2]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    /// It undoes `lever_force`.
    #[test]
    fn the_inverse_of_the_force() {
        let out = figure_of("lever_force", &["70 N", "240 mm", "60 mm", "85 %"], "N");
        let back = figure_of("lever_effort", &[&format!("{out} N"), "4", "85 %"], "N");
        assert!((back - 70.0).abs() < 1e-9);
    }
}
