//! Charge won or lost in a day away from the mains: what sun and driving restore, less what is used.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "charge_balance",
    title: "Charge left over in a day",
    section: "energy",
    parameters: &[
        Parameter::new("restored", "Ah", Limits::NotNegative, "put back each day"),
        Parameter::new("efficiency", "%", Limits::Between(0.0, 100.0), "share of it that the battery keeps"),
        Parameter::new("used", "Ah", Limits::NotNegative, "drawn each day"),
    ],
    outcome: Outcome { unit: "Ah", meaning: "charge won each day; below zero it is lost" },
    formula: "balance = restored × efficiency − used",
    sources: &[Source::definition("balance of charge")],
    assumes: &[],
    example: "charge_balance(30 Ah, 90 %, 42 Ah) = -15 Ah",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::CHARGE, |v| v[0] * v[1] - v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        assert!((figure_of("charge_balance", &["50 Ah", "90 %", "45 Ah"], "Ah")).abs() < 1e-9);
    }
}
