//! How much of a road's adhesion the brakes must use before a wheel locks, for adhesions of 0.2 to 0.8.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "braking_rate_least",
    title: "Least braking rate for an adhesion",
    section: "brake",
    parameters: &[
        Parameter::new("adhesion", "", Limits::Between(0.2, 0.8), "k, adhesion of the road"),
        Parameter::choice(
            "basis",
            &["13-H", "71/320"],
            "13-H for Regulation 13-H, 71/320 for the older directive",
        ),
    ],
    outcome: Outcome { unit: "", meaning: "least braking rate" },
    formula: "rate = 0.1 + slope of basis × (adhesion − 0.2)",
    sources: &[
        Source::from_memory(
            "UN Regulation No. 13-H",
            "01 series of amendments",
            "Annex 5: f1 = T1 / (P1 + z P h / E), f2 = T2 / (P2 − z P h / E); 3.1: z \
             ≥ 0.1 + 0.7 (k − 0.2)",
        ),
        Source::from_memory(
            "Directive 71/320/EEC",
            "as amended by 98/12/EC",
            "Annex II, Appendix, 3.1.1: z ≥ 0.1 + 0.85 (k − 0.2)",
        ),
    ],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on \
             the tester, by a licensed person.",
        "The front axle must lock before the rear one besides.",
    ],
    example: "braking_rate_least(0.8, 13-H) = 0.52",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let slope = if words[0] == "13-H" { 0.7 } else { 0.85 };
    let value = worst_case(it, Dimension::NONE, |v| 0.1 + slope * (v[0] - 0.2))?;
    Ok(FUNCTION.worked_with(it, words, value)?.noting(&format!("slope {slope}")))
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn ends_of_the_line() {
        let made = figure_of("braking_rate_least", &["0.2", "13-H"], "");
        let wanted: f64 = 0.1;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("braking_rate_least", &["0.8", "13-H"], "");
        let wanted: f64 = 0.52;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("braking_rate_least", &["0.8", "71/320"], "");
        let wanted: f64 = 0.61;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("braking_rate_least", &["0.1", "13-H"]).is_err());
        assert!(call("braking_rate_least", &["0.5", "13"]).is_err());
    }
}
