//! Least resistance between a high-voltage bus and the body, by Regulation 100.
//!
//! 100 Ω for each volt of a direct-current bus and 500 Ω for an alternating-current one that are kept
//! apart; 500 Ω where the two are galvanically joined, unless every alternating part has one of the two
//! protections that the regulation names, when 100 Ω do.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "isolation_needed",
    title: "Isolation resistance needed",
    section: "volt",
    parameters: &[
        Parameter::new("voltage", "V", Limits::Between(0.0, 1500.0), "working voltage"),
        Parameter::new("alternating", "", Limits::OneOf(&[0.0, 1.0]), "1 for an alternating-current bus"),
        Parameter::new(
            "joined",
            "",
            Limits::OneOf(&[0.0, 1.0]),
            "1 when direct and alternating buses are galvanically joined",
        ),
        Parameter::new(
            "protected",
            "",
            Limits::OneOf(&[0.0, 1.0]),
            "1 when every alternating part has double insulation or robust housings (5.1.3.2)",
        ),
    ],
    outcome: Outcome { unit: "kΩ", meaning: "least isolation resistance" },
    formula: "resistance = 100 or 500 Ω/V by (alternating, joined, protected) × voltage",
    sources: &[Source::published("UN Regulation No. 100", "02 series of amendments", "5.1.3.1 and 5.1.3.2")],
    assumes: &[
        "High voltage is licensed work; clear on paper is not permission.",
        "Other jurisdictions have their own rule: this is one basis to select.",
    ],
    example: "isolation_needed(400 V, 0, 1, 0) = 200 kΩ",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let yes = |it: &Quantity| it.nominal() > 0.5;
    let per_volt = match (yes(&it[1]), yes(&it[2]), yes(&it[3])) {
        (_, true, true) => 100.0,
        (_, true, false) => 500.0,
        (true, false, _) => 500.0,
        (false, false, _) => 100.0,
    };
    let value = worst_case(&it[..1], Dimension::RESISTANCE, |v| per_volt * v[0])?;
    Ok(FUNCTION.worked(it, value)?.noting(&format!("{per_volt} Ω/V")))
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn as_the_regulation_reads() {
        for (alternating, joined, protected, ohms) in [
            ("0", "0", "0", 40_000.0),
            ("1", "0", "0", 200_000.0),
            ("0", "1", "0", 200_000.0),
            ("0", "1", "1", 40_000.0),
            ("1", "1", "1", 40_000.0),
        ] {
            let made = figure_of("isolation_needed", &["400 V", alternating, joined, protected], "Ω");
            assert!((made - ohms).abs() < 1e-9);
        }
    }
}
