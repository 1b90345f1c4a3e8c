//! Heat that a flow of oil or coolant carries away, from its rise in temperature.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "heat_flow",
    title: "Heat carried by a coolant",
    section: "heat",
    parameters: &[
        Parameter::new("flow", "l/min", Limits::NotNegative, "volume flow"),
        Parameter::new("density", "kg/m³", Limits::Positive, "density; water 1000, oil about 860"),
        Parameter::new(
            "specific_heat",
            "J/kgK",
            Limits::Positive,
            "specific heat; water 4186, oil about 2000",
        ),
        Parameter::new("rise", "K", Limits::NotNegative, "rise in temperature"),
    ],
    outcome: Outcome { unit: "kW", meaning: "heat carried" },
    formula: "heat = flow × density × specific_heat × rise",
    sources: &[Source::definition("balance of heat in a flow")],
    assumes: &[],
    example: "heat_flow(8 l/min, 860 kg/m³, 2000 J/kgK, 25 K) = 5.733 kW",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::POWER, |v| v[0] * v[1] * v[2] * v[3])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        // 60 l/min of water is 1 kg/s; 4186 J/kgK over 10 K.
        let made = figure_of("heat_flow", &["60 l/min", "1000 kg/m³", "4186 J/kgK", "10 K"], "W");
        assert!((made - 41_860.0).abs() < 1e-6);
    }
}
