//! Force at the far end of a lever or linkage.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "lever_force",
    title: "Force through a lever",
    section: "lever",
    parameters: &[
        Parameter::new("force", "N", Limits::NotNegative, "put in"),
        Parameter::new("input_arm", "mm", Limits::Positive, "arm of the input about the pivot"),
        Parameter::new("output_arm", "mm", Limits::Positive, "arm of the output about the pivot"),
        Parameter::new("efficiency", "%", Limits::Between(1.0, 100.0), "share left by friction"),
    ],
    outcome: Outcome { unit: "N", meaning: "force put out" },
    formula: "out = force × input_arm / output_arm × efficiency",
    sources: &[Source::definition("statics of a lever")],
    assumes: &["Forces square to their arms."],
    example: "lever_force(120 N, 240 mm, 60 mm, 90 %) = 432 N",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| v[0] * v[1] / v[2] * v[3])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        assert!((figure_of("lever_force", &["10 N", "300 mm", "100 mm", "100 %"], "N") - 30.0).abs() < 1e-9);
    }
}
