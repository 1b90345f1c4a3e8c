//! The largest resistor that brings a bus from its voltage to a safe one in a time: such as below
//! 60 V within the time that the local rule asks.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "discharge_resistance",
    title: "Resistor that empties a bus in time",
    section: "volt",
    parameters: &[
        Parameter::new("capacitance", "µF", Limits::Positive, "of everything on the bus"),
        Parameter::new("from", "V", Limits::Positive, "voltage at the start"),
        Parameter::new("down_to", "V", Limits::Positive, "voltage wanted"),
        Parameter::new("time", "s", Limits::Positive, "time allowed"),
    ],
    outcome: Outcome { unit: "kΩ", meaning: "largest resistor" },
    formula: "resistance = time / (capacitance × ln(from / down_to))",
    sources: &[
        Source::definition("discharge of a capacitor through a resistor"),
        Source::published(
            "49 CFR 571.305",
            "2017",
            "S5.4.1.5 (b) and S5.4.1.6 (b): 60 V within 1 s of a connector being separated",
        ),
    ],
    assumes: &[
        "High voltage is licensed work; clear on paper is not permission.",
        "Always measure before touching.",
    ],
    example: "discharge_resistance(1000 µF, 400 V, 60 V, 1 s) = 0.5271 kΩ",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    if it[1].lo() <= it[2].hi() {
        return Err(HandbookError::NoAnswer("the bus starts below the voltage wanted"));
    }
    let value = worst_case(it, Dimension::RESISTANCE, |v| v[3] / (v[0] * (v[1] / v[2]).ln()))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn undoes_the_time() {
        let made = figure_of("discharge_resistance", &["1000 µF", "400 V", "60 V", "5 s"], "kΩ");
        let time = figure_of("discharge_time", &[&format!("{made} kΩ"), "1000 µF", "400 V", "60 V"], "s");
        assert!((time - 5.0).abs() < 1e-9);
        assert!(call("discharge_resistance", &["1000 µF", "50 V", "60 V", "5 s"]).is_err());
    }
}
