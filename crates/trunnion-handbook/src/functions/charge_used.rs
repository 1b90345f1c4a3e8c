//! Amp-hours that a load draws while it runs: a fridge overnight, lamps at a stop.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "charge_used",
    title: "Charge that a load uses",
    section: "energy",
    parameters: &[
        Parameter::new("current", "A", Limits::NotNegative, "drawn, on average"),
        Parameter::new("time", "h", Limits::NotNegative, "how long"),
    ],
    outcome: Outcome { unit: "Ah", meaning: "charge" },
    formula: "charge = current × time",
    sources: &[Source::definition("current over time")],
    assumes: &[],
    example: "charge_used(3.5 A, 10 h) = 35 Ah",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::CHARGE, |v| v[0] * v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("charge_used", &["2 A", "12 h"], "Ah");
        let wanted: f64 = 24.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("charge_used", &["-2 A", "12 h"]).is_err());
    }
}
