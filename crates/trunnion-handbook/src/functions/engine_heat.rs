//! Heat for the radiator at a power, by the share that goes there.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "engine_heat",
    title: "Heat that an engine gives to its coolant",
    section: "heat",
    parameters: &[
        Parameter::new("power", "kW", Limits::NotNegative, "at the crankshaft"),
        Parameter::new(
            "share",
            "%",
            Limits::Between(10.0, 150.0),
            "heat to the coolant over power at the crankshaft; petrol 80 to 100, \
             diesel 60 to 80, common practice",
        ),
    ],
    outcome: Outcome { unit: "kW", meaning: "heat" },
    formula: "heat = power × share",
    sources: &[Source::common_practice(
        "about as much heat in the coolant as power at the crankshaft for petrol, \
             two thirds for diesel",
    )],
    assumes: &["Charge air and oil coolers come on top."],
    example: "engine_heat(110 kW, 70 %) = 77 kW",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::POWER, |v| v[0] * v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("engine_heat", &["100 kW", "80 %"], "kW");
        let wanted: f64 = 80.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("engine_heat", &["100 kW", "5 %"]).is_err());
    }
}
