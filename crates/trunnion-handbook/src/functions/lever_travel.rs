//! Travel at the far end of a lever.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "lever_travel",
    title: "Travel through a lever",
    section: "lever",
    parameters: &[
        Parameter::new("travel", "mm", Limits::NotNegative, "at the driven end"),
        Parameter::new("lever_ratio", "", Limits::Positive, "driven arm over far arm"),
    ],
    outcome: Outcome { unit: "mm", meaning: "travel at the far end" },
    formula: "far = travel / lever_ratio",
    sources: &[Source::definition("kinematics of a lever")],
    assumes: &["Small angles, no play."],
    example: "lever_travel(180 mm, 3.2) = 56.25 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| v[0] / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    /// What a lever gains in force it loses in travel: the work is the same (statics).
    #[test]
    fn the_work_is_kept() {
        let far = figure_of("lever_travel", &["120 mm", "4"], "mm");
        let force = figure_of("lever_force", &["50 N", "240 mm", "60 mm", "100 %"], "N");
        assert!((far * force - 120.0 * 50.0).abs() < 1e-9);
    }
}
