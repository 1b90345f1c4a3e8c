//! What is left of a wire's, fuse's or contact's allowable current where it is warmer than its table says.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "current_at_ambient",
    title: "Allowable current at another ambient",
    section: "wire",
    parameters: &[
        Parameter::new("allowable", "A", Limits::NotNegative, "at the reference ambient"),
        Parameter::new("limit", "°C", Limits::Between(0.0, 250.0), "temperature it may reach"),
        Parameter::new("reference", "°C", Limits::Between(-50.0, 200.0), "ambient of the table"),
        Parameter::new("ambient", "°C", Limits::Between(-50.0, 250.0), "ambient where it sits"),
    ],
    outcome: Outcome { unit: "A", meaning: "allowable current there" },
    formula: "current = allowable × √((limit − ambient) / (limit − reference))",
    sources: &[
        Source::definition(
            "heat given off in proportion to the rise, made in proportion to the \
             square of the current",
        ),
        Source::published(
            "33 CFR 183.425",
            "2001 and later",
            "Table 5, note 1: its factors for 50 °C are near this",
        ),
    ],
    assumes: &["In the steady state."],
    example: "current_at_ambient(25 A, 105 °C, 30 °C, 85 °C) = 12.91 A",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    if it[2].hi() >= it[1].lo() {
        return Err(HandbookError::NoAnswer("the reference ambient is not below the limit"));
    }
    if it[3].hi() > it[1].lo() {
        return Err(HandbookError::NoAnswer("it is hotter there than the part may be: it carries nothing"));
    }
    let value = worst_case(it, Dimension::CURRENT, |v| v[0] * ((v[1] - v[3]) / (v[1] - v[2])).sqrt())?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// 33 CFR 183.425, Table 5, note 1 prints factors from 30 °C to 50 °C: 0.58 at 60 °C
    /// insulation, 0.75 at 75 °C, 0.78 at 80 °C, 0.82 at 90 °C, 0.89 at 125 °C. It prints 0.85 at
    /// 105 °C.
    #[test]
    fn near_the_printed_factors() {
        for (limit, factor) in [
            ("60 °C", 0.58),
            ("75 °C", 0.75),
            ("80 °C", 0.78),
            ("90 °C", 0.82),
            ("105 °C", 0.85),
            ("125 °C", 0.89),
        ] {
            let made = figure_of("current_at_ambient", &["1 A", limit, "30 °C", "50 °C"], "A");
            // Two figures are printed.
            assert!((made - factor).abs() <= 0.011, "{limit}: {made}");
        }
        assert!(call("current_at_ambient", &["1 A", "105 °C", "30 °C", "110 °C"]).is_err());
        assert!(call("current_at_ambient", &["1 A", "30 °C", "30 °C", "20 °C"]).is_err());
    }
}
