//! How often an engine with four strokes fires: each cylinder once in two turns.

use std::f64::consts::TAU;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "firing_frequency",
    title: "Firing frequency of an engine",
    section: "drive",
    parameters: &[
        Parameter::new("engine_speed", "rpm", Limits::NotNegative, "speed of rotation of the crankshaft"),
        Parameter::new("cylinders", "", Limits::Whole(1.0, 16.0), "number of cylinders"),
    ],
    outcome: Outcome { unit: "Hz", meaning: "power strokes a second" },
    formula: "frequency = engine_speed in turns a second × cylinders / 2",
    sources: &[Source::definition("four strokes are two turns")],
    assumes: &["Four strokes, evenly spaced."],
    example: "firing_frequency(800 rpm, 4) = 26.67 Hz",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FREQUENCY, |v| v[0] / TAU * v[1] / 2.0)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// By hand: 3000 turns a minute are 50 a second; of six cylinders three fire in each.
    #[test]
    fn by_hand() {
        let made = figure_of("firing_frequency", &["3000 rpm", "6"], "Hz");
        assert!((made - 150.0).abs() < 1e-9, "{made}");
        assert!(call("firing_frequency", &["3000 rpm", "2.5"]).is_err());
    }
}
