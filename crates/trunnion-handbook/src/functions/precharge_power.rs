//! Peak power in the pre-charge resistor, which it takes for a moment, and for ever into a short behind it.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "precharge_power",
    title: "First power in a pre-charge resistor",
    section: "volt",
    parameters: &[
        Parameter::new("voltage", "V", Limits::NotNegative, "of the pack"),
        Parameter::new("resistance", "Ω", Limits::Positive, "pre-charge resistor"),
    ],
    outcome: Outcome { unit: "W", meaning: "power at the first instant" },
    formula: "power = voltage² / resistance",
    sources: &[Source::definition("Ohm's law")],
    assumes: &[
        "High voltage is licensed work; clear on paper is not permission.",
        "A whole pre-charge leaves as much heat in the resistor as energy in the \
             capacitors: see capacitor_energy.",
    ],
    example: "precharge_power(400 V, 50 Ω) = 3200 W",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::POWER, |v| v[0] * v[0] / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("precharge_power", &["100 V", "50 Ω"], "W");
        let wanted: f64 = 200.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("precharge_power", &["360 V", "0 Ω"]).is_err());
    }
}
