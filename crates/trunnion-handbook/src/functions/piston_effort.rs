//! Force on a master piston for a force at the piston it drives.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "piston_effort",
    title: "Effort at a master piston",
    section: "lever",
    parameters: &[
        Parameter::new("force", "N", Limits::NotNegative, "needed at the driven piston"),
        Parameter::new("master_bore", "mm", Limits::Positive, "of the piston that is pressed"),
        Parameter::new("slave_bore", "mm", Limits::Positive, "of the piston that is driven"),
    ],
    outcome: Outcome { unit: "N", meaning: "force on the master piston" },
    formula: "effort = force × master_bore² / slave_bore²",
    sources: &[Source::definition("one pressure on two pistons")],
    assumes: &["No friction of the seals, no return spring."],
    example: "piston_effort(900 N, 19 mm, 22.2 mm) = 659.2 N",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| v[0] * (v[1] / v[2]).powi(2))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    /// Half the bore is a quarter of the area: a quarter of the force.
    #[test]
    fn by_hand() {
        let made = figure_of("piston_effort", &["1000 N", "10 mm", "20 mm"], "N");
        assert!((made - 250.0).abs() < 1e-9);
    }
}
