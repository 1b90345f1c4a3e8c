//! How long a parked vehicle's battery lasts against its standing drain.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "standing_days",
    title: "How long a battery stands",
    section: "energy",
    parameters: &[
        Parameter::new("capacity", "Ah", Limits::Positive, "capacity of the battery, at its age and cold"),
        Parameter::new(
            "usable",
            "%",
            Limits::Between(0.0, 100.0),
            "share that may be drawn so that it still cranks",
        ),
        Parameter::new("drain", "mA", Limits::Positive, "standing current"),
    ],
    outcome: Outcome { unit: "days", meaning: "time until it must be charged" },
    formula: "time = capacity × usable / drain",
    sources: &[Source::definition("charge over current")],
    assumes: &["Self-discharge left out; the slow-discharge capacity is used."],
    example: "standing_days(70 Ah, 40 %, 30 mA) = 38.89 days",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::TIME, |v| v[0] * v[1] / v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        // 48 Ah × 50 % at 1 A are 24 h.
        assert!((figure_of("standing_days", &["48 Ah", "50 %", "1 A"], "days") - 1.0).abs() < 1e-9);
    }
}
