//! The most force that may be needed at the control of a brake: at the pedal of the service brake, at the
//! hand lever or pedal of the parking brake.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "pedal_force_most",
    title: "Most force at a brake's control",
    section: "brake",
    parameters: &[
        Parameter::choice("rule", &["ece_13h", "cfr_571_135"], "which regulation is taken"),
        Parameter::choice("control", &["foot", "hand"], "foot: any pedal; hand: the parking brake's lever"),
    ],
    outcome: Outcome { unit: "N", meaning: "most force" },
    formula: "force by (rule, control)",
    sources: &[
        Source::published("49 CFR 571.135", "2024", "S7.5.2, S7.11.3, S7.12: 500 N by foot, 400 N by hand"),
        Source::from_memory(
            "UN Regulation No. 13-H",
            "01 series of amendments",
            "Annex 3, 2.1.1, 2.3.2: 500 N by foot, 400 N by hand",
        ),
    ],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on the tester, by a licensed person.",
        "Any driver: one who has less needs less.",
    ],
    example: "pedal_force_most(ece_13h, foot) = 500 N",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let figure = if words[1] == "foot" { 500.0 } else { 400.0 };
    FUNCTION.worked_with(it, words, Quantity::exact(figure, "N")?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// 49 CFR 571.135, S7.5.2 and S7.12.
    #[test]
    fn as_the_standard_reads() {
        assert_eq!(figure_of("pedal_force_most", &["cfr_571_135", "foot"], "N"), 500.0);
        assert_eq!(figure_of("pedal_force_most", &["cfr_571_135", "hand"], "N"), 400.0);
        assert!(call("pedal_force_most", &["cfr_571_135", "knee"]).is_err());
    }
}
