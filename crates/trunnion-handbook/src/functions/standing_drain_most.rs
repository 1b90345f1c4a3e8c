//! The most a parked vehicle may draw so that it still starts after some days.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "standing_drain_most",
    title: "Standing drain that a battery bears",
    section: "energy",
    parameters: &[
        Parameter::new("capacity", "Ah", Limits::Positive, "capacity of the battery, at its age and cold"),
        Parameter::new(
            "usable",
            "%",
            Limits::Between(0.0, 100.0),
            "share that may be drawn so that it still cranks",
        ),
        Parameter::new("days", "days", Limits::Positive, "how long it stands"),
    ],
    outcome: Outcome { unit: "mA", meaning: "standing current" },
    formula: "drain = capacity × usable / days",
    sources: &[Source::definition("charge over time")],
    assumes: &["Self-discharge left out."],
    example: "standing_drain_most(70 Ah, 40 %, 42 days) = 27.78 mA",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::CURRENT, |v| v[0] * v[1] / v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn undoes_the_days() {
        let made = figure_of("standing_drain_most", &["48 Ah", "50 %", "1 day"], "mA");
        let wanted: f64 = 1000.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("standing_drain_most", &["48 Ah", "50 %", "0 days"]).is_err());
    }
}
