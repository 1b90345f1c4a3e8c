//! The slope on which a parking brake must hold the laden vehicle, alone or with an unbraked trailer.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "parking_slope",
    title: "Slope that a parking brake must hold on",
    section: "brake",
    parameters: &[
        Parameter::choice("rule", &["ece_13h", "cfr_571_135"], "which regulation is taken"),
        Parameter::choice("load", &["alone", "with_trailer"], "what is held"),
    ],
    outcome: Outcome { unit: "%", meaning: "rise over run" },
    formula: "slope by (rule, load)",
    sources: &[
        Source::published("49 CFR 571.135", "2024", "S7.12: 20 % laden, both ways"),
        Source::from_memory(
            "UN Regulation No. 13-H",
            "01 series of amendments",
            "Annex 3, 2.3.1 and 2.3.2: 20 % alone, 12 % with an unbraked trailer",
        ),
    ],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on the tester, by a licensed person.",
    ],
    example: "parking_slope(ece_13h, with_trailer) = 12 %",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let figure = match (words[0], words[1]) {
        (_, "alone") => 20.0,
        ("ece_13h", _) => 12.0,
        _ => return Err(HandbookError::NoAnswer("this rule has no slope for a vehicle with a trailer")),
    };
    FUNCTION.worked_with(it, words, Quantity::exact(figure, "%")?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// 49 CFR 571.135, S7.12.
    #[test]
    fn as_the_standard_reads() {
        assert!((figure_of("parking_slope", &["cfr_571_135", "alone"], "%") - 20.0).abs() < 1e-12);
        assert!(call("parking_slope", &["cfr_571_135", "with_trailer"]).is_err());
    }
}
