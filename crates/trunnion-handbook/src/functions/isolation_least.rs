//! Least resistance between a high-voltage bus and the body by the document that is chosen.
//!
//! Both ask for 100 Ω for each volt of a direct-current bus and 500 Ω of an alternating-current
//! one. Where the two are galvanically joined, Regulation 100 asks for 500 Ω for both unless the
//! alternating side is protected, when 100 Ω do; the United States' standard leaves the direct side
//! at 100 Ω.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "isolation_least",
    title: "Isolation resistance needed by a basis",
    section: "volt",
    parameters: &[
        Parameter::new("voltage", "V", Limits::Between(0.0, 1500.0), "working voltage"),
        Parameter::choice("kind", &["direct", "alternating"], "current of the bus"),
        Parameter::choice(
            "joined",
            &["apart", "joined"],
            "whether direct and alternating buses are galvanically joined",
        ),
        Parameter::choice(
            "protection",
            &["plain", "protected"],
            "protected: every alternating part is shielded against direct and \
             indirect contact as the document asks",
        ),
        Parameter::choice("basis", &["R100", "49-CFR-571.305"], "document"),
    ],
    outcome: Outcome { unit: "kΩ", meaning: "least isolation resistance" },
    formula: "resistance = 100 or 500 Ω/V by (kind, joined, protection, basis) × voltage",
    sources: &[
        Source::published("UN Regulation No. 100", "02 series of amendments", "5.1.3.1 and 5.1.3.2"),
        Source::published("49 CFR 571.305", "2017", "S5.4.3.1 (a) to (c)"),
    ],
    assumes: &["High voltage is licensed work; clear on paper is not permission."],
    example: "isolation_least(400 V, direct, joined, plain, R100) = 200 kΩ",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let (alternating, joined, protected) =
        (words[0] == "alternating", words[1] == "joined", words[2] == "protected");
    let per_volt = match (words[3], alternating, joined) {
        (_, true, false) => 500.0,
        (_, false, false) => 100.0,
        (_, true, true) | ("R100", false, true) if !protected => 500.0,
        _ => 100.0,
    };
    let value = worst_case(it, Dimension::RESISTANCE, |v| per_volt * v[0])?;
    Ok(FUNCTION.worked_with(it, words, value)?.noting(&format!("{per_volt} Ω/V")))
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// UN Regulation No. 100, 5.1.3, and 49 CFR 571.305, S5.4.3.1, case by case.
    #[test]
    fn as_both_documents_read() {
        for (kind, joined, protection, regulation, standard) in [
            ("direct", "apart", "plain", 100.0, 100.0),
            ("alternating", "apart", "plain", 500.0, 500.0),
            ("alternating", "apart", "protected", 500.0, 500.0),
            ("direct", "joined", "plain", 500.0, 100.0),
            ("alternating", "joined", "plain", 500.0, 500.0),
            ("direct", "joined", "protected", 100.0, 100.0),
            ("alternating", "joined", "protected", 100.0, 100.0),
        ] {
            for (basis, ohms) in [("R100", regulation), ("49-CFR-571.305", standard)] {
                let made = figure_of("isolation_least", &["1 V", kind, joined, protection, basis], "Ω");
                assert!((made - ohms).abs() < 1e-9, "{kind} {joined} {protection} {basis}");
            }
        }
        assert!(call("isolation_least", &["400 V", "direct", "joined", "plain", "R10"]).is_err());
    }

    /// The function that takes figures for its cases says the same of Regulation 100.
    #[test]
    fn agrees_with_its_elder() {
        for (alternating, kind) in [("0", "direct"), ("1", "alternating")] {
            for (joined, how) in [("0", "apart"), ("1", "joined")] {
                for (protected, guard) in [("0", "plain"), ("1", "protected")] {
                    let elder =
                        figure_of("isolation_needed", &["350 V", alternating, joined, protected], "Ω");
                    let made = figure_of("isolation_least", &["350 V", kind, how, guard, "R100"], "Ω");
                    assert!((elder - made).abs() < 1e-9, "{kind} {how} {guard}");
                }
            }
        }
    }
}
