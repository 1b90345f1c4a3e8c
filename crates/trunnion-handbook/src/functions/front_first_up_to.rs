//! The braking rate up to which the front axle must lock before the rear one.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "front_first_up_to",
    title: "Rate up to which the front must lock first",
    section: "brake",
    parameters: &[Parameter::choice("rule", &["ece_13h"], "which regulation is taken")],
    outcome: Outcome { unit: "", meaning: "braking rate" },
    formula: "rate by (rule)",
    sources: &[Source::from_memory(
        "UN Regulation No. 13-H",
        "01 series of amendments",
        "Annex 5, 3.1: the curve of the rear axle below that of the front for rates of 0.15 to 0.80",
    )],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on the tester, by a licensed person.",
        "Vehicles without antilock brakes that answer for it otherwise.",
    ],
    example: "front_first_up_to(ece_13h) = 0.8",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    FUNCTION.worked_with(it, words, Quantity::number(0.8)?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// The United States' standard asks its own line over the same span, 0.15 to 0.80: 49 CFR 571.135, S7.4.5.
    #[test]
    fn the_span_of_both_rules() {
        assert_eq!(figure_of("front_first_up_to", &["ece_13h"], ""), 0.8);
        assert!(call("front_first_up_to", &["cfr_571_135"]).is_err());
    }
}
