//! Current that a standing motor, or a coil or filament at the first instant, draws: what the fuse
//! must hold for a moment and the relay must break.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "stall_current",
    title: "Stall and inrush current of a motor",
    section: "wire",
    parameters: &[
        Parameter::new("voltage", "V", Limits::NotNegative, "at the part"),
        Parameter::new("resistance", "mΩ", Limits::Positive, "of the winding, with the wires"),
    ],
    outcome: Outcome { unit: "A", meaning: "current" },
    formula: "current = voltage / resistance",
    sources: &[Source::definition("Ohm's law")],
    assumes: &["A cold filament has about a tenth of its hot resistance, common practice."],
    example: "stall_current(13.5 V, 450 mΩ) = 30 A",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::CURRENT, |v| v[0] / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("stall_current", &["12 V", "500 mΩ"], "A");
        let wanted: f64 = 24.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("stall_current", &["12 V", "0 mΩ"]).is_err());
    }
}
