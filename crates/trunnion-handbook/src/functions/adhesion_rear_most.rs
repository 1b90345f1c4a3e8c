//! The line that the rear axle's curve must stay below, for braking rates of 0.15 to 0.80, by the United
//! States' standard for light vehicles without antilock brakes.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "adhesion_rear_most",
    title: "The most adhesion that the rear axle may use",
    section: "brake",
    parameters: &[Parameter::new(
        "rate",
        "",
        Limits::Between(0.15, 0.8),
        "braking rate z, deceleration over g",
    )],
    outcome: Outcome { unit: "", meaning: "adhesion" },
    formula: "most = rate / 0.9",
    sources: &[Source::published(
        "49 CFR 571.135",
        "2024",
        "S7.4.5: below the line z = 0.9 k from 0.15 to 0.80",
    )],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on \
             the tester, by a licensed person.",
        "Other jurisdictions have their own rule: this is one basis to select.",
    ],
    example: "adhesion_rear_most(0.6) = 0.6667",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::NONE, |v| v[0] / 0.9)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// 49 CFR 571.135, S7.4.5.
    #[test]
    fn as_the_standard_reads() {
        let made = figure_of("adhesion_rear_most", &["0.45"], "");
        let wanted: f64 = 0.5;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("adhesion_rear_most", &["0.72"], "");
        let wanted: f64 = 0.8;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("adhesion_rear_most", &["0.1"]).is_err());
        assert!(call("adhesion_rear_most", &["0.81"]).is_err());
    }
}
