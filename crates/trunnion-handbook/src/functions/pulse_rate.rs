//! How often a sensor gives a pulse, from teeth and speed: what a meter or scope should read.

use std::f64::consts::TAU;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "pulse_rate",
    title: "Pulses of a sensor",
    section: "signal",
    parameters: &[
        Parameter::new("teeth", "", Limits::Whole(1.0, 720.0), "teeth or magnets in a turn"),
        Parameter::new("speed", "rpm", Limits::NotNegative, "speed of rotation"),
    ],
    outcome: Outcome { unit: "Hz", meaning: "pulses a second" },
    formula: "rate = teeth × speed per turn",
    sources: &[Source::definition("counting")],
    assumes: &["A missing tooth leaves a gap; the rate between is the same."],
    example: "pulse_rate(48, 800 rpm) = 640 Hz",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FREQUENCY, |v| v[0] * v[1] / TAU)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("pulse_rate", &["60", "60 rpm"], "Hz");
        let wanted: f64 = 60.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("pulse_rate", &["44", "600 rpm"], "Hz");
        let wanted: f64 = 440.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("pulse_rate", &["1.5", "60 rpm"]).is_err());
    }
}
