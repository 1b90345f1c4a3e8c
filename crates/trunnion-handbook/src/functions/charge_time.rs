//! Time to put an amount of energy into a battery.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "charge_time",
    title: "Time to charge",
    section: "energy",
    parameters: &[
        Parameter::new("energy", "kWh", Limits::NotNegative, "to be stored"),
        Parameter::new("power", "kW", Limits::Positive, "of the charger, from its supply"),
        Parameter::new("efficiency", "%", Limits::Between(1.0, 100.0), "share that is stored"),
    ],
    outcome: Outcome { unit: "h", meaning: "time" },
    formula: "time = energy / (power × efficiency)",
    sources: &[Source::definition("energy over power")],
    assumes: &["Constant power; the last tenth goes slower."],
    example: "charge_time(40 kWh, 7.4 kW, 90 %) = 6.006 h",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::TIME, |v| v[0] / (v[1] * v[2]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        assert!((figure_of("charge_time", &["10 kWh", "5 kW", "50 %"], "h") - 4.0).abs() < 1e-9);
    }
}
