//! Deceleration that the brakes of a passenger car must reach with at most the permitted pedal force:
//! whole, and with the servo dead.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "deceleration_wanted",
    title: "Deceleration that is asked",
    section: "brake",
    parameters: &[
        Parameter::choice("rule", &["ece_13h", "cfr_571_135"], "which regulation is taken"),
        Parameter::choice("state", &["whole", "servo_dead"], "what works"),
    ],
    outcome: Outcome { unit: "m/s²", meaning: "least deceleration" },
    formula: "deceleration by (rule, state)",
    sources: &[
        Source::published(
            "49 CFR 571.135",
            "2024",
            "S7.5.3 and S7.11.4, as distances: 0.0060 and 0.0158 V² are 6.43 and 2.44 m/s²",
        ),
        Source::from_memory(
            "UN Regulation No. 13-H",
            "01 series of amendments",
            "Annex 3, 2.1.1 and 2.2.1: 6.43 and 2.44 m/s²",
        ),
    ],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on the tester, by a licensed person.",
        "Passenger cars; other categories and jurisdictions have their own figures.",
    ],
    example: "deceleration_wanted(ece_13h, whole) = 6.43 m/s²",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let figure = if words[1] == "whole" { 6.43 } else { 2.44 };
    FUNCTION.worked_with(it, words, Quantity::exact(figure, "m/s²")?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// 49 CFR 571.135, S7.5.3 and S7.11.4: the distance grows with 0.0060 and 0.0158 V², V in km/h;
    /// v² / (2 a) in the same units gives a, printed to the hundredth by the other regulation.
    #[test]
    fn the_distances_of_the_standard() {
        for (state, factor) in [("whole", 0.0060), ("servo_dead", 0.0158)] {
            let wanted = 1.0 / (2.0 * 3.6 * 3.6 * factor);
            for rule in ["ece_13h", "cfr_571_135"] {
                let made = figure_of("deceleration_wanted", &[rule, state], "m/s²");
                assert!((made - wanted).abs() < 0.005, "{rule} {state}: {made} {wanted}");
            }
        }
        assert!(call("deceleration_wanted", &["ece_13", "whole"]).is_err());
    }
}
