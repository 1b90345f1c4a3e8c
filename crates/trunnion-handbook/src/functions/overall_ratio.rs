//! Overall ratio from crankshaft to wheel: gear ratio times final drive.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "overall_ratio",
    title: "Overall ratio",
    section: "drive",
    parameters: &[
        Parameter::new(
            "gear_ratio",
            "",
            Limits::Positive,
            "turns of the engine for one of the gearbox's output",
        ),
        Parameter::new(
            "final_drive",
            "",
            Limits::Positive,
            "turns of the gearbox's output for one of the wheel",
        ),
    ],
    outcome: Outcome { unit: "", meaning: "turns of the engine for one of the wheel" },
    formula: "overall = gear_ratio × final_drive",
    sources: &[Source::definition("gears in series")],
    assumes: &["No slip in clutch or converter."],
    example: "overall_ratio(0.88, 3.69) = 3.247",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::NONE, |v| v[0] * v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn ratios_multiply_and_carry_their_range() {
        assert!((figure_of("overall_ratio", &["2", "3.5"], "") - 7.0).abs() < 1e-12);
        let made = call("overall_ratio", &["2", "3.65 to 3.72"]).unwrap();
        assert_eq!(made.value.display(), "7.3 to 7.44");
        assert_eq!(made.with_numbers, "overall = 2 × 3.65 to 3.72 = 7.3 to 7.44");
    }
}
