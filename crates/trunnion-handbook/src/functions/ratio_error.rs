//! How far a fitted ratio, tooth count or tyre is from what a controller expects.
//!
//! More than zero means larger than expected. A road speed worked out by the listener from a trigger
//! wheel of 48 teeth where it expects 44 reads 9.1 % fast.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "ratio_error",
    title: "Difference of a ratio from the expected",
    section: "drive",
    parameters: &[
        Parameter::new("fitted", "", Limits::Positive, "what is there"),
        Parameter::new("expected", "", Limits::Positive, "what the listener expects"),
    ],
    outcome: Outcome { unit: "%", meaning: "difference as a share of the expected" },
    formula: "difference = fitted / expected − 1",
    sources: &[Source::definition("a relative difference")],
    assumes: &[],
    example: "ratio_error(48, 44) = 9.091 %",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::NONE, |v| v[0] / v[1] - 1.0)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn forty_eight_teeth_for_forty_four() {
        // 4/44 = 9.0909…
        assert!((figure_of("ratio_error", &["48", "44"], "%") - 100.0 / 11.0).abs() < 1e-9);
        assert!(figure_of("ratio_error", &["3.69", "3.69"], "%").abs() < 1e-12);
        assert!(call("ratio_error", &["3.69", "0"]).is_err());
    }
}
