//! Time for a discharge resistor to bring the bus down to a voltage, such as the 60 V below which
//! direct current is not high voltage.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "discharge_time",
    title: "Time until a bus is safe to touch",
    section: "volt",
    parameters: &[
        Parameter::new("resistance", "kΩ", Limits::Positive, "discharge resistor"),
        Parameter::new("capacitance", "µF", Limits::Positive, "of everything on the bus"),
        Parameter::new("from", "V", Limits::Positive, "voltage at the start"),
        Parameter::new("down_to", "V", Limits::Positive, "voltage wanted"),
    ],
    outcome: Outcome { unit: "s", meaning: "time" },
    formula: "time = resistance × capacitance × ln(from / down_to)",
    sources: &[Source::definition("discharge of a capacitor through a resistor")],
    assumes: &[
        "High voltage is licensed work; clear on paper is not permission.",
        "Always measure before touching.",
    ],
    example: "discharge_time(20 kΩ, 1000 µF, 400 V, 60 V) = 37.94 s",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    if it[2].lo() < it[3].hi() {
        return Err(HandbookError::NoAnswer("the bus starts below the voltage wanted"));
    }
    let value = worst_case(it, Dimension::TIME, |v| v[0] * v[1] * (v[2] / v[3]).ln())?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn halving_takes_ln_two_time_constants() {
        let made = figure_of("discharge_time", &["1 kΩ", "1000 µF", "400 V", "200 V"], "s");
        assert!((made - std::f64::consts::LN_2).abs() < 1e-9);
        assert!(call("discharge_time", &["1 kΩ", "1000 µF", "50 V", "60 V"]).is_err());
    }
}
