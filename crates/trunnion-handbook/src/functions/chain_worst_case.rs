//! The closing dimension of a chain when every part lies at its worst end.
//!
//! What adds up along an axis: crank flange to pilot, release travel, the pull-out of a converter.
//! Lengths that are taken away are given below zero.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};
use crate::stack::closing;

/// See the module.
pub static FUNCTION: Function = Function {
    name: "chain_worst_case",
    title: "Dimension chain, worst case",
    section: "fit",
    parameters: &[Parameter::new(
        "lengths",
        "mm",
        Limits::Any,
        "each with its tolerance; below zero where it is taken away",
    )
    .repeated()],
    outcome: Outcome { unit: "mm", meaning: "closing dimension, least to most" },
    formula: "closing = sum of (lengths), each at its worst end",
    sources: &[Source::definition("dimension chain: sum of the ends")],
    assumes: &["Every part within its limits."],
    example: "chain_worst_case(100 mm ± 0.1 mm, -30 mm ± 0.1 mm, -60 mm ± 0.2 mm) = 9.6 to 10.4 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    FUNCTION.worked(it, closing(it, &[])?.worst_case)
}

#[cfg(test)]
mod tests {
    use crate::registry::call;

    #[test]
    fn tolerances_add() {
        let given = ["100 mm ± 0.1 mm", "-30 mm ± 0.1 mm", "-40 mm ± 0.1 mm", "-20 mm ± 0.1 mm"];
        assert_eq!(call("chain_worst_case", &given).unwrap().value.display(), "9.6 to 10.4 mm");
        let one = call("chain_worst_case", &["10 mm"]).unwrap();
        assert_eq!(one.with_numbers, "closing = sum of (10 mm), each at its worst end = 10 mm");
        assert!(call("chain_worst_case", &["10 mm", "1 V"]).is_err());
        assert!(call("chain_worst_case", &["1 mm"; 121]).is_err());
    }
}
