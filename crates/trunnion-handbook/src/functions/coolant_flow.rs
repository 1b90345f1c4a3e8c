//! Flow of oil or coolant that carries a heat away with a rise in temperature: the reverse of heat_flow.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "coolant_flow",
    title: "Flow that carries a heat",
    section: "heat",
    parameters: &[
        Parameter::new("heat", "kW", Limits::NotNegative, "to carry"),
        Parameter::new("density", "kg/m³", Limits::Positive, "density; water 1000, oil about 860"),
        Parameter::new(
            "specific_heat",
            "J/kgK",
            Limits::Positive,
            "specific heat; water 4186, oil about 2000",
        ),
        Parameter::new("rise", "K", Limits::Positive, "rise in temperature"),
    ],
    outcome: Outcome { unit: "l/min", meaning: "flow" },
    formula: "flow = heat / (density × specific_heat × rise)",
    sources: &[Source::definition("balance of heat in a flow")],
    assumes: &[],
    example: "coolant_flow(60 kW, 1030 kg/m³, 3600 J/kgK, 8 K) = 121.4 l/min",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FLOW, |v| v[0] / (v[1] * v[2] * v[3]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn undoes_the_heat() {
        let flow = figure_of("coolant_flow", &["5 kW", "860 kg/m³", "2000 J/kgK", "25 K"], "l/min");
        let heat =
            figure_of("heat_flow", &[&format!("{flow} l/min"), "860 kg/m³", "2000 J/kgK", "25 K"], "kW");
        assert!((heat - 5.0).abs() < 1e-9);
        assert!(call("coolant_flow", &["5 kW", "860 kg/m³", "2000 J/kgK", "0 K"]).is_err());
    }
}
