//! Travel at the far end of a lever or linkage: what force gains, travel loses.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "lever_travel",
    title: "Travel through a lever",
    section: "lever",
    parameters: &[Parameter::new("travel", "mm", Limits::NotNegative, "put in"), Parameter::new("input_arm", "mm", Limits::Positive, "arm of the input about the pivot"), Parameter::new("output_arm", "mm", Limits::Positive, "arm of the output about the pivot")],
    outcome: Outcome { unit: "mm", meaning: "travel put out" },
    formula: "out = travel × output_arm / input_arm",
    sources: &[Source::definition("geometry of a lever")],
    assumes: &["Small angles; play already taken off."],
    example: "lever_travel(120 mm, 240 mm, 60 mm) = 30 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| v[0] * v[2] / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// Without friction, force times travel is kept.
    #[test]
    fn work_is_kept() {
        let travel = figure_of("lever_travel", &["100 mm", "300 mm", "75 mm"], "mm");
        let force = figure_of("lever_force", &["40 N", "300 mm", "75 mm", "100 %"], "N");
        assert!((travel - 25.0).abs() < 1e-9 && (force * travel - 40.0 * 100.0).abs() < 1e-6);
        assert!(call("lever_travel", &["100 mm", "0 mm", "75 mm"]).is_err());
    }
}
