//! Voltage left at the terminals of a battery or pack under current: the dip at cranking, the sag
//! at full power.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "loaded_voltage",
    title: "Voltage under load",
    section: "energy",
    parameters: &[
        Parameter::new("open_voltage", "V", Limits::NotNegative, "without load"),
        Parameter::new("resistance", "mΩ", Limits::NotNegative, "inside, with cables and contacts"),
        Parameter::new("current", "A", Limits::NotNegative, "drawn"),
    ],
    outcome: Outcome { unit: "V", meaning: "voltage left" },
    formula: "voltage = open_voltage − resistance × current",
    sources: &[Source::definition("Ohm's law")],
    assumes: &["The resistance grows with cold and age."],
    example: "loaded_voltage(12.6 V, 8 mΩ, 350 A) = 9.8 V",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::VOLTAGE, |v| v[0] - v[1] * v[2])?;
    if value.lo() < 0.0 {
        return Err(HandbookError::NoAnswer("the source cannot drive that current"));
    }
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        assert!((figure_of("loaded_voltage", &["12 V", "10 mΩ", "300 A"], "V") - 9.0).abs() < 1e-9);
        assert!(call("loaded_voltage", &["12 V", "10 mΩ", "2000 A"]).is_err());
    }
}
